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

mod rule;

pub use rule::{Aperture, ApertureLight, BedLight, FirstFall, Interior, Wet};

/// Photosynthetic photons in a megajoule of global sunlight, mol/MJ.
///
/// Source: photosynthetic share of the energy 0.45 (Akitsu et al., comparison of sites: 0.45 to 0.46) times 4.57 mol/MJ
/// of photosynthetic sunlight (Thimijan & Heins 1983; McCree 1972; from memory) = 2.06; the range of the sources is
/// 1.87 to 2.18.
pub const PHOTONS_MOL_MJ: f64 = 2.06;
/// Photosynthetic photons in one hour of 1 W/m2 of global sunlight, mol/m2.
pub const PHOTONS_MOL_PER_W_H: f64 = PHOTONS_MOL_MJ * 3600.0 / 1e6;
