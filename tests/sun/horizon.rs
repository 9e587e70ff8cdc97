//! Skylines that take sun and sky.

use super::sky_year::{PlaneYear, plane_year};
use bedyear::sun::{Horizon, Plane};

/// A ring of even height h leaves cos2 h of the sky's light on the level (closed form), and on a wall
/// 1 - (2 h + sin 2h)/pi of what an open sky gives (closed form).
#[test]
fn an_even_ring_in_closed_form() {
    for degrees in [0.0_f64, 10.0, 20.0, 45.0] {
        let ring = Horizon::new(&[(0.0, degrees)]).unwrap();
        let h = degrees.to_radians();
        let level = ring.sky_share(Plane::LEVEL);
        assert!((level - h.cos().powi(2)).abs() < 2e-3, "{degrees}: {level}");
        let wall = ring.sky_share(Plane {
            tilt_deg: 90.0,
            azimuth_deg: 130.0,
        });
        let expected = 1.0 - (2.0 * h + (2.0 * h).sin()) / std::f64::consts::PI;
        assert!(
            (wall - expected).abs() < 5e-3,
            "{degrees}: {wall}, {expected}"
        );
    }
}

#[test]
fn points_are_joined_by_straight_lines_round_through_north() {
    let skyline = Horizon::new(&[(270.0, 10.0), (90.0, 20.0), (180.0, 0.0)]).unwrap();
    assert_eq!(skyline.elevation_deg(90.0), 20.0);
    assert!((skyline.elevation_deg(135.0) - 10.0).abs() < 1e-12);
    assert!((skyline.elevation_deg(0.0) - 15.0).abs() < 1e-12);
    assert!((skyline.elevation_deg(-45.0) - 12.5).abs() < 1e-12);
}

#[test]
fn a_hill_in_the_south_takes_the_winter_sun() {
    let sun = bedyear::solar::sun_year(50.0, 0.0, 0.0, 2025);
    let weather = super::weather_for(&sun);
    let wall = Plane {
        tilt_deg: 90.0,
        azimuth_deg: 180.0,
    };
    let hill = Horizon::new(&[(120.0, 0.0), (130.0, 25.0), (230.0, 25.0), (240.0, 0.0)]).unwrap();
    let open = plane_year(&weather, &sun, wall, None);
    let behind = plane_year(&weather, &sun, wall, Some(&hill));
    let beam = |year: &PlaneYear, hours: std::ops::Range<usize>| -> f64 {
        year.0[hours].iter().map(|on| on.beam_w_m2).sum()
    };
    let december: f64 = beam(&behind, 334 * 24..8760);
    assert_eq!(december, 0.0);
    let june: f64 = beam(&behind, 151 * 24..181 * 24);
    let june_open: f64 = beam(&open, 151 * 24..181 * 24);
    assert!((june - june_open).abs() < 1e-9);
    for hour in 0..8760 {
        assert!(
            behind.total_w_m2(hour) <= open.total_w_m2(hour) + 1e-9,
            "hour {hour}"
        );
    }
}

#[test]
fn bad_points_are_refused() {
    assert!(Horizon::new(&[]).is_none());
    assert!(Horizon::new(&[(10.0, 5.0), (400.0, 5.0)]).is_none());
    assert!(Horizon::new(&[(f64::NAN, 5.0)]).is_none());
}
