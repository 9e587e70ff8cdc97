//! The bound bed by bed: prices at which each bed and the table choose for themselves, lowered step by step.

use super::columns::Columns;
use super::model::Model;
use super::prices::Pricer;
use super::subgradient::Subgradient;
use super::{Prices, Proof};

/// The prices found so far, what they prove, and the beds' years that the bound mixes.
pub(super) struct Bound<'a> {
    model: &'a Model<'a>,
    pricer: Pricer<'a>,
    descent: Subgradient,
    columns: Columns,
    /// Steps done.
    pub steps: u64,
}

impl<'a> Bound<'a> {
    /// At the first prices.
    pub fn new(model: &'a Model<'a>) -> Self {
        let mut pricer = Pricer::new(model);
        let first = pricer.first();
        Bound {
            model,
            descent: pricer.descent(first),
            columns: Columns::new(model.kinds.len()),
            steps: 0,
            pricer,
        }
    }

    /// No plan is worth more than this, or than the plan in hand.
    pub fn value(&self) -> f64 {
        self.descent.bound
    }

    /// Profit of each planting at the best prices.
    pub fn guide(&mut self) -> &[f64] {
        self.pricer.profits(&self.descent.best)
    }

    /// Years that the bound mixes.
    pub fn columns(&self) -> &Columns {
        &self.columns
    }

    /// The best prices, in the order of the list.
    pub fn best(&self) -> &[f64] {
        &self.descent.best
    }

    /// The best prices by kind.
    pub fn prices(&self) -> Prices {
        self.pricer.layout.publish(self.model, self.best())
    }

    /// Lowers the bound for a counted number of steps, given the value of a plan in hand. False once it meets that value.
    pub fn run(&mut self, steps: u64, value: f64) -> bool {
        for _ in 0..steps {
            if self.descent.bound <= value {
                return false;
            }
            self.steps += 1;
            let (paths, weight) = self.pricer.step(&mut self.descent, value);
            self.columns.add(paths, weight);
        }
        true
    }

    /// Why nothing is worth more.
    pub fn proof(&self) -> Proof {
        Proof::Beds(self.prices())
    }
}
