//! The sun on and through the faces, hour by hour, before the house shares it out.

use super::{LEAST_AREA_M2, is_floor, is_opening, taken_inside};
use crate::house::on_glazing::FaceSun;
use crate::house::prepare::Layout;
use crate::house::{Behind, House, SurfaceKind};
use crate::site::Weather;
use crate::solar::SunYear;
use crate::sun::bed_light::{ApertureLight, Opening};
use crate::sun::{Aperture, BedLight, Faces, Interior, OnPlane, OpticsShelf, Outlook, Plane};

/// The faces that the sun reaches, with all that does not depend on the weather.
pub(crate) struct Openings {
    faces: Faces,
    /// One a surface.
    lit: Vec<Lit>,
    rule: BedLight,
}

/// How the sun meets a surface.
#[derive(Clone, Copy, Debug)]
enum Lit {
    Never,
    Opaque { plane: usize, absorptance: f64 },
    Glazed(Pane),
}

#[derive(Clone, Copy, Debug)]
struct Pane {
    plane: usize,
    /// Its place among the glazed faces outdoors, in the order of the surfaces.
    place: usize,
    /// Is it a face without heat capacity, joined to the air?
    joined: bool,
}

/// Light that enters, and where it falls first; what meets neither floor nor walls meets other glazing.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Falling {
    /// All of it, W.
    pub all_w: f64,
    /// On the floor, W.
    pub floor_w: f64,
    /// On opaque walls, W.
    pub wall_w: f64,
}

impl Falling {
    pub(crate) fn add(&mut self, light_w: f64, to_floor: f64, missed_to_wall: f64) {
        self.all_w += light_w;
        self.floor_w += light_w * to_floor;
        self.wall_w += light_w * (1.0 - to_floor) * missed_to_wall;
    }
}

/// The sun on and through every face in one hour.
#[derive(Default)]
pub(crate) struct Entering {
    /// Beam that enters unscattered, and where it falls first.
    pub beam: Falling,
    /// Diffuse and scattered light that enters.
    pub diffuse: Falling,
    /// Photosynthetic light at the bed, mol/m2 in the hour.
    pub light_mol_m2: f64,
    /// For each surface: heat from the sun to the outer face (opaque) or into the house from the sheets (glazed),
    /// W/m2; 0 for surfaces that the sun does not reach.
    pub on_surface_w_m2: Vec<f64>,
    planes: Vec<OnPlane>,
    lights: Vec<ApertureLight>,
    parts: Vec<f64>,
}

impl Openings {
    pub fn new(house: &House, layout: &Layout) -> Self {
        let mut planes: Vec<(Plane, &Outlook)> = Vec::new();
        let mut lit = Vec::with_capacity(house.surfaces.len());
        let mut apertures = Vec::new();
        for surface in &house.surfaces {
            if surface.behind != Behind::Outdoor {
                lit.push(Lit::Never);
                continue;
            }
            let plane = Plane {
                tilt_deg: surface.tilt_deg,
                azimuth_deg: surface.azimuth_deg,
            };
            let face = (plane, &surface.outlook);
            let known = planes.iter().position(|known| *known == face);
            let at = known.unwrap_or(planes.len());
            if known.is_none() {
                planes.push(face);
            }
            match &surface.kind {
                SurfaceKind::Opaque {
                    absorptance_outside,
                    ..
                } => lit.push(Lit::Opaque {
                    plane: at,
                    absorptance: *absorptance_outside,
                }),
                SurfaceKind::Glazed(face) => {
                    let place = apertures.len();
                    lit.push(Lit::Glazed(Pane {
                        plane: at,
                        place,
                        joined: layout.glazed[place].pane.is_some(),
                    }));
                    apertures.push(Aperture {
                        plane,
                        area_m2: surface.area_m2,
                        glazing: face.glazing.clone(),
                    });
                }
            }
        }
        Self {
            faces: Faces::new(&planes, house.horizon.as_ref()),
            lit,
            rule: BedLight::new(&apertures, &interior(house)),
        }
    }

    /// Takes the sun of hour `at`, and fills `faces` with what comes through each glazed face, dry and free of snow.
    pub fn hour(
        &self,
        weather: &Weather,
        sun: &SunYear,
        at: usize,
        entering: &mut Entering,
        faces: &mut [FaceSun],
    ) {
        (entering.beam, entering.diffuse) = Default::default();
        entering.light_mol_m2 = 0.0;
        if !self.faces.hour(weather, sun, at, &mut entering.planes) {
            entering.on_surface_w_m2.fill(0.0);
            faces.fill(FaceSun::default());
            return;
        }
        let rule = &self.rule;
        let beam_to_floor = sun.hours.get(at).map_or(0.0, |sun| rule.beam_to_bed(sun));
        for (index, lit) in self.lit.iter().enumerate() {
            entering.on_surface_w_m2[index] = match *lit {
                Lit::Never => 0.0,
                Lit::Opaque { plane, absorptance } => {
                    let on = &entering.planes[plane];
                    absorptance * (on.beam_w_m2 + on.diffuse_w_m2())
                }
                Lit::Glazed(pane) => {
                    entering.add_glazed(pane, &rule.openings[pane.place], beam_to_floor, faces)
                }
            };
        }
        if entering.beam.all_w + entering.diffuse.all_w > 0.0 {
            entering.light_mol_m2 =
                rule.hour_parts_mol_m2(beam_to_floor, &entering.lights, &mut entering.parts);
            for (face, part) in faces.iter_mut().zip(&entering.parts) {
                face.light_mol_m2 = *part;
            }
        }
    }
}

impl Entering {
    /// An hour without light.
    pub fn new(openings: &Openings) -> Self {
        let glazed = openings.rule.openings.len();
        Self {
            on_surface_w_m2: vec![0.0; openings.lit.len()],
            planes: vec![OnPlane::default(); openings.faces.count()],
            lights: vec![ApertureLight::default(); glazed],
            parts: vec![0.0; glazed],
            ..Self::default()
        }
    }

    /// Adds what enters through a glazed face; gives the heat that flows in from its sheets, W/m2.
    fn add_glazed(
        &mut self,
        glazed: Pane,
        opening: &Opening,
        beam_to_floor: f64,
        faces: &mut [FaceSun],
    ) -> f64 {
        let on = &self.planes[glazed.plane];
        let beam = on.beam_w_m2;
        let diffuse = on.diffuse_w_m2();
        let (area_m2, optics) = (opening.area_m2, &opening.optics);
        let pane = optics.beam(on.cos_incidence);
        self.lights[glazed.place] = ApertureLight {
            beam_w_m2: beam,
            sky_w_m2: on.sky_w_m2 + on.circumsolar_w_m2,
            ground_w_m2: on.ground_w_m2,
            beam_par: pane.transmitted_par,
        };
        let through = area_m2 * beam * pane.transmitted;
        let even = area_m2 * diffuse * optics.diffuse.transmitted;
        let first = &opening.first;
        let to_wall = first.missed_to_wall;
        self.beam
            .add(through * (1.0 - optics.haze), beam_to_floor, to_wall);
        let scattered = through * optics.haze;
        self.diffuse
            .add(scattered, first.scattered_to_floor, to_wall);
        let diffuse_in = area_m2 * optics.diffuse.transmitted;
        let sky_w = diffuse_in * (diffuse - on.ground_w_m2);
        self.diffuse.add(sky_w, first.sky_to_floor, to_wall);
        let ground_w = diffuse_in * on.ground_w_m2;
        self.diffuse.add(ground_w, 0.0, to_wall);
        let inward = beam * pane.inward + diffuse * optics.diffuse.inward;
        faces[glazed.place] = FaceSun {
            sun_w: through + even,
            sheet_w: if glazed.joined { area_m2 * inward } else { 0.0 },
            light_mol_m2: 0.0,
            outside_w_m2: beam + diffuse,
        };
        inward
    }
}

fn interior(house: &House) -> Interior {
    let mut shelf = OpticsShelf::default();
    let (mut wall_area_m2, mut reflecting) = (0.0, 0.0);
    for surface in &house.surfaces {
        if !is_opening(surface) && (house.floor.is_some() || !is_floor(surface)) {
            wall_area_m2 += surface.area_m2;
            reflecting += surface.area_m2 * (1.0 - taken_inside(surface, &mut shelf));
        }
    }
    let floor_area_m2 = match &house.floor {
        Some(floor) => floor.area_m2,
        None => {
            let floors = house.surfaces.iter().filter(|surface| is_floor(surface));
            floors.map(|surface| surface.area_m2).sum()
        }
    };
    Interior {
        floor_area_m2,
        wall_area_m2,
        wall_reflectance: reflecting / wall_area_m2.max(LEAST_AREA_M2),
    }
}
