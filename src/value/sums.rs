//! Months and the year as they are shown: means over the weather years, money in minor units, sums of what is shown.

use super::account::{Sums, YearResult};
use super::year::{CostKind, FixedCost, FoodValue, MonthValue, YearInput, YearValue};
use super::{Currency, Market, Money};
use crate::profile::Quantiles;
use std::collections::BTreeMap;

pub(super) fn mean_of(brought: &[YearResult], figure: impl Fn(&YearResult) -> f64) -> f64 {
    brought.iter().map(figure).sum::<f64>() / brought.len() as f64
}

fn spread_of(brought: &[YearResult], figure: impl Fn(&YearResult) -> f64) -> Quantiles {
    let sample: Vec<f64> = brought.iter().map(figure).collect();
    // There is at least one weather year; an empty sample would have been refused.
    Quantiles::of(&sample).unwrap_or(Quantiles {
        p10: 0.0,
        p50: 0.0,
        p90: 0.0,
    })
}

/// Costs of a month by kind: fixed ones and the mean of those that hang on the weather.
fn costs_of(brought: &[YearResult], fixed: &[FixedCost], month: usize) -> BTreeMap<CostKind, f64> {
    let mut kinds = BTreeMap::new();
    let of_weather = brought.iter().flat_map(|year| &year.costs);
    let of_weather = of_weather.map(|(kind, months)| (*kind, months[month] / brought.len() as f64));
    let fixed = fixed.iter().map(|cost| (cost.kind, cost.month[month]));
    for (kind, amount) in fixed.chain(of_weather) {
        *kinds.entry(kind).or_insert(0.0) += amount;
    }
    kinds
}

pub(super) fn month_value(input: &YearInput, brought: &[YearResult], month: usize) -> MonthValue {
    let currency = input.market.currency;
    let value = currency.round(mean_of(brought, |year| year.months[month].value));
    let costs: Vec<(CostKind, Money)> = costs_of(brought, input.fixed, month)
        .into_iter()
        .map(|(kind, amount)| (kind, currency.round(amount)))
        .collect();
    let cost = costs.iter().map(|(_, amount)| *amount).sum();
    let budget = currency.round(input.market.produce_month[month]);
    let grown_kg = mean_of(brought, |year| year.months[month].grown_kg);
    MonthValue {
        month: month as u32 + 1,
        grown_kg,
        eaten_kg: mean_of(brought, |year| year.months[month].eaten_kg),
        kept_kg: mean_of(brought, |year| year.months[month].kept_kg),
        beyond_kg: mean_of(brought, |year| year.months[month].beyond_kg),
        surplus_kg: mean_of(brought, |year| year.months[month].surplus_kg),
        value,
        beyond: currency.round(mean_of(brought, |year| year.months[month].beyond)),
        cost,
        net: value - cost,
        budget,
        share: share(value, budget),
        costs,
        value_spread: spread_of(brought, |year| year.months[month].value),
        net_spread: spread_of(brought, |year| {
            let fixed = input.fixed.iter().map(|cost| cost.month[month]);
            let of_weather = year.costs.iter().map(|(_, months)| months[month]);
            year.months[month].value - fixed.sum::<f64>() - of_weather.sum::<f64>()
        }),
        grown_kg_spread: spread_of(brought, |year| year.months[month].grown_kg),
        work_h: input.work_h[month] + input.pick_h_per_kg * grown_kg,
    }
}

fn share(part: Money, whole: Money) -> Option<f64> {
    (whole > Money::ZERO).then(|| part.minor() as f64 / whole.minor() as f64)
}

/// Sums of the months, and the year's own figures.
pub(super) fn sum_up(
    input: &YearInput,
    brought: &[YearResult],
    months: Vec<MonthValue>,
) -> YearValue {
    let market = input.market;
    let currency = market.currency;
    let value: Money = months.iter().map(|month| month.value).sum();
    let cost: Money = months.iter().map(|month| month.cost).sum();
    let ceiling: Money = months.iter().map(|month| month.budget).sum();
    let groceries = market
        .groceries_month
        .map(|month| currency.round(month * 12.0));
    let kg = |figure: fn(&MonthValue) -> f64| months.iter().map(figure).sum::<f64>();
    let cost_of = |year: &YearResult| {
        let fixed = input.fixed.iter().flat_map(|cost| &cost.month);
        let of_weather = year.costs.iter().flat_map(|(_, months)| months);
        fixed.sum::<f64>() + of_weather.sum::<f64>()
    };
    let year_value = |year: &YearResult| year.months.iter().map(|month| month.value).sum::<f64>();
    let open = input.not_counted.iter();
    YearValue {
        currency,
        grown_kg: kg(|month| month.grown_kg),
        eaten_kg: kg(|month| month.eaten_kg),
        kept_kg: kg(|month| month.kept_kg),
        beyond_kg: kg(|month| month.beyond_kg),
        surplus_kg: kg(|month| month.surplus_kg),
        value,
        beyond: months.iter().map(|month| month.beyond).sum(),
        cost,
        net: value - cost,
        costs: sum_costs(&months),
        ceiling,
        share_of_produce: share(value, ceiling),
        share_of_groceries: groceries.and_then(|all| share(value, all)),
        value_spread: spread_of(brought, year_value),
        net_spread: spread_of(brought, |year| year_value(year) - cost_of(year)),
        foods: food_values(market, brought, value),
        work_h: kg(|month| month.work_h),
        months,
        left_out: open.map(|open| open.what.clone()).collect(),
        flags: Vec::new(),
    }
}

fn sum_costs(months: &[MonthValue]) -> Vec<(CostKind, Money)> {
    let mut kinds = BTreeMap::new();
    for (kind, amount) in months.iter().flat_map(|month| &month.costs) {
        *kinds.entry(*kind).or_insert(Money::ZERO) += *amount;
    }
    kinds.into_iter().collect()
}

/// Foods that were picked, by value; the parts are shared out so that they add up to `total`.
fn food_values(market: &Market, brought: &[YearResult], total: Money) -> Vec<FoodValue> {
    let column = |line: usize, of: fn(&Sums) -> f64| mean_of(brought, |year| of(&year.foods[line]));
    let grown: Vec<usize> = (0..market.foods.len())
        .filter(|line| column(*line, |food| food.grown_kg + food.eaten_kg) > 0.0)
        .collect();
    let weights = grown.iter().map(|line| column(*line, |food| food.value));
    let weights: Vec<f64> = weights.collect();
    let parts = if weights.iter().sum::<f64>() > 0.0 {
        Currency::share_out(total, &weights)
    } else {
        vec![Money::ZERO; grown.len()]
    };
    let mut foods: Vec<FoodValue> = grown
        .iter()
        .zip(parts)
        .map(|(line, value)| FoodValue {
            food: market.foods[*line].food.clone(),
            name: market.foods[*line].name.clone(),
            grown_kg: column(*line, |food| food.grown_kg),
            eaten_kg: column(*line, |food| food.eaten_kg),
            beyond_kg: column(*line, |food| food.beyond_kg),
            value,
        })
        .collect();
    foods.sort_by(|a, b| b.value.cmp(&a.value).then_with(|| a.food.cmp(&b.food)));
    foods
}
