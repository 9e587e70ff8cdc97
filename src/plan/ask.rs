//! Questions to a plan: what else could be there, and what that would be worth.

use super::improve::{Found, Search};
use super::model::Model;
use super::solve::plan_of;
use super::{Instance, Plan};

/// A plan that could be in place of another.
#[derive(Clone, Debug, PartialEq)]
pub struct Instead {
    /// The plan.
    pub plan: Plan,
    /// Its value, as that of a [`super::Solution`].
    pub value: f64,
}

/// A plan that questions are put to.
pub struct Questions<'a> {
    model: Model<'a>,
    plan: &'a Plan,
}

impl<'a> Questions<'a> {
    /// Questions to a plan; of one that breaks rules, what keeps them is taken.
    pub fn new(instance: &'a Instance, plan: &'a Plan) -> Self {
        let model = Model::new(instance);
        Self { model, plan }
    }

    fn search(&self) -> (Search<'_>, Vec<Vec<usize>>) {
        let mut search = Search::new(&self.model, 1);
        let begun = self.model.instance.with_begun(None);
        if !begun.is_empty() {
            let beds = search.beds_of(&begun);
            search.fix(&beds);
        }
        let beds = search.beds_of(self.plan);
        (search, beds)
    }

    fn instead(&self, found: &Found) -> Instead {
        Instead {
            plan: plan_of(&self.model, &found.beds),
            value: found.value,
        }
    }

    fn kind(&self, crop: &str) -> Option<usize> {
        self.model.crops.iter().position(|known| *known == crop)
    }

    /// The best found with a planting (by candidate) left out of all its beds.
    pub fn without_planting(&self, candidate: usize) -> Instead {
        let (mut search, beds) = self.search();
        self.instead(&search.without_planting(&beds, candidate))
    }

    /// The best found without a kind of crop.
    pub fn without_kind(&self, crop: &str) -> Option<Instead> {
        let (mut search, beds) = self.search();
        Some(self.instead(&search.without_kind(&beds, self.kind(crop)?)))
    }

    /// The best found with a kind of crop that the plan has not; none where no sowing of it can stand anywhere.
    pub fn with_kind(&self, crop: &str) -> Option<Instead> {
        let (mut search, beds) = self.search();
        let change = search.with_kind(&beds, self.kind(crop)?)?;
        Some(self.instead(&change))
    }

    /// The best found of no more kinds by so many answers a bed, beginning with the plan.
    pub fn better(&self, answers_bed: u64) -> Instead {
        let (mut search, beds) = self.search();
        let kinds = self.model.instance.limits.kinds.unwrap_or(usize::MAX);
        search.go_on_from(&Found { beds, value: 0.0 }, kinds);
        search.kick_for(answers_bed * self.model.instance.bed_count() as u64);
        self.instead(&search.found())
    }

    /// Single changes that gain, the greatest first, at most one a bed.
    pub fn gains(&self) -> Vec<Instead> {
        let (mut search, beds) = self.search();
        let changes = search.gains(&beds);
        changes.iter().map(|change| self.instead(change)).collect()
    }
}
