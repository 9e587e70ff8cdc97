//! The year's account: food into money, costs against it, months that add up.

use super::Market;
use super::count::count_all;
use super::sums::{mean_of, month_value, sum_up};
use super::year::{CostKind, Flag, WeatherYear, YearInput, YearValue};
use crate::calendar::{WEEKS_PER_YEAR, months_of_week};
use std::collections::BTreeSet;

/// Months of one quantity.
pub(super) type Months = [f64; 12];

/// What a month, or a food, comes to in a weather year.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums {
    pub grown_kg: f64,
    pub eaten_kg: f64,
    pub kept_kg: f64,
    pub surplus_kg: f64,
    pub value: f64,
    pub beyond_kg: f64,
    pub beyond: f64,
}

/// One weather year in plain numbers.
#[derive(Clone, Debug)]
pub(super) struct YearResult {
    pub months: [Sums; 12],
    /// By food of the market.
    pub foods: Vec<Sums>,
    /// Value before it was cut back to the produce that is bought.
    pub uncut: f64,
    /// Costs that hang on the weather.
    pub costs: Vec<(CostKind, Months)>,
}

/// Works out the year: what was eaten in place of buying at the prices of its months, less what it cost.
///
/// What replaces food that would have been bought is counted as [`count_all`] does; what is eaten beyond that stands beside
/// it and enters no other figure. What a month shows is the mean over the weather
/// years; money is rounded to the minor unit by month and kind, and every sum is the sum of what is shown.
pub fn year(input: &YearInput) -> YearValue {
    let years = input.years.iter();
    let brought: Vec<YearResult> = years.map(|weather| bring(input, weather)).collect();
    let months = (0..12)
        .map(|month| month_value(input, &brought, month))
        .collect();
    let mut year = sum_up(input, &brought, months);
    let open = input.not_counted.iter().cloned();
    let no_share = year.share_of_groceries.is_none() || year.share_of_produce.is_none();
    year.flags = flag_above_produce(input.market, &brought)
        .into_iter()
        .chain(food_flags(input, &year))
        .chain(appetite_flag(input.market))
        .chain(open.map(|what| Flag::CostNotCounted { what }))
        .chain(no_share.then_some(Flag::NoBudget))
        .collect();
    year
}

/// One weather year: kilograms and money by month.
fn bring(input: &YearInput, weather: &WeatherYear) -> YearResult {
    let market = input.market;
    let counts = count_all(market, &weather.foods, 0);
    let mut brought = YearResult {
        months: [Sums::default(); 12],
        foods: vec![Sums::default(); market.foods.len()],
        uncut: counts.uncut.iter().sum(),
        costs: input.tariff.costs(&weather.running),
    };
    let foods = weather.foods.iter();
    let lines: Vec<Option<usize>> = foods.map(|flow| market.place(&flow.food)).collect();
    for week in 0..WEEKS_PER_YEAR {
        for (flow, line) in weather.foods.iter().zip(&lines) {
            let of_week = |column: &[f64]| column[week].max(0.0);
            let (grown, surplus) = (of_week(&flow.harvested_kg), of_week(&flow.surplus_kg));
            let lost = match line {
                Some(line) => {
                    brought.foods[*line].grown_kg += grown;
                    surplus
                }
                // What the table does not know replaces nothing.
                None => surplus + of_week(&flow.eaten_kg),
            };
            for (month, part) in months_of_week(week) {
                let sums = &mut brought.months[*month];
                sums.grown_kg += grown * part;
                sums.kept_kg += of_week(&flow.kept_kg) * part;
                sums.surplus_kg += lost * part;
            }
        }
        for food in counts.weeks.get(week).into_iter().flatten() {
            for (month, part) in months_of_week(week) {
                let sums = &mut brought.months[*month];
                sums.eaten_kg += food.replaced_kg * part;
                sums.value += food.replaced * part;
                sums.beyond_kg += food.beyond_kg * part;
                sums.beyond += food.beyond * part;
            }
            let sums = &mut brought.foods[food.line];
            sums.eaten_kg += food.replaced_kg;
            sums.beyond_kg += food.beyond_kg;
            sums.value += food.replaced;
        }
    }
    brought
}

/// Says where prices and appetite value the food eaten above all the produce that is bought.
fn flag_above_produce(market: &Market, brought: &[YearResult]) -> Option<Flag> {
    let produce: f64 = market.produce_month.iter().sum();
    let mean = mean_of(brought, |year| year.uncut);
    (mean > produce).then(|| Flag::ValueAboveProduce {
        value: market.currency.round(mean),
        produce: market.currency.round(produce),
    })
}

fn food_flags(input: &YearInput, year: &YearValue) -> Vec<Flag> {
    let market = input.market;
    let priced = |food: &str| {
        market
            .food(food)
            .is_some_and(|line| line.price_per_kg.iter().any(|price| *price > 0.0))
    };
    let foods = year.foods.iter();
    let unpriced = foods.filter(|food| food.grown_kg > KG_SHOWN && !priced(&food.food));
    let unpriced = unpriced.map(|food| Flag::NotPriced {
        food: food.food.clone(),
        eaten_kg: food.eaten_kg + food.beyond_kg,
    });
    let flows = input.years.iter().flat_map(|weather| &weather.foods);
    let unknown: BTreeSet<String> = flows
        .map(|flow| flow.food.clone())
        .filter(|food| market.food(food).is_none())
        .collect();
    let unknown = unknown.into_iter().map(|food| Flag::UnknownFood { food });
    unpriced.chain(unknown).collect()
}

/// Less than this is not worth a remark, kg a year; own choice.
const KG_SHOWN: f64 = 0.01;

/// Appetite at the prices on file against the produce line: of vegetables where the line is known, else of all.
fn appetite_flag(market: &Market) -> Option<Flag> {
    let basket = market.basket_year(market.vegetables_month.is_some());
    let months = market.vegetables_month.unwrap_or(market.produce_month);
    let line: f64 = months.iter().sum();
    let slack = if market.produce_given {
        0.0
    } else {
        PRODUCE_SLACK
    };
    (basket > line * (1.0 + slack)).then(|| Flag::AppetiteAboveProduce {
        appetite: market.currency.round(basket),
        produce: market.currency.round(line),
    })
}

/// Appetite times price may be above a produce line of the statistics by this fraction before it is flagged, since the two
/// come from different surveys; a line that the person stated is taken by its word. Own choice.
const PRODUCE_SLACK: f64 = 0.1;
