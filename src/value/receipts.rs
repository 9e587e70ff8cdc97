//! The person's own receipts: a CSV with the heads `date`, `food`, `kg` or `each` (with `kg_each`), `paid`.

use super::food::{self, Food};
use super::{Household, OwnAppetite, OwnPrice, price};
use crate::plain;
use chrono::{Datelike, NaiveDate};
use csv::StringRecord;

/// One line of a receipt.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    /// Day of the purchase.
    pub date: NaiveDate,
    /// Food id.
    pub food: String,
    /// kg as bought.
    pub kg: f64,
    /// Paid, in the currency of the household.
    pub paid: f64,
}

/// A row that could not be read.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("line {line}, column `{column}`: {what}")]
pub struct BadRow {
    /// Line in the file, from 1.
    pub line: u64,
    /// Column head.
    pub column: String,
    /// What is wrong and what to write instead.
    pub what: String,
}

/// Receipts read, and the rows that could not be.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Receipts {
    /// Good rows in the order of the file.
    pub bought: Vec<Bought>,
    /// Bad rows in the order of the file; the good ones stand without them.
    pub bad: Vec<BadRow>,
}

/// Mass of one piece, kg, that receipts with `each` may use without `kg_each`: as assumed for the published prices by
/// the piece (assumption).
pub(super) const KG_EACH: [(&str, f64); 8] = [
    ("lettuce", 0.5),
    ("lettuce_head", 0.55),
    ("cucumber", 0.35),
    ("cabbage", 0.9),
    ("cauliflower", 0.7),
    ("broccoli", 0.5),
    ("celery", 0.6),
    ("melon", 1.2),
];

/// Most that one row of a receipt may be, kg and units of currency: a slip of the decimal point is more likely.
const ROW_MAX: f64 = 100_000.0;

/// Where the columns are.
struct Columns {
    date: usize,
    food: usize,
    paid: usize,
    kg: Option<usize>,
    each: Option<usize>,
    kg_each: Option<usize>,
}

/// Reads receipts from CSV text.
///
/// The first line names the columns, in any order: `date` (2026-03-31), `food` (name or crop id), `paid`, and `kg` or
/// `each` (pieces; `kg_each` gives the mass of one). Other columns are left alone. Every bad row is named with its line and
/// column; the good ones are read on.
pub fn read(text: &str) -> Receipts {
    let mut receipts = Receipts::default();
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(plain::without_mark(text).as_bytes());
    let columns = match reader
        .headers()
        .map_err(|error| error.to_string())
        .and_then(columns)
    {
        Ok(columns) => columns,
        Err(what) => {
            receipts.bad.push(BadRow {
                line: 1,
                column: "heads".to_owned(),
                what,
            });
            return receipts;
        }
    };
    for record in reader.records() {
        match record {
            Ok(record) => match row(&columns, &record) {
                Ok(bought) => receipts.bought.push(bought),
                Err((column, what)) => {
                    let line = record.position().map_or(0, csv::Position::line);
                    receipts.bad.push(BadRow {
                        line,
                        column: column.to_owned(),
                        what,
                    });
                }
            },
            Err(error) => {
                let line = error.position().map_or(0, csv::Position::line);
                receipts.bad.push(BadRow {
                    line,
                    column: "all".to_owned(),
                    what: error.to_string(),
                });
            }
        }
    }
    receipts
}

fn columns(heads: &StringRecord) -> Result<Columns, String> {
    let place = |name: &str| {
        heads
            .iter()
            .position(|head| head.eq_ignore_ascii_case(name))
    };
    let needed = |name: &str| {
        place(name).ok_or_else(|| {
            let parted = if heads.len() == 1 && heads.get(0).is_some_and(|head| head.contains([';', '\t'])) {
                " with commas between them"
            } else {
                ""
            };
            format!(
                "no column `{name}`; the first line must name `date`, `food`, `kg` or `each`, `paid`{parted}"
            )
        })
    };
    let columns = Columns {
        date: needed("date")?,
        food: needed("food")?,
        paid: needed("paid")?,
        kg: place("kg"),
        each: place("each"),
        kg_each: place("kg_each"),
    };
    if columns.kg.is_none() && columns.each.is_none() {
        needed("kg")?;
    }
    Ok(columns)
}

type Wrong = (&'static str, String);

/// Longest piece of a cell that a message shows, characters (own choice).
const SHOWN_MAX: usize = 40;

/// A cell as a message may show it: short, on one line, without anything that steers a terminal.
fn shown(text: &str) -> String {
    let start: String = text.chars().take(SHOWN_MAX).collect();
    let mut piece = plain::blanked(&start);
    if text.chars().count() > SHOWN_MAX {
        piece.push_str("...");
    }
    piece
}

fn row(columns: &Columns, record: &StringRecord) -> Result<Bought, Wrong> {
    let text = |at: usize| record.get(at).unwrap_or("");
    let date = text(columns.date);
    let date = date.parse::<NaiveDate>().map_err(|_| {
        (
            "date",
            format!("`{}` is not a date; write it as 2026-03-31", shown(date)),
        )
    })?;
    let food =
        food::require(&shown(text(columns.food))).map_err(|error| ("food", error.to_string()))?;
    let paid = number("paid", text(columns.paid))?;
    let kg = match columns.kg.map(text).filter(|kg| !kg.is_empty()) {
        Some(kg) => number("kg", kg)?,
        None => pieces(columns, record, food)?,
    };
    if kg <= 0.0 {
        return Err(("kg", "must be above 0".to_owned()));
    }
    Ok(Bought {
        date,
        food: food.id.clone(),
        kg,
        paid,
    })
}

fn pieces(columns: &Columns, record: &StringRecord, food: &Food) -> Result<f64, Wrong> {
    let text = |at: Option<usize>| {
        at.and_then(|at| record.get(at))
            .filter(|text| !text.is_empty())
    };
    let Some(each) = text(columns.each) else {
        return Err(("kg", "neither `kg` nor `each` is given".to_owned()));
    };
    let each = number("each", each)?;
    let one = match text(columns.kg_each) {
        Some(kg) => number("kg_each", kg)?,
        None => KG_EACH
            .iter()
            .find(|(id, _)| *id == food.id)
            .map(|(_, kg)| *kg)
            .ok_or_else(|| {
                (
                    "each",
                    format!(
                        "the mass of one {} is not on file; give `kg`, or `kg_each`",
                        food.name
                    ),
                )
            })?,
    };
    Ok(each * one)
}

fn number(column: &'static str, text: &str) -> Result<f64, Wrong> {
    match text.parse::<f64>() {
        Ok(value) if (0.0..=ROW_MAX).contains(&value) => Ok(value),
        Ok(value) => Err((column, format!("{value} is outside 0 to {ROW_MAX}"))),
        Err(_) => Err((
            column,
            format!(
                "`{}` is not a number; write it with a point, such as 1.25",
                shown(text)
            ),
        )),
    }
}

/// Days that receipts must span before a weekly appetite is read from them; shorter spans catch a stock-up by chance
/// (own choice).
const SPAN_MIN_DAYS: i64 = 28;

impl Receipts {
    /// The household with the prices of the receipts before all others, and with its appetite from them too where they
    /// hold all that it buys.
    pub fn told(&self, mut household: Household, all_that_is_bought: bool) -> Household {
        let prices = self.prices(&household);
        household.prices.extend(prices);
        if all_that_is_bought {
            // The person's own word goes before what the receipts add up to.
            let own = std::mem::take(&mut household.appetites);
            household.appetites = self.appetites();
            household.appetites.extend(own);
        }
        household
    }

    /// Prices by food and month: paid over kg of the month; a month without a purchase takes the mean of the whole span.
    ///
    /// What was paid in another year than the household's price year is moved there by the price index.
    pub fn prices(&self, household: &Household) -> Vec<OwnPrice> {
        let paid = |row: &Bought| {
            let level = price::inflation_factor(
                household.country,
                row.date.year(),
                household.price_year,
                household.inflation,
            );
            row.paid * level
        };
        self.by_food(|food, rows| {
            let of = |month: Option<u32>| {
                let fits = |row: &&&Bought| month.is_none_or(|month| row.date.month() == month);
                let (kg, paid) = rows
                    .iter()
                    .filter(fits)
                    .fold((0.0, 0.0), |sum, row| (sum.0 + row.kg, sum.1 + paid(row)));
                (kg > 0.0).then(|| paid / kg)
            };
            let mean = of(None)?;
            let mut per_kg = [mean; 12];
            for (month, price) in (1..=12).zip(&mut per_kg) {
                *price = of(Some(month)).unwrap_or(mean);
            }
            let purchases = if rows.len() == 1 {
                "purchase"
            } else {
                "purchases"
            };
            let basis = format!("own receipts, {} {purchases}", rows.len());
            let year = rows.iter().map(|row| row.date.year()).max()?;
            Some(OwnPrice {
                food: food.to_owned(),
                per_kg,
                basis,
                year,
            })
        })
    }

    /// Appetite by food: kg over the weeks from first to last day of all receipts; empty where these span less than four
    /// weeks.
    pub fn appetites(&self) -> Vec<OwnAppetite> {
        let days: Vec<NaiveDate> = self.bought.iter().map(|row| row.date).collect();
        let (Some(first), Some(last)) = (days.iter().min(), days.iter().max()) else {
            return Vec::new();
        };
        let span = (*last - *first).num_days() + 1;
        if span < SPAN_MIN_DAYS {
            return Vec::new();
        }
        let weeks = span as f64 / 7.0;
        self.by_food(|food, rows| {
            let kg_week = rows.iter().map(|row| row.kg).sum::<f64>() / weeks;
            let basis = format!("own receipts, {first} to {last}");
            Some(OwnAppetite {
                of: food.to_owned(),
                kg_week,
                basis,
            })
        })
    }

    /// One figure for each food that was bought, in the order of the table.
    fn by_food<T>(&self, figure: impl Fn(&str, &[&Bought]) -> Option<T>) -> Vec<T> {
        food::foods()
            .iter()
            .filter_map(|food| {
                let rows: Vec<&Bought> = self
                    .bought
                    .iter()
                    .filter(|row| row.food == food.id)
                    .collect();
                if rows.is_empty() {
                    None
                } else {
                    figure(&food.id, &rows)
                }
            })
            .collect()
    }
}
