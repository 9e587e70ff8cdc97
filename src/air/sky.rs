//! Heat rays of the sky, where a weather record lacks them.

use super::{ZERO_CELSIUS_K, kelvin};

/// Stefan-Boltzmann constant, W/(m2 K4) (CODATA 2018).
pub const STEFAN_BOLTZMANN_W_M2K4: f64 = 5.670_374e-8;

/// Emissivity of the clear sky from the dew point: 0.787 + 0.764 ln(T/273), T in K.
///
/// # Source
/// Clark & Allen (1978); the form that the hourly weather files of open repositories use for their long-wave
/// column. From memory.
pub fn clear_sky_emissivity_clark_allen(dew_point_c: f64) -> f64 {
    (0.787 + 0.764 * (kelvin(dew_point_c) / 273.0).ln()).clamp(0.0, 1.0)
}

/// Emissivity of a sky with clouds, from its clear value and the cloud cover (0 to 1).
///
/// Factor 1 + 0.0224 N - 0.0035 N2 + 0.00028 N3 with N in tenths, at most 1.
///
/// # Source
/// Walton (1983), NBSIR 83-2655; from memory.
pub fn cloudy_sky_emissivity(clear: f64, cloud_share: f64) -> f64 {
    let n = 10.0 * cloud_share.clamp(0.0, 1.0);
    (clear * (1.0 + n * (0.0224 + n * (-0.0035 + n * 0.000_28)))).clamp(0.0, 1.0)
}

/// Long-wave irradiance of the sky on a horizontal face, W/m2.
///
/// `temp_air_c` °C at 2 m, `dew_point_c` °C (over water), `cloud_share` 0 to 1. Clark & Allen for the clear
/// sky, Walton for the clouds: the pair behind the long-wave column of published hourly files, so that a year
/// without that column is treated as one with it.
pub fn sky_long_wave_w_m2(temp_air_c: f64, dew_point_c: f64, cloud_share: f64) -> f64 {
    let emissivity =
        cloudy_sky_emissivity(clear_sky_emissivity_clark_allen(dew_point_c), cloud_share);
    emissivity * STEFAN_BOLTZMANN_W_M2K4 * kelvin(temp_air_c).powi(4)
}

/// Temperature, °C, of the black sky that sends `long_wave_w_m2`.
pub fn sky_temperature_c(long_wave_w_m2: f64) -> f64 {
    (long_wave_w_m2.max(0.0) / STEFAN_BOLTZMANN_W_M2K4)
        .sqrt()
        .sqrt()
        - ZERO_CELSIUS_K
}
