//! Buildings for the tests.

use bedyear::house::*;
use bedyear::sun::{Glazing, Outlook};

/// A figure for the hours of the day from `from` to `to` (over midnight when `to` is not after `from`), another for the rest.
pub fn between(from: usize, to: usize, inside: f64, outside: f64) -> Schedule {
    let within = |hour: usize| match from < to {
        true => (from..to).contains(&hour),
        false => hour >= from || hour < to,
    };
    Schedule::Daily(std::array::from_fn(|hour| {
        if within(hour) { inside } else { outside }
    }))
}

pub fn opaque(name: &str, area_m2: f64, tilt_deg: f64, azimuth_deg: f64, make: Make) -> Surface {
    Surface {
        name: name.into(),
        area_m2,
        tilt_deg,
        azimuth_deg,
        make,
        behind: Behind::Outdoor,
        kind: SurfaceKind::Opaque {
            absorptance_outside: 0.6,
            emissivity_outside: 0.9,
        },
        emissivity_inside: 0.9,
        absorptance_inside: 0.5,
        outlook: Outlook::default(),
    }
}

pub fn glazed(
    name: &str,
    area_m2: f64,
    tilt_deg: f64,
    azimuth_deg: f64,
    glazing: Glazing,
) -> Surface {
    Surface {
        name: name.into(),
        area_m2,
        tilt_deg,
        azimuth_deg,
        make: Make::AirToAir {
            u_w_m2k: glazing.u_w_m2k,
            inner_capacity_j_m2k: 0.0,
        },
        behind: Behind::Outdoor,
        kind: SurfaceKind::Glazed(GlazedFace {
            long_wave_transmittance: glazing.long_wave_transmittance,
            long_wave_wet: glazing.long_wave_transmittance,
            emissivity_outside: glazing.long_wave_emissivity,
            glazing,
            curtain: None,
        }),
        emissivity_inside: 0.9,
        absorptance_inside: 0.0,
        outlook: Outlook::default(),
    }
}

pub fn u(u_w_m2k: f64) -> Make {
    Make::AirToAir {
        u_w_m2k,
        inner_capacity_j_m2k: 0.0,
    }
}

pub fn clay() -> Soil {
    Soil {
        conductivity_w_mk: 1.5,
        heat_capacity_j_m3k: 3.0e6,
        water_m3_m3: 0.2,
        ..Soil::default()
    }
}

pub fn floor(area_m2: f64, perimeter_m: f64) -> Floor {
    Floor {
        area_m2,
        perimeter_m,
        wall_thickness_m: 0.1,
        soil: clay(),
        skirt: None,
        slab: None,
        mulch_m2k_w: 0.0,
        depth_m: 5.0,
        layers: 25,
        absorptance: 0.8,
        wet_share: 0.1,
        strip_m: 1.0,
        ..Floor::default()
    }
}

pub fn air(volume_m3: f64, per_h: f64) -> Air {
    Air {
        volume_m3,
        light_capacity_j_k: 0.0,
        infiltration: Infiltration {
            constant_per_h: Schedule::Constant(per_h),
            per_wind_s_m_h: 0.0,
            per_root_k_h: 0.0,
            ..Infiltration::default()
        },
        vents: None,
        scheduled_fan: None,
        ..Air::default()
    }
}

/// A box with nothing in it but the given surfaces.
pub fn bare(surfaces: Vec<Surface>, floor: Option<Floor>, air: Air) -> House {
    House {
        surfaces,
        floor,
        air,
        heavy: Vec::new(),
        store: None,
        collector: None,
        gains: Vec::new(),
        heater: None,
        cooler: None,
        lamp: None,
        canopy: Canopy {
            leaf_area_index: [0.0; 12],
            transpires: false,
            bed_share: 0.7,
            ..Canopy::default()
        },
        parts: Vec::new(),
        sun_shares: SunShares {
            walls: None,
            air: 0.05,
            ..SunShares::default()
        },
        inner_film: InnerFilm::ToAir,
        outer_film: OuterFilm::Standard,
        horizon: None,
        snow: bedyear::house::SnowOnGlazing::None,
        beside: None,
        ..House::default()
    }
}

/// A plain unheated tunnel of single film, 9 m by 18 m, in pieces round its hoop.
pub fn tunnel() -> House {
    let film = Glazing::kind("film").expect("a kind");
    let mut surfaces = Vec::new();
    for (name, tilt, azimuth) in [
        ("south low", 70.0, 180.0),
        ("south high", 25.0, 180.0),
        ("north high", 25.0, 0.0),
        ("north low", 70.0, 0.0),
    ] {
        surfaces.push(glazed(name, 55.0, tilt, azimuth, film.clone()));
    }
    for azimuth in [90.0, 270.0] {
        surfaces.push(glazed("end", 25.0, 90.0, azimuth, film.clone()));
    }
    let mut house = bare(surfaces, Some(floor(162.0, 54.0)), air(420.0, 0.5));
    house.air.infiltration.per_wind_s_m_h = 0.2;
    house.air.vents = Some(Vents {
        set_point_c: Schedule::Constant(25.0),
        humidity_pct: None,
        kind: VentKind::AirChanges { max_per_h: 40.0 },
    });
    house.canopy = Canopy {
        leaf_area_index: [1.0; 12],
        transpires: true,
        bed_share: 0.7,
        ..Canopy::default()
    };
    house
}

/// A single-slope house with every part: 10 m by 5 m, glazed to the south, insulated to the north.
pub fn full() -> House {
    let sheet = Glazing::kind("twin-wall-8mm").expect("a kind");
    let mut slope = glazed("slope", 45.0, 50.0, 180.0, sheet.clone());
    if let SurfaceKind::Glazed(face) = &mut slope.kind {
        face.curtain = Some(Curtain {
            resistance_m2k_w: 0.3,
            long_wave_transmittance: 0.1,
            drawn: [true; 12],
            ..Curtain::default()
        });
    }
    let knee = glazed("knee wall", 8.0, 90.0, 180.0, sheet);
    let north = opaque(
        "north wall",
        30.0,
        90.0,
        0.0,
        Make::AirToAir {
            u_w_m2k: 0.25,
            inner_capacity_j_m2k: 60_000.0,
        },
    );
    let surfaces = vec![
        slope,
        knee,
        north,
        opaque("roof", 20.0, 30.0, 0.0, u(0.2)),
        opaque("east", 11.0, 90.0, 90.0, u(0.25)),
        opaque("west", 11.0, 90.0, 270.0, u(0.25)),
    ];
    let mut ground = floor(50.0, 30.0);
    ground.skirt = Some(Skirt {
        depth_m: 1.2,
        resistance_m2k_w: 2.9,
    });
    let mut house = bare(surfaces, Some(ground), air(125.0, 0.3));
    house.air.infiltration.per_wind_s_m_h = 0.05;
    house.air.infiltration.per_root_k_h = 0.02;
    house.air.vents = Some(Vents {
        set_point_c: Schedule::Constant(27.0),
        humidity_pct: None,
        kind: VentKind::Natural {
            area_m2: 3.0,
            height_m: 2.0,
        },
    });
    house.heavy = vec![HeavyNode {
        name: "barrels".into(),
        area_m2: 12.0,
        capacity_j_k: 8.4e6,
        film_w_m2k: 8.0,
        sun_share: 0.1,
        ..HeavyNode::default()
    }];
    house.store = Some(PipeStore {
        pipes: 10,
        length_m: 9.0,
        diameter_m: 0.1,
        depths_m: vec![0.6],
        flow_m3_s: 0.35,
        fan_w: 120.0,
        charge_above_c: Schedule::Constant(22.0),
        draw_below_c: Schedule::Constant(8.0),
        ..PipeStore::default()
    });
    house.heater = Some(Heater {
        set_point_c: Schedule::Constant(2.0),
        capacity_w: 5000.0,
        energy: EnergySource::Electricity,
        efficiency: 1.0,
        ..Heater::default()
    });
    house.canopy = Canopy {
        leaf_area_index: [1.5; 12],
        transpires: true,
        bed_share: 0.7,
        ..Canopy::default()
    };
    let cover = BedCover {
        name: "row cover".into(),
        area_ratio: 1.2,
        height_m: 0.4,
        resistance_m2k_w: 0.02,
        solar_transmittance: 0.85,
        long_wave_transmittance: 0.4,
        emissivity: 0.5,
        air_flow_m3_s_m2: 0.0005,
        porous: false,
        on: CoverTimes::Nights([true; 12]),
    };
    house.parts = vec![FloorPart {
        name: cover.name.clone(),
        area_m2: 15.0,
        cover: Some(cover),
        at_edge: false,
    }];
    house
}
