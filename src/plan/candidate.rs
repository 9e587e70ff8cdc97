//! From growth to candidates: every crop, week and way of sowing that comes through often enough.

use rayon::prelude::*;

use super::{Candidate, Closing, Harvest, Instance};
use crate::calendar::{DAYS_PER_YEAR, WEEKS_PER_YEAR, first_day_of_week};
use crate::crops::{Crop, Growth, Sowing, Way, grow, is_worth, prepare};
use crate::profile::{BedClimate, quantile};

/// Days in a planning week.
const DAYS_PER_WEEK: usize = 7;

/// What counts as coming through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Demands {
    /// Least share of the weather years in which a planting comes through, 0 to 1.
    pub survival_min: f64,
    /// Share of the weather years in which the bed is free by the week given, 0 to 1.
    pub free_share: f64,
}

impl Default for Demands {
    /// Four years in five come through; in four of five the bed is free in time (own choice, no source).
    fn default() -> Self {
        Self {
            survival_min: 0.8,
            free_share: 0.8,
        }
    }
}

/// One sowing in one kind of bed, followed through every weather year.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Place of the crop in the list given.
    pub crop: usize,
    /// Kind of bed climate: place in the list given.
    pub climate: usize,
    /// In the bed or in a tray.
    pub way: Way,
    /// Week of sowing, 0 to 51.
    pub sow_week: usize,
    /// First week in the bed, counted on from `sow_week`'s year (may pass 51).
    pub bed_week: usize,
    /// Weeks the bed is taken.
    pub weeks: usize,
    /// Share of the years in which it comes through.
    pub survival: f64,
    /// Weekly pickings of every year: (week counted from 1 January of the sowing year, kg/m2), bed time only.
    pub years: Vec<Vec<(usize, f64)>>,
}

impl Outcome {
    /// Mean picking of each week over the years, kg/m2, in order of weeks.
    pub fn mean_kg_m2(&self) -> Vec<(usize, f64)> {
        let mut weeks = std::collections::BTreeMap::new();
        for (week, kg_m2) in self.years.iter().flatten() {
            *weeks.entry(*week).or_insert(0.0) += kg_m2 / self.years.len() as f64;
        }
        weeks.into_iter().collect()
    }
}

/// Follows every crop, week and way of sowing through every year of every climate; keeps what comes through.
///
/// The order is that of crops, climates, ways, weeks, whatever the number of threads.
pub fn outcomes(crops: &[&Crop], climates: &[BedClimate], demands: &Demands) -> Vec<Outcome> {
    let pairs: Vec<(usize, usize)> = (0..crops.len())
        .flat_map(|crop| (0..climates.len()).map(move |climate| (crop, climate)))
        .collect();
    pairs
        .par_iter()
        .flat_map_iter(|&(crop, climate)| of_pair(crops, climates, crop, climate, demands))
        .collect()
}

fn of_pair(
    crops: &[&Crop],
    climates: &[BedClimate],
    crop: usize,
    climate: usize,
    demands: &Demands,
) -> Vec<Outcome> {
    let prepared = prepare(crops[crop], &climates[climate]);
    let mut found = Vec::new();
    for &way in &crops[crop].ways {
        for sow_week in 0..WEEKS_PER_YEAR {
            let sowing = Sowing {
                day: first_day_of_week(sow_week),
                way,
            };
            let growths: Vec<Growth> = (0..prepared.years)
                .map(|year| grow(crops[crop], &prepared, year, sowing))
                .collect();
            let outcome = outcome(
                crops[crop],
                (crop, climate),
                (way, sow_week),
                &growths,
                demands,
            );
            found.extend(outcome);
        }
    }
    found
}

fn outcome(
    crop: &Crop,
    (crop_at, climate): (usize, usize),
    (way, sow_week): (Way, usize),
    growths: &[Growth],
    demands: &Demands,
) -> Option<Outcome> {
    let worth = growths
        .iter()
        .filter(|growth| is_worth(crop, growth))
        .count();
    let survival = worth as f64 / growths.len().max(1) as f64;
    if worth == 0 || survival < demands.survival_min {
        return None;
    }
    let bed_week = week_from_year_start(growths.first()?.bed_from_day);
    let mut clear: Vec<f64> = growths
        .iter()
        .filter(|growth| is_worth(crop, growth))
        .map(|growth| growth.clear_day as f64)
        .collect();
    clear.sort_by(f64::total_cmp);
    let clear_day = quantile(&clear, demands.free_share)?.ceil() as usize;
    let weeks = (week_from_year_start(clear_day.saturating_sub(1)) + 1)
        .saturating_sub(bed_week)
        .clamp(1, WEEKS_PER_YEAR);
    Some(Outcome {
        crop: crop_at,
        climate,
        way,
        sow_week,
        bed_week,
        weeks,
        survival,
        years: growths
            .iter()
            .map(|growth| weekly(growth, bed_week + weeks))
            .collect(),
    })
}

/// Pickings by week, those after the bed is given away left out.
fn weekly(growth: &Growth, end_week: usize) -> Vec<(usize, f64)> {
    let mut weeks: Vec<(usize, f64)> = Vec::new();
    for harvest in &growth.harvests {
        let week = week_from_year_start(harvest.day);
        if week >= end_week {
            continue;
        }
        match weeks.last_mut() {
            Some((last, kg_m2)) if *last == week => *kg_m2 += harvest.kg_m2,
            _ => weeks.push((week, harvest.kg_m2)),
        }
    }
    weeks
}

/// Planning week counted on from 1 January of a year: the 365th day belongs to the 52nd week.
fn week_from_year_start(day: usize) -> usize {
    let in_year = (day % DAYS_PER_YEAR) / DAYS_PER_WEEK;
    (day / DAYS_PER_YEAR) * WEEKS_PER_YEAR + in_year.min(WEEKS_PER_YEAR - 1)
}

/// What a candidate costs and takes beside its bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlay {
    /// Seed, trays, compost, money per m2 of bed.
    pub cost_m2: f64,
    /// Work to sow or set out, hours per m2 of bed.
    pub sow_h_m2: f64,
    /// Work to pick, hours per kg.
    pub pick_h_kg: f64,
    /// Shelf that its trays take, m2 per m2 of bed.
    pub shelf_m2_m2: f64,
}

/// Candidates of an outcome: one for each bed class with its climate, at each sowing week of the horizon.
///
/// `years` picks the weather years whose mean is planned for; `food` and `family` are places in the instance's lists.
pub fn candidates(
    instance: &Instance,
    outcome: &Outcome,
    crop: &Crop,
    (food, family): (usize, usize),
    outlay: &Outlay,
    cover: bool,
) -> Vec<Candidate> {
    let classes = instance
        .beds
        .iter()
        .enumerate()
        .filter(|(_, class)| class.climate == outcome.climate);
    let mean = outcome.mean_kg_m2();
    let mut found = Vec::new();
    for (bed_class, class) in classes {
        for shift in sowing_shifts(instance, outcome.sow_week) {
            let place = |week: usize| instance.week_index((week as isize + shift).try_into().ok()?);
            let (Some(sow_week), Some(bed_week)) =
                (place(outcome.sow_week), place(outcome.bed_week))
            else {
                continue;
            };
            let harvest: Vec<Harvest> = mean
                .iter()
                .filter_map(|(week, kg_m2)| {
                    Some(Harvest {
                        week: place(*week)?,
                        food,
                        kg: kg_m2 * class.area_m2,
                    })
                })
                .collect();
            if harvest.is_empty() {
                continue;
            }
            let labour = work(instance, sow_week, class.area_m2, outlay, &harvest);
            found.push(Candidate {
                crop: crop.id.clone(),
                family,
                bed_class,
                sow_week,
                tray_weeks: outcome.bed_week - outcome.sow_week,
                bed_week,
                weeks: outcome.weeks,
                cover,
                harvest,
                survival: outcome.survival,
                cost: outlay.cost_m2 * class.area_m2,
                labour,
                shelf_m2: outlay.shelf_m2_m2 * class.area_m2,
            });
        }
    }
    found
}

/// By how many weeks an outcome's weeks are moved onto the horizon: once in a settled year, once for each year of
/// an open horizon.
fn sowing_shifts(instance: &Instance, _sow_week: usize) -> Vec<isize> {
    match instance.closing {
        Closing::EachBed => vec![0],
        Closing::Open => {
            let start = crate::calendar::week_of_day(crate::calendar::day_of_date(instance.start));
            let years = instance.weeks.div_ceil(WEEKS_PER_YEAR) + 1;
            (0..=years)
                .map(|year| (year * WEEKS_PER_YEAR) as isize - start as isize)
                .collect()
        }
    }
}

fn work(
    instance: &Instance,
    sow_week: usize,
    area_m2: f64,
    outlay: &Outlay,
    harvest: &[Harvest],
) -> Vec<super::Labour> {
    let mut hours = std::collections::BTreeMap::new();
    *hours.entry(sow_week).or_insert(0.0) += outlay.sow_h_m2 * area_m2;
    for pick in harvest {
        *hours.entry(pick.week).or_insert(0.0) += outlay.pick_h_kg * pick.kg;
    }
    hours
        .into_iter()
        .filter(|(week, _)| *week < instance.weeks)
        .map(|(week, hours)| super::Labour { week, hours })
        .collect()
}
