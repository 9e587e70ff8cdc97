//! A year of sun on a face, by the same hourly kernel that the house uses.

#![allow(dead_code)] // Each test takes what it needs.

use bedyear::site::Weather;
use bedyear::solar::{SunHour, SunYear, sun_year};
use bedyear::sun::bed_light::ApertureLight;
use bedyear::sun::{Aperture, BedLight, Faces, Horizon, Interior, OnPlane, Optics, Outlook, Plane};

/// A year of sun on a face, 8760 hours.
pub struct PlaneYear(pub Vec<OnPlane>);

impl PlaneYear {
    /// Beam, sky and ground together, W/m2.
    pub fn total_w_m2(&self, hour: usize) -> f64 {
        self.0[hour].beam_w_m2 + self.0[hour].diffuse_w_m2()
    }

    /// What comes through glazing, W/m2 of it, by the hour.
    pub fn through(&self, optics: &Optics) -> Vec<f64> {
        let passed = |on: &OnPlane| {
            on.beam_w_m2 * optics.beam(on.cos_incidence).transmitted
                + on.diffuse_w_m2() * optics.diffuse.transmitted
        };
        self.0.iter().map(passed).collect()
    }
}

/// The sun of a year on a face of the open country or behind a skyline.
pub fn plane_year(
    weather: &Weather,
    sun: &SunYear,
    plane: Plane,
    horizon: Option<&Horizon>,
) -> PlaneYear {
    let faces = Faces::new(&[(plane, &Outlook::default())], horizon);
    let mut on = [OnPlane::default()];
    let hour = |hour| {
        if faces.hour(weather, sun, hour, &mut on) {
            on[0]
        } else {
            OnPlane::default()
        }
    };
    PlaneYear((0..sun.hours.len()).map(hour).collect())
}

/// One hour of light from a sun that stands somewhere.
pub struct Light {
    pub dni_w_m2: f64,
    pub dhi_w_m2: f64,
    pub ghi_w_m2: f64,
    pub ground_reflectance: f64,
}

/// That light on a face.
pub fn one_hour(plane: Plane, outlook: &Outlook, sun: SunHour, light: &Light) -> OnPlane {
    let mut year = sun_year(0.0, 0.0, 0.0, 2025);
    year.hours = vec![sun];
    let weather = Weather {
        temp_air_c: vec![5.0],
        relative_humidity_pct: vec![70.0],
        wind_m_s: vec![2.0],
        ghi_w_m2: vec![light.ghi_w_m2],
        dni_w_m2: vec![light.dni_w_m2],
        dhi_w_m2: vec![light.dhi_w_m2],
        sky_long_wave_w_m2: vec![270.0],
        pressure_pa: vec![98_000.0],
        ground_reflectance: vec![light.ground_reflectance],
        snowfall_mm: vec![0.0],
    };
    let mut on = [OnPlane::default()];
    Faces::new(&[(plane, outlook)], None).hour(&weather, &year, 0, &mut on);
    on[0]
}

/// Photosynthetic light at the beds through the year, mol/m2 in each hour, glazing dry and free of snow.
pub fn bed_light_mol_m2(
    apertures: &[Aperture],
    interior: &Interior,
    sun: &SunYear,
    planes: &[PlaneYear],
) -> Vec<f64> {
    let light = BedLight::new(apertures, interior);
    let optics: Vec<Optics> = apertures.iter().map(|one| one.glazing.optics()).collect();
    let mut parts = vec![0.0; planes.len()];
    let hour = |(hour, sun): (usize, &SunHour)| {
        let lights: Vec<ApertureLight> = planes
            .iter()
            .zip(&optics)
            .map(|(plane, optics)| {
                let on = &plane.0[hour];
                ApertureLight {
                    beam_w_m2: on.beam_w_m2,
                    sky_w_m2: on.sky_w_m2 + on.circumsolar_w_m2,
                    ground_w_m2: on.ground_w_m2,
                    beam_par: optics.beam(on.cos_incidence).transmitted_par,
                }
            })
            .collect();
        light.hour_parts_mol_m2(light.beam_to_bed(sun), &lights, &mut parts)
    };
    sun.hours.iter().enumerate().map(hour).collect()
}
