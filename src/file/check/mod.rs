//! What was understood of a project: areas, losses, air change, light; unusual values; cautions.

mod caution;
mod loss;
mod unusual;

use super::project::Project;
use crate::house::{Surface, SurfaceKind};
use crate::phrase::{Phrase, amount, phrase};
use crate::words::Word;

pub use caution::{Caution, cautions};
pub use loss::{
    AIR_CHANGE_WIND_M_S, PartLoss, air_change_per_h, air_loss_w_k, part_losses, u_w_m2k,
};
pub use unusual::unusual;

/// A project in figures, for a person to compare with the building.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Understood {
    /// Floor on the ground, m2, where there is one.
    pub floor_m2: Option<f64>,
    pub glazed_m2: f64,
    /// Opaque area towards outdoors, ground or shelter, m2; the floor apart.
    pub opaque_m2: f64,
    pub volume_m3: f64,
    /// Heat loss of each face, largest first; the ground apart.
    pub parts: Vec<PartLoss>,
    /// Heat loss of all faces, W/K.
    pub faces_w_k: f64,
    /// Air change at a wind of [`AIR_CHANGE_WIND_M_S`], 1/h, mean of the year.
    pub air_change_per_h: f64,
    /// Heat loss with that air, W/K.
    pub air_w_k: f64,
    /// Light aperture per floor, m2/m2: glazed area times transmittance at right angles, less frame and dirt.
    pub aperture_m2_m2: Option<f64>,
    pub beds: usize,
    pub beds_m2: f64,
    pub beds_share: Option<f64>,
    /// The store, in one line.
    pub store: Option<Phrase>,
    /// The heater, in one line.
    pub heater: Option<Phrase>,
    /// Values that are unusual, one sentence each.
    pub warnings: Vec<Phrase>,
    pub cautions: Vec<Caution>,
}

impl Understood {
    /// Heat loss of faces and air together, W/K; the ground apart.
    pub fn total_w_k(&self) -> f64 {
        self.faces_w_k + self.air_w_k
    }
}

/// Bare numbers that may not be meant as metric ones.
fn doubts(project: &Project) -> impl Iterator<Item = Phrase> {
    let doubts = project.doubts.iter();
    doubts.map(|doubt| doubt.to_string().into())
}

pub fn understood(project: &Project) -> Understood {
    let house = &project.house;
    let parts = part_losses(house);
    let area = |glazed: bool| -> f64 {
        let is = |surface: &&Surface| matches!(surface.kind, SurfaceKind::Glazed(_)) == glazed;
        let faces = house.surfaces.iter().filter(is);
        faces.map(|surface| surface.area_m2).sum()
    };
    let floor_m2 = project.built.floor_m2;
    let beds_m2: f64 = project.beds.iter().map(|bed| bed.area_m2).sum();
    Understood {
        floor_m2,
        glazed_m2: area(true),
        opaque_m2: area(false),
        volume_m3: house.air.volume_m3,
        faces_w_k: parts.iter().map(|part| part.loss_w_k).sum(),
        air_change_per_h: air_change_per_h(house),
        air_w_k: air_loss_w_k(project),
        aperture_m2_m2: floor_m2.map(|floor_m2| aperture_m2(project) / floor_m2),
        beds: project.beds.len(),
        beds_m2,
        beds_share: floor_m2.map(|floor_m2| beds_m2 / floor_m2),
        store: store_line(project),
        heater: heater_line(project),
        warnings: doubts(project).chain(unusual(project)).collect(),
        cautions: cautions(project),
        parts,
    }
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
