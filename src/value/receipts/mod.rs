//! The person's own receipts: a CSV with the heads `date`, `food`, `kg` or `each` (with `kg_each`), `paid`.

mod read;

pub use read::read;

use super::food;
use super::{Household, OwnAppetite, OwnPrice, price};
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
