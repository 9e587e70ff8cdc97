//! From a complete crop file to a [`Crop`], with the checks that need more than one figure.

pub(super) mod fill;
mod groups;

use super::file::{CropFile, Figure, Numbers, Placed};
use super::schema::{KEYS, OLD_SWITCH};
use super::{
    Crop, CropError, FigureRow, Flower, Habit, Hardiness, Pollinator, Range, RateFrom, Way,
};
use crate::suggest::{meant, nearest};
use groups::{
    bolting, bulbing, class_of, cold, curd, emergence, fruit_set, growth, light, seedlings,
    spacing, storage, temperature, timing, water, yields,
};

/// Turns a file that has taken over its parent's figures into a crop.
pub(super) fn assemble(file: &CropFile) -> Result<Crop, CropError> {
    let habit = choice(
        file,
        "habit",
        &[
            ("single", Habit::Single),
            ("cut", Habit::Cut),
            ("fruit", Habit::Fruit),
        ],
    )?;
    let part = word(file, "part")?;
    let class = class_of(file, habit, &part)?;
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
        part,
        food: word(file, "food")?,
        group: word(file, "group")?,
        like: file.like.as_ref().map(|like| like.value.clone()),
        habit,
        ways: ways(file)?,
        hardiness: choice(
            file,
            "hardiness",
            &[
                ("hardy", Hardiness::Hardy),
                ("half-hardy", Hardiness::HalfHardy),
                ("tender", Hardiness::Tender),
            ],
        )?,
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
        light: light(file)?,
        bolting: bolting(file)?,
        bulbing: bulbing(file)?,
        curd: curd(file, class),
        fruit_set: fruit_set(file)?,
        yields: yields(file, habit)?,
        spacing: spacing(file)?,
        water: water(file)?,
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
        return choose(word, "flower", Flower::WORDS);
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
    let row = |key: &str, value: String, unit, meaning, source: &str| FigureRow {
        key: key.to_owned(),
        value,
        unit,
        meaning,
        source: source.to_owned(),
    };
    let mut rows = vec![
        row(
            "growth.class",
            figures.class.word().to_owned(),
            "",
            "build of the crop",
            default,
        ),
        row(
            "growth.leaf_rate_per_day",
            format!("{:.3}", figures.leaf_rate_per_day),
            "1/day",
            "growth of young leaf area at best temperature",
            figures.rate_from.words(),
        ),
        row(
            "growth.leaf_m2_g",
            format!("{:.3}", figures.leaf_m2_g),
            "m2/g",
            "leaf area that a gram of new dry mass can make",
            default,
        ),
        row(
            "growth.harvest_index",
            format!("{:.2}", figures.harvest_index),
            "",
            "share of the dry mass that is eaten",
            default,
        ),
    ];
    if crop.habit == Habit::Fruit {
        let share = format!("{:.2}", figures.fruit_share);
        let from =
            "solved from the high published week of picking at best temperature in full light";
        rows.push(row(
            "growth.fruit_share",
            share,
            "",
            "share of a day's gain that goes to fruit",
            from,
        ));
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

fn choice<T: Copy>(
    file: &CropFile,
    key: &'static str,
    choices: &[(&str, T)],
) -> Result<T, CropError> {
    let word = file.words.get(key).ok_or_else(|| missing(file, key))?;
    choose(word, key, choices)
}

fn choose<T: Copy>(
    word: &Placed<String>,
    key: &str,
    choices: &[(&str, T)],
) -> Result<T, CropError> {
    let found = choices.iter().find(|(name, _)| *name == word.value);
    found.map(|(_, value)| *value).ok_or_else(|| {
        let names: Vec<String> = choices
            .iter()
            .map(|(name, _)| format!("`{name}`"))
            .collect();
        let hint = meant(nearest(&word.value, choices.iter().map(|(name, _)| *name)));
        word.error(format!(
            "`{key}` is `{}`, not one of {}{hint}",
            word.value,
            names.join(", ")
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
    let list = file
        .lists
        .get("ways")
        .ok_or_else(|| missing(file, "ways"))?;
    if list.is_empty() {
        return Err(missing(file, "ways"));
    }
    let choices = [("direct", Way::Direct), ("tray", Way::Tray)];
    list.iter()
        .map(|word| choose(word, "ways", &choices))
        .collect()
}

fn maybe(file: &CropFile, path: &'static str) -> Option<f64> {
    match file.figures.get(path).map(|figure| &figure.value.numbers) {
        Some(Numbers::One(value)) => Some(*value),
        _ => None,
    }
}

fn number(file: &CropFile, path: &'static str) -> Result<f64, CropError> {
    maybe(file, path).ok_or_else(|| missing(file, path))
}

fn maybe_range(file: &CropFile, path: &'static str) -> Option<Range> {
    match file.figures.get(path).map(|figure| &figure.value.numbers) {
        Some(Numbers::Range(range)) => Some(*range),
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
    for way in &crop.ways {
        match way {
            Way::Direct if crop.emergence.is_none() => {
                return Err(missing(file, "emergence.curve"));
            }
            Way::Direct if timing.days_from_sowing.is_none() && !published => {
                return Err(missing(file, "time.days_from_sowing"));
            }
            Way::Tray if timing.tray_weeks.is_none() => {
                return Err(missing(file, "time.tray_weeks"));
            }
            Way::Tray
                if timing.days_from_transplanting.is_none()
                    && timing.days_from_sowing.is_none()
                    && !published =>
            {
                return Err(missing(file, "time.days_from_transplanting"));
            }
            _ => {}
        }
    }
    Ok(())
}

fn figures(file: &CropFile) -> Vec<FigureRow> {
    KEYS.iter()
        .filter_map(|key| {
            let figure = file.figures.get(key.path)?;
            Some(FigureRow {
                key: key.path.to_string(),
                value: show(&figure.value),
                unit: key.unit,
                meaning: key.meaning,
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
        Numbers::Points { at_c, percent } => {
            let pairs: Vec<String> = at_c
                .iter()
                .zip(percent)
                .map(|(at_c, percent)| format!("{percent} at {at_c} °C"))
                .collect();
            pairs.join(", ")
        }
        Numbers::Curve {
            at_c,
            days,
            none_below_c,
            none_above_c,
        } => {
            let pairs: Vec<String> = at_c
                .iter()
                .zip(days)
                .map(|(at_c, days)| format!("{days} at {at_c} °C"))
                .collect();
            format!(
                "{}; none at {none_below_c} and {none_above_c} °C",
                pairs.join(", ")
            )
        }
    }
}
