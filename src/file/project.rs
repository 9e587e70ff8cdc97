//! A project file read and checked: what the stages are given, typed, in SI units.

use std::sync::Arc;

use super::gardening::Gardening;
use super::parse::Written;
use chrono::NaiveDate;

use super::mixed::Doubt;
use super::shape::Shape;
use crate::crops::Pollinator;
use crate::house::{House, Tuned};
use crate::plan::fate::Losses;
use crate::site::Normals;
use crate::site::places::Spot;
use crate::value::{Household as Shopping, OwnCosts};
use crate::words::worded;

/// A project file read and checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Project {
    /// What the person calls the project.
    pub name: String,
    /// True where the file is written in feet more than in metres.
    pub in_feet: bool,
    pub site: SiteChoice,
    /// Figures of the place that the file sets over those of the weather source.
    pub site_override: SiteOverride,
    /// The year to plan and the weather years to try it on.
    pub planning: Planning,
    /// The building with its controls.
    pub house: House,
    /// What is known of the building beside.
    pub built: Built,
    /// Air temperatures between which sunlit hours are counted, °C, the lower first.
    pub sunlit_band_c: (f64, f64),
    /// Growing beds, in the file's order.
    pub beds: Vec<Bed>,
    /// What a household asks of its beds beside food, and how it works in them.
    pub household: Household,
    /// What is lost beside the weather.
    pub losses: Losses,
    /// Who carries pollen in the house.
    pub pollinator: Pollinator,
    /// The same household as the money stage is told of it: who eats, its purse, its own prices and appetite. The half of
    /// the earth stands with the place.
    pub shopping: Shopping,
    /// Running costs, prices of energy, the building's cost; the heater's efficiency stands with the heater.
    pub costs: OwnCosts,
    /// Folders of the person's own crops and places.
    pub folders: Folders,
    /// Every default that was put in the person's name.
    pub assumed: Vec<Assumed>,
    /// Values that may not be what was meant.
    pub doubts: Vec<Doubt>,
    pub written: Arc<Written>,
}

/// Where the weather comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum SiteChoice {
    /// A place on the shelf, by name.
    Shelf(String),
    /// An hourly weather file (EPW); the path is relative to the project file's folder.
    WeatherFile(String),
    /// Twelve months of the person's own.
    OwnMonths(Box<Normals>),
    /// A town or a spot whose climate is estimated.
    Estimated(Box<Chosen>),
}

/// A town or a spot whose climate is estimated.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// Name to show.
    pub name: String,
    /// Where it lies.
    pub spot: Spot,
    /// Local standard time minus UTC, h.
    pub utc_offset_h: f64,
}

/// Figures of the place that the file sets over those of the weather source.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SiteOverride {
    /// Name to show in place of the source's.
    pub name: Option<String>,
    /// Height above sea level, m, -430 to 6000.
    pub elevation_m: Option<f64>,
    /// Reflectance of the ground outside for sunlight, 0 to 1, all year.
    pub ground_reflectance: Option<f64>,
}

/// The year to plan and the weather years to try it on.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Planning {
    /// Calendar year of the plan.
    pub year: i32,
    /// Start of a plan that does not close on itself.
    pub from: Option<NaiveDate>,
    /// Months that such a plan covers, 1 to 24.
    pub months: usize,
    /// Which weather years the plan is made for.
    pub winter: Winter,
    /// Former plan, path relative to the project file's folder.
    pub near: Option<String>,
    /// Weather years to simulate, 1 to 1000.
    pub weather_years: usize,
    /// Seed of the weather years.
    pub seed: u64,
    /// Day the building is finished and the first year begins; midsummer of the place where the file is silent.
    pub finished: Option<NaiveDate>,
}

worded! {
    /// Which weather years a plan is made for.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
    #[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
    pub enum Winter {
        /// The mean of all.
        #[default]
        "usual" => Usual,
        /// The fifth that bear least.
        "hard" => Hard,
    }
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bed {
    /// Name, unique in the file.
    pub name: String,
    /// Growing area, m2, paths not counted.
    pub area_m2: f64,
    /// Least part that is planted on its own, about, m2, where the file says it.
    pub patch_m2: Option<f64>,
    /// Width that it takes along an outer wall, m; none away from the walls.
    pub edge_m: Option<f64>,
    /// Name of what covers it in cold nights, where something does.
    pub cover: Option<String>,
    /// Which of the house's bed climates it lives in, the bare middle counted first.
    pub climate: usize,
    /// What stands in it at the start of a plan that has one; shares add up to 1 at most.
    pub standing: Vec<Standing>,
}

/// What stands in a bed at the start of a plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Standing {
    /// Crop id.
    pub crop: String,
    /// Day on which it came into the bed, as seed or as a young plant.
    pub since: NaiveDate,
    /// How it came there, where the file says; else as seed if the crop is ever sown in the bed.
    pub set_out: Option<bool>,
    /// Day on which it was sown in a tray, where the file says; set out on a day still to come it stands in its tray until then.
    pub sown: Option<NaiveDate>,
    /// Share of the bed that it takes, above 0 to 1.
    pub share: f64,
    /// Sections of the bed that it takes, from 1; empty where the file does not say.
    pub sections: Vec<usize>,
    /// Day on which its place is to be free again, where that is earlier than it would be by itself.
    pub clear: Option<NaiveDate>,
}

impl Standing {
    /// Does it stand in its tray on a day, to be set out then or later?
    pub fn in_tray_on(&self, day: NaiveDate) -> bool {
        let sown_before = self.sown.is_some_and(|sown| sown <= day);
        self.set_out == Some(true) && (self.since > day || self.since == day && sown_before)
    }

    /// The keys of its table in a project file, empty ones for what is not said.
    pub fn keys(&self, bed: &str, bed_m2: f64) -> Vec<(&'static str, String)> {
        let day = |day: Option<NaiveDate>| day.map_or_else(String::new, |day| day.to_string());
        let set_out = self.set_out == Some(true);
        let sections: Vec<String> = self.sections.iter().map(usize::to_string).collect();
        let sections = match sections.is_empty() {
            true => String::new(),
            false => format!("[{}]", sections.join(", ")),
        };
        let sown = if set_out { self.sown } else { Some(self.since) };
        // Rounded down: the parts of a bed are together no more than it.
        let area_m2 = (bed_m2 * self.share * 1e4).floor() / 1e4;
        vec![
            ("bed", bed.to_owned()),
            ("crop", self.crop.clone()),
            ("sown", day(sown)),
            ("set_out", day(set_out.then_some(self.since))),
            ("sections", sections),
            ("area", format!("{area_m2:.4} m2")),
            ("clear", day(self.clear)),
        ]
    }
}

/// What a household asks of its beds beside food, and how it works in them.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Household {
    /// Worth of a wished kilogram beyond what is bought, as a share of its price, for the search of a plan, 0 to 1.
    pub wish_beyond: f64,
    /// Receipts (CSV), path relative to the project file's folder.
    pub receipts: Option<String>,
    /// Do the receipts hold all that was bought, so that they tell the appetite too?
    pub receipts_complete: bool,
    /// Sowings a week that the household can manage, where limited.
    pub sowings_per_week: Option<f64>,
    /// Hours a week that the household can work in the beds, where limited.
    pub hours_per_week: Option<f64>,
    /// Seed trays that can stand at a time, where limited.
    pub trays: Option<f64>,
    /// Where food is kept, where the file says.
    pub cellar: Option<Cellar>,
    pub gardening: Gardening,
}

/// Where food is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cellar {
    /// A room held at a temperature, °C.
    HeldAt(f64),
    /// A room that follows the undisturbed soil at a depth, m.
    SoilAt(f64),
}

/// What is known of the building beside what the simulation is told.
#[derive(Clone, Debug, PartialEq)]
pub struct Built {
    /// Its shape, where the shorthand described it.
    pub shape: Option<Shape>,
    /// Floor on the ground, m2, where there is one.
    pub floor_m2: Option<f64>,
    /// Was the direction of the front assumed?
    pub facing_assumed: bool,
    /// Factors that a logger taught; the house has them already.
    pub tuned: Tuned,
    /// Does the heater burn without a flue?
    pub burner_without_flue: bool,
}

/// Folders of the person's own, relative to the project file's folder.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Folders {
    /// Crop files that add to or override the shelf's.
    pub crops: Option<String>,
    /// Climate files that add to or override the shelf's.
    pub climates: Option<String>,
}

/// A default put in the person's name.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// Path of the key, such as `building.height`.
    pub key: String,
    /// The value that was taken, as it would be written in the file.
    pub value: String,
    /// Unit, empty for a bare number or a word.
    pub unit: &'static str,
    pub why: String,
}

impl Project {
    /// The household as the money stage knows it; `southern` south of the equator, where seasons of price turn about.
    pub fn market_household(&self, southern: bool) -> Shopping {
        Shopping {
            southern,
            ..self.shopping.clone()
        }
    }

    /// Prices and costs of the person's own as the money stage knows them.
    pub fn own_costs(&self) -> OwnCosts {
        OwnCosts {
            efficiency: self.house.heater.as_ref().map(|heater| heater.efficiency),
            ..self.costs.clone()
        }
    }

    /// Turns a building whose direction was assumed towards the equator of the place, once the place is known
    /// (a weather file is not open while the project file is read).
    pub fn turn_to_equator(&mut self, latitude_deg: f64) {
        const HALF_TURN_DEG: f64 = 180.0;
        const FULL_TURN_DEG: f64 = 360.0;
        let Some(shape) = &mut self.built.shape else {
            return;
        };
        let wanted_deg = match latitude_deg < 0.0 {
            true => 0.0,
            false => HALF_TURN_DEG,
        };
        if !self.built.facing_assumed || (shape.facing_deg - wanted_deg).abs() < 1.0 {
            return;
        }
        shape.facing_deg = wanted_deg;
        let faces = shape.faces().len();
        // The shape's faces come first; listed ones keep the direction that the file gives them.
        for surface in self.house.surfaces.iter_mut().take(faces) {
            surface.azimuth_deg = (surface.azimuth_deg + HALF_TURN_DEG).rem_euclid(FULL_TURN_DEG);
        }
        let assumed = self.assumed.iter_mut();
        for assumed in assumed.filter(|assumed| assumed.key == "building.facing") {
            assumed.value = super::read::tidy(wanted_deg);
        }
    }
}
