//! What beds are let at: what a bed's longest path gains week by week. It takes nothing from the bound but what rotation and the
//! closing of each bed's year give.

use super::Pricer;
use crate::plan::model::BedKind;

/// Rounds of the year until a bed's gains repeat.
const ROUNDS: usize = 3;

impl Pricer<'_> {
    /// Rents by class of bed and week at some prices, class by class.
    pub(super) fn rents(&mut self, prices: &[f64]) -> Vec<f64> {
        let model = self.model;
        self.profits(prices);
        let mut rents = vec![0.0; model.instance.beds.len() * model.weeks];
        for kind in &model.kinds {
            // Beds of a class that are free from other weeks on pay what the first of them pay.
            let own = kind.class * model.weeks;
            let rents = &mut rents[own..own + model.weeks];
            if rents.iter().all(|rent| *rent == 0.0) {
                rents.copy_from_slice(&self.rents_of(kind));
            }
        }
        rents
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
