//! The year's account: food into money, costs against it, months that add up.

use super::count::GroupWeek;
use super::year::{
    CostKind, Flag, FoodFlow, FoodValue, MonthValue, Spread, WeatherYear, YearInput, YearValue,
};
use super::{Currency, Market, Money, ValueError, check_weeks, in_range, week_parts};
use crate::calendar::WEEKS_PER_YEAR;

/// Months of one quantity.
type Months = [f64; 12];

/// One weather year in plain numbers.
#[derive(Clone, Debug)]
struct Brought {
    grown_kg: Months,
    eaten_kg: Months,
    kept_kg: Months,
    surplus_kg: Months,
    value: Months,
    /// Grown, eaten, surplus kg and value by food of the market.
    foods: Vec<[f64; 4]>,
    /// Booked as eaten beyond the appetite, kg.
    beyond_kg: f64,
    /// Costs that hang on the weather.
    costs: Vec<(CostKind, Months)>,
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
    let parts = week_parts(week);
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

fn add_kind(kinds: &mut Vec<(CostKind, Months)>, kind: CostKind, months: &Months) {
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

fn mean_of(brought: &[Brought], figure: impl Fn(&Brought) -> f64) -> f64 {
    brought.iter().map(figure).sum::<f64>() / brought.len() as f64
}

fn spread_of(brought: &[Brought], figure: impl Fn(&Brought) -> f64) -> Spread {
    Spread::of(brought.iter().map(figure).collect())
}

/// Costs of a month by kind: fixed ones and the mean of those that hang on the weather.
fn costs_of(
    brought: &[Brought],
    fixed: &[(CostKind, Months)],
    month: usize,
) -> Vec<(CostKind, f64)> {
    let mut kinds: Vec<(CostKind, Months)> = fixed.to_vec();
    for year in brought {
        for (kind, months) in &year.costs {
            add_kind(
                &mut kinds,
                *kind,
                &months.map(|amount| amount / brought.len() as f64),
            );
        }
    }
    kinds
        .into_iter()
        .map(|(kind, months)| (kind, months[month]))
        .collect()
}

fn month_value(
    input: &YearInput,
    brought: &[Brought],
    fixed: &[(CostKind, Months)],
    month: usize,
) -> MonthValue {
    let currency = input.market.currency;
    let value = currency.round(mean_of(brought, |year| year.value[month]));
    let costs: Vec<(CostKind, Money)> = costs_of(brought, fixed, month)
        .into_iter()
        .map(|(kind, amount)| (kind, currency.round(amount)))
        .collect();
    let cost = costs.iter().map(|(_, amount)| *amount).sum();
    let budget = currency.round(input.market.produce_month[month]);
    let grown_kg = mean_of(brought, |year| year.grown_kg[month]);
    MonthValue {
        month: month as u32 + 1,
        grown_kg,
        eaten_kg: mean_of(brought, |year| year.eaten_kg[month]),
        kept_kg: mean_of(brought, |year| year.kept_kg[month]),
        surplus_kg: mean_of(brought, |year| year.surplus_kg[month]),
        value,
        cost,
        net: value - cost,
        budget,
        share: share(value, budget),
        costs,
        value_spread: spread_of(brought, |year| year.value[month]),
        grown_kg_spread: spread_of(brought, |year| year.grown_kg[month]),
        work_h: input.work_h[month] + input.pick_h_per_kg * grown_kg,
    }
}

fn share(part: Money, whole: Money) -> Option<f64> {
    (whole > Money::ZERO).then(|| part.minor() as f64 / whole.minor() as f64)
}

/// Sums of the months, and the year's own figures.
fn sum_up(
    input: &YearInput,
    brought: &[Brought],
    fixed: &[(CostKind, Months)],
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
    let cost_of = |year: &Brought| {
        let fixed: f64 = fixed.iter().flat_map(|(_, months)| months).sum();
        fixed
            + year
                .costs
                .iter()
                .flat_map(|(_, months)| months)
                .sum::<f64>()
    };
    let year_value = |year: &Brought| year.value.iter().sum::<f64>();
    YearValue {
        currency,
        price_year: market.price_year,
        grown_kg: kg(|month| month.grown_kg),
        eaten_kg: kg(|month| month.eaten_kg),
        kept_kg: kg(|month| month.kept_kg),
        surplus_kg: kg(|month| month.surplus_kg),
        value,
        cost,
        net: value - cost,
        costs: sum_costs(&months),
        ceiling,
        ceiling_vegetables: market
            .vegetables_month
            .map(|month| currency.round(month.iter().sum())),
        share_of_produce: share(value, ceiling),
        share_of_groceries: groceries.and_then(|all| share(value, all)),
        value_spread: spread_of(brought, year_value),
        net_spread: spread_of(brought, |year| year_value(year) - cost_of(year)),
        eaten_kg_spread: spread_of(brought, |year| year.eaten_kg.iter().sum()),
        foods: food_values(market, brought, value),
        work_h: kg(|month| month.work_h),
        months,
        flags: Vec::new(),
    }
}

fn sum_costs(months: &[MonthValue]) -> Vec<(CostKind, Money)> {
    let mut kinds: Vec<(CostKind, Money)> = Vec::new();
    for (kind, amount) in months.iter().flat_map(|month| &month.costs) {
        match kinds.iter_mut().find(|(known, _)| known == kind) {
            Some((_, sum)) => *sum += *amount,
            None => kinds.push((*kind, *amount)),
        }
    }
    kinds.sort_by_key(|(kind, _)| *kind);
    kinds
}

/// Foods that were picked, by value; the parts are shared out so that they add up to `total`.
fn food_values(market: &Market, brought: &[Brought], total: Money) -> Vec<FoodValue> {
    let column = |line: usize, at: usize| mean_of(brought, |year| year.foods[line][at]);
    let grown: Vec<usize> = (0..market.foods.len())
        .filter(|line| column(*line, 0) > 0.0 || column(*line, 1) > 0.0)
        .collect();
    let weights: Vec<f64> = grown.iter().map(|line| column(*line, 3)).collect();
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
            grown_kg: column(*line, 0),
            eaten_kg: column(*line, 1),
            surplus_kg: column(*line, 2),
            value,
        })
        .collect();
    foods.sort_by(|a, b| b.value.cmp(&a.value).then_with(|| a.food.cmp(&b.food)));
    foods
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
    if basket > line * (1.0 + PRODUCE_SLACK) {
        let money = |amount| market.currency.round(amount);
        flags.push(Flag::AppetiteAboveProduce {
            appetite: money(basket),
            produce: money(line),
        });
    }
}

/// Appetite times price may be above the produce line by this fraction before it is flagged, since the two come from
/// different statistics; own choice.
const PRODUCE_SLACK: f64 = 0.1;
