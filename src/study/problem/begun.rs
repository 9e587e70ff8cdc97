//! Young plants that stand in trays when a plan begins: sown and paid, they come into their beds on their day.

use super::foods::{family_place, known_food_place, outlay};
use super::horizon::YearClimates;
use super::standing::{followed, known_crop, patches_of, sown_in_tray};
use super::{Origin, Problem};
use crate::crops::{Crop, Way};
use crate::file;
use crate::plan::BedSections;
use crate::plan::candidate::{Outcome, begun, shift};
use crate::study::{Job, StudyError};

/// Puts young plants that still stand in their trays into the problem: for the patches that they are for where these are free by
/// then, else for others of the bed; where none is, they wait until one is.
pub fn add_begun(
    job: &Job,
    climates: &YearClimates,
    problem: &mut Problem,
    (bed, place): (usize, &BedSections),
    standing: &file::Standing,
) -> Result<(), StudyError> {
    let start = problem.instance.start;
    let crop = known_crop(job, standing, start)?.clone();
    let climate = problem.instance.beds[place.class].climate;
    let Some((outcome, year)) = followed(&crop, climates, climate, standing, start) else {
        return Ok(());
    };
    let out_week = outcome.bed_week as isize + shift(&problem.instance, year);
    let out_week = usize::try_from(out_week).unwrap_or(0);
    let taken_until = |patch: usize| taken_until(problem, place, patch, (out_week, outcome.weeks));
    let patches = patches_of(standing, place, |patch| taken_until(patch) <= out_week);
    if patches.is_empty() {
        let free_week = (0..place.count).map(taken_until).min().unwrap_or(out_week);
        let day = problem.instance.date_of_week(free_week);
        let waits = (day - standing.since).num_days() <= WAIT_DAYS;
        let then = match waits {
            true => "it waits",
            false => "it is left out",
        };
        problem.note(format!(
            "`{}` in trays finds no free place in {} before {day}: {then}",
            standing.crop, place.name
        ));
        if !waits {
            return Ok(());
        }
        let later = file::Standing {
            since: day,
            sown: Some(sown_in_tray(&crop, standing)),
            clear: None,
            ..standing.clone()
        };
        return add_begun(job, climates, problem, (bed, place), &later);
    }
    let family = family_place(job, &mut problem.instance, &crop);
    let food = known_food_place(problem, &crop);
    let of_crop = |known: &Crop| known.id == crop.id;
    let crop_at = problem.crops.iter().position(of_crop).unwrap_or_else(|| {
        problem.crops.push(crop.clone());
        problem.crops.len() - 1
    });
    let outcome = Outcome {
        crop: crop_at,
        ..outcome
    };
    let kg_m2 = match food {
        Some(_) => problem.expected_kg_m2(&outcome),
        None => Vec::new(),
    };
    let outlay = outlay(job, &problem.household, &crop, Way::Tray)?;
    let beds = patches.iter().map(|patch| place.first + patch).collect();
    let found = begun(
        &problem.instance,
        (&outcome, year),
        &crop,
        (food.unwrap_or(0), family),
        (&kg_m2, &outlay),
        (place.class, beds),
    );
    if let Some(candidate) = found {
        problem.instance.candidates.push(candidate);
        problem.origins.push(Origin {
            outcome: problem.outcomes.len(),
            calendar_year: year,
            sown: Some(sown_in_tray(&crop, standing)),
        });
        problem.outcomes.push(outcome);
    }
    Ok(())
}

/// Longest that young plants wait for a place, days (common practice, no source: longer, and they are past their best).
const WAIT_DAYS: i64 = 42;

/// Week until which a patch is taken for plants that come in a week and stay so many: by what stands there, or by other young
/// plants that are to come there.
fn taken_until(
    problem: &Problem,
    place: &BedSections,
    patch: usize,
    (out_week, weeks): (usize, usize),
) -> usize {
    let bed = place.first + patch;
    let instance = &problem.instance;
    let standing = instance.standing.iter();
    let standing = standing.filter(|one| (one.bed_class, one.bed) == (place.class, bed));
    let others = instance.candidates.iter().filter(|one| {
        let here = one.bed_class == place.class && one.begun.contains(&bed);
        here && one.bed_week < out_week + weeks && out_week < one.bed_week + one.weeks
    });
    let free = standing.map(|one| one.free_week);
    let others = others.map(|one| one.bed_week + one.weeks);
    free.chain(others).max().unwrap_or(0)
}
