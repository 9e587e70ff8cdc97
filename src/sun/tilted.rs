//! Irradiance on a tilted face from the weather's beam and diffuse light.

use super::horizon::Horizon;
use super::plane::{Plane, dot};
use super::shade::{Shade, ShadedFace};
use crate::solar::SunHour;

/// Light of one hour: what the weather says, made safe for a low sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// Direct normal irradiance, W/m2.
    pub dni_w_m2: f64,
    /// Diffuse horizontal irradiance, W/m2.
    pub dhi_w_m2: f64,
    /// Global horizontal irradiance, W/m2, for the light the ground reflects.
    pub ghi_w_m2: f64,
    /// Reflectance of the ground, 0 to 1.
    pub ground_reflectance: f64,
}

/// Parts of the irradiance on a face, W/m2.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OnPlane {
    pub beam_w_m2: f64,
    /// Sky without the part round the sun.
    pub sky_w_m2: f64,
    /// The bright part of the sky round the sun.
    pub circumsolar_w_m2: f64,
    /// Reflected by the ground.
    pub ground_w_m2: f64,
    /// Cosine of incidence, not below 0.
    pub cos_incidence: f64,
}

impl OnPlane {
    /// Sky, the bright part round the sun included, and ground, W/m2.
    pub fn diffuse_w_m2(&self) -> f64 {
        self.sky_w_m2 + self.circumsolar_w_m2 + self.ground_w_m2
    }
}

/// What stands before a face: its own skyline, an overhang or fins.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outlook {
    /// Skyline before this face, in place of the site's.
    pub horizon: Option<Horizon>,
    /// Overhang and fins.
    pub shade: Option<Shade>,
}

/// A face with everything worked out that does not change with the hour.
#[derive(Clone, Copy, Debug)]
pub struct Face {
    normal: [f64; 3],
    sky_view: f64,
    ground_view: f64,
    sin_tilt: f64,
    /// Share of the even sky's light left over by the skyline, on this face and on the level ground.
    open_sky: f64,
    open_sky_level: f64,
    shade: Option<ShadedFace>,
}

impl Face {
    /// Prepares a face before a skyline and behind an overhang and fins.
    ///
    /// Of the even sky it keeps the share above the skyline times the share past the projections.
    pub fn shaded(plane: Plane, horizon: Option<&Horizon>, shade: Option<Shade>) -> Self {
        let share = |plane| horizon.map_or(1.0, |skyline| skyline.sky_share(plane));
        Self {
            normal: plane.normal(),
            sky_view: plane.sky_view(),
            ground_view: plane.ground_view(),
            sin_tilt: plane.tilt_deg.to_radians().sin(),
            open_sky: share(plane),
            open_sky_level: share(Plane::LEVEL),
            shade: shade.map(|shade| ShadedFace::new(plane, shade)),
        }
    }

    /// The same under a sky whose spread is known.
    pub(super) fn lit(&self, sun: &SunHour, light: &Light, sky: Sky, sun_seen: bool) -> OnPlane {
        let cos_incidence = dot(self.normal, sun.direction).max(0.0);
        let seen = if sun_seen { 1.0 } else { 0.0 };
        let even = (1.0 - sky.round_sun) * self.sky_view + sky.at_horizon * self.sin_tilt;
        let ground_light =
            seen * light.dni_w_m2 * sun.cos_zenith + light.dhi_w_m2 * self.open_sky_level;
        let shaded = self.open_sky_level < 1.0 || !sun_seen;
        let (lit, past_sky, past_ground) = match &self.shade {
            Some(shade) if cos_incidence > 0.0 => (
                seen * shade.passes(sun.direction),
                shade.open_sky,
                shade.open_ground,
            ),
            Some(shade) => (seen, shade.open_sky, shade.open_ground),
            None => (seen, 1.0, 1.0),
        };
        OnPlane {
            beam_w_m2: lit * light.dni_w_m2 * cos_incidence,
            sky_w_m2: (light.dhi_w_m2 * even * self.open_sky * past_sky).max(0.0),
            circumsolar_w_m2: lit * light.dhi_w_m2 * sky.round_sun_per_cos * cos_incidence,
            ground_w_m2: light.ground_reflectance
                * self.ground_view
                * past_ground
                * if shaded { ground_light } else { light.ghi_w_m2 },
            cos_incidence,
        }
    }
}

/// Cosine of the largest zenith angle, 85 degrees, that the light round the sun is divided by (Perez et al. 1990).
const LOWEST_COS_ZENITH: f64 = 0.087_155_742_747_658_18;

/// Spread of diffuse light: shares of the diffuse horizontal irradiance.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sky {
    round_sun: f64,
    /// The same over the cosine of the zenith angle.
    round_sun_per_cos: f64,
    at_horizon: f64,
}

impl Sky {
    /// The sky of an hour.
    pub(super) fn new(sun: &SunHour, light: &Light) -> Self {
        let (round_sun, at_horizon) = if sun.up_share > 0.0 {
            Self::perez(sun, light)
        } else {
            (0.0, 0.0)
        };
        Self {
            round_sun,
            round_sun_per_cos: round_sun / sun.cos_zenith.max(LOWEST_COS_ZENITH),
            at_horizon,
        }
    }

    /// Perez et al. (1990), Solar Energy 44:271-289, all-sites composite coefficients.
    fn perez(sun: &SunHour, light: &Light) -> (f64, f64) {
        /// Weight of the zenith angle in the clearness, 1/rad3.
        const KAPPA: f64 = 1.041;
        if light.dhi_w_m2 <= 0.0 {
            return (0.0, 0.0);
        }
        let zenith = (90.0 - sun.elevation_deg).clamp(0.0, 90.0).to_radians();
        let weight = KAPPA * zenith * zenith * zenith;
        let clearness = (1.0 + light.dni_w_m2 / light.dhi_w_m2 + weight) / (1.0 + weight);
        let brightness = light.dhi_w_m2 * sun.air_mass / sun.extraterrestrial_normal_w_m2;
        let bin = PEREZ_CLEARNESS
            .iter()
            .filter(|&&edge| clearness >= edge)
            .count();
        let [f11, f12, f13, f21, f22, f23] = PEREZ_1990[bin.min(PEREZ_1990.len() - 1)];
        (
            (f11 + f12 * brightness + f13 * zenith).max(0.0),
            f21 + f22 * brightness + f23 * zenith,
        )
    }
}

/// Upper edges of the first seven clearness bins (Perez et al. 1990, table 1).
const PEREZ_CLEARNESS: [f64; 7] = [1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2];
/// Coefficients F11, F12, F13, F21, F22, F23 by clearness bin (Perez et al. 1990, table 6, all sites).
const PEREZ_1990: [[f64; 6]; 8] = [
    [-0.008, 0.588, -0.062, -0.060, 0.072, -0.022],
    [0.130, 0.683, -0.151, -0.019, 0.066, -0.029],
    [0.330, 0.487, -0.221, 0.055, -0.064, -0.026],
    [0.568, 0.187, -0.295, 0.109, -0.152, -0.014],
    [0.873, -0.392, -0.362, 0.226, -0.462, 0.001],
    [1.132, -1.237, -0.412, 0.288, -0.823, 0.056],
    [1.060, -1.600, -0.359, 0.264, -1.127, 0.131],
    [0.678, -0.327, -0.250, 0.156, -1.377, 0.251],
];
