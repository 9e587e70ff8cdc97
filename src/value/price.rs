//! Published prices by food and month, and the way from a published price to the household's own money.

use super::food::{Food, rows};
use super::market::OWN_FIGURE;
use super::{Basis, Country, Household, SaladBought, ValueError};
use crate::profile::mean;
use crate::words::Word;
use serde::Deserialize;
use std::sync::LazyLock;

/// A row of `data/prices.csv`: price per kg as bought, in the currency of the country and year.
#[derive(Clone, Debug, Deserialize)]
pub(super) struct PriceRow {
    food: String,
    country: String,
    year: i32,
    jan: Option<f64>,
    feb: Option<f64>,
    mar: Option<f64>,
    apr: Option<f64>,
    may: Option<f64>,
    jun: Option<f64>,
    jul: Option<f64>,
    aug: Option<f64>,
    sep: Option<f64>,
    oct: Option<f64>,
    nov: Option<f64>,
    dec: Option<f64>,
    annual: Option<f64>,
    source: String,
    mark: String,
}

#[derive(Clone, Debug, Deserialize)]
struct Like {
    food: String,
    like: String,
    ratio: f64,
    note: String,
}

#[derive(Clone, Debug, Deserialize)]
struct SeasonLike {
    food: String,
    like: String,
}

#[derive(Clone, Debug, Deserialize)]
struct IndexRow {
    country: String,
    year: i32,
    index: f64,
}

#[derive(Clone, Debug, Deserialize)]
struct ExchangeRow {
    code: String,
    per_usd: f64,
}

static PRICES: LazyLock<Vec<PriceRow>> = LazyLock::new(|| rows(include_str!("data/prices.csv")));
static LIKES: LazyLock<Vec<Like>> = LazyLock::new(|| rows(include_str!("data/price_like.csv")));
static SEASONS: LazyLock<Vec<SeasonLike>> = LazyLock::new(|| rows(include_str!("data/season.csv")));
static INDEX: LazyLock<Vec<IndexRow>> =
    LazyLock::new(|| rows(include_str!("data/price_index.csv")));
static EXCHANGE: LazyLock<Vec<ExchangeRow>> =
    LazyLock::new(|| rows(include_str!("data/exchange.csv")));

/// Country whose monthly prices lend their swing to yearly ones.
const SEASON_COUNTRY: Country = Country::Canada;

/// A price found for a food, in the money of a country and year.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Found {
    pub per_kg: [f64; 12],
    pub country: Country,
    pub year: i32,
    pub basis: Basis,
    /// Whether the months differ.
    pub seasonal: bool,
    /// Assumptions on the way, in words.
    pub notes: Vec<String>,
}

impl Found {
    fn new(per_kg: [f64; 12], country: Country, year: i32, basis: Basis) -> Self {
        Self {
            per_kg,
            country,
            year,
            basis,
            seasonal: true,
            notes: Vec::new(),
        }
    }
}

impl PriceRow {
    /// The twelve months, where all are published.
    fn months(&self) -> Option<[f64; 12]> {
        let all = [
            self.jan, self.feb, self.mar, self.apr, self.may, self.jun, self.jul, self.aug,
            self.sep, self.oct, self.nov, self.dec,
        ];
        let mut months = [0.0; 12];
        for (month, price) in months.iter_mut().zip(all) {
            *month = price?;
        }
        Some(months)
    }
}

fn row(food: &str, country: Country) -> Option<&'static PriceRow> {
    PRICES
        .iter()
        .find(|row| row.food == food && row.country == country.word())
}

/// Month over yearly mean of a food whose own price is yearly.
fn season_factor(food: &str) -> Option<([f64; 12], &'static str)> {
    let like = SEASONS.iter().find(|season| season.food == food)?;
    let months = row(&like.like, SEASON_COUNTRY)?.months()?;
    let yearly = mean(&months);
    Some((months.map(|month| month / yearly), &like.like))
}

/// Published price of a food in one country: its own row, else that of the food it is likened to.
pub(super) fn published(food: &Food, country: Country, salad: SaladBought) -> Option<Found> {
    let leaf = salad == SaladBought::Packed && CUT_AS_LEAVES.contains(&food.id.as_str());
    if !leaf && let Some(found) = direct(&food.id, country) {
        return Some(found);
    }
    let (like, ratio, note) = match LIKES.iter().find(|like| like.food == food.id) {
        _ if leaf => (
            "salad_mix",
            1.0,
            "cut as leaves, as the packed salad the household buys",
        ),
        Some(like) if like.like == "salad" => match salad {
            SaladBought::Heads => ("lettuce", like.ratio, like.note.as_str()),
            SaladBought::Packed => ("salad_mix", like.ratio, like.note.as_str()),
        },
        Some(like) => (like.like.as_str(), like.ratio, like.note.as_str()),
        None => return None,
    };
    let stand_in = super::food::find(like)?;
    // Likenesses lead to foods with a row of their own in one or two steps; `salad_mix` is likened to lettuce
    // heads, so it must not be sent back to leaves.
    let mut found = direct(like, country).or_else(|| {
        (stand_in.id != food.id)
            .then(|| published(stand_in, country, SaladBought::Heads))
            .flatten()
    })?;
    found.per_kg = found.per_kg.map(|price| price * ratio);
    found.notes.push(format!(
        "{}: price of {} is taken ({note})",
        food.name, stand_in.name
    ));
    found.basis.mark = "assumption".to_owned();
    found.basis.source = format!("price of {}: {}", stand_in.name, found.basis.source);
    Some(found)
}

/// Foods that stand in for packed leaves where the household buys these.
const CUT_AS_LEAVES: [&str; 5] = ["lettuce", "arugula", "mizuna", "mache", "claytonia"];

fn direct(food: &str, country: Country) -> Option<Found> {
    let row = row(food, country)?;
    let basis = Basis::new(&row.source, row.year, &row.mark);
    let mut found = Found::new([0.0; 12], country, row.year, basis);
    if let Some(months) = row.months() {
        found.per_kg = months;
    } else {
        let annual = row.annual?;
        found.per_kg = [annual; 12];
        if let Some((factor, like)) = season_factor(food) {
            found.per_kg = factor.map(|month| month * annual);
            found.basis.source.push_str(&format!(
                "; months by the swing of {like}, Statistics Canada, table 18-10-0245-01, 2025 (assumption)"
            ));
        } else {
            found.seasonal = false;
        }
    }
    Some(found)
}

/// Price level of a country in the household's price year over that of `from_year`; beyond the index on file with the
/// household's inflation.
pub(super) fn inflation_factor(household: &Household, country: Country, from_year: i32) -> f64 {
    let level = |year| level(country, year, household.inflation);
    level(household.price_year) / level(from_year)
}

fn level(country: Country, year: i32, inflation: f64) -> f64 {
    let of_country = || INDEX.iter().filter(|row| row.country == country.word());
    let nearest = of_country().min_by_key(|row| (row.year - year).abs());
    nearest.map_or(1.0, |row| {
        row.index * (1.0 + inflation).powi(year - row.year)
    })
}

/// Last year of a country's price index on file.
pub(super) fn last_index_year(country: Country) -> Option<i32> {
    INDEX
        .iter()
        .filter(|row| row.country == country.word())
        .map(|row| row.year)
        .max()
}

/// Units of the household's currency for one US dollar.
///
/// # Errors
/// [`ValueError::NoExchangeRate`] where none is on file and none was given.
pub fn per_usd(household: &Household) -> Result<f64, ValueError> {
    Ok(exchange(household, Country::UnitedStates)?.0)
}

/// Units of the household's currency for one unit of a country's, and whether it is a rate on file.
///
/// # Errors
/// [`ValueError::NoExchangeRate`] where none is on file and none was given.
pub(super) fn exchange(household: &Household, country: Country) -> Result<(f64, bool), ValueError> {
    let (from, to) = (country.currency_code(), household.currency.code());
    if from == to {
        return Ok((1.0, false));
    }
    let per_usd = |code: &str| {
        EXCHANGE
            .iter()
            .find(|row| row.code == code)
            .map(|row| row.per_usd)
    };
    let home = household.country.currency_code();
    let given = household.exchange_rate.and_then(|rate| {
        if from == home {
            Some(rate)
        } else {
            Some(rate * per_usd(home)? / per_usd(from)?)
        }
    });
    let on_file = || Some(per_usd(to)? / per_usd(from)?);
    match given {
        Some(rate) => Ok((rate, from != home)),
        None => on_file()
            .map(|rate| (rate, true))
            .ok_or(ValueError::NoExchangeRate { from, to }),
    }
}

/// Amount of a country and year in the household's money.
///
/// # Errors
/// [`ValueError::NoExchangeRate`] where no rate is known.
pub(super) fn to_household(
    household: &Household,
    amount: f64,
    country: Country,
    year: i32,
) -> Result<f64, ValueError> {
    let (rate, _) = exchange(household, country)?;
    Ok(amount * rate * inflation_factor(household, country, year))
}

/// Price of a food for the household: its own figure, else its country's, else that of the United States.
///
/// # Errors
/// [`ValueError::NoExchangeRate`] where a published price cannot be turned into the household's currency.
pub(super) fn price_for(household: &Household, food: &Food) -> Result<Option<Found>, ValueError> {
    if let Some(own) = household
        .prices
        .iter()
        .rev()
        .find(|own| is(&own.food, food))
    {
        let basis = Basis::new(&own.basis, own.year, OWN_FIGURE);
        let (country, year) = (household.country, household.price_year);
        return Ok(Some(Found::new(own.per_kg, country, year, basis)));
    }
    let salad = household.salad_bought.unwrap_or(SaladBought::Heads);
    let home = published(food, household.country, salad);
    let Some(mut found) = home.or_else(|| published(food, Country::UnitedStates, salad)) else {
        return Ok(None);
    };
    if found.country != household.country {
        found.notes.push(format!(
            "{}: price of {} is taken",
            food.name,
            found.country.name()
        ));
        found.basis.mark = "assumption".to_owned();
    }
    let (rate, _) = exchange(household, found.country)?;
    let level = inflation_factor(household, found.country, found.year);
    found.per_kg = found.per_kg.map(|price| price * rate * level);
    if household.southern && found.seasonal {
        found.per_kg.rotate_left(6);
    }
    Ok(Some(found))
}

/// Whether a name given by the person means this food.
pub(super) fn is(name: &str, food: &Food) -> bool {
    super::food::find(name).is_some_and(|found| found.id == food.id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_names_a_food() {
        for row in PRICES.iter() {
            assert!(
                super::super::food::find(&row.food).is_some(),
                "{}",
                row.food
            );
            assert!(
                row.months().is_some() || row.annual.is_some(),
                "{} {}",
                row.food,
                row.country
            );
        }
        for season in SEASONS.iter() {
            assert!(season_factor(&season.food).is_some(), "{}", season.food);
        }
    }

    /// CPI-U, all items, annual averages: 292.655 in 2022, 313.689 in 2024 (BLS, read second hand).
    #[test]
    fn inflation_follows_the_index_then_the_rate() {
        let at = |year| level(Country::UnitedStates, year, 0.02);
        let us = |from, to| at(to) / at(from);
        assert!((us(2022, 2024) - 313.689 / 292.655).abs() < 1e-12);
        assert!((us(2025, 2027) - 1.02 * 1.02).abs() < 1e-12);
        assert!((us(2024, 2022) * us(2022, 2024) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_season_factor_has_a_mean_of_one() {
        let (factor, _) = season_factor("cucumber").unwrap();
        assert!((mean(&factor) - 1.0).abs() < 1e-12);
    }
}
