//! Light at the bed.

use super::sky_year::{PlaneYear, bed_light_mol_m2, plane_year};
use bedyear::solar::sun_year;
use bedyear::sun::bed_light::{PHOTONS_MOL_PER_W_H, Wet};
use bedyear::sun::{Aperture, Glazing, Interior, Plane};

fn aperture(tilt_deg: f64, azimuth_deg: f64, area_m2: f64, kind: &str) -> Aperture {
    Aperture {
        plane: Plane {
            tilt_deg,
            azimuth_deg,
        },
        area_m2,
        glazing: Glazing::kind(kind).unwrap(),
    }
}

struct Case {
    light: Vec<f64>,
    outside: Vec<f64>,
    entering_bound: Vec<f64>,
}

fn run(latitude: f64, apertures: &[Aperture], interior: Interior) -> Case {
    let sun = sun_year(latitude, 0.0, 0.0, 2025);
    let weather = super::weather_for(&sun);
    let years: Vec<PlaneYear> = apertures
        .iter()
        .map(|a| plane_year(&weather, &sun, a.plane, None))
        .collect();
    let light = bed_light_mol_m2(apertures, &interior, &sun, &years);
    let entering_bound = (0..8760)
        .map(|hour| {
            let on: f64 = apertures
                .iter()
                .zip(&years)
                .map(|(a, y)| a.area_m2 * y.total_w_m2(hour))
                .sum();
            on * PHOTONS_MOL_PER_W_H / interior.floor_area_m2
        })
        .collect();
    let outside = weather
        .ghi_w_m2
        .iter()
        .map(|ghi| ghi * PHOTONS_MOL_PER_W_H)
        .collect();
    Case {
        light,
        outside,
        entering_bound,
    }
}

fn gable(kind: &str) -> Vec<Aperture> {
    // 6 m x 20 m, walls 2 m, roof 30 degrees, ends glazed.
    let slope = 20.0 * 3.0 / 30.0_f64.to_radians().cos();
    let end = 6.0 * 2.0 + 0.5 * 6.0 * 3.0 * 30.0_f64.to_radians().tan();
    vec![
        aperture(30.0, 180.0, slope, kind),
        aperture(30.0, 0.0, slope, kind),
        aperture(90.0, 180.0, 40.0, kind),
        aperture(90.0, 0.0, 40.0, kind),
        aperture(90.0, 90.0, end, kind),
        aperture(90.0, 270.0, end, kind),
    ]
}

const BARE: Interior = Interior {
    floor_area_m2: 120.0,
    wall_area_m2: 0.0,
    wall_reflectance: 0.5,
};

/// A level pane over the whole floor: the bed gets what frame (a tenth), dirt (a twentieth) and pane leave, between the
/// pane's 0.89 at the normal and 0.905 of that in even light (ratio of both by WINDOW 7.3, `sun_glass_angles.csv`), and up to
/// 2 % more, since leaves (0.08 of the light) and pane (up to 0.2) throw light to each other.
#[test]
fn under_a_level_pane_the_glazing_alone_counts() {
    let cover = [aperture(0.0, 180.0, 120.0, "single-glass")];
    let case = run(50.0, &cover, BARE);
    let got: f64 = case.light.iter().sum::<f64>() / case.outside.iter().sum::<f64>();
    let normal = 0.9 * 0.95 * 0.89;
    let (low, high) = (0.905 * normal, 1.02 * normal);
    assert!(got > low && got < high, "{got}, {low} to {high}");
}

/// Houses glazed all round let 55 to 75 % of the outside light to the crop over the year (glass and film houses with
/// frames; common practice, no source for the band as such; two points more are let pass), a sheet that lets through less at
/// the normal so much less in the house.
#[test]
fn a_gable_house_through_the_year() {
    let ratio = |kind| {
        let case = run(50.0, &gable(kind), BARE);
        case.light.iter().sum::<f64>() / case.outside.iter().sum::<f64>()
    };
    for kind in ["film", "single-glass", "twin-wall-8mm"] {
        assert!((0.55..0.77).contains(&ratio(kind)), "{}", ratio(kind));
    }
    // 0.59 for 0.80 (kinds of glazing): all shares of the light go down by that, up to a little light thrown back inside.
    let less = ratio("x-wall-16mm") / ratio("twin-wall-8mm");
    assert!((less / (0.59 / 0.80) - 1.0).abs() < 0.06, "{less}");
}

/// A hoop house of 41 degrees north under film one and a half to two seasons old, about noon in July: the largest
/// photosynthetic light inside was 20 to 25 % below that outside (two sensors, Pinney Purdue Agricultural Center, Vegetable
/// Crops Hotline, read).
#[test]
fn a_film_tunnel_at_noon_in_july() {
    // Hoop of 9 m span as five flat strips of 2.95 m, 29 m long, ends film.
    let strips = [
        (75.0, 90.0),
        (40.0, 90.0),
        (0.0, 90.0),
        (40.0, 270.0),
        (75.0, 270.0),
    ];
    let mut cover: Vec<Aperture> = strips
        .iter()
        .map(|&(tilt, azimuth)| aperture(tilt, azimuth, 29.0 * 2.95, "film"))
        .collect();
    cover.extend([
        aperture(90.0, 0.0, 25.0, "film"),
        aperture(90.0, 180.0, 25.0, "film"),
    ]);
    // The largest reading of a sensor comes from between the shadows of the hoops.
    for strip in &mut cover {
        strip.glazing.frame_share = 0.0;
    }
    let interior = Interior {
        floor_area_m2: 29.0 * 9.0,
        ..BARE
    };
    let case = run(41.0, &cover, interior);
    let largest = |column: &[f64]| {
        column[181 * 24..212 * 24]
            .iter()
            .copied()
            .fold(0.0, f64::max)
    };
    let ratio = largest(&case.light) / largest(&case.outside);
    assert!((0.75..0.80).contains(&ratio), "{ratio}");
}

/// A winter solar house at Beijing (40 degrees north) under film: the cover passes 0.69 of the sun on average (Water 2022,
/// 14:2410, read).
#[test]
fn the_cover_of_a_winter_solar_house() {
    let cover = aperture(30.0, 180.0, 100.0, "film");
    let sun = sun_year(40.0, 116.0, 8.0, 2025);
    let weather = super::weather_for(&sun);
    let year = plane_year(&weather, &sun, cover.plane, None);
    let inside = year.through(&cover.glazing.optics());
    let winter = (0..90 * 24).chain(300 * 24..8760);
    let (passed, fell) = winter.fold((0.0, 0.0), |(passed, fell), hour| {
        (passed + inside[hour], fell + year.total_w_m2(hour))
    });
    assert!((passed / fell - 0.69).abs() < 0.04, "{}", passed / fell);
}

/// A glazed south slope before an insulated north wall: in midwinter the bed gets a larger share of the light outside
/// than in midsummer; white walls give more than dark ones.
#[test]
fn a_south_slope_in_winter_and_summer() {
    let slope = [aperture(60.0, 180.0, 60.0, "twin-wall-8mm")];
    let room = |wall_reflectance| Interior {
        floor_area_m2: 60.0,
        wall_area_m2: 90.0,
        wall_reflectance,
    };
    let (white, dark) = (run(50.0, &slope, room(0.8)), run(50.0, &slope, room(0.1)));
    let ratio = |case: &Case, days: std::ops::Range<usize>| {
        let sum = |column: &[f64]| column[days.start * 24..days.end * 24].iter().sum::<f64>();
        sum(&case.light) / sum(&case.outside)
    };
    assert!(ratio(&white, 335..365) > ratio(&white, 151..181));
    assert!(ratio(&white, 0..365) > ratio(&dark, 0..365) + 0.02);
}

#[test]
fn never_more_than_fell_on_the_glazing() {
    for apertures in [
        gable("film"),
        vec![aperture(90.0, 180.0, 4.0, "single-glass")],
    ] {
        let interior = Interior {
            wall_area_m2: 300.0,
            wall_reflectance: 0.95,
            ..BARE
        };
        let case = run(60.0, &apertures, interior);
        for (hour, (light, bound)) in case.light.iter().zip(&case.entering_bound).enumerate() {
            assert!(
                *light >= 0.0 && *light <= bound * (1.0 + 1e-9),
                "hour {hour}: {light} {bound}"
            );
        }
    }
}

#[test]
fn a_room_without_glazing_is_dark() {
    let case = run(50.0, &[], BARE);
    assert!(case.light.iter().all(|light| *light == 0.0));
}

#[test]
fn snow_and_drops_take_their_share() {
    assert_eq!(Wet::default().left(0.1), 1.0);
    let wet = Wet {
        condensation_share: 0.5,
        snow_share: 0.25,
    };
    assert!((wet.left(0.1) - 0.75 * 0.95).abs() < 1e-12);
}
