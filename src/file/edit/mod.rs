//! A project file changed as little as a changed building asks for, so that what was shown can be run again.

mod keyed;
mod path;

pub use keyed::{choices, general};

use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, TableLike, Value, value};

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

    /// Sets a number in a table.
    pub fn number(&mut self, table: &'static str, key: &str, number: f64) -> Result<(), EditError> {
        self.set(table, key, Value::from(number))
    }

    /// Sets a text in a table.
    pub fn word(&mut self, table: &'static str, key: &str, word: &str) -> Result<(), EditError> {
        self.set(table, key, Value::from(word))
    }

    /// Sets a whole number in a table.
    pub fn whole(&mut self, table: &'static str, key: &str, whole: i64) -> Result<(), EditError> {
        self.set(table, key, Value::from(whole))
    }

    /// Takes a key out of a table.
    pub fn remove(&mut self, table: &str, key: &str) {
        let found = self.document.get_mut(table);
        if let Some(table) = found.and_then(Item::as_table_like_mut) {
            table.remove(key);
        }
    }

    /// The text that stands in a table, if any.
    pub fn text_at(&self, table: &str, key: &str) -> Option<&str> {
        self.document.get(table)?.get(key)?.as_str()
    }

    fn table(&mut self, name: &'static str) -> Result<&mut dyn TableLike, EditError> {
        self.document
            .entry(name)
            .or_insert(Item::Table(Table::new()))
            .as_table_like_mut()
            .ok_or(EditError::Unsayable(name))
    }

    fn set(&mut self, table: &'static str, key: &str, value: Value) -> Result<(), EditError> {
        path::lay(self.table(table)?, key, value);
        Ok(())
    }

    fn schedule(
        &mut self,
        table: &'static str,
        key: &str,
        schedule: &Schedule,
    ) -> Result<(), EditError> {
        let list = |values: &[f64]| Value::from(values.iter().copied().collect::<Array>());
        let item = match schedule {
            Schedule::Constant(number) => Value::from(*number),
            Schedule::Monthly(months) => list(months),
            Schedule::Daily(hours) => list(hours),
            Schedule::MonthlyHours(_) | Schedule::Hourly(_) => {
                return Err(EditError::Unsayable(table));
            }
        };
        self.set(table, key, item)
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
            self.schedule("air", "infiltration", &wanted_leaks.constant_per_h)?;
            self.number("air", "infiltration_wind", wanted_leaks.per_wind_s_m_h)?;
            self.number("air", "infiltration_stack", wanted_leaks.per_root_k_h)?;
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
            self.document.remove("collector");
            self.document.remove("store");
            return Ok(());
        };
        self.whole("store", "pipes", store.pipes as i64)?;
        self.number("store", "pipe_length", store.length_m)?;
        self.number("store", "pipe_diameter", store.diameter_m)?;
        let depths: Array = store.depths_m.iter().copied().collect();
        self.set("store", "depths", Value::from(depths))?;
        self.number("store", "flow", store.flow_m3_s)?;
        self.number("store", "fan_power", store.fan_w)?;
        self.schedule("store", "charge_above", &store.charge_above_c)?;
        self.schedule("store", "draw_below", &store.draw_below_c)
    }

    fn heater(&mut self, wanted: Option<&Heater>) -> Result<(), EditError> {
        let Some(heater) = wanted else {
            self.document.remove("heater");
            return Ok(());
        };
        self.schedule("heater", "set_point", &heater.set_point_c)?;
        self.number("heater", "efficiency", heater.efficiency)?;
        if heater.capacity_w.is_finite() {
            self.number("heater", "capacity", heater.capacity_w)?;
        } else {
            self.table("heater")?.remove("capacity");
        }
        Ok(())
    }

    fn curtain(&mut self, wanted: &Curtain) -> Result<(), EditError> {
        let named: Vec<&str> = MONTH_HEADS
            .iter()
            .zip(wanted.drawn)
            .filter(|(_, drawn)| *drawn)
            .map(|(head, _)| *head)
            .collect();
        self.number("curtain", "resistance", wanted.resistance_m2k_w)?;
        self.number("curtain", "long_wave", wanted.long_wave_transmittance)?;
        let months = if named.is_empty() {
            "never".to_owned()
        } else {
            named.join(", ")
        };
        self.word("curtain", "months", &months)
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
                    self.number("building", key_of(face.part), resistance_m2k_w)?;
                }
                None => self.listed(index - faces.len(), from, to)?,
            }
        }
        Ok(())
    }

    fn listed(&mut self, place: usize, from: &Surface, to: &Surface) -> Result<(), EditError> {
        let refuse = EditError::Unsayable("a listed surface");
        let table = self
            .document
            .get_mut("surface")
            .and_then(Item::as_array_of_tables_mut)
            .and_then(|tables| tables.get_mut(place))
            .ok_or(refuse.clone())?;
        match (&from.make, &to.make) {
            (_, Make::AirToAir { u_w_m2k, .. }) => table.insert("u", value(*u_w_m2k)),
            (
                _,
                Make::FaceToFace {
                    resistance_m2k_w, ..
                },
            ) => table.insert("r", value(*resistance_m2k_w)),
            (Make::Layers(old), Make::Layers(new)) if new.len() == old.len() + 1 => {
                let added = new.first().ok_or(refuse.clone())?;
                let layers = table
                    .get_mut("layer")
                    .and_then(Item::as_array_of_tables_mut)
                    .ok_or(refuse)?;
                let mut all = ArrayOfTables::new();
                all.push(layer(added));
                for old in layers.iter() {
                    let mut old = old.clone();
                    old.set_position(None);
                    all.push(old);
                }
                table.insert("layer", Item::ArrayOfTables(all))
            }
            _ => return Err(refuse),
        };
        Ok(())
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
