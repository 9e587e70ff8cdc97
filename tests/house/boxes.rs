//! The published envelope test boxes (ANSI/ASHRAE Standard 140, cases 600, 900 and their free-floating and night-vented
//! forms): input figures as in two open models of the same cases.

use super::shapes::{air, bare, glazed, opaque};
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
    // Pane 3.048 mm, transmittance 0.834: two of them 0.6995 (edition 2020); centre U of 2.72 by ISO films.
    let mut glass = Glazing::from_transmittance("two clear panes", 2, 1.526, 0.6995, 0.74, 2.72)
        .expect("in range");
    glass.long_wave_emissivity = 0.84;
    let mut window = glazed("window", 12.0, 90.0, 180.0, glass);
    window.emissivity_inside = 0.84;
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
    });
    house.cooler = Some(Cooler {
        set_point_c: Schedule::Constant(27.0),
        capacity_w: f64::INFINITY,
    });
    house
}

pub fn night_vented(heavy: bool) -> House {
    let mut house = standard_box(heavy);
    house.air.scheduled_fan = Some(ScheduledFan {
        flow_m3_s: Schedule::between(18, 7, 0.4902, 0.0),
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

#[test]
fn explore_boxes() {
    let Some(sky) = sky::file("USA_CO_Golden-NREL.724666_TMY3.epw") else {
        return;
    };
    for heavy in [false, true] {
        for (name, house) in [
            ("FF", standard_box(heavy)),
            ("NV", night_vented(heavy)),
            ("HC", conditioned(heavy)),
        ] {
            let y = run(&house, &sky);
            let max = y.air_c.iter().cloned().fold(f64::MIN, f64::max);
            let min = y.air_c.iter().cloned().fold(f64::MAX, f64::min);
            let mean = y.air_c.iter().sum::<f64>() / 8760.0;
            let heat = y.heater_w.iter().sum::<f64>() / 1e6;
            let cool = y.cooler_w.iter().sum::<f64>() / 1e6;
            let hp = y.heater_w.iter().cloned().fold(0.0, f64::max) / 1e3;
            let cp = y.cooler_w.iter().cloned().fold(0.0, f64::max) / 1e3;
            let sun = y.sun_entering_w.iter().sum::<f64>() / 1e3 / 12.0;
            println!(
                "heavy {heavy} {name}: max {max:.2} min {min:.2} mean {mean:.2} heat {heat:.3} cool {cool:.3} MWh peaks {hp:.2} {cp:.2} kW sun/m2 {sun:.0} residual {:.2e}",
                y.balance_residual
            );
        }
    }
}
