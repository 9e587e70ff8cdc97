//! How far steps of worth are filled.

use super::EPSILON_KG;
use crate::plan::model::Segment;

/// Steps with the first so many kilograms taken.
pub(super) struct Fill<'s> {
    steps: &'s [Segment],
    at: usize,
    taken: f64,
}

impl<'s> Fill<'s> {
    pub fn new(steps: &'s [Segment], taken: f64) -> Self {
        let mut fill = Fill {
            steps,
            at: 0,
            taken,
        };
        fill.settle();
        fill
    }

    fn settle(&mut self) {
        while self.at < self.steps.len() && self.taken >= self.steps[self.at].kg - EPSILON_KG {
            self.taken = (self.taken - self.steps[self.at].kg).max(0.0);
            self.at += 1;
        }
    }

    /// What is left of the step that is being filled.
    pub fn segment(&self) -> Option<Segment> {
        let step = self.steps.get(self.at)?;
        Some(Segment {
            kg: step.kg - self.taken,
            worth: step.worth,
        })
    }

    pub fn take(&mut self, kg: f64) {
        self.taken += kg;
        self.settle();
    }
}

/// The part of the last step begun that is filled.
pub(super) fn last_segment(steps: &[Segment], filled: f64) -> Option<Segment> {
    let mut left = filled;
    let mut last = None;
    for step in steps {
        if left <= EPSILON_KG {
            break;
        }
        last = Some(Segment {
            kg: left.min(step.kg),
            worth: step.worth,
        });
        left -= step.kg;
    }
    last
}
