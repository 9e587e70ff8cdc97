//! What does not end a crop but should be known: damp, frozen and singed leaves, nitrate, pollination.

use super::{BedDay, Crop, Growth, Habit, Pollinator, Prepared};
use crate::words::worded;

worded! {
    /// What to watch, in a grower's words; `days` of it are named beside.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum WarningKind {
        /// Air over 90 % humid for many days: grey mould and mildew.
        "damp air: watch for mould, air the house on dry days" => Damp,
        /// Leaves frozen all day: no cutting before they thaw.
        "leaves frozen all day: wait for the thaw before cutting" => Frozen,
        /// Nights below the temperature at which damage to the eaten part begins.
        "frost singes the part that is eaten" => Singed,
        /// Leaves picked in low light may be high in nitrate.
        "picked in low light: leaves may be high in nitrate" => Nitrate,
        /// Flowers need pollinating.
        "pollinate by hand while the house is closed, or keep bumblebees" => Pollination,
        /// Days shorter than growers expect growth in.
        "days too short for much growth" => ShortDays,
    }
}

/// A warning for one planting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warning {
    /// What to watch.
    pub kind: WarningKind,
    /// First day of it, from 1 January of the sowing year.
    pub from_day: usize,
    /// Last day of it.
    pub to_day: usize,
    /// Days on which it holds.
    pub days: usize,
}

/// Mean humidity above which leaves stay wet, % (common practice, no source).
const DAMP_PCT: f64 = 90.0;
/// Days of damp that are worth a warning (own choice, no source).
const DAMP_DAYS: usize = 14;
/// Daily light below which winter leaves gather nitrate, mol/m2/day (assumption: the months October to March for
/// which EU Regulation 1258/2011 sets higher limits in northern Europe bring less than about this under cover).
const NITRATE_MOL_M2_DAY: f64 = 6.0;

/// The warnings that apply to what became of a sowing, in the order of [`WarningKind`].
pub fn warnings(crop: &Crop, prepared: &Prepared, year: usize, growth: &Growth) -> Vec<Warning> {
    let clear = growth.clear_day;
    let ready = growth.ready_day.unwrap_or(clear);
    let day = |day: usize| prepared.bed_day(year, day);
    let days = |from: usize, holds: &dyn Fn(&BedDay) -> bool| -> Vec<usize> {
        (from..clear).filter(|&at| holds(&day(at))).collect()
    };
    let damp = days(growth.bed_from_day, &|day| day.humidity_pct > DAMP_PCT);
    let frozen = days(ready, &|day| !day.thaws);
    let damage_from_c = crop.cold.damage_from_c.unwrap_or(f64::NEG_INFINITY);
    let singed = days(ready, &|day| day.leaf_min_c < damage_from_c);
    let least_h = crop.light.warning_day_length_h.unwrap_or(0.0);
    let short = days(growth.bed_from_day, &|day| day.day_length_h < least_h);
    let picked = growth.harvests.iter().map(|harvest| harvest.day);
    let dim: Vec<usize> = picked
        .filter(|&at| crop.nitrate && day(at).light_mol_m2_day < NITRATE_MOL_M2_DAY)
        .collect();
    let needs_pollen = crop.flower.set_share(Pollinator::None) < 1.0
        && crop.habit == Habit::Fruit
        && growth.bears();
    let to_ripe = crop.timing.set_to_ripe_days.unwrap_or(0.0) as usize;
    let flowering = (ready.saturating_sub(to_ripe)..clear).filter(|_| needs_pollen);
    [
        (WarningKind::Damp, damp, DAMP_DAYS),
        (WarningKind::Frozen, frozen, 1),
        (WarningKind::Singed, singed, 1),
        (WarningKind::Nitrate, dim, 1),
        (WarningKind::Pollination, flowering.collect(), 1),
        (WarningKind::ShortDays, short, 1),
    ]
    .into_iter()
    .filter(|(_, days, least)| days.len() >= *least)
    .filter_map(|(kind, days, _)| {
        Some(Warning {
            kind,
            from_day: *days.first()?,
            to_day: *days.last()?,
            days: days.len(),
        })
    })
    .collect()
}
