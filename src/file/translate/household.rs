//! Who eats, what they like, what they ask for.

use crate::crops::Pollinator;
use crate::file::project::{Cellar, Household};
use crate::file::quantity::{self, Dimension};
use crate::file::season;
use crate::file::section::Section;
use crate::plan::fate::Losses;
use crate::suggest;
use crate::value::{Eater, Wish, food};

/// Two adults, where the file says nothing of the people.
const USUAL_ADULTS: usize = 2;
const ADULT_AGE_YEARS: f64 = 40.0;
const WEEKS_PER_MONTH: f64 = 365.0 / 7.0 / 12.0;

pub fn household(root: &Section<'_, '_>) -> Option<Household> {
    let table = root.table("household");
    let household = table.filled(Household {
        cellar: root.given("cellar").and_then(|table| cellar(&table)),
        gardening: super::gardening::gardening(root, &table)?,
        ..Household::default()
    })?;
    root.table("money").filled(household)
}

/// What is lost beside the weather.
pub fn losses(root: &Section<'_, '_>) -> Option<Losses> {
    let losses = root.table("losses").filled(Losses::default())?;
    root.table("growth").filled(losses)
}

/// Who carries pollen in the house.
pub fn pollinator(root: &Section<'_, '_>) -> Pollinator {
    root.table("growth").get_or_default("pollinator")
}

fn cellar(table: &Section<'_, '_>) -> Option<Cellar> {
    match (table.number("temperature"), table.number("depth")) {
        (Some(temperature_c), None) => Some(Cellar::HeldAt(temperature_c)),
        (None, Some(depth_m)) => Some(Cellar::SoilAt(depth_m)),
        (Some(_), Some(_)) => {
            let wrong = "the cellar has both a temperature and a depth in the soil";
            table.problem("depth", wrong, "keep one of them");
            None
        }
        (None, None) => table.required("temperature").map(Cellar::HeldAt),
    }
}

pub fn eaters(table: &Section<'_, '_>) -> Vec<Eater> {
    let listed = table.tables("eaters");
    if listed.is_empty() {
        let why = "the file says nothing of the people";
        table.assume("eaters", format!("{USUAL_ADULTS} adults"), "", why);
        return vec![Eater::aged(ADULT_AGE_YEARS); USUAL_ADULTS];
    }
    let alike = |table: &Section<'_, '_>| {
        let eater = Eater {
            appetite: table.number("appetite").unwrap_or(1.0),
            ..Eater::aged(table.number_or_default("age"))
        };
        std::iter::repeat_n(eater, table.get_or_default("number"))
    };
    listed.iter().flat_map(alike).collect()
}

pub(super) fn foods(table: &Section<'_, '_>, key: &str) -> Vec<String> {
    let names = table.texts(key);
    let names = names.iter().filter_map(|name| food_id(table, key, name));
    names.collect()
}

/// Id of a food, a group or a crop by its name; an unknown one is a problem at `key`.
pub fn food_id(table: &Section<'_, '_>, key: &str, name: &str) -> Option<String> {
    // `tomatoes` are tomato; names that are plural on the shelf stay.
    let single = ["es", "s"].iter();
    let single = single.filter_map(|ending| name.trim().strip_suffix(ending));
    let known = |name: &str| {
        let group = food::find_group(name).map(|group| group.id.clone());
        group.or_else(|| food::find(name).map(|food| food.id.clone()))
    };
    if let Some(id) = std::iter::once(name).chain(single).find_map(known) {
        return Some(id);
    }
    let crops = crate::crops::Table::builtin().unwrap_or_default();
    if let Some(crop) = on_shelf(table, &crops, name) {
        return Some(crop);
    }
    let groups = food::groups().iter();
    let groups = groups.flat_map(|group| [group.id.as_str(), group.name.as_str()]);
    let foods = food::foods().iter();
    let foods = foods.flat_map(|food| [food.id.as_str(), food.name.as_str()]);
    let known = groups.chain(foods).chain(names_of(&crops));
    // A word that several groups share, such as greens, may mean any of them.
    let word = name.trim().to_lowercase();
    let shares = |group: &&food::Group| group.id.split('_').any(|own| own == word);
    let sharing = food::groups().iter().filter(shares);
    let sharing: Vec<&str> = sharing.map(|group| group.name.as_str()).collect();
    let near = match sharing.join("\" or \"") {
        none if none.is_empty() => suggest::nearest(name, known).map(str::to_owned),
        groups => Some(groups.to_lowercase()),
    };
    let right = match near {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => "`bedyear crops` lists the crops; groups of foods such as \"salad greens\" may be named too".to_owned(),
    };
    let wrong = format!("no crop or food is called \"{name}\"");
    table.problem_at(key, name, wrong, right);
    None
}

/// Ids and names of crops.
fn names_of(crops: &crate::crops::Table) -> impl Iterator<Item = &str> {
    let crops = crops.iter();
    crops.flat_map(|crop| [crop.id.as_str(), crop.name.as_str()])
}

/// Id of a crop of the shelf, or as one in a folder of one's own would have it.
fn on_shelf(table: &Section<'_, '_>, crops: &crate::crops::Table, name: &str) -> Option<String> {
    let own = || name.trim().to_lowercase().replace([' ', '-'], "_");
    let found = crops.called(name).map(|crop| crop.id.clone());
    found.or_else(|| table.has_own_crops().then(own))
}

/// Id of a crop by its id or name; an unknown one is a problem at `key`.
pub fn crop_id(table: &Section<'_, '_>, key: &str, name: &str) -> Option<String> {
    let crops = crate::crops::Table::builtin().unwrap_or_default();
    if let Some(crop) = on_shelf(table, &crops, name) {
        return Some(crop);
    }
    let right = match suggest::nearest(name, names_of(&crops)) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => "`bedyear crops` lists the crops".to_owned(),
    };
    table.problem_at(key, name, format!("no crop is called \"{name}\""), right);
    None
}

pub fn wishes(table: &Section<'_, '_>) -> Vec<Wish> {
    let wants = table.texts("want");
    wants.iter().filter_map(|text| wish(table, text)).collect()
}

/// `2 kg salad greens a week from October to April`.
fn wish(table: &Section<'_, '_>, text: &str) -> Option<Wish> {
    match parsed_wish(text) {
        Ok(parsed) => Some(Wish {
            of: food_id(table, "want", &parsed.of)?,
            ..parsed
        }),
        Err(wrong) => {
            let unit = if text.contains("lb") { "lb" } else { "kg" };
            let right = format!(
                "a target reads like \"2 {unit} salad greens a week from October to April\": an amount (kg, g, lb, oz), \
                 a food, \"a week\" or \"a month\", and months if not all year"
            );
            let wrong = format!("the target \"{text}\" {wrong}");
            table.problem_at("want", text, wrong, right);
            None
        }
    }
}

/// A wish with the food as it is called in the text.
fn parsed_wish(text: &str) -> Result<Wish, String> {
    let lower = text.trim().to_lowercase();
    let (amount, rest) = amount_and_rest(&lower).ok_or("does not begin with an amount")?;
    let kg = quantity::parse(amount, Dimension::Mass)
        .map_err(|error| format!("has no amount of food: {error}"))?;
    if kg <= 0.0 {
        return Err("asks for nothing".to_owned());
    }
    let parted = |time: &str| {
        let often = ["a ", "per ", "each ", "every "].map(|word| format!(" {word}{time}"));
        let often = often.into_iter().chain([format!(" {time}ly")]);
        often.into_iter().find_map(|words| rest.split_once(&words))
    };
    let ((food, months), weeks) = match (parted("week"), parted("month")) {
        (Some(parts), _) => (parts, 1.0),
        (None, Some(parts)) => (parts, WEEKS_PER_MONTH),
        (None, None) => return Err("does not say how often".to_owned()),
    };
    let months = months.trim_start_matches([',', ' ']).trim_end();
    let within = ["from ", "in ", "during "];
    let within = within.iter().find_map(|word| months.strip_prefix(word));
    let months = match within.unwrap_or(months) {
        "" => (0, 11),
        words => season::range(words).ok_or_else(|| format!("names no months: \"{words}\""))?,
    };
    let food = food.trim().trim_start_matches("of ").trim();
    if food.is_empty() {
        return Err("names no food".to_owned());
    }
    Ok(Wish {
        text: text.to_owned(),
        of: food.to_owned(),
        kg_week: kg / weeks,
        months,
    })
}

/// `2 kg`, and what follows.
fn amount_and_rest(text: &str) -> Option<(&str, &str)> {
    let digits = text.find(|c: char| !c.is_ascii_digit() && c != '.')?;
    let unit_start = digits + text.get(digits..)?.find(|c: char| c != ' ')?;
    let unit_length = text.get(unit_start..)?.find(' ')?;
    let end = unit_start + unit_length;
    if digits == 0 {
        return None;
    }
    Some((text.get(..end)?, text.get(end..)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wishes_are_read() {
        let wish = parsed_wish("2 kg salad greens a week from October to April").unwrap();
        assert_eq!(wish.of, "salad greens");
        assert_eq!(wish.months, (9, 3));
        assert!((wish.kg_week - 2.0).abs() < 1e-12);
        for months in [
            "Nov-Mar",
            "from Nov to Mar",
            ", November through March",
            "in Nov-Mar",
        ] {
            let wish = parsed_wish(&format!("1 lb kale a week {months}")).unwrap();
            assert_eq!(
                (wish.of.as_str(), wish.months),
                ("kale", (10, 2)),
                "{months}"
            );
        }
        for months in ["", " all year", ", all year", " year round"] {
            let wish = parsed_wish(&format!("1 lb kale per week{months}")).unwrap();
            assert_eq!(
                (wish.of.as_str(), wish.months),
                ("kale", (0, 11)),
                "{months}"
            );
        }
        let wish = parsed_wish("12 oz of Spinach per month in May").unwrap();
        assert_eq!((wish.of.as_str(), wish.months), ("spinach", (4, 4)));
        assert!((wish.kg_week - 0.75 * 0.453_592_37 / WEEKS_PER_MONTH).abs() < 1e-9);
    }

    #[test]
    fn broken_wishes_say_why() {
        for (text, why) in [
            ("salad", "does not begin with an amount"),
            ("2 m salad a week", "has no amount of food"),
            ("2 kg salad", "does not say how often"),
            ("2 kg a week", "names no food"),
            ("2 kg salad a week from Octember to May", "names no months"),
            ("0 kg salad a week", "asks for nothing"),
            ("2 kg", "does not begin with an amount"),
            ("é kg salad a week", "does not begin with an amount"),
        ] {
            let wrong = parsed_wish(text).err().unwrap_or_default();
            assert!(wrong.contains(why), "{text}: {wrong}");
        }
    }
}
