//! The sun's course: worked example, day lengths, the year against single instants.

use super::{angle_between, number, rows};
use bedyear::solar::{self, sun_year};
use bedyear::sun::Plane;
use chrono::{DateTime, Datelike, NaiveDate, Utc};

/// Reda & Andreas (2004), worked example: 17 October 2003, 12:30:30, UTC-7, Golden (inputs and results as in the table of
/// the report, read second-hand). The example stands at 820 hPa and 11 °C, so its refraction is smaller by 0.004 degree.
#[test]
fn worked_example_of_the_position_algorithm() {
    let day = bedyear::calendar::day_of_date(NaiveDate::from_ymd_opt(2003, 10, 17).unwrap());
    let hour = 12.0 + 30.0 / 60.0 + 30.0 / 3600.0;
    let sun = solar::position(39.742476, -105.1786, -7.0, 2003, day, hour);
    assert!(
        (sun.true_elevation_deg - 39.872046).abs() < 0.0005,
        "{sun:?}"
    );
    assert!((sun.elevation_deg - 39.888378).abs() < 0.005, "{sun:?}");
    assert!((sun.azimuth_deg - 194.340241).abs() < 0.0005, "{sun:?}");
    // Radius 0.996542 au.
    let expected = solar::SOLAR_CONSTANT_W_M2 / 0.996542_f64.powi(2);
    assert!((sun.extraterrestrial_normal_w_m2 - expected).abs() < 0.3);
    // Sunrise 06:12:43, sunset 17:20:19: the report works by day in universal time, in which the sunset of the 17th is
    // that of the evening of the 16th in Golden.
    let year = sun_year(39.742476, -105.1786, -7.0, 2003);
    let minutes = |h: f64| h * 60.0;
    assert!((minutes(year.sunrise_h[day]) - (6.0 * 60.0 + 12.0 + 43.0 / 60.0)).abs() < 0.2);
    println!(
        "{:?}",
        (
            minutes(year.sunset_h[day - 1]),
            minutes(year.sunrise_h[day])
        )
    );
    assert!((minutes(year.sunset_h[day - 1]) - (17.0 * 60.0 + 20.0 + 19.0 / 60.0)).abs() < 0.2);
    // Incidence on a slope of 30 degrees that faces 170 degrees from north: 25.187 degrees.
    let plane = Plane {
        tilt_deg: 30.0,
        azimuth_deg: 170.0,
    };
    let n = plane.normal();
    let s = super::hour_of(&sun).direction;
    let incidence = (n[0] * s[0] + n[1] * s[1] + n[2] * s[2])
        .acos()
        .to_degrees();
    assert!((incidence - 25.187).abs() < 0.006, "{incidence}");
}

/// Sunrise, sunset and day length of the local day, clock at UTC.
#[test]
fn day_length_within_a_minute() {
    for row in rows(include_str!("../reference/sun_day_length.csv")) {
        let date: NaiveDate = row["local_date"].parse().unwrap();
        let day = bedyear::calendar::day_of_date(date);
        let offset = (number(&row, "longitude_deg") / 15.0).round();
        let year = sun_year(
            number(&row, "latitude_deg"),
            number(&row, "longitude_deg"),
            offset,
            date.year(),
        );
        let minutes = year.day_length_h[day] * 60.0;
        let expected = number(&row, "day_length_min");
        assert!((minutes - expected).abs() < 1.0, "{row:?}: {minutes}");
        for (column, got) in [
            ("sunrise_utc", year.sunrise_h[day]),
            ("sunset_utc", year.sunset_h[day]),
        ] {
            if row[column].is_empty() {
                continue;
            }
            let time: DateTime<Utc> = row[column].parse().unwrap();
            let midnight = date.and_hms_opt(0, 0, 0).unwrap().and_utc();
            let expected = (time - midnight).num_seconds() as f64 / 3600.0 + offset;
            assert!(
                (got - expected).abs() * 60.0 < 1.0,
                "{row:?}: {got}, {expected}"
            );
        }
    }
}

/// FAO-56, examples 8 and 9: latitude 20 south, 3 September: 32.2 MJ/m2 outside the atmosphere (solar constant 1367 W/m2), 11.67 h (sunset angle 1.527) of daylight (from
/// centre to centre without refraction, so a day of the upper limb is 0.12 h longer).
#[test]
fn a_day_of_the_sun_outside_the_atmosphere() {
    let year = sun_year(-20.0, 0.0, 0.0, 2025);
    let day = 245;
    let sum: f64 = year.hours[day * 24..(day + 1) * 24]
        .iter()
        .map(|hour| hour.extraterrestrial_normal_w_m2 * hour.cos_zenith * hour.up_share * 0.0036)
        .sum();
    assert!(
        (sum * 1367.0 / solar::SOLAR_CONSTANT_W_M2 - 32.2).abs() < 0.25,
        "{sum} MJ/m2"
    );
    assert!((year.day_length_h[day] - 0.12 - 11.67).abs() < 0.05);
}

#[test]
fn polar_day_and_night() {
    let year = sun_year(70.0, 25.0, 1.0, 2025);
    assert_eq!(year.day_length_h[171], 24.0);
    assert_eq!(year.day_length_h[354], 0.0);
    assert!(
        year.hours[171 * 24..172 * 24]
            .iter()
            .all(|hour| (hour.up_share - 1.0).abs() < 1e-9)
    );
    assert!(
        year.hours[354 * 24..355 * 24]
            .iter()
            .all(|hour| hour.up_share == 0.0)
    );
    let mut last = year.day_length_h[0];
    for day in &year.day_length_h {
        assert!((0.0..=24.0).contains(day) && (day - last).abs() < 4.0);
        last = *day;
    }
}

/// The hourly table and the single instant are one sun, in ordinary, leap and far years and odd clocks.
#[test]
fn the_year_and_the_instant_agree() {
    for (latitude, longitude, offset, year) in [
        (50.0, 5.0, 1.0, 2025),
        (-33.4, -70.7, -4.0, 2028),
        (64.0, 170.0, -11.0, 1985),
        (0.0, 0.0, 8.0, 2300),
    ] {
        let table = sun_year(latitude, longitude, offset, year);
        for (hour, sun) in table.hours.iter().enumerate() {
            if sun.up_share == 1.0 {
                let at = solar::position(
                    latitude,
                    longitude,
                    offset,
                    year,
                    hour / 24,
                    (hour % 24) as f64 + 0.5,
                );
                let case = format!("{year}, hour {hour}");
                assert!(
                    (at.elevation_deg - sun.elevation_deg).abs() < 0.005,
                    "{case}: {at:?} {sun:?}"
                );
                let off = angle_between(at.azimuth_deg, sun.azimuth_deg)
                    * at.elevation_deg.to_radians().cos();
                assert!(off < 0.005, "{case}: {at:?} {sun:?}");
            }
        }
        let hours: f64 = table.hours.iter().map(|hour| hour.up_share).sum();
        let days: f64 = table.day_length_h.iter().sum();
        assert!(
            (hours - days).abs() < 3.0,
            "{year}: {hours} h in hours, {days} h in days"
        );
    }
}

/// Grena's and NREL's algorithm meet within 0.01 degree where both are valid.
#[test]
fn short_and_long_algorithm_meet() {
    // 2110 takes the long one, 2109 the short one; the same moment of a tropical year apart.
    let short = solar::position(45.0, 10.0, 1.0, 2109, 364, 24.0);
    let long = solar::position(45.0, 10.0, 1.0, 2110, 0, 0.0);
    assert!(
        (short.true_elevation_deg - long.true_elevation_deg).abs() < 0.01,
        "{short:?} {long:?}"
    );
    assert!(
        angle_between(short.azimuth_deg, long.azimuth_deg) < 0.02,
        "{short:?} {long:?}"
    );
}
