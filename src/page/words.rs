//! Keys of the project file in the words of the page.

use crate::file;

/// Keys with the words that stand beside their fields; every other key goes by its own name.
const LABELS: [(&str, &str); 63] = [
    ("name", "Name of the project"),
    ("site.place", "Place"),
    ("site.elevation", "Height above the sea"),
    ("year.plan", "Year of the plan"),
    ("year.finished", "Day the building is finished"),
    ("year.winter", "Plan for which winters"),
    ("year.weather_years", "Weather years to try"),
    ("building.shape", "Shape"),
    ("building.length", "Length"),
    ("building.width", "Width"),
    ("building.height", "Height"),
    ("building.low_wall", "Height of the front wall or eaves"),
    ("building.facing", "Front looks to"),
    ("building.glazing", "Glazing"),
    ("building.front", "Front wall"),
    ("building.back", "Back wall"),
    ("building.ends", "End walls"),
    ("building.insulated_roof", "Solid part of the slope"),
    ("floor.soil", "Soil"),
    ("floor.skirt_depth", "Depth of the skirt"),
    ("floor.skirt", "Insulation of the skirt"),
    ("air.infiltration", "Leaks, air changes an hour"),
    ("vents.open_above", "Vents open above"),
    ("heater.set_point", "Heater keeps the air at"),
    ("heater.capacity", "Largest heat of the heater"),
    ("heater.energy", "Heater runs on"),
    ("curtain.resistance", "Night curtain"),
    ("curtain.months", "Curtain is drawn in"),
    ("cover[].below", "Covers lie below"),
    ("store.pipes", "Pipes of the ground store"),
    ("store.pipe_length", "Length of a pipe"),
    ("store.fan_power", "Power of its fan"),
    ("bed[].name", "Name"),
    ("bed[].count", "How many"),
    ("bed[].length", "Length"),
    ("bed[].width", "Width"),
    ("bed[].position", "Lies"),
    ("bed[].cover", "Cover"),
    ("household.eaters[].number", "How many"),
    ("household.eaters[].age", "Age"),
    ("household.eats", "Eats only"),
    ("household.refuses", "Does not eat"),
    ("household.want", "Target"),
    ("household.hours_a_week", "Hours a week for the beds"),
    ("household.sowings_a_week", "Sowings a week at most"),
    ("household.simple", "How simple"),
    ("household.rotation", "Rest of a place from a family"),
    ("household.salad_bought", "Salad is bought as"),
    ("household.trays", "Seed trays at a time"),
    ("money.currency", "Currency"),
    ("money.groceries", "Groceries in all"),
    ("money.produce", "Fruit and vegetables of it"),
    ("money.electricity", "Electricity"),
    ("money.fuel", "Fuel"),
    ("money.water", "Water"),
    ("money.compost", "Compost"),
    ("money.upkeep", "Upkeep"),
    ("money.cover", "New glazing or film"),
    ("money.cover_life", "It lasts"),
    ("money.building", "Cost of the building"),
    ("money.life", "It stands for"),
    ("money.discount", "Interest, above inflation"),
    ("money.receipts", "Receipts, a file beside this one"),
];

pub fn label(path: &str) -> String {
    let general = file::general(path);
    let general = general.trim_end_matches("[]");
    LABELS
        .iter()
        .find(|(key, _)| *key == general)
        .map_or_else(|| path.to_owned(), |(_, words)| (*words).to_owned())
}

/// What a key is about, with the part of the file it stands in: `Curtain is drawn in`, `Bed 2: Width`.
pub fn label_in_file(path: &str) -> String {
    let words = label(path);
    let number = path
        .split_once('[')
        .and_then(|(_, rest)| rest.split_once(']'))
        .and_then(|(number, _)| number.parse::<usize>().ok());
    match number {
        Some(number) if path.starts_with("bed[") => format!("Beds {}: {words}", number + 1),
        Some(number) if path.contains("eaters[") => format!("Eaters {}: {words}", number + 1),
        Some(number) => format!("{words} {}", number + 1),
        None => words,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_label_is_of_a_key() {
        let schema = file::schema();
        for (path, _) in LABELS {
            let is = |row: &file::KeyRow| row.path.trim_end_matches("[]") == path;
            assert!(schema.iter().any(is), "{path}");
        }
    }
}
