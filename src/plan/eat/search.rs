//! Best and cheapest paths of one kilogram through the larder.

use super::fill::{Fill, last_segment};
use super::{CRUMB_KG, CRUMB_WORTH, End, Larder, Work};

impl Larder<'_> {
    /// Best path for one more kilogram from a source.
    pub(super) fn search_out(&mut self, source: usize) -> Option<(End, f64)> {
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
