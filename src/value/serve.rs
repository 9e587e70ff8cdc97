//! Weekly harvests at the table: what is eaten, what is kept, what is too much.

use super::{FoodFlow, Market, ValueError, in_range};
use crate::calendar::{WEEKS_PER_YEAR, months_of_week};
use std::collections::VecDeque;

/// Weekly harvest of one food.
#[derive(Clone, Debug, PartialEq)]
pub struct Harvest {
    /// Food id or alias.
    pub food: String,
    /// kg as sold by week, 52 values.
    pub kg: Vec<f64>,
    /// Full weeks it keeps after the week of picking; 0 is eaten fresh or lost.
    pub keeps_weeks: usize,
}

/// Years run before the one that counts, so that what is kept over the turn of the year has settled.
const YEARS_TO_SETTLE: usize = 2;

/// Longest keeping that is told apart, weeks: one year, after which the next harvest is there.
const KEEPS_MAX_WEEKS: usize = WEEKS_PER_YEAR;

/// Food put by: kg by the week of picking, oldest first.
struct Store {
    line: Option<usize>,
    keeps_weeks: usize,
    lots: VecDeque<(usize, f64)>,
}

/// Shares out weekly harvests at the table: what the household buys of each food comes first, oldest lots before
/// fresh ones; what would spoil this week then stands in for other foods of its group, dearest first, up to the
/// appetite of food and group; the rest is kept as long as it keeps, then it is surplus.
///
/// The year closes on itself: what is put by in December is eaten in January. Every food comes back in the order
/// given; one that the market does not know is all surplus.
///
/// # Errors
/// [`ValueError::Length`] where a harvest has not 52 weeks, [`ValueError::OutOfRange`] for a negative one.
pub fn serve(market: &Market, harvests: &[Harvest]) -> Result<Vec<FoodFlow>, ValueError> {
    serve_years(market, harvests, YEARS_TO_SETTLE + 1)
}

/// Like [`serve`] for a year that begins with nothing put by, such as one that was lived through.
///
/// # Errors
/// As [`serve`].
pub fn serve_from_empty(
    market: &Market,
    harvests: &[Harvest],
) -> Result<Vec<FoodFlow>, ValueError> {
    serve_years(market, harvests, 1)
}

fn serve_years(
    market: &Market,
    harvests: &[Harvest],
    years: usize,
) -> Result<Vec<FoodFlow>, ValueError> {
    for harvest in harvests {
        super::check_weeks(&format!("harvest of `{}`", harvest.food), &harvest.kg)?;
        for kg in &harvest.kg {
            in_range(&format!("harvest of `{}`, kg", harvest.food), *kg, 0.0, 1e9)?;
        }
    }
    let place = |harvest: &Harvest| {
        let line = market.food(&harvest.food)?;
        market
            .foods
            .iter()
            .position(|other| other.food == line.food)
    };
    let mut stores: Vec<Store> = harvests
        .iter()
        .map(|harvest| Store {
            line: place(harvest),
            keeps_weeks: harvest.keeps_weeks.min(KEEPS_MAX_WEEKS),
            lots: VecDeque::new(),
        })
        .collect();
    let mut flows: Vec<FoodFlow> = harvests
        .iter()
        .map(|harvest| FoodFlow {
            food: harvest.food.clone(),
            harvested_kg: harvest.kg.clone(),
            eaten_kg: vec![0.0; WEEKS_PER_YEAR],
            kept_kg: vec![0.0; WEEKS_PER_YEAR],
            surplus_kg: vec![0.0; WEEKS_PER_YEAR],
        })
        .collect();
    for now in 0..years * WEEKS_PER_YEAR {
        serve_week(market, now, &mut stores, &mut flows);
    }
    Ok(flows)
}

/// One week; later years overwrite the weeks of earlier ones.
fn serve_week(market: &Market, now: usize, stores: &mut [Store], flows: &mut [FoodFlow]) {
    let week = now % WEEKS_PER_YEAR;
    for (store, flow) in stores.iter_mut().zip(flows.iter_mut()) {
        flow.eaten_kg[week] = 0.0;
        store.lots.push_back((now, flow.harvested_kg[week]));
    }
    let mut food_left: Vec<f64> = market
        .foods
        .iter()
        .map(|line| line.bought_kg_week)
        .collect();
    eat(now, stores, flows, &mut food_left, None);
    let eaten: Vec<f64> = market
        .foods
        .iter()
        .zip(&food_left)
        .map(|(line, left)| line.bought_kg_week - left)
        .collect();
    for group in &market.groups {
        stand_in(market, &group.group, now, stores, flows, &eaten);
    }
    for (store, flow) in stores.iter_mut().zip(flows.iter_mut()) {
        let spoilt = store
            .lots
            .iter()
            .filter(|(picked, _)| picked + store.keeps_weeks <= now);
        flow.surplus_kg[week] = spoilt.map(|(_, kg)| kg).sum();
        store
            .lots
            .retain(|(picked, kg)| picked + store.keeps_weeks > now && *kg > 0.0);
        flow.kept_kg[week] = store
            .lots
            .back()
            .filter(|(picked, _)| *picked == now)
            .map_or(0.0, |(_, kg)| *kg);
    }
}

/// Lets food that spoils this week stand in for the rest of its group.
fn stand_in(
    market: &Market,
    group: &str,
    now: usize,
    stores: &mut [Store],
    flows: &mut [FoodFlow],
    eaten: &[f64],
) {
    let month = months_of_week(now % WEEKS_PER_YEAR)
        .first()
        .map_or(0, |(month, _)| *month);
    let mut order: Vec<usize> = (0..market.foods.len())
        .filter(|at| market.foods[*at].group == group)
        .collect();
    let limit = market
        .groups
        .iter()
        .find(|line| line.group == group)
        .map_or(0.0, |line| line.appetite_kg_week);
    let mut room = limit - order.iter().map(|at| eaten[*at]).sum::<f64>();
    let worth = |at: &usize| market.foods[*at].stand_in_price_per_kg[month];
    order.sort_by(|a, b| worth(b).total_cmp(&worth(a)).then(a.cmp(b)));
    for at in order {
        let mut left = vec![0.0; market.foods.len()];
        let more = (market.foods[at].appetite_kg_week - eaten[at])
            .min(room)
            .max(0.0);
        left[at] = more;
        eat(now, stores, flows, &mut left, Some(now));
        room -= more - left[at];
    }
}

/// Eats from the stores, oldest lots first, until `left` (kg by food of the market) is used up; with `spoils_in`
/// only from lots that spoil in that week.
fn eat(
    now: usize,
    stores: &mut [Store],
    flows: &mut [FoodFlow],
    left: &mut [f64],
    spoils_in: Option<usize>,
) {
    let week = now % WEEKS_PER_YEAR;
    for (store, flow) in stores.iter_mut().zip(flows.iter_mut()) {
        let Some(left) = store.line.and_then(|line| left.get_mut(line)) else {
            continue;
        };
        for (picked, kg) in &mut store.lots {
            if spoils_in.is_some_and(|now| *picked + store.keeps_weeks > now) {
                continue;
            }
            let taken = kg.min(*left);
            *kg -= taken;
            *left -= taken;
            flow.eaten_kg[week] += taken;
        }
    }
}
