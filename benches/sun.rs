//! Speed of the sun: position of 8760 hours, Perez on three planes, light at the bed.
//!
//! Goal: position and three planes within 2.5 ms on one core.

use bedyear::site::Weather;
use bedyear::solar::{SunYear, erbs_diffuse_fraction, sun_year};
use bedyear::sun::{Aperture, Glazing, Interior, Plane};

#[path = "../tests/made/sky_year.rs"]
mod sky_year;
use sky_year::{bed_light_mol_m2, plane_year};

fn main() {
    divan::main();
}

const LATITUDE_DEG: f64 = 52.0;

/// A year of clear and cloudy days whose parts agree.
fn weather(sun: &SunYear) -> Weather {
    let mut weather = Weather {
        temp_air_c: vec![5.0; 8760],
        relative_humidity_pct: vec![70.0; 8760],
        wind_m_s: vec![2.0; 8760],
        ghi_w_m2: vec![],
        dni_w_m2: vec![],
        dhi_w_m2: vec![],
        sky_long_wave_w_m2: vec![270.0; 8760],
        pressure_pa: vec![98_000.0; 8760],
        ground_reflectance: vec![0.2; 8760],
        snowfall_mm: vec![0.0; 8760],
    };
    for (hour, sun) in sun.hours.iter().enumerate() {
        let kt = 0.1 + 0.65 * ((hour / 24 * 7919 % 100) as f64 / 100.0);
        let ghi = kt * sun.extraterrestrial_normal_w_m2 * sun.cos_zenith * sun.up_share;
        let share = erbs_diffuse_fraction(kt);
        weather.ghi_w_m2.push(ghi);
        weather.dhi_w_m2.push(share * ghi);
        weather
            .dni_w_m2
            .push((1.0 - share) * ghi / sun.cos_zenith.max(0.05));
    }
    weather
}

fn planes() -> [Plane; 3] {
    [(60.0, 180.0), (30.0, 180.0), (90.0, 90.0)].map(|(tilt_deg, azimuth_deg)| Plane {
        tilt_deg,
        azimuth_deg,
    })
}

#[divan::bench(name = "solar/year")]
fn position(bencher: divan::Bencher) {
    bencher.bench(|| {
        let sun = sun_year(divan::black_box(LATITUDE_DEG), 13.0, 1.0, 2025);
        assert_eq!(sun.hours.len(), 8760);
        sun
    });
}

#[divan::bench(name = "sun/plane_year/three")]
fn tilted(bencher: divan::Bencher) {
    let sun = sun_year(LATITUDE_DEG, 13.0, 1.0, 2025);
    let weather = weather(&sun);
    bencher.bench(|| planes().map(|plane| plane_year(&weather, &sun, plane, None)));
}

#[divan::bench(name = "sun/position_and_three_planes")]
fn whole(bencher: divan::Bencher) {
    let weather = weather(&sun_year(LATITUDE_DEG, 13.0, 1.0, 2025));
    bencher.bench(|| {
        let sun = sun_year(divan::black_box(LATITUDE_DEG), 13.0, 1.0, 2025);
        planes().map(|plane| plane_year(&weather, &sun, plane, None))
    });
}

#[divan::bench(name = "sun/bed_light/year")]
fn bed(bencher: divan::Bencher) {
    let sun = sun_year(LATITUDE_DEG, 13.0, 1.0, 2025);
    let weather = weather(&sun);
    let years = planes().map(|plane| plane_year(&weather, &sun, plane, None));
    let glazing = Glazing::kind("twin-wall-8mm").unwrap();
    let apertures = planes().map(|plane| Aperture {
        plane,
        area_m2: 20.0,
        glazing: glazing.clone(),
    });
    let interior = Interior {
        floor_area_m2: 40.0,
        wall_area_m2: 40.0,
        wall_reflectance: 0.5,
    };
    bencher.bench(|| bed_light_mol_m2(&apertures, &interior, &sun, &years));
}
