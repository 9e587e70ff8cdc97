//! Plans whose families rest longer from a place: one sowing at a time is tried in another's stead.

use super::{Found, LIMIT_SLACK, Mark, Search};
use crate::plan::years::{Succession, like_classes, succession};

/// Sowings put in another's stead at most, in each class of like beds (own choice).
const ROUNDS: usize = 24;

impl Search<'_> {
    /// A plan of no more kinds made from another by single changes that are worth it, where a section in which a family comes back a year too
    /// early, as plans move on year by year, weighs `weight`.
    pub fn rested(&mut self, found: &Found, weight: f64) -> Found {
        if !self.model.cyclic || self.model.instance.limits.families.is_empty() {
            return found.clone();
        }
        self.start_over(&found.beds);
        self.kinds_most = self.kinds();
        for classes in like_classes(self.model.instance) {
            let beds = self.beds_in(&classes);
            let instance = self.model.instance;
            let mut order = succession(instance, &self.plans_of(&beds));
            for _ in 0..ROUNDS {
                let Some((better, changed)) = self.rests_better(&beds, &order, weight) else {
                    break;
                };
                self.back_to(&better);
                order = changed;
            }
        }
        self.in_hand()
    }

    /// Sections of a plan in which a family comes back a year too early each year.
    pub fn early(&self, found: &Found) -> usize {
        let instance = self.model.instance;
        if !self.model.cyclic || instance.limits.families.is_empty() {
            return 0;
        }
        let early = |classes: Vec<usize>| {
            let beds = self.beds_in(&classes).into_iter();
            let plans: Vec<&[usize]> = beds.map(|bed| found.beds[bed].as_slice()).collect();
            succession(instance, &plans).early.len()
        };
        like_classes(instance).into_iter().map(early).sum()
    }

    /// The single change of these beds that is worth most; none where none is.
    fn rests_better(
        &mut self,
        beds: &[usize],
        order: &Succession,
        weight: f64,
    ) -> Option<(Mark, Succession)> {
        let mark = self.mark();
        let worth = |value: f64, order: &Succession| value - weight * order.early.len() as f64;
        let mut best = None;
        let mut least = worth(mark.value, order) + LIMIT_SLACK;
        for &bed in beds {
            for out in self.beds[bed].clone() {
                let family = self.model.plantings[out].family;
                if !order.early.contains(&family) || self.fixed[bed].contains(&out) {
                    continue;
                }
                for whole_family in [false, true] {
                    self.put_another(bed, out, whole_family);
                    if self.value > least && self.rotates(bed) {
                        let changed = order.after_change(self.model.instance, &self.plans_of(beds));
                        let found = worth(self.value, &changed);
                        if found > least {
                            least = found;
                            best = Some((self.mark(), changed));
                        }
                    }
                    self.back_to(&mark);
                }
            }
        }
        best
    }

    /// The best in a sowing's stead, the others of its bed staying: without this sowing, or without all of its family.
    fn put_another(&mut self, bed: usize, out: usize, whole_family: bool) {
        let family = self.model.plantings[out].family;
        for (number, banned) in self.banned.iter_mut().enumerate() {
            let is_family = self.model.plantings[number].family == family;
            *banned = number == out || whole_family && is_family;
        }
        self.beds[bed].retain(|one| *one != out);
        self.unplace(out);
        self.locked[bed].clone_from(&self.beds[bed]);
        self.best_response(bed, 0.0, 0.0);
        self.let_go();
    }

    fn beds_in(&self, classes: &[usize]) -> Vec<usize> {
        let beds = 0..self.beds.len();
        beds.filter(|&bed| classes.contains(&self.model.kinds[self.kind_of[bed]].class))
            .collect()
    }

    fn plans_of(&self, beds: &[usize]) -> Vec<&[usize]> {
        beds.iter().map(|&bed| self.beds[bed].as_slice()).collect()
    }
}
