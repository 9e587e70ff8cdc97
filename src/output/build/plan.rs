//! The plan, from the study to the view.

use chrono::NaiveDate;

use super::plan_words::{gap_rows, notes};
use crate::crops::Crop;
use crate::output::tasks::STANDING;
use crate::output::view::{
    FoodWeek, FormerView, FrontierRow, PlanMonthRow, PlanView, PlantingRow, PlantingView, RiskRow,
    TARGET, WeekPick, WeekRow, WeekView, way_word,
};
use crate::plan::{Closing, schedule};
use crate::profile::Quantiles;
use crate::study::{ClimateStudy, Job, PlanStudy, Planting, StandingCrop};

/// The plan of a project.
pub fn plan(job: &Job, climate: &ClimateStudy, study: &PlanStudy) -> PlanView {
    let instance = &study.problem.instance;
    let replayed = study.replay.value;
    let standing = study.problem.standing.iter();
    let mut plantings: Vec<(usize, PlantingView)> = standing
        .map(|standing| (standing.bed, standing_view(job, study, standing)))
        .collect();
    let planted = study.plantings.iter();
    plantings.extend(planted.map(|one| (one.bed, planting_view(job, climate, study, one))));
    plantings.sort_by_key(|(bed, planting)| (*bed, planting.row.sow));
    PlanView {
        project: job.project.name.clone(),
        place: job.site.place.name.clone(),
        start: instance.start,
        horizon_weeks: instance.weeks,
        repeats: instance.closing == Closing::EachBed,
        as_of: instance.start,
        work_days: vec![job.project.household.gardening.weekday()],
        revision: 0,
        value: study.found.value,
        bound: study.found.bound,
        gap: study.found.gap,
        replayed_value_p50: Some(replayed.p50),
        replayed_value: Some(replayed),
        replaced: study.replay.replaced,
        beyond: study.replay.beyond,
        hard_winters: study.problem.winters.is_some(),
        any_empty_week: study.replay.any_empty_week,
        foods_week: Quantiles::of(&study.replay.foods).unwrap_or_default(),
        currency: study.problem.market.currency.code().to_owned(),
        beds: job
            .project
            .beds
            .iter()
            .map(|bed| bed.name.clone())
            .collect(),
        bed_patches: study
            .problem
            .places
            .iter()
            .map(|place| place.count as u32)
            .collect(),
        plantings: plantings.into_iter().map(|(_, view)| view).collect(),
        weeks: (0..instance.weeks)
            .map(|week| week_view(study, week))
            .collect(),
        months: study.replay.months.iter().map(PlanMonthRow::of).collect(),
        risks: risks(job, study),
        gaps: gap_rows(study),
        second_pass: study.second_pass.clone(),
        frontier: frontier(study),
        kinds: study.found.simplicity.kinds as u32,
        plantings_to_do: study.found.simplicity.plantings as u32,
        sowing_days: study.found.simplicity.sowing_weeks as u32,
        effort: study.found.effort,
        bound_of_kinds: study.found.bound_of_kinds,
        gap_of_kinds: study.found.gap_of_kinds,
        former: study.found.former.map(|former| FormerView {
            new_plan_gains: former.gain,
            kept: former.kept,
            whole: former.whole,
            taken: former.taken,
        }),
        notes: notes(study),
    }
}

fn frontier(study: &PlanStudy) -> Vec<FrontierRow> {
    let rows = study.frontier.iter().map(FrontierRow::of);
    rows.collect()
}

fn risks(job: &Job, study: &PlanStudy) -> Vec<RiskRow> {
    let mut risky: Vec<&Planting> = study
        .plantings
        .iter()
        .filter(|planting| planting.in_all < 1.0)
        .collect();
    risky.sort_by(|a, b| a.in_all.total_cmp(&b.in_all).then(a.sow.cmp(&b.sow)));
    let row = |planting: &Planting| RiskRow {
        bed: job.project.beds[planting.bed].name.clone(),
        sections: sections(study, planting.bed, planting.patches.iter().copied()),
        crop_name: crop_of(study, planting).name.clone(),
        sow: planting.sow,
        lost: 1.0 - planting.in_all,
        harvest_kg: planting.picks.iter().map(|(_, kg)| kg).sum(),
    };
    risky.into_iter().map(row).collect()
}

fn crop_of<'s>(study: &'s PlanStudy, planting: &Planting) -> &'s Crop {
    &study.problem.crops[study.outcome(planting).crop]
}

fn planting_view(
    job: &Job,
    climate: &ClimateStudy,
    study: &PlanStudy,
    planting: &Planting,
) -> PlantingView {
    let outcome = study.outcome(planting);
    let crop = crop_of(study, planting);
    let in_bed = planting.transplant.unwrap_or(planting.sow);
    let covered = climate.cover_days(outcome.climate, in_bed, planting.clear);
    PlantingView {
        row: PlantingRow {
            way: way_word(outcome.way).to_owned(),
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
            seeds: Some(seeds(crop, planting.area_m2)),
            seeds_per_g: crop.spacing.seeds_per_g,
            ..what_and_where(
                job,
                study,
                crop,
                planting.bed,
                &planting.patches,
                planting.area_m2,
            )
        },
        patches: numbers(planting.patches.iter().copied()),
        picks: picks(planting.picks.iter().copied()),
    }
}

fn standing_view(job: &Job, study: &PlanStudy, standing: &StandingCrop) -> PlantingView {
    let date = |week: usize| study.problem.instance.date_of_week(week);
    let crop = &standing.crop;
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
            ..what_and_where(
                job,
                study,
                crop,
                standing.bed,
                &standing.patches,
                standing.area_m2,
            )
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
    bed: usize,
    patches: &[usize],
    area_m2: f64,
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
fn sections(study: &PlanStudy, bed: usize, patches: impl Iterator<Item = usize>) -> String {
    if study
        .problem
        .places
        .get(bed)
        .is_some_and(|place| place.count == 1)
    {
        return String::new();
    }
    let numbers: Vec<String> = numbers(patches).iter().map(u32::to_string).collect();
    numbers.join(", ")
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

fn seeds(crop: &Crop, area_m2: f64) -> f64 {
    crop.spacing.plants_per_m2 * crop.spacing.seeds_per_plant * area_m2
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
