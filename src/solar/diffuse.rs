//! How much of the sun's light comes from the whole sky.

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
