//! Many faces under one sky, hour by hour.

use super::horizon::Horizon;
use super::plane::Plane;
use super::tilted::{Face, Light, OnPlane, Outlook, Sky};
use crate::site::Weather;
use crate::solar::{SunHour, SunYear};

/// Faces under the same sky, with everything worked out in which there is no weather: what many years of weather, or
/// many hours, have in common.
#[derive(Clone, Debug)]
pub struct Faces {
    faces: Vec<(Face, Option<Horizon>)>,
    horizon: Option<Horizon>,
}

impl Faces {
    /// Prepares faces; one with a skyline of its own has it in place of the site's `horizon`.
    pub fn new(faces: &[(Plane, &Outlook)], horizon: Option<&Horizon>) -> Self {
        let prepared = faces.iter().map(|(plane, outlook)| {
            let own = outlook.horizon.as_ref();
            let face = Face::shaded(*plane, own.or(horizon), outlook.shade);
            (face, own.cloned())
        });
        Self {
            faces: prepared.collect(),
            horizon: horizon.cloned(),
        }
    }

    /// Number of faces.
    pub fn count(&self) -> usize {
        self.faces.len()
    }

    /// Irradiance on every face in hour `hour` of the year. False in an hour without
    /// light, or beyond the year: then `on` is left as it is.
    pub fn hour(&self, weather: &Weather, sun: &SunYear, hour: usize, on: &mut [OnPlane]) -> bool {
        let Some(sun) = sun.hours.get(hour) else {
            return false;
        };
        let light = light_of_hour(weather, sun, hour);
        if !(light.ghi_w_m2 > 0.0 || light.dhi_w_m2 > 0.0 || light.dni_w_m2 > 0.0) {
            return false;
        }
        let seen = above(self.horizon.as_ref(), sun);
        let sky = Sky::new(sun, &light);
        for ((face, own), on) in self.faces.iter().zip(on) {
            let seen = match own {
                Some(own) => above(Some(own), sun),
                None => seen,
            };
            *on = face.lit(sun, &light, sky, seen);
        }
        true
    }
}

fn above(skyline: Option<&Horizon>, sun: &SunHour) -> bool {
    skyline.is_none_or(|skyline| sun.elevation_deg >= skyline.elevation_deg(sun.azimuth_deg))
}

/// The weather's light in one hour, made safe for a low sun.
fn light_of_hour(weather: &Weather, sun: &SunHour, hour: usize) -> Light {
    let at = |column: &[f64]| column.get(hour).copied().unwrap_or(0.0).max(0.0);
    let ghi = at(&weather.ghi_w_m2);
    let dhi = at(&weather.dhi_w_m2);
    let down = sun.up_share <= 0.0;
    Light {
        dni_w_m2: if down {
            0.0
        } else {
            at(&weather.dni_w_m2).min(sun.extraterrestrial_normal_w_m2)
        },
        dhi_w_m2: if down { dhi.max(ghi) } else { dhi },
        ghi_w_m2: ghi,
        ground_reflectance: at(&weather.ground_reflectance).min(1.0),
    }
}
