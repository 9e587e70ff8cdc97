//! The sun's place in the sky, from place and time alone: position, day length, extraterrestrial irradiance.

mod diffuse;
mod position;
mod year;

pub use diffuse::erbs_diffuse_fraction;
pub use position::{SunPosition, air_mass, position, refraction_deg};
pub use year::{SunHour, SunYear, sun_year};

/// Total solar irradiance at one astronomical unit, W/m2 (Gueymard 2018, Solar Energy 168:2-12).
pub const SOLAR_CONSTANT_W_M2: f64 = 1361.1;
/// True elevation of the sun's centre at sunrise and sunset, degrees: upper limb on the horizon, with 34' of
/// refraction and 16' of semidiameter.
pub const RISE_SET_ELEVATION_DEG: f64 = -0.8333;
