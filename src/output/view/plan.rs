//! The plan: what is in which bed when, what comes out each week, and what is missing.

use chrono::{Datelike, NaiveDate, Weekday};
use serde::Serialize;

use super::plan_words::{gap_rows, notes};
use super::{
    FoodWeek, FoodWeekRow, FrontierRow, GapRow, Note, PickRow, PlanMonthRow, PlantingRow,
    PlantingView, RiskRow, SecondPassView, Spread, TARGET, WeekPick, WeekRow, WeekView,
};
use crate::crops::Crop;
use crate::output::row::view;
use crate::output::tasks::STANDING;
use crate::output::text::joined;
use crate::plan::{Closing, schedule};
use crate::profile::Quantiles;
use crate::study::{ClimateStudy, Job, PlanStudy, Planting, StandingCrop};
use crate::words::Word;

view! {
    /// The plan of a year.
    pub struct PlanView of plan(job: &Job, climate: &ClimateStudy, study: &PlanStudy) {
        let instance = &study.problem.instance;
        let replayed = study.replay.value;
        /// Name of the project: keeps calendar entries of two projects apart.
        project: String => job.project.name.clone();
        /// Where the building stands.
        place: String => job.site.place.name.clone();
        /// First day of the plan.
        start: NaiveDate => instance.start;
        /// Weeks of the plan; the chart shows 52 of them at a time.
        horizon_weeks: usize => instance.weeks;
        /// True where each year repeats: what stands in a bed at the end stands there at the start too.
        repeats: bool => instance.closing == Closing::EachBed;
        /// Day on which the plan was made or last planned anew, as the file or the person says; never the clock.
        as_of: NaiveDate => instance.start;
        /// Days of the week on which the person works in the beds. Not part of the JSON.
        #[serde(skip)]
        work_days: Vec<Weekday> => vec![job.project.household.gardening.weekday()];
        /// Number of times it was planned anew; a calendar takes the entry with the higher number.
        revision: u32 => 0;
        /// Value of the plan by the search's own measure, in the currency: mean harvests eaten as well as can be, wishes
        /// weighed in. Of use beside `bound` alone.
        value: f64 => study.found.value;
        /// The most that a plan of these kinds of crop was found to be worth by that measure: more than `value` where the plan was
        /// taken for what it is worth as the years are lived.
        searched: f64 => study.found.searched;
        /// By that measure no plan can be worth more than this.
        bound: f64 => study.found.bound;
        /// Bound less `searched`, as a share of what the bound adds to bare beds, 0 to 1.
        gap: f64 => study.found.gap;
        /// Median of `replayed_value`.
        replayed_value_p50: Option<f64> => Some(replayed.p50);
        /// What the plan replaces, lived through each weather year and eaten week by week, less seed, trays and compost.
        replayed_value: Option<Spread> => Some(replayed);
        /// What it replaces, seed not taken off.
        replaced: Spread => study.replay.replaced;
        /// What is eaten beyond what would have been bought, at shop prices: in no sum with the others.
        beyond: Spread => study.replay.beyond;
        /// True where the plan is made for the hard winters in place of the mean of all.
        hard_winters: bool => study.problem.winters.is_some();
        /// Share of the weather years with a week in which nothing is on the table, 0 to 1.
        any_empty_week: f64 => study.replay.any_empty_week;
        /// Different foods on the table in a week, over the weeks of the plan.
        foods_week: Spread => Quantiles::of(&study.replay.foods).unwrap_or_default();
        /// Currency of all values, as the file names it.
        currency: String => study.problem.market.currency.code().to_owned();
        /// Beds in the order of the file, those without plantings too.
        beds: Vec<String> => job.project.beds.iter().map(|bed| bed.name.clone()).collect();
        /// Patches of each of these beds: equal parts that are planted on their own.
        bed_patches: Vec<u32> => study.problem.places.iter().map(|place| place.count as u32).collect();
        /// Plantings by bed, then by day.
        plantings: Vec<PlantingView> => plantings(job, climate, study);
        /// Weeks in order.
        weeks: Vec<WeekView> => (0..instance.weeks).map(|week| week_view(study, week)).collect();
        /// Months in order, over the weather years.
        months: Vec<PlanMonthRow> => study.replay.months.iter().map(PlanMonthRow::of).collect();
        /// Plantings most likely lost, the likeliest first.
        risks: Vec<RiskRow> => risks(job, study);
        /// Wishes that are not met.
        gaps: Vec<GapRow> => gap_rows(study);
        /// Where this is the plan on its own leaves, what that changed.
        second_pass: Option<SecondPassView> => study.second_pass.clone();
        /// Plans of fewer and of more kinds of crop, this one among them; empty for a plan from a file.
        frontier: Vec<FrontierRow> => study.frontier.iter().map(FrontierRow::of).collect();
        /// How much there is to do: different kinds of crop.
        kinds: u32 => study.found.simplicity.kinds as u32;
        /// One crop sown on one day for one kind of bed is a planting, however many sections it fills.
        plantings_to_do: u32 => study.found.simplicity.plantings as u32;
        /// Days on which something is sown.
        sowing_days: u32 => study.found.simplicity.sowing_weeks as u32;
        /// What the household's own time weighs for it in the search, taken off `value` and `bound`; never booked as money.
        effort: f64 => study.found.effort;
        /// No plan of just these kinds can be worth more than this, in the measure of `value`; empty where not looked for.
        bound_of_kinds: Option<f64> => study.found.bound_of_kinds;
        /// That bound less `searched`, as `gap`.
        gap_of_kinds: Option<f64> => study.found.gap_of_kinds;
        /// What became of the former plan; empty where none was named.
        former: Option<FormerView> => study.found.former.map(|former| FormerView {
            new_plan_gains: former.gain,
            kept: former.kept,
            whole: former.whole,
            taken: former.taken,
        });
        /// What else to know.
        notes: Vec<Note> => notes(study);
    }
}

/// What became of a former plan.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct FormerView {
    /// What the best plan found is worth more than the former one, mended where it no longer works.
    pub new_plan_gains: f64,
    /// Share of the former plan's bed-weeks that stay, 0 to 1.
    pub kept: f64,
    /// Whether it stays as it was.
    pub whole: bool,
    /// Whether this plan is the former one, mended or changed in places.
    pub taken: bool,
}

/// How far a target is met, month by month.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct TargetMonths {
    /// Name of the food or group.
    pub food: String,
    /// January to December: on the table as a share of what is asked for; none in months without a target.
    pub met: [Option<f64>; 12],
}

impl PlanView {
    /// Food on the table as a share of each target, by month; food beyond a week's target counts for no other week.
    pub fn target_months(&self) -> Vec<TargetMonths> {
        let mut sums: Vec<(&str, [[f64; 2]; 12])> = Vec::new();
        for week in &self.weeks {
            let month = week.row.start.month0() as usize;
            for food in week.by_food.iter().filter(|food| food.wish_kg > 0.0) {
                let at = sums.iter().position(|(name, _)| *name == food.food);
                let at = at.unwrap_or_else(|| {
                    sums.push((&food.food, [[0.0; 2]; 12]));
                    sums.len() - 1
                });
                let [met, asked] = &mut sums[at].1[month];
                *met += food.food_kg.min(food.wish_kg);
                *asked += food.wish_kg;
            }
        }
        let share = |[met, asked]: [f64; 2]| (asked > 0.0).then(|| met / asked);
        sums.into_iter()
            .map(|(food, months)| TargetMonths {
                food: food.trim_start_matches(TARGET).to_owned(),
                met: months.map(share),
            })
            .collect()
    }

    /// The plantings without their pickings.
    pub fn planting_rows(&self) -> Vec<PlantingRow> {
        self.plantings
            .iter()
            .map(|planting| planting.row.clone())
            .collect()
    }

    /// The weeks without their foods.
    pub fn week_rows(&self) -> Vec<WeekRow> {
        self.weeks.iter().map(|week| week.row.clone()).collect()
    }

    /// All pickings, flat.
    pub fn pick_rows(&self) -> Vec<PickRow> {
        let plantings = self.plantings.iter();
        let picks =
            plantings.flat_map(|one| one.picks.iter().map(|pick| PickRow::of(&one.row, pick)));
        picks.collect()
    }

    /// All foods of all weeks, flat.
    pub fn food_week_rows(&self) -> Vec<FoodWeekRow> {
        let weeks = self.weeks.iter();
        let foods = weeks.flat_map(|week| {
            week.by_food
                .iter()
                .map(|food| FoodWeekRow::of(week.row.start, food))
        });
        foods.collect()
    }
}

fn plantings(job: &Job, climate: &ClimateStudy, study: &PlanStudy) -> Vec<PlantingView> {
    let standing = study.problem.standing.iter();
    let standing = standing.map(|one| (one.bed, standing_view(job, study, one)));
    let planted = study.plantings.iter();
    let planted = planted.map(|one| (one.bed, planting_view(job, climate, study, one)));
    let mut plantings: Vec<(usize, PlantingView)> = standing.chain(planted).collect();
    plantings.sort_by_key(|(bed, planting)| (*bed, planting.row.sow));
    plantings.into_iter().map(|(_, view)| view).collect()
}

fn risks(job: &Job, study: &PlanStudy) -> Vec<RiskRow> {
    let mut risky: Vec<&Planting> = study
        .plantings
        .iter()
        .filter(|planting| planting.in_all < 1.0)
        .collect();
    risky.sort_by(|a, b| a.in_all.total_cmp(&b.in_all).then(a.sow.cmp(&b.sow)));
    let rows = risky.into_iter().map(|one| RiskRow::of(job, study, one));
    rows.collect()
}

pub(super) fn crop_of<'s>(study: &'s PlanStudy, planting: &Planting) -> &'s Crop {
    &study.problem.crops[study.outcome(planting).crop]
}

fn planting_view(
    job: &Job,
    climate: &ClimateStudy,
    study: &PlanStudy,
    planting: &Planting,
) -> PlantingView {
    let outcome = study.outcome(planting);
    let (crop, area_m2) = (crop_of(study, planting), planting.area_m2);
    let in_bed = planting.transplant.unwrap_or(planting.sow);
    let covered = climate.cover_days(outcome.climate, in_bed, planting.clear);
    PlantingView {
        row: PlantingRow {
            way: outcome.way.word().to_owned(),
            sow: planting.sow,
            transplant: planting.transplant,
            first_harvest: planting.picked.map(|(first, _)| first),
            last_harvest: planting.picked.map(|(_, last)| last),
            clear: Some(planting.clear),
            cover_on: covered.map(|(first, _)| first),
            cover_off: covered.map(|(_, last)| last),
            survival: planting.survival,
            in_all: planting.in_all,
            harvest_kg: planting.picks.iter().map(|(_, kg)| kg).sum(),
            seeds: Some(crop.spacing.plants_per_m2 * crop.spacing.seeds_per_plant * area_m2),
            seeds_per_g: crop.spacing.seeds_per_g,
            ..what_and_where(job, study, crop, (planting.bed, &planting.patches, area_m2))
        },
        patches: numbers(planting.patches.iter().copied()),
        picks: picks(planting.picks.iter().copied()),
    }
}

fn standing_view(job: &Job, study: &PlanStudy, standing: &StandingCrop) -> PlantingView {
    let date = |week: usize| study.problem.instance.date_of_week(week);
    let (crop, area_m2) = (&standing.crop, standing.area_m2);
    PlantingView {
        row: PlantingRow {
            way: STANDING.to_owned(),
            sow: standing.since,
            first_harvest: standing.picks.first().map(|(week, _)| date(*week)),
            last_harvest: standing.picks.last().map(|(week, _)| date(*week)),
            clear: Some(date(standing.free_week)),
            survival: standing.survival,
            in_all: standing.in_all,
            harvest_kg: standing.picks.iter().map(|(_, kg)| kg).sum(),
            ..what_and_where(job, study, crop, (standing.bed, &standing.patches, area_m2))
        },
        patches: numbers(standing.patches.iter().copied()),
        picks: picks(standing.picks.iter().map(|(week, kg)| (date(*week), *kg))),
    }
}

/// What of a planting is known before its days are.
fn what_and_where(
    job: &Job,
    study: &PlanStudy,
    crop: &Crop,
    (bed, patches, area_m2): (usize, &[usize], f64),
) -> PlantingRow {
    let planted_as = crop.planted_as.clone();
    PlantingRow {
        bed: job.project.beds[bed].name.clone(),
        crop: crop.id.clone(),
        crop_name: crop.name.clone(),
        code: crop.code.clone(),
        family: crop.rotation_group.clone(),
        sections: sections(study, bed, patches.iter().copied()),
        planted_as: planted_as.unwrap_or_else(|| "seeds".to_owned()),
        area_m2: rounded(area_m2),
        plants: Some(crop.spacing.plants_per_m2 * area_m2),
        ..PlantingRow::default()
    }
}

/// Sections of a bed in words, such as `1, 3`; nothing where it has one.
pub(super) fn sections(
    study: &PlanStudy,
    bed: usize,
    patches: impl Iterator<Item = usize>,
) -> String {
    match study.problem.places.get(bed) {
        Some(place) if place.count == 1 => String::new(),
        _ => joined(numbers(patches), ", ", |number| number.to_string()),
    }
}

/// Sections as people count them, from 1.
fn numbers(patches: impl Iterator<Item = usize>) -> Vec<u32> {
    patches.map(|patch| patch as u32 + 1).collect()
}

fn picks(of: impl Iterator<Item = (NaiveDate, f64)>) -> Vec<WeekPick> {
    of.map(|(start, kg)| WeekPick { start, kg }).collect()
}

/// Areas are shown to the square centimetre: no more is known of a bed.
fn rounded(area_m2: f64) -> f64 {
    const PER_M2: f64 = 10_000.0;
    (area_m2 * PER_M2).round() / PER_M2
}

fn week_view(study: &PlanStudy, week: usize) -> WeekView {
    let problem = &study.problem;
    let mut by_food: Vec<FoodWeek> = problem
        .instance
        .foods
        .iter()
        .zip(&study.replay.eaten_kg)
        .map(|(food, eaten)| FoodWeek {
            food: problem
                .market
                .food(&food.id)
                .map_or_else(|| food.id.clone(), |line| line.name.clone()),
            food_kg: eaten[week],
            wish_kg: 0.0,
        })
        .collect();
    by_food.retain(|food| food.food_kg >= schedule::ON_TABLE_KG);
    // An empty sum is -0.0.
    let food_kg = by_food.iter().map(|food| food.food_kg).sum::<f64>() + 0.0;
    let foods = by_food.len() as u32;
    let mut wish_kg = 0.0;
    for wish in &problem.instance.wishes {
        let kg = wish.kg_week[week];
        wish_kg += kg;
        if kg > 0.0 {
            by_food.push(FoodWeek {
                food: format!("{TARGET}{}", problem.target_name(wish.target)),
                food_kg: study.served_kg(wish.target, week),
                wish_kg: kg,
            });
        }
    }
    WeekView {
        row: WeekRow {
            start: problem.instance.date_of_week(week),
            food_kg,
            wish_kg,
            foods,
        },
        by_food,
    }
}
