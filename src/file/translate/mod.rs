//! From the tree of values to the inputs of the stages.

mod beds;
mod cover;
mod envelope;
mod faces;
mod gardening;
mod heat;
mod household;
mod indoors;
pub mod money;
mod room;
mod site;
pub mod times;

use std::sync::Arc;

use super::keys;
use super::project::{Built, Project};
use super::section::Section;
use crate::house::Tuned;

/// Translates a checked tree.
///
/// Nothing comes back where something essential is missing; the section's notes then hold the reason.
pub fn project(root: &Section<'_, '_>) -> Option<Project> {
    let place = site::site(root);
    let envelope = envelope::envelope(root, place.as_ref().and_then(|place| place.latitude_deg));
    let floor_m2 = envelope.as_ref().and_then(|envelope| envelope.floor_m2);
    let mut beds = beds::beds(root, floor_m2);
    let household = household::household(root)?;
    gardening::check_beds(root, &household, &beds);
    let shopping = money::shopping(root);
    let costs = money::costs(root);
    let house = envelope
        .as_ref()
        .and_then(|envelope| indoors::house(root, envelope, &mut beds));
    let place = place?;
    let envelope = envelope?;
    let tuned = tuned(root);
    Some(Project {
        // Set from the text as it is written.
        in_feet: false,
        name: root.text("name").unwrap_or(place.shown_name),
        site: place.choice,
        site_override: place.overrides,
        planning: root.table("year").filled_or_default(),
        house: tuned.apply(&house?),
        built: Built {
            shape: envelope.shape,
            floor_m2: envelope.floor_m2,
            facing_assumed: envelope.facing_assumed,
            tuned,
            burner_without_flue: root
                .given("heater")
                .is_some_and(|heater| !heater.get_or_default::<bool>("vented")),
        },
        sunlit_band_c: band(root),
        beds,
        household,
        shopping: shopping?,
        losses: household::losses(root)?,
        pollinator: household::pollinator(root),
        costs: costs?,
        folders: root.table("folders").filled_or_default(),
        assumed: Vec::new(),
        doubts: Vec::new(),
        written: Arc::default(),
    })
}

/// Band of the sunlit hours, °C; an upside-down one is a problem.
fn band(root: &Section<'_, '_>) -> (f64, f64) {
    let crop = root.table("crop");
    let low_c = crop.number_or_default("band_from");
    let high_c = crop.number_or_default("band_to");
    if low_c >= high_c {
        let wrong =
            format!("`crop.band_to` ({high_c} C) is not above `crop.band_from` ({low_c} C)");
        crop.problem("band_to", wrong, None);
    }
    (low_c, high_c)
}

/// Factors that a logger taught; 1 where the file is silent.
fn tuned(root: &Section<'_, '_>) -> Tuned {
    let table = root.table("tuned");
    Tuned::from(Tuned::NAMES.map(|name| table.number(name).unwrap_or(1.0)))
}

/// Where a key stands in the schema, so that defaults are listed in the file's usual order.
pub fn order(shown: &str) -> usize {
    let path = keys::general(shown);
    let place = keys::all().position(|key| key.path == path);
    place.unwrap_or(usize::MAX)
}
