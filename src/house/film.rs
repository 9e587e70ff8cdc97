//! Films: how air and radiation carry heat to and from faces.

use crate::air::{STEFAN_BOLTZMANN_W_M2K4, ZERO_CELSIUS_K};

/// Resistance of the outer film in a standard U value, m2K/W (ISO 6946).
pub(super) const OUTER_FILM_M2K_W: f64 = 0.04;
/// Tilt within which a face counts as a roof (below) or a floor (above 180 less this), degrees (ISO 6946: 60 from
/// the horizontal to level flow).
const STEEP_DEG: f64 = 60.0;
/// Wind at a low building over the wind at 10 m: power law, exponent 0.14 of open country, at 2 m (handbook, from
/// memory).
pub(super) const WIND_AT_BUILDING: f64 = 0.80;
/// Wind at which a U value from air to air holds its outer film, m/s: ISO 6946 puts 0.04 m2K/W to 4 m/s.
pub(super) const REFERENCE_WIND_M_S: f64 = 4.0;
/// Mean of room and outdoors at which U values are measured, for their radiation, °C: own choice, a greenhouse in winter.
const MEASURED_AT_C: f64 = 5.0;
/// Heat that a face gives off while its U value is measured, W/m2: some 20 K of 6 W/m2K. It sets its own air moving, so that
/// no face of such a U value is stiller than that (own choice).
pub(super) const MEASURED_W_M2: f64 = 125.0;
/// Emissivity of what a film sees in a house: leaves, soil, wet boards (textbook, from memory).
const ROOM_EMISSIVITY: f64 = 0.95;
/// Most of a U value that is taken for long-wave passing through (own choice: the rest must conduct).
const THROUGH_MOST: f64 = 0.7;
/// Smooth faces in the wind, half of them to windward and half to leeward: factor (W/m2K at 1 m/s) and exponent
/// (Yazdanian & Klems 1994, measured on windows of real buildings; from memory).
const WINDWARD: (f64, f64) = (3.26, 0.89);
/// To leeward.
const LEEWARD: (f64, f64) = (3.55, 0.617);
/// Wind part of a rough face over that of glass (DOE-2, "rough"; Walton 1981; from memory).
const ROUGH: f64 = 1.67;
/// Heat that a face gives up per K above the air, W/m2K, where its own temperature is only guessed: the standard outer
/// film, 1/0.04 (ISO 6946).
const GUESSED_W_M2K: f64 = 25.0;
/// Smallest natural convection, W/m2K. Own choice, no source: a room's air is never quite still.
const LEAST_CONVECTION_W_M2K: f64 = 0.5;

/// A figure by the tilt of a face: of heat that flows up, level, down.
fn by_tilt(tilt_deg: f64, [up, level, down]: [f64; 3]) -> f64 {
    if tilt_deg < STEEP_DEG {
        up
    } else if tilt_deg > 180.0 - STEEP_DEG {
        down
    } else {
        level
    }
}

/// Resistance of the inner film, convection and radiation, by the tilt of a face, m2K/W (ISO 6946: heat flows up as under a
/// roof, level, down as on a floor).
pub(super) fn inner_film_m2k_w(tilt_deg: f64) -> f64 {
    by_tilt(tilt_deg, [0.10, 0.13, 0.17])
}

/// Convection in that film alone, W/m2K: 5.0 where heat flows up, 2.5 level, 0.7 down (ISO 6946, annex on surface resistances;
/// from memory). Vapour comes to a pane by it.
pub(super) fn inner_convection_w_m2k(tilt_deg: f64) -> f64 {
    by_tilt(tilt_deg, [5.0, 2.5, 0.7])
}

/// How rough an outer face is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum OuterFinish {
    /// Glass and film.
    Smooth,
    /// Boards, plaster, brick.
    Rough,
}

/// Convection by the wind alone at smooth faces, W/m2K.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct WindFilm {
    windward_w_m2k: f64,
    leeward_w_m2k: f64,
}

impl WindFilm {
    /// At a wind speed, m/s at 10 m.
    pub fn at(wind_m_s: f64) -> Self {
        let wind = WIND_AT_BUILDING * wind_m_s.max(0.0);
        let of = |(factor, exponent): (f64, f64)| factor * wind.powf(exponent);
        Self {
            windward_w_m2k: of(WINDWARD),
            leeward_w_m2k: of(LEEWARD),
        }
    }

    /// Convection at a face that sun and sky give `gain_w_m2`, W/m2K.
    ///
    /// Natural convection and wind add as squares; the wind's direction is left out: half windward, half leeward.
    pub fn convection_w_m2k(&self, gain_w_m2: f64, finish: OuterFinish) -> f64 {
        let natural = upright_convection_w_m2k(gain_w_m2 / GUESSED_W_M2K);
        let of = |wind: f64| (natural * natural + wind * wind).sqrt();
        let smooth = 0.5 * (of(self.windward_w_m2k) + of(self.leeward_w_m2k));
        match finish {
            OuterFinish::Smooth => smooth,
            OuterFinish::Rough => natural + ROUGH * (smooth - natural),
        }
        .max(LEAST_CONVECTION_W_M2K)
    }
}

/// Coefficient of a smooth outer face in the reference wind, W/m2K, with the radiation of its emissivity.
pub(super) fn reference_film_w_m2k(emissivity: f64, radiation_w_m2k: f64) -> f64 {
    let wind = WindFilm::at(REFERENCE_WIND_M_S);
    wind.convection_w_m2k(MEASURED_W_M2, OuterFinish::Smooth) + emissivity * radiation_w_m2k
}

/// Radiation coefficient of black faces while a U value is measured, W/m2K.
pub(super) fn measured_radiation_w_m2k() -> f64 {
    radiation_w_m2k(MEASURED_AT_C, MEASURED_AT_C)
}

/// The part of a U value from air to air that is long-wave passing straight through, W/m2K.
pub(super) fn through_w_m2k(u_w_m2k: f64, transmittance: f64) -> f64 {
    let through = transmittance * ROOM_EMISSIVITY * measured_radiation_w_m2k();
    through.min(THROUGH_MOST * u_w_m2k)
}

/// Cube root of a number that is not negative, within 1e-12 as a share: a guess from its binary form, then two rounds of
/// Halley's rule (textbook).
#[inline]
fn cube_root(value: f64) -> f64 {
    /// Two thirds of the exponent's bias and the mean error of the guess, in bits of a double.
    const OFFSET: u64 = 0x2A9F_7893_0000_0000;
    let mut root = f64::from_bits(value.to_bits() / 3 + OFFSET);
    for _ in 0..2 {
        let cube = root * root * root;
        root *= (cube + 2.0 * value) / (2.0 * cube + value);
    }
    root
}

/// Natural convection at an upright face, W/m2K: 1.31 dT^(1/3) (Walton 1983, from memory).
fn upright_convection_w_m2k(difference_k: f64) -> f64 {
    1.31 * cube_root(difference_k.abs())
}

/// Temperature on the absolute scale, K.
#[inline]
pub(super) fn kelvin(temp_c: f64) -> f64 {
    temp_c + ZERO_CELSIUS_K
}

/// Radiation coefficient between black faces at two temperatures, W/m2K: exact, not a tangent.
#[inline]
pub(super) fn radiation_w_m2k(a_c: f64, b_c: f64) -> f64 {
    let (a, b) = (kelvin(a_c), kelvin(b_c));
    STEFAN_BOLTZMANN_W_M2K4 * (a * a + b * b) * (a + b)
}

/// Share of a face's long-wave view that the sky fills, the air at its horizon taken out.
///
/// The sky near the horizon is nearly as warm as the air: of the geometric view (1 + cos tilt)/2 the part
/// sqrt((1 + cos tilt)/2) counts as sky (Walton 1983, NBSIR 83-2655, from memory).
pub(super) fn sky_share(tilt_deg: f64) -> f64 {
    let view = 0.5 * (1.0 + tilt_deg.to_radians().cos());
    view.max(0.0) * view.max(0.0).sqrt()
}

/// Convection between a level face and the air above it, W/m2K: 1.7 dT^(1/3) when the face is warmer, 1.3 dT^(1/4)
/// when it is colder (De Zwart 1996, as used by Vanthoor 2011; from memory).
pub(super) fn level_face_convection_w_m2k(face_above_air_k: f64) -> f64 {
    let value = if face_above_air_k > 0.0 {
        1.7 * cube_root(face_above_air_k)
    } else {
        1.3 * (-face_above_air_k).sqrt().sqrt()
    };
    value.max(LEAST_CONVECTION_W_M2K)
}

/// Natural convection at an inner face of an ordinary room, W/m2K, from the tilt of its outward normal and how much
/// warmer the face is than the air.
///
/// Upright: 1.31 dT^(1/3); otherwise by whether warm air can rise from the face: 9.482 dT^(1/3) / (7.238 - |cos|) or
/// 1.810 dT^(1/3) / (1.382 + |cos|).
///
/// # Source
/// Walton (1983), NBSIR 83-2655, from memory; the algorithm behind published runs of the test boxes.
pub(super) fn room_convection_w_m2k(tilt_deg: f64, face_above_air_k: f64) -> f64 {
    // The inner face of a roof (outward normal up) looks down.
    let outward = tilt_deg.to_radians().cos();
    let cos = outward.abs();
    let root = cube_root(face_above_air_k.abs());
    /// Cosine below which a face counts as upright.
    const UPRIGHT_COS: f64 = 0.02;
    let value = if cos < UPRIGHT_COS {
        upright_convection_w_m2k(face_above_air_k)
    } else if (face_above_air_k > 0.0) != (outward > 0.0) {
        9.482 * root / (7.238 - cos)
    } else {
        1.810 * root / (1.382 + cos)
    };
    value.max(LEAST_CONVECTION_W_M2K)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn films_are_those_of_the_standard() {
        assert_eq!(inner_film_m2k_w(0.0), 0.10);
        assert_eq!(inner_film_m2k_w(90.0), 0.13);
        assert_eq!(inner_film_m2k_w(180.0), 0.17);
    }

    #[test]
    fn cube_roots_are_near_enough() {
        for step in 1..4000 {
            let value = 1.007_f64.powi(step - 2000);
            assert!(
                (cube_root(value) / value.cbrt() - 1.0).abs() < 1e-12,
                "{value}"
            );
        }
        assert!(cube_root(0.0) < 1e-100);
    }

    #[test]
    fn radiation_is_exact_for_any_difference() {
        let flow = radiation_w_m2k(20.0, -30.0) * 50.0;
        let exact = STEFAN_BOLTZMANN_W_M2K4 * (293.15_f64.powi(4) - 243.15_f64.powi(4));
        assert!((flow - exact).abs() < 1e-9);
    }

    /// Handbook range of outer films: about 0.03 to 0.06 m2K/W at 3 to 7 m/s, convection and radiation of 5 W/m2K (from
    /// memory); and the film grows with wind.
    #[test]
    fn outer_films_lie_in_the_handbook_range() {
        for (wind, finish) in [(4.0, OuterFinish::Smooth), (4.0, OuterFinish::Rough)] {
            let film = 1.0 / (WindFilm::at(wind).convection_w_m2k(100.0, finish) + 5.0);
            assert!((0.03..0.08).contains(&film), "{finish:?}: {film}");
        }
        let at = |wind| WindFilm::at(wind).convection_w_m2k(0.0, OuterFinish::Smooth);
        assert!(at(8.0) > at(4.0) && at(4.0) > at(1.0) && at(0.0) > 0.0);
    }

    #[test]
    fn a_warm_floor_carries_more_than_a_warm_ceiling() {
        assert!(room_convection_w_m2k(180.0, 5.0) > 2.0 * room_convection_w_m2k(0.0, 5.0));
    }
}
