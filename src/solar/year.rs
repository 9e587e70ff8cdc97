//! The sun of a whole model year, hour by hour and day by day.

use super::RISE_SET_ELEVATION_DEG;
use super::position::{Angles, Sky, sin_geocentric, wrap_deg};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, HOURS_PER_YEAR};

/// The sun in one clock hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SunHour {
    /// Part of the hour with the sun's upper limb above a level horizon, 0 to 1.
    pub up_share: f64,
    /// Elevation as seen (with refraction) at the middle of the sun-up part of the hour, degrees; -90 in hours
    /// without sun.
    pub elevation_deg: f64,
    /// Direction from north through east at that moment, 0 to 360 degrees; 0 in hours without sun.
    pub azimuth_deg: f64,
    /// Cosine of the apparent zenith angle at that moment, 0 to 1; 0 in hours without sun.
    pub cos_zenith: f64,
    /// Irradiance outside the atmosphere on a face turned to the sun, W/m2 (mean of the sun-up part; also given
    /// in hours without sun).
    pub extraterrestrial_normal_w_m2: f64,
    /// Unit vector to the apparent sun: east, north, up. Zero in hours without sun.
    pub direction: [f64; 3],
    /// Relative air mass at the elevation; 0 in hours without sun.
    pub air_mass: f64,
}

impl SunHour {
    /// Irradiance outside the atmosphere on the horizontal, mean of the hour, W/m2.
    pub fn outside_w_m2(&self) -> f64 {
        self.up_share * self.cos_zenith * self.extraterrestrial_normal_w_m2
    }
}

/// The sun of a model year at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct SunYear {
    /// 8760 clock hours, local standard time.
    pub hours: Vec<SunHour>,
    /// Day length, h, 365 days: 24 in the polar day, 0 in the polar night.
    pub day_length_h: Vec<f64>,
    /// Sunrise, clock hours of the day (local standard time); may lie below 0 where clock and sun disagree.
    /// In the polar day 12 h before noon, in the polar night at noon.
    pub sunrise_h: Vec<f64>,
    /// Sunset, clock hours of the day; may lie beyond 24. Equals sunrise plus day length.
    pub sunset_h: Vec<f64>,
}

/// The sun of model year `year` at a place: hourly position and daily rise and set.
///
/// `latitude_deg` -90 to 90, north positive; `longitude_deg` -180 to 180, east positive; `utc_offset_h` local
/// standard time minus UTC in hours; `year` -499 to 2999. Arguments outside are brought to the nearest valid
/// value (validate them where data enters).
///
/// # Method
/// Hour angle and declination come from the crate `solar-positioning` once a day (Grena 2012 from 2011 to 2109,
/// else Reda & Andreas 2004) and run linearly between; their curvature within a day is below 0.001 degree.
/// A day's sun rises and sets at a true elevation of -0.8333 degree.
pub fn sun_year(latitude_deg: f64, longitude_deg: f64, utc_offset_h: f64, year: i32) -> SunYear {
    let sky = Sky::new(latitude_deg, longitude_deg, utc_offset_h, year);
    let course = Course::new(&sky);
    // One day more at each end: far from the clock's own meridian a day's sun shines over midnight.
    let all: Vec<Daylight> = (-1..=DAYS_PER_YEAR as i32)
        .map(|day| course.daylight(f64::from(day)))
        .collect();
    let mut year = SunYear {
        hours: hours(&course, &all),
        day_length_h: Vec::with_capacity(DAYS_PER_YEAR),
        sunrise_h: Vec::with_capacity(DAYS_PER_YEAR),
        sunset_h: Vec::with_capacity(DAYS_PER_YEAR),
    };
    for (index, day) in all[1..=DAYS_PER_YEAR].iter().enumerate() {
        let rise_h = day.rise_h - (index * HOURS_PER_DAY) as f64;
        year.day_length_h.push(day.length_h());
        year.sunrise_h.push(rise_h);
        year.sunset_h.push(rise_h + day.length_h());
    }
    year
}

/// Sunrise and sunset in hours since the year's first midnight.
#[derive(Clone, Copy, Debug)]
struct Daylight {
    rise_h: f64,
    set_h: f64,
}

impl Daylight {
    /// From one midnight sun to the next it may be half a minute more than a day, which counts as a day.
    fn length_h(&self) -> f64 {
        (self.set_h - self.rise_h).clamp(0.0, HOURS_PER_DAY as f64)
    }
}

/// Hour angle and declination at the start and the end of each day of the year.
struct Course<'a> {
    sky: &'a Sky,
    days: Vec<(Angles, Angles)>,
    mean_noon_h: f64,
    /// Sine of the elevation, seen from the earth's centre, at sunrise and sunset.
    sin_rise: f64,
}

impl<'a> Course<'a> {
    fn new(sky: &'a Sky) -> Self {
        let mut days = Vec::with_capacity(DAYS_PER_YEAR);
        let mut last: Option<(f64, Angles)> = None;
        for day in 0..DAYS_PER_YEAR {
            let date = sky.julian_date_of_day(day);
            // A day's end is the next one's start, but for 28 February of a leap year.
            let start = match last {
                Some((end_date, angles)) if end_date == date => angles,
                _ => sky.angles(date),
            };
            let end = sky.angles(date + 1.0);
            days.push((start, end));
            last = Some((date + 1.0, end));
        }
        Self {
            sky,
            days,
            mean_noon_h: sky.mean_noon_h(),
            sin_rise: sin_geocentric(RISE_SET_ELEVATION_DEG),
        }
    }

    /// Angles at `hour` hours since the year's first midnight; runs on beyond both ends.
    fn at(&self, hour: f64) -> Angles {
        let day = ((hour / HOURS_PER_DAY as f64).floor().max(0.0) as usize).min(DAYS_PER_YEAR - 1);
        let share = hour / HOURS_PER_DAY as f64 - day as f64;
        let (start, end) = self.days[day];
        let turn = 360.0 + wrap_deg(end.hour_angle_deg - start.hour_angle_deg);
        Angles {
            hour_angle_deg: start.hour_angle_deg + share * turn,
            declination_deg: start.declination_deg
                + share * (end.declination_deg - start.declination_deg),
            extraterrestrial_normal_w_m2: start.extraterrestrial_normal_w_m2,
        }
    }

    /// Sine of the elevation above that at sunrise.
    fn height(&self, hour: f64) -> f64 {
        let at = self.at(hour);
        self.sky
            .sin_elevation(at.hour_angle_deg, at.declination_deg)
            - self.sin_rise
    }

    /// The moment near `hour` when the hour angle is `target_deg` (0 noon, 180 midnight).
    fn moment_of(&self, hour: f64, target_deg: f64) -> f64 {
        let mut moment = hour;
        for _ in 0..3 {
            let off = wrap_deg(target_deg - self.at(moment).hour_angle_deg);
            moment += off / 15.0;
        }
        moment
    }

    fn daylight(&self, day: f64) -> Daylight {
        let noon = self.moment_of(day * HOURS_PER_DAY as f64 + self.mean_noon_h, 0.0);
        let before = self.moment_of(noon - 12.0, -180.0);
        let after = self.moment_of(noon + 12.0, 180.0);
        let at_noon = self.height(noon);
        Daylight {
            rise_h: self.crossing(noon, before, at_noon),
            set_h: self.crossing(noon, after, at_noon),
        }
    }

    /// Where the sun crosses the horizon between noon and a midnight; the midnight itself if it never sets, noon
    /// if it never rises.
    fn crossing(&self, noon: f64, midnight: f64, at_noon: f64) -> f64 {
        let at_midnight = self.height(midnight);
        if at_noon <= 0.0 && at_midnight <= 0.0 {
            return noon;
        }
        if at_noon > 0.0 && at_midnight > 0.0 {
            return midnight;
        }
        let height = |hour| self.height(hour);
        root(height, noon, midnight, at_noon, at_midnight)
    }
}

/// Root of `f` between `a` and `b`, where it has opposite signs, to 0.1 s in hours (false position, Illinois rule).
fn root(f: impl Fn(f64) -> f64, mut a: f64, mut b: f64, mut fa: f64, mut fb: f64) -> f64 {
    const TOLERANCE_H: f64 = 0.1 / 3600.0;
    const STEPS: usize = 60;
    let mut last = a;
    for _ in 0..STEPS {
        let next = (a * fb - b * fa) / (fb - fa);
        let value = f(next);
        if (next - last).abs() < TOLERANCE_H || value == 0.0 {
            return next;
        }
        last = next;
        if (value > 0.0) == (fb > 0.0) {
            fa *= 0.5;
        } else {
            (a, fa) = (b, fb);
        }
        (b, fb) = (next, value);
    }
    last
}

/// Hourly positions from the daily courses; an hour may see the end of one day's sun and the start of the next.
fn hours(course: &Course, days: &[Daylight]) -> Vec<SunHour> {
    let mut hours = Vec::with_capacity(HOURS_PER_YEAR);
    let mut next = 0;
    for hour in 0..HOURS_PER_YEAR {
        let (start, end) = (hour as f64, hour as f64 + 1.0);
        while days.get(next).is_some_and(|day| day.set_h <= start) {
            next += 1;
        }
        let mut up_h = 0.0;
        let mut moment = 0.0;
        for day in days[next.min(days.len())..].iter().take(2) {
            let (from, to) = (day.rise_h.max(start), day.set_h.min(end));
            if to > from {
                up_h += to - from;
                moment += (to - from) * 0.5 * (from + to);
            }
        }
        let middle = if up_h > 0.0 {
            moment / up_h
        } else {
            start + 0.5
        };
        hours.push(sun_hour(course, middle, up_h.min(1.0)));
    }
    hours
}

fn sun_hour(course: &Course, middle: f64, up_share: f64) -> SunHour {
    let at = course.at(middle);
    if up_share <= 0.0 {
        return SunHour {
            elevation_deg: -90.0,
            extraterrestrial_normal_w_m2: at.extraterrestrial_normal_w_m2,
            ..SunHour::default()
        };
    }
    course.sky.hour(&at, up_share)
}
