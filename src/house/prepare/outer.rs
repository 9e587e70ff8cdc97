//! The outer side of faces: equivalent temperature and film.

use super::Hour;
use crate::air::STEFAN_BOLTZMANN_W_M2K4;
use crate::calendar::{HOURS_PER_DAY, month_of_hour};
use crate::house::film::{
    MEASURED_W_M2, OuterFinish, REFERENCE_WIND_M_S, WindFilm, kelvin, radiation_w_m2k, sky_share,
};
use crate::house::wall::{OuterSide, Series};
use crate::house::{Behind, Make, OuterFilm, Surface, SurfaceKind};
use crate::site::UndisturbedGround;

/// Film of a wall's far face in a room, m2K/W (ISO 6946, heat flow level).
const ROOM_FILM_M2K_W: f64 = 0.13;
/// Radiation coefficient of still outer faces is added to this convection, W/m2K (ISO 6946 at no wind).
const SHELTERED_CONVECTION_W_M2K: f64 = 4.0;

/// What lies outside in an hour.
#[derive(Clone, Copy)]
pub(super) struct Outside<'a> {
    /// Air, sky, night, and the sun inside.
    pub hour: &'a Hour,
    /// How wind carries heat.
    pub film: OuterFilm,
    pub ground: &'a UndisturbedGround,
    /// Hour of the year, and its month.
    pub at: usize,
    pub month: usize,
    /// Long-wave from the sky less that of a black face at outdoor temperature, W/m2.
    pub sky_w_m2: f64,
    /// Radiation coefficient of a black face at outdoor temperature, W/m2K.
    radiation_w_m2k: f64,
    /// Convection by the wind; still where the film does not grow with it.
    wind: WindFilm,
    /// In the reference wind.
    reference: WindFilm,
}

impl<'a> Outside<'a> {
    pub fn new(
        hour: &'a Hour,
        film: OuterFilm,
        ground: &'a UndisturbedGround,
        at: usize,
        sky_w_m2: f64,
    ) -> Self {
        let square = kelvin(hour.outdoor_c) * kelvin(hour.outdoor_c);
        Self {
            hour,
            film,
            ground,
            at,
            month: month_of_hour(at),
            sky_w_m2: sky_w_m2 - STEFAN_BOLTZMANN_W_M2K4 * square * square,
            radiation_w_m2k: radiation_w_m2k(hour.outdoor_c, hour.outdoor_c),
            wind: match film {
                OuterFilm::Standard => WindFilm::default(),
                OuterFilm::Wind => WindFilm::at(hour.wind_m_s),
            },
            reference: WindFilm::at(REFERENCE_WIND_M_S),
        }
    }
}

/// The outer side of a surface, as far as no weather comes into it.
#[derive(Clone, Debug)]
pub(super) struct OuterFace {
    behind: Behind,
    is_glazed: bool,
    emissivity: f64,
    /// Share of its long-wave view that counts as sky.
    sky_share: f64,
    /// Resistance of its outer film at standard wind, m2K/W.
    standard_m2k_w: f64,
    /// Does its U value hold the outer film, so that this one must agree with it in the reference wind?
    holds_films: bool,
    /// 1 over U with standard films, m2K/W.
    nominal_m2k_w: f64,
}

impl OuterFace {
    pub fn new(surface: &Surface, series: &Series) -> Self {
        let (emissivity, is_glazed) = match &surface.kind {
            SurfaceKind::Opaque {
                emissivity_outside, ..
            } => (*emissivity_outside, false),
            SurfaceKind::Glazed(face) => (face.emissivity_outside, true),
        };
        Self {
            behind: surface.behind.clone(),
            is_glazed,
            emissivity,
            sky_share: sky_share(surface.tilt_deg),
            standard_m2k_w: series.outer_m2k_w,
            nominal_m2k_w: series.whole_m2k_w(),
            holds_films: matches!(surface.make, Make::AirToAir { .. }),
        }
    }
}

/// Equivalent outdoor temperature and outer film of a face.
pub(super) fn outer_side(outside: &Outside, face: &OuterFace, from_sun_w_m2: f64) -> OuterSide {
    let radiation = face.emissivity * outside.radiation_w_m2k;
    match &face.behind {
        Behind::Nothing => OuterSide::default(),
        Behind::Ground { depth_mm } => OuterSide {
            temp_c: outside.ground.temp_c(
                f64::from(*depth_mm) / 1000.0,
                (outside.at as f64 + 0.5) / HOURS_PER_DAY as f64,
            ),
            film_m2k_w: 0.0,
        },
        Behind::Given(temp_c) => OuterSide {
            temp_c: temp_c.at(outside.at),
            film_m2k_w: 0.0,
        },
        Behind::Room(temp_c) => OuterSide {
            temp_c: temp_c.at(outside.at),
            film_m2k_w: if face.holds_films {
                face.standard_m2k_w
            } else {
                ROOM_FILM_M2K_W
            },
        },
        // What the room beside puts before it is known when both are solved.
        Behind::Beside => OuterSide {
            temp_c: outside.hour.outdoor_c,
            film_m2k_w: ROOM_FILM_M2K_W,
        },
        Behind::ShelteredAir => OuterSide {
            temp_c: outside.hour.outdoor_c,
            film_m2k_w: match outside.film {
                OuterFilm::Standard => face.standard_m2k_w,
                OuterFilm::Wind => 1.0 / (SHELTERED_CONVECTION_W_M2K + radiation),
            },
        },
        Behind::Outdoor => {
            let sky = face.emissivity * face.sky_share * outside.sky_w_m2;
            let film = match outside.film {
                OuterFilm::Standard => face.standard_m2k_w,
                OuterFilm::Wind => {
                    let gain = sky + if face.is_glazed { 0.0 } else { from_sun_w_m2 };
                    let finish = if face.is_glazed {
                        OuterFinish::Smooth
                    } else {
                        OuterFinish::Rough
                    };
                    let least = if face.holds_films { MEASURED_W_M2 } else { 0.0 };
                    let moving = gain.abs().max(least);
                    let film_w_m2k = outside.wind.convection_w_m2k(moving, finish) + radiation;
                    if face.holds_films {
                        let reference = outside.reference.convection_w_m2k(MEASURED_W_M2, finish);
                        face.standard_m2k_w * (reference + radiation) / film_w_m2k
                    } else {
                        1.0 / film_w_m2k
                    }
                }
            };
            let sun_k = if face.is_glazed {
                // Heat that flows in from the sheets, however the films share it.
                from_sun_w_m2 * face.nominal_m2k_w
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
