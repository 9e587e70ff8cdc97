//! The plan, from the study to the view.

use chrono::{Datelike, NaiveDate};

use crate::calendar::{WEEKS_PER_YEAR, date_of_day, first_day_of_week};
use crate::crops::Crop;
use crate::output::text::fixed;
use crate::output::view::{
    FoodWeek, GapRow, Note, NoteKind, PlanView, PlantingRow, PlantingView, Spread, WeekPick,
    WeekRow, WeekView,
};
use crate::study::{ClimateStudy, Gap, Job, PlanStudy, Planting, ValueStudy, gaps, wish_name};

/// The plan of a project; `value` brings the replay through the weather years.
pub fn plan(
    job: &Job,
    climate: &ClimateStudy,
    study: &PlanStudy,
    value: Option<&ValueStudy>,
) -> PlanView {
    let year = job.project.planning.year;
    let replayed = value.map(|value| Spread::from(value.year.value_spread));
    PlanView {
        project: job.project.name.clone(),
        place: job.site.place.name.clone(),
        start: date_of_day(year, 0),
        repeats: true,
        as_of: date_of_day(year, 0),
        revision: 0,
        value: study.found.value,
        bound: study.found.bound,
        gap: study.found.gap,
        replayed_value_p50: replayed.map(|spread| spread.p50),
        replayed_value: replayed,
        currency: study.problem.market.currency.code().to_owned(),
        beds: job
            .project
            .beds
            .iter()
            .map(|bed| bed.name.clone())
            .collect(),
        plantings: study
            .plantings
            .iter()
            .map(|planting| planting_view(job, study, planting))
            .collect(),
        weeks: (0..WEEKS_PER_YEAR)
            .map(|week| week_view(study, year, week))
            .collect(),
        gaps: gap_rows(job, climate, study),
        notes: notes(study),
    }
}

fn planting_view(job: &Job, study: &PlanStudy, planting: &Planting) -> PlantingView {
    let candidate = study.candidate(planting);
    let outcome = study.outcome(planting);
    let crop = &study.problem.crops[outcome.crop];
    let in_bed = planting.transplant.unwrap_or(planting.sow);
    PlantingView {
        row: PlantingRow {
            bed: job.project.beds[planting.bed].name.clone(),
            crop: crop.id.clone(),
            crop_name: crop.name.clone(),
            area_m2: rounded(planting.area_m2),
            way: super::way_word(outcome.way).to_owned(),
            sow: planting.sow,
            transplant: planting.transplant,
            first_harvest: planting.picks.first().map(|(day, _)| *day),
            last_harvest: planting.picks.last().map(|(day, _)| *day),
            clear: Some(planting.clear),
            cover_on: candidate.cover.then(|| first_cover(in_bed)),
            cover_off: candidate.cover.then_some(planting.clear),
            survival: outcome.survival,
            harvest_kg: planting.picks.iter().map(|(_, kg)| kg).sum(),
            plants: Some(crop.spacing.plants_per_m2 * planting.area_m2),
            seeds: Some(seeds(crop, planting.area_m2)),
        },
        picks: planting
            .picks
            .iter()
            .map(|(start, kg)| WeekPick {
                start: *start,
                kg: *kg,
            })
            .collect(),
    }
}

/// Areas are shown to the square centimetre: no more is known of a bed.
fn rounded(area_m2: f64) -> f64 {
    const PER_M2: f64 = 10_000.0;
    (area_m2 * PER_M2).round() / PER_M2
}

/// The cover is at hand from the first day in the bed; it lies on as the project says (in cold nights or months).
fn first_cover(in_bed: NaiveDate) -> NaiveDate {
    in_bed
}

fn seeds(crop: &Crop, area_m2: f64) -> f64 {
    crop.spacing.plants_per_m2 * crop.spacing.seeds_per_plant * area_m2
}

fn week_view(study: &PlanStudy, year: i32, week: usize) -> WeekView {
    let problem = &study.problem;
    let years = study.tables.len().max(1) as f64;
    let mut by_food: Vec<FoodWeek> = problem
        .instance
        .foods
        .iter()
        .map(|food| {
            let eaten: f64 = study
                .tables
                .iter()
                .flatten()
                .filter(|flow| flow.food == food.id)
                .map(|flow| flow.eaten_kg.get(week).copied().unwrap_or(0.0))
                .sum();
            FoodWeek {
                food: problem
                    .market
                    .food(&food.id)
                    .map_or_else(|| food.id.clone(), |line| line.name.clone()),
                food_kg: eaten / years,
                wish_kg: 0.0,
            }
        })
        .collect();
    /// Less than this on the table is no food of the week, kg.
    const LEAST_KG: f64 = 0.02;
    by_food.retain(|food| food.food_kg >= LEAST_KG);
    let food_kg = by_food.iter().map(|food| food.food_kg).sum();
    let foods = by_food.len() as u32;
    let mut wish_kg = 0.0;
    for wish in &problem.instance.wishes {
        let kg = wish.kg_week[week];
        wish_kg += kg;
        if kg > 0.0 {
            by_food.push(FoodWeek {
                food: format!("wish: {}", wish_name(study, wish.target)),
                food_kg: study.served_kg(wish.target, week),
                wish_kg: kg,
            });
        }
    }
    WeekView {
        row: WeekRow {
            start: date_of_day(year, first_day_of_week(week)),
            food_kg,
            wish_kg,
            foods,
        },
        by_food,
    }
}

fn gap_rows(job: &Job, climate: &ClimateStudy, study: &PlanStudy) -> Vec<GapRow> {
    let light = crate::profile::daily_sums(&climate.run.settled.light_mol_m2_h);
    gaps(study, &light, job.project.planning.year)
        .iter()
        .map(|gap| gap_row(study, gap))
        .collect()
}

fn gap_row(study: &PlanStudy, gap: &Gap) -> GapRow {
    /// Light above which leafy crops grow at full pace in the crop files, mol/m2/day: below it a gap is called dark.
    const DARK_BELOW_MOL: f64 = 12.0;
    let dark = gap.light_mol_m2_day < DARK_BELOW_MOL;
    let cause = match (&gap.remedy, dark) {
        (None, true) => format!(
            "dark: {} of {} mol/m2/day, and nothing sown earlier lasts till then",
            fixed(gap.light_mol_m2_day, 1),
            fixed(DARK_BELOW_MOL, 0)
        ),
        (None, false) => "no crop for it comes through in these weeks".to_owned(),
        (Some(_), true) => format!(
            "beds are full of what is worth more; dark: {} of {} mol/m2/day",
            fixed(gap.light_mol_m2_day, 1),
            fixed(DARK_BELOW_MOL, 0)
        ),
        (Some(_), false) => "beds are full of what is worth more".to_owned(),
    };
    let remedy = gap.remedy.as_ref().map_or_else(
        || "none among the crops on file; buy it in these weeks".to_owned(),
        |remedy| {
            format!(
                "{} m2 more of {} sown on {} {}",
                fixed(remedy.area_m2.max(0.1), 1),
                study.problem.crops[remedy.crop].name.to_lowercase(),
                remedy.sow.day(),
                crate::calendar::MONTH_HEADS[remedy.sow.month0() as usize]
            )
        },
    );
    GapRow {
        from: gap.from,
        to: gap.to,
        food: gap.food.clone(),
        missing_kg: gap.missing_kg,
        cause,
        remedy,
    }
}

fn notes(study: &PlanStudy) -> Vec<Note> {
    let said = study
        .problem
        .notes
        .iter()
        .map(|text| Note::new(NoteKind::Note, text.clone()));
    let unmet = study
        .found
        .remarks
        .iter()
        .map(|text| Note::new(NoteKind::Warning, text.clone()));
    let stopped = study.found.stopped.then(|| {
        Note::new(
            NoteKind::Warning,
            "the search was stopped before it was done: this is the best plan so far",
        )
    });
    let meaning = Note::new(
        NoteKind::Note,
        "worth is food at shop prices, less seed and trays, less a penalty for every wished kilogram that is missing; the replay counts the food alone, never more than the household spends on produce",
    );
    std::iter::once(meaning)
        .chain(said)
        .chain(unmet)
        .chain(stopped)
        .collect()
}
