//! Any place on the land between 65 S and 72 N: a town's name or a spot gives a climate, estimated.
//!
//! The tables are packed into the program and read only when a place is asked for; how they were made, their sources and
//! licences stand in `climates/tables/README.md` and `climates/LICENCES.md`.

mod estimate;
mod fold;
mod tables;
mod towns;
mod unpack;

use crate::numbers::{lowest, mean};
use crate::phrase::{Phrase, amount, phrase};
use crate::site::climates;
use crate::site::normals::{Monthly, Normals};
use crate::site::weather::Place;
use crate::suggest;

pub use estimate::{
    Basis, Estimate, EstimateError, HeightFrom, LATITUDES_DEG, Spot, USUAL_WIND_M_S, estimate,
};
pub use fold::folded;
pub use tables::{Station, stations};
pub use towns::{Found, Town, clock_at, find, near};
#[cfg(feature = "inner")]
pub use towns::{count, get};

/// Stands behind the name of a place whose climate is estimated, wherever it is shown.
pub const ESTIMATED: &str = " (estimated climate)";

/// A place of the shelf this near says something about a spot, km (own choice).
pub const NEAR_SHELF_KM: f64 = 30.0;
/// Towns named in a message.
const NAMED: usize = 8;

/// What a written place means.
#[derive(Clone, Debug, PartialEq)]
pub enum Chosen {
    /// A place of the shelf, by its identifier.
    Shelf(&'static str),
    /// A town; how many others have its name.
    Town(Box<Town>, usize),
    /// Nothing that can be taken: what is wrong, and what would be right.
    Unclear { wrong: String, right: String },
}

/// What a written place means: the shelf goes before towns, and a town that lies at a place of the shelf is that place.
pub fn choose(written: &str) -> Chosen {
    if let Some(name) = on_the_shelf(written) {
        return Chosen::Shelf(name);
    }
    match towns::find(written) {
        Found::One(town, others) => match shelf_at(&town) {
            Some(name) => Chosen::Shelf(name),
            None => Chosen::Town(town, others.len()),
        },
        Found::Several(towns) => {
            let more = towns.len().saturating_sub(NAMED);
            let mut listed: Vec<String> = towns.iter().take(NAMED).map(Town::in_full).collect();
            if more > 0 {
                listed.push(format!("and {more} smaller"));
            }
            Chosen::Unclear {
                wrong: format!("{} towns are called \"{written}\"", towns.len()),
                right: format!("name the region or country too: {}", listed.join("; ")),
            }
        }
        Found::None(alike) => {
            let shelf = suggest::nearest(written, climates::names().into_iter());
            let towns = alike.iter().map(Town::in_full);
            let near: Vec<String> = shelf
                .map(|name| format!("\"{name}\""))
                .into_iter()
                .chain(towns)
                .collect();
            let offered = if near.is_empty() {
                String::new()
            } else {
                format!("did you mean {}? Else ", near.join(" or "))
            };
            Chosen::Unclear {
                wrong: format!("no place \"{written}\" is known"),
                right: format!(
                    "{offered}a larger town near, latitude and longitude, an EPW file as `weather`, or twelve months of your own \
                     as `site.months` will do"
                ),
            }
        }
    }
}

fn on_the_shelf(written: &str) -> Option<&'static str> {
    let wanted = folded(written);
    let is = |name: &str, normals: &Normals| {
        let shown = normals.place.name.as_str();
        let mut known = [name, shown, town_of(shown)].into_iter();
        known.any(|known| folded(known) == wanted)
    };
    let mut all = climates::all();
    all.find(|(name, normals)| is(name, normals))
        .map(|(name, _)| name)
}

/// The town in a name with its region.
fn town_of(shown: &str) -> &str {
    shown.split(',').next().unwrap_or_default()
}

/// The place of the shelf that is this town.
fn shelf_at(town: &Town) -> Option<&'static str> {
    let is = |place: &Place| {
        folded(town_of(&place.name)) == folded(&town.name)
            && town.distance_km(place.latitude_deg, place.longitude_deg) <= NEAR_SHELF_KM
    };
    let mut all = climates::all();
    all.find(|(_, normals)| is(&normals.place))
        .map(|(name, _)| name)
}

/// What the nearest place of the shelf says about an estimate, where one is near.
pub fn shelf_beside(place: &Place, temp_mean_c: &Monthly) -> Option<Phrase> {
    let (km, name, normals) = climates::all()
        .map(|(name, normals)| (place.distance_km(&normals.place), name, normals))
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    if km > NEAR_SHELF_KM {
        return None;
    }
    let theirs = normals.monthly_mean_c();
    let apart = |k: f64| {
        let word = if k < 0.0 { " colder" } else { " warmer" };
        phrase![amount(k.abs(), "K", 1), word]
    };
    Some(phrase![
        format!(
            "{}, computed from hourly weather, lies ",
            normals.place.name
        ),
        amount(km, "km", 0),
        " away: its year is ",
        apart(mean(&theirs) - mean(temp_mean_c)),
        " than this estimate and its coldest month ",
        apart(lowest(&theirs) - lowest(temp_mean_c)),
        format!("; `place = \"{name}\"` takes it")
    ])
}
