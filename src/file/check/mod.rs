//! What was understood of a project: areas, losses, air change, light; unusual values; cautions.

mod caution;
mod loss;
mod unusual;

use super::project::Project;
use crate::house::{Surface, SurfaceKind};
use crate::phrase::{Phrase, amount, phrase};
use crate::plain::fixed;
use crate::words::Word;

pub use caution::{Caution, cautions};
pub use loss::{
    AIR_CHANGE_WIND_M_S, PartLoss, air_change_per_h, air_loss_w_k, part_losses, u_w_m2k,
};
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
        format!(" from {fuel}, holds "),
        amount(set_point_c, "°C", 1),
        " in January"
    ])
}
