//! The sun and its light against published and independently computed values.
//!
//! Figures come from `tests/reference/sun_*.csv`; each row carries its source.

use bedyear::site::Weather;
use bedyear::solar::{self, SunYear, sun_year};
use bedyear::sun::{Outlook, Plane};
use chrono::{DateTime, Datelike, Timelike, Utc};
use proptest::prelude::*;
use sky_year::{Light, one_hour, plane_year};

#[path = "sun/bed.rs"]
mod bed;
#[path = "sun/glass.rs"]
mod glass;
#[path = "sun/horizon.rs"]
mod horizon;
#[path = "sun/shade.rs"]
mod shade;
#[path = "made/sky_year.rs"]
mod sky_year;
#[path = "sun/year.rs"]
mod year;

type Row = std::collections::HashMap<String, String>;

fn rows(table: &'static str) -> Vec<Row> {
    csv::Reader::from_reader(table.as_bytes())
        .deserialize()
        .map(|row| row.unwrap())
        .collect()
}

fn number(row: &Row, column: &str) -> f64 {
    row[column]
        .parse()
        .unwrap_or_else(|_| panic!("{column}: `{}`", row[column]))
}

/// Day of the model year and hour of day of a time stamp in UTC.
fn instant(stamp: &str) -> (i32, usize, f64) {
    let time: DateTime<Utc> = stamp.parse().unwrap();
    let seconds = f64::from(time.num_seconds_from_midnight());
    let day = bedyear::calendar::day_of_date(time.date_naive());
    (time.year(), day, seconds / 3600.0)
}

fn position(row: &Row) -> solar::SunPosition {
    let (year, day, hour) = instant(&row["time_utc"]);
    solar::position(
        number(row, "latitude_deg"),
        number(row, "longitude_deg"),
        0.0,
        year,
        day,
        hour,
    )
}

/// A moment as the sun of a whole hour.
fn hour_of(sun: &solar::SunPosition) -> solar::SunHour {
    let (sin_elevation, cos_elevation) = sun.elevation_deg.to_radians().sin_cos();
    let (sin_azimuth, cos_azimuth) = sun.azimuth_deg.to_radians().sin_cos();
    let up = sun.true_elevation_deg > solar::RISE_SET_ELEVATION_DEG;
    solar::SunHour {
        up_share: if up { 1.0 } else { 0.0 },
        elevation_deg: sun.elevation_deg,
        azimuth_deg: sun.azimuth_deg,
        cos_zenith: sin_elevation.max(0.0),
        extraterrestrial_normal_w_m2: sun.extraterrestrial_normal_w_m2,
        direction: [
            cos_elevation * sin_azimuth,
            cos_elevation * cos_azimuth,
            sin_elevation,
        ],
        air_mass: solar::air_mass(sun.elevation_deg),
    }
}

fn angle_between(a: f64, b: f64) -> f64 {
    ((a - b + 180.0).rem_euclid(360.0) - 180.0).abs()
}

const TILTED: &str = include_str!("reference/sun_position_tilted.csv");

#[test]
fn position_at_forty_places_and_times() {
    for row in rows(TILTED) {
        let sun = position(&row);
        let case = format!("{} at {}", row["time_utc"], row["latitude_deg"]);
        let expected = number(&row, "true_elevation_deg");
        assert!(
            (sun.true_elevation_deg - expected).abs() < 0.01,
            "{case}: {sun:?}"
        );
        let expected = number(&row, "apparent_elevation_deg");
        assert!(
            (sun.elevation_deg - expected).abs() < 0.02,
            "{case}: {sun:?}, {expected}"
        );
        let off = angle_between(sun.azimuth_deg, number(&row, "azimuth_deg_from_north"));
        assert!(off * expected.to_radians().cos() < 0.02, "{case}: {sun:?}");
        let expected = number(&row, "extraterrestrial_normal_w_m2");
        assert!(
            (sun.extraterrestrial_normal_w_m2 / expected - 1.0).abs() < 5e-4,
            "{case}"
        );
    }
}

#[test]
fn irradiance_on_slopes_at_forty_places_and_times() {
    let mut checked = 0;
    for row in rows(TILTED) {
        if number(&row, "apparent_elevation_deg") <= 0.0 {
            continue;
        }
        let sun = hour_of(&position(&row));
        let mass = solar::air_mass(sun.elevation_deg);
        let expected = number(&row, "relative_airmass");
        assert!(
            (mass / expected - 1.0).abs() < 3e-3,
            "air mass {mass}, {expected}"
        );
        let light = Light {
            dni_w_m2: number(&row, "dni_w_m2"),
            dhi_w_m2: number(&row, "dhi_w_m2"),
            ghi_w_m2: number(&row, "ghi_w_m2"),
            ground_reflectance: 0.2,
        };
        for tilt in [30, 60, 90] {
            let plane = Plane {
                tilt_deg: f64::from(tilt),
                azimuth_deg: number(&row, "surface_azimuth_deg"),
            };
            let on = one_hour(plane, &Outlook::default(), sun, &light);
            let expected = |part: &str| number(&row, &format!("tilt{tilt}_{part}_w_m2"));
            let total = on.beam_w_m2 + on.diffuse_w_m2();
            let whole = expected("beam") + expected("ground") + expected("sky_perez");
            let case = format!(
                "tilt {tilt}, {} at {}",
                row["time_utc"], row["latitude_deg"]
            );
            // 1 %, and 0.1 W/m2 for the rounding of the table at low light.
            assert!(
                (total - whole).abs() <= 0.01 * whole + 0.1,
                "{case}: {total}, {whole}"
            );
            checked += 1;
        }
    }
    assert!(checked > 100, "{checked}");
}

#[test]
fn erbs_diffuse_share() {
    for row in rows(include_str!("reference/sun_erbs.csv")) {
        let got = solar::erbs_diffuse_fraction(number(&row, "kt"));
        assert!(
            (got - number(&row, "diffuse_fraction")).abs() < 1e-3,
            "{row:?}: {got}"
        );
    }
}

/// A year of clear and cloudy weather whose parts agree: GHI = DNI cos z + DHI.
pub fn weather_for(sun: &SunYear) -> Weather {
    let mut weather = Weather {
        temp_air_c: vec![5.0; 8760],
        relative_humidity_pct: vec![70.0; 8760],
        wind_m_s: vec![2.0; 8760],
        ghi_w_m2: vec![],
        dni_w_m2: vec![],
        dhi_w_m2: vec![],
        sky_long_wave_w_m2: vec![270.0; 8760],
        pressure_pa: vec![98_000.0; 8760],
        ground_reflectance: vec![0.2; 8760],
        snowfall_mm: vec![0.0; 8760],
    };
    for (hour, sun) in sun.hours.iter().enumerate() {
        let kt = 0.1 + 0.65 * ((hour / 24 * 7919 % 100) as f64 / 100.0);
        let ghi = kt * sun.extraterrestrial_normal_w_m2 * sun.cos_zenith * sun.up_share;
        let share = if sun.elevation_deg < 3.0 {
            1.0
        } else {
            solar::erbs_diffuse_fraction(kt)
        };
        weather.ghi_w_m2.push(ghi);
        weather.dhi_w_m2.push(share * ghi);
        weather.dni_w_m2.push(if sun.cos_zenith > 0.0 {
            (1.0 - share) * ghi / sun.cos_zenith
        } else {
            0.0
        });
    }
    weather
}

#[test]
fn a_level_face_gets_the_global_irradiance() {
    let sun = sun_year(52.0, 13.0, 1.0, 2025);
    let weather = weather_for(&sun);
    {
        let year = plane_year(&weather, &sun, Plane::LEVEL, None);
        let (mut sum, mut given) = (0.0, 0.0);
        for hour in 0..8760 {
            let (got, expected) = (year.total_w_m2(hour), weather.ghi_w_m2[hour]);
            // Below 5 degrees the light round the sun is held down by the model's own guard.
            if sun.hours[hour].elevation_deg > 5.0 {
                assert!(
                    (got - expected).abs() < 1e-9 * expected.max(1.0),
                    "hour {hour}: {got}, {expected}"
                );
            }
            sum += got;
            given += expected;
        }
        assert!((sum / given - 1.0).abs() < 2e-3, "{sum}, {given}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_face_gets_less_than_nothing(
        latitude in -90.0..90.0f64, hour in 0.0..24.0f64, day in 0usize..365,
        dni in 0.0..1300.0f64, dhi in 0.0..700.0f64, tilt in 0.0..180.0f64, azimuth in 0.0..360.0f64,
    ) {
        let sun = hour_of(&solar::position(latitude, 0.0, 0.0, 2025, day, hour));
        let light = Light {
            dni_w_m2: dni,
            dhi_w_m2: dhi,
            ghi_w_m2: dni * sun.cos_zenith + dhi,
            ground_reflectance: 0.3,
        };
        let plane = Plane { tilt_deg: tilt, azimuth_deg: azimuth };
        let on = one_hour(plane, &Outlook::default(), sun, &light);
        for part in [on.beam_w_m2, on.sky_w_m2, on.circumsolar_w_m2, on.ground_w_m2] {
            prop_assert!(part >= 0.0 && part.is_finite());
        }
        prop_assert!(on.beam_w_m2 <= dni * (1.0 + 1e-12));
    }

    #[test]
    fn a_year_of_sun_never_breaks(
        latitude in -100.0..100.0f64, longitude in -400.0..400.0f64, offset in -15.0..15.0f64, year in -3000i32..5000,
    ) {
        let table = sun_year(latitude, longitude, offset, year);
        prop_assert_eq!(table.hours.len(), 8760);
        prop_assert_eq!(table.day_length_h.len(), 365);
        for (rise, set) in table.sunrise_h.iter().zip(&table.sunset_h) {
            prop_assert!(rise <= set && set - rise <= 24.0 + 1e-9);
        }
        for hour in &table.hours {
            prop_assert!((0.0..=1.0).contains(&hour.up_share) && (0.0..=1.0).contains(&hour.cos_zenith));
        }
    }
}

#[test]
fn values_that_are_no_numbers_do_not_break_the_year() {
    let table = sun_year(f64::NAN, f64::INFINITY, f64::NAN, i32::MIN);
    assert_eq!(table.hours.len(), 8760);
}
