//! Heat loss per degree, part by part, by hand-book sums.

use crate::calendar::{HOURS_PER_YEAR, SECONDS_PER_HOUR};
use crate::file::project::{Project, SiteChoice};
use crate::house::{Behind, House, Make, Surface, SurfaceKind};
use crate::site::{Place, climates};

/// Wind to which published air changes of greenhouses are taken to belong, and at which the air change is shown, m/s;
/// own choice of a usual wind, no source.
pub const AIR_CHANGE_WIND_M_S: f64 = 4.0;
/// Difference to outdoors at which the air change is shown, K; own choice of a winter day.
const AIR_CHANGE_DIFFERENCE_K: f64 = 20.0;
/// Films of ISO 6946 (from memory), m2K/W: outside; inside of a wall; inside of a roof; inside of a floor.
const FILM_OUTSIDE_M2K_W: f64 = 0.04;
const FILM_WALL_M2K_W: f64 = 0.13;
const FILM_ROOF_M2K_W: f64 = 0.10;
const FILM_FLOOR_M2K_W: f64 = 0.17;
/// Tilts, degrees: below the first a roof, above the second a floor (ISO 6946: 60 degrees from the horizontal).
const ROOF_TO_DEG: f64 = 60.0;
const FLOOR_FROM_DEG: f64 = 120.0;
/// Dry air: density at sea level and 15 °C (kg/m3), specific heat (J/kgK), scale height of pressure (m).
const AIR_DENSITY_KG_M3: f64 = 1.225;
const AIR_HEAT_J_KGK: f64 = 1005.0;
const SCALE_HEIGHT_M: f64 = 8434.0;

/// Heat loss of a face.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct PartLoss {
    /// Name as people say it.
    pub name: String,
    /// Glazed?
    pub glazed: bool,
    pub area_m2: f64,
    /// Thermal transmittance, air to air, W/m2K.
    pub u_w_m2k: f64,
    /// Area times transmittance, W/K; 0 where nothing lies behind.
    pub loss_w_k: f64,
}

/// Heat loss of each face, largest first.
pub fn part_losses(house: &House) -> Vec<PartLoss> {
    let mut parts: Vec<PartLoss> = house.surfaces.iter().map(part_loss).collect();
    parts.sort_by(|a, b| b.loss_w_k.total_cmp(&a.loss_w_k));
    parts
}

fn part_loss(surface: &Surface) -> PartLoss {
    let u_w_m2k = u_w_m2k(surface);
    let loss_w_k = match surface.behind {
        Behind::Nothing | Behind::Room(_) | Behind::Beside => 0.0,
        _ => u_w_m2k * surface.area_m2,
    };
    PartLoss {
        name: surface.name.clone(),
        glazed: matches!(surface.kind, SurfaceKind::Glazed(_)),
        area_m2: surface.area_m2,
        u_w_m2k,
        loss_w_k,
    }
}

/// Thermal transmittance with standard films, W/m2K.
pub fn u_w_m2k(surface: &Surface) -> f64 {
    let faces_m2k_w = match &surface.make {
        Make::AirToAir { u_w_m2k, .. } => return *u_w_m2k,
        core => core.resistance_m2k_w(),
    };
    let inside_m2k_w = match surface.tilt_deg {
        tilt_deg if tilt_deg < ROOF_TO_DEG => FILM_ROOF_M2K_W,
        tilt_deg if tilt_deg > FLOOR_FROM_DEG => FILM_FLOOR_M2K_W,
        _ => FILM_WALL_M2K_W,
    };
    let outside_m2k_w = match surface.behind {
        Behind::Ground { .. } | Behind::Given(_) => 0.0,
        Behind::Room(_) | Behind::Beside => FILM_WALL_M2K_W,
        Behind::Outdoor | Behind::ShelteredAir | Behind::Nothing => FILM_OUTSIDE_M2K_W,
    };
    1.0 / (faces_m2k_w + inside_m2k_w + outside_m2k_w)
}

/// Air change through leaks at the usual wind and a winter day's difference, 1/h, mean of the year.
pub fn air_change_per_h(house: &House) -> f64 {
    let leaks = &house.air.infiltration;
    let hours = 0..HOURS_PER_YEAR;
    let sum: f64 = hours.map(|hour| leaks.constant_per_h.at(hour)).sum();
    let stack = leaks.per_root_k_h * AIR_CHANGE_DIFFERENCE_K.sqrt();
    sum / HOURS_PER_YEAR as f64 + leaks.per_wind_s_m_h * AIR_CHANGE_WIND_M_S + stack
}

/// Heat loss with that air, W/K, at the density of the place's height where that is known.
pub fn air_loss_w_k(project: &Project) -> f64 {
    let elevation_m = place_of(project).1.unwrap_or(0.0);
    let density_kg_m3 = AIR_DENSITY_KG_M3 * (-elevation_m / SCALE_HEIGHT_M).exp();
    let flow_m3_s =
        air_change_per_h(&project.house) * project.house.air.volume_m3 / SECONDS_PER_HOUR;
    flow_m3_s * density_kg_m3 * AIR_HEAT_J_KGK
}

/// Latitude (degrees) and height (m) of the place, as far as the file alone tells them.
pub fn place_of(project: &Project) -> (Option<f64>, Option<f64>) {
    let of = |place: &Place| (Some(place.latitude_deg), Some(place.elevation_m));
    let (latitude_deg, elevation_m) = match &project.site {
        SiteChoice::OwnMonths(own) => of(&own.place),
        SiteChoice::Estimated(chosen) => (Some(chosen.spot.latitude_deg), chosen.spot.elevation_m),
        SiteChoice::Shelf(name) => {
            let normals = climates::get(name).and_then(Result::ok);
            normals.map_or((None, None), |normals| of(&normals.place))
        }
        SiteChoice::WeatherFile(_) => (None, None),
    };
    (
        latitude_deg,
        project.site_override.elevation_m.or(elevation_m),
    )
}
