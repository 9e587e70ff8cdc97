//! Kilograms carried along a path that a search has found.

use super::fill::{Fill, last_segment};
use super::search::Way;
use super::{End, FoodAllocation};
use crate::plan::model::Segment;

impl FoodAllocation<'_> {
    /// Carries what the path takes, `most` at most; returns the kilograms.
    pub(super) fn carry(&mut self, source: usize, end: End, way: Way, most: f64) -> f64 {
        let mut path = std::mem::take(&mut self.work.path);
        self.trace(source, end, way, &mut path);
        let room = self.room_at(end, way);
        let (mut kg, mut gain) = (most.min(room.kg), room.worth);
        for &(a, b) in &path {
            let arc = self.room_on(a, b);
            kg = kg.min(arc.kg);
            gain += arc.worth;
        }
        self.stock.worth += kg * gain;
        let signed = if way == Way::Out { kg } else { -kg };
        let there = match end {
            End::Table(node) => &mut self.stock.total[node - 2 * self.stock.unused.len()],
            End::Waste(node) => &mut self.stock.unused[node],
        };
        *there = (*there + signed).max(0.0);
        for &(a, b) in &path {
            self.shift(a, b, kg);
        }
        self.work.path = path;
        kg
    }

    /// The arcs of the path that was found, from its end back to the source.
    fn trace(&self, source: usize, end: End, way: Way, path: &mut Vec<(usize, usize)>) {
        path.clear();
        let (End::Table(mut node) | End::Waste(mut node)) = end;
        while node != source {
            let next = self.work.from[node] as usize;
            // Against the arcs, each step moves a kilogram from a node to the one it was reached from.
            path.push(if way == Way::Out {
                (next, node)
            } else {
                (node, next)
            });
            node = next;
        }
    }

    /// What an end can take or give, and what a kilogram of it changes.
    fn room_at(&self, end: End, way: Way) -> Segment {
        match (end, way) {
            (End::Table(node), _) => {
                let slot = node - 2 * self.stock.unused.len();
                let (table, week) = (slot / self.model.weeks, slot % self.model.weeks);
                let total = &self.model.tables[table].total[week];
                if way == Way::Out {
                    or_none(Fill::new(total, self.stock.total[slot]).segment())
                } else {
                    given_up(last_segment(total, self.stock.total[slot]))
                }
            }
            (End::Waste(_), Way::Out) => Segment {
                kg: f64::INFINITY,
                worth: 0.0,
            },
            (End::Waste(node), Way::In) => Segment {
                kg: self.stock.unused[node],
                worth: 0.0,
            },
        }
    }

    /// What the arc from `a` to `b` can carry, and what a kilogram on it changes.
    fn room_on(&self, a: usize, b: usize) -> Segment {
        let (sources, weeks) = (self.stock.unused.len(), self.model.weeks);
        if a < sources {
            Segment {
                kg: f64::INFINITY,
                worth: 0.0,
            }
        } else if b < sources {
            let delay = self.delay(b % weeks, (a - sources) % weeks);
            Segment {
                kg: self.stock.eaten[self.first[b] + delay],
                worth: 0.0,
            }
        } else if b >= 2 * sources {
            let cell = a - sources;
            or_none(Fill::new(&self.model.steps[cell], self.stock.served[cell]).segment())
        } else {
            let cell = b - sources;
            given_up(last_segment(
                &self.model.steps[cell],
                self.stock.served[cell],
            ))
        }
    }

    fn shift(&mut self, a: usize, b: usize, kg: f64) {
        let (sources, weeks) = (self.stock.unused.len(), self.model.weeks);
        if a < sources {
            let slot = self.first[a] + self.delay(a % weeks, (b - sources) % weeks);
            self.stock.eaten[slot] += kg;
        } else if b < sources {
            let slot = self.first[b] + self.delay(b % weeks, (a - sources) % weeks);
            self.stock.eaten[slot] = (self.stock.eaten[slot] - kg).max(0.0);
        } else if b >= 2 * sources {
            self.stock.served[a - sources] += kg;
        } else {
            let served = &mut self.stock.served[b - sources];
            *served = (*served - kg).max(0.0);
        }
    }
}

const NONE: Segment = Segment {
    kg: 0.0,
    worth: 0.0,
};

fn or_none(segment: Option<Segment>) -> Segment {
    segment.unwrap_or(NONE)
}

/// A kilogram less of a segment loses its worth.
fn given_up(segment: Option<Segment>) -> Segment {
    let segment = or_none(segment);
    Segment {
        kg: segment.kg,
        worth: -segment.worth,
    }
}
