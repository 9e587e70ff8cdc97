//! The ends of the earth and the clock, on made-up weather: polar day and night, the southern half, clocks off the hour.

use super::shapes::tunnel;
use super::sky::{Sky, YEAR};
use bedyear::calendar::{HOURS_PER_YEAR, MONTH_START_DAY};
use bedyear::house::*;
use bedyear::site::{UndisturbedGround, Weather};
use bedyear::solar::sun_year;

/// A smooth year: air a cosine over the year (coldest in mid January, or in mid July in the south), beam and diffuse
/// light of a steady clear sky whenever the sun is up, steady wind and humidity.
fn smooth(latitude_deg: f64, longitude_deg: f64, utc_offset_h: f64) -> Sky {
    const MEAN_C: f64 = 5.0;
    const SWING_K: f64 = 15.0;
    const BEAM_W_M2: f64 = 500.0;
    const DIFFUSE_W_M2: f64 = 70.0;
    let sun = sun_year(latitude_deg, longitude_deg, utc_offset_h, YEAR);
    let shift_d = if latitude_deg < 0.0 { 182.5 } else { 0.0 };
    let temp_air_c: Vec<f64> = (0..HOURS_PER_YEAR)
        .map(|hour| {
            let day = hour as f64 / 24.0 - shift_d - 14.0;
            MEAN_C - SWING_K * (std::f64::consts::TAU * day / 365.0).cos()
        })
        .collect();
    let lit = |value: &dyn Fn(f64) -> f64| -> Vec<f64> {
        sun.hours
            .iter()
            .map(|hour| hour.up_share * value(hour.cos_zenith))
            .collect()
    };
    let weather = Weather {
        relative_humidity_pct: vec![60.0; HOURS_PER_YEAR],
        wind_m_s: vec![3.0; HOURS_PER_YEAR],
        ghi_w_m2: lit(&|cos| BEAM_W_M2 * cos + DIFFUSE_W_M2),
        dni_w_m2: lit(&|_| BEAM_W_M2),
        dhi_w_m2: lit(&|_| DIFFUSE_W_M2),
        sky_long_wave_w_m2: temp_air_c
            .iter()
            .map(|temp_c| 0.8 * 5.670_374e-8 * (temp_c + 273.15_f64).powi(4))
            .collect(),
        pressure_pa: vec![101_325.0; HOURS_PER_YEAR],
        ground_reflectance: vec![0.2; HOURS_PER_YEAR],
        snowfall_mm: vec![0.0; HOURS_PER_YEAR],
        temp_air_c,
    };
    Sky {
        ground: UndisturbedGround::from_weather(
            &weather,
            bedyear::site::ground::DIFFUSIVITY_CLAY_OR_SILT_M2_DAY,
        ),
        weather,
        sun,
    }
}

fn settled(house: &House, sky: &Sky, finished_day: usize) -> HouseYear {
    let options = RunOptions {
        finished_day,
        ..RunOptions::default()
    };
    simulate(house, &sky.weather, &sky.sun, &sky.ground, &options)
        .expect("runs, and closes its balance")
        .settled
}

#[test]
fn polar_night_is_dark_and_polar_day_has_no_night() {
    let sky = smooth(78.2, 15.6, 1.0);
    let year = settled(&tunnel(), &sky, 171);
    let day = |month: usize, day: usize| {
        let from = 24 * (MONTH_START_DAY[month] + day - 1);
        &year.light_mol_m2_h[from..from + 24]
    };
    assert_eq!(sky.sun.day_length_h[MONTH_START_DAY[11] + 20], 0.0);
    assert!(day(11, 21).iter().all(|light| *light == 0.0));
    assert_eq!(sky.sun.day_length_h[MONTH_START_DAY[5] + 20], 24.0);
    assert!(day(5, 21).iter().all(|light| *light > 0.0));
    assert!(year.air_c.iter().all(|temp_c| temp_c.is_finite()));
}

/// The same house at the same latitude south, turned to the north, half a year later: its months are those of the north
/// but for the orbit (the sun's declination differs by up to 0.8 degree, its distance does not count under a given beam).
#[test]
fn the_south_is_the_north_half_a_year_later() {
    let north = smooth(45.0, 0.0, 0.0);
    let south = smooth(-45.0, 0.0, 0.0);
    let mut turned = tunnel();
    for surface in &mut turned.surfaces {
        surface.azimuth_deg = (540.0 - surface.azimuth_deg).rem_euclid(360.0);
    }
    let in_north = settled(&tunnel(), &north, 171);
    let in_south = settled(&turned, &south, 354);
    let mean =
        |column: &[f64], from: usize| column[from..from + 24 * 30].iter().sum::<f64>() / 720.0;
    for month in 0..6 {
        let from = 24 * MONTH_START_DAY[month];
        let later = from + 24 * 182;
        let air = mean(&in_north.air_c, from) - mean(&in_south.air_c, later);
        assert!(air.abs() < 0.6, "month {month}: {air} K");
        let light = mean(&in_north.light_mol_m2_h, from) / mean(&in_south.light_mol_m2_h, later);
        assert!((light - 1.0).abs() < 0.06, "month {month}: {light}");
    }
}

/// A clock half an hour or three quarters off the sun's shifts the hours of the day, not the year's sums.
#[test]
fn clocks_off_the_hour_change_no_sums() {
    let sums = |longitude_deg: f64, utc_offset_h: f64| {
        let year = settled(&tunnel(), &smooth(27.7, longitude_deg, utc_offset_h), 171);
        let mean = year.air_c.iter().sum::<f64>() / HOURS_PER_YEAR as f64;
        (mean, year.light_mol_m2_h.iter().sum::<f64>())
    };
    let (temp_c, light) = sums(85.3, 6.0);
    for offset in [5.5, 5.75] {
        let (other_c, other_light) = sums(85.3, offset);
        assert!(
            (other_c - temp_c).abs() < 0.1,
            "{offset}: {other_c}, {temp_c}"
        );
        assert!((other_light / light - 1.0).abs() < 0.005, "{offset}");
    }
}
