//! The sun's place in the sky, from place and time alone: position, day length, extraterrestrial irradiance.

mod position;
mod year;

pub use position::{SunPosition, air_mass, position, refraction_deg};
pub use year::{SunHour, SunYear, sun_year};

/// Total solar irradiance at one astronomical unit, W/m2 (Gueymard 2018, Solar Energy 168:2-12).
pub const SOLAR_CONSTANT_W_M2: f64 = 1361.1;
/// True elevation of the sun's centre at sunrise and sunset, degrees: upper limb on the horizon, with 34' of
/// refraction and 16' of semidiameter.
pub const RISE_SET_ELEVATION_DEG: f64 = -0.8333;

/// Diffuse share of global horizontal irradiance, 0 to 1, from the clearness index.
///
/// `kt` is global horizontal irradiance over that outside the atmosphere, 0 to about 1 (clamped).
///
/// # Source
/// Erbs, Klein & Duffie (1982), Solar Energy 28:293-302.
pub fn erbs_diffuse_fraction(kt: f64) -> f64 {
    let kt = kt.clamp(0.0, 1.0);
    if kt <= 0.22 {
        1.0 - 0.09 * kt
    } else if kt <= 0.8 {
        0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)))
    } else {
        0.165
    }
}
