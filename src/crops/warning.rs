//! What does not end a crop but should be known: damp, frozen and singed leaves, nitrate, pollination.

use super::{Crop, Growth, Habit, Pollinator, Prepared};

/// What to watch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WarningKind {
    /// Air over 90 % humid for many days: grey mould and mildew.
    Damp,
    /// Leaves frozen all day: no cutting before they thaw.
    Frozen,
    /// Nights below the temperature at which damage to the eaten part begins.
    Singed,
    /// Leaves picked in low light may be high in nitrate.
    Nitrate,
    /// Flowers need pollinating.
    Pollination,
    /// Days shorter than growers expect growth in.
    ShortDays,
}

impl WarningKind {
    /// The warning in a grower's words; `days` of it are named beside.
    pub fn words(self) -> &'static str {
        match self {
            WarningKind::Damp => "damp air: watch for mould, air the house on dry days",
            WarningKind::Frozen => "leaves frozen all day: wait for the thaw before cutting",
            WarningKind::Singed => "frost singes the part that is eaten",
            WarningKind::Nitrate => "picked in low light: leaves may be high in nitrate",
            WarningKind::Pollination => {
                "pollinate by hand while the house is closed, or keep bumblebees"
            }
            WarningKind::ShortDays => "days too short for much growth",
        }
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
    let in_bed = growth.bed_from_day..growth.clear_day;
    let ready = growth.ready_day.unwrap_or(growth.clear_day);
    let day = |day: usize| prepared.bed_day(year, day);
    let damp: Vec<usize> = in_bed
        .clone()
        .filter(|&at| day(at).humidity_pct > DAMP_PCT)
        .collect();
    let frozen: Vec<usize> = (ready..growth.clear_day)
        .filter(|&at| !day(at).thaws)
        .collect();
    let singed: Vec<usize> = crop.cold.damage_from_c.map_or(Vec::new(), |from| {
        (ready..growth.clear_day)
            .filter(|&at| day(at).leaf_min_c < from)
            .collect()
    });
    let dim: Vec<usize> = growth
        .harvests
        .iter()
        .map(|harvest| harvest.day)
        .filter(|&at| crop.nitrate && day(at).light_mol_m2_day < NITRATE_MOL_M2_DAY)
        .collect();
    let flowering: Vec<usize> = if crop.flower.set_share(Pollinator::None) < 1.0
        && crop.habit == Habit::Fruit
        && growth.bears()
    {
        (ready.saturating_sub(crop.timing.set_to_ripe_days.unwrap_or(0.0) as usize)
            ..growth.clear_day)
            .collect()
    } else {
        Vec::new()
    };
    let short: Vec<usize> = crop.light.warning_day_length_h.map_or(Vec::new(), |least| {
        in_bed.filter(|&at| day(at).day_length_h < least).collect()
    });
    [
        (WarningKind::Damp, damp, DAMP_DAYS),
        (WarningKind::Frozen, frozen, 1),
        (WarningKind::Singed, singed, 1),
        (WarningKind::Nitrate, dim, 1),
        (WarningKind::Pollination, flowering, 1),
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
