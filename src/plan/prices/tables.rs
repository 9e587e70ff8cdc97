//! The bound table by table: beds are let at rents, so that each table of foods chooses its plantings for itself, and a table
//! that is not worth a kind of crop's effort stays empty.
//!
//! Rents are what a bed's longest path gains week by week, so they take nothing from the bound but what rotation and the
//! closing of each bed's year give. What they bring: the effort of a kind comes once for every table used, and no more tables
//! are used than kinds are allowed. Any rents prove a bound; the verifier takes them from the proof.

use std::collections::BTreeSet;

use super::Pricer;
use crate::plan::model::BedKind;

/// Rounds of the year until a bed's gains repeat.
const ROUNDS: usize = 3;

impl Pricer<'_> {
    /// Rents by class of bed and week at some prices, and the bound they prove.
    pub fn at_rents(&mut self, prices: &[f64]) -> (Vec<Vec<f64>>, f64) {
        let model = self.model;
        let mut choice = super::Choice {
            bound: model.bound_base(),
            slope: vec![0.0; prices.len()],
            paths: Vec::new(),
            tables: Vec::new(),
        };
        self.hold(prices);
        self.demand(prices, &mut choice);
        let mut tables = std::mem::take(&mut choice.tables);
        choice.bound -= tables.iter().sum::<f64>();
        self.given(prices, &[], &mut choice);
        self.profits(prices, &[]);
        let classes = model.instance.beds.len();
        let mut rents = vec![vec![0.0; model.weeks]; classes];
        for kind in &model.kinds {
            let own = self.rents_of(kind);
            // Beds of a class that are free from other weeks on pay what the first of them pay.
            let rents = &mut rents[kind.class];
            if rents.iter().all(|rent| *rent == 0.0) {
                *rents = own;
            }
        }
        let mut bound = choice.bound;
        for kind in &model.kinds {
            let free = kind.free_week.min(model.weeks);
            bound += kind.beds.len() as f64 * rents[kind.class][free..].iter().sum::<f64>();
        }
        let table_of = model.table_of_food();
        let mut mixed = vec![false; tables.len()];
        let mut of_crop = vec![BTreeSet::new(); model.crops.len()];
        for (number, planting) in model.plantings.iter().enumerate() {
            let class = model.instance.candidates[number].bed_class;
            let weeks = planting.start..planting.start + planting.weeks;
            let weeks = weeks.filter_map(|week| model.instance.week_index(week));
            let rent: f64 = weeks.map(|week| rents[class][week]).sum();
            let over = planting.most as f64 * (self.profit[number] - rent).max(0.0);
            let items = planting.items.iter();
            let own: BTreeSet<usize> = items
                .map(|item| table_of[item.source / model.weeks])
                .collect();
            match own.first() {
                Some(table) if own.len() == 1 => tables[*table] += over,
                _ => bound += over,
            }
            of_crop[planting.crop].extend(own);
        }
        // A kind that feeds several tables comes once for them all: its tables are counted as they are.
        for own in of_crop.iter().filter(|own| own.len() > 1) {
            own.iter().for_each(|table| mixed[*table] = true);
        }
        let effort = model.instance.effort.kind;
        if !model.given.is_empty() {
            return (rents, bound + tables.iter().sum::<f64>());
        }
        let mut worth_it: Vec<f64> = Vec::new();
        for (worth, mixed) in tables.iter().zip(mixed) {
            if mixed {
                bound += worth;
            } else {
                worth_it.push((worth - effort).max(0.0));
            }
        }
        worth_it.sort_by(|a, b| b.total_cmp(a));
        let most = model.instance.limits.kinds.unwrap_or(usize::MAX);
        (rents, bound + worth_it.into_iter().take(most).sum::<f64>())
    }

    /// What a bed gains week by week along its longest path, rotation left out.
    fn rents_of(&self, kind: &BedKind) -> Vec<f64> {
        let model = self.model;
        let weeks = model.weeks;
        let rounds = if model.cyclic { ROUNDS } else { 1 };
        let mut level = vec![0.0f64; rounds * weeks + 1];
        let mut first = vec![Vec::new(); weeks];
        for &planting in &kind.plantings {
            if self.profit[planting] > 0.0 {
                first[model.plantings[planting].start].push(planting);
            }
        }
        for at in 0..rounds * weeks {
            level[at + 1] = level[at + 1].max(level[at]);
            for &planting in &first[at % weeks] {
                let end = at + model.plantings[planting].weeks;
                let end = if model.cyclic { end } else { end.min(weeks) };
                if end < level.len() {
                    level[end] = level[end].max(level[at] + self.profit[planting]);
                }
            }
        }
        // The middle round knows what came before, and what runs on after it.
        let from = if model.cyclic { weeks } else { 0 };
        (from..from + weeks)
            .map(|at| level[at + 1] - level[at])
            .collect()
    }
}
