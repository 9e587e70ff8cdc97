//! From the light that enters to the light at the bed.
//!
//! # The rule
//! - **Beam.** A parallel beam fills the outline of the glazing as seen from the sun, `sum(A cos theta)` over the
//!   sunlit glazing; the beds fill `A_floor sin h` of that view. So the share `min(1, A_floor sin h / sum(A cos theta))`
//!   of what enters falls on the beds, the rest on walls and on glazing opposite.
//! - **Sky.** Sky light is many beams: its share is the beam's share averaged over the sky, each direction weighted by
//!   what enters from it.
//! - **Scattered beam** (haze of the glazing) leaves the inner face in all directions: the bed gets the part
//!   `(1 + cos tilt)/2` of it that the face sends below the horizon, no more than the bed's area allows by
//!   reciprocity. Light of sky and ground comes from all sides already; haze leaves it as it is.
//! - **Ground.** Light the ground reflects goes upwards: none of it meets the bed directly.
//! - **Walls.** What did not meet the bed falls on walls and on the other glazing in proportion to their areas. Walls
//!   send their reflectance back; reflected light fills the room evenly (integrating sphere), and glazing, walls and
//!   beds take their parts of it.
//! - **Heat** is shared by the same first falls ([`FirstFall`]), with the absorptances of the whole solar spectrum.
//! - **Bound.** The bed never gets more than fell on the glazing outside.
//!
//! Under a house glazed all round, the rule gives the glazing's transmittance times the sun on the level; behind
//! a glazed south slope it gives more than that in winter, as measured in such houses.

use std::sync::Arc;

use super::glazing::{FRAME_ABSORPTANCE, Glazing, Optics, OpticsShelf};
use super::plane::{Plane, dot};
use crate::solar::SunHour;

/// Photosynthetic photons in a megajoule of global sunlight, mol/MJ.
///
/// Source: photosynthetic share of the energy 0.45 (Akitsu et al., comparison of sites: 0.45 to 0.46) times 4.57 mol/MJ
/// of photosynthetic sunlight (Thimijan & Heins 1983; McCree 1972; from memory) = 2.06; the range of the sources is
/// 1.87 to 2.18.
pub const PHOTONS_MOL_MJ: f64 = 2.06;
/// Photosynthetic photons in one hour of 1 W/m2 of global sunlight, mol/m2.
pub const PHOTONS_MOL_PER_W_H: f64 = PHOTONS_MOL_MJ * 3600.0 / 1e6;
/// Share of the light on a bed that leaves and soil throw back. Leaves reflect 5 to 10 % of photosynthetic light, moist
/// soil about 10 % (textbook values, from memory).
const BED_REFLECTANCE: f64 = 0.08;

/// A piece of glazing.
#[derive(Clone, Debug, PartialEq)]
pub struct Aperture {
    /// Where it looks.
    pub plane: Plane,
    /// Gross area, frame included, m2.
    pub area_m2: f64,
    /// What it is made of.
    pub glazing: Glazing,
}

/// The room behind the glazing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interior {
    /// Floor with the beds, m2, above 0.
    pub floor_area_m2: f64,
    /// Opaque walls and roof inside, m2, 0 or more.
    pub wall_area_m2: f64,
    /// Their reflectance for photosynthetic light: fresh white paint 0.8, light wood 0.5, dark soil or brick 0.2
    /// (textbook values, from memory).
    pub wall_reflectance: f64,
}

/// Light on an aperture in an hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ApertureLight {
    /// Beam, W/m2 of the aperture.
    pub beam_w_m2: f64,
    /// From the sky, the bright part round the sun included, W/m2.
    pub sky_w_m2: f64,
    /// Reflected by the ground, W/m2.
    pub ground_w_m2: f64,
    /// Share of the beam that comes in as photosynthetic light: `transmitted_par` of [`Optics::beam`].
    pub beam_par: f64,
}

/// What lies on the glazing in an hour: shares, 0 to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wet {
    /// Part of the glazing wet with drops inside.
    pub condensation_share: f64,
    /// Part of the glazing under snow.
    pub snow_share: f64,
}

impl Wet {
    /// Share of the light left, 0 to 1, on a glazing that loses `condensation_loss` where wet.
    pub fn left(self, condensation_loss: f64) -> f64 {
        (1.0 - self.snow_share.clamp(0.0, 1.0))
            * (1.0 - self.condensation_share.clamp(0.0, 1.0) * condensation_loss.clamp(0.0, 1.0))
    }
}

/// One aperture with its shares.
#[derive(Clone, Debug)]
pub struct Opening {
    normal: [f64; 3],
    /// Gross area, m2.
    pub area_m2: f64,
    /// What becomes of light on it.
    pub optics: Arc<Optics>,
    /// Where light through it falls first.
    pub first: FirstFall,
    /// Share of the light that misses the beds which walls and other glazing throw back.
    missed_back: f64,
}

/// Where light that entered through one aperture falls first, shares from 0 to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FirstFall {
    /// Of the beam's scattered part, on the floor.
    pub scattered_to_floor: f64,
    /// Of the sky's light, on the floor; of what the ground reflects, nothing.
    pub sky_to_floor: f64,
    /// Of what misses the floor, on opaque walls; the rest meets other glazing.
    pub missed_to_wall: f64,
}

/// The light rule of one building.
#[derive(Clone, Debug)]
pub struct BedLight {
    /// In the order of the apertures.
    pub openings: Vec<Opening>,
    floor_area_m2: f64,
    per_floor_m2: f64,
    /// Light on every m2 of the room per unit of reflected light set free in it, 1/m2.
    spread_per_m2: f64,
}

impl BedLight {
    /// Works out the shares of a building.
    ///
    /// Areas below 0 count as 0, the floor as at least 0.01 m2.
    pub fn new(apertures: &[Aperture], interior: &Interior) -> Self {
        let floor_area_m2 = interior.floor_area_m2.max(0.01);
        let wall_m2 = interior.wall_area_m2.max(0.0);
        let glazed_m2: f64 = apertures.iter().map(|a| a.area_m2.max(0.0)).sum();
        let wall_reflectance = interior.wall_reflectance.clamp(0.0, 0.98);
        let mut shelf = OpticsShelf::default();
        let optics: Vec<Arc<Optics>> = apertures.iter().map(|a| shelf.of(&a.glazing)).collect();
        let glazed_reflecting: f64 = apertures
            .iter()
            .zip(&optics)
            .map(|(a, o)| {
                let frame = FRAME_ABSORPTANCE * (1.0 - a.glazing.clear_share());
                let taken = o.diffuse.transmitted + o.diffuse.absorbed + frame;
                a.area_m2.max(0.0) * (1.0 - taken).clamp(0.0, 1.0)
            })
            .sum();
        // Share of the light that glazing throws back into the room, mean of all.
        let glazing_reflectance = glazed_reflecting / glazed_m2.max(1e-9);
        let all_m2 = floor_area_m2 + wall_m2 + glazed_m2;
        let absorbing = all_m2
            - floor_area_m2 * BED_REFLECTANCE
            - wall_m2 * wall_reflectance
            - glazed_reflecting;
        let mut openings: Vec<Opening> = apertures
            .iter()
            .zip(optics)
            .map(|(aperture, optics)| {
                let area_m2 = aperture.area_m2.max(0.0);
                let opposite = wall_m2 + glazed_m2 - area_m2;
                let to_wall = if opposite > 0.0 {
                    wall_m2 / opposite
                } else {
                    0.0
                };
                Opening {
                    normal: aperture.plane.normal(),
                    area_m2,
                    optics,
                    first: FirstFall {
                        scattered_to_floor: aperture
                            .plane
                            .sky_view()
                            .min(floor_area_m2 / area_m2.max(1e-9)),
                        missed_to_wall: to_wall,
                        ..FirstFall::default()
                    },
                    missed_back: to_wall * wall_reflectance + (1.0 - to_wall) * glazing_reflectance,
                }
            })
            .collect();
        let shares = sky_shares(&openings, floor_area_m2);
        for (opening, share) in openings.iter_mut().zip(shares) {
            opening.first.sky_to_floor = share;
        }
        Self {
            openings,
            floor_area_m2,
            per_floor_m2: 1.0 / floor_area_m2,
            spread_per_m2: 1.0 / absorbing.max(1e-6),
        }
    }

    /// Share of the entering beam that meets the beds directly, 0 to 1.
    pub fn beam_to_bed(&self, sun: &SunHour) -> f64 {
        share_on_floor(&self.openings, self.floor_area_m2, sun.direction)
    }

    /// Photosynthetic light at the beds in an hour, mol/m2 of floor, glazing dry and free of snow; `parts` is filled
    /// with what comes by each aperture.
    ///
    /// `beam_share` is that of [`BedLight::beam_to_bed`]; `lights` holds the light on each aperture and `parts` a place
    /// for each, in the order given to [`BedLight::new`]. Drops and snow take from each part as [`Wet::left`] says.
    pub fn hour_parts_mol_m2(
        &self,
        beam_share: f64,
        lights: &[ApertureLight],
        parts: &mut [f64],
    ) -> f64 {
        let (mut bed_w_m2, mut outside_w) = (0.0, 0.0);
        for ((opening, light), part) in self.openings.iter().zip(lights).zip(parts.iter_mut()) {
            *part = 0.0;
            let (beam, sky, ground) = (light.beam_w_m2, light.sky_w_m2, light.ground_w_m2);
            if beam + sky + ground <= 0.0 {
                continue;
            }
            let optics = &opening.optics;
            let beam_in = opening.area_m2 * beam * light.beam_par;
            let diffuse = opening.area_m2 * optics.diffuse.transmitted_par;
            let scattered = beam_in * optics.haze;
            let first = &opening.first;
            let direct = (beam_in - scattered) * beam_share
                + scattered * first.scattered_to_floor
                + diffuse * sky * first.sky_to_floor;
            let missed = beam_in + diffuse * (sky + ground) - direct;
            let lit = missed * opening.missed_back + direct * BED_REFLECTANCE;
            *part = direct * self.per_floor_m2 + lit * self.spread_per_m2;
            bed_w_m2 += *part;
            outside_w += opening.area_m2 * (beam + sky + ground);
        }
        let bound_w_m2 = outside_w * self.per_floor_m2;
        let kept = if bed_w_m2 > bound_w_m2 {
            bound_w_m2 / bed_w_m2
        } else {
            1.0
        };
        for part in parts.iter_mut() {
            *part *= kept * PHOTONS_MOL_PER_W_H;
        }
        bed_w_m2.min(bound_w_m2) * PHOTONS_MOL_PER_W_H
    }
}

/// Share of a parallel beam through the openings that meets the floor.
fn share_on_floor(openings: &[Opening], floor_area_m2: f64, towards: [f64; 3]) -> f64 {
    let outline: f64 = openings
        .iter()
        .map(|opening| opening.area_m2 * dot(opening.normal, towards).max(0.0))
        .sum();
    if outline <= 0.0 {
        return 0.0;
    }
    (floor_area_m2 * towards[2].max(0.0) / outline).min(1.0)
}

/// The beam's share averaged over an even sky, for each opening, weighted by what enters from each patch.
fn sky_shares(openings: &[Opening], floor_area_m2: f64) -> Vec<f64> {
    /// Width and height of a sky patch, degrees.
    const PATCH_DEG: f64 = 3.0;
    const ROWS: usize = 30;
    const COLUMNS: usize = 120;
    let mut all = vec![0.0; openings.len()];
    let mut floor = vec![0.0; openings.len()];
    let turn = |patch: usize| ((patch as f64 + 0.5) * PATCH_DEG).to_radians().sin_cos();
    let columns: [(f64, f64); COLUMNS] = std::array::from_fn(turn);
    for row in 0..ROWS {
        let (up, size) = turn(row);
        for (east, north) in columns {
            let towards = [size * east, size * north, up];
            let share = share_on_floor(openings, floor_area_m2, towards);
            for ((opening, all), floor) in openings.iter().zip(&mut all).zip(&mut floor) {
                let cos = dot(opening.normal, towards).max(0.0);
                let enters = size * cos * opening.optics.beam(cos).transmitted_par;
                *all += enters;
                *floor += enters * share;
            }
        }
    }
    all.iter()
        .zip(&floor)
        .map(|(all, floor)| if *all > 0.0 { floor / all } else { 0.0 })
        .collect()
}
