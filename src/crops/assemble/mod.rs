//! From a complete crop file to a [`Crop`], with the checks that need more than one figure.

pub(super) mod fill;
mod groups;

use super::file::{CropFile, Figure, Numbers, Placed};
use super::schema::{KEYS, OLD_SWITCH};
use super::{
    Crop, CropError, FigureRow, Flower, Habit, Light, Pollinator, Range, RateFrom, Water, Way,
};
use crate::suggest::{meant, nearest};
use crate::words::Word;
use fill::filled;
use groups::{
    bolting, bulbing, class_of, cold, curd_none_above_c, emergence, fruit_set, growth, seedlings,
    spacing, storage, temperature, timing, yields,
};

/// Turns a file that has taken over its parent's figures into a crop.
pub(super) fn assemble(file: &CropFile) -> Result<Crop, CropError> {
    let habit = choice(file, "habit")?;
    let class = class_of(file, habit, &word(file, "part")?)?;
    let flower = flower(file, habit)?;
    let mut crop = Crop {
        id: file.id.clone(),
        name: word(file, "name")?,
        code: code(file)?,
        planted_as: file.words.get("planted_as").map(|word| word.value.clone()),
        latin: word(file, "latin")?,
        family: word(file, "family")?,
        rotation_group: word(file, "rotation_group")?,
        rotation_gap_years: number(file, "rotation.gap_years")?,
        food: word(file, "food")?,
        group: word(file, "group")?,
        like: file.like.as_ref().map(|like| like.value.clone()),
        habit,
        ways: ways(file)?,
        hardiness: choice(file, "hardiness")?,
        perennial: switch(file, "perennial"),
        flower,
        pollinated: flower.set_share(Pollinator::default()),
        aired: None,
        growth: growth(file, class),
        nitrate: switch(file, "nitrate"),
        sets_once: switch(file, "sets_once"),
        cautions: list(file, "cautions"),
        cold: cold(file)?,
        temperature: temperature(file)?,
        emergence: emergence(file),
        seedlings: seedlings(file),
        planting_weeks: maybe_range(file, "planting.weeks"),
        root_zone_min_c: maybe(file, "root_zone.min_c"),
        timing: timing(file, habit)?,
        light: filled(file, Light::default())?,
        bolting: bolting(file)?,
        bulbing: bulbing(file),
        curd_none_above_c: curd_none_above_c(file, class),
        fruit_set: fruit_set(file)?,
        yields: yields(file, habit)?,
        spacing: spacing(file)?,
        water: filled(file, Water::default())?,
        storage: storage(file)?,
        figures: figures(file),
    };
    check_starts(file, &crop)?;
    if crop.growth.rate_from != RateFrom::File {
        (crop.growth.leaf_rate_per_day, crop.growth.rate_from) = super::growth::solve(&crop);
    }
    crop.growth.fruit_share = super::growth::fruit_share(&crop);
    crop.figures.extend(solved(&crop));
    Ok(crop)
}

/// What the flowers need: as the file says, or as the switch of older files does.
fn flower(file: &CropFile, habit: Habit) -> Result<Flower, CropError> {
    if let Some(word) = file.words.get("flower") {
        return choose(word, "flower");
    }
    Ok(if habit == Habit::Fruit && switch(file, OLD_SWITCH) {
        Flower::Shaken
    } else {
        Flower::Own
    })
}

/// Figures that are worked out or are the class's, shown with those of the file.
fn solved(crop: &Crop) -> Vec<FigureRow> {
    let figures = &crop.growth;
    let default = "class default, no source for the crop itself";
    let row = |key: &str, value: String, unit, source: &str| FigureRow {
        key: format!("growth.{key}"),
        value,
        unit,
        source: source.to_owned(),
    };
    let leaf_rate = format!("{:.3}", figures.leaf_rate_per_day);
    let leaf_m2_g = format!("{:.3}", figures.leaf_m2_g);
    let index = format!("{:.2}", figures.harvest_index);
    let mut rows = vec![
        row("class", figures.class.word().to_owned(), "", default),
        row(
            "leaf_rate_per_day",
            leaf_rate,
            "1/day",
            figures.rate_from.word(),
        ),
        row("leaf_m2_g", leaf_m2_g, "m2/g", default),
        row("harvest_index", index, "", default),
    ];
    if crop.habit == Habit::Fruit {
        let share = format!("{:.2}", figures.fruit_share);
        let from =
            "solved from the high published week of picking at best temperature in full light";
        rows.push(row("fruit_share", share, "", from));
    }
    rows.retain(|row| !crop.figures.iter().any(|own| own.key == row.key));
    rows
}

fn missing(file: &CropFile, path: &str) -> CropError {
    file.origin
        .error(0..0, format!("`{}` lacks `{path}`", file.id))
}

fn word(file: &CropFile, key: &'static str) -> Result<String, CropError> {
    let word = file.words.get(key).ok_or_else(|| missing(file, key))?;
    Ok(word.value.clone())
}

/// The code that the file gives; empty where it gives none, then the table chooses a free one.
fn code(file: &CropFile) -> Result<String, CropError> {
    let Some(word) = file.words.get("code") else {
        return Ok(String::new());
    };
    let sound = matches!(word.value.as_bytes(), [first, second]
        if first.is_ascii_uppercase() && second.is_ascii_lowercase());
    if sound {
        Ok(word.value.clone())
    } else {
        Err(word.error(format!(
            "`code` is `{}`: it is a capital and a small letter, such as `Sp`",
            word.value
        )))
    }
}

fn choice<T: Word>(file: &CropFile, key: &'static str) -> Result<T, CropError> {
    let word = file.words.get(key).ok_or_else(|| missing(file, key))?;
    choose(word, key)
}

fn choose<T: Word>(word: &Placed<String>, key: &str) -> Result<T, CropError> {
    let found = T::WORDS.iter().find(|(name, _)| *name == word.value);
    found.map(|(_, value)| *value).ok_or_else(|| {
        let names = || T::WORDS.iter().map(|(name, _)| *name);
        let listed: Vec<String> = names().map(|name| format!("`{name}`")).collect();
        let hint = meant(nearest(&word.value, names()));
        word.error(format!(
            "`{key}` is `{}`, not one of {}{hint}",
            word.value,
            listed.join(", ")
        ))
    })
}

fn switch(file: &CropFile, key: &'static str) -> bool {
    file.switches.get(key).copied().unwrap_or(false)
}

fn list(file: &CropFile, key: &'static str) -> Vec<String> {
    let list = file.lists.get(key).map(Vec::as_slice).unwrap_or_default();
    list.iter().map(|item| item.value.clone()).collect()
}

fn ways(file: &CropFile) -> Result<Vec<Way>, CropError> {
    match file.lists.get("ways") {
        Some(list) if !list.is_empty() => list.iter().map(|word| choose(word, "ways")).collect(),
        _ => Err(missing(file, "ways")),
    }
}

/// The numbers of a figure, where the file has it.
fn numbers<'f>(file: &'f CropFile, path: &'static str) -> Option<&'f Numbers> {
    file.figures.get(path).map(|figure| &figure.value.numbers)
}

fn maybe(file: &CropFile, path: &'static str) -> Option<f64> {
    match numbers(file, path)? {
        Numbers::One(value) => Some(*value),
        _ => None,
    }
}

fn number(file: &CropFile, path: &'static str) -> Result<f64, CropError> {
    maybe(file, path).ok_or_else(|| missing(file, path))
}

fn maybe_range(file: &CropFile, path: &'static str) -> Option<Range> {
    match numbers(file, path)? {
        Numbers::Range(range) => Some(*range),
        _ => None,
    }
}

fn range(file: &CropFile, path: &'static str) -> Result<Range, CropError> {
    maybe_range(file, path).ok_or_else(|| missing(file, path))
}

/// An error at a figure, or at the head of the file if it is not there.
fn at(file: &CropFile, path: &'static str, message: String) -> CropError {
    match file.figures.get(path) {
        Some(figure) => figure.error(message),
        None => missing(file, path),
    }
}

/// Each way of starting needs its figures.
fn check_starts(file: &CropFile, crop: &Crop) -> Result<(), CropError> {
    let timing = &crop.timing;
    let published = timing.published_sum_kd.is_some();
    let sown = published || timing.days_from_sowing.is_some();
    let set_out = sown || timing.days_from_transplanting.is_some();
    let needs = |way: &Way| match way {
        Way::Direct => [
            (crop.emergence.is_some(), "emergence.curve"),
            (sown, "time.days_from_sowing"),
        ],
        Way::Tray => [
            (timing.tray_weeks.is_some(), "time.tray_weeks"),
            (set_out, "time.days_from_transplanting"),
        ],
    };
    let mut lacking = crop.ways.iter().flat_map(needs).filter(|(there, _)| !there);
    lacking
        .next()
        .map_or(Ok(()), |(_, path)| Err(missing(file, path)))
}

fn figures(file: &CropFile) -> Vec<FigureRow> {
    KEYS.iter()
        .filter_map(|key| {
            let figure = file.figures.get(key.path)?;
            Some(FigureRow {
                key: key.path.to_string(),
                value: show(&figure.value),
                unit: key.unit,
                source: figure.value.source.clone(),
            })
        })
        .collect()
}

fn show(figure: &Figure) -> String {
    match &figure.numbers {
        Numbers::One(value) => value.to_string(),
        Numbers::Range(range) if range.low == range.high => range.low.to_string(),
        Numbers::Range(range) => format!("{} to {}", range.low, range.high),
        Numbers::ByTemperature {
            at_c,
            figures,
            none_c,
        } => {
            let pairs = at_c.iter().zip(figures);
            let pairs: Vec<String> = pairs
                .map(|(at_c, figure)| format!("{figure} at {at_c} °C"))
                .collect();
            let none = none_c.map_or_else(String::new, |none_c| {
                format!("; none at {} and {} °C", none_c.low, none_c.high)
            });
            pairs.join(", ") + &none
        }
    }
}
