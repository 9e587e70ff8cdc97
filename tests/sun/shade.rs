//! Shadows of overhangs and fins against hand geometry and view factors.

use bedyear::solar::SunHour;
use bedyear::sun::{Fin, OnPlane, Outlook, Overhang, Plane, Shade};

use super::sky_year::{Light, one_hour};

/// Far beyond the window.
const WIDE_M: f64 = 1.0e4;
const SOUTH: Plane = Plane {
    tilt_deg: 90.0,
    azimuth_deg: 180.0,
};

fn window() -> Shade {
    Shade {
        width_m: 3.0,
        height_m: 2.0,
        overhang: None,
        left_fin: None,
        right_fin: None,
    }
}

fn overhang(depth_m: f64, above_m: f64, beyond_m: f64) -> Shade {
    Shade {
        overhang: Some(Overhang {
            depth_m,
            above_m,
            left_m: beyond_m,
            right_m: beyond_m,
        }),
        ..window()
    }
}

fn fin(beside_m: f64) -> Option<Fin> {
    Some(Fin {
        depth_m: 1.0,
        beside_m,
        above_m: WIDE_M,
        below_m: WIDE_M,
    })
}

/// Light on a face from a sun at an azimuth and elevation, degrees.
fn light_on(plane: Plane, shade: Option<Shade>, azimuth_deg: f64, elevation_deg: f64) -> OnPlane {
    let (sin_azimuth, cos_azimuth) = azimuth_deg.to_radians().sin_cos();
    let (sin_elevation, cos_elevation) = elevation_deg.to_radians().sin_cos();
    let sun = SunHour {
        up_share: 1.0,
        elevation_deg,
        azimuth_deg,
        cos_zenith: sin_elevation,
        extraterrestrial_normal_w_m2: 1361.0,
        direction: [
            cos_elevation * sin_azimuth,
            cos_elevation * cos_azimuth,
            sin_elevation,
        ],
        air_mass: bedyear::solar::air_mass(elevation_deg),
    };
    let light = Light {
        dni_w_m2: 800.0,
        dhi_w_m2: 100.0,
        ghi_w_m2: 500.0,
        ground_reflectance: 0.2,
    };
    let outlook = Outlook {
        horizon: None,
        shade,
    };
    one_hour(plane, &outlook, sun, &light)
}

/// Share of the south window in shadow, the sun to the left (negative) or right of its normal as seen from outside.
fn shaded(shade: &Shade, right_deg: f64, elevation_deg: f64) -> f64 {
    let at = |shade| light_on(SOUTH, shade, 180.0 - right_deg, elevation_deg).beam_w_m2;
    1.0 - at(Some(*shade)) / at(None)
}

/// tan(profile) = tan(elevation) / cos(azimuth from the normal); shadow depth = overhang x tan(profile) - gap
/// (solar geometry textbooks, from memory).
#[test]
fn a_wide_overhang_by_the_profile_angle() {
    let shade = overhang(1.0, 0.5, WIDE_M);
    for (right, elevation) in [
        (0.0_f64, 45.0_f64),
        (60.0, 30.0),
        (-60.0, 30.0),
        (20.0, 15.0),
    ] {
        let profile = elevation.to_radians().tan() / right.to_radians().cos();
        let expected = ((profile - 0.5) / 2.0).clamp(0.0, 1.0);
        let got = shaded(&shade, right, elevation);
        assert!((got - expected).abs() < 1e-9, "{right} {elevation}: {got}");
    }
    assert!((shaded(&shade, 0.0, 45.0) - 0.25).abs() < 1e-9);
    assert!((shaded(&shade, 0.0, 75.0) - 1.0).abs() < 1e-9);
}

/// By hand: the shadow of an overhang as wide as the window slants by 1 m over 1 m: 3 - 1/2 of 6 m2.
#[test]
fn a_short_overhang_lets_the_sun_in_past_its_end() {
    let elevation = std::f64::consts::FRAC_1_SQRT_2.atan().to_degrees();
    for right in [45.0, -45.0] {
        let got = shaded(&overhang(1.0, 0.0, 0.0), right, elevation);
        assert!((got - 2.5 / 6.0).abs() < 1e-9, "{right}: {got}");
    }
}

/// By hand: at 45 degrees a fin of 1 m shades 1 m beside it, less its distance; the other fin nothing.
#[test]
fn fins_shade_the_side_of_the_sun() {
    let left = Shade {
        left_fin: fin(0.2),
        ..window()
    };
    assert!((shaded(&left, -45.0, 1.0) - 0.8 / 3.0).abs() < 1e-9);
    assert!(shaded(&left, 45.0, 1.0).abs() < 1e-12);
    let right = Shade {
        right_fin: fin(0.0),
        ..window()
    };
    assert!((shaded(&right, 45.0, 1.0) - 1.0 / 3.0).abs() < 1e-9);
    assert!(shaded(&right, -45.0, 1.0).abs() < 1e-12);
}

/// By hand: 1 m along the top and 1 m along the side of 3 x 2 m, their corner counted once: 4 of 6 m2.
#[test]
fn shadows_that_meet_are_counted_once() {
    let both = Shade {
        left_fin: fin(0.0),
        ..overhang(1.0, 0.0, WIDE_M)
    };
    let elevation = std::f64::consts::FRAC_1_SQRT_2.atan().to_degrees();
    let got = shaded(&both, -45.0, elevation);
    assert!((got - 4.0 / 6.0).abs() < 1e-9, "{got}");
}

/// View from an endless window of height H to an overhang D at its top: (H + D - sqrt(H2 + D2)) / 2H (Hottel's crossed
/// strings, textbook); the sky fills half of the view, and the ground is seen whole.
#[test]
fn what_an_overhang_takes_of_the_sky_is_its_view_factor() {
    for depth in [0.5_f64, 1.0, 2.0] {
        let at = |shade| light_on(SOUTH, shade, 180.0, 30.0);
        let (open, under) = (at(None), at(Some(overhang(depth, 0.0, WIDE_M))));
        let view = (2.0 + depth - 2.0_f64.hypot(depth)) / 4.0;
        let got = under.sky_w_m2 / open.sky_w_m2;
        assert!((got - (1.0 - 2.0 * view)).abs() < 0.01, "{depth}: {got}");
        assert_eq!(under.ground_w_m2, open.ground_w_m2);
    }
}

#[test]
fn nothing_in_the_way_shades_nothing() {
    for tilt_deg in [0.0, 35.0, 90.0] {
        let plane = Plane {
            tilt_deg,
            azimuth_deg: 170.0,
        };
        let open = light_on(plane, None, 190.0, 40.0);
        let under = light_on(plane, Some(overhang(0.0, 0.3, 1.0)), 190.0, 40.0);
        assert!((open.beam_w_m2 - under.beam_w_m2).abs() < 1e-9);
        assert!((open.sky_w_m2 - under.sky_w_m2).abs() < 1e-9);
    }
}
