//! Power, heater or fans fail as a cold spell begins: how long leaves and root zone hold out.

use super::climate::settled;
use super::measures::without_store;
use super::{ClimateStudy, Job, StudyError};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, HOURS_PER_YEAR};
use crate::crops::BedDays;
use crate::house::{
    EnergySource, House, HouseRun, HouseYear, Schedule, VentKind, simulate_years_chained,
};
use crate::site::{Weather, Weathers};

/// Hours that are looked ahead, h: two weeks.
pub const HORIZON_H: usize = 14 * HOURS_PER_DAY;
/// Length of the spell whose mean decides which is the coldest, h: three days (own choice).
pub const SPELL_H: usize = 3 * HOURS_PER_DAY;
/// Clock hour of the failure: 18 h, so that a whole night follows (own choice).
pub const ONSET_CLOCK_H: usize = 18;
/// Set points at which nothing starts, °C: the ends of the range that a set point may have.
const NEVER_HEATS_C: f64 = -100.0;
const NEVER_COOLS_C: f64 = 200.0;

/// What fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Fails {
    /// Heater (a burner's fan and ignition need power too), fans, cooler, lamps and electric gains.
    #[default]
    Power,
    /// The heater alone.
    Heater,
    /// The fans alone.
    Fans,
}

impl Fails {
    /// The one thing that fails; none for power, on which much or nothing may hang.
    fn named(self) -> Option<&'static str> {
        match self {
            Self::Power => None,
            Self::Heater => Some("heater"),
            Self::Fans => Some("fan"),
        }
    }
}

/// When it fails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Onset {
    /// Weather year, from 0.
    pub year: usize,
    /// Hour of that year, from 0.
    pub hour: usize,
    /// Mean air outside over the [`SPELL_H`] hours from then on, °C.
    pub spell_mean_c: f64,
    /// Coldest hour outside within [`HORIZON_H`], °C.
    pub coldest_outside_c: f64,
}

/// A temperature that must not be reached.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Crop that it kills; none for a plain temperature.
    pub crop: Option<String>,
    /// The temperature on bare beds, °C.
    pub bare_c: f64,
    /// The temperature in each of the floor's parts, under a cover say, where plants are hardened less, °C.
    pub parts_c: Vec<f64>,
}

/// Hourly temperatures from the onset on, [`HORIZON_H`] of them, °C.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    pub leaf_c: Vec<f64>,
    /// Root zone of bare beds.
    pub root_zone_c: Vec<f64>,
    /// Leaves and root zone of each of the floor's parts.
    pub parts: Vec<[Vec<f64>; 2]>,
}

/// A failure followed for two weeks.
#[derive(Clone, Debug)]
pub struct OutageStudy {
    pub fails: Fails,
    pub onset: Onset,
    /// Plain temperatures first, then the killing temperature of every crop named.
    pub limits: Vec<Limit>,
    pub failed: Course,
    pub working: Course,
    /// Failed, in the same house had it never had a store; none where it has none.
    pub storeless: Option<Course>,
}

/// Plain temperatures that are asked after, °C.
const PLAIN_C: [f64; 2] = [5.0, 0.0];

/// Lets something fail on the evening of `day` (from 0) in the weather year in which the days after it are
/// coldest, or as the coldest spell of all weather years begins, and follows the house for two weeks.
///
/// # Errors
/// [`StudyError::Unknown`] for a crop that there is none of, [`StudyError::NothingToFail`] for a heater or fans that are not there,
/// [`StudyError::House`] as the simulation.
pub fn outage(
    job: &Job,
    study: &ClimateStudy,
    weathers: &Weathers,
    fails: Fails,
    day: Option<usize>,
    crops: &[String],
) -> Result<OutageStudy, StudyError> {
    let usual = Weathers::from(vec![job.site.typical.clone()]);
    let years = match weathers.is_empty() {
        true => &usual,
        false => weathers,
    };
    let onset = onset(years, day).ok_or(StudyError::NoBed)?;
    let own = &job.project.house;
    let broken = failing(own, fails, onset.hour);
    if let (Some(what), true) = (fails.named(), broken == *own) {
        return Err(StudyError::NothingToFail { what });
    }
    let follow = |house: &House, run: &HouseRun| course(job, house, run, years, &onset);
    let storeless = without_store(own).map(|house| {
        let run = settled(job, &house)?;
        follow(&failing(&house, fails, onset.hour), &run)
    });
    Ok(OutageStudy {
        fails,
        limits: limits(job, study, &onset, crops)?,
        failed: follow(&broken, &study.run)?,
        working: follow(own, &study.run)?,
        storeless: storeless.transpose()?,
        onset,
    })
}

/// The coldest evening to fail on; the first of equals.
fn onset(years: &Weathers, day: Option<usize>) -> Option<Onset> {
    let days = match day {
        Some(day) => day..day + 1,
        None => 0..DAYS_PER_YEAR,
    };
    let mut worst: Option<Onset> = None;
    for year in 0..years.len() {
        // The year after follows a spell at the turn of the year; after the last comes the first again.
        let mut outside_c = years.year(year).temp_air_c.clone();
        outside_c.extend(&years.year(year + 1).temp_air_c);
        for day in days.clone() {
            let hour = day * HOURS_PER_DAY + ONSET_CLOCK_H;
            let ahead = |hours: usize| outside_c[hour..hour + hours].iter().copied();
            let spell_mean_c = ahead(SPELL_H).sum::<f64>() / SPELL_H as f64;
            if worst.is_none_or(|worst| spell_mean_c < worst.spell_mean_c) {
                worst = Some(Onset {
                    year,
                    hour,
                    spell_mean_c,
                    coldest_outside_c: ahead(HORIZON_H).fold(f64::INFINITY, f64::min),
                });
            }
        }
    }
    worst
}

/// The house in which something stands still for two weeks from an hour of the year on.
///
/// The same hours fail in the years before and after, which the house has forgotten by then.
fn failing(own: &House, fails: Fails, onset: usize) -> House {
    let mut house = own.clone();
    if fails != Fails::Fans
        && let Some(heater) = &mut house.heater
    {
        heater.set_point_c = overlaid(&heater.set_point_c, onset, NEVER_HEATS_C);
    }
    if fails != Fails::Heater {
        stop_fans(&mut house, onset);
    }
    if fails == Fails::Power {
        stop_rest(&mut house, onset);
    }
    if let Some(beside) = &mut house.beside {
        if let (Some(fan), true) = (&mut beside.fan, fails != Fails::Heater) {
            fan.on = overlaid(&fan.on, onset, 0.0);
        }
        if fails == Fails::Power {
            beside.room = failing(&beside.room, fails, onset);
        }
    }
    house
}

fn stop_fans(house: &mut House, onset: usize) {
    if let Some(store) = &mut house.store {
        store.charge_above_c = overlaid(&store.charge_above_c, onset, NEVER_COOLS_C);
        store.draw_below_c = overlaid(&store.draw_below_c, onset, NEVER_HEATS_C);
    }
    if let Some(fan) = &mut house.air.scheduled_fan {
        fan.flow_m3_s = overlaid(&fan.flow_m3_s, onset, 0.0);
    }
    if let Some(vents) = &mut house.air.vents
        && matches!(vents.kind, VentKind::Fan { .. })
    {
        vents.set_point_c = overlaid(&vents.set_point_c, onset, NEVER_COOLS_C);
        // Without power no fan answers to damp either; before the failure that leaves the air a little damper.
        vents.humidity_pct = None;
    }
}

/// Stops cooler, lamps and electric gains.
fn stop_rest(house: &mut House, onset: usize) {
    if let Some(cooler) = &mut house.cooler {
        cooler.set_point_c = overlaid(&cooler.set_point_c, onset, NEVER_COOLS_C);
    }
    if let Some(lamp) = &mut house.lamp {
        lamp.on = overlaid(&lamp.on, onset, 0.0);
    }
    for gain in &mut house.gains {
        if gain.energy == EnergySource::Electricity {
            gain.heat_w = overlaid(&gain.heat_w, onset, 0.0);
        }
    }
}

fn overlaid(schedule: &Schedule, onset: usize, value: f64) -> Schedule {
    let fails = |hour: usize| (hour + HOURS_PER_YEAR - onset) % HOURS_PER_YEAR < HORIZON_H;
    let at = |hour: usize| match fails(hour) {
        true => value,
        false => schedule.at(hour),
    };
    Schedule::Hourly((0..HOURS_PER_YEAR).map(at).collect())
}

/// The two weeks from the onset on, after a year that warms the soil up and with the year after for a turn of the year.
fn course(
    job: &Job,
    house: &House,
    run: &HouseRun,
    years: &Weathers,
    onset: &Onset,
) -> Result<Course, StudyError> {
    let three: Vec<Weather> = [onset.year + years.len() - 1, onset.year, onset.year + 1]
        .map(|year| years.year(year).into_owned())
        .into();
    let sky = (&job.sun, &job.site.ground);
    let lived = simulate_years_chained(house, &three, sky, run)?;
    let ahead = |column: &dyn Fn(&HouseYear) -> &[f64]| -> Vec<f64> {
        let hours = lived.iter().skip(1).flat_map(column).copied();
        hours.skip(onset.hour).take(HORIZON_H).collect()
    };
    let of_part = |part: usize| {
        let leaf_c = ahead(&|year| &year.parts[part].leaf_c);
        [leaf_c, ahead(&|year| &year.parts[part].root_zone_c)]
    };
    Ok(Course {
        leaf_c: ahead(&|year| &year.leaf_c),
        root_zone_c: ahead(&|year| &year.root_zone_c),
        parts: (0..house.parts.len()).map(of_part).collect(),
    })
}

/// The temperatures asked after: plain ones, and what kills each crop in its hardening on the day.
fn limits(
    job: &Job,
    study: &ClimateStudy,
    onset: &Onset,
    crops: &[String],
) -> Result<Vec<Limit>, StudyError> {
    let climates = super::beds(job, study);
    let parts = job.project.house.parts.len();
    let plain = |bare_c| Limit {
        crop: None,
        bare_c,
        parts_c: vec![bare_c; parts],
    };
    let mut limits: Vec<Limit> = PLAIN_C.map(plain).into();
    for id in crops {
        let unknown = || StudyError::no_crop(&job.table, id);
        let crop = job.table.get(id).ok_or_else(unknown)?;
        let day = onset.hour / HOURS_PER_DAY;
        let kill_c = |at: usize| {
            let bed: &BedDays = climates.get(at)?;
            let today = bed.day(onset.year * DAYS_PER_YEAR + day)?;
            Some(crop.cold.kill_at(today.hardening))
        };
        let bare_c = kill_c(0).unwrap_or(crop.cold.kill_unhardened_c);
        limits.push(Limit {
            crop: Some(crop.id.clone()),
            bare_c,
            parts_c: (1..=parts)
                .map(|climate| kill_c(climate).unwrap_or(bare_c))
                .collect(),
        });
    }
    Ok(limits)
}

/// Hours until a temperature is reached for the first time; none if it is not within the column.
pub fn hours_until(column_c: &[f64], limit_c: f64) -> Option<usize> {
    column_c.iter().position(|temp_c| *temp_c <= limit_c)
}
