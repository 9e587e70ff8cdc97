//! Drops and snow on the glazing, and long-wave through film.

use super::envelope::settled;
use super::shapes::{air, bare, floor, glazed, tunnel};
use super::sky;
use bedyear::house::*;
use bedyear::sun::Glazing;

fn each_glazing(house: &mut House, change: impl Fn(&mut GlazedFace)) {
    for surface in &mut house.surfaces {
        if let SurfaceKind::Glazed(face) = &mut surface.kind {
            change(face);
        }
    }
}

fn with_loss(loss: f64) -> House {
    let mut house = tunnel();
    each_glazing(&mut house, |face| face.glazing.condensation_loss = loss);
    house
}

/// Film wet all over loses its published share of the light (15 %: Geoola et al. 2004, abstract read), dry film nothing.
#[test]
fn drops_take_their_share_of_the_light() {
    let sky = sky::shelf("uccle");
    let (dry, wet) = (
        settled(&with_loss(0.0), &sky),
        settled(&with_loss(0.15), &sky),
    );
    let shares: Vec<f64> = dry
        .light_mol_m2_h
        .iter()
        .zip(&wet.light_mol_m2_h)
        .filter(|(dry, _)| **dry > 0.0)
        .map(|(dry, wet)| wet / dry)
        .collect();
    assert!(
        shares
            .iter()
            .all(|share| (0.85 - 1e-9..=1.0 + 1e-12).contains(share))
    );
    let all_wet = shares.iter().filter(|share| **share < 0.85 + 1e-9).count();
    let all_dry = shares.iter().filter(|share| **share > 1.0 - 1e-9).count();
    println!(
        "{} sunlit hours: {all_wet} wet all over, {all_dry} dry",
        shares.len()
    );
    assert!(all_wet > 100 && all_dry > 100);
    // What does not come in cannot warm.
    assert!(wet.year.sun_kwh < dry.year.sun_kwh);
}

/// One fall of snow in a frost: dark until it is swept off, unless it is left.
#[test]
fn snow_darkens_the_house_until_it_goes() {
    let mut sky = sky::shelf("fairbanks");
    sky.weather.snowfall_mm.fill(0.0);
    let bare = settled(&with_loss(0.0), &sky);
    // 1 March, 6 h: far below freezing there.
    let fall = 59 * 24 + 6;
    sky.weather.snowfall_mm[fall] = 10.0;
    let mut light = Vec::new();
    for snow in [
        SnowOnGlazing::None,
        SnowOnGlazing::Swept,
        SnowOnGlazing::Left,
    ] {
        let mut house = with_loss(0.0);
        house.snow = snow;
        light.push(settled(&house, &sky).light_mol_m2_h);
    }
    let sum = |light: &[f64], from: usize, to: usize| light[from..to].iter().sum::<f64>();
    assert_eq!(light[0], bare.light_mol_m2_h);
    assert_eq!(light[1][..fall], bare.light_mol_m2_h[..fall]);
    let day = sum(&light[0], fall, fall + 18);
    // Swept at 9 h: little of the day is lost. Left: only the upright ends let light in as long as it lies.
    assert!((0.8..1.0).contains(&(sum(&light[1], fall, fall + 18) / day)));
    assert!(sum(&light[2], fall, fall + 6) < 0.5 * sum(&light[0], fall, fall + 6));
    let summer = 150 * 24;
    assert_eq!(
        light[2][summer..summer + 240],
        light[0][summer..summer + 240]
    );
}

/// Wet film lets less long-wave through (Feuilloley & Issanchou, abstract read: wet film does better than dry).
#[test]
fn wet_film_keeps_leaves_warmer() {
    let sky = sky::shelf("helena");
    let mut house = tunnel();
    let dry = settled(&house, &sky);
    each_glazing(&mut house, |face| {
        face.long_wave_wet = 0.45 * face.long_wave_transmittance;
    });
    let wet = settled(&house, &sky);
    let least = |year: &HouseYear| year.leaf_c.iter().copied().fold(f64::INFINITY, f64::min);
    println!(
        "coldest leaf: {:.2} dry, {:.2} wet",
        least(&dry),
        least(&wet)
    );
    assert!(least(&wet) > least(&dry) + 0.2);
}

fn dry_floor() -> Floor {
    Floor {
        wet_share: 0.0,
        ..floor(50.0, 30.0)
    }
}

fn box_of_film(transmittance: f64, make: Make) -> House {
    let film = Glazing::kind("film").expect("a kind");
    let mut surfaces = vec![glazed("roof", 60.0, 0.0, 180.0, film.clone())];
    for azimuth in [0.0, 90.0, 180.0, 270.0] {
        surfaces.push(glazed("wall", 18.0, 90.0, azimuth, film.clone()));
    }
    let mut house = bare(surfaces, Some(dry_floor()), air(120.0, 0.5));
    house.inner_film = InnerFilm::RadiantNode;
    for surface in &mut house.surfaces {
        surface.make = make.clone();
    }
    each_glazing(&mut house, |face| {
        face.long_wave_transmittance = transmittance
    });
    house
}

/// With the radiant node too the sky is seen through film, whichever way the film's resistance is said; a sky as warm
/// as the air changes nothing (limit).
#[test]
fn the_radiant_node_sees_the_sky_through_film() {
    let sky = sky::shelf("helena");
    let least = |year: &HouseYear| year.air_c.iter().copied().fold(f64::INFINITY, f64::min);
    let by_u = Make::AirToAir {
        u_w_m2k: 6.8,
        inner_capacity_j_m2k: 0.0,
    };
    let by_r = Make::FaceToFace {
        resistance_m2k_w: 0.001,
        inner_capacity_j_m2k: 0.0,
    };
    for make in [by_u, by_r] {
        let (closed, open) = (
            settled(&box_of_film(0.0, make.clone()), &sky),
            settled(&box_of_film(0.7, make.clone()), &sky),
        );
        println!(
            "coldest air: {:.2}, film {:.2}",
            least(&closed),
            least(&open)
        );
        assert!(least(&open) < least(&closed) - 0.3);
        assert!(open.year.sky_through_glazing_kwh < -100.0);
        let even = settled(&box_of_film(0.7, make), &sky::still(8.0));
        assert!(even.air_c.iter().all(|air_c| (air_c - 8.0).abs() < 0.01));
    }
}
