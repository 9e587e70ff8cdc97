//! The sun on and through the faces, hour by hour, before the house shares it out.

use super::{LEAST_AREA_M2, is_floor, is_glazed};
use crate::calendar::HOURS_PER_YEAR;
use crate::house::on_glazing::FaceSun;
use crate::house::prepare::{GlazedFaceShape, Layout};
use crate::house::{Behind, House, SurfaceKind};
use crate::site::Weather;
use crate::solar::SunYear;
use crate::sun::{
    Aperture, BedLight, Interior, Outlook, Plane, PlaneYear, SkyModel, outlook_years,
};

/// The sun on and through every glazed face.
pub(in crate::house) struct Entering {
    /// Beam that enters unscattered, W, hourly.
    pub beam_w: Vec<f64>,
    /// Diffuse and scattered light that enters, W, hourly.
    pub diffuse_w: Vec<f64>,
    /// Share of the beam that meets the floor.
    pub beam_to_floor: Vec<f64>,
    /// Photosynthetic light at the bed, mol/m2 an hour.
    pub light_mol_m2: Vec<f64>,
    /// For each surface: heat from the sun to the outer face (opaque) or into the house from the sheets (glazed),
    /// W/m2, hourly; empty for surfaces that the sun does not reach.
    on_surface: Vec<Vec<f64>>,
    /// Hours x glazed faces, dry and free of snow.
    pub faces: Vec<FaceSun>,
}

impl Entering {
    pub fn new(house: &House, layout: &Layout, weather: &Weather, sun: &SunYear) -> Self {
        let mut planes: Vec<(Plane, &Outlook)> = Vec::new();
        let mut which: Vec<Option<usize>> = Vec::with_capacity(house.surfaces.len());
        for surface in &house.surfaces {
            if surface.behind != Behind::Outdoor {
                which.push(None);
                continue;
            }
            let plane = Plane {
                tilt_deg: surface.tilt_deg,
                azimuth_deg: surface.azimuth_deg,
            };
            let face = (plane, &surface.outlook);
            let known = planes.iter().position(|known| *known == face);
            which.push(Some(known.unwrap_or(planes.len())));
            if known.is_none() {
                planes.push(face);
            }
        }
        let horizon = house.horizon.as_ref();
        let years = outlook_years(weather, sun, &planes, SkyModel::Perez, horizon);
        let planes: Vec<Plane> = planes.into_iter().map(|(plane, _)| plane).collect();
        let planes: Vec<(Plane, PlaneYear)> = planes.into_iter().zip(years).collect();
        let mut entering = Self {
            beam_w: vec![0.0; HOURS_PER_YEAR],
            diffuse_w: vec![0.0; HOURS_PER_YEAR],
            beam_to_floor: vec![0.0; HOURS_PER_YEAR],
            light_mol_m2: vec![0.0; HOURS_PER_YEAR],
            on_surface: Vec::with_capacity(house.surfaces.len()),
            faces: vec![FaceSun::default(); HOURS_PER_YEAR * layout.glazed.len()],
        };
        let mut apertures = Vec::new();
        let mut aperture_planes = Vec::new();
        for (surface, index) in house.surfaces.iter().zip(&which) {
            let Some((plane, year)) = index.and_then(|index| planes.get(index)) else {
                entering.on_surface.push(Vec::new());
                continue;
            };
            match &surface.kind {
                SurfaceKind::Opaque {
                    absorptance_outside,
                    ..
                } => {
                    let kept = (0..HOURS_PER_YEAR)
                        .map(|hour| absorptance_outside * year.total_w_m2(hour))
                        .collect();
                    entering.on_surface.push(kept);
                }
                SurfaceKind::Glazed(face) => {
                    let place = (apertures.len(), layout.glazed.as_slice());
                    let optics = face.glazing.optics();
                    let inward = entering.add_glazed(place, surface.area_m2, &optics, year);
                    entering.on_surface.push(inward);
                    apertures.push(Aperture {
                        plane: *plane,
                        area_m2: surface.area_m2,
                        glazing: face.glazing.clone(),
                    });
                    aperture_planes.push(year);
                }
            }
        }
        if !apertures.is_empty() {
            let rule = BedLight::new(&apertures, &interior(house));
            let mut parts = vec![0.0; apertures.len()];
            for (hour, at) in sun.hours.iter().enumerate().take(HOURS_PER_YEAR) {
                if entering.beam_w[hour] + entering.diffuse_w[hour] > 0.0 {
                    entering.beam_to_floor[hour] = rule.beam_to_bed(at);
                    entering.light_mol_m2[hour] =
                        rule.hour_parts_mol_m2(hour, at, &aperture_planes, &mut parts);
                    let faces = &mut entering.faces[hour * parts.len()..(hour + 1) * parts.len()];
                    for (face, part) in faces.iter_mut().zip(&parts) {
                        face.light_mol_m2 = *part;
                    }
                }
            }
        }
        entering
    }

    /// Heat from the sun to a surface in an hour, W/m2: see the field.
    pub fn on_surface(&self, surface: usize, hour: usize) -> f64 {
        self.on_surface
            .get(surface)
            .and_then(|hours| hours.get(hour))
            .copied()
            .unwrap_or(0.0)
    }

    /// Adds what enters through a glazed face, `place` among the glazed faces; gives the heat that flows in from its
    /// sheets, W/m2.
    fn add_glazed(
        &mut self,
        (place, shapes): (usize, &[GlazedFaceShape]),
        area_m2: f64,
        optics: &crate::sun::Optics,
        year: &PlaneYear,
    ) -> Vec<f64> {
        let joined = shapes[place].pane.is_some();
        let mut inward = vec![0.0; HOURS_PER_YEAR];
        for (hour, inward) in inward.iter_mut().enumerate() {
            let beam = year.beam_w_m2[hour];
            let diffuse = year.sky_w_m2[hour] + year.ground_w_m2[hour];
            if beam + diffuse <= 0.0 {
                continue;
            }
            let pane = optics.beam(year.cos_incidence[hour]);
            let through = area_m2 * beam * pane.transmitted;
            let even = area_m2 * diffuse * optics.diffuse.transmitted;
            self.beam_w[hour] += through * (1.0 - optics.haze);
            self.diffuse_w[hour] += through * optics.haze + even;
            *inward = beam * pane.inward + diffuse * optics.diffuse.inward;
            let face = &mut self.faces[hour * shapes.len() + place];
            face.sun_w = through + even;
            face.sheet_w = if joined { area_m2 * *inward } else { 0.0 };
            face.outside_w_m2 = beam + diffuse;
        }
        inward
    }
}

fn interior(house: &House) -> Interior {
    let opaque = || {
        house
            .surfaces
            .iter()
            .filter(|s| !is_glazed(s) && (house.floor.is_some() || !is_floor(s)))
    };
    let wall_area_m2: f64 = opaque().map(|s| s.area_m2).sum();
    let reflecting: f64 = opaque()
        .map(|s| s.area_m2 * (1.0 - s.absorptance_inside))
        .sum();
    let floor_area_m2 = house.floor.as_ref().map_or_else(
        || {
            house
                .surfaces
                .iter()
                .filter(|s| is_floor(s))
                .map(|s| s.area_m2)
                .sum()
        },
        |floor| floor.area_m2,
    );
    Interior {
        floor_area_m2,
        wall_area_m2,
        wall_reflectance: reflecting / wall_area_m2.max(LEAST_AREA_M2),
    }
}
