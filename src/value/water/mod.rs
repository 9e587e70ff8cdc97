//! Water that the beds need: reference evapotranspiration of FAO-56 under the light, warmth, humidity and little
//! wind inside, times the crop coefficient of the stage of growth.
//!
//! Allen, Pereira, Raes & Smith (1998), *Crop evapotranspiration*, FAO Irrigation and Drainage Paper 56, equation
//! numbers beside each function; stage lengths of its table 11 in `data/stages.csv`, coefficients of its table 12
//! with the crops. One mm on one m2 is one litre.

mod crop;
mod leaves;
mod reference;

pub use crop::{APPLICATION_EFFICIENCY, CropAir, CropInBed, Stages, crop_water_l, stages};
pub use leaves::{leaf_area_by_month, leaf_area_index};
pub use reference::{
    Day, InsideDay, MOL_PER_MJ_SUN, WIND_INSIDE_M_S, inside_days, mean_saturation_kpa,
    psychrometric_kpa_k, reference_mm,
};
