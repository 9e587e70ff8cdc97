//! One sowing through one year.

use super::picking::WEEK;
use super::stand::Stand;
use super::{Cause, Crop, Hardiness, Loss, Prepared, Way, picking};
use crate::calendar::DAYS_PER_YEAR;

/// What is sown, when and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Sowing {
    /// Day of sowing (in tray or bed), from 0 = 1 January of the sowing year.
    pub day: usize,
    /// In the bed or in a tray.
    pub way: Way,
}

/// A picking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Harvest {
    /// Day, from 1 January of the sowing year.
    pub day: usize,
    /// Fresh mass, kg/m2 of bed.
    pub kg_m2: f64,
}

/// What happened to a planting, for the grower to check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventKind {
    /// Seed sown.
    Sown,
    /// Seedlings up.
    Emerged,
    /// Set out in the bed.
    SetOut,
    /// Bulbs begin to fill.
    Bulbs,
    /// Ready to pick.
    Ready,
    /// Ready for the next cut.
    CutAgain,
    /// Called to flower.
    Vernalized,
    /// Picking stopped: nothing ripens.
    Pause,
    /// Picking resumes.
    Resumes,
    /// Frost on the leaves, damage begins.
    FrostDamage,
    /// Lost; see [`Growth::loss`].
    Lost,
    /// Bed cleared.
    Cleared,
}

/// A dated event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Event {
    /// Day, from 1 January of the sowing year.
    pub day: usize,
    /// What happened.
    pub kind: EventKind,
}

/// What became of one sowing. All days count from 1 January of the sowing year and may pass 365.
#[derive(Clone, Debug, PartialEq)]
pub struct Growth {
    /// First day the bed is taken: sowing day, or the day of setting out for a tray.
    pub bed_from_day: usize,
    /// Seedlings up.
    pub emergence_day: Option<usize>,
    /// Share of a full stand that came up, 0 to 1 (1 for trays, whose gaps are filled before setting out).
    pub stand_share: f64,
    /// Set out, if raised in a tray.
    pub transplant_day: Option<usize>,
    /// First day it could be picked.
    pub ready_day: Option<usize>,
    /// Pickings, in order.
    pub harvests: Vec<Harvest>,
    /// Day of the last picking.
    pub last_harvest_day: Option<usize>,
    /// First day the bed is free again.
    pub clear_day: usize,
    /// What killed, spoiled or delayed it for good; pickings made before it count.
    pub loss: Option<Loss>,
    /// Dated events, in order.
    pub events: Vec<Event>,
}

impl Growth {
    /// All pickings together, kg/m2.
    pub fn kg_m2(&self) -> f64 {
        self.harvests
            .iter()
            .fold(0.0, |sum, harvest| sum + harvest.kg_m2)
    }

    /// True if anything was picked.
    pub fn bears(&self) -> bool {
        !self.harvests.is_empty()
    }

    pub(super) fn note(&mut self, day: usize, kind: EventKind) {
        self.events.push(Event { day, kind });
    }

    pub(super) fn pick(&mut self, day: usize, kg_m2: f64) {
        let kg_m2 = kg_m2 * self.stand_share;
        self.harvests.push(Harvest { day, kg_m2 });
        self.last_harvest_day = Some(day);
    }
}

/// A seed that is not up after so many days is taken for lost (common practice, no source).
const LONGEST_EMERGENCE_DAYS: usize = 100;
/// The same for the seed of a tender crop, which rots in cold soil (common practice, no source; the slowest of the tabulated
/// days is 43, tomato at 10 °C).
const LONGEST_TENDER_EMERGENCE_DAYS: usize = 45;
/// Days of root zone that are looked at before setting out.
const SETTING_OUT_DAYS: usize = 5;

/// Follows one sowing.
///
/// `year` is the weather year of the sowing, from 0; years past the last wrap round. Growth is the daily sum of
/// growing degrees times the light and root-zone factors; nothing is switched off by date or day length except
/// what day length truly triggers (bulbs, flowering).
pub fn grow(crop: &Crop, prepared: &Prepared, year: usize, sowing: Sowing) -> Growth {
    let mut growth = Growth {
        bed_from_day: sowing.day,
        emergence_day: None,
        stand_share: 1.0,
        transplant_day: None,
        ready_day: None,
        harvests: Vec::new(),
        last_harvest_day: None,
        clear_day: sowing.day + 1,
        loss: None,
        events: vec![Event {
            day: sowing.day,
            kind: EventKind::Sown,
        }],
    };
    let started = in_season(crop, prepared, sowing).and_then(|()| match sowing.way {
        Way::Direct => emerge(crop, prepared, year, sowing.day, &mut growth),
        Way::Tray => set_out(crop, prepared, year, sowing.day, &mut growth),
    });
    let ended = started.and_then(|from_day| {
        let stand = Stand::new(crop, prepared, year, from_day, sowing.way);
        picking::run(stand, &mut growth)
    });
    if let Err(loss) = ended {
        growth.note(loss.day, EventKind::Lost);
        growth.clear_day = loss.day + 1;
        growth.loss = Some(loss);
    } else if let Some(last) = growth.last_harvest_day {
        growth.clear_day = last + 1;
    }
    let clear_day = growth.clear_day;
    growth.note(clear_day, EventKind::Cleared);
    growth.events.sort_by_key(|event| event.day);
    growth
}

/// Refuses what is not planted in the season of the sowing.
fn in_season(crop: &Crop, prepared: &Prepared, sowing: Sowing) -> Result<(), Loss> {
    let (Some(season), Some(shortest)) = (crop.planting_weeks, prepared.shortest_day) else {
        return Ok(());
    };
    let since = (sowing.day + DAYS_PER_YEAR - shortest) % DAYS_PER_YEAR;
    let weeks = since as f64 / WEEK as f64;
    let cause = Cause::NotAtHand;
    if weeks < season.low {
        Err(Loss::below(sowing.day, cause, weeks, season.low, "weeks"))
    } else if weeks > season.high {
        Err(Loss::above(sowing.day, cause, weeks, season.high, "weeks"))
    } else {
        Ok(())
    }
}

/// Seed in the bed: the day seedlings are up.
fn emerge(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    sown: usize,
    growth: &mut Growth,
) -> Result<usize, Loss> {
    let (mut progress, mut sound) = (0.0, 0.0);
    let rots = crop.hardiness == Hardiness::Tender && crop.planting_weeks.is_none();
    let longest = if rots {
        LONGEST_TENDER_EMERGENCE_DAYS
    } else {
        LONGEST_EMERGENCE_DAYS
    };
    let last = sown + longest;
    for day in sown..last {
        progress += prepared.day(year, day).emergence;
        sound += prepared.day(year, day).seedlings;
        if progress >= 1.0 {
            // Thinning takes what is too many; what is too few stays a gap.
            let plants = sound / progress * crop.spacing.seeds_per_plant;
            growth.stand_share = plants.min(1.0);
            growth.emergence_day = Some(day + 1);
            growth.note(day + 1, EventKind::Emerged);
            return Ok(day + 1);
        }
    }
    let found = prepared.mean_to(year, last, longest, |day| day.root_zone_c);
    let needed = crop
        .emergence
        .as_ref()
        .map_or(found, |curve| curve.coldest_within(longest as f64));
    let limit = crop
        .emergence
        .as_ref()
        .map_or(f64::INFINITY, |curve| curve.none_above_c);
    Err(if found > needed {
        Loss::above(last, Cause::RootZoneHot, found, limit, "°C")
    } else {
        Loss::below(last, Cause::RootZoneCold, found, needed, "°C")
    })
}

/// Temperature of trays indoors, °C (common practice, no source).
pub(super) const TRAY_C: f64 = 20.0;

/// Tray indoors: the day the plants are set out, if the root zone is warm enough by then.
fn set_out(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    sown: usize,
    growth: &mut Growth,
) -> Result<usize, Loss> {
    let days_up = crop.days_up(TRAY_C);
    if days_up > 0 {
        growth.emergence_day = Some(sown + days_up);
        growth.note(sown + days_up, EventKind::Emerged);
    }
    let day = sown + crop.tray_days();
    growth.bed_from_day = day;
    growth.transplant_day = Some(day);
    growth.note(day, EventKind::SetOut);
    let found = prepared.mean_to(year, day, SETTING_OUT_DAYS, |day| day.root_zone_c);
    match crop.root_zone_min_c {
        Some(needed) if found < needed => {
            Err(Loss::below(day, Cause::RootZoneCold, found, needed, "°C"))
        }
        _ => Ok(day),
    }
}
