//! What of a week's food replaces what would have been bought, and what is eaten beyond that.

use super::{FoodFlow, Market, price_of_week};
use crate::calendar::WEEKS_PER_YEAR;

/// What of a food counts in a week.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Counted {
    /// Food of the market.
    pub line: usize,
    /// In place of buying it or another food of its group, kg.
    pub replaced_kg: f64,
    /// What that would have cost, units of the currency.
    pub replaced: f64,
    /// Beyond what would have been bought, kg.
    pub beyond_kg: f64,
    /// What that would cost in the shop, units of the currency.
    pub beyond: f64,
}

/// Splits a week's eating (kg by food of the market) into what replaces food that the household would have bought and what
/// is beyond that, at the prices of a planning week of the calendar.
///
/// A food counts at its own price up to what the household buys of it. Beyond that, up to its appetite, it stands in for
/// what is still bought of its group: the dearest food first, never above its own price. So the worth of a week is never
/// more than what the household would have paid, and a food more that the household likes only adds to it.
fn count(market: &Market, members: &[Vec<usize>], eaten: &[f64], week: usize) -> Vec<Counted> {
    let mut all = Vec::with_capacity(market.foods.len());
    for of_group in market.groups.iter().zip(members) {
        count_group(market, of_group, eaten, week, &mut all);
    }
    all
}

fn count_group(
    market: &Market,
    (group, members): (&super::GroupLine, &Vec<usize>),
    eaten: &[f64],
    week: usize,
    all: &mut Vec<Counted>,
) {
    let first = all.len();
    let mut supplies: Vec<(f64, f64, usize)> = Vec::new();
    let rest = group.rest.iter();
    let mut rooms: Vec<(f64, f64)> = rest
        .map(|rest| (price_of_week(&rest.price_per_kg, week), rest.kg_week))
        .collect();
    for &at in members {
        let line = &market.foods[at];
        let price = price_of_week(&line.price_per_kg, week);
        let eaten_kg = eaten.get(at).copied().unwrap_or(0.0).max(0.0);
        let own_kg = eaten_kg.min(line.bought_kg_week);
        rooms.push((price, line.bought_kg_week - own_kg));
        supplies.push((
            price,
            eaten_kg.min(line.appetite_kg_week) - own_kg,
            all.len(),
        ));
        all.push(Counted {
            line: at,
            replaced_kg: own_kg,
            replaced: own_kg * price,
            beyond_kg: eaten_kg,
            beyond: price,
        });
    }
    supplies.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
    rooms.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut rooms = rooms.into_iter().filter(|room| room.1 > 0.0);
    let mut room = rooms.next();
    for (price, mut left_kg, at) in supplies {
        while let Some((room_price, room_kg)) = &mut room {
            if left_kg <= 0.0 {
                break;
            }
            let kg = left_kg.min(*room_kg);
            all[at].replaced_kg += kg;
            all[at].replaced += kg * price.min(*room_price);
            left_kg -= kg;
            *room_kg -= kg;
            if *room_kg <= 0.0 {
                room = rooms.next();
            }
        }
    }
    for one in &mut all[first..] {
        let beyond_kg = (one.beyond_kg - one.replaced_kg).max(0.0);
        *one = Counted {
            beyond_kg,
            beyond: beyond_kg * one.beyond,
            ..*one
        };
    }
}

/// A course of eating counted week by week.
#[derive(Clone, Debug, PartialEq)]
pub struct Counts {
    /// By week of the course.
    pub weeks: Vec<Vec<Counted>>,
    /// What would have been replaced in each 52 weeks before it was cut back to the produce that the household says it
    /// buys, units of the currency.
    pub uncut: Vec<f64>,
}

/// Counts a course of eating that begins in a planning week of the calendar. Where the person said what produce they buy,
/// what is replaced in any 52 weeks is cut back to it, since nobody saves more than they spend.
pub fn count_all(market: &Market, flows: &[FoodFlow], first_week: usize) -> Counts {
    let lines: Vec<Option<usize>> = flows.iter().map(|flow| market.place(&flow.food)).collect();
    let groups = market.groups.iter();
    let members: Vec<Vec<usize>> = groups.map(|line| market.members(&line.group)).collect();
    let weeks = flows
        .iter()
        .map(|flow| flow.eaten_kg.len())
        .max()
        .unwrap_or(0);
    let of_week = |week: usize| {
        let mut eaten = vec![0.0; market.foods.len()];
        for (flow, line) in flows.iter().zip(&lines) {
            if let Some(line) = line {
                eaten[*line] += flow.eaten_kg[week].max(0.0);
            }
        }
        count(
            market,
            &members,
            &eaten,
            (first_week + week) % WEEKS_PER_YEAR,
        )
    };
    let mut weeks: Vec<Vec<Counted>> = (0..weeks).map(of_week).collect();
    let produce: f64 = market.produce_month.iter().sum();
    let mut uncut = Vec::new();
    for year in weeks.chunks_mut(WEEKS_PER_YEAR) {
        let worth: f64 = year.iter().flatten().map(|one| one.replaced).sum();
        uncut.push(worth);
        if market.produce_given && worth > produce {
            let cut = produce / worth;
            year.iter_mut()
                .flatten()
                .for_each(|one| one.replaced *= cut);
        }
    }
    Counts { weeks, uncut }
}
