//! Do the solar columns fit the sun? Where their stamps are off in time, the closure shows it.

use crate::calendar::{HOURS_PER_YEAR, month_of_hour};
use crate::site::weather::{ANY_YEAR, Place, Weather};
use crate::solar::SunYear;

/// Step of the offsets tried, h.
const STEP_H: f64 = 0.25;
/// Largest offset tried, h.
const MOST_H: f64 = 1.5;
/// Hours count from this direct normal irradiance on, W/m2: with less the closure says nothing.
const SUNNY_W_M2: f64 = 100.0;
/// Hours count from this elevation of the sun on, degrees.
const LEAST_ELEVATION_DEG: f64 = 5.0;
/// Offsets are told only where they better the closure to less than this share of the file's own.
const CLEARLY_BETTER: f64 = 0.6;
/// And only where the file's own closure is worse than this, W/m2.
const WORTH_TELLING_W_M2: f64 = 8.0;
/// Sunny hours needed to judge a year or a month.
const LEAST_HOURS: usize = 20;

/// Mean closure of GHI = DNI cos z + DHI over sunny hours, and the offset that betters it.
#[derive(Clone, Debug, PartialEq)]
pub struct StampCheck {
    /// Closure with the sun at the middle of each hour, W/m2.
    pub closure_w_m2: f64,
    /// Offset of the sun with the smallest closure, h, in quarter hours; 0 where the stamps are right.
    pub offset_h: f64,
    /// Closure at that offset, W/m2.
    pub best_closure_w_m2: f64,
    /// Months (0 to 11) that fit that offset better than none.
    pub months_off: Vec<usize>,
}

impl StampCheck {
    /// Whether the stamps are clearly off.
    pub fn is_off(&self) -> bool {
        self.offset_h != 0.0
            && self.closure_w_m2 > WORTH_TELLING_W_M2
            && self.best_closure_w_m2 < CLEARLY_BETTER * self.closure_w_m2
    }
}

/// Tries the sun earlier and later by quarter hours; nothing where too few hours are sunny.
pub fn check_stamps(place: &Place, weather: &Weather) -> Option<StampCheck> {
    let steps = (MOST_H / STEP_H) as i32;
    let tried: Vec<(f64, Closure)> = (-steps..=steps)
        .map(|step| {
            let offset = f64::from(step) * STEP_H;
            // A clock that is `offset` behind shows the sun that much later in the same hour.
            let clock = Place {
                utc_offset_h: place.utc_offset_h - offset,
                ..place.clone()
            };
            (offset, Closure::of(&clock.sun(ANY_YEAR), weather))
        })
        .collect();
    let (_, own) = tried.iter().find(|(offset, _)| *offset == 0.0)?;
    let closure_w_m2 = own.year()?;
    let mut best = (0.0, closure_w_m2, own);
    for (offset, closure) in &tried {
        if let Some(mean) = closure.year().filter(|mean| *mean < best.1) {
            best = (*offset, mean, closure);
        }
    }
    let months_off = (0..12)
        .filter(|&month| match (best.2.month(month), own.month(month)) {
            (Some(better), Some(worse)) => better < CLEARLY_BETTER * worse,
            _ => false,
        })
        .collect();
    Some(StampCheck {
        closure_w_m2,
        offset_h: best.0,
        best_closure_w_m2: best.1,
        months_off,
    })
}

/// Sums of the absolute closure by month.
#[derive(Default)]
struct Closure {
    sum_w_m2: [f64; 12],
    hours: [usize; 12],
}

impl Closure {
    fn of(sun: &SunYear, weather: &Weather) -> Self {
        let mut closure = Self::default();
        for hour in 0..HOURS_PER_YEAR {
            let at = &sun.hours[hour];
            let direct = weather.dni_w_m2[hour];
            if direct < SUNNY_W_M2 || at.elevation_deg < LEAST_ELEVATION_DEG {
                continue;
            }
            let made = direct * at.cos_zenith + weather.dhi_w_m2[hour];
            let month = month_of_hour(hour);
            closure.sum_w_m2[month] += (weather.ghi_w_m2[hour] - made).abs();
            closure.hours[month] += 1;
        }
        closure
    }

    fn year(&self) -> Option<f64> {
        let hours: usize = self.hours.iter().sum();
        (hours >= LEAST_HOURS).then(|| self.sum_w_m2.iter().sum::<f64>() / hours as f64)
    }

    fn month(&self, month: usize) -> Option<f64> {
        (self.hours[month] >= LEAST_HOURS).then(|| self.sum_w_m2[month] / self.hours[month] as f64)
    }
}
