//! One sowing, month by month, so that a grower can follow it by hand.

use super::growth::plant::{Plant, ground_cover};
use super::growth::watched;
use super::{Crop, Growth, GrowthFigures, Prepared, Sowing, Warning, Way, warnings};
use crate::calendar::{DAYS_IN_MONTH, DAYS_PER_YEAR, MONTH_START_DAY, month_of_day};

/// One month of a planting; from the first day it grows to the last before it is cleared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthSums {
    /// Months since January of the sowing year, from 0.
    pub month: usize,
    /// Days of the planting in this month (in the ground or in the bed).
    pub days: usize,
    /// Progress to emergence made this month, 1 = up (direct sowing).
    pub emergence: f64,
    /// Warmth that ages it, K d.
    pub warmth_k_d: f64,
    /// Mean light, mol/m2/day.
    pub light_mol_m2_day: f64,
    /// Mean photosynthesis in this air's carbon dioxide against outdoor air, share.
    pub carbon_share: f64,
    /// Share of the light that leaves catch at the month's end, 0 to 1.
    pub ground_cover: f64,
    /// Leaf area at the month's end, m2 per m2 of bed.
    pub leaf_m2_m2: f64,
    /// Living dry mass at the month's end, g/m2.
    pub dry_g_m2: f64,
    /// What a closed stand gains on a mean day against a best day, 0 to 1.
    pub pace: f64,
    /// Mean air, °C.
    pub air_c: f64,
    /// Mean root zone, °C.
    pub root_zone_c: f64,
    /// Coldest hour of the leaves, °C.
    pub leaf_min_c: f64,
    /// Smallest distance of the three coldest hours from the cold that kills half of the leaf, K.
    pub cold_margin_k: f64,
    /// Mean degree of hardening, 0 to 1.
    pub hardening: f64,
    /// Chilling, K h (crops of warm origin).
    pub chill_kh: f64,
    /// Mean share of flowers that set.
    pub set: f64,
    /// Mean day length, h.
    pub day_length_h: f64,
    /// Picked, kg/m2.
    pub kg_m2: f64,
}

/// A sowing with all that decides it.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// What became of it, with dated events and the cause of any loss.
    pub growth: Growth,
    /// Fresh mass of the first picking, kg/m2.
    pub ready_kg_m2: f64,
    /// Build of the crop.
    pub build: GrowthFigures,
    /// Months from sowing to clearing.
    pub months: Vec<MonthSums>,
    /// What to watch.
    pub warnings: Vec<Warning>,
}

/// Leaf area of a closed stand, m2/m2: below it less than 2 % of the light is left, and the lower leaves die in the shade as
/// fast as new ones come (closed stands of vegetables hold 3 to 6, from memory). The equations need no more than the cover.
const CLOSED_STAND_M2_M2: f64 = 6.0;

/// Follows one sowing and shows its sums month by month.
pub fn explain(crop: &Crop, prepared: &Prepared, year: usize, sowing: Sowing) -> Explanation {
    let mut record: Vec<(usize, Plant)> = Vec::new();
    let growth = watched(crop, prepared, year, sowing, &mut |day, plant| {
        record.push((day, *plant));
    });
    let first = growth.bed_from_day.min(sowing.day);
    let months = months_between(first, growth.clear_day)
        .filter_map(|month| month_sums(crop, prepared, year, &growth, &record, sowing.way, month))
        .collect();
    Explanation {
        warnings: warnings(crop, prepared, year, &growth),
        ready_kg_m2: crop.yields.kg_m2.low,
        build: crop.growth,
        growth,
        months,
    }
}

fn months_between(from_day: usize, to_day: usize) -> std::ops::RangeInclusive<usize> {
    let month = |day: usize| day / DAYS_PER_YEAR * DAYS_IN_MONTH.len() + month_of_day(day);
    month(from_day)..=month(to_day.saturating_sub(1).max(from_day))
}

fn month_sums(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    growth: &Growth,
    record: &[(usize, Plant)],
    way: Way,
    month: usize,
) -> Option<MonthSums> {
    let of_year = month % DAYS_IN_MONTH.len();
    let start = month / DAYS_IN_MONTH.len() * DAYS_PER_YEAR + MONTH_START_DAY.get(of_year)?;
    let from = start.max(growth.bed_from_day);
    let to = (start + DAYS_IN_MONTH.get(of_year)?).min(growth.clear_day);
    let days = to.checked_sub(from).filter(|days| *days > 0)?;
    let grows_from = match way {
        Way::Direct => growth.emergence_day.unwrap_or(growth.clear_day),
        Way::Tray => growth.bed_from_day,
    };
    let each = || (from..to).map(|day| (day, prepared.bed_day(year, day)));
    let mean = |figure: fn(&super::BedDay) -> f64| {
        each().map(|(_, day)| figure(&day)).sum::<f64>() / days as f64
    };
    let crop_days = || (from..to).map(|day| (day, prepared.day(year, day)));
    let grown = || crop_days().filter(|(day, _)| *day >= grows_from);
    let last = record.iter().rev().find(|(day, _)| *day < to);
    let plant = last.map_or(Plant::default(), |(_, plant)| *plant);
    let sown = way == Way::Direct && crop.emergence.is_some();
    Some(MonthSums {
        month,
        days,
        emergence: each()
            .filter(|(day, _)| sown && *day < grows_from)
            .map(|(day, _)| prepared.emergence(year, day).0)
            .sum(),
        warmth_k_d: grown().map(|(_, day)| f64::from(day.warmth_k_d)).sum(),
        light_mol_m2_day: mean(|day| day.light_mol_m2_day),
        carbon_share: mean(|day| day.carbon_share),
        ground_cover: f64::from(ground_cover(plant.leaf_m2_m2)),
        leaf_m2_m2: f64::from(plant.leaf_m2_m2).min(CLOSED_STAND_M2_M2),
        dry_g_m2: f64::from(plant.mass_g_m2),
        pace: (from..to).map(|day| prepared.pace(year, day)).sum::<f64>() / days as f64,
        air_c: mean(|day| day.air_c),
        root_zone_c: mean(|day| day.root_zone_c),
        leaf_min_c: each()
            .map(|(_, day)| day.leaf_min_c)
            .fold(f64::INFINITY, f64::min),
        cold_margin_k: each()
            .map(|(_, day)| day.coldest_c - crop.cold.kill_at(day.hardening))
            .fold(f64::INFINITY, f64::min),
        hardening: mean(|day| day.hardening),
        chill_kh: crop_days().map(|(_, day)| f64::from(day.chill_kh)).sum(),
        set: crop_days().map(|(_, day)| f64::from(day.set)).sum::<f64>() / days as f64,
        day_length_h: mean(|day| day.day_length_h),
        kg_m2: growth
            .harvests
            .iter()
            .filter(|harvest| (from..to).contains(&harvest.day))
            .fold(0.0, |sum, harvest| sum + harvest.kg_m2),
    })
}
