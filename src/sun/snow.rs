//! Snow on glazing: how long it lies and what light it takes.

use crate::air::LATENT_HEAT_FUSION_J_KG;
use crate::calendar::SECONDS_PER_HOUR;

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

/// Melt for each degree of the air above freezing, mm of water an hour: the day-degree factor of open ground, 3 mm a day
/// (common practice, no source).
pub const MELT_MM_H_K: f64 = 3.0 / 24.0;
/// Water in snow that lets a share of 1/e of the light through, mm.
///
/// Source: Perovich (2007), Journal of Glaciology 53: 5 % at 500 nm through 10 cm (abstract read), so 3.3 cm; of fresh snow
/// at 100 kg/m3 (handbook range 50 to 150, from memory).
pub const DIMMING_MM: f64 = 3.3;

/// Snow on a glazed slope.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Snow {
    /// Share of the slope that is covered, 0 to 1.
    pub covered: f64,
    /// Water in the snow where it lies, mm.
    pub water_mm: f64,
}

/// An hour in the life of snow on a slope.
#[derive(Clone, Copy, Debug, Default)]
pub struct SnowHour {
    /// Snow that falls, mm of water on level ground.
    pub fresh_mm: f64,
    /// Tilt of the slope, degrees.
    pub tilt_deg: f64,
    /// Outdoor air, °C.
    pub temp_air_c: f64,
    /// Sun on the slope, W/m2.
    pub irradiance_w_m2: f64,
    /// Heat that the house brings to a face at 0 °C beyond what the snow lets out, W/m2; nothing melts from below at 0.
    pub thaw_w_m2: f64,
}

impl Snow {
    /// Share of the light that comes through, 0 to 1.
    pub fn light_share(self) -> f64 {
        1.0 - self.covered * (1.0 - (-self.water_mm / DIMMING_MM).exp())
    }

    /// The snow an hour later: more has fallen, some has melted or slid off. Above freezing, or warmed from below, it slides
    /// on water, whatever the sun.
    pub fn after(self, hour: &SnowHour) -> Self {
        let tilt = hour.tilt_deg.clamp(0.0, 90.0).to_radians();
        let fresh_mm = hour.fresh_mm.max(0.0) * tilt.cos();
        let mut next = self;
        if fresh_mm > 0.0 && hour.tilt_deg < 90.0 {
            next.water_mm = self.covered * self.water_mm + fresh_mm;
            next.covered = 1.0;
        }
        let from_below_mm = hour.thaw_w_m2.max(0.0) * SECONDS_PER_HOUR / LATENT_HEAT_FUSION_J_KG;
        next.water_mm -= MELT_MM_H_K * hour.temp_air_c.max(0.0) + from_below_mm;
        let slides = hour.temp_air_c > hour.irradiance_w_m2 / SLIDE_IRRADIANCE_W_M2_PER_C
            || hour.thaw_w_m2 > 0.0;
        if slides && hour.tilt_deg >= LEAST_SLIDING_TILT_DEG {
            next.covered -= SLIDE_SHARE_PER_H * tilt.sin();
        }
        if next.covered > 0.0 && next.water_mm > 0.0 {
            next
        } else {
            Self::default()
        }
    }
}
