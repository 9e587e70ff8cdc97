//! The outer side of faces: equivalent temperature and film.

use super::Hour;
use crate::air::STEFAN_BOLTZMANN_W_M2K4;
use crate::calendar::HOURS_PER_DAY;
use crate::house::film::{
    OUTER_FILM_M2K_W, inner_film_m2k_w, kelvin, outer_convection_w_m2k, radiation_w_m2k, sky_share,
};
use crate::house::wall::{OuterSide, split_air_to_air};
use crate::house::{Behind, Make, OuterFilm, Surface, SurfaceKind};
use crate::site::UndisturbedGround;

/// Radiation coefficient of still outer faces is added to this convection, W/m2K (ISO 6946 at no wind).
const SHELTERED_CONVECTION_W_M2K: f64 = 4.0;

/// What lies outside in an hour.
#[derive(Clone, Copy)]
pub(super) struct Outside<'a> {
    /// Weather of the hour.
    pub hour: &'a Hour,
    /// Long-wave from the sky, W/m2.
    pub sky_w_m2: f64,
    /// How wind carries heat.
    pub film: OuterFilm,
    /// Ground.
    pub ground: &'a UndisturbedGround,
    /// Hour of the year.
    pub at: usize,
}

/// U of a surface with standard films, W/m2K; only used to turn heat from glazing's sheets into a temperature.
pub(super) fn nominal_u(surface: &Surface) -> f64 {
    let film = inner_film_m2k_w(surface.tilt_deg);
    match &surface.make {
        Make::AirToAir { u_w_m2k, .. } => *u_w_m2k,
        Make::FaceToFace {
            resistance_m2k_w, ..
        } => 1.0 / (film + resistance_m2k_w + OUTER_FILM_M2K_W),
        Make::Layers(layers) => {
            let core: f64 = layers
                .iter()
                .map(|l| l.thickness_m / l.conductivity_w_mk)
                .sum();
            1.0 / (film + core + OUTER_FILM_M2K_W)
        }
    }
}

/// Equivalent outdoor temperature and outer film of a surface.
pub(super) fn outer_side(
    outside: &Outside,
    surface: &Surface,
    from_sun_w_m2: f64,
    u_w_m2k: f64,
) -> OuterSide {
    let (emissivity, is_glazed) = match &surface.kind {
        SurfaceKind::Opaque {
            emissivity_outside, ..
        } => (*emissivity_outside, false),
        SurfaceKind::Glazed(face) => (face.emissivity_outside, true),
    };
    let standard = match &surface.make {
        Make::AirToAir { u_w_m2k, .. } => {
            split_air_to_air(*u_w_m2k, inner_film_m2k_w(surface.tilt_deg)).2
        }
        _ => OUTER_FILM_M2K_W,
    };
    let radiation = emissivity * radiation_w_m2k(outside.hour.outdoor_c, outside.hour.outdoor_c);
    match surface.behind {
        Behind::Nothing => OuterSide::default(),
        Behind::Ground { depth_mm } => OuterSide {
            temp_c: outside.ground.temp_c(
                f64::from(depth_mm) / 1000.0,
                (outside.at as f64 + 0.5) / HOURS_PER_DAY as f64,
            ),
            film_m2k_w: 0.0,
        },
        Behind::ShelteredAir => OuterSide {
            temp_c: outside.hour.outdoor_c,
            film_m2k_w: match outside.film {
                OuterFilm::Standard => standard,
                OuterFilm::Wind => 1.0 / (SHELTERED_CONVECTION_W_M2K + radiation),
            },
        },
        Behind::Outdoor => {
            let film = match outside.film {
                OuterFilm::Standard => standard,
                OuterFilm::Wind => {
                    1.0 / (outer_convection_w_m2k(outside.hour.wind_m_s) + radiation)
                }
            };
            let black = STEFAN_BOLTZMANN_W_M2K4 * kelvin(outside.hour.outdoor_c).powi(4);
            let sky = emissivity * sky_share(surface.tilt_deg) * (outside.sky_w_m2 - black);
            let sun_k = if is_glazed {
                // Heat that flows in from the sheets, however the films share it.
                from_sun_w_m2 / u_w_m2k
            } else {
                from_sun_w_m2 * film
            };
            OuterSide {
                temp_c: outside.hour.outdoor_c + sky * film + sun_k,
                film_m2k_w: film,
            }
        }
    }
}
