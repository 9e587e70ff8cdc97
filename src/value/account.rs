//! The year's account: food into money, costs against it, months that add up.

use super::count::GroupWeek;
use super::sums::{mean_of, month_value, sum_up};
use super::year::{CostKind, Flag, FoodFlow, WeatherYear, YearInput, YearValue};
use super::{Market, ValueError, check_weeks, in_range};
use crate::calendar::{WEEKS_PER_YEAR, months_of_week};

/// Months of one quantity.
pub(super) type Months = [f64; 12];

/// One weather year in plain numbers.
#[derive(Clone, Debug)]
pub(super) struct Brought {
    pub grown_kg: Months,
    pub eaten_kg: Months,
    pub kept_kg: Months,
    pub surplus_kg: Months,
    pub value: Months,
    /// Grown, eaten, surplus kg and value by food of the market.
    pub foods: Vec<[f64; 4]>,
    /// Booked as eaten beyond the appetite, kg.
    pub beyond_kg: f64,
    /// Costs that hang on the weather.
    pub costs: Vec<(CostKind, Months)>,
}

/// Works out the year: what was eaten in place of buying at the prices of its months, less what it cost.
///
/// A food counts at its own price up to what the household buys of it; beyond that it stands in for the rest of its
/// group, at the mean price of what is still bought there and never above its own. So the value of a week is
/// never more than what the household would have paid for that group. What a month shows is the mean over the weather
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
    let mut brought: Vec<Brought> = input
        .years
        .iter()
        .map(|weather| bring(input, weather))
        .collect();
    let mut flags = Vec::new();
    cap_at_produce(input.market, &mut brought, &mut flags);
    let fixed = fixed_by_kind(input);
    let months = (0..12)
        .map(|month| month_value(input, &brought, &fixed, month))
        .collect();
    let mut year = sum_up(input, &brought, &fixed, months);
    food_flags(input, &year, &brought, &mut flags);
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
            check_weeks(&format!("`{}` {name}", flow.food), column)?;
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
fn bring(input: &YearInput, weather: &WeatherYear) -> Brought {
    let market = input.market;
    let mut brought = Brought {
        grown_kg: [0.0; 12],
        eaten_kg: [0.0; 12],
        kept_kg: [0.0; 12],
        surplus_kg: [0.0; 12],
        value: [0.0; 12],
        foods: vec![[0.0; 4]; market.foods.len()],
        beyond_kg: 0.0,
        costs: input.tariff.costs(&weather.running),
    };
    let lines: Vec<Option<usize>> = weather
        .foods
        .iter()
        .map(|flow| place(market, flow))
        .collect();
    for week in 0..WEEKS_PER_YEAR {
        bring_week(market, weather, &lines, week, &mut brought);
    }
    brought
}

fn place(market: &Market, flow: &FoodFlow) -> Option<usize> {
    let line = market.food(&flow.food)?;
    market
        .foods
        .iter()
        .position(|other| other.food == line.food)
}

fn bring_week(
    market: &Market,
    weather: &WeatherYear,
    lines: &[Option<usize>],
    week: usize,
    brought: &mut Brought,
) {
    let parts = months_of_week(week);
    let spread = |months: &mut Months, kg: f64| {
        for (month, part) in &parts {
            months[*month] += kg * part;
        }
    };
    let mut eaten = vec![0.0; market.foods.len()];
    for (flow, line) in weather.foods.iter().zip(lines) {
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
                eaten[*line] += ate;
                brought.foods[*line][0] += grown;
                brought.foods[*line][2] += surplus;
                spread(&mut brought.surplus_kg, surplus);
            }
            // What the table does not know replaces nothing.
            None => spread(&mut brought.surplus_kg, surplus + ate),
        }
    }
    for group in &market.groups {
        let counted = GroupWeek::count(market, &group.group, &eaten);
        for food in &counted.foods {
            let kg = food.own_kg + food.stand_in_kg;
            let beyond = eaten[food.line] - kg;
            spread(&mut brought.eaten_kg, kg);
            spread(&mut brought.surplus_kg, beyond);
            brought.beyond_kg += beyond;
            let sums = &mut brought.foods[food.line];
            sums[1] += kg;
            sums[2] += beyond;
            for (month, part) in &parts {
                let value = part * counted.value(market, food, *month);
                sums[3] += value;
                brought.value[*month] += value;
            }
        }
    }
}

/// Where the person said what produce they buy, the value of a year is cut back to it; in any case it is flagged.
fn cap_at_produce(market: &Market, brought: &mut [Brought], flags: &mut Vec<Flag>) {
    let produce: f64 = market.produce_month.iter().sum();
    let mean = brought
        .iter()
        .map(|year| year.value.iter().sum::<f64>())
        .sum::<f64>()
        / brought.len() as f64;
    if mean > produce {
        let money = |amount| market.currency.round(amount);
        flags.push(Flag::ValueAboveProduce {
            value: money(mean),
            produce: money(produce),
        });
    }
    if !market.produce_given {
        return;
    }
    for year in brought {
        let value: f64 = year.value.iter().sum();
        if value > produce {
            let factor = produce / value;
            year.value = year.value.map(|month| month * factor);
            for food in &mut year.foods {
                food[3] *= factor;
            }
        }
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

fn food_flags(input: &YearInput, year: &YearValue, brought: &[Brought], flags: &mut Vec<Flag>) {
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
            eaten_kg: food.eaten_kg,
        });
    }
    let beyond = mean_of(brought, |year| year.beyond_kg);
    if beyond > KG_SHOWN {
        flags.push(Flag::EatenBeyondAppetite { kg: beyond });
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
