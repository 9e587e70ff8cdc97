//! What already stands in the beds when a plan begins: how long it stays, what it still bears.

use chrono::{Datelike, NaiveDate};

use super::foods::{family_place, food_place};
use super::gardening::clear_after;
use super::horizon::YearClimates;
use super::{Problem, cellar};
use crate::calendar::{DAYS_PER_WEEK, WEEKS_PER_YEAR, day_of_date, week_of_day};
use crate::crops::{Crop, Way};
use crate::file;
use crate::plan::candidate::{Demands, Outcome, kg_of, outcome_of, shift};
use crate::plan::fate::{DRAWS, Fate, Planted};
use crate::plan::{BedSections, Closing, Harvest, Standing};
use crate::study::{Job, StudyError};

/// One crop that already stands in a bed.
#[derive(Clone, Debug)]
pub struct StandingCrop {
    /// Bed of the file.
    pub bed: usize,
    /// The crop.
    pub crop: Crop,
    /// Day on which it came into the bed.
    pub since: NaiveDate,
    /// Patches of the bed that carry it, from 0.
    pub patches: std::ops::Range<usize>,
    /// Area, m2.
    pub area_m2: f64,
    /// Week of the horizon in which its place is free again.
    pub free_week: usize,
    /// What is still to be picked: week of the horizon and expected kilograms.
    pub picks: Vec<(usize, f64)>,
    /// Share of the weather years in which it comes through.
    pub survival: f64,
    /// The same with what is lost beside the weather.
    pub in_all: f64,
}

/// Puts into the problem what the file says of the beds at the start.
///
/// # Errors
/// [`StudyError::Unknown`] for a crop that is not on file, [`StudyError::NotYetSown`] for one sown after the start.
pub fn add_standing(
    job: &Job,
    climates: &YearClimates,
    problem: &mut Problem,
) -> Result<(), StudyError> {
    if problem.instance.closing == Closing::EachBed {
        if job.project.beds.iter().any(|bed| !bed.standing.is_empty()) {
            problem.notes.push(
                "what stands in the beds now plays no part in a year that repeats; plan from a date (`--from`) to count it"
                    .into(),
            );
        }
        return Ok(());
    }
    for (bed, own) in job.project.beds.iter().enumerate() {
        let place = problem.places[bed].clone();
        let mut taken = 0;
        for standing in &own.standing {
            let patches = ((standing.share * place.count as f64).round() as usize).max(1);
            let patches = patches.min(place.count - taken);
            if patches == 0 {
                problem.notes.push(
                    format!(
                        "`{}` in bed {} is smaller than a section and stands with its neighbour",
                        standing.crop, own.name
                    )
                    .into(),
                );
                continue;
            }
            add_one(
                job,
                climates,
                problem,
                (bed, &place, taken, patches),
                standing,
            )?;
            taken += patches;
        }
    }
    Ok(())
}

fn add_one(
    job: &Job,
    climates: &YearClimates,
    problem: &mut Problem,
    (bed, place, first, patches): (usize, &BedSections, usize, usize),
    standing: &file::Standing,
) -> Result<(), StudyError> {
    let start = problem.instance.start;
    let Some(crop) = job.table.get(&standing.crop) else {
        return Err(StudyError::Unknown {
            what: "crop",
            name: standing.crop.clone(),
            near: job.table.nearest(&standing.crop).map(str::to_owned),
        });
    };
    if standing.since > start {
        return Err(StudyError::NotYetSown {
            crop: standing.crop.clone(),
            since: standing.since,
            start,
        });
    }
    let class = &problem.instance.beds[place.class];
    let (climate, patch_m2) = (class.climate, class.area_m2);
    let family = family_place(job, &mut problem.instance, crop);
    let known_food = problem.market.line_of(crop).is_some();
    let cellar_c = problem.cellar_c;
    let food =
        known_food.then(|| food_place(&mut problem.instance, &problem.market, crop, cellar_c));
    let found = grown(crop, climates, climate, standing);
    let shift =
        shift(&problem.instance, 0) + WEEKS_PER_YEAR as isize * (found.1 - start.year()) as isize;
    let on_horizon = |week: usize| usize::try_from(week as isize + shift).ok();
    let Some(mut outcome) = found.0 else {
        return Ok(());
    };
    if let Some(clear) = standing.clear {
        let days = (clear - standing.since).num_days().max(0) as f64;
        let weeks = (days / DAYS_PER_WEEK as f64).round() as usize;
        if weeks.max(1) < outcome.weeks {
            clear_after(&mut outcome, weeks.max(1));
        }
    }
    let free_week = on_horizon(outcome.bed_week + outcome.weeks).unwrap_or(0);
    if free_week == 0 {
        problem.notes.push(
            format!(
                "`{}` in bed {} is over before {start}: only its family counts",
                standing.crop, place.name
            )
            .into(),
        );
    }
    if outcome.survival < Demands::default().survival_min {
        problem.notes.push(format!(
            "`{}` in bed {} comes through in {:.0} % of the simulated years; the plan leaves it there until {}",
            standing.crop,
            place.name,
            100.0 * outcome.survival,
            problem.instance.date_of_week(free_week)
        ).into());
    }
    // It stands: only field, kitchen and accidents are still before it.
    let left = problem.losses.mean_left(&crop.id, None);
    let fate = |year, draw| {
        let planted = Planted {
            crop: &crop.id,
            way: None,
            bed,
            sow_week: outcome.sow_week,
            year,
            draw,
        };
        Fate::drawn(&problem.losses, problem.seed, &planted).left
    };
    let in_all = outcome.through().in_all(DRAWS, fate);
    let picks: Vec<(usize, f64)> = outcome
        .mean_kg_m2()
        .into_iter()
        .filter_map(|(week, kg_m2)| Some((on_horizon(week)?, kg_m2 * left)))
        .filter(|(week, _)| *week < problem.instance.weeks)
        .collect();
    let harvest: Vec<Harvest> = food.map_or_else(Vec::new, |food| {
        let picks = picks.iter().copied().map(kg_of(patch_m2));
        picks.map(|(week, kg)| Harvest { week, food, kg }).collect()
    });
    for patch in first..first + patches {
        problem.instance.standing.push(Standing {
            bed_class: place.class,
            bed: place.first + patch,
            crop: crop.id.clone(),
            family,
            free_week,
            harvest: harvest.clone(),
        });
    }
    if free_week == 0 {
        return Ok(());
    }
    let area_m2 = patch_m2 * patches as f64;
    problem.standing.push(StandingCrop {
        bed,
        crop: crop.clone(),
        since: standing.since,
        patches: first..first + patches,
        area_m2,
        free_week,
        picks: picks.into_iter().map(kg_of(area_m2)).collect(),
        survival: outcome.survival,
        in_all,
    });
    Ok(())
}

/// What becomes of it, and the calendar year from which its weeks are counted.
fn grown(
    crop: &Crop,
    climates: &YearClimates,
    climate: usize,
    standing: &file::Standing,
) -> (Option<Outcome>, i32) {
    let sown_in_bed = match standing.set_out {
        Some(set_out) => !set_out,
        None => crop.ways.contains(&Way::Direct),
    };
    let (way, sown) = if sown_in_bed {
        (Way::Direct, standing.since)
    } else {
        let tray = chrono::Days::new(crop.tray_days() as u64);
        (Way::Tray, standing.since - tray)
    };
    let set = &climates.sets[climates.set_of(sown.year())];
    let week = week_of_day(day_of_date(sown));
    (
        outcome_of((0, crop), set, climate, (way, week)),
        sown.year(),
    )
}

/// Temperature of the project's cellar, where it has one, °C.
pub fn project_cellar_c(job: &Job) -> Option<f64> {
    let southern = job.site.place.latitude_deg < 0.0;
    let cellar = job.project.household.cellar?;
    Some(cellar::cellar_c(cellar, &job.site.ground, southern))
}
