//! Simpler plans: kinds of crop dropped one by one, plans as good as equal put in order of what they ask for.

use std::collections::BTreeSet;

use super::{Search, value_of};
use crate::plan::eat::Stock;
use crate::plan::instance::Effort;

/// Kinds whose loss is tried in earnest, those of least worth as the plan stands first.
const TRIED: usize = 3;
/// Extra weight of effort under which plans as good as equal are looked for, as shares of the worth of the plan's food: a
/// planting once, a kind and a week of sowing twice.
const TIE_SHARES: [f64; 3] = [0.000_25, 0.000_5, 0.001];

/// A plan that a search has come to: plantings of every bed, and its value.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Found {
    pub beds: Vec<Vec<usize>>,
    pub value: f64,
}

/// A search's plan with all that depends on it, to go back to.
pub(super) struct Mark {
    beds: Vec<Vec<usize>>,
    stock: Stock,
    pub value: f64,
}

impl Search<'_> {
    /// The best plan so far, with its value.
    pub fn found(&self) -> Found {
        Found {
            beds: self.best.clone(),
            value: self.best_value,
        }
    }

    /// What a plan's food is worth, wishes counted, before seed and the household's time.
    pub fn food_worth(&mut self, found: &Found) -> f64 {
        self.start_over(&found.beds);
        self.allocation.stock.worth
    }

    /// Takes another plan for the best, and goes on from it; no more than so many kinds of crop from now on.
    pub fn go_on_from(&mut self, found: &Found, kinds_most: usize) {
        self.kinds_most = usize::MAX;
        self.set(&found.beds);
        self.kinds_most = kinds_most;
        self.take_for_best();
    }

    /// Only these kinds of crop may be planted from now on.
    pub fn allow(&mut self, kinds: &BTreeSet<usize>) {
        for (kind, allowed) in self.allowed.iter_mut().enumerate() {
            *allowed = kinds.contains(&kind);
        }
    }

    /// Searches on for so many answers with each kind of crop weighing more, by this share of what the food is worth.
    pub fn with_dear_kinds(&mut self, share: f64, answers: u64) {
        let usual = self.effort;
        let size = self.food_worth(&self.found());
        self.effort.kind += share * size;
        let beds = self.best.clone();
        self.start_over(&beds);
        self.kick_for(answers);
        self.effort = usual;
        let beds = self.best.clone();
        self.start_over(&beds);
    }

    pub(super) fn take_for_best(&mut self) {
        self.best_value = self.value;
        self.best.clone_from(&self.beds);
    }

    /// Kinds of crop in the plan in hand.
    pub fn kinds(&self) -> usize {
        self.kind_uses.iter().filter(|uses| **uses > 0).count()
    }

    /// Plans with fewer and fewer kinds of crop, from the best in hand down to `least`: each time the kind that is missed
    /// least is dropped, and so many answers look for the best of what is left.
    pub fn simpler(&mut self, least: usize, answers: u64) -> Vec<Found> {
        let best = self.found();
        self.go_on_from(&best, self.kinds_most);
        let mut rows = vec![best];
        while self.kinds() > least && self.drop_a_kind(answers) {
            rows.push(self.found());
        }
        self.allowed.fill(true);
        rows
    }

    /// Drops the kind that is missed least; false where every kind must stay.
    fn drop_a_kind(&mut self, answers: u64) -> bool {
        let mark = self.mark();
        let mut losses: Vec<(f64, usize)> = Vec::new();
        for kind in 0..self.kind_uses.len() {
            if self.kind_uses[kind] > 0 && !self.reserved[kind] {
                self.take_out(kind);
                losses.push((mark.value - self.value, kind));
                self.back_to(&mark);
            }
        }
        losses.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut best: Option<Mark> = None;
        for &(_, kind) in losses.iter().take(TRIED) {
            self.allowed[kind] = false;
            let beds = self.take_out(kind);
            self.until = u64::MAX;
            self.settle(&beds);
            if best.as_ref().is_none_or(|best| self.value > best.value) {
                best = Some(self.mark());
            }
            self.allowed[kind] = true;
            self.back_to(&mark);
        }
        let Some(best) = best else { return false };
        self.back_to(&best);
        for kind in 0..self.allowed.len() {
            self.allowed[kind] = self.kind_uses[kind] > 0;
        }
        self.take_for_best();
        self.kick_for(answers);
        let best = self.found();
        self.set(&best.beds);
        true
    }

    /// Kicks for a counted number of answers.
    pub fn kick_for(&mut self, answers: u64) {
        self.until = self.answers + answers;
        while self.answers < self.until {
            self.kick();
        }
    }

    /// Of plans worth at least `floor`, one that asks for little: fewer plantings, kinds, weeks of sowing.
    pub fn simplest(&mut self, floor: f64, answers: u64) {
        let usual = self.effort;
        let mut kept = self.found();
        let size = self.food_worth(&kept);
        for share in TIE_SHARES {
            let weight = share * size;
            self.effort = Effort {
                planting: usual.planting + weight,
                kind: usual.kind + 2.0 * weight,
                sowing_week: usual.sowing_week + 2.0 * weight,
            };
            self.start_over(&kept.beds);
            self.kick_for(answers);
            let value = value_of(self.model, &self.best);
            if value < floor {
                break;
            }
            kept = Found {
                beds: self.best.clone(),
                value,
            };
        }
        self.effort = usual;
        self.start_over(&kept.beds);
    }

    /// Sets a plan under the weights that now hold.
    pub fn start_over(&mut self, beds: &[Vec<usize>]) {
        for bed in 0..self.beds.len() {
            self.clear(bed);
        }
        let nothing = Search::new(self.model, 0);
        self.value = nothing.value;
        self.allocation.stock.copy(&nothing.allocation.stock);
        for (bed, plantings) in beds.iter().enumerate() {
            self.put(bed, plantings);
        }
        self.take_for_best();
    }

    /// Takes all plantings of a kind out of the beds; gives the beds.
    pub(super) fn take_out(&mut self, kind: usize) -> Vec<usize> {
        let mut beds = Vec::new();
        for bed in 0..self.beds.len() {
            let of_kind = |&&planting: &&usize| self.model.plantings[planting].crop == kind;
            let out: Vec<usize> = self.beds[bed].iter().filter(of_kind).copied().collect();
            if out.is_empty() {
                continue;
            }
            beds.push(bed);
            self.beds[bed].retain(|planting| !out.contains(planting));
            out.into_iter().for_each(|planting| self.unplace(planting));
            self.mend_rotation(bed);
        }
        beds
    }

    pub(super) fn mark(&self) -> Mark {
        Mark {
            beds: self.beds.clone(),
            stock: self.allocation.stock.clone(),
            value: self.value,
        }
    }

    pub(super) fn back_to(&mut self, mark: &Mark) {
        for bed in 0..self.beds.len() {
            let mine = std::mem::take(&mut self.beds[bed]);
            mine.iter().for_each(|&planting| self.uncount(planting));
        }
        for (bed, plantings) in mark.beds.iter().enumerate() {
            plantings.iter().for_each(|&planting| self.count(planting));
            self.beds[bed].clone_from(plantings);
        }
        self.allocation.stock.copy(&mark.stock);
        self.value = mark.value;
    }
}
