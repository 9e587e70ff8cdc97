//! One bed's best answer to what the others leave.

use rand::RngExt;

use super::{LIMIT_SLACK, Search};
use crate::plan::eat::FoodAllocation;
use crate::plan::model::{Model, Planting, RowKind, Segment};
use crate::plan::path::Path;

/// Gain that a planting is given where it must stay, currency: above any true one.
const STAYS: f64 = 1e6;

/// Times a bed's answer is corrected for plantings that compete with each other.
const CORRECTIONS: usize = 6;

/// What more of each food and week could be sold for, and each planting's harvest, refreshed where the allocation changed.
pub(super) struct Openings {
    /// Per food and week of eating.
    cells: Vec<Vec<Segment>>,
    /// Per food and week of picking, most worth first.
    segments: Vec<Vec<Segment>>,
    /// What was eaten when a table was last looked at, per food and week, and per table and week.
    served: Vec<f64>,
    total: Vec<f64>,
    /// Per table.
    stale: Vec<bool>,
    /// Weeks in which the openings of the food at hand have changed, and room to work one out.
    weeks: Vec<bool>,
    opening: Vec<Segment>,
    /// Per food and week of picking: pickings of it, as the planting, its place among all pickings, and kg.
    pickings: Vec<Vec<(usize, usize, f64)>>,
    /// Per picking: what it could be sold for, seen by itself; and the first picking of each planting.
    picked: Vec<f64>,
    first: Vec<usize>,
    /// Per planting: the same of its harvest.
    sold: Vec<f64>,
    /// Plantings of which some picking has changed.
    moved: Vec<usize>,
    is_moved: Vec<bool>,
    /// Per food: plantings whose first picking is of it.
    by_food: Vec<Vec<usize>>,
}

impl Search<'_> {
    /// One bed's best answer to the others. Without noise or guide it never makes the plan worse.
    pub(super) fn best_response(&mut self, bed: usize, ahead: f64, noise: f64) {
        self.answers += 1;
        let before = self.value;
        self.kept.copy(&self.allocation.stock);
        let old = self.clear(bed);
        let empty = self.value;
        self.empty.copy(&self.allocation.stock);
        self.estimate(bed, ahead, noise);
        let plain = ahead == 0.0 && noise == 0.0;
        let held = STAYS * self.locked[bed].len() as f64;
        let mut best = if plain && self.holds_locked(bed, &old) {
            (before, old)
        } else {
            (f64::NEG_INFINITY, Vec::new())
        };
        for _ in 0..=CORRECTIONS {
            let path = self.finder.best(self.model, self.kind_of[bed], &self.gains);
            if plain && empty + path.value - held <= best.0 + LIMIT_SLACK {
                break;
            }
            let corrected = self.try_path(bed, &path);
            let plantings = std::mem::take(&mut self.beds[bed]);
            let value = self.value;
            for &planting in &plantings {
                self.uncount(planting);
            }
            if value > best.0 + LIMIT_SLACK && self.holds_locked(bed, &plantings) {
                self.kept.copy(&self.allocation.stock);
                best = (value, plantings);
            }
            self.allocation.stock.copy(&self.empty);
            self.value = empty;
            if !corrected || !plain {
                break;
            }
        }
        if best.0 == f64::NEG_INFINITY {
            // Nothing found keeps what has to stay: it goes in by itself.
            let locked = self.locked[bed].clone();
            self.put(bed, &locked);
            return;
        }
        for &planting in &best.1 {
            self.count(planting);
        }
        self.allocation.stock.copy(&self.kept);
        self.beds[bed] = best.1;
        self.value = best.0;
    }

    /// Puts a path in a bed, leaving out what shared limits forbid; true where a gain came out lower than it
    /// was estimated, which is then corrected.
    fn try_path(&mut self, bed: usize, path: &Path) -> bool {
        let mut corrected = false;
        for &planting in &path.plantings {
            let gain = if self.fits(bed, planting) {
                let gain = self.place(planting);
                self.beds[bed].push(planting);
                gain
            } else {
                f64::NEG_INFINITY
            };
            if self.locked[bed].contains(&planting) {
                continue;
            }
            if gain < self.gains[planting] - LIMIT_SLACK {
                self.dim(planting, gain, &path.plantings);
                self.gains[planting] = gain;
                corrected = true;
            }
        }
        if self.beds[bed].len() < path.plantings.len() {
            self.mend_rotation(bed);
        }
        corrected
    }

    fn holds_locked(&self, bed: usize, plantings: &[usize]) -> bool {
        self.locked[bed].iter().all(|one| plantings.contains(one))
    }

    /// A planting came out at a smaller gain than estimated, for one before it in the path gives the same food: others
    /// of that food, but for those in the path, would most likely fall short by as much.
    fn dim(&mut self, number: usize, gain: f64, path: &[usize]) {
        let model = self.model;
        let cost = model.plantings[number].cost;
        let (estimated, found) = (self.gains[number] + cost, gain + cost);
        if !(estimated > 0.0 && found > 0.0) {
            return;
        }
        let alike = main_food(model, number).map_or(&[][..], |food| &self.openings.by_food[food]);
        for &other in alike.iter().filter(|other| !path.contains(other)) {
            let cost = model.plantings[other].cost;
            self.gains[other] = (self.gains[other] + cost) * found / estimated - cost;
        }
    }

    /// Where a planting was left out that parted two of one family: takes out the last ones until none follows
    /// itself.
    pub(super) fn mend_rotation(&mut self, bed: usize) {
        while !self.rotates(bed) {
            if let Some(planting) = self.beds[bed].pop() {
                self.unplace(planting);
            }
        }
    }

    /// Does no family follow itself in a bed that may not?
    pub(super) fn rotates(&self, bed: usize) -> bool {
        let model = self.model;
        let class = model.kinds[self.kind_of[bed]].class;
        if let [only] = self.beds[bed][..]
            && model.once[class][model.plantings[only].family]
        {
            return true;
        }
        let families = self.beds[bed].iter().map(|&p| model.plantings[p].family);
        let mut before = if model.cyclic {
            families.clone().next_back()
        } else {
            model.kinds[self.kind_of[bed]].family
        };
        families.into_iter().all(|family| {
            let last = before.replace(family);
            last != Some(family) || model.may_repeat[family]
        })
    }

    /// What each planting of a kind of bed would add now, seen by itself.
    fn estimate(&mut self, bed: usize, ahead: f64, noise: f64) {
        let kind = self.kind_of[bed];
        self.openings.refresh(self.model, &self.allocation);
        let mut room = std::mem::take(&mut self.room);
        room.clear();
        room.extend((0..self.allowed.len()).map(|crop| self.kind_fits(crop)));
        for index in 0..self.model.kinds[kind].plantings.len() {
            let number = self.model.kinds[kind].plantings[index];
            let planting = &self.model.plantings[number];
            if !room[planting.crop] || !self.fits_beside_its_kind(bed, number) {
                self.gains[number] = f64::NEG_INFINITY;
                continue;
            }
            let sold = self.openings.sold[number];
            let asked = planting.cost + self.effort_of(number);
            let mut gain = sold - asked + self.wanted_gain(number);
            if ahead > 0.0 && !self.guide.is_empty() {
                gain = (1.0 - ahead) * gain + ahead * self.guide[number].min(gain);
            }
            if noise > 0.0 {
                gain += sold * noise * self.rng.random_range(-1.0..1.0);
            }
            self.gains[number] = gain;
        }
        self.room = room;
        for at in 0..self.locked[bed].len() {
            self.gains[self.locked[bed][at]] = STAYS;
        }
    }

    /// What of the household's time one more bed of a planting asks for, as the plan now is.
    fn effort_of(&self, number: usize) -> f64 {
        let planting = &self.model.plantings[number];
        let mut effort = 0.0;
        if self.uses[number] == 0 {
            effort += self.effort.planting;
            if self.kind_uses[planting.crop] == 0 {
                effort += self.effort.kind;
            }
            let candidate = &self.model.instance.candidates[number];
            if candidate.is_to_sow() && self.sowings_in_week[candidate.sow_week] == 0 {
                effort += self.effort.sowing_week;
            }
        }
        effort
    }

    /// Whether there is room for a kind of crop.
    pub(super) fn kind_fits(&self, crop: usize) -> bool {
        if !self.allowed[crop] {
            return false;
        }
        if self.kind_uses[crop] > 0 || self.kinds_most == usize::MAX {
            return true;
        }
        let kinds = self.kind_uses.iter().zip(&self.reserved);
        let taken = kinds
            .filter(|(uses, reserved)| **uses > 0 || **reserved)
            .count();
        self.reserved[crop] || taken < self.kinds_most
    }

    fn wanted_gain(&self, planting: usize) -> f64 {
        let rows = self.model.plantings[planting].rows.iter();
        rows.map(|&(row, _)| match self.model.rows[row].kind {
            RowKind::Wanted(_) if self.used[row] > self.model.rows[row].limit => {
                self.model.rows[row].price_max
            }
            _ => 0.0,
        })
        .sum()
    }

    /// Whether shared limits leave room for one more planting.
    pub(super) fn fits(&self, bed: usize, number: usize) -> bool {
        self.kind_fits(self.model.plantings[number].crop) && self.fits_beside_its_kind(bed, number)
    }

    /// The same where there is room for its kind.
    fn fits_beside_its_kind(&self, bed: usize, number: usize) -> bool {
        let planting = &self.model.plantings[number];
        let to_sow = self.model.instance.candidates[number].is_to_sow();
        if self.banned[number]
            || !(to_sow || self.fixed[bed].contains(&number))
            || self.uses[number] >= planting.most
        {
            return false;
        }
        let class = self.model.kinds[self.kind_of[bed]].class;
        let family = planting.family;
        let again = |&other: &usize| self.model.plantings[other].family == family;
        if self.model.once[class][family] && self.beds[bed].iter().any(again) {
            return false;
        }
        planting
            .rows
            .iter()
            .all(|&(row, weight)| match self.model.rows[row].kind {
                RowKind::Wanted(_) => true,
                RowKind::Sowings(week) => {
                    self.sowing_beds[planting.sowing] > 0
                        || ((self.sowings_in_week[week] + 1) as f64) <= self.model.rows[row].limit
                }
                RowKind::Labour(_) | RowKind::Shelf(_) | RowKind::Family(_) => {
                    self.used[row] + weight <= self.model.rows[row].limit + LIMIT_SLACK
                }
            })
    }

    /// Counts a planting in everything but the allocation.
    pub(super) fn count(&mut self, number: usize) {
        let planting = &self.model.plantings[number];
        self.value += self.wanted_gain(number) - planting.cost - self.effort_of(number);
        self.uses[number] += 1;
        self.kind_uses[planting.crop] += 1;
        for &(row, weight) in &planting.rows {
            self.used[row] += weight;
        }
        self.sowing_beds[planting.sowing] += 1;
        let candidate = &self.model.instance.candidates[number];
        if candidate.is_to_sow() && self.sowing_beds[planting.sowing] == 1 {
            self.sowings_in_week[candidate.sow_week] += 1;
        }
        self.openings.spoil(&self.allocation, planting);
    }

    pub(super) fn uncount(&mut self, number: usize) {
        let planting = &self.model.plantings[number];
        for &(row, weight) in &planting.rows {
            self.used[row] -= weight;
        }
        self.sowing_beds[planting.sowing] -= 1;
        let candidate = &self.model.instance.candidates[number];
        if candidate.is_to_sow() && self.sowing_beds[planting.sowing] == 0 {
            self.sowings_in_week[candidate.sow_week] -= 1;
        }
        self.uses[number] -= 1;
        self.kind_uses[planting.crop] -= 1;
        self.value -= self.wanted_gain(number) - planting.cost - self.effort_of(number);
        self.openings.spoil(&self.allocation, planting);
    }

    pub(super) fn place(&mut self, number: usize) -> f64 {
        let before = self.value;
        self.count(number);
        for item in &self.model.plantings[number].items {
            self.value += self.allocation.add(item.source, item.kg);
        }
        self.value - before
    }

    pub(super) fn unplace(&mut self, number: usize) {
        self.uncount(number);
        for item in &self.model.plantings[number].items {
            self.value += self.allocation.remove(item.source, item.kg);
        }
    }

    pub(super) fn clear(&mut self, bed: usize) -> Vec<usize> {
        let plantings = std::mem::take(&mut self.beds[bed]);
        for &planting in &plantings {
            self.unplace(planting);
        }
        plantings
    }
}

/// Puts a value in place of another; whether it is another.
fn replaced(old: &mut f64, new: f64) -> bool {
    std::mem::replace(old, new) != new
}

/// The food of a planting's first picking.
pub(super) fn main_food(model: &Model, planting: usize) -> Option<usize> {
    let item = model.plantings[planting].items.first()?;
    Some(item.source / model.weeks)
}

impl Openings {
    pub(super) fn new(model: &Model) -> Self {
        let mut pickings = vec![Vec::new(); model.steps.len()];
        let mut first = vec![0];
        let mut by_food = vec![Vec::new(); model.keeps.len()];
        for number in 0..model.plantings.len() {
            if let Some(food) = main_food(model, number) {
                by_food[food].push(number);
            }
        }
        let mut all = 0;
        for (number, planting) in model.plantings.iter().enumerate() {
            for item in &planting.items {
                pickings[item.source].push((number, all, item.kg));
                all += 1;
            }
            first.push(all);
        }
        Openings {
            cells: vec![Vec::new(); model.steps.len()],
            segments: vec![Vec::new(); model.steps.len()],
            served: vec![f64::NAN; model.steps.len()],
            total: vec![f64::NAN; model.tables.len() * model.weeks],
            stale: vec![true; model.tables.len()],
            weeks: vec![false; model.weeks],
            opening: Vec::new(),
            pickings,
            picked: vec![0.0; all],
            first,
            sold: vec![0.0; model.plantings.len()],
            moved: Vec::new(),
            is_moved: vec![false; model.plantings.len()],
            by_food,
        }
    }

    /// What a planting's foods could be sold for has changed.
    fn spoil(&mut self, allocation: &FoodAllocation, planting: &Planting) {
        for item in &planting.items {
            self.stale[allocation.table(item.source)] = true;
        }
    }

    fn refresh(&mut self, model: &Model, allocation: &FoodAllocation) {
        for table in 0..self.stale.len() {
            if std::mem::take(&mut self.stale[table]) {
                self.look_at(model, allocation, table);
            }
        }
        for &planting in &self.moved {
            self.is_moved[planting] = false;
            let picked = &self.picked[self.first[planting]..self.first[planting + 1]];
            self.sold[planting] = picked.iter().sum();
        }
        self.moved.clear();
    }

    /// Works out the openings of a table's foods anew where something else is eaten than when it was last looked at.
    fn look_at(&mut self, model: &Model, allocation: &FoodAllocation, table: usize) {
        let (served, total) = allocation.eaten();
        let foods = &model.tables[table].foods;
        let other = |week: usize| {
            let slot = table * model.weeks + week;
            let mut other = replaced(&mut self.total[slot], total[slot]);
            for &food in foods {
                let cell = food * model.weeks + week;
                other |= replaced(&mut self.served[cell], served[cell]);
            }
            other
        };
        let weeks: Vec<usize> = (0..model.weeks)
            .map(other)
            .zip(0..)
            .filter_map(|(other, week)| other.then_some(week))
            .collect();
        for &food in foods {
            let mut any = false;
            self.weeks.fill(false);
            for &week in &weeks {
                allocation.opening(food, week, &mut self.opening);
                let cell = &mut self.cells[food * model.weeks + week];
                if *cell != self.opening {
                    std::mem::swap(cell, &mut self.opening);
                    self.weeks[week] = true;
                    any = true;
                }
            }
            if any {
                self.offer(model, food);
            }
        }
    }

    /// What the pickings of a food could be sold for, where its openings have changed in a week in which they can be eaten.
    fn offer(&mut self, model: &Model, food: usize) {
        for week in 0..model.weeks {
            if !model.window(food, week).any(|week| self.weeks[week]) {
                continue;
            }
            let source = food * model.weeks + week;
            let all = &mut self.segments[source];
            all.clear();
            for week in model.window(food, week) {
                all.extend_from_slice(&self.cells[food * model.weeks + week]);
            }
            all.sort_by(|a, b| b.worth.total_cmp(&a.worth));
            for at in 0..self.pickings[source].len() {
                let (planting, place, kg) = self.pickings[source][at];
                self.picked[place] = self.worth(source, kg);
                if !std::mem::replace(&mut self.is_moved[planting], true) {
                    self.moved.push(planting);
                }
            }
        }
    }

    fn worth(&self, source: usize, kg: f64) -> f64 {
        let (mut left, mut worth) = (kg, 0.0);
        for segment in &self.segments[source] {
            let kg = segment.kg.min(left);
            worth += kg * segment.worth;
            left -= kg;
            if left <= 0.0 {
                break;
            }
        }
        worth
    }
}
