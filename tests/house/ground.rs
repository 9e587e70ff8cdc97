//! Steady floors against a two-dimensional solution and the standard.

use super::envelope::mean;
use super::shapes::{air, bare, floor, opaque, u};
use super::sky;
use bedyear::house::*;

#[derive(serde::Deserialize)]
struct Row {
    breadth_m: f64,
    conductivity_w_mk: f64,
    wall_m: f64,
    floor_m2k_w: f64,
    skirt_m: f64,
    skirt_m2k_w: f64,
    iso_w_m2k: f64,
    two_dimensional_w_m2k: f64,
}

/// Resistance of a floor in a steady state from its surface to the ground surface outside, m2K/W.
fn resistance_m2k_w(ground: Floor) -> f64 {
    let area_m2 = ground.area_m2;
    let mut house = bare(
        vec![opaque("shell", 1.0, 90.0, 0.0, u(0.001))],
        Some(ground),
        air(10.0, 0.0),
    );
    house.heater = Some(Heater {
        set_point_c: Schedule::Constant(20.0),
        capacity_w: f64::INFINITY,
        energy: EnergySource::Electricity,
        efficiency: 1.0,
        ..Heater::default()
    });
    let sky = sky::still(0.0);
    let options = RunOptions {
        max_years: 12,
        ..RunOptions::default()
    };
    let run = simulate(&house, &sky.weather, &sky.sun, &sky.ground, &options).expect("runs");
    let year = &run.settled;
    let flux = -year.year.floor_kwh * 1000.0 / 8760.0 / area_m2;
    mean(&year.floor_surface_c) / flux
}

/// Steady loss of a floor, W/m2K of the difference between room and ground surface outside.
///
/// The two-dimensional reference has 0.17 m2K/W from room to floor; the model's own film is convection and
/// radiation, so the floor's resistance is set in the mulch and the surface temperature is what the loss is divided
/// by, with that film added by hand.
fn floor_u(row: &Row) -> f64 {
    /// Resistance from room to floor (ISO 6946, downward), m2K/W.
    const FILM: f64 = 0.17;
    // A strip with B' = A / (P/2): one metre of two edges and B' of breadth.
    let mut ground = floor(row.breadth_m * 10.0, 20.0);
    ground.soil.conductivity_w_mk = row.conductivity_w_mk;
    ground.soil.water_m3_m3 = 0.0;
    ground.wall_thickness_m = row.wall_m;
    ground.mulch_m2k_w = row.floor_m2k_w;
    ground.wet_share = 0.0;
    ground.skirt = (row.skirt_m > 0.0).then_some(Skirt {
        depth_m: row.skirt_m,
        resistance_m2k_w: row.skirt_m2k_w,
    });
    1.0 / (resistance_m2k_w(ground) + FILM)
}

/// Mulch adds its resistance; a slab of 10 cm its own in place of that of as much soil (resistances in a row, by hand), less a
/// tenth, for its edges lose what those of soil would.
#[test]
fn a_floor_takes_the_stated_slab_and_mulch() {
    let soil = || Floor {
        wet_share: 0.0,
        soil: Soil {
            water_m3_m3: 0.0,
            ..floor(48.0, 28.0).soil
        },
        ..floor(48.0, 28.0)
    };
    let bare = resistance_m2k_w(soil());
    let mulched = resistance_m2k_w(Floor {
        mulch_m2k_w: 0.2,
        ..soil()
    });
    let slab = resistance_m2k_w(Floor {
        slab: Some(Layer {
            thickness_m: 0.1,
            conductivity_w_mk: 0.15,
            density_kg_m3: 600.0,
            heat_capacity_j_kgk: 900.0,
        }),
        ..soil()
    });
    println!("{bare:.4}, with mulch {mulched:.4}, with a slab {slab:.4} m2K/W");
    assert!((mulched - bare - 0.2).abs() < 0.002, "{bare} {mulched}");
    let by_hand = 0.1 / 0.15 - 0.1 / 1.5;
    assert!(
        ((slab - bare) / by_hand - 0.9).abs() < 0.02,
        "{bare} {slab}"
    );
}

#[test]
fn steady_floors_agree_with_two_dimensions() {
    let table = include_str!("../reference/house_floor_2d.csv");
    let mut worst: f64 = 0.0;
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(table.as_bytes());
    let mut rows = 0;
    for row in reader.deserialize() {
        let row: Row = row.expect("a row");
        let got = floor_u(&row);
        let off = got / row.two_dimensional_w_m2k - 1.0;
        worst = worst.max(off.abs());
        assert!(
            off.abs() < 0.15,
            "B' {} lambda {} skirt {} m R {}: {got:.4} against {:.4} W/m2K",
            row.breadth_m,
            row.conductivity_w_mk,
            row.skirt_m,
            row.skirt_m2k_w,
            row.two_dimensional_w_m2k
        );
        if row.skirt_m == 0.0 {
            let iso = got / row.iso_w_m2k - 1.0;
            assert!(
                iso.abs() < 0.15,
                "ISO 13370: {got:.4} against {:.4} W/m2K",
                row.iso_w_m2k
            );
        }
        rows += 1;
    }
    println!("{rows} floors, largest difference {:.1} %", 100.0 * worst);
    assert!(rows >= 30);
}

/// The depth of the column by computation: a tunnel at Helena with columns of 3, 5 and 10 m. At 5 m, the default, root zone
/// and coldest hour are those of 10 m within 0.1 K.
#[test]
fn a_column_of_five_metres_is_deep_enough() {
    let sky = sky::shelf("helena");
    let of = |depth_m: f64| {
        let mut house = super::shapes::tunnel();
        let ground = house.floor.as_mut().unwrap();
        ground.depth_m = depth_m;
        // Layers as thick as before at the top.
        ground.layers = (25.0 * (depth_m / 5.0).powf(0.3)).round() as usize;
        let year = super::envelope::settled(&house, &sky);
        let january = &year.root_zone_c[..31 * 24];
        (
            mean(january),
            super::envelope::least(&year.air_c),
            mean(&year.root_zone_c),
        )
    };
    let (three, five, ten) = (of(3.0), of(5.0), of(10.0));
    println!(
        "January root zone, coldest hour, year's root zone: 3 m {three:.2?}, 5 m {five:.2?}, 10 m {ten:.2?}"
    );
    for (five, ten) in [(five.0, ten.0), (five.1, ten.1), (five.2, ten.2)] {
        assert!((five - ten).abs() < 0.1, "{five} {ten}");
    }
}

/// Beds along the walls of a heated house stand on colder soil than those in its middle, 1.6 K in a two-dimensional solution
/// (breadth 5.6 m, strip 1.2 m, wall 0.2 m, 1.5 W/mK, 10 °C over -5 °C; made apart from this program), and the floor as a
/// whole loses what it loses where nobody asks for its edge.
#[test]
fn edge_beds_stand_on_colder_soil() {
    let area_m2 = 560.0;
    let mut ground = floor(area_m2, 200.0);
    ground.wall_thickness_m = 0.2;
    ground.strip_m = 1.2;
    ground.wet_share = 0.0;
    ground.soil.water_m3_m3 = 0.0;
    let walls = vec![super::shapes::opaque(
        "roof",
        600.0,
        0.0,
        180.0,
        super::shapes::u(0.3),
    )];
    let mut house = super::shapes::bare(walls, Some(ground), super::shapes::air(1500.0, 0.0));
    house.heater = Some(Heater {
        set_point_c: Schedule::Constant(10.0),
        capacity_w: f64::INFINITY,
        energy: EnergySource::Free,
        efficiency: 1.0,
        ..Heater::default()
    });
    let sky = super::sky::still(-5.0);
    let whole = super::envelope::settled(&house, &sky);
    house.parts = vec![FloorPart {
        name: "edge".into(),
        area_m2: area_m2 * 2.0 * 1.2 / 5.6,
        cover: None,
        at_edge: true,
    }];
    let parted = super::envelope::settled(&house, &sky);
    let last = |column: &[f64]| column[8759];
    let colder = last(&parted.root_zone_c) - last(&parted.parts[0].root_zone_c);
    let loss = parted.year.ground_kwh / whole.year.ground_kwh;
    println!("edge {colder:.2} K colder than the middle; the floor loses {loss:.3} of what it did");
    assert!((1.0..2.4).contains(&colder), "{colder:.2} K");
    assert!((0.92..1.08).contains(&loss), "{loss:.3}");
}
