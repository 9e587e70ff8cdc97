//! What could be sown where, and what its food is worth: everything a solver may know.

use chrono::NaiveDate;

/// Longest horizon, weeks: two years, and one more in which what then stands is picked.
pub const MAX_WEEKS: usize = 156;

/// How the plan ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Closing {
    /// From a date to the end of the horizon; what is picked later counts nothing.
    Open,
    /// A settled year: the week after the last one is the first, in every bed.
    EachBed,
}

/// Equal beds, or equal whole-row patches of beds. One planting fills one of them.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct BedClass {
    /// Name as the household knows it.
    pub name: String,
    /// How many there are, at least 1.
    pub count: usize,
    /// Area of each, m2, above 0.
    pub area_m2: f64,
    /// Kind of climate they live in: the index into the bed climates the candidates were built from.
    pub climate: usize,
}

/// A botanical family, or another group of crops that shares its soil-borne troubles.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Family {
    /// Latin name.
    pub name: String,
    /// Whether it may follow itself in the same place (salad after salad, say).
    pub may_follow_itself: bool,
    /// Years until it may come back to a place; 0 or 1 asks for nothing.
    pub gap_years: usize,
}

/// Kilograms picked from one planting in one week.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Harvest {
    /// Week of the horizon, from 0; a settled year wraps round.
    pub week: usize,
    /// Index into [`Instance::foods`].
    pub food: usize,
    /// Expected kilograms from the whole planting (one bed of its class), at least 0.
    pub kg: f64,
}

/// Hours of work on one planting in one week.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Labour {
    /// Week of the horizon, from 0; a settled year wraps round.
    pub week: usize,
    /// Hours for the whole planting, at least 0.
    pub hours: f64,
}

/// One thing that could be done: a crop sown in one week for one kind of bed, filling one bed.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Candidate {
    /// Crop as the crop table names it.
    pub crop: String,
    /// Index into [`Instance::families`].
    pub family: usize,
    /// Index into [`Instance::beds`].
    pub bed_class: usize,
    /// Week of sowing, from 0. In a settled year it wraps round, so it may be above `bed_week`.
    pub sow_week: usize,
    /// Weeks in a tray between sowing and bed; 0 when sown direct.
    pub tray_weeks: usize,
    /// First week in the bed, from 0.
    pub bed_week: usize,
    /// Weeks the bed is taken, at least 1; in a settled year no more than the year has.
    pub weeks: usize,
    /// Whether a row cover is put on.
    pub cover: bool,
    /// Expected harvests, in order of time.
    pub harvest: Vec<Harvest>,
    /// Chance that the planting comes through, 0 to 1; already part of the expected harvest.
    pub survival: f64,
    /// Seed, trays, compost for the whole planting, in the instance's currency.
    pub cost: f64,
    /// Hours of work for the whole planting.
    pub labour: Vec<Labour>,
    /// Shelf taken by its trays while it stands in them, m2.
    pub shelf_m2: f64,
    /// Beds of its class that it may fill at most: more of it would feed nobody.
    pub beds_most: usize,
    /// Beds of its class, from 0, for which its young plants stand in trays already when the plan begins: it goes there and
    /// nowhere else. Empty for what is still to be sown.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub begun: Vec<usize>,
}

/// One step of a household's weekly appetite: the first kilograms are worth more than the last.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Step {
    /// Kilograms a week in this step, above 0.
    pub kg_week: f64,
    /// Worth of a kilogram as a share of its price, 0 to 1; falls from step to step.
    pub worth: f64,
}

/// A food of the household.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Food {
    /// Identifier as in the price table.
    pub id: String,
    /// Index into [`Instance::groups`], where other foods stand in for it.
    pub group: Option<usize>,
    /// What a kilogram would cost in the shop, one figure a week.
    pub price_kg: Vec<f64>,
    /// Weekly appetite in steps of falling worth; the sum is the most that is eaten.
    pub appetite: Vec<Step>,
    /// Weeks it keeps after the week it was picked in; 0 is eaten in that week or never.
    pub keeps_weeks: usize,
}

/// Foods that stand in for each other, such as salad greens.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Group {
    /// Name as people say it.
    pub name: String,
    /// The most of all its foods together that is eaten in a week, kg.
    pub appetite_kg_week: f64,
}

/// What a wish is about.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
pub enum Target {
    /// A food by index.
    Food(usize),
    /// A group of foods by index.
    Group(usize),
}

/// So many kilograms a week that the household asked for.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Wish {
    /// Food or group.
    pub target: Target,
    /// Kilograms asked for in each week of the horizon.
    pub kg_week: Vec<f64>,
    /// Taken from the plan's value for each kilogram short, in the instance's currency.
    pub penalty_kg: f64,
    /// Worth of a wished kilogram beyond the appetite, as a share of its price, 0 to 1.
    pub beyond: f64,
}

/// A crop that the household wants to see in the plan.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Wanted {
    /// Crop as the crop table names it.
    pub crop: String,
    /// Least number of plantings.
    pub plantings: usize,
    /// Taken from the plan's value for each planting missing, in the instance's currency.
    pub penalty: f64,
}

/// What already stands in a bed when the plan begins (open horizon only).
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Standing {
    /// Index into [`Instance::beds`].
    pub bed_class: usize,
    /// Bed within its class, from 0.
    pub bed: usize,
    /// Crop as the crop table names it.
    pub crop: String,
    /// Family that the bed carries, or carried last.
    pub family: usize,
    /// First week in which the bed is free again; 0 says only what grew there last.
    pub free_week: usize,
    /// What is still to be picked.
    pub harvest: Vec<Harvest>,
}

/// Shared limits; `None` does not limit.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Limits {
    /// Different sowings (crop and week) in any one week.
    pub sowings_week: Option<usize>,
    /// Hours of work in any one week.
    pub labour_h_week: Option<f64>,
    /// Shelf for trays at any time, m2.
    pub shelf_m2: Option<f64>,
    /// Different kinds of crop in the whole plan.
    #[serde(default)]
    pub kinds: Option<usize>,
    /// Families that must not come back to a place too early.
    #[serde(default)]
    pub families: Vec<FamilyLimit>,
}

/// So few plantings of a family in a class of beds that each place rests from it for its years, as plans move on from bed
/// to bed; and a bed carries it once in a settled year.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct FamilyLimit {
    /// Indices into [`Instance::beds`]: classes whose places stand in for each other.
    pub bed_classes: Vec<usize>,
    /// Index into [`Instance::families`].
    pub family: usize,
    /// Plantings of it at most.
    pub plantings: usize,
    /// Week before which they come into the bed, where others of the family came less than a year before it; none for all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<usize>,
}

impl FamilyLimit {
    /// Whether a candidate counts against it.
    pub fn counts(&self, candidate: &Candidate) -> bool {
        let in_time = self.before.is_none_or(|week| candidate.bed_week < week);
        in_time
            && self.family == candidate.family
            && self.bed_classes.contains(&candidate.bed_class)
    }
}

/// What the household's own time weighs in the choice of a plan, in the instance's currency: never booked as money.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Effort {
    /// A planting: one crop sown in one week for one class of beds, however many of them it fills.
    pub planting: f64,
    /// A kind of crop in the plan.
    pub kind: f64,
    /// A week in which something is sown.
    pub sowing_week: f64,
}

/// How much there is to do in a plan.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    serde::Serialize,
    serde::Deserialize,
)]
pub struct Simplicity {
    /// Different kinds of crop.
    pub kinds: usize,
    /// Plantings, as in [`Effort::planting`].
    pub plantings: usize,
    /// Weeks in which something is sown.
    pub sowing_weeks: usize,
}

impl Effort {
    /// What a plan so simple asks of the household.
    pub fn of(&self, simplicity: Simplicity) -> f64 {
        self.planting * simplicity.plantings as f64
            + self.kind * simplicity.kinds as f64
            + self.sowing_week * simplicity.sowing_weeks as f64
    }
}

/// A whole planning problem: indices lie within their lists, lists by week have as many figures as there are weeks, numbers are finite.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Instance {
    /// First day of week 0; 1 January in a settled year.
    pub start: NaiveDate,
    /// Weeks of the horizon, 1 to 104.
    pub weeks: usize,
    /// How it ends.
    pub closing: Closing,
    /// Kinds of bed.
    pub beds: Vec<BedClass>,
    /// Families for rotation.
    pub families: Vec<Family>,
    /// Foods.
    pub foods: Vec<Food>,
    /// Groups of foods.
    pub groups: Vec<Group>,
    /// What could be sown.
    pub candidates: Vec<Candidate>,
    /// What the household asked for.
    pub wishes: Vec<Wish>,
    /// Crops it wants to see.
    pub wanted: Vec<Wanted>,
    /// What already stands in the beds.
    pub standing: Vec<Standing>,
    /// What is picked whatever is planted: from sowings that are no part of the plan.
    #[serde(default)]
    pub coming: Vec<Harvest>,
    /// Shared limits.
    pub limits: Limits,
    /// What the household's own time weighs.
    #[serde(default)]
    pub effort: Effort,
    /// Day of the week for work in the beds; the first day of each planning week where none is named.
    #[serde(default)]
    pub work_day: Option<chrono::Weekday>,
}

impl Candidate {
    /// Is it sown within the plan, not before?
    pub fn is_to_sow(&self) -> bool {
        self.begun.is_empty()
    }

    /// Weeks of the horizon in which its trays take shelf: from sowing up to the week before it goes to the bed.
    pub fn tray_week_list(&self, instance: &Instance) -> Vec<usize> {
        let weeks = self.sow_week..self.sow_week + self.tray_weeks;
        weeks.filter_map(|week| instance.week_index(week)).collect()
    }
}

impl Instance {
    /// Steps of a food's appetite in a week, last what wishes ask beyond it; their worth falls. A wish for a group may be
    /// met by any of its foods.
    pub fn appetite(&self, food: usize, week: usize) -> Vec<Step> {
        let one = &self.foods[food];
        let mut steps = one.appetite.clone();
        let usual: f64 = steps.iter().map(|step| step.kg_week).sum();
        let beyond = |wish: &Wish| match wish.target {
            Target::Food(wished) if wished == food => wish.kg_week[week] - usual,
            Target::Group(group) if one.group == Some(group) => {
                let kg = wish.kg_week[week];
                if kg > self.groups[group].appetite_kg_week {
                    kg
                } else {
                    0.0
                }
            }
            _ => 0.0,
        };
        let most = self.wishes.iter().map(|wish| (beyond(wish), wish.beyond));
        let most = most.filter(|(kg, _)| *kg > 0.0);
        if let Some((kg_week, worth)) = most.max_by(|a, b| a.0.total_cmp(&b.0)) {
            let last = steps.last().map_or(1.0, |step| step.worth);
            steps.push(Step {
                kg_week,
                worth: worth.min(last),
            });
        }
        steps
    }

    /// The most of a group's foods together that is eaten in a week, wishes included, kg.
    pub fn group_appetite_kg(&self, group: usize, week: usize) -> f64 {
        let usual = self.groups[group].appetite_kg_week;
        let foods = self.foods.iter().enumerate();
        let members = foods.filter(|(_, food)| food.group == Some(group));
        let beyond = members.map(|(number, food)| {
            let usual: f64 = food.appetite.iter().map(|step| step.kg_week).sum();
            let is = |wish: &&Wish| wish.target == Target::Food(number);
            let kg = self
                .wishes
                .iter()
                .filter(is)
                .map(|wish| wish.kg_week[week] - usual);
            kg.fold(0.0, f64::max)
        });
        let together = usual + beyond.sum::<f64>();
        let of_group = self
            .wishes
            .iter()
            .filter(|wish| wish.target == Target::Group(group));
        of_group
            .map(|wish| wish.kg_week[week])
            .fold(together, f64::max)
    }

    /// The same with only these kinds of crop, as many as they are.
    pub fn of_kinds(&self, kinds: &std::collections::BTreeSet<&str>) -> Self {
        let mut within = self.clone();
        within
            .candidates
            .retain(|candidate| kinds.contains(candidate.crop.as_str()));
        within.limits.kinds = Some(kinds.len());
        within
    }

    /// How much there is to do in a plan.
    pub fn simplicity(&self, plan: &super::Plan) -> Simplicity {
        use std::collections::BTreeSet;
        let planted: BTreeSet<usize> = plan
            .beds
            .iter()
            .flat_map(|one| one.plantings.iter().copied())
            .filter(|&planting| planting < self.candidates.len())
            .collect();
        let of = || planted.iter().map(|&planting| &self.candidates[planting]);
        Simplicity {
            kinds: of()
                .map(|one| one.crop.as_str())
                .collect::<BTreeSet<_>>()
                .len(),
            plantings: planted.len(),
            sowing_weeks: of()
                .filter(|one| one.is_to_sow())
                .map(|one| one.sow_week)
                .collect::<BTreeSet<_>>()
                .len(),
        }
    }

    /// What stands in trays when the plan begins, in the beds that it is for; beside it what another plan has.
    pub fn with_begun(&self, other: Option<&super::Plan>) -> super::Plan {
        let mut plan = other.map_or_else(|| super::Plan::empty(self), super::Plan::clone);
        let begun = self.candidates.iter().enumerate();
        for (number, candidate) in begun.filter(|(_, candidate)| !candidate.is_to_sow()) {
            for one in &mut plan.beds {
                let its = one.class == candidate.bed_class && candidate.begun.contains(&one.bed);
                if its && !one.plantings.contains(&number) {
                    one.plantings.push(number);
                    let week = |number: &usize| self.candidates[*number].bed_week;
                    one.plantings.sort_by_key(|number| (week(number), *number));
                }
            }
        }
        plan
    }

    /// Allows as many plantings of each family, and as many beds of each sowing, as a plan has that was agreed to.
    pub fn allow_families_of(&mut self, plan: &super::Plan) {
        let planted = plan.beds.iter().flat_map(|one| &one.plantings);
        let planted: Vec<&Candidate> = planted.map(|&one| &self.candidates[one]).collect();
        for limit in &mut self.limits.families {
            let used = planted.iter().filter(|one| limit.counts(one)).count();
            limit.plantings = limit.plantings.max(used);
        }
        let mut beds = vec![0; self.candidates.len()];
        for &one in plan.beds.iter().flat_map(|one| &one.plantings) {
            beds[one] += 1;
        }
        for (candidate, used) in self.candidates.iter_mut().zip(beds) {
            candidate.beds_most = candidate.beds_most.max(used);
        }
    }

    /// What is picked whatever is planted: of what already stands, and of what comes beside the plan.
    pub fn given(&self) -> impl Iterator<Item = &Harvest> {
        let standing = self.standing.iter().flat_map(|one| &one.harvest);
        standing.chain(&self.coming)
    }

    /// Number of beds of all classes.
    pub fn bed_count(&self) -> usize {
        self.beds.iter().map(|class| class.count).sum()
    }
}
