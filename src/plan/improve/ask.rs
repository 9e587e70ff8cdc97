//! What else could be: a planting's second best, a kind left out or taken in, single changes that gain.

use super::{LIMIT_SLACK, Search, simple::Found};

impl Search<'_> {
    /// The best that is found when a planting is left out of all its beds, the others staying.
    pub fn without_planting(&mut self, plan: &[Vec<usize>], number: usize) -> Found {
        self.start_over(plan);
        let beds: Vec<usize> = (0..plan.len())
            .filter(|&bed| self.beds[bed].contains(&number))
            .collect();
        self.banned[number] = true;
        for &bed in &beds {
            let at = self.beds[bed].iter().position(|one| *one == number);
            if let Some(at) = at {
                self.beds[bed].remove(at);
                self.unplace(number);
            }
        }
        self.locked.clone_from(&self.beds);
        self.until = u64::MAX;
        self.settle(&beds);
        self.let_go();
        self.in_hand()
    }

    /// The best that is found without a kind of crop.
    pub fn without_kind(&mut self, plan: &[Vec<usize>], kind: usize) -> Found {
        self.start_over(plan);
        self.allowed[kind] = false;
        let beds = self.take_out(kind);
        self.until = u64::MAX;
        self.settle(&beds);
        self.allowed[kind] = true;
        self.in_hand()
    }

    /// The best that is found with a kind of crop that the plan has not, each of its sowings tried in each kind of bed; none
    /// where none of them can stand anywhere.
    pub fn with_kind(&mut self, plan: &[Vec<usize>], kind: usize) -> Option<Found> {
        self.start_over(plan);
        let mark = self.mark();
        let mut tried: Vec<(f64, usize)> = (0..self.model.plantings.len())
            .filter(|&number| self.model.plantings[number].crop == kind)
            .map(|number| {
                let items = &self.model.plantings[number].items;
                (items.iter().map(|item| item.alone).sum(), number)
            })
            .collect();
        tried.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut best: Option<Found> = None;
        for (_, number) in tried.into_iter().take(SOWINGS_TRIED) {
            let class = self.model.instance.candidates[number].bed_class;
            for bed in 0..self.beds.len() {
                if self.model.kinds[self.kind_of[bed]].class != class {
                    continue;
                }
                self.locked[bed] = vec![number];
                self.clear(bed);
                self.best_response(bed, 0.0, 0.0);
                self.locked[bed].clear();
                let better = best.as_ref().is_none_or(|best| self.value > best.value);
                if better && self.beds[bed].contains(&number) {
                    best = Some(self.in_hand());
                }
                self.back_to(&mark);
            }
        }
        best
    }

    /// Single changes that gain, the greatest first: a bed's gaps filled, or one of its plantings out and the best in its
    /// place; of each bed the best one.
    pub fn gains(&mut self, plan: &[Vec<usize>]) -> Vec<Found> {
        self.start_over(plan);
        let mark = self.mark();
        let mut changes = Vec::new();
        for bed in 0..self.beds.len() {
            let own = self.beds[bed].clone();
            let outs = (0..own.len()).map(Some).chain([None]);
            let mut best: Option<Found> = None;
            for out in outs {
                self.locked[bed].clone_from(&own);
                if let Some(out) = out {
                    self.locked[bed].remove(out);
                }
                self.best_response(bed, 0.0, 0.0);
                let least = best.as_ref().map_or(mark.value, |best| best.value);
                if self.value > least + LIMIT_SLACK {
                    best = Some(self.in_hand());
                }
                self.back_to(&mark);
            }
            self.locked[bed].clear();
            changes.extend(best);
        }
        changes.sort_by(|a, b| b.value.total_cmp(&a.value));
        changes
    }

    pub(super) fn in_hand(&self) -> Found {
        Found {
            beds: self.beds.clone(),
            value: self.value,
        }
    }
}

/// Sowings of a kind that are tried, those of most worth by themselves first.
const SOWINGS_TRIED: usize = 12;
