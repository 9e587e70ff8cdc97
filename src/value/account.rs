//! The year's account: food into money, costs against it, months that add up.

use super::count::count_all;
use super::year::{CostKind, FixedCost, FoodValue, MonthValue, WeatherYear, YearInput, YearValue};
use super::{Currency, Market, Money};
use crate::calendar::{WEEKS_PER_YEAR, months_of_week};
use crate::phrase::{Phrase, amount, phrase};
use crate::profile::Quantiles;
use std::collections::{BTreeMap, BTreeSet};

/// Months of one quantity.
type Months = [f64; 12];

/// What a month, or a food, comes to in a weather year.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    grown_kg: f64,
    eaten_kg: f64,
    kept_kg: f64,
    surplus_kg: f64,
    value: f64,
    beyond_kg: f64,
    beyond: f64,
}

/// One weather year in plain numbers.
#[derive(Clone, Debug)]
struct YearResult {
    months: [Sums; 12],
    /// By food of the market.
    foods: Vec<Sums>,
    /// Value before it was cut back to the produce that is bought.
    uncut: f64,
    /// Costs that hang on the weather.
    costs: Vec<(CostKind, Months)>,
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
    let open = input.not_counted.iter();
    let no_share = year.share_of_groceries.is_none() || year.share_of_produce.is_none();
    year.flags =
        flag_above_produce(input.market, &brought)
            .into_iter()
            .chain(food_flags(input, &year))
            .chain(appetite_flag(input.market))
            .chain(open.map(|open| phrase!["not counted as a cost: ", &open.what, ": ", open.why]))
            .chain(no_share.then(|| {
                "neither groceries nor produce budget is known, so shares are missing".into()
            }))
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

/// An amount to the minor unit, with its currency.
fn text(market: &Market, amount: f64) -> String {
    let currency = market.currency;
    format!(
        "{} {}",
        currency.text(currency.round(amount)),
        currency.code()
    )
}

/// Says where prices and appetite value the food eaten above all the produce that is bought.
fn flag_above_produce(market: &Market, brought: &[YearResult]) -> Option<Phrase> {
    let produce: f64 = market.produce_month.iter().sum();
    let mean = mean_of(brought, |year| year.uncut);
    (mean > produce).then(|| {
        let (value, produce) = (text(market, mean), text(market, produce));
        format!(
            "the food eaten would be worth {value}, more than the {produce} that the household spends on produce; nobody saves more than they spend"
        )
        .into()
    })
}

fn food_flags(input: &YearInput, year: &YearValue) -> Vec<Phrase> {
    let market = input.market;
    let priced = |food: &str| {
        market
            .food(food)
            .is_some_and(|line| line.price_per_kg.iter().any(|price| *price > 0.0))
    };
    let foods = year.foods.iter();
    let unpriced = foods.filter(|food| food.grown_kg > KG_SHOWN && !priced(&food.food));
    let unpriced = unpriced.map(|food| {
        let eaten = amount(food.eaten_kg + food.beyond_kg, "kg", 1);
        phrase![
            &food.food,
            ": ",
            eaten,
            " eaten without a price, counted as nothing"
        ]
    });
    let flows = input.years.iter().flat_map(|weather| &weather.foods);
    let unknown: BTreeSet<String> = flows
        .map(|flow| flow.food.clone())
        .filter(|food| market.food(food).is_none())
        .collect();
    let unknown = unknown
        .into_iter()
        .map(|food| format!("`{food}` is not a food on file and counts for nothing").into());
    unpriced.chain(unknown).collect()
}

/// Less than this is not worth a remark, kg a year; own choice.
const KG_SHOWN: f64 = 0.01;

/// Appetite at the prices on file against the produce line: of vegetables where the line is known, else of all.
fn appetite_flag(market: &Market) -> Option<Phrase> {
    let basket = market.basket_year(market.vegetables_month.is_some());
    let months = market.vegetables_month.unwrap_or(market.produce_month);
    let line: f64 = months.iter().sum();
    let slack = if market.produce_given {
        0.0
    } else {
        PRODUCE_SLACK
    };
    (basket > line * (1.0 + slack)).then(|| {
        let (appetite, produce) = (text(market, basket), text(market, line));
        format!(
            "the appetite at these prices comes to {appetite} a year, more than the {produce} of produce bought: either prices or appetite are too high"
        )
        .into()
    })
}

/// Appetite times price may be above a produce line of the statistics by this fraction before it is flagged, since the two
/// come from different surveys; a line that the person stated is taken by its word. Own choice.
const PRODUCE_SLACK: f64 = 0.1;

fn mean_of(brought: &[YearResult], figure: impl Fn(&YearResult) -> f64) -> f64 {
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

fn month_value(input: &YearInput, brought: &[YearResult], month: usize) -> MonthValue {
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
fn sum_up(input: &YearInput, brought: &[YearResult], months: Vec<MonthValue>) -> YearValue {
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
    let value_spread = spread_of(brought, year_value);
    let middle = currency.round(value_spread.p50);
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
        share_of_produce: share(middle, ceiling),
        share_of_groceries: groceries.and_then(|all| share(middle, all)),
        value_spread,
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
