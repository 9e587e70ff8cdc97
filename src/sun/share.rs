//! How much of the sun that entered stays.

/// Share of the sunlight let in by the glazing that the interior keeps, 0 to 1; the rest leaves through the glazing.
///
/// `absorptance` is that of the inner surfaces for sunlight (0 to 1), `transmittance_diffuse` the glazing's for
/// diffuse light from inside (0 to 1), `aperture_m2` the glazed area and `inner_m2` the area of all inner surfaces
/// that the light falls on.
///
/// # Source
/// Duffie & Beckman, *Solar Engineering of Thermal Processes*, absorptance of rooms (cavity effect):
/// a / (a + (1 - a) t A_aperture / A_inner). From memory.
pub fn cavity_absorptance(
    absorptance: f64,
    transmittance_diffuse: f64,
    aperture_m2: f64,
    inner_m2: f64,
) -> f64 {
    let a = absorptance.clamp(0.0, 1.0);
    if inner_m2 <= 0.0 {
        return a;
    }
    let escape =
        (1.0 - a) * transmittance_diffuse.clamp(0.0, 1.0) * aperture_m2.max(0.0) / inner_m2;
    if a + escape > 0.0 {
        a / (a + escape)
    } else {
        0.0
    }
}
