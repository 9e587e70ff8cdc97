//! The person's own receipts: a CSV with the heads `date`, `food`, `kg` or `each` (with `kg_each`), `paid`.

use super::food::{self, Food};
use super::{Household, OwnAppetite, OwnPrice, price};
use crate::plain::{beginning, blanked, without_mark};
use crate::sheet::{self, DateOrder, Line};
use chrono::{Datelike, NaiveDate};

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
    pub line: usize,
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
const KG_EACH: [(&str, f64); 8] = [
    ("lettuce", 0.5),
    ("lettuce_head", 0.55),
    ("cucumber", 0.35),
    ("cabbage", 0.9),
    ("cauliflower", 0.7),
    ("broccoli", 0.5),
    ("celery", 0.6),
    ("melon", 1.2),
];

/// Days that receipts must span before a weekly appetite is read from them; shorter spans catch a stock-up by chance
/// (own choice).
const SPAN_MIN_DAYS: i64 = 28;

impl Receipts {
    /// The household with the prices of the receipts before all others, and with its appetite from them too where they
    /// hold all that it buys.
    pub fn apply_to(&self, mut household: Household, all_that_is_bought: bool) -> Household {
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
            let level = price::inflation_factor(household, household.country, row.date.year());
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

/// Most that one row of a receipt may be, kg and units of currency: a slip of the decimal point is more likely.
const ROW_MAX: f64 = 100_000.0;

/// Most that a kg may cost, units of currency (own choice): dear spices in the smallest currencies cost less.
const PRICE_MAX: f64 = 1e9;

/// What begins a line that is left out.
const REMARK: char = '#';

/// Where the columns are, and how their cells are written.
struct Layout {
    date: usize,
    food: usize,
    paid: usize,
    kg: Option<usize>,
    each: Option<usize>,
    kg_each: Option<usize>,
    /// Number of columns.
    width: usize,
    separator: char,
    order: Option<DateOrder>,
    comma_decimal: bool,
}

/// Reads receipts from CSV text as any spreadsheet writes it: commas, semicolons or tabs between the cells, decimals
/// with a point or a comma.
///
/// The first line names the columns, in any order: `date` (2026-03-31), `food` (name or crop id), `paid`, and `kg` or
/// `each` (pieces; `kg_each` gives the mass of one). Other columns are left alone, and so are lines that begin with `#`.
/// Every bad row is named with its line and column; the good ones are read on.
pub fn read(text: &str) -> Receipts {
    let mut receipts = Receipts::default();
    let text = without_mark(text);
    let bad = |line: usize, column: &str, what: String| BadRow {
        line,
        column: column.to_owned(),
        what,
    };
    let (layout, rows) = match laid_out(text) {
        Ok(found) => found,
        Err((line, what)) => {
            receipts.bad.push(bad(line, "heads", what));
            return receipts;
        }
    };
    for line in &rows {
        match row(&layout, line) {
            Ok(bought) => receipts.bought.push(bought),
            Err((column, what)) => receipts.bad.push(bad(line.number, column, what)),
        }
    }
    receipts
}

fn is_remark(line: &str) -> bool {
    line.trim_start().starts_with(REMARK)
}

/// The layout and the rows below the heads.
fn laid_out(text: &str) -> Result<(Layout, Vec<Line>), (usize, String)> {
    let heads = text
        .lines()
        .find(|line| !line.trim().is_empty() && !is_remark(line))
        .unwrap_or("");
    let separator = sheet::separator(heads);
    let place = heads
        .split(separator)
        .position(|head| head.trim().trim_matches('"').eq_ignore_ascii_case("date"));
    let starts_row = |line: &str| {
        let cell = place.and_then(|place| line.split(separator).nth(place));
        is_remark(line)
            || cell.is_some_and(|cell| {
                let cell = cell.trim().trim_matches('"');
                sheet::date(cell, Some(DateOrder::DayFirst)).is_ok()
            })
    };
    let mut rows = sheet::lines(text, separator, starts_row);
    rows.retain(|row| !is_remark(row.text(0)));
    if rows.is_empty() {
        return Err((
            1,
            "the file is empty; the first line names the columns".to_owned(),
        ));
    }
    let heads = rows.remove(0);
    let mut layout = columns(&heads, separator).map_err(|what| (heads.number, what))?;
    layout.order = sheet::order(rows.iter().map(|row| row.text(layout.date)));
    let figures = [Some(layout.paid), layout.kg, layout.each, layout.kg_each];
    let figures = figures.into_iter().flatten();
    let figures = figures.flat_map(|at| rows.iter().map(move |row| row.text(at)));
    layout.comma_decimal = sheet::comma_decimal(separator, figures);
    Ok((layout, rows))
}

fn columns(heads: &Line, separator: char) -> Result<Layout, String> {
    let place = |name: &str| {
        let is = |cell: &sheet::Cell| cell.text.eq_ignore_ascii_case(name);
        heads.cells.iter().position(is)
    };
    let needed = |name: &str| {
        place(name).ok_or_else(|| {
            format!(
                "no column `{name}`; the first line must name `date`, `food`, `kg` or `each`, `paid`"
            )
        })
    };
    let layout = Layout {
        date: needed("date")?,
        food: needed("food")?,
        paid: needed("paid")?,
        kg: place("kg"),
        each: place("each"),
        kg_each: place("kg_each"),
        width: heads.cells.len(),
        separator,
        order: None,
        comma_decimal: false,
    };
    if layout.kg.is_none() && layout.each.is_none() {
        needed("kg")?;
    }
    Ok(layout)
}

type Wrong = (&'static str, String);

/// Longest piece of a cell that a message shows, characters (own choice).
const SHOWN_MAX: usize = 40;

/// A cell as a message may show it: short, on one line, without anything that steers a terminal.
fn shown(text: &str) -> String {
    blanked(&beginning(text, SHOWN_MAX))
}

fn row(layout: &Layout, line: &Line) -> Result<Bought, Wrong> {
    whole(layout, line)?;
    let text = |at: usize| line.text(at);
    let number = |name, at: usize| number(layout, name, text(at));
    let date = sheet::date(&shown(text(layout.date)), layout.order)
        .map_err(|error| ("date", error.to_string()))?;
    let food = food::require(sheet::plain(&shown(text(layout.food))))
        .map_err(|error| ("food", error.to_string()))?;
    let paid = number("paid", layout.paid)?;
    let kg = match layout.kg.filter(|at| !text(*at).is_empty()) {
        Some(at) => number("kg", at)?,
        None => pieces(layout, line, food)?,
    };
    if kg <= 0.0 {
        return Err(("kg", "must be above 0".to_owned()));
    }
    if paid / kg > PRICE_MAX {
        let what = format!(
            "{paid} paid for {kg:e} kg is {:.0e} a kg; is it the mass that was bought?",
            paid / kg
        );
        return Err(("kg", what));
    }
    Ok(Bought {
        date,
        food: food.id.clone(),
        kg,
        paid,
    })
}

/// Refuses a row whose cells cannot be told apart: a figure with a decimal comma, parted by commas, would be two.
fn whole(layout: &Layout, line: &Line) -> Result<(), Wrong> {
    if line.open {
        return Err((
            "all",
            "a quotation mark is opened and not closed".to_owned(),
        ));
    }
    match line.surplus(layout.width) {
        Some(cell) => Err((
            "all",
            format!(
                "`{}` stands beyond the last of {} columns; put a cell with a `{}` in quotation marks",
                shown(&cell.text),
                layout.width,
                layout.separator
            ),
        )),
        None => Ok(()),
    }
}

fn pieces(layout: &Layout, line: &Line, food: &Food) -> Result<f64, Wrong> {
    let text = |at: Option<usize>| Some(line.text(at?)).filter(|text| !text.is_empty());
    let Some(each) = text(layout.each) else {
        return Err(("kg", "neither `kg` nor `each` is given".to_owned()));
    };
    let each = number(layout, "each", each)?;
    let one = match text(layout.kg_each) {
        Some(kg) => number(layout, "kg_each", kg)?,
        None => {
            let known = KG_EACH.iter().find(|(id, _)| *id == food.id);
            let name = &food.name;
            let lacks =
                || format!("the mass of one {name} is not on file; give `kg`, or `kg_each`");
            known.ok_or_else(|| ("each", lacks()))?.1
        }
    };
    Ok(each * one)
}

fn number(layout: &Layout, column: &'static str, text: &str) -> Result<f64, Wrong> {
    match sheet::number(&shown(text), layout.comma_decimal) {
        Ok(value) if (0.0..=ROW_MAX).contains(&value) => Ok(value),
        Ok(value) => Err((column, format!("{value} is outside 0 to {ROW_MAX}"))),
        Err(error @ sheet::NumberError::NoNumber(_)) => {
            Err((column, format!("{error}; write it such as 1.25")))
        }
        Err(error @ sheet::NumberError::TwoMeanings(_)) => Err((column, error.to_string())),
    }
}
