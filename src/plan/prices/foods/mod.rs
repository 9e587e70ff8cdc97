//! The bound food by food: beds are let at rents, and each food picks its own plantings.
//!
//! What limits a plan of large sections is less the beds than the table: a section gives several times what is eaten in a week,
//! and half a planting is worthless. A bed does not see that; a food does. So each food's plantings are chosen together
//! ([`chain`]): the time a planting takes is paid once for as many beds as it fills, that of a kind once for the food, no more
//! foods are grown than kinds may be, family limits hold, and a share of what the food is worth in itself is held to what each
//! planting adds after the one before it. The rest of its worth, and what wishes pay, is bought at prices as ever. Rotation and
//! the closing of each bed's year are left out. Any prices and rents prove a bound.

mod chain;
mod eating;
mod parts;

pub(in super::super) use parts::Lowering;

use rayon::prelude::*;

use super::{Choice, Pricer};
use crate::plan::model::Model;
use crate::plan::subgradient::{Scale, Slope, Subgradient};
use chain::{Chain, Row};

/// Rents move in steps of so many times what they are in the mean, shares of worth in steps of this (the steps at which the
/// example's bound falls fastest of those tried: 0.2 to 2 and 0.2 to 1).
const RENT_SIZE: f64 = 1.0;
const SHARE_SIZE: f64 = 1.0;

/// Evaluates prices and rents food by food.
#[derive(Clone)]
pub(in super::super) struct Foods<'a> {
    pricer: Pricer<'a>,
    chains: Vec<Chain>,
}

/// What is grown at some prices: a row of plantings by food, and the foods and tables that are chosen.
struct Grown {
    rows: Vec<Row>,
    foods: Vec<bool>,
    tables: Vec<bool>,
    worth: f64,
}

impl<'a> Foods<'a> {
    /// None where a planting feeds several foods.
    pub fn new(model: &'a Model<'a>) -> Option<Self> {
        let mut plantings = vec![Vec::new(); model.keeps.len()];
        for (number, planting) in model.plantings.iter().enumerate() {
            let mut foods = planting.items.iter().map(|item| item.source / model.weeks);
            let Some(food) = foods.next() else { continue };
            if foods.any(|other| other != food) {
                return None;
            }
            plantings[food].push(number);
        }
        let chains = plantings.iter().enumerate();
        let chains = chains.map(|(food, plantings)| Chain::new(model, food, plantings));
        Some(Foods {
            pricer: Pricer::new(model),
            chains: chains.collect(),
        })
    }

    /// Prices found bed by bed, with the rents that they make of a bed's weeks.
    fn with_rents(&mut self, prices: &[f64]) -> Vec<f64> {
        let mut start = prices.to_vec();
        let rents = self.pricer.rents(prices);
        start[self.pricer.layout.rents.clone()].copy_from_slice(&rents);
        start
    }

    fn descent(&mut self, start: Vec<f64>) -> Subgradient {
        let layout = self.pricer.layout.clone();
        let first = self.at(&start).0;
        let rents = &start[layout.rents.clone()];
        let usual = rents.iter().sum::<f64>() / rents.len().max(1) as f64;
        let Scale { mut size, mut most } = self.pricer.scale();
        size[layout.rents.clone()].fill(RENT_SIZE * usual);
        size[layout.pairs.clone()].fill(SHARE_SIZE);
        most[layout.pairs.clone()].fill(1.0);
        Subgradient::new(
            start,
            first,
            Scale { size, most },
            self.pricer.model.nothing,
        )
    }

    /// The bound at these prices and rents, and the beds that each food fills.
    fn at(&mut self, prices: &[f64]) -> (Slope, Vec<f64>) {
        let model = self.pricer.model;
        let layout = self.pricer.layout.clone();
        let all = vec![true; model.tables.len()];
        let mut choice = self.pricer.bought(prices, &all);
        let grown = self.grown(prices, &choice.tables);
        if grown.tables != all {
            choice = self.pricer.bought(prices, &grown.tables);
        }
        choice.bound += grown.worth;
        self.pricer.given(prices, &mut choice);
        for chain in &self.chains {
            let at = layout.pairs.start + chain.food;
            choice.bound += prices[at] * chain.given_worth;
            choice.slope[at] += chain.given_worth;
        }
        for kind in &model.kinds {
            for week in kind.free_week.min(model.weeks)..model.weeks {
                let at = layout.rents.start + kind.class * model.weeks + week;
                choice.bound += kind.beds.len() as f64 * prices[at];
                choice.slope[at] += kind.beds.len() as f64;
            }
        }
        let mut filled = vec![0.0; grown.rows.len()];
        for (food, row) in grown
            .rows
            .iter()
            .enumerate()
            .filter(|(food, _)| grown.foods[*food])
        {
            choice.slope[layout.pairs.start + food] += row.worth;
            for &(planting, beds) in &row.plantings {
                filled[food] += beds as f64;
                self.plant(planting, beds as f64, &mut choice);
            }
        }
        let (bound, slope) = (choice.bound, choice.slope);
        (Slope { bound, slope }, filled)
    }

    /// What a planting gives and takes, on the slope.
    fn plant(&self, planting: usize, beds: f64, choice: &mut Choice) {
        let model = self.pricer.model;
        for (at, amount) in self.pricer.gives.of(planting) {
            choice.slope[at] += beds * amount;
        }
        let class = model.instance.candidates[planting].bed_class;
        let rents = self.pricer.layout.rents.start + class * model.weeks;
        let one = &model.plantings[planting];
        for week in one.start..one.start + one.weeks {
            if let Some(week) = model.instance.week_index(week) {
                choice.slope[rents + week] -= beds;
            }
        }
    }

    /// Each food's best row of plantings, and which foods are grown: those that must be and those that pay a kind's time, the best
    /// of them where kinds are few. The first food of a table is worth what the table earns by buying, too; `tables` says how much.
    fn grown(&mut self, prices: &[f64], tables: &[f64]) -> Grown {
        let model = self.pricer.model;
        let profit = self.profits(prices);
        let effort = model.instance.effort;
        let pairs = self.pricer.layout.pairs.start;
        let rows: Vec<Row> = self
            .chains
            .par_iter_mut()
            .map(|chain| chain.best(&profit, prices[pairs + chain.food], effort.planting))
            .collect();
        // What is given may be eaten at any table.
        let open = !model.given.is_empty();
        let must = |food: usize| self.chains[food].beds.0 > 0;
        let mut gains: Vec<(f64, usize, usize)> = Vec::new();
        let mut used = vec![open; model.tables.len()];
        let mut foods = vec![false; rows.len()];
        let mut worth = if open { tables.iter().sum() } else { 0.0 };
        for (number, table) in model.tables.iter().enumerate() {
            let mut own: Vec<(f64, usize)> = table
                .foods
                .iter()
                .map(|&food| (rows[food].value - effort.kind, food))
                .collect();
            own.sort_by(|a, b| must(b.1).cmp(&must(a.1)).then(b.0.total_cmp(&a.0)));
            let mut bought = if open { 0.0 } else { tables[number] };
            for (gain, food) in own {
                let gain = gain + std::mem::take(&mut bought);
                if must(food) {
                    worth += gain;
                    (used[number], foods[food]) = (true, true);
                } else {
                    gains.push((gain, number, food));
                }
            }
        }
        gains.retain(|gain| gain.0 > 0.0);
        gains.sort_by(|a, b| b.0.total_cmp(&a.0));
        let most = model.instance.limits.kinds.unwrap_or(usize::MAX);
        let there = foods.iter().filter(|grown| **grown).count();
        gains.truncate(most.saturating_sub(there));
        for (gain, table, food) in gains {
            worth += gain;
            used[table] = true;
            foods[food] = true;
        }
        // `bought` counts the tables that are used.
        let counted = tables.iter().zip(&used).filter(|(_, used)| **used);
        worth -= counted.map(|(bought, _)| bought).sum::<f64>();
        Grown {
            rows,
            foods,
            tables: used,
            worth,
        }
    }

    /// What one bed of each planting earns, its rent paid but not the time it takes.
    fn profits(&mut self, prices: &[f64]) -> Vec<f64> {
        let (model, weeks) = (self.pricer.model, self.pricer.model.weeks);
        let rents = prices[self.pricer.layout.rents.clone()].chunks(weeks);
        let upto: Vec<Vec<f64>> = rents
            .map(|rents| {
                let mut sums = vec![0.0];
                for week in 0..2 * weeks {
                    let there = model.cyclic || week < weeks;
                    let rent = if there { rents[week % weeks] } else { 0.0 };
                    sums.push(sums[week] + rent);
                }
                sums
            })
            .collect();
        let mut profit = self.pricer.profits(prices).to_vec();
        for (number, profit) in profit.iter_mut().enumerate() {
            let planting = &model.plantings[number];
            let sums = &upto[model.instance.candidates[number].bed_class];
            let end = (planting.start + planting.weeks).min(2 * weeks);
            *profit += planting.effort_share - (sums[end] - sums[planting.start]);
        }
        profit
    }
}
