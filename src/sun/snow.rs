//! Snow on glazing: how long it lies and what light it takes.

/// Slope of the irradiance above which lying snow begins to slide, W/m2 per °C: it slides once the air is warmer
/// than -irradiance / 80.
///
/// Source: Marion et al. (2013), Solar Energy 97:112-121, measured on photovoltaic modules; from memory.
pub const SLIDE_IRRADIANCE_W_M2_PER_C: f64 = -80.0;
/// Share of the slope's length that a sheet of snow slides in an hour, at tilt 90 degrees.
///
/// Source: Marion et al. (2013): 1.97 tenths an hour times the sine of the tilt, on roofs; from memory.
pub const SLIDE_SHARE_PER_H: f64 = 0.197;
/// Tilt below which snow on glazing is not taken to slide, degrees. Own choice, no source.
pub const LEAST_SLIDING_TILT_DEG: f64 = 10.0;

/// Share of the cover that melts in an hour for each degree of the air above freezing, 1/(h K): 3 mm of water by
/// degree-day (common practice, no source) out of 10 mm.
pub const MELT_SHARE_PER_H_K: f64 = 3.0 / 24.0 / 10.0;

/// Covered share (0 to 1) of a glazed slope after one hour.
///
/// `covered` is the share before, `fresh_snow` whether snow settled in this hour (it covers the whole slope),
/// `tilt_deg` the slope, `irradiance_w_m2` the sun on its plane, `face_c` (°C) the outer face under the snow as the
/// house warms it: above freezing the snow slides on water, whatever the air.
pub fn covered_after_hour(
    covered: f64,
    fresh_snow: bool,
    tilt_deg: f64,
    temp_air_c: f64,
    irradiance_w_m2: f64,
    face_c: f64,
) -> f64 {
    if fresh_snow && tilt_deg < 90.0 {
        return 1.0;
    }
    let slides = temp_air_c > irradiance_w_m2 / SLIDE_IRRADIANCE_W_M2_PER_C || face_c > 0.0;
    let mut lost = MELT_SHARE_PER_H_K * temp_air_c.max(0.0);
    if slides && tilt_deg >= LEAST_SLIDING_TILT_DEG {
        lost += SLIDE_SHARE_PER_H * tilt_deg.to_radians().sin();
    }
    (covered - lost).clamp(0.0, 1.0)
}
