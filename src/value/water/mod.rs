//! Water that the beds need: reference evapotranspiration of FAO-56 under the light, warmth, humidity and little
//! wind inside, times the crop coefficient of the stage of growth.
//!
//! Allen, Pereira, Raes & Smith (1998), *Crop evapotranspiration*, FAO Irrigation and Drainage Paper 56, equation
//! numbers beside each function; stage lengths of its table 11 in `data/stages.csv`, coefficients of its table 12
//! with the crops. One mm on one m2 is one litre.

mod crop;
mod inside;
mod leaves;
mod radiation;
mod reference;

pub use crop::{APPLICATION_EFFICIENCY, CropAir, Stages, Standing, crop_water_l, stages};
pub use inside::{InsideDay, MOL_PER_MJ_SUN, WIND_INSIDE_M_S, inside_days};
pub use leaves::{leaf_area_by_month, leaf_area_index};
pub use radiation::{
    clear_sky_mj, daylight_hours, declination_rad, extraterrestrial_mj, inverse_distance,
    net_long_wave_mj, net_short_wave_mj, solar_from_sunshine_mj, solar_from_temperature_mj,
    sunset_angle_rad,
};
pub use reference::{
    Day, hargreaves_mm, mean_saturation_kpa, pressure_kpa, psychrometric_kpa_k, reference_mm,
    soil_heat_month_mj, vapour_from_humidity_kpa, vapour_from_mean_humidity_kpa,
    vapour_from_psychrometer_kpa, wind_at_2m_m_s,
};
