//! FAO-56: worked examples and single steps to the printed digit.
//!
//! Source of all: Allen, Pereira, Raes & Smith (1998), FAO Irrigation and Drainage Paper 56. Inputs from memory; values
//! marked `read` were seen in the unit tests of the open library PyETo, others recomputed from the equations.

use bedyear::crops::Water;
use bedyear::profile::BedYear;
use bedyear::value::water::*;

fn near(got: f64, expected: f64, half_digit: f64, what: &str) {
    assert!(
        (got - expected).abs() <= half_digit + 1e-9,
        "{what}: {got}, FAO-56 has {expected}"
    );
}

fn degrees(degrees: f64, minutes: f64) -> f64 {
    (degrees + minutes / 60.0).to_radians()
}

/// Example 18: Uccle (Brussels), 6 July.
#[test]
fn example_18_daily() {
    let day = 187.0;
    let latitude = degrees(50.0, 48.0);
    let wind = wind_at_2m_m_s(10.0 / 3.6, 10.0);
    near(wind, 2.078, 0.001, "wind at 2 m (read)");
    let saturation = mean_saturation_kpa(21.5, 12.3);
    near(saturation, 1.997, 0.0005, "es (read)");
    let vapour = vapour_from_humidity_kpa(21.5, 12.3, 84.0, 63.0);
    near(vapour, 1.409, 0.0005, "ea (read)");
    near(
        bedyear::air::saturation_slope_kpa_k(16.9),
        0.122,
        0.0005,
        "slope (read)",
    );
    near(
        psychrometric_kpa_k(pressure_kpa(100.0)),
        0.0666,
        0.00005,
        "gamma (read)",
    );
    let above = extraterrestrial_mj(latitude, day);
    near(above, 41.09, 0.005, "Ra (read)");
    near(daylight_hours(latitude, day), 16.1, 0.05, "N");
    let solar = solar_from_sunshine_mj(9.25, daylight_hours(latitude, day), above);
    near(solar, 22.07, 0.005, "Rs");
    let clear = clear_sky_mj(100.0, above);
    near(clear, 30.90, 0.005, "Rso (read)");
    let kept = net_short_wave_mj(solar);
    let lost = net_long_wave_mj(21.5, 12.3, vapour, solar, clear);
    near(kept, 17.0, 0.05, "Rns");
    near(lost, 3.71, 0.005, "Rnl");
    near(kept - lost, 13.28, 0.005, "Rn (read)");
    let reference = reference_mm(&Day {
        max_c: 21.5,
        min_c: 12.3,
        vapour_kpa: vapour,
        wind_2m_m_s: wind,
        net_radiation_mj: kept - lost,
        soil_heat_mj: 0.0,
        pressure_kpa: pressure_kpa(100.0),
    });
    near(reference, 3.88, 0.005, "ETo (from memory; 3.9 read)");
}

/// Example 17: Bangkok, April.
#[test]
fn example_17_monthly() {
    let (latitude, day) = (degrees(13.0, 44.0), 105.0);
    near((34.8 + 25.6) / 2.0, 30.2, 0.0, "mean (read)");
    near(mean_saturation_kpa(34.8, 25.6), 4.42, 0.005, "es (read)");
    near(
        bedyear::air::saturation_slope_kpa_k(30.2),
        0.246,
        0.0005,
        "slope (read)",
    );
    // The book goes on from its printed pressure.
    near(pressure_kpa(2.0), 101.3, 0.05, "P (from memory)");
    near(psychrometric_kpa_k(101.3), 0.0674, 0.00005, "gamma (read)");
    let above = extraterrestrial_mj(latitude, day);
    near(above, 38.06, 0.005, "Ra");
    near(daylight_hours(latitude, day), 12.31, 0.005, "N");
    let solar = solar_from_sunshine_mj(8.5, daylight_hours(latitude, day), above);
    near(solar, 22.65, 0.005, "Rs");
    let clear = clear_sky_mj(2.0, above);
    near(clear, 28.54, 0.01, "Rso");
    let net = net_short_wave_mj(solar) - net_long_wave_mj(34.8, 25.6, 2.85, solar, clear);
    near(net, 14.33, 0.005, "Rn (read)");
    let soil = soil_heat_month_mj(30.2, 29.2);
    near(soil, 0.14, 0.005, "G (read)");
    let reference = reference_mm(&Day {
        max_c: 34.8,
        min_c: 25.6,
        vapour_kpa: 2.85,
        wind_2m_m_s: 2.0,
        net_radiation_mj: net,
        soil_heat_mj: soil,
        pressure_kpa: pressure_kpa(2.0),
    });
    near(reference, 5.72, 0.005, "ETo (read)");
}

/// Example 20: Lyon, July, with missing data: dew point taken as the lowest temperature, wind 2 m/s.
#[test]
fn example_20_missing_data() {
    let latitude = degrees(45.0, 43.0);
    let above = extraterrestrial_mj(latitude, 196.0);
    near(above, 40.6, 0.05, "Ra");
    let solar = solar_from_temperature_mj(0.16, 26.6, 14.8, 40.55);
    near(solar, 22.29, 0.005, "Rs");
    near(pressure_kpa(200.0), 98.96, 0.01, "P (read)");
    let vapour = bedyear::air::saturation_vapour_pressure_kpa(14.8);
    let clear = clear_sky_mj(200.0, above);
    let reference = reference_mm(&Day {
        max_c: 26.6,
        min_c: 14.8,
        vapour_kpa: vapour,
        wind_2m_m_s: 2.0,
        net_radiation_mj: net_short_wave_mj(solar)
            - net_long_wave_mj(26.6, 14.8, vapour, solar, clear),
        soil_heat_mj: 0.0,
        pressure_kpa: pressure_kpa(200.0),
    });
    near(reference, 4.56, 0.005, "ETo (from memory)");
    near(
        hargreaves_mm(26.6, 14.8, 40.6),
        5.0,
        0.05,
        "Hargreaves (from memory)",
    );
}

/// Examples 2 to 15, one step each (all read).
#[test]
fn single_steps() {
    near(pressure_kpa(1800.0), 81.8, 0.05, "ex. 2, P");
    near(psychrometric_kpa_k(81.8), 0.054, 0.0005, "ex. 2, gamma");
    near(mean_saturation_kpa(24.5, 15.0), 2.39, 0.005, "ex. 3, es");
    near(
        vapour_from_psychrometer_kpa(25.6, 19.5, 87.9),
        1.91,
        0.005,
        "ex. 4, ea",
    );
    near(
        vapour_from_humidity_kpa(25.0, 18.0, 82.0, 54.0),
        1.70,
        0.005,
        "ex. 5, ea",
    );
    near(
        vapour_from_mean_humidity_kpa(25.0, 18.0, 68.0),
        1.78,
        0.005,
        "ex. 5, ea of the mean",
    );
    let (latitude, day) = (degrees(-20.0, 0.0), 246.0);
    near(declination_rad(day), 0.120, 0.0005, "ex. 8, declination");
    near(
        sunset_angle_rad(latitude, day),
        1.527,
        0.0005,
        "ex. 8, sunset",
    );
    near(inverse_distance(day), 0.985, 0.0005, "ex. 8, distance");
    near(extraterrestrial_mj(latitude, day), 32.2, 0.05, "ex. 8, Ra");
    near(daylight_hours(latitude, day), 11.7, 0.05, "ex. 9, N");
    near(
        solar_from_sunshine_mj(7.1, 10.9, 25.1),
        14.45,
        0.005,
        "ex. 10, Rs",
    );
    near(
        net_long_wave_mj(25.1, 19.1, 2.1, 14.5, 18.8),
        3.5,
        0.05,
        "ex. 11, Rnl",
    );
    near(net_short_wave_mj(14.5), 11.1, 0.1, "ex. 12, Rns");
    near(wind_at_2m_m_s(3.2, 10.0), 2.4, 0.05, "ex. 14, wind");
    near(
        solar_from_temperature_mj(0.16, 26.6, 14.8, 40.6),
        22.3,
        0.05,
        "ex. 15, Rs",
    );
}

fn bed(air_c: f64, humidity_pct: f64, light_mol: f64) -> BedYear {
    BedYear {
        leaf_c: vec![air_c; 8760],
        air_c: vec![air_c; 8760],
        root_zone_c: vec![air_c; 8760],
        relative_humidity_pct: vec![humidity_pct; 8760],
        light_mol_m2_day: vec![light_mol; 365],
    }
}

/// Winter greens under 1 to 3 MJ/m2 a day cannot use more than net radiation evaporates, 0.77 Rs / 2.45 (FAO-56 box 1:
/// 2.45 MJ/kg): 0.3 to 0.9 L/m2, in damp air.
#[test]
fn a_winter_day_inside_needs_little() {
    for sun_mj in [1.0, 3.0] {
        let days = inside_days(&bed(8.0, 95.0, sun_mj * MOL_PER_MJ_SUN), 101.3);
        let ceiling = 0.77 * sun_mj / 2.45;
        assert!(
            days[0].reference_mm > 0.3 * ceiling && days[0].reference_mm < ceiling,
            "{}",
            days[0].reference_mm
        );
    }
}

/// Full-grown tomatoes use 2.5 to 7 L/m2 a day on dull to hot bright days (North American greenhouse guides, from
/// memory); coefficients of FAO-56, table 12.
#[test]
fn a_summer_day_inside_needs_what_growers_give() {
    let days = inside_days(&bed(26.0, 65.0, 40.0), 101.3);
    let tomato = Water {
        kc_ini: 0.6,
        kc_mid: 1.15,
        kc_end: 0.8,
        height_m: 0.6,
    };
    let air = CropAir {
        wind_2m_m_s: WIND_INSIDE_M_S,
        lowest_humidity_pct: 65.0,
    };
    let kc = stages("tomato").unwrap().coefficient(&tomato, 0.6, &air);
    let litres = kc * days[0].reference_mm;
    assert!((2.5..7.0).contains(&litres), "{litres}");
}

#[test]
fn water_of_a_crop_over_the_turn_of_the_year() {
    let days = inside_days(&bed(10.0, 80.0, 8.0), 101.3);
    let crop = Standing {
        food: "spinach".to_owned(),
        water: Water {
            kc_ini: 0.7,
            kc_mid: 1.0,
            kc_end: 0.95,
            height_m: 0.3,
        },
        first_day: 350,
        days: 40,
        area_m2: 2.0,
    };
    let months = crop_water_l(&days, &[crop]);
    assert!(months[11] > 0.0 && months[0] > 0.0);
    assert_eq!(months[1..11].iter().sum::<f64>(), 0.0);
    assert_eq!(crop_water_l(&[], &[]), [0.0; 12]);
}
