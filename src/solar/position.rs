//! The sun's position at one instant, and once a day for a whole year.

use std::ops::RangeInclusive;

use solar_positioning::{Location, PreparedPositions, SolarPositions, delta_t, time::JulianDate};

use super::{SOLAR_CONSTANT_W_M2, SunHour};

/// Hours in a day.
const HOURS_PER_DAY: f64 = 24.0;
/// Julian date of 1 January 2000, 12 h UT.
const J2000: f64 = 2_451_545.0;
/// Years in which the short algorithm (Grena 2012) holds within 0.01 degree, with a year's margin.
const SHORT_ALGORITHM_YEARS: RangeInclusive<i32> = 2011..=2109;
/// Years for which the difference between clock and ephemeris time is known or estimated.
const YEARS: RangeInclusive<i32> = -499..=2999;
/// Difference between ephemeris and universal time where no estimate exists, s (about the year 2020).
const DELTA_T_S: f64 = 69.0;
/// Horizontal parallax of the sun, degrees (8.794 arc seconds).
const PARALLAX_DEG: f64 = 8.794 / 3600.0;

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Elevation of the centre without refraction, degrees.
    pub true_elevation_deg: f64,
    /// Elevation of the centre as seen, with refraction, degrees.
    pub elevation_deg: f64,
    /// Direction from north through east, 0 to 360 degrees.
    pub azimuth_deg: f64,
    /// Irradiance outside the atmosphere on a face turned to the sun, W/m2.
    pub extraterrestrial_normal_w_m2: f64,
}

/// Sun position at one instant, `hour_h` hours (may lie outside 0 to 24) after 0 h local standard time of day
/// `day` (from 0) of the model year `year`.
///
/// Arguments as in [`super::sun_year`]; refraction for 1013.25 hPa and 12 °C.
///
/// # Source
/// Reda & Andreas (2004) or, from 2011 to 2109, Grena (2012), both through the crate `solar-positioning`.
pub fn position(
    latitude_deg: f64,
    longitude_deg: f64,
    utc_offset_h: f64,
    year: i32,
    day: usize,
    hour_h: f64,
) -> SunPosition {
    let sky = Sky::new(latitude_deg, longitude_deg, utc_offset_h, year);
    let hour_h = if hour_h.is_finite() { hour_h } else { 0.0 };
    let start = sky.julian_date_of_day(day);
    let at = sky.angles(start + hour_h / HOURS_PER_DAY);
    sky.position(&at)
}

/// Refraction, degrees, at 1013.25 hPa and 12 °C, by true elevation in degrees; none below the sunrise elevation.
///
/// # Source
/// Formula of the solar position algorithm (Reda & Andreas 2004, eq. 42).
pub fn refraction_deg(true_elevation_deg: f64) -> f64 {
    const PRESSURE_HPA: f64 = 1013.25;
    const TEMP_K: f64 = 273.0 + 12.0;
    if true_elevation_deg < super::RISE_SET_ELEVATION_DEG {
        return 0.0;
    }
    let phase = true_elevation_deg + 10.3 / (true_elevation_deg + 5.11);
    (PRESSURE_HPA / 1010.0) * (283.0 / TEMP_K) * 1.02 / (60.0 * phase.to_radians().tan())
}

/// A place, a year and the algorithm that serves it.
pub(super) struct Sky {
    pub sin_latitude: f64,
    pub cos_latitude: f64,
    longitude_deg: f64,
    utc_offset_h: f64,
    year: i32,
    delta_t_s: f64,
    algorithm: SolarPositions,
}

/// The sun's hour angle and declination at one instant.
#[derive(Clone, Copy, Debug)]
pub(super) struct Angles {
    /// Degrees west of the upper transit, -180 to 180.
    pub hour_angle_deg: f64,
    pub declination_deg: f64,
    pub extraterrestrial_normal_w_m2: f64,
}

impl Sky {
    /// Brings every argument into its range; a value that is no number becomes 0.
    pub fn new(latitude_deg: f64, longitude_deg: f64, utc_offset_h: f64, year: i32) -> Self {
        let finite = |value: f64| if value.is_finite() { value } else { 0.0 };
        let year = year.clamp(*YEARS.start(), *YEARS.end());
        let algorithm = if SHORT_ALGORITHM_YEARS.contains(&year) {
            SolarPositions::grena3()
        } else {
            SolarPositions::new()
        };
        let latitude = finite(latitude_deg).clamp(-90.0, 90.0).to_radians();
        Self {
            sin_latitude: latitude.sin(),
            cos_latitude: latitude.cos(),
            longitude_deg: wrap_deg(finite(longitude_deg)),
            utc_offset_h: finite(utc_offset_h).clamp(-24.0, 24.0),
            year,
            delta_t_s: delta_t::estimate(f64::from(year) + 0.5).unwrap_or(DELTA_T_S),
            algorithm,
        }
    }

    /// Clock hour of local mean noon, 0 to 24.
    pub fn mean_noon_h(&self) -> f64 {
        (12.0 - self.longitude_deg / 15.0 + self.utc_offset_h).rem_euclid(HOURS_PER_DAY)
    }

    /// Julian date of 0 h local standard time of a day of the model year.
    pub fn julian_date_of_day(&self, day: usize) -> f64 {
        /// Julian date of 0 h UT of the day before 1 January of the year 1.
        const DAY_ZERO: f64 = 1_721_424.5;
        let date = crate::calendar::date_of_day(self.year, day);
        f64::from(chrono::Datelike::num_days_from_ce(&date)) + DAY_ZERO
            - self.utc_offset_h / HOURS_PER_DAY
    }

    /// Hour angle and declination at a Julian date (UT).
    pub fn angles(&self, julian_date: f64) -> Angles {
        let (hour_angle_deg, declination_deg) = JulianDate::new(julian_date, self.delta_t_s)
            .and_then(|date| self.algorithm.for_time_from_julian(date))
            .map_or((0.0, 0.0), |sun| {
                (self.hour_angle_deg(&sun), sun.declination())
            });
        Angles {
            hour_angle_deg,
            declination_deg,
            extraterrestrial_normal_w_m2: extraterrestrial_normal_w_m2(julian_date),
        }
    }

    /// Hour angle: seen from the pole the sun's bearing is its hour angle, so the crate's sidereal time serves.
    fn hour_angle_deg(&self, sun: &PreparedPositions) -> f64 {
        let pole = Location {
            latitude: 90.0,
            longitude: self.longitude_deg,
        };
        sun.at(pole, 0.0, None)
            .map_or(0.0, |seen| wrap_deg(seen.azimuth() - 180.0))
    }

    pub fn position(&self, at: &Angles) -> SunPosition {
        let direction = self.direction(at.hour_angle_deg, at.declination_deg);
        let true_elevation_deg = true_elevation_deg(direction[2]);
        SunPosition {
            true_elevation_deg,
            elevation_deg: true_elevation_deg + refraction_deg(true_elevation_deg),
            azimuth_deg: azimuth_deg(direction),
            extraterrestrial_normal_w_m2: at.extraterrestrial_normal_w_m2,
        }
    }

    /// The sun at one moment as it stands for an hour with `up_share` of sun.
    pub fn hour(&self, at: &Angles, up_share: f64) -> SunHour {
        let [east, north, up] = self.direction(at.hour_angle_deg, at.declination_deg);
        let true_deg = true_elevation_deg(up);
        let elevation_deg = true_deg + refraction_deg(true_deg);
        let (sin_elevation, cos_elevation) = elevation_deg.to_radians().sin_cos();
        let level = (east * east + north * north).sqrt();
        let lift = if level > 0.0 {
            cos_elevation / level
        } else {
            0.0
        };
        SunHour {
            up_share,
            elevation_deg,
            azimuth_deg: azimuth_deg([east, north, up]),
            cos_zenith: sin_elevation.max(0.0),
            extraterrestrial_normal_w_m2: at.extraterrestrial_normal_w_m2,
            direction: [east * lift, north * lift, sin_elevation],
            air_mass: air_mass(elevation_deg),
        }
    }

    /// Sine of the elevation of the sun's centre, without refraction and parallax.
    pub fn sin_elevation(&self, hour_angle_deg: f64, declination_deg: f64) -> f64 {
        self.direction(hour_angle_deg, declination_deg)[2]
    }

    /// Unit vector (east, north, up) to the sun's centre, without refraction and parallax.
    pub fn direction(&self, hour_angle_deg: f64, declination_deg: f64) -> [f64; 3] {
        let (sin_hour, cos_hour) = hour_angle_deg.to_radians().sin_cos();
        let (sin_dec, cos_dec) = declination_deg.to_radians().sin_cos();
        [
            -cos_dec * sin_hour,
            sin_dec * self.cos_latitude - cos_dec * cos_hour * self.sin_latitude,
            self.sin_latitude * sin_dec + self.cos_latitude * cos_dec * cos_hour,
        ]
    }
}

/// Elevation seen from the earth's surface (with parallax), degrees, from the sine of the geocentric one.
fn true_elevation_deg(sin_elevation: f64) -> f64 {
    let sine = sin_elevation.clamp(-1.0, 1.0);
    sine.asin().to_degrees() - PARALLAX_DEG * (1.0 - sine * sine).sqrt()
}

/// Sine of the elevation seen from the earth's centre, of a sun near the horizon at a true elevation.
pub(super) fn sin_geocentric(true_elevation_deg: f64) -> f64 {
    let parallax = PARALLAX_DEG * true_elevation_deg.to_radians().cos();
    (true_elevation_deg + parallax).to_radians().sin()
}

/// Direction from north through east, 0 to 360 degrees.
fn azimuth_deg(direction: [f64; 3]) -> f64 {
    let azimuth = direction[0].atan2(direction[1]).to_degrees();
    if azimuth < 0.0 {
        azimuth + 360.0
    } else {
        azimuth
    }
}

/// Irradiance outside the atmosphere on a face turned to the sun, W/m2.
///
/// Earth-sun distance by the short series of the Astronomical Almanac (from memory), within 0.0001 au.
fn extraterrestrial_normal_w_m2(julian_date: f64) -> f64 {
    let anomaly = (357.528 + 0.985_600_3 * (julian_date - J2000)).to_radians();
    let distance_au = 1.000_14 - 0.016_71 * anomaly.cos() - 0.000_14 * (2.0 * anomaly).cos();
    SOLAR_CONSTANT_W_M2 / (distance_au * distance_au)
}

/// An angle brought to -180 (inclusive) to 180 (exclusive) degrees.
pub(super) fn wrap_deg(angle_deg: f64) -> f64 {
    (angle_deg + 180.0).rem_euclid(360.0) - 180.0
}

/// Relative air mass at an apparent elevation in degrees (below 0 that of the horizon).
///
/// # Source
/// Kasten & Young (1989), Applied Optics 28:4735-4738.
pub fn air_mass(elevation_deg: f64) -> f64 {
    let elevation = elevation_deg.max(0.0);
    1.0 / (elevation.to_radians().sin() + 0.505_72 * (elevation + 6.079_95).powf(-1.6364))
}
