//! The instance made ready for the solver: flat lists, demand as steps, shared limits as rows.

mod standalone_bound;
mod worth;

use super::instance::{Closing, Instance};
use worth::{food_steps, tables};

/// One week's harvest of one food from one planting.
#[derive(Clone, Copy, Debug)]
pub struct HarvestItem {
    /// Food times weeks plus week of harvest.
    pub source: usize,
    /// Kilograms.
    pub kg: f64,
    /// What it could earn if nothing else were picked.
    pub alone: f64,
}

/// A candidate as the solver sees it.
#[derive(Clone, Debug)]
pub struct Planting {
    pub family: usize,
    pub start: usize,
    pub weeks: usize,
    pub cost: f64,
    /// Share of the effort of a planting that every bed of it surely bears.
    pub effort_share: f64,
    pub items: Vec<HarvestItem>,
    /// Stretches that it harvests in, with the most it could earn in each if nothing else were picked.
    pub stretches: Vec<(usize, f64)>,
    /// Stretches of eating, with the most it could save of a group's wishes in each if nothing else were picked.
    pub granted: Vec<(usize, f64)>,
    /// Rows it weighs on, with its weight.
    pub rows: Vec<(usize, f64)>,
    /// Sowing job (crop and week) it is part of.
    pub sowing: usize,
    /// Kind of crop.
    pub crop: usize,
    /// Beds it may fill.
    pub most: usize,
}

/// Beds that nothing tells apart.
#[derive(Clone, Debug)]
pub struct BedKind {
    pub class: usize,
    /// Beds within the class.
    pub beds: Vec<usize>,
    pub free_week: usize,
    pub family: Option<usize>,
    /// Candidates that fit, by start.
    pub plantings: Vec<usize>,
}

/// A quantity at a worth; lists of them fall in worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    pub kg: f64,
    pub worth: f64,
}

/// Foods that share a weekly appetite, or one food by itself: eating in one does not touch the others.
#[derive(Clone, Debug)]
pub struct Table {
    /// None for a food by itself.
    pub group: Option<usize>,
    pub foods: Vec<usize>,
    /// Per week: what the whole table may eat, with what a wish adds to each kilogram.
    pub total: Vec<Vec<Segment>>,
}

/// What a row stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowKind {
    Labour(usize),
    Shelf(usize),
    Sowings(usize),
    Wanted(usize),
    Family(usize),
}

/// A shared limit: the weighted number of plantings is at most `limit`.
#[derive(Clone, Debug)]
pub struct Row {
    pub kind: RowKind,
    pub limit: f64,
    /// The price never needs to be above this.
    pub price_max: f64,
}

/// The whole problem in the solver's terms.
pub struct Model<'a> {
    pub instance: &'a Instance,
    pub weeks: usize,
    pub cyclic: bool,
    pub plantings: Vec<Planting>,
    pub kinds: Vec<BedKind>,
    pub tables: Vec<Table>,
    /// Per food times weeks plus week: what eating it is worth, falling.
    pub steps: Vec<Vec<Segment>>,
    /// Per food.
    pub keeps: Vec<usize>,
    /// Harvest of what already stands.
    pub given: Vec<HarvestItem>,
    pub given_stretches: Vec<(usize, f64)>,
    pub given_granted: Vec<(usize, f64)>,
    pub rows: Vec<Row>,
    /// Value of eating nothing: all wishes missed.
    pub nothing: f64,
    pub may_repeat: Vec<bool>,
    /// Number of sowing jobs.
    pub sowings: usize,
    /// Kinds of crop, by name.
    pub crops: Vec<&'a str>,
    /// Per class of beds and family: whether a bed carries it once in a settled year.
    pub once: Vec<Vec<bool>>,
}

impl<'a> Model<'a> {
    /// Compiles a valid instance.
    pub fn new(instance: &'a Instance) -> Self {
        Model::made(instance, true)
    }

    /// The same for a search alone, without what only bounds need: what harvests could earn if nothing else were picked.
    pub fn for_search(instance: &'a Instance) -> Self {
        Model::made(instance, false)
    }

    fn made(instance: &'a Instance, for_bounds: bool) -> Self {
        let mut model = Model::for_eating(instance);
        model.given = model.lumps_of(instance.given(), for_bounds);
        if for_bounds {
            model.given_stretches = model.stretches_of(&model.given);
            model.given_granted = model.granted_by(&model.given);
        }
        model.add_plantings(for_bounds);
        model.add_rows();
        model.kinds = bed_kinds(instance);
        model
    }

    /// Only what eating needs: no plantings, no beds.
    pub fn for_eating(instance: &'a Instance) -> Self {
        let weeks = instance.weeks;
        let cyclic = instance.closing == Closing::EachBed;
        let longest = weeks - 1;
        let mut model = Model {
            instance,
            weeks,
            cyclic,
            plantings: Vec::new(),
            kinds: Vec::new(),
            tables: Vec::new(),
            steps: food_steps(instance),
            keeps: instance
                .foods
                .iter()
                .map(|food| food.keeps_weeks.min(longest))
                .collect(),
            given: Vec::new(),
            given_stretches: Vec::new(),
            given_granted: Vec::new(),
            rows: Vec::new(),
            nothing: 0.0,
            may_repeat: instance
                .families
                .iter()
                .map(|family| family.may_follow_itself)
                .collect(),
            sowings: 0,
            crops: Vec::new(),
            once: vec![vec![false; instance.families.len()]; instance.beds.len()],
        };
        if cyclic {
            for limit in &instance.limits.families {
                for &class in &limit.bed_classes {
                    model.once[class][limit.family] = true;
                }
            }
        }
        for wish in &instance.wishes {
            model.nothing -= wish.penalty_kg * wish.kg_week.iter().sum::<f64>();
        }
        for wanted in &instance.wanted {
            model.nothing -= wanted.penalty * wanted.plantings as f64;
        }
        model.tables = tables(instance);
        model
    }

    /// Weeks in which food picked in `week` can be eaten.
    pub fn window(&self, food: usize, week: usize) -> impl Iterator<Item = usize> + use<> {
        let (weeks, cyclic) = (self.weeks, self.cyclic);
        let end = week + self.keeps[food];
        let end = if cyclic { end } else { end.min(weeks - 1) };
        (week..=end).map(move |t| if t >= weeks { t - weeks } else { t })
    }

    /// What the bound starts from: wishes missed; a wanted crop has a row of its own with a price.
    pub fn bound_base(&self) -> f64 {
        let wanted = self.instance.wanted.iter();
        self.nothing
            + wanted
                .map(|wanted| wanted.penalty * wanted.plantings as f64)
                .sum::<f64>()
    }

    /// The table that a food is eaten at.
    pub fn table_of_food(&self) -> Vec<usize> {
        let mut of = vec![0; self.instance.foods.len()];
        for (number, table) in self.tables.iter().enumerate() {
            for &food in &table.foods {
                of[food] = number;
            }
        }
        of
    }

    fn lumps_of<'h>(
        &self,
        harvest: impl Iterator<Item = &'h super::Harvest>,
        for_bounds: bool,
    ) -> Vec<HarvestItem> {
        let table_of = self.table_of_food();
        let mut by_source = std::collections::BTreeMap::new();
        for pick in harvest {
            *by_source
                .entry(pick.food * self.weeks + pick.week)
                .or_insert(0.0) += pick.kg;
        }
        let item = |(source, kg): (usize, f64)| {
            let food = source / self.weeks;
            let table = &self.tables[table_of[food]];
            let alone = if for_bounds {
                self.standalone_bound(table, food, &[source % self.weeks], kg)
            } else {
                0.0
            };
            HarvestItem { source, kg, alone }
        };
        by_source
            .into_iter()
            .filter(|&(_, kg)| kg > 0.0)
            .map(item)
            .collect()
    }

    fn add_plantings(&mut self, for_bounds: bool) {
        let mut sowing_of = std::collections::BTreeMap::new();
        let mut crops: Vec<&str> = self
            .instance
            .candidates
            .iter()
            .map(|one| one.crop.as_str())
            .collect();
        crops.sort_unstable();
        crops.dedup();
        let effort = self.instance.effort.planting;
        for candidate in &self.instance.candidates {
            let next = sowing_of.len();
            let sowing = *sowing_of
                .entry((
                    candidate.crop.as_str(),
                    candidate.sow_week,
                    candidate.is_to_sow(),
                ))
                .or_insert(next);
            let items = self.lumps_of(candidate.harvest.iter(), for_bounds);
            let (mut stretches, mut granted) = (Vec::new(), Vec::new());
            if for_bounds {
                stretches = self.stretches_of(&items);
                granted = self.granted_by(&items);
            }
            let count = self.instance.beds[candidate.bed_class].count;
            let most = candidate.beds_most.clamp(1, count);
            self.plantings.push(Planting {
                family: candidate.family,
                start: candidate.bed_week,
                weeks: candidate.weeks,
                cost: candidate.cost,
                effort_share: effort / most as f64,
                crop: crops.partition_point(|crop| **crop < *candidate.crop),
                most,
                items,
                stretches,
                granted,
                rows: Vec::new(),
                sowing,
            });
        }
        self.sowings = sowing_of.len();
        self.crops = crops;
    }

    fn add_rows(&mut self) {
        let limits = &self.instance.limits;
        let weekly = [
            limits
                .labour_h_week
                .map(|limit| (limit, RowKind::Labour as fn(usize) -> RowKind)),
            limits
                .shelf_m2
                .map(|limit| (limit, RowKind::Shelf as fn(usize) -> RowKind)),
            limits
                .sowings_week
                .map(|limit| (limit as f64, RowKind::Sowings as fn(usize) -> RowKind)),
        ];
        let mut first = [None; 3];
        for (which, limit) in weekly.into_iter().enumerate() {
            if let Some((limit, kind)) = limit {
                first[which] = Some(self.rows.len());
                self.rows.extend((0..self.weeks).map(|week| Row {
                    kind: kind(week),
                    limit,
                    price_max: f64::INFINITY,
                }));
            }
        }
        // A sowing job fills at most all beds, so each bed of it is at least this share of a job.
        let share = 1.0 / self.instance.bed_count() as f64;
        for (planting, candidate) in self.plantings.iter_mut().zip(&self.instance.candidates) {
            if let Some(first) = first[0] {
                let mut hours = std::collections::BTreeMap::new();
                for work in &candidate.labour {
                    *hours.entry(work.week).or_insert(0.0) += work.hours;
                }
                planting
                    .rows
                    .extend(hours.into_iter().map(|(week, hours)| (first + week, hours)));
            }
            if let Some(first) = first[1].filter(|_| candidate.shelf_m2 > 0.0) {
                for week in candidate.tray_week_list(self.instance) {
                    planting.rows.push((first + week, candidate.shelf_m2));
                }
            }
            if let Some(first) = first[2].filter(|_| candidate.is_to_sow()) {
                planting.rows.push((first + candidate.sow_week, share));
            }
        }
        for (number, wanted) in self.instance.wanted.iter().enumerate() {
            for (planting, candidate) in self.plantings.iter_mut().zip(&self.instance.candidates) {
                if candidate.crop == wanted.crop {
                    planting.rows.push((self.rows.len(), -1.0));
                }
            }
            self.rows.push(Row {
                kind: RowKind::Wanted(number),
                limit: -(wanted.plantings as f64),
                price_max: wanted.penalty,
            });
        }
        for (number, limit) in self.instance.limits.families.iter().enumerate() {
            for (planting, candidate) in self.plantings.iter_mut().zip(&self.instance.candidates) {
                if limit.counts(candidate) {
                    planting.rows.push((self.rows.len(), 1.0));
                }
            }
            self.rows.push(Row {
                kind: RowKind::Family(number),
                limit: limit.plantings as f64,
                price_max: f64::INFINITY,
            });
        }
    }
}

fn bed_kinds(instance: &Instance) -> Vec<BedKind> {
    let mut kinds: Vec<BedKind> = Vec::new();
    for (class, beds) in instance.beds.iter().enumerate() {
        for bed in 0..beds.count {
            let standing = instance
                .standing
                .iter()
                .find(|s| s.bed_class == class && s.bed == bed);
            let (free_week, family) = standing.map_or((0, None), |s| (s.free_week, Some(s.family)));
            let same = |kind: &&mut BedKind| {
                kind.class == class && kind.free_week == free_week && kind.family == family
            };
            if let Some(kind) = kinds.iter_mut().find(same) {
                kind.beds.push(bed);
                continue;
            }
            let fits = |&c: &usize| {
                let candidate = &instance.candidates[c];
                candidate.bed_class == class && candidate.bed_week >= free_week
            };
            let mut plantings: Vec<usize> = (0..instance.candidates.len()).filter(fits).collect();
            plantings.sort_by_key(|&c| instance.candidates[c].bed_week);
            kinds.push(BedKind {
                class,
                beds: vec![bed],
                free_week,
                family,
                plantings,
            });
        }
    }
    kinds
}
