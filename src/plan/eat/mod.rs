//! What a harvest is worth on the table: exact, however long food keeps and whatever stands in for it.
//!
//! Weekly harvests flow to weekly appetites, food by food within its keeping time, under the group's appetite.
//! Worth falls with every step, so it is a flow of greatest worth: each kilogram added goes along the best
//! path of shifts (it may push another kilogram to a later week, or to waste), each kilogram taken away is
//! made good along the cheapest one. After every change the eating is the best there is.
//!
//! # References
//! Successive best paths with node prices: Ahuja, Magnanti and Orlin (1993), *Network Flows*, section 9.7.

mod carry;
mod fill;
mod search;
#[cfg(test)]
mod tests;

use super::model::{Model, Segment};
use fill::{Fill, last_segment};
use search::{Way, Work};

/// Amounts below this are nothing, kg.
const EPSILON_KG: f64 = 1e-9;
/// Gains below this are nothing, currency/kg.
const CRUMB_WORTH: f64 = 1e-10;

/// The best way to eat what is there, kept up to date as harvests come and go.
#[derive(Clone)]
pub(super) struct FoodAllocation<'a> {
    model: &'a Model<'a>,
    table_of: Vec<usize>,
    pub stock: Stock,
    first: Vec<usize>,
    work: Work,
}

/// What lies in a allocation and what is eaten of it; can be kept and put back.
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
    /// Per node: what one kilogram more there is worth.
    price: Vec<f64>,
}

impl Stock {
    /// Copies another into this one without asking for memory again.
    pub fn copy(&mut self, other: &Stock) {
        self.worth = other.worth;
        self.unused.clone_from(&other.unused);
        self.eaten.clone_from(&other.eaten);
        self.served.clone_from(&other.served);
        self.total.clone_from(&other.total);
        self.price.clone_from(&other.price);
    }
}

/// Where a path ends.
#[derive(Clone, Copy, Debug, PartialEq)]
enum End {
    /// At the table of this node: eaten, or no longer eaten.
    Table(usize),
    /// In the waste of this source node: unused, or no longer unused.
    Waste(usize),
}

impl<'a> FoodAllocation<'a> {
    /// An empty allocation.
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
        let mut allocation = FoodAllocation {
            model,
            table_of: model.table_of_food(),
            stock: Stock {
                worth: 0.0,
                unused: vec![0.0; sources],
                eaten: vec![0.0; at],
                served: vec![0.0; sources],
                total: vec![0.0; model.tables.len() * model.weeks],
                price: Vec::new(),
            },
            first,
            work: Work::new(nodes),
        };
        allocation.stock.price = allocation.first_prices();
        allocation
    }

    /// Adds a harvest; returns what it is worth.
    pub fn add(&mut self, source: usize, kg: f64) -> f64 {
        let before = self.stock.worth;
        let mut left = kg;
        while left > EPSILON_KG && Self::gains(self.stock.price[source]) {
            let Some(end) = self.search(source, Way::Out) else {
                break;
            };
            if end == End::Waste(source) {
                break;
            }
            left -= self.carry(source, end, Way::Out, left);
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
        while left > EPSILON_KG {
            let Some(end) = self.search(source, Way::In) else {
                break;
            };
            left -= self.carry(source, end, Way::In, left);
        }
        self.stock.worth - before
    }

    /// The table a source's food is eaten at.
    pub fn table(&self, source: usize) -> usize {
        self.table_of[source / self.model.weeks]
    }

    /// What is eaten: per food and week, and per table and week.
    pub fn eaten(&self) -> (&[f64], &[f64]) {
        (&self.stock.served, &self.stock.total)
    }

    /// What more of a food could be sold for right away in a week of eating; a lower estimate, since it does not shift what is
    /// eaten already. It hangs on nothing but what is eaten at the food's table in that week.
    pub fn opening(&self, food: usize, week: usize, out: &mut Vec<Segment>) {
        out.clear();
        let model = self.model;
        let table = self.table_of[food];
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
}
