//! What a harvest is worth on the table: exact, however long food keeps and whatever stands in for it.
//!
//! Weekly harvests flow to weekly appetites, food by food within its keeping time, under the group's appetite.
//! Worth falls with every step, so it is a flow of greatest worth: each kilogram added goes along the best
//! path of shifts (it may push another kilogram to a later week, or to waste), each kilogram taken away is
//! made good along the cheapest one. After every change the eating is the best there is.
//!
//! # References
//! Successive best paths: Ahuja, Magnanti and Orlin (1993), *Network Flows*, section 9.7.

mod fill;
mod search;
#[cfg(test)]
mod tests;

use std::collections::VecDeque;

use super::model::{Model, Segment};
use fill::{Fill, last_segment};

/// Amounts below this are nothing, kg.
const CRUMB_KG: f64 = 1e-9;
/// Gains below this are nothing, currency/kg.
const CRUMB_WORTH: f64 = 1e-10;

/// The best way to eat what is there, kept up to date as harvests come and go.
#[derive(Clone)]
pub(super) struct Larder<'a> {
    model: &'a Model<'a>,
    table_of: Vec<usize>,
    pub stock: Stock,
    first: Vec<usize>,
    work: Work,
}

/// What lies in a larder and what is eaten of it; can be kept and put back.
#[derive(Clone, Default)]
pub(super) struct Stock {
    /// Worth of all that is eaten.
    pub worth: f64,
    /// Not eaten, per food and week of picking.
    unused: Vec<f64>,
    /// Eaten, per source and week of delay.
    eaten: Vec<f64>,
    /// Eaten, per food and week of eating.
    pub served: Vec<f64>,
    /// Eaten at a table, per table and week.
    total: Vec<f64>,
}

impl Stock {
    /// Copies another into this one without asking for memory again.
    pub fn copy(&mut self, other: &Stock) {
        self.worth = other.worth;
        self.unused.clone_from(&other.unused);
        self.eaten.clone_from(&other.eaten);
        self.served.clone_from(&other.served);
        self.total.clone_from(&other.total);
    }
}

/// Space for the search, kept between calls.
#[derive(Clone, Default)]
struct Work {
    label: Vec<f64>,
    stamp: Vec<u32>,
    now: u32,
    from: Vec<u32>,
    queue: VecDeque<u32>,
    queued: Vec<bool>,
}

/// Where a path ends.
#[derive(Clone, Copy, Debug, PartialEq)]
enum End {
    /// At the table of this node: eaten, or no longer eaten.
    Table(usize),
    /// In the waste of this source node: unused, or no longer unused.
    Waste(usize),
}

impl<'a> Larder<'a> {
    /// An empty larder.
    pub fn new(model: &'a Model<'a>) -> Self {
        let sources = model.steps.len();
        let mut first = Vec::with_capacity(sources + 1);
        let mut at = 0;
        for food in 0..model.keeps.len() {
            for _ in 0..model.weeks {
                first.push(at);
                at += model.keeps[food] + 1;
            }
        }
        first.push(at);
        let nodes = 2 * sources + model.tables.len() * model.weeks;
        Larder {
            model,
            table_of: model.table_of_food(),
            stock: Stock {
                worth: 0.0,
                unused: vec![0.0; sources],
                eaten: vec![0.0; at],
                served: vec![0.0; sources],
                total: vec![0.0; model.tables.len() * model.weeks],
            },
            first,
            work: Work {
                label: vec![0.0; nodes],
                stamp: vec![0; nodes],
                now: 0,
                from: vec![0; nodes],
                queue: VecDeque::new(),
                queued: vec![false; nodes],
            },
        }
    }

    /// Adds a harvest; returns what it is worth.
    pub fn add(&mut self, source: usize, kg: f64) -> f64 {
        let before = self.stock.worth;
        let mut left = kg;
        while left > CRUMB_KG {
            let Some((end, gain)) = self.search_out(source) else {
                break;
            };
            if gain <= CRUMB_WORTH {
                break;
            }
            let kg = self.push_out(source, end, left);
            self.stock.worth += kg * gain;
            left -= kg;
        }
        self.stock.unused[source] += left.max(0.0);
        self.stock.worth - before
    }

    /// Takes a harvest away again; returns the (negative) change of worth.
    pub fn remove(&mut self, source: usize, kg: f64) -> f64 {
        let before = self.stock.worth;
        let spare = self.stock.unused[source].min(kg);
        self.stock.unused[source] -= spare;
        let mut left = kg - spare;
        while left > CRUMB_KG {
            let Some((end, gain)) = self.search_in(source) else {
                break;
            };
            let kg = self.pull_in(source, end, left);
            self.stock.worth += kg * gain;
            left -= kg;
        }
        self.stock.worth - before
    }

    /// The table a source's food is eaten at.
    pub fn table(&self, source: usize) -> usize {
        self.table_of[source / self.model.weeks]
    }

    /// What more of a food picked in a week could be sold for right away, most worth first; a lower estimate,
    /// since it does not shift what is eaten already.
    pub fn openings(&self, source: usize, out: &mut Vec<Segment>) {
        out.clear();
        let model = self.model;
        let food = source / model.weeks;
        let table = self.table_of[food];
        for week in model.window(food, source % model.weeks) {
            let cell = food * model.weeks + week;
            let total = self.stock.total[table * model.weeks + week];
            let mut room = Fill::new(&model.tables[table].total[week], total);
            let mut step = Fill::new(&model.steps[cell], self.stock.served[cell]);
            while let (Some(segment), Some(extra)) = (step.segment(), room.segment()) {
                let kg = segment.kg.min(extra.kg);
                let worth = segment.worth + extra.worth;
                if worth <= CRUMB_WORTH {
                    break;
                }
                out.push(Segment { kg, worth });
                step.take(kg);
                room.take(kg);
            }
            if let (Some(segment), None) = (step.segment(), room.segment()) {
                self.displacement(table, week, food, segment, out);
            }
        }
        out.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    }

    /// A full table: a dearer food can still push out the cheapest one.
    fn displacement(
        &self,
        table: usize,
        week: usize,
        food: usize,
        step: Segment,
        out: &mut Vec<Segment>,
    ) {
        let model = self.model;
        let mut cheapest: Option<Segment> = None;
        for &other in &model.tables[table].foods {
            let cell = other * model.weeks + week;
            let last =
                last_segment(&model.steps[cell], self.stock.served[cell]).filter(|_| other != food);
            if let Some(last) = last
                && cheapest.is_none_or(|cheapest| last.worth < cheapest.worth)
            {
                cheapest = Some(last);
            }
        }
        if let Some(cheapest) = cheapest.filter(|cheapest| cheapest.worth < step.worth) {
            out.push(Segment {
                kg: cheapest.kg.min(step.kg),
                worth: step.worth - cheapest.worth,
            });
        }
    }

    fn cell_node(&self, food: usize, week: usize) -> usize {
        self.stock.unused.len() + food * self.model.weeks + week
    }

    fn table_node(&self, table: usize, week: usize) -> usize {
        2 * self.stock.unused.len() + table * self.model.weeks + week
    }

    /// Week of delay between picking and eating.
    fn delay(&self, picked: usize, eaten: usize) -> usize {
        if eaten >= picked {
            eaten - picked
        } else {
            eaten + self.model.weeks - picked
        }
    }

    /// Weeks of picking from which a food can be eaten in `week`.
    fn pickings(&self, food: usize, week: usize) -> impl Iterator<Item = usize> + use<> {
        let weeks = self.model.weeks;
        let keeps = self.model.keeps[food];
        let keeps = if self.model.cyclic {
            keeps
        } else {
            keeps.min(week)
        };
        (0..=keeps).map(move |back| {
            if back > week {
                week + weeks - back
            } else {
                week - back
            }
        })
    }

    /// Kilograms that an arc of a path can carry, when one kilogram moves from `a` to `b`.
    fn capacity(&self, a: usize, b: usize) -> f64 {
        let (sources, weeks) = (self.stock.unused.len(), self.model.weeks);
        if a < sources {
            f64::INFINITY
        } else if b < sources {
            self.stock.eaten[self.first[b] + self.delay(b % weeks, (a - sources) % weeks)]
        } else if b >= 2 * sources {
            let cell = a - sources;
            Fill::new(&self.model.steps[cell], self.stock.served[cell])
                .segment()
                .map_or(0.0, |s| s.kg)
        } else {
            let cell = b - sources;
            last_segment(&self.model.steps[cell], self.stock.served[cell]).map_or(0.0, |s| s.kg)
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

    fn push_out(&mut self, source: usize, end: End, most: f64) -> f64 {
        let mut kg = most;
        let last = match end {
            End::Table(node) => {
                let slot = node - 2 * self.stock.unused.len();
                let (table, week) = (slot / self.model.weeks, slot % self.model.weeks);
                let room = Fill::new(
                    &self.model.tables[table].total[week],
                    self.stock.total[slot],
                )
                .segment();
                kg = kg.min(room.map_or(0.0, |room| room.kg));
                node
            }
            End::Waste(node) => node,
        };
        let mut node = last;
        while node != source {
            let before = self.work.from[node] as usize;
            kg = kg.min(self.capacity(before, node));
            node = before;
        }
        match end {
            End::Table(node) => self.stock.total[node - 2 * self.stock.unused.len()] += kg,
            End::Waste(node) => self.stock.unused[node] += kg,
        }
        let mut node = last;
        while node != source {
            let before = self.work.from[node] as usize;
            self.shift(before, node, kg);
            node = before;
        }
        kg
    }

    fn pull_in(&mut self, source: usize, end: End, most: f64) -> f64 {
        let mut kg = most;
        let last = match end {
            End::Table(node) => {
                let slot = node - 2 * self.stock.unused.len();
                let (table, week) = (slot / self.model.weeks, slot % self.model.weeks);
                let used = last_segment(
                    &self.model.tables[table].total[week],
                    self.stock.total[slot],
                );
                kg = kg.min(used.map_or(0.0, |used| used.kg));
                node
            }
            End::Waste(node) => {
                kg = kg.min(self.stock.unused[node]);
                node
            }
        };
        // Labels were spread against the flow: each step of the chain moves a kilogram from it to its parent.
        let mut node = last;
        while node != source {
            let after = self.work.from[node] as usize;
            kg = kg.min(self.capacity(node, after));
            node = after;
        }
        match end {
            End::Table(node) => {
                let total = &mut self.stock.total[node - 2 * self.stock.unused.len()];
                *total = (*total - kg).max(0.0);
            }
            End::Waste(node) => self.stock.unused[node] -= kg,
        }
        let mut node = last;
        while node != source {
            let after = self.work.from[node] as usize;
            self.shift(node, after, kg);
            node = after;
        }
        kg
    }
}
