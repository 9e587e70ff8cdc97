//! What was understood of a project: areas, losses, air change, light; unusual values; cautions.

mod caution;
mod unusual;

use super::project::{Project, SiteChoice};
use crate::calendar::{HOURS_PER_YEAR, SECONDS_PER_HOUR};
use crate::house::{Behind, House, Make, Surface, SurfaceKind};
use crate::phrase::{Phrase, amount, phrase};
use crate::plain::fixed;
use crate::site::{Place, climates};
use crate::words::Word;

pub use caution::{Caution, cautions};
pub use unusual::unusual;

/// Something computed from the file alone, for a person to compare with the building.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// What it is.
    pub what: Phrase,
    /// How much; none where it is a word.
    pub amount: Option<f64>,
    /// Unit of the amount, or the word.
    pub unit: Phrase,
}

impl Fact {
    /// So much of it.
    pub fn much(what: impl Into<Phrase>, much: f64, unit: &'static str) -> Self {
        Self {
            what: what.into(),
            amount: Some(much),
            unit: unit.into(),
        }
    }

    /// A word, or several.
    pub fn word(what: &str, word: impl Into<Phrase>) -> Self {
        Self {
            what: what.into(),
            amount: None,
            unit: word.into(),
        }
    }
}

/// What is unusual or may not be meant, one sentence each.
pub fn warnings(project: &Project) -> Vec<Phrase> {
    let doubts = project.doubts.iter().map(|doubt| doubt.to_string().into());
    doubts.chain(unusual(project)).collect()
}

/// Areas, losses (the ground apart), air change, light, beds, store and heater of a project.
pub fn facts(project: &Project) -> Vec<Fact> {
    let house = &project.house;
    let area_m2 = |glazed: bool| -> f64 {
        let is = |surface: &&Surface| matches!(surface.kind, SurfaceKind::Glazed(_)) == glazed;
        let faces = house.surfaces.iter().filter(is);
        faces.map(|surface| surface.area_m2).sum()
    };
    let floor_m2 = project.built.floor_m2;
    let mut facts = Vec::new();
    facts.extend(floor_m2.map(|floor_m2| Fact::much("floor", floor_m2, "m2")));
    facts.push(Fact::much("glazing", area_m2(true), "m2"));
    facts.push(Fact::much("walls and solid roof", area_m2(false), "m2"));
    facts.push(Fact::much("air inside", house.air.volume_m3, "m3"));
    let parts = part_losses(house);
    facts.extend(parts.iter().map(|part| {
        let name = phrase![
            format!("loss of {}: ", part.name),
            amount(part.area_m2, "m2", 1),
            ", U ",
            amount(part.u_w_m2k, "W/m2K", 2)
        ];
        Fact::much(name, part.loss_w_k, "W/K")
    }));
    let faces_w_k: f64 = parts.iter().map(|part| part.loss_w_k).sum();
    facts.push(Fact::much("loss of all faces (UA)", faces_w_k, "W/K"));
    let air = phrase![
        "air change at ",
        amount(AIR_CHANGE_WIND_M_S, "m/s", 0),
        " of wind"
    ];
    facts.push(Fact::much(air, air_change_per_h(house), "1/h"));
    let air_w_k = air_loss_w_k(project);
    facts.push(Fact::much("loss with that air", air_w_k, "W/K"));
    let all_w_k = faces_w_k + air_w_k;
    facts.push(Fact::much("heat loss, ground apart", all_w_k, "W/K"));
    facts.extend(floor_m2.map(|floor_m2| {
        let aperture = aperture_m2(project) / floor_m2;
        Fact::much("light aperture to floor area", aperture, "")
    }));
    let beds_m2: f64 = project.beds.iter().map(|bed| bed.area_m2).sum();
    let share = floor_m2.map_or_else(String::new, |floor_m2| {
        let percent = fixed(beds_m2 / floor_m2 * 100.0, 0);
        format!(", {percent} % of the floor")
    });
    let beds = format!("{}, together ", project.beds.len());
    facts.push(Fact::word(
        "beds",
        phrase![beds, amount(beds_m2, "m2", 1), share],
    ));
    facts.extend(store_line(project).map(|store| Fact::word("store", store)));
    facts.extend(heater_line(project).map(|heater| Fact::word("heater", heater)));
    facts
}

/// Glazed area times transmittance at right angles, less frame and dirt, m2.
fn aperture_m2(project: &Project) -> f64 {
    let aperture = |surface: &Surface| match &surface.kind {
        SurfaceKind::Glazed(face) => {
            surface.area_m2 * face.glazing.optics().beam(1.0).transmitted_par
        }
        SurfaceKind::Opaque { .. } => 0.0,
    };
    project.house.surfaces.iter().map(aperture).sum()
}

fn store_line(project: &Project) -> Option<Phrase> {
    let store = project.house.store.as_ref()?;
    let mut said = phrase![
        format!("{} pipes of ", store.pipes),
        amount(store.length_m, "m", 1),
        ", ",
        amount(store.diameter_m * 1000.0, "mm", 0),
        " wide, "
    ];
    for (at, &depth_m) in store.depths_m.iter().enumerate() {
        let and = if at > 0 { " and " } else { "" };
        said = said.then(and).then(amount(depth_m, "m", 2));
    }
    Some(said.then(phrase![
        " deep; fan ",
        amount(store.flow_m3_s * 3600.0, "m3/h", 0),
        ", ",
        format!("{:.0} W", store.fan_w)
    ]))
}

fn heater_line(project: &Project) -> Option<Phrase> {
    let heater = project.house.heater.as_ref()?;
    let capacity = if heater.capacity_w.is_finite() {
        phrase![amount(heater.capacity_w / 1000.0, "kW", 1)]
    } else {
        "as much as is needed".into()
    };
    let fuel = project.costs.fuel.word();
    let set_point_c = heater.set_point_c.at(0);
    Some(phrase![
        capacity,
        format!(" from {fuel}, set to "),
        amount(set_point_c, "°C", 1),
        " in January"
    ])
}

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
#[derive(Clone, Debug, PartialEq)]
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
