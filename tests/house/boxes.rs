//! The published envelope test boxes (ANSI/ASHRAE Standard 140, cases 600, 900 and their free-floating and night-vented
//! forms): input figures as in two open models of the same cases.

use super::golden;
use super::shapes::{air, bare, between, glazed, opaque};
use super::sky::{self, Sky};
use bedyear::house::*;
use bedyear::sun::Glazing;

const fn layer(
    thickness_m: f64,
    conductivity_w_mk: f64,
    density_kg_m3: f64,
    heat_capacity_j_kgk: f64,
) -> Layer {
    Layer {
        thickness_m,
        conductivity_w_mk,
        density_kg_m3,
        heat_capacity_j_kgk,
    }
}

const SIDING: Layer = layer(0.009, 0.14, 530.0, 900.0);
const LIGHT_WALL: [Layer; 3] = [
    SIDING,
    layer(0.066, 0.04, 12.0, 840.0),
    layer(0.012, 0.16, 950.0, 840.0),
];
const HEAVY_WALL: [Layer; 3] = [
    SIDING,
    layer(0.0615, 0.04, 10.0, 1400.0),
    layer(0.100, 0.51, 1400.0, 1000.0),
];
const ROOF: [Layer; 3] = [
    layer(0.019, 0.14, 530.0, 900.0),
    layer(0.1118, 0.04, 12.0, 840.0),
    layer(0.010, 0.16, 950.0, 840.0),
];
const LIGHT_FLOOR: [Layer; 2] = [
    layer(1.003, 0.04, 0.0, 0.0),
    layer(0.025, 0.14, 650.0, 1200.0),
];
const HEAVY_FLOOR: [Layer; 2] = [
    layer(1.007, 0.04, 0.0, 0.0),
    layer(0.080, 1.13, 1400.0, 1000.0),
];

/// The south windows.
pub fn standard_window() -> Surface {
    // Pane 3.048 mm, transmittance 0.834: two of them 0.6995 (edition 2020); centre U of 2.72 by ISO films.
    let mut glass =
        Glazing::from_transmittance("two clear panes", 2, 1.526, 0.6995, 2.72).expect("in range");
    glass.long_wave_emissivity = 0.84;
    let mut window = glazed("window", 12.0, 90.0, 180.0, glass);
    window.emissivity_inside = 0.84;
    window
}

fn layered(name: &str, area_m2: f64, tilt_deg: f64, azimuth_deg: f64, layers: &[Layer]) -> Surface {
    let make = Make::Layers(layers.to_vec());
    let mut surface = opaque(name, area_m2, tilt_deg, azimuth_deg, make);
    surface.absorptance_inside = 0.6;
    surface
}

/// A roof of the boxes.
pub fn light_face(name: &str, area_m2: f64, tilt_deg: f64, azimuth_deg: f64) -> Surface {
    layered(name, area_m2, tilt_deg, azimuth_deg, &ROOF)
}

/// A wall, or a floor, of the heavy box.
pub fn heavy_face(name: &str, area_m2: f64, tilt_deg: f64, azimuth_deg: f64) -> Surface {
    if tilt_deg < 180.0 {
        return layered(name, area_m2, tilt_deg, azimuth_deg, &HEAVY_WALL);
    }
    let mut floor = layered(name, area_m2, tilt_deg, azimuth_deg, &HEAVY_FLOOR);
    floor.behind = Behind::ShelteredAir;
    floor
}

/// The box, light or heavy, free-floating.
pub fn standard_box(heavy: bool) -> House {
    let (wall, ground) = if heavy {
        (HEAVY_WALL.to_vec(), HEAVY_FLOOR.to_vec())
    } else {
        (LIGHT_WALL.to_vec(), LIGHT_FLOOR.to_vec())
    };
    let face = |name, area, tilt, azimuth, layers: Vec<Layer>| {
        let mut surface = opaque(name, area, tilt, azimuth, Make::Layers(layers));
        surface.absorptance_inside = 0.6;
        surface
    };
    let mut floor = face("floor", 48.0, 180.0, 0.0, ground);
    floor.behind = Behind::ShelteredAir;
    let window = standard_window();
    let surfaces = vec![
        face("south", 9.6, 90.0, 180.0, wall.clone()),
        face("north", 21.6, 90.0, 0.0, wall.clone()),
        face("east", 16.2, 90.0, 90.0, wall.clone()),
        face("west", 16.2, 90.0, 270.0, wall),
        face("roof", 48.0, 0.0, 180.0, ROOF.to_vec()),
        floor,
        window,
    ];
    let mut house = bare(surfaces, None, air(129.6, 0.5));
    house.inner_film = InnerFilm::RadiantNode;
    house.outer_film = OuterFilm::Wind;
    house.sun_shares.air = 0.0;
    house.gains = vec![Gain {
        name: "equipment".into(),
        heat_w: Schedule::Constant(200.0),
        radiant_share: 0.6,
        energy: EnergySource::Free,
        ..Gain::default()
    }];
    house
}

pub fn conditioned(heavy: bool) -> House {
    let mut house = standard_box(heavy);
    house.heater = Some(Heater {
        set_point_c: Schedule::Constant(20.0),
        capacity_w: f64::INFINITY,
        energy: EnergySource::Free,
        efficiency: 1.0,
        ..Heater::default()
    });
    house.cooler = Some(Cooler {
        set_point_c: Schedule::Constant(27.0),
        capacity_w: f64::INFINITY,
        ..Cooler::default()
    });
    house
}

pub fn night_vented(heavy: bool) -> House {
    let mut house = standard_box(heavy);
    house.air.scheduled_fan = Some(ScheduledFan {
        flow_m3_s: between(18, 7, 0.4902, 0.0),
        power_w_per_m3_s: 0.0,
    });
    house
}

fn run(house: &House, sky: &Sky) -> HouseYear {
    simulate(
        house,
        &sky.weather,
        &sky.sun,
        &sky.ground,
        &RunOptions::default(),
    )
    .expect("runs")
    .settled
}

/// Golden is not Denver: its file's south wall gets 1309 kWh/m2 a year against 1370 published for the standard's weather.
/// The heavy box's cooling is a small difference of large flows, so that this weighs: with the sun of this file 4.7 % and
/// its air 1 K higher the box 900 takes 1.72 MWh of heat and 2.32 of cooling in place of 2.05 and 1.80, and 900FF reaches
/// 43.8 °C in place of 42.2. Nothing in the model was fitted to the bands.
///
/// Published spread of the programs that the standard was tried with, edition 2014 and before, Denver (from memory):
/// not this weather, so they are widened here: a band for plausibility, not a verdict.
struct Band {
    case: &'static str,
    what: &'static str,
    low: f64,
    high: f64,
}

const fn band(case: &'static str, what: &'static str, low: f64, high: f64) -> Band {
    Band {
        case,
        what,
        low,
        high,
    }
}

/// Hottest hour, °C; heating and cooling, MWh a year.
const BANDS: [Band; 8] = [
    band("600FF", "hottest", 62.0, 69.5),
    band("900FF", "hottest", 41.8, 46.0),
    band("650FF", "hottest", 61.0, 68.5),
    band("950FF", "hottest", 35.5, 38.5),
    band("600", "heating", 4.0, 5.7),
    band("900", "heating", 1.2, 2.1),
    band("600", "cooling", 5.0, 8.0),
    band("900", "cooling", 1.8, 3.4),
];
/// How far another year of weather may move a figure out of its band: K, or share of MWh.
const OTHER_WEATHER_K: f64 = 1.0;
const OTHER_WEATHER_SHARE: f64 = 0.05;

fn figure(case: &str, what: &str, sky: &Sky) -> f64 {
    let heavy = case.starts_with('9');
    let house = match case {
        "600" | "900" => conditioned(heavy),
        "650FF" | "950FF" => night_vented(heavy),
        _ => standard_box(heavy),
    };
    let year = run(&house, sky);
    let sum_mwh = |column: &[f64]| column.iter().sum::<f64>() / 1.0e6;
    match what {
        "heating" => sum_mwh(&year.heater_w),
        "cooling" => sum_mwh(&year.cooler_w),
        _ => year.air_c.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    }
}

fn compare(sky: &Sky) {
    for band in BANDS {
        let got = figure(band.case, band.what, sky);
        println!(
            "{} {}: {got:.2}, published {} to {}",
            band.case, band.what, band.low, band.high
        );
        let (low, high) = if band.what == "hottest" {
            (band.low - OTHER_WEATHER_K, band.high + OTHER_WEATHER_K)
        } else {
            (
                band.low * (1.0 - OTHER_WEATHER_SHARE),
                band.high * (1.0 + OTHER_WEATHER_SHARE),
            )
        };
        assert!(
            (low..=high).contains(&got),
            "{} {}: {got}",
            band.case,
            band.what
        );
    }
}

/// The order of the cases, on the typical year of a shelf place (its days are alike, so no extremes to compare).
#[test]
fn the_test_boxes_run_and_keep_their_order() {
    let sky = sky::shelf("golden");
    let of = |case, what| figure(case, what, &sky);
    assert!(of("600FF", "hottest") > of("900FF", "hottest") + 5.0);
    assert!(of("900FF", "hottest") > of("950FF", "hottest") + 3.0);
    assert!(of("600", "heating") > of("900", "heating") + 0.5);
    assert!(of("600", "cooling") > of("900", "cooling") + 0.5);
}

/// The hours of Golden.
#[test]
fn the_test_boxes_on_hours() {
    compare(&golden::hours());
}
