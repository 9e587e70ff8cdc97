//! What already stands when a plan begins: in the beds, how long it stays and what it still bears; in trays, where its plants go.

use chrono::{Datelike, Days, NaiveDate};

use super::foods::{cellar_c, family_place, known_food_place};
use super::gardening::clear_after;
use super::horizon::YearClimates;
use super::{Problem, begun};
use crate::calendar::{DAYS_PER_WEEK, WEEKS_PER_YEAR, day_of_date, first_day_of_week, week_of_day};
use crate::crops::{Crop, Way};
use crate::file;
use crate::plan::candidate::{Demands, Outcome, kg_of, outcome_of, shift, week_from_year_start};
use crate::plan::fate::{DRAWS, Fate, Planted};
use crate::plan::{BedSections, Closing, Harvest, Standing};
use crate::study::{Job, StudyError};

/// One crop that already stands in a bed.
#[derive(Clone, Debug)]
pub struct StandingCrop {
    /// Bed of the file.
    pub bed: usize,
    pub crop: Crop,
    /// Day on which it came into the bed.
    pub since: NaiveDate,
    pub set_out: bool,
    /// Patches of the bed that carry it, from 0, in order.
    pub patches: Vec<usize>,
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
            problem.note(
                "what stands in the beds now plays no part in a year that repeats; plan from a date (`--from`) to count it",
            );
        }
        return Ok(());
    }
    let start = problem.instance.start;
    for (bed, own) in job.project.beds.iter().enumerate() {
        let place = problem.places[bed].clone();
        let all = own.standing.iter();
        let (in_trays, there): (Vec<_>, Vec<_>) = all.partition(|one| one.in_tray_on(start));
        let sections = own.standing.iter().flat_map(|one| &one.sections);
        if let Some(section) = sections.filter(|section| **section > place.count).max() {
            problem.note(format!(
                "{} has {} sections; what stands in section {section} is taken to stand in another",
                own.name, place.count
            ));
        }
        let mut taken = vec![false; place.count];
        // What is told of its sections has them before what takes any.
        let (told, any): (Vec<_>, Vec<_>) =
            there.into_iter().partition(|one| !one.sections.is_empty());
        for standing in told.into_iter().chain(any) {
            let patches = patches_of(standing, &place, |patch| !taken[patch]);
            if patches.is_empty() {
                problem.note(format!(
                    "`{}` in {} is smaller than a section and stands with its neighbour",
                    standing.crop, own.name
                ));
                continue;
            }
            patches.iter().for_each(|&patch| taken[patch] = true);
            add_one(job, climates, problem, (bed, &place, patches), standing)?;
        }
        for standing in in_trays {
            begun::add_begun(job, climates, problem, (bed, &place), standing)?;
        }
    }
    Ok(())
}

/// Patches of a bed (from 0) for what stands there, of those that are free: the ones that are named, then the first ones, as many
/// as are named or as its share of the bed fills.
pub(super) fn patches_of(
    standing: &file::Standing,
    place: &BedSections,
    free: impl Fn(usize) -> bool,
) -> Vec<usize> {
    let named = |patch: usize| standing.sections.contains(&(patch + 1));
    let mut patches: Vec<usize> = (0..place.count).filter(|&patch| free(patch)).collect();
    patches.sort_by_key(|&patch| (!named(patch), patch));
    patches.truncate(sections_of(standing, place));
    patches.sort_unstable();
    patches
}

/// How many sections of its bed it takes, at least one.
pub(super) fn sections_of(standing: &file::Standing, place: &BedSections) -> usize {
    match standing.sections.len() {
        0 => ((standing.share * place.count as f64).round() as usize).max(1),
        named => named,
    }
}

/// Day of sowing of what is set out: as told, else as many days before as its trays take.
pub(super) fn sown_in_tray(crop: &Crop, standing: &file::Standing) -> NaiveDate {
    let usual = standing.since - Days::new(crop.tray_days() as u64);
    standing.sown.unwrap_or(usual)
}

/// Its crop, which must be on file, and sown by the start of a plan.
pub fn known_crop<'j>(
    job: &'j Job,
    standing: &file::Standing,
    start: NaiveDate,
) -> Result<&'j Crop, StudyError> {
    let Some(crop) = job.table.get(&standing.crop) else {
        return Err(StudyError::no_crop(&job.table, &standing.crop));
    };
    let since = match standing.in_tray_on(start) {
        true => sown_in_tray(crop, standing),
        false => standing.since,
    };
    if since > start {
        return Err(StudyError::NotYetSown {
            crop: standing.crop.clone(),
            since,
            start,
        });
    }
    Ok(crop)
}

/// What becomes of it, cleared on the day that is asked for, and so many weeks later as the horizon counts than it does itself.
pub(super) fn followed(
    crop: &Crop,
    climates: &YearClimates,
    climate: usize,
    standing: &file::Standing,
    start: NaiveDate,
) -> Option<(Outcome, isize)> {
    let (way, sown) = match is_sown_in_bed(crop, standing) {
        true => (Way::Direct, standing.since),
        false => (Way::Tray, usual_sowing(crop, standing.since)),
    };
    let set = &climates.sets[climates.set_of(sown.year())];
    let week = week_of_day(day_of_date(sown));
    let mut outcome = outcome_of((0, crop), set, climate, (way, week))?;
    if let Some(clear) = standing.clear {
        let weeks = week_of_date(clear).saturating_sub(week_of_date(standing.since));
        if weeks.max(1) < outcome.weeks {
            clear_after(&mut outcome, weeks.max(1));
        }
    }
    Some((outcome, (sown.year() - start.year()) as isize))
}

/// Planning week of a day, counted through the years.
pub(super) fn week_of_date(day: NaiveDate) -> usize {
    let year = day.year().unsigned_abs() as usize;
    year * WEEKS_PER_YEAR + week_of_day(day_of_date(day))
}

fn add_one(
    job: &Job,
    climates: &YearClimates,
    problem: &mut Problem,
    (bed, place, patches): (usize, &BedSections, Vec<usize>),
    standing: &file::Standing,
) -> Result<(), StudyError> {
    let start = problem.instance.start;
    let crop = known_crop(job, standing, start)?;
    let class = &problem.instance.beds[place.class];
    let (climate, patch_m2) = (class.climate, class.area_m2);
    let family = family_place(job, &mut problem.instance, crop);
    let food = known_food_place(problem, crop);
    let Some((outcome, year)) = followed(crop, climates, climate, standing, start) else {
        return Ok(());
    };
    let shift = shift(&problem.instance, year);
    let on_horizon = |week: usize| usize::try_from(week as isize + shift).ok();
    let free_week = on_horizon(outcome.bed_week + outcome.weeks).unwrap_or(0);
    if free_week == 0 {
        problem.note(format!(
            "`{}` in {} is over before {start}: only its family counts",
            standing.crop, place.name
        ));
    }
    if outcome.survival < Demands::default().survival_min {
        problem.note(format!(
            "`{}` in {} comes through in {:.0} % of the weather years; the plan leaves it there until {}",
            standing.crop,
            place.name,
            100.0 * outcome.survival,
            problem.instance.date_of_week(free_week)
        ));
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
    let picks = outcome.mean_kg_m2().into_iter();
    let picks = picks.filter_map(|(week, kg_m2)| Some((on_horizon(week)?, kg_m2 * left)));
    let picks = picks.filter(|(week, _)| *week < problem.instance.weeks);
    let picks: Vec<(usize, f64)> = picks.collect();
    let harvest: Vec<Harvest> = food.map_or_else(Vec::new, |food| {
        let picks = picks.iter().copied().map(kg_of(patch_m2));
        picks.map(|(week, kg)| Harvest { week, food, kg }).collect()
    });
    for &patch in &patches {
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
    let area_m2 = patch_m2 * patches.len() as f64;
    problem.standing.push(StandingCrop {
        bed,
        crop: crop.clone(),
        since: standing.since,
        set_out: !is_sown_in_bed(crop, standing),
        patches,
        area_m2,
        free_week,
        picks: picks.into_iter().map(kg_of(area_m2)).collect(),
        survival: outcome.survival,
        in_all,
    });
    Ok(())
}

fn is_sown_in_bed(crop: &Crop, standing: &file::Standing) -> bool {
    match standing.set_out {
        Some(set_out) => !set_out,
        None => crop.ways.contains(&Way::Direct),
    }
}

/// A day of sowing in trays whose plants come into the bed in the week of a day, as a plan counts its weeks.
fn usual_sowing(crop: &Crop, set_out: NaiveDate) -> NaiveDate {
    let tray_days = crop.tray_days();
    let sown = set_out - Days::new(tray_days as u64);
    let comes_in_week = |sown: &NaiveDate| {
        let first_day = first_day_of_week(week_of_day(day_of_date(*sown)));
        let year = sown.year().unsigned_abs() as usize;
        year * WEEKS_PER_YEAR + week_from_year_start(first_day + tray_days) == week_of_date(set_out)
    };
    let later = sown + Days::new(DAYS_PER_WEEK as u64);
    match !comes_in_week(&sown) && comes_in_week(&later) {
        true => later,
        false => sown,
    }
}

/// Temperature of the project's cellar, where it has one, °C.
pub fn project_cellar_c(job: &Job) -> Option<f64> {
    let southern = job.site.place.latitude_deg < 0.0;
    let cellar = job.project.household.cellar?;
    Some(cellar_c(cellar, &job.site.ground, southern))
}
