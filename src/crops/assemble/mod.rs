//! From a complete crop file to a [`Crop`], with the checks that need more than one figure.

pub(super) mod fill;
mod groups;

use super::file::{CropFile, Figure, Numbers, Said};
use super::schema::{KEYS, OLD_SWITCH};
use super::{Crop, FigureRow, Flower, Habit, Light, Pollinator, RateFrom, Water, Way};
use crate::document::FileError;
use crate::words::Word;
use groups::{
    bolting, class_by_part, cold, curd_none_above_c, fruit_set, growth, spacing, temperature,
    timing, yields,
};

/// Turns a file that has taken over its parent's figures into a crop.
pub(super) fn assemble(file: &CropFile) -> Result<Crop, FileError> {
    let habit = file.need("habit")?;
    let part: String = file.need("part")?;
    let class = file.get("class")?;
    let class = class.unwrap_or_else(|| class_by_part(habit, &part));
    let mut crop = file.filled(Crop {
        id: file.id.clone(),
        code: code(file)?,
        like: file.like.as_ref().map(|like| like.value.clone()),
        flower: flower_by_switch(file, habit)?,
        growth: growth(file, class)?,
        cold: cold(file)?,
        temperature: temperature(file)?,
        timing: timing(file, habit)?,
        light: file.filled(Light::default())?,
        bolting: bolting(file)?,
        bulbing: file.group("bulbing.day_length_h")?,
        curd_none_above_c: curd_none_above_c(file, class)?,
        fruit_set: fruit_set(file)?,
        yields: yields(file, habit)?,
        spacing: spacing(file)?,
        water: file.filled(Water::default())?,
        storage: file.group("keeping.days")?,
        figures: figures(file),
        ..Crop::default()
    })?;
    crop.pollinated = crop.flower.set_share(Pollinator::default());
    check_starts(file, &crop)?;
    if crop.growth.rate_from != RateFrom::File {
        (crop.growth.leaf_rate_per_day, crop.growth.rate_from) = super::growth::solve(&crop);
    }
    crop.growth.fruit_share = super::growth::fruit_share(&crop);
    crop.figures.extend(solved(&crop));
    Ok(crop)
}

/// What the flowers need where the file does not say: as the switch of older files does.
fn flower_by_switch(file: &CropFile, habit: Habit) -> Result<Flower, FileError> {
    let by_hand = file.get(OLD_SWITCH)?.unwrap_or(false);
    Ok(match habit {
        Habit::Fruit if by_hand => Flower::Shaken,
        _ => Flower::Own,
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
    let rate_from = figures.rate_from.word();
    let mut rows = vec![
        row("class", figures.class.word().to_owned(), "", default),
        row("leaf_rate_per_day", leaf_rate, "1/day", rate_from),
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

fn missing(file: &CropFile, path: &str) -> FileError {
    file.origin
        .error(0..0, format!("`{}` lacks `{path}`", file.id))
}

/// The code that the file gives; empty where it gives none, then the table chooses a free one.
fn code(file: &CropFile) -> Result<String, FileError> {
    let Some(Said::Word(word)) = file.entries.get("code") else {
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

/// An error at a figure, or at the head of the file if it is not there.
fn at(file: &CropFile, path: &str, message: String) -> FileError {
    match file.entries.get(path) {
        Some(Said::Figure(figure)) => figure.error(message),
        _ => missing(file, path),
    }
}

/// Each way of starting needs its figures.
fn check_starts(file: &CropFile, crop: &Crop) -> Result<(), FileError> {
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
    let row = |key: &super::schema::Key| match file.entries.get(key.path) {
        Some(Said::Figure(figure)) => Some(FigureRow {
            key: key.path.to_owned(),
            value: show(&figure.value),
            unit: key.unit,
            source: figure.value.source.clone(),
        }),
        _ => None,
    };
    KEYS.iter().filter_map(row).collect()
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
