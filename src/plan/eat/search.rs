//! Best and cheapest paths of one kilogram through the larder.

use super::fill::{Fill, last_segment};
use super::{CRUMB_KG, CRUMB_WORTH, End, Larder, Work};

/// The best that a kilogram more, or less, does where it lies: at once, and at most by shifting others.
#[derive(Clone, Copy)]
struct Reach {
    at_once: f64,
    at_most: f64,
}

impl Larder<'_> {
    /// The way of one kilogram more where no shifting can beat it: the eating so far is the best there is, so nothing
    /// eaten in a week can be worth more elsewhere than it is there. Leaves the path in the work space.
    fn straight_out(&mut self, source: usize) -> Option<(End, f64)> {
        self.straight(source, |larder, _, cell, slot| {
            let (food, week) = (cell / larder.model.weeks, slot % larder.model.weeks);
            let table = &larder.model.tables[larder.table_of[food]].total[week];
            let steps = &larder.model.steps[cell];
            let served = larder.stock.served[cell];
            let total = larder.stock.total[slot];
            let step = Fill::new(steps, served).segment().map(|s| s.worth);
            let room = Fill::new(table, total).segment().map(|s| s.worth);
            let last_step = last_segment(steps, served).map(|s| s.worth);
            let last_room = last_segment(table, total).map(|s| s.worth);
            let none = f64::NEG_INFINITY;
            let at_table = room.unwrap_or(none).max(last_room.unwrap_or(none));
            let shifted = last_step.map_or(none, |worth| worth + last_room.unwrap_or(none));
            Reach {
                at_once: step.unwrap_or(none) + room.unwrap_or(none),
                at_most: (step.unwrap_or(none) + at_table).max(shifted),
            }
        })
    }

    /// The way of one kilogram less where no shifting can be cheaper. Leaves the path in the work space.
    fn straight_in(&mut self, source: usize) -> Option<(End, f64)> {
        self.straight(source, |larder, eaten, cell, slot| {
            let none = f64::NEG_INFINITY;
            if eaten <= CRUMB_KG {
                return Reach {
                    at_once: none,
                    at_most: none,
                };
            }
            let (food, week) = (cell / larder.model.weeks, slot % larder.model.weeks);
            let table = &larder.model.tables[larder.table_of[food]].total[week];
            let steps = &larder.model.steps[cell];
            let served = larder.stock.served[cell];
            let total = larder.stock.total[slot];
            let last_step = last_segment(steps, served).map(|s| s.worth);
            let last_room = last_segment(table, total).map(|s| s.worth);
            let step = Fill::new(steps, served).segment().map(|s| s.worth);
            let room = Fill::new(table, total).segment().map(|s| s.worth);
            let at_once = match (last_step, last_room) {
                (Some(step), Some(room)) => -step - room,
                _ => none,
            };
            // Where there is room, whatever could come in would be there already if it gained.
            let at_most = match (step, room) {
                (Some(step), Some(room)) => -step - room,
                _ => f64::INFINITY,
            };
            Reach {
                at_once,
                at_most: at_most.max(at_once),
            }
        })
    }

    fn straight(
        &mut self,
        source: usize,
        reach: impl Fn(&Self, f64, usize, usize) -> Reach,
    ) -> Option<(End, f64)> {
        let weeks = self.model.weeks;
        let food = source / weeks;
        let table = self.table_of[food];
        let mut best: Option<(f64, usize)> = None;
        let mut most = f64::NEG_INFINITY;
        for (delay, week) in self.model.window(food, source % weeks).enumerate() {
            let eaten = self.stock.eaten[self.first[source] + delay];
            let reach = reach(self, eaten, food * weeks + week, table * weeks + week);
            most = most.max(reach.at_most);
            if best.is_none_or(|best| reach.at_once > best.0 + CRUMB_WORTH) {
                best = Some((reach.at_once, week));
            }
        }
        let (gain, week) = best.filter(|best| best.0.is_finite() && best.0 >= most)?;
        let (cell, end) = (self.cell_node(food, week), self.table_node(table, week));
        self.work.from[cell] = source as u32;
        self.work.from[end] = cell as u32;
        Some((End::Table(end), gain))
    }

    /// Best path for one more kilogram from a source.
    pub(super) fn search_out(&mut self, source: usize) -> Option<(End, f64)> {
        if let Some(straight) = self.straight_out(source) {
            return Some(straight);
        }
        let mut work = std::mem::take(&mut self.work);
        work.begin(source);
        let mut best: Option<(End, f64)> = None;
        let (sources, weeks) = (self.stock.unused.len(), self.model.weeks);
        while let Some((node, label)) = work.next() {
            if node < sources {
                let food = node / weeks;
                if node != source && best.is_none_or(|best| label > best.1 + CRUMB_WORTH) {
                    best = Some((End::Waste(node), label));
                }
                for week in self.model.window(food, node % weeks) {
                    work.offer(node, self.cell_node(food, week), label);
                }
            } else if node < 2 * sources {
                let cell = node - sources;
                let (food, week) = (cell / weeks, cell % weeks);
                if let Some(segment) =
                    Fill::new(&self.model.steps[cell], self.stock.served[cell]).segment()
                {
                    work.offer(
                        node,
                        self.table_node(self.table_of[food], week),
                        label + segment.worth,
                    );
                }
                for picked in self.pickings(food, week) {
                    let other = food * weeks + picked;
                    if self.stock.eaten[self.first[other] + self.delay(picked, week)] > CRUMB_KG {
                        work.offer(node, other, label);
                    }
                }
            } else {
                let slot = node - 2 * sources;
                let (table, week) = (slot / weeks, slot % weeks);
                if let Some(extra) = Fill::new(
                    &self.model.tables[table].total[week],
                    self.stock.total[slot],
                )
                .segment()
                {
                    let gain = label + extra.worth;
                    if best.is_none_or(|best| gain > best.1 + CRUMB_WORTH) {
                        best = Some((End::Table(node), gain));
                    }
                }
                for &food in &self.model.tables[table].foods {
                    let cell = food * weeks + week;
                    if let Some(last) =
                        last_segment(&self.model.steps[cell], self.stock.served[cell])
                    {
                        work.offer(node, self.cell_node(food, week), label - last.worth);
                    }
                }
            }
        }
        self.work = work;
        best
    }

    /// Cheapest way to make good one kilogram less from a source.
    pub(super) fn search_in(&mut self, source: usize) -> Option<(End, f64)> {
        if let Some(straight) = self.straight_in(source) {
            return Some(straight);
        }
        let mut work = std::mem::take(&mut self.work);
        work.begin(source);
        let mut best: Option<(End, f64)> = None;
        let (sources, weeks) = (self.stock.unused.len(), self.model.weeks);
        while let Some((node, label)) = work.next() {
            if node < sources {
                let (food, picked) = (node / weeks, node % weeks);
                if self.stock.unused[node] > CRUMB_KG
                    && best.is_none_or(|best| label > best.1 + CRUMB_WORTH)
                {
                    best = Some((End::Waste(node), label));
                }
                for week in self.model.window(food, picked) {
                    if self.stock.eaten[self.first[node] + self.delay(picked, week)] > CRUMB_KG {
                        work.offer(node, self.cell_node(food, week), label);
                    }
                }
            } else if node < 2 * sources {
                let cell = node - sources;
                let (food, week) = (cell / weeks, cell % weeks);
                if let Some(last) = last_segment(&self.model.steps[cell], self.stock.served[cell]) {
                    work.offer(
                        node,
                        self.table_node(self.table_of[food], week),
                        label - last.worth,
                    );
                }
                for picked in self.pickings(food, week) {
                    work.offer(node, food * weeks + picked, label);
                }
            } else {
                let slot = node - 2 * sources;
                let (table, week) = (slot / weeks, slot % weeks);
                if let Some(last) = last_segment(
                    &self.model.tables[table].total[week],
                    self.stock.total[slot],
                ) {
                    let gain = label - last.worth;
                    if best.is_none_or(|best| gain > best.1 + CRUMB_WORTH) {
                        best = Some((End::Table(node), gain));
                    }
                }
                for &food in &self.model.tables[table].foods {
                    let cell = food * weeks + week;
                    if let Some(step) =
                        Fill::new(&self.model.steps[cell], self.stock.served[cell]).segment()
                    {
                        work.offer(node, self.cell_node(food, week), label + step.worth);
                    }
                }
            }
        }
        self.work = work;
        best
    }
}

impl Work {
    fn begin(&mut self, source: usize) {
        self.now += 1;
        self.queue.clear();
        self.label[source] = 0.0;
        self.stamp[source] = self.now;
        self.queue.push_back(source as u32);
        self.queued[source] = true;
    }

    fn next(&mut self) -> Option<(usize, f64)> {
        let node = self.queue.pop_front()? as usize;
        self.queued[node] = false;
        Some((node, self.label[node]))
    }

    fn offer(&mut self, from: usize, to: usize, label: f64) {
        if self.stamp[to] == self.now && label <= self.label[to] + CRUMB_WORTH {
            return;
        }
        self.stamp[to] = self.now;
        self.label[to] = label;
        self.from[to] = from as u32;
        if !self.queued[to] {
            self.queued[to] = true;
            self.queue.push_back(to as u32);
        }
    }
}
