//! The year's account: food into money, costs against it, months that add up.

use super::count::count_all;
use super::sums::{mean_of, month_value, sum_up};
use super::year::{CostKind, Flag, WeatherYear, YearInput, YearValue};
use super::{Market, ValueError, check_length, in_range};
use crate::calendar::{WEEKS_PER_YEAR, months_of_week};

/// Months of one quantity.
pub(super) type Months = [f64; 12];

/// One food's weather year.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FoodYear {
    pub grown_kg: f64,
    pub eaten_kg: f64,
    pub beyond_kg: f64,
    pub surplus_kg: f64,
    pub value: f64,
}

/// One weather year in plain numbers.
#[derive(Clone, Debug)]
pub(super) struct YearResult {
    pub grown_kg: Months,
    pub eaten_kg: Months,
    pub kept_kg: Months,
    pub surplus_kg: Months,
    pub value: Months,
    pub beyond_kg: Months,
    pub beyond: Months,
    /// By food of the market.
    pub foods: Vec<FoodYear>,
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
///
/// # Errors
/// [`ValueError`] for tables of the wrong length, negative figures, or no weather year at all.
pub fn year(input: &YearInput) -> Result<YearValue, ValueError> {
    if input.years.is_empty() {
        return Err(ValueError::Length {
            what: "weather years".to_owned(),
            found: 0,
            expected: 1,
        });
    }
    check(input)?;
    let brought: Vec<YearResult> = input
        .years
        .iter()
        .map(|weather| bring(input, weather))
        .collect();
    let mut flags = Vec::new();
    flag_above_produce(input.market, &brought, &mut flags);
    let fixed = fixed_by_kind(input);
    let months = (0..12)
        .map(|month| month_value(input, &brought, &fixed, month))
        .collect();
    let mut year = sum_up(input, &brought, &fixed, months);
    food_flags(input, &year, &mut flags);
    appetite_flag(input.market, &mut flags);
    flags.extend(
        input
            .not_counted
            .iter()
            .map(|what| Flag::CostNotCounted { what: what.clone() }),
    );
    if year.share_of_groceries.is_none() || year.share_of_produce.is_none() {
        flags.push(Flag::NoBudget);
    }
    year.flags = flags;
    Ok(year)
}

fn check(input: &YearInput) -> Result<(), ValueError> {
    for flow in input.years.iter().flat_map(|weather| &weather.foods) {
        let columns = [
            ("picked", &flow.harvested_kg),
            ("eaten", &flow.eaten_kg),
            ("kept", &flow.kept_kg),
            ("surplus", &flow.surplus_kg),
        ];
        for (name, column) in columns {
            check_length(&format!("`{}` {name}", flow.food), column, WEEKS_PER_YEAR)?;
            for kg in column {
                in_range(
                    &format!("`{}` {name}, kg", flow.food),
                    *kg,
                    -KG_ROUNDING,
                    1e9,
                )?;
            }
        }
    }
    for weather in input.years {
        let running = &weather.running;
        for (what, months) in [
            ("heat, kWh", &running.heat_kwh),
            ("fan, kWh", &running.fan_kwh),
            ("lamp, kWh", &running.lamp_kwh),
            ("water, L", &running.water_l),
        ] {
            for amount in months {
                in_range(&format!("{what} a month"), *amount, 0.0, 1e12)?;
            }
        }
    }
    for cost in input.fixed {
        for amount in cost.month {
            in_range("cost a month", amount, -1e12, 1e12)?;
        }
    }
    in_range("hours to pick a kg", input.pick_h_per_kg, 0.0, 100.0)
}

/// Negative quantities of this size are rounding of whoever computed them, kg; own choice.
const KG_ROUNDING: f64 = 1e-6;

/// One weather year: kilograms and money by month.
fn bring(input: &YearInput, weather: &WeatherYear) -> YearResult {
    let market = input.market;
    let counts = count_all(market, &weather.foods, 0);
    let mut brought = YearResult {
        grown_kg: [0.0; 12],
        eaten_kg: [0.0; 12],
        kept_kg: [0.0; 12],
        surplus_kg: [0.0; 12],
        value: [0.0; 12],
        beyond_kg: [0.0; 12],
        beyond: [0.0; 12],
        foods: vec![FoodYear::default(); market.foods.len()],
        uncut: counts.uncut.iter().sum(),
        costs: input.tariff.costs(&weather.running),
    };
    let lines: Vec<Option<usize>> = weather
        .foods
        .iter()
        .map(|flow| market.place(&flow.food))
        .collect();
    for week in 0..WEEKS_PER_YEAR {
        let parts = months_of_week(week);
        let spread = |months: &mut Months, amount: f64| {
            for (month, part) in parts {
                months[*month] += amount * part;
            }
        };
        for (flow, line) in weather.foods.iter().zip(&lines) {
            let [grown, ate, kept, surplus] = [
                &flow.harvested_kg,
                &flow.eaten_kg,
                &flow.kept_kg,
                &flow.surplus_kg,
            ]
            .map(|column| column[week].max(0.0));
            spread(&mut brought.grown_kg, grown);
            spread(&mut brought.kept_kg, kept);
            match line {
                Some(line) => {
                    brought.foods[*line].grown_kg += grown;
                    brought.foods[*line].surplus_kg += surplus;
                    spread(&mut brought.surplus_kg, surplus);
                }
                // What the table does not know replaces nothing.
                None => spread(&mut brought.surplus_kg, surplus + ate),
            }
        }
        for food in counts.weeks.get(week).into_iter().flatten() {
            spread(&mut brought.eaten_kg, food.replaced_kg);
            spread(&mut brought.value, food.replaced);
            spread(&mut brought.beyond_kg, food.beyond_kg);
            spread(&mut brought.beyond, food.beyond);
            let sums = &mut brought.foods[food.line];
            sums.eaten_kg += food.replaced_kg;
            sums.beyond_kg += food.beyond_kg;
            sums.value += food.replaced;
        }
    }
    brought
}

/// Says where prices and appetite value the food eaten above all the produce that is bought.
fn flag_above_produce(market: &Market, brought: &[YearResult], flags: &mut Vec<Flag>) {
    let produce: f64 = market.produce_month.iter().sum();
    let mean = mean_of(brought, |year| year.uncut);
    if mean > produce {
        let money = |amount| market.currency.round(amount);
        flags.push(Flag::ValueAboveProduce {
            value: money(mean),
            produce: money(produce),
        });
    }
}

/// Fixed costs, one entry a kind.
fn fixed_by_kind(input: &YearInput) -> Vec<(CostKind, Months)> {
    let mut kinds: Vec<(CostKind, Months)> = Vec::new();
    for cost in input.fixed {
        add_kind(&mut kinds, cost.kind, &cost.month);
    }
    kinds
}

pub(super) fn add_kind(kinds: &mut Vec<(CostKind, Months)>, kind: CostKind, months: &Months) {
    match kinds.iter_mut().find(|(known, _)| *known == kind) {
        Some((_, sums)) => sums
            .iter_mut()
            .zip(months)
            .for_each(|(sum, amount)| *sum += amount),
        None => {
            kinds.push((kind, *months));
            kinds.sort_by_key(|(kind, _)| *kind);
        }
    }
}

fn food_flags(input: &YearInput, year: &YearValue, flags: &mut Vec<Flag>) {
    let market = input.market;
    let priced = |food: &str| {
        market
            .food(food)
            .is_some_and(|line| line.price_per_kg.iter().any(|price| *price > 0.0))
    };
    for food in year
        .foods
        .iter()
        .filter(|food| food.grown_kg > KG_SHOWN && !priced(&food.food))
    {
        flags.push(Flag::NotPriced {
            food: food.food.clone(),
            eaten_kg: food.eaten_kg + food.beyond_kg,
        });
    }
    let mut unknown: Vec<&String> = input
        .years
        .iter()
        .flat_map(|weather| &weather.foods)
        .map(|flow| &flow.food)
        .filter(|food| market.food(food).is_none())
        .collect();
    unknown.sort();
    unknown.dedup();
    flags.extend(
        unknown
            .into_iter()
            .map(|food| Flag::UnknownFood { food: food.clone() }),
    );
}

/// Less than this is not worth a remark, kg a year; own choice.
const KG_SHOWN: f64 = 0.01;

/// Appetite at the prices on file against the produce line: of vegetables where the line is known, else of all.
fn appetite_flag(market: &Market, flags: &mut Vec<Flag>) {
    let basket = market.basket_year(market.vegetables_month.is_some());
    let line: f64 = market
        .vegetables_month
        .unwrap_or(market.produce_month)
        .iter()
        .sum();
    let slack = if market.produce_given {
        0.0
    } else {
        PRODUCE_SLACK
    };
    if basket > line * (1.0 + slack) {
        let money = |amount| market.currency.round(amount);
        flags.push(Flag::AppetiteAboveProduce {
            appetite: money(basket),
            produce: money(line),
        });
    }
}

/// Appetite times price may be above a produce line of the statistics by this fraction before it is flagged, since the two
/// come from different surveys; a line that the person stated is taken by its word. Own choice.
const PRODUCE_SLACK: f64 = 0.1;
