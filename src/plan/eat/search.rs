//! Best and cheapest paths of one kilogram through the allocation.
//!
//! Every node has a price: what one kilogram more there is worth. While eating is the best there is, no arc that
//! can carry a kilogram gains at these prices, so what an arc falls short by is a length of at least 0 and the best
//! path is the shortest (Dijkstra's, with the prices as potentials). Prices near the path are then moved so that
//! this stays true after the kilogram has gone along it.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use super::fill::{Fill, last_segment};
use super::{CRUMB_WORTH, EPSILON_KG, End, FoodAllocation};

/// Which way a search follows the arcs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Way {
    /// Where one kilogram more goes: along the arcs.
    Out,
    /// Whence one kilogram less is made good: against them.
    In,
}

/// A length that can be ordered.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Length(f64);

impl Eq for Length {}

impl PartialOrd for Length {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Length {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

/// Space for the search, kept between calls.
#[derive(Clone, Default)]
pub(super) struct Work {
    length: Vec<f64>,
    stamp: Vec<u32>,
    done: Vec<u32>,
    now: u32,
    pub from: Vec<u32>,
    /// The path last carried along.
    pub path: Vec<(usize, usize)>,
    /// Nodes as near as the one at hand; and those farther away.
    near: Vec<u32>,
    far: BinaryHeap<(Reverse<Length>, u32)>,
    reached: Vec<u32>,
    best: Option<(End, f64)>,
}

impl Work {
    pub fn new(nodes: usize) -> Self {
        Work {
            length: vec![0.0; nodes],
            stamp: vec![0; nodes],
            done: vec![0; nodes],
            from: vec![0; nodes],
            ..Work::default()
        }
    }

    fn begin(&mut self, source: usize) {
        self.now += 1;
        self.near.clear();
        self.far.clear();
        self.reached.clear();
        self.best = None;
        self.length[source] = 0.0;
        self.stamp[source] = self.now;
        self.reached.push(source as u32);
        self.near.push(source as u32);
    }

    /// The nearest node not yet looked at, unless an end is as near.
    fn next(&mut self) -> Option<usize> {
        loop {
            let node = match self.near.pop() {
                Some(node) => node,
                None => self.far.pop()?.1,
            } as usize;
            if self.done[node] == self.now {
                continue;
            }
            if self.best.is_some_and(|best| best.1 <= self.length[node]) {
                return None;
            }
            self.done[node] = self.now;
            return Some(node);
        }
    }

    /// An arc that falls short by `short` (below 0 only by rounding); whether it is a nearer way to its end.
    fn offer(&mut self, from: usize, to: usize, short: f64) -> bool {
        let here = self.length[from];
        let length = here + short.max(0.0);
        if self.stamp[to] == self.now && length >= self.length[to] {
            return false;
        }
        if self.best.is_some_and(|best| best.1 <= length) {
            return false;
        }
        if self.stamp[to] != self.now {
            self.stamp[to] = self.now;
            self.reached.push(to as u32);
        }
        self.length[to] = length;
        self.from[to] = from as u32;
        if length <= here {
            self.near.push(to as u32);
        } else {
            self.far.push((Reverse(Length(length)), to as u32));
        }
        true
    }

    /// Whether a node has been reached and is as near as another.
    fn is_at(&self, node: usize, other: usize) -> bool {
        self.stamp[node] == self.now && self.length[node] <= self.length[other]
    }

    /// Whether an end is as near as a node.
    fn is_done(&self, node: usize) -> bool {
        self.best.is_some_and(|best| best.1 <= self.length[node])
    }

    fn end(&mut self, node: usize, end: End, short: f64) {
        let length = self.length[node] + short.max(0.0);
        if self.best.is_none_or(|best| length < best.1) {
            self.best = Some((end, length));
        }
    }
}

impl FoodAllocation<'_> {
    /// Prices while nothing lies in the allocation: what the first kilogram is worth.
    pub(super) fn first_prices(&self) -> Vec<f64> {
        let (sources, weeks) = (self.stock.unused.len(), self.model.weeks);
        let mut prices = vec![0.0; self.work.from.len()];
        for (number, table) in self.model.tables.iter().enumerate() {
            for (week, total) in table.total.iter().enumerate() {
                let extra = total.first().map_or(f64::NEG_INFINITY, |first| first.worth);
                prices[self.table_node(number, week)] = extra;
                for &food in &table.foods {
                    let first = self.model.steps[food * weeks + week].first();
                    let worth = first.map_or(f64::NEG_INFINITY, |first| first.worth);
                    prices[self.cell_node(food, week)] = worth + extra;
                }
            }
        }
        for source in 0..sources {
            let food = source / weeks;
            let reached = self.model.window(food, source % weeks);
            prices[source] = reached
                .map(|week| prices[self.cell_node(food, week)])
                .fold(0.0, f64::max);
        }
        prices
    }

    /// The best end for one kilogram more, or less, at a source; the path there stays in the work space, and prices
    /// are moved as if it had been taken.
    pub(super) fn search(&mut self, source: usize, way: Way) -> Option<End> {
        let mut work = std::mem::take(&mut self.work);
        work.begin(source);
        let sources = self.stock.unused.len();
        while let Some(node) = work.next() {
            if node < sources {
                self.leave_source(&mut work, node, way);
            } else if node < 2 * sources {
                self.leave_cell(&mut work, node, way);
            } else {
                self.leave_table(&mut work, node, way);
            }
        }
        if let Some((_, length)) = work.best {
            let sign = if way == Way::Out { -1.0 } else { 1.0 };
            for &node in &work.reached {
                let rest = length - work.length[node as usize];
                if rest > 0.0 {
                    self.stock.price[node as usize] += sign * rest;
                }
            }
        }
        let end = work.best.map(|best| best.0);
        self.work = work;
        end
    }

    fn leave_source(&self, work: &mut Work, node: usize, way: Way) {
        let weeks = self.model.weeks;
        let (food, picked) = (node / weeks, node % weeks);
        let price = self.stock.price[node];
        if way == Way::Out {
            work.end(node, End::Waste(node), price);
        } else if self.stock.unused[node] > EPSILON_KG {
            work.end(node, End::Waste(node), -price);
        }
        for (delay, week) in self.model.window(food, picked).enumerate() {
            let cell = self.cell_node(food, week);
            let short = price - self.stock.price[cell];
            let short = match way {
                Way::Out if short < f64::INFINITY => short,
                Way::In if self.stock.eaten[self.first[node] + delay] > EPSILON_KG => -short,
                _ => continue,
            };
            if work.offer(node, cell, short) && short <= 0.0 {
                // Most often the week itself has room: a look ahead saves a walk through weeks as good as it.
                self.cell_to_table(work, cell, way);
                let table = self.table_node(self.table_of[food], week);
                if work.is_at(table, node) {
                    self.table_to_end(work, table, way);
                }
                if work.is_done(node) {
                    return;
                }
            }
        }
    }

    fn leave_cell(&self, work: &mut Work, node: usize, way: Way) {
        let weeks = self.model.weeks;
        let cell = node - self.stock.unused.len();
        let (food, week) = (cell / weeks, cell % weeks);
        for (delay, picked) in self.pickings(food, week).enumerate() {
            let other = food * weeks + picked;
            let short = self.stock.price[node] - self.stock.price[other];
            if way == Way::In {
                work.offer(node, other, -short);
            } else if self.stock.eaten[self.first[other] + delay] > EPSILON_KG {
                work.offer(node, other, short);
            }
        }
        // Offered last, so looked at first: it is the way to an end.
        self.cell_to_table(work, node, way);
    }

    fn cell_to_table(&self, work: &mut Work, node: usize, way: Way) {
        let weeks = self.model.weeks;
        let cell = node - self.stock.unused.len();
        let table = self.table_node(self.table_of[cell / weeks], cell % weeks);
        let apart = self.stock.price[node] - self.stock.price[table];
        let (steps, served) = (&self.model.steps[cell], self.stock.served[cell]);
        let segment = match way {
            Way::Out => Fill::new(steps, served).segment(),
            Way::In => last_segment(steps, served),
        };
        if let Some(segment) = segment {
            let short = apart - segment.worth;
            work.offer(node, table, if way == Way::Out { short } else { -short });
        }
    }

    fn table_to_end(&self, work: &mut Work, node: usize, way: Way) {
        let weeks = self.model.weeks;
        let slot = node - 2 * self.stock.unused.len();
        let total = &self.model.tables[slot / weeks].total[slot % weeks];
        let filled = self.stock.total[slot];
        let segment = match way {
            Way::Out => Fill::new(total, filled).segment(),
            Way::In => last_segment(total, filled),
        };
        if let Some(segment) = segment {
            let short = self.stock.price[node] - segment.worth;
            let short = if way == Way::Out { short } else { -short };
            work.end(node, End::Table(node), short);
        }
    }

    fn leave_table(&self, work: &mut Work, node: usize, way: Way) {
        self.table_to_end(work, node, way);
        let weeks = self.model.weeks;
        let slot = node - 2 * self.stock.unused.len();
        let (table, week) = (slot / weeks, slot % weeks);
        let price = self.stock.price[node];
        for &food in &self.model.tables[table].foods {
            let cell = food * weeks + week;
            let (steps, served) = (&self.model.steps[cell], self.stock.served[cell]);
            let segment = match way {
                Way::Out => last_segment(steps, served),
                Way::In => Fill::new(steps, served).segment(),
            };
            if let Some(segment) = segment {
                let other = self.cell_node(food, week);
                let short = self.stock.price[other] - price - segment.worth;
                work.offer(node, other, if way == Way::Out { -short } else { short });
            }
        }
    }

    /// Whether a gain is worth a push.
    pub(super) fn gains(worth: f64) -> bool {
        worth > CRUMB_WORTH
    }
}
