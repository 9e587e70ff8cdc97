//! A project file changed as little as a changed building asks for, so that what was shown can be run again.

mod keyed;
mod path;

pub use keyed::choices;

use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, value};

use crate::calendar::MONTH_HEADS;
use crate::file::project::Project;
use crate::file::shape::Part;
use crate::house::{
    Curtain, Heater, House, Layer, Make, PipeStore, Schedule, Surface, SurfaceKind,
};
use crate::plain::without_mark;

/// Why a changed building cannot be written into a file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum EditError {
    /// The text is no TOML.
    #[error("the file cannot be changed: {0}")]
    Text(String),
    /// A key leads nowhere.
    #[error("`{path}`: {why}")]
    Path {
        /// As written.
        path: String,
        /// What is wrong.
        why: String,
    },
    /// The change is none that keys of the file can say.
    #[error("the file has no words for this change of {0}")]
    Unsayable(&'static str),
}

/// A project file's text in which keys can be set, comments and order kept.
#[derive(Clone, Debug)]
pub struct Edit {
    document: DocumentMut,
}

impl Edit {
    /// The text of a project file.
    ///
    /// # Errors
    /// [`EditError::Text`] where it is no TOML.
    pub fn new(text: &str) -> Result<Self, EditError> {
        without_mark(text)
            .parse()
            .map(|document| Self { document })
            .map_err(|error: toml_edit::TomlError| EditError::Text(error.to_string()))
    }

    /// The changed text.
    pub fn text(&self) -> String {
        self.document.to_string()
    }

    /// Sets a whole number in a table.
    pub fn whole(&mut self, table: &str, key: &str, whole: i64) -> Result<(), EditError> {
        self.set(&format!("{table}.{key}"), whole)
    }

    fn schedule(&mut self, path: &'static str, schedule: &Schedule) -> Result<(), EditError> {
        let list = |values: &[f64]| values.iter().copied().collect::<Array>();
        match schedule {
            Schedule::Constant(number) => self.set(path, *number),
            Schedule::Monthly(months) => self.set(path, list(months)),
            Schedule::Daily(hours) => self.set(path, list(hours)),
            Schedule::MonthlyHours(_) | Schedule::Hourly(_) => {
                let table = path.split('.').next().unwrap_or(path);
                Err(EditError::Unsayable(table))
            }
        }
    }

    /// Changes the building of the file, `own` as it was read, into `wanted`: leaks, curtain, store, heater, and the
    /// resistance of solid faces.
    ///
    /// # Errors
    /// [`EditError::Unsayable`] for a change of another kind, or one that the file's keys cannot express.
    pub fn change_house(&mut self, own: &Project, wanted: &House) -> Result<(), EditError> {
        let house = &own.house;
        let (leaks, wanted_leaks) = (&house.air.infiltration, &wanted.air.infiltration);
        if leaks != wanted_leaks {
            self.schedule("air.infiltration", &wanted_leaks.constant_per_h)?;
            self.set("air.infiltration_wind", wanted_leaks.per_wind_s_m_h)?;
            self.set("air.infiltration_stack", wanted_leaks.per_root_k_h)?;
        }
        if house.store != wanted.store {
            self.store(wanted.store.as_ref())?;
        }
        if house.heater != wanted.heater {
            self.heater(wanted.heater.as_ref())?;
        }
        let curtain = |house: &House| house.surfaces.iter().find_map(curtain_of).cloned();
        if let Some(wanted) = curtain(wanted).filter(|_| curtain(house) != curtain(wanted)) {
            self.curtain(&wanted)?;
        }
        self.surfaces(own, wanted)
    }

    fn store(&mut self, wanted: Option<&PipeStore>) -> Result<(), EditError> {
        let Some(store) = wanted else {
            // The collector warms the air of the store's fan.
            self.take("collector");
            self.take("store");
            return Ok(());
        };
        self.set("store.pipes", store.pipes as i64)?;
        self.set("store.pipe_length", store.length_m)?;
        self.set("store.pipe_diameter", store.diameter_m)?;
        self.set(
            "store.depths",
            store.depths_m.iter().copied().collect::<Array>(),
        )?;
        self.set("store.flow", store.flow_m3_s)?;
        self.set("store.fan_power", store.fan_w)?;
        self.schedule("store.charge_above", &store.charge_above_c)?;
        self.schedule("store.draw_below", &store.draw_below_c)
    }

    fn heater(&mut self, wanted: Option<&Heater>) -> Result<(), EditError> {
        let Some(heater) = wanted else {
            self.take("heater");
            return Ok(());
        };
        self.schedule("heater.set_point", &heater.set_point_c)?;
        self.set("heater.efficiency", heater.efficiency)?;
        if heater.capacity_w.is_finite() {
            return self.set("heater.capacity", heater.capacity_w);
        }
        self.take("heater.capacity");
        Ok(())
    }

    fn curtain(&mut self, wanted: &Curtain) -> Result<(), EditError> {
        let drawn = (0..12).filter(|month| wanted.drawn[*month]);
        let named: Vec<&str> = drawn.map(|month| MONTH_HEADS[month]).collect();
        self.set("curtain.resistance", wanted.resistance_m2k_w)?;
        self.set("curtain.long_wave", wanted.long_wave_transmittance)?;
        let months = match named.join(", ") {
            none if none.is_empty() => "never".to_owned(),
            months => months,
        };
        self.set("curtain.months", months)
    }

    /// Solid faces: the shape's come first, by their part, then those listed.
    fn surfaces(&mut self, own: &Project, wanted: &House) -> Result<(), EditError> {
        let faces = own.built.shape.map_or_else(Vec::new, |shape| shape.faces());
        let pairs = own.house.surfaces.iter().zip(&wanted.surfaces);
        for (index, (from, to)) in pairs.enumerate() {
            if from.make == to.make {
                continue;
            }
            match faces.get(index) {
                Some(face) => {
                    let Make::FaceToFace {
                        resistance_m2k_w, ..
                    } = to.make
                    else {
                        return Err(EditError::Unsayable("a face"));
                    };
                    let key = format!("building.{}", key_of(face.part));
                    self.set(&key, resistance_m2k_w)?;
                }
                None => self.listed(index - faces.len(), from, to)?,
            }
        }
        Ok(())
    }

    fn listed(&mut self, place: usize, from: &Surface, to: &Surface) -> Result<(), EditError> {
        let path = format!("surface[{place}]");
        match (&from.make, &to.make) {
            (_, Make::AirToAir { u_w_m2k, .. }) => self.set(&format!("{path}.u"), *u_w_m2k),
            (
                _,
                Make::FaceToFace {
                    resistance_m2k_w, ..
                },
            ) => self.set(&format!("{path}.r"), *resistance_m2k_w),
            (Make::Layers(old), Make::Layers(new)) if new.len() == old.len() + 1 => {
                let tables = self.document.get_mut("surface");
                let layers = tables
                    .and_then(|tables| tables.get_mut(place)?.get_mut("layer"))
                    .and_then(Item::as_array_of_tables_mut)
                    .ok_or(EditError::Unsayable("a listed surface"))?;
                let mut all = ArrayOfTables::new();
                all.push(layer(&new[0]));
                for mut old in std::mem::take(layers) {
                    old.set_position(None);
                    all.push(old);
                }
                *layers = all;
                Ok(())
            }
            _ => Err(EditError::Unsayable("a listed surface")),
        }
    }
}

fn layer(added: &Layer) -> Table {
    let mut table = Table::new();
    table.insert("name", value("added"));
    table.insert("thickness", value(added.thickness_m));
    table.insert("conductivity", value(added.conductivity_w_mk));
    table
}

fn curtain_of(surface: &Surface) -> Option<&Curtain> {
    match &surface.kind {
        SurfaceKind::Glazed(face) => face.curtain.as_ref(),
        SurfaceKind::Opaque { .. } => None,
    }
}

/// The key of a part of the shape.
pub(crate) fn key_of(part: Part) -> &'static str {
    match part {
        Part::Front => "front",
        Part::Back | Part::SolidRoof => "back",
        Part::Ends => "ends",
        Part::FrontRoof => "front_roof",
        Part::BackRoof => "back_roof",
    }
}
