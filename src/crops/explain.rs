//! One sowing, month by month, so that a grower can follow it by hand.

use super::{Crop, Growth, Prepared, Sowing, Warning, Way, grow, warnings};
use crate::calendar::{DAYS_IN_MONTH, DAYS_PER_YEAR, MONTH_START_DAY, month_of_day};

/// One month of a planting; sums run from the first day it grows to the last before it is cleared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthSums {
    /// Months since January of the sowing year, from 0.
    pub month: usize,
    /// Days of the planting in this month (in the ground or in the bed).
    pub days: usize,
    /// Progress to emergence made this month, 1 = up (direct sowing).
    pub emergence: f64,
    /// Growing degrees before light, K d.
    pub growth_k_d: f64,
    /// Mean light, mol/m2/day.
    pub light_mol_m2_day: f64,
    /// Mean light factor, 0 to 1.
    pub light_factor: f64,
    /// Mean root-zone factor, 0 to 1.
    pub root_factor: f64,
    /// Growth that counts, K d: the sum of each day's degrees times its factors.
    pub sum_k_d: f64,
    /// The same since the planting began to grow.
    pub total_k_d: f64,
    /// Mean air, °C.
    pub air_c: f64,
    /// Mean root zone, °C.
    pub root_zone_c: f64,
    /// Coldest hour of the leaves, °C.
    pub leaf_min_c: f64,
    /// Smallest distance of the leaves from killing cold, K; below nought the stand dies.
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
    /// Growth sum of first picking, K d.
    pub ready_k_d: f64,
    /// Growth sum of the whole crop, K d.
    pub whole_k_d: f64,
    /// Growth sum from one cut to the next, K d.
    pub regrowth_k_d: Option<f64>,
    /// Growing degrees of a day at best temperature, K d.
    pub best_k_d: f64,
    /// Months from sowing to clearing.
    pub months: Vec<MonthSums>,
    /// What to watch.
    pub warnings: Vec<Warning>,
}

/// Follows one sowing and shows its sums month by month.
pub fn explain(crop: &Crop, prepared: &Prepared, year: usize, sowing: Sowing) -> Explanation {
    let growth = grow(crop, prepared, year, sowing);
    let first = growth.bed_from_day.min(sowing.day);
    let mut months: Vec<MonthSums> = Vec::new();
    let mut total_k_d = 0.0;
    for month in months_between(first, growth.clear_day) {
        let sums = month_sums(
            crop,
            prepared,
            year,
            &growth,
            sowing.way,
            month,
            &mut total_k_d,
        );
        months.extend(sums);
    }
    let whole_k_d = match sowing.way {
        Way::Direct => crop.sum_from_emergence_k_d(0.5),
        Way::Tray => crop.sum_from_setting_out_k_d(0.5),
    };
    Explanation {
        warnings: warnings(crop, prepared, year, &growth),
        ready_k_d: crop.timing.first_cut_share * whole_k_d,
        whole_k_d,
        regrowth_k_d: crop.timing.regrowth_days.map(|days| days * crop.best_k()),
        best_k_d: crop.best_k(),
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
    way: Way,
    month: usize,
    total_k_d: &mut f64,
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
    let each = || (from..to).map(|day| (day, prepared.day(year, day)));
    let grown = || each().filter(|(day, _)| *day >= grows_from);
    let mean = |figure: fn(&super::CropDay) -> f64| {
        each().map(|(_, day)| figure(day)).sum::<f64>() / days as f64
    };
    let sum_k_d = grown().map(|(_, day)| day.sum_k_d()).sum();
    *total_k_d += sum_k_d;
    let sown = way == Way::Direct && crop.emergence.is_some();
    Some(MonthSums {
        month,
        days,
        emergence: each()
            .filter(|(day, _)| sown && *day < grows_from)
            .map(|(_, day)| day.emergence)
            .sum(),
        growth_k_d: grown().map(|(_, day)| day.growth_k_d).sum(),
        light_mol_m2_day: mean(|day| day.light_mol_m2_day),
        light_factor: mean(|day| day.light_factor),
        root_factor: mean(|day| day.root_factor),
        sum_k_d,
        total_k_d: *total_k_d,
        air_c: mean(|day| day.air_c),
        root_zone_c: mean(|day| day.root_zone_c),
        leaf_min_c: each()
            .map(|(_, day)| day.leaf_min_c)
            .fold(f64::INFINITY, f64::min),
        cold_margin_k: each()
            .map(|(_, day)| day.leaf_min_c - day.kill_c)
            .fold(f64::INFINITY, f64::min),
        hardening: mean(|day| day.hardening),
        chill_kh: each().map(|(_, day)| day.chill_kh).sum(),
        set: mean(|day| day.set),
        day_length_h: mean(|day| day.day_length_h),
        kg_m2: growth
            .harvests
            .iter()
            .filter(|harvest| (from..to).contains(&harvest.day))
            .fold(0.0, |sum, harvest| sum + harvest.kg_m2),
    })
}
