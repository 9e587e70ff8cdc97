//! What plantings could earn if nothing else were picked, in weeks and stretches of weeks: what revenue is held to.

use super::{HarvestItem, Model, Segment, Table};
use crate::plan::Instance;

/// Beds of a planting beyond which one more would feed nobody: tried up to so many.
const BEDS_TRIED: usize = 8;

impl Instance {
    /// Limits each candidate to the beds that could be worth their seed if nothing else were picked: a bed more adds no more
    /// than that, for what is eaten is worth less the more there is of it.
    pub fn limit_beds(&mut self) {
        let most: Vec<usize> = {
            let model = Model::for_eating(self);
            let table_of = model.table_of_food();
            let alone = |pick: &super::super::Harvest, beds: usize| {
                let table = &model.tables[table_of[pick.food]];
                model.standalone_bound(table, pick.food, &[pick.week], pick.kg * beds as f64)
            };
            let most = |candidate: &super::super::Candidate| {
                let count = self.beds[candidate.bed_class].count;
                let mut before = 0.0;
                for beds in 1..=count.min(BEDS_TRIED) {
                    let worth: f64 = candidate.harvest.iter().map(|pick| alone(pick, beds)).sum();
                    if worth - before <= candidate.cost {
                        return (beds - 1).max(1);
                    }
                    before = worth;
                }
                count
            };
            self.candidates.iter().map(most).collect()
        };
        for (candidate, most) in self.candidates.iter_mut().zip(most) {
            // What is sown already stands, however much of it there is.
            candidate.beds_most = most.max(candidate.begun.len());
        }
    }
}

impl Model<'_> {
    /// Number of stretches of weeks: of every length, per food.
    pub fn stretch_count(&self) -> usize {
        self.instance.foods.len() * self.stretches_per_food()
    }

    fn stretches_per_food(&self) -> usize {
        stretch_lengths(self.weeks)
            .map(|length| self.weeks.div_ceil(length))
            .sum()
    }

    /// The stretches that a source lies in, one of each length.
    pub fn stretches_at(&self, source: usize) -> impl Iterator<Item = usize> + use<> {
        let (food, week, weeks) = (source / self.weeks, source % self.weeks, self.weeks);
        let mut first = food * self.stretches_per_food();
        stretch_lengths(weeks).map(move |length| {
            let stretch = first + week / length;
            first += weeks.div_ceil(length);
            stretch
        })
    }

    /// The most one food's steps could earn from `kg` picked in these weeks, if nothing else were picked.
    pub(super) fn standalone_bound(
        &self,
        table: &Table,
        food: usize,
        weeks: &[usize],
        kg: f64,
    ) -> f64 {
        let mut segments = Vec::new();
        let mut seen = vec![false; self.weeks];
        for t in weeks.iter().flat_map(|&week| self.window(food, week)) {
            if std::mem::replace(&mut seen[t], true) {
                continue;
            }
            let mut room: f64 = table.total[t].iter().map(|segment| segment.kg).sum();
            for step in &self.steps[food * self.weeks + t] {
                let kg = step.kg.min(room);
                room -= kg;
                segments.push(Segment {
                    kg,
                    worth: step.worth,
                });
            }
        }
        segments.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        filled(&segments, kg)
    }

    /// What items picked in the same stretch could earn together: no more than each by itself, nor than their
    /// sum if it could be eaten in any week that one of them reaches.
    pub(super) fn stretches_of(&self, items: &[HarvestItem]) -> Vec<(usize, f64)> {
        let table_of = self.table_of_food();
        let mut by_stretch = std::collections::BTreeMap::<usize, (Vec<usize>, f64, f64)>::new();
        for item in items {
            for stretch in self.stretches_at(item.source) {
                let (weeks, kg, alone) = by_stretch.entry(stretch).or_default();
                weeks.push(item.source % self.weeks);
                *kg += item.kg;
                *alone += item.alone;
            }
        }
        let together = |(stretch, (weeks, kg, alone)): (usize, (Vec<usize>, f64, f64))| {
            let food = stretch / self.stretches_per_food();
            let pooled = if weeks.len() > 1 {
                self.standalone_bound(&self.tables[table_of[food]], food, &weeks, kg)
            } else {
                alone
            };
            (stretch, pooled.min(alone))
        };
        by_stretch.into_iter().map(together).collect()
    }

    /// Number of stretches of eating: of every length, a single week too, per group.
    pub fn wish_stretch_count(&self) -> usize {
        self.instance.groups.len() * (self.weeks + self.stretches_per_food())
    }

    /// The stretches of eating that a group's week lies in, the week itself first.
    pub fn wish_stretches_at(
        &self,
        group: usize,
        week: usize,
    ) -> impl Iterator<Item = usize> + Clone + use<> {
        let weeks = self.weeks;
        let mut first = group * (weeks + self.stretches_per_food());
        std::iter::once(1)
            .chain(stretch_lengths(weeks))
            .map(move |length| {
                let stretch = first + week / length;
                first += weeks.div_ceil(length);
                stretch
            })
    }

    /// The most that items could save of the groups' wishes in each stretch of eating: no more than week by week,
    /// nor than their sum if it could be eaten in any week that one of them reaches.
    pub(super) fn granted_by(&self, items: &[HarvestItem]) -> Vec<(usize, f64)> {
        let mut granted = Vec::new();
        for table in &self.tables {
            let Some(group) = table.group else { continue };
            let wished = |week: usize| table.total[week].iter().any(|s| s.worth > 0.0);
            if !(0..self.weeks).any(wished) {
                continue;
            }
            let mut reaching = vec![0.0; self.weeks];
            // Per stretch: kilograms that reach it, what they could save week by week, segments of its weeks.
            let mut by_stretch =
                std::collections::BTreeMap::<usize, (f64, f64, Vec<Segment>)>::new();
            for item in items {
                let food = item.source / self.weeks;
                if !table.foods.contains(&food) {
                    continue;
                }
                let mut reached = std::collections::BTreeSet::new();
                for week in self.window(food, item.source % self.weeks) {
                    reaching[week] += item.kg;
                    reached.extend(self.wish_stretches_at(group, week));
                }
                for stretch in reached {
                    by_stretch.entry(stretch).or_default().0 += item.kg;
                }
            }
            for (week, &kg) in reaching.iter().enumerate().filter(|(_, kg)| **kg > 0.0) {
                let saved = filled(&table.total[week], kg);
                for stretch in self.wish_stretches_at(group, week) {
                    let entry = by_stretch.entry(stretch).or_default();
                    entry.1 += saved;
                    entry.2.extend(&table.total[week]);
                }
            }
            for (stretch, (kg, weekly, mut segments)) in by_stretch {
                segments.sort_by(|a, b| b.worth.total_cmp(&a.worth));
                let saved = filled(&segments, kg).min(weekly);
                if saved > 0.0 {
                    granted.push((stretch, saved));
                }
            }
        }
        granted
    }
}

/// Worth of so many kilograms put into falling segments.
fn filled(segments: &[Segment], kg: f64) -> f64 {
    let (mut left, mut worth) = (kg, 0.0);
    for segment in segments {
        let kg = segment.kg.min(left);
        worth += kg * segment.worth;
        left -= kg;
    }
    worth
}

/// Lengths of the stretches whose revenue is held to what each planting could earn in them alone, in weeks: a
/// month, a season, the whole horizon.
fn stretch_lengths(weeks: usize) -> impl Iterator<Item = usize> + Clone {
    const MONTH: usize = 4;
    const SEASON: usize = 13;
    [MONTH, SEASON, weeks]
        .into_iter()
        .filter(move |&length| length <= weeks)
}
