//! From a complete crop file to a [`Crop`]: usual values, and the checks that need more than one figure.

pub(super) mod fill;

use super::file::{CropFile, Figure, Numbers, Said};
use super::schema::{KEYS, OLD_SWITCH};
use super::{
    Bolting, Class, Cold, Crop, FigureRow, Flower, FruitSet, GrowthFigures, Habit, Light,
    Pollinator, Range, RateFrom, Spacing, Temperature, Timing, Water, Way, Yield,
};
use crate::document::FileError;
use crate::words::Word;

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

fn cold(file: &CropFile) -> Result<Cold, FileError> {
    let mut cold = file.filled(Cold::default())?;
    let kill_c = cold.kill_c;
    let kill_unhardened_c = file.get("cold.kill_unhardened_c")?.unwrap_or(kill_c);
    if kill_unhardened_c < kill_c {
        let message = format!(
            "`cold.kill_unhardened_c` is {kill_unhardened_c} °C, colder than `cold.kill_c` at {kill_c} °C"
        );
        return Err(at(file, "cold.kill_unhardened_c", message));
    }
    if cold.chill_c.is_some_and(|chill| chill <= kill_c) {
        let message = format!("`cold.chill_c` is not above `cold.kill_c` at {kill_c} °C");
        return Err(at(file, "cold.chill_c", message));
    }
    cold.kill_unhardened_c = kill_unhardened_c;
    cold.chill_dose_kh = cold.chill_c.and(cold.chill_dose_kh);
    Ok(cold)
}

fn temperature(file: &CropFile) -> Result<Temperature, FileError> {
    let found = file.filled(Temperature::default())?;
    let Temperature {
        base_c,
        best_c,
        upper_c,
        ceiling_c,
        ..
    } = found;
    if base_c >= best_c.low {
        let message = format!(
            "`temperature.base_c` is {base_c} °C, not below `temperature.best_c`, which begins at {} °C",
            best_c.low
        );
        return Err(at(file, "temperature.base_c", message));
    }
    if upper_c < best_c.middle() {
        let message = format!(
            "`temperature.upper_c` is {upper_c} °C, below the middle of `temperature.best_c` at {} °C",
            best_c.middle()
        );
        return Err(at(file, "temperature.upper_c", message));
    }
    if ceiling_c <= upper_c {
        let message = format!(
            "`temperature.ceiling_c` is {ceiling_c} °C, not above `temperature.upper_c` at {upper_c} °C"
        );
        return Err(at(file, "temperature.ceiling_c", message));
    }
    Ok(found)
}

fn timing(file: &CropFile, habit: Habit) -> Result<Timing, FileError> {
    let mut timing = file.filled(Timing {
        sum_factor: 1.0,
        cuts: Range {
            low: 1.0,
            high: 1.0,
        },
        ..Timing::default()
    })?;
    if habit == Habit::Fruit {
        timing.set_to_ripe_days = Some(file.need("time.set_to_ripe_days")?);
    }
    Ok(timing)
}

fn bolting(file: &CropFile) -> Result<Option<Bolting>, FileError> {
    let Some(mut bolting) = file.group::<Bolting>("bolting.day_length_h")? else {
        return Ok(None);
    };
    let after_cold_h = file.get("bolting.day_length_after_cold_h")?;
    bolting.day_length_after_cold_h = after_cold_h.unwrap_or(bolting.day_length_h);
    if bolting.cold_days > 0.0 {
        bolting.cold_max_c = file.need("bolting.cold_max_c")?;
    }
    Ok(Some(bolting))
}

/// A curd's limit of warmth; none for what makes none.
fn curd_none_above_c(file: &CropFile, class: Class) -> Result<Option<f64>, FileError> {
    /// Warmth in which no curd begins, where the file says nothing, °C (Wurr et al., read: 23 to 24 °C).
    const NONE_ABOVE_C: f64 = 24.0;
    let given = file.get("organ.none_above_c")?;
    Ok((class == Class::Curd).then(|| given.unwrap_or(NONE_ABOVE_C)))
}

fn fruit_set(file: &CropFile) -> Result<Option<FruitSet>, FileError> {
    let set = file.filled(FruitSet::default())?;
    let any = set.night_min_c.or(set.night_max_c).or(set.day_max_c);
    Ok(any.map(|_| set))
}

fn yields(file: &CropFile, habit: Habit) -> Result<Yield, FileError> {
    let path = match habit {
        Habit::Single => "yield.whole_crop_kg_m2",
        Habit::Cut => "yield.one_cut_kg_m2",
        Habit::Fruit => "yield.one_week_kg_m2",
    };
    let kg_m2: Range = file.need(path)?;
    let yields = file.filled(Yield {
        kg_m2,
        season_max_kg_m2: kg_m2.high,
    })?;
    let season_max_kg_m2 = yields.season_max_kg_m2;
    if season_max_kg_m2 < kg_m2.high {
        let message =
            format!("`yield.season_max_kg_m2` is {season_max_kg_m2} kg/m2, less than `{path}`");
        return Err(at(file, "yield.season_max_kg_m2", message));
    }
    Ok(yields)
}

fn spacing(file: &CropFile) -> Result<Spacing, FileError> {
    const CM_PER_M: f64 = 100.0;
    file.filled(Spacing {
        in_row_m: file.need::<f64>("spacing.in_row_cm")? / CM_PER_M,
        between_rows_m: file.need::<f64>("spacing.between_rows_cm")? / CM_PER_M,
        ..Spacing::default()
    })
}

/// The class of a crop whose file does not say it: by how it is picked and what of it is eaten.
fn class_by_part(habit: Habit, part: &str) -> Class {
    let has = |word: &str| part.contains(word);
    match habit {
        Habit::Cut => Class::Cut,
        Habit::Fruit if has("pod") || has("seed") => Class::Legume,
        Habit::Fruit => Class::Fruit,
        Habit::Single if has("bulb") => Class::Bulb,
        Habit::Single if has("tuber") => Class::Tuber,
        Habit::Single if has("curd") || has("flower") => Class::Curd,
        Habit::Single if has("shaft") => Class::Shaft,
        Habit::Single if has("root") || has("stem") => Class::Root,
        Habit::Single => Class::Leaf,
    }
}

/// Seed of a file that does not say, mg, and its dry share (own choice: a leaf crop of middling seed).
const OLD_SEED_MG: f64 = 3.0;
const OLD_DRY_SHARE: f64 = 0.09;

/// Leaf area of a seedling just up, m2, from the mass of its seed, mg: fits cotyledons of lettuce 0.5, radish 2.5, bean
/// 24 cm2 (from memory).
fn seed_leaf_m2(seed_mg: f64) -> f64 {
    0.5e-4 * seed_mg.powf(0.7)
}

fn growth(file: &CropFile, class: Class) -> Result<GrowthFigures, FileError> {
    const M2_PER_CM2: f64 = 1e-4;
    let of_class = class.figures();
    let piece_cm2: Option<f64> = file.get("growth.piece_cm2")?;
    let seed_mg = file.get("growth.seed_mg")?.unwrap_or(OLD_SEED_MG);
    let rate: Option<f64> = file.get("growth.leaf_rate_per_day")?;
    /// Warmth of youth and of filling of heads and curds, K d (own choice, by the built-in cabbage and cauliflower).
    const HEAD_K_D: (f64, f64) = (350.0, 560.0);
    const CURD_K_D: (f64, f64) = (320.0, 520.0);
    let stages = match class {
        Class::Head => Some(HEAD_K_D),
        Class::Curd => Some(CURD_K_D),
        _ => None,
    };
    let mut figures = file.filled(GrowthFigures {
        class,
        seed_leaf_m2: piece_cm2.map_or(seed_leaf_m2(seed_mg), |cm2| cm2 * M2_PER_CM2),
        from_piece: piece_cm2.is_some(),
        dry_share: OLD_DRY_SHARE,
        leaf_m2_g: of_class.leaf_m2_g,
        harvest_index: of_class.harvest_index,
        leaf_rate_per_day: of_class.rate_per_day,
        rate_from: rate.map_or(RateFrom::Class, |_| RateFrom::File),
        window_k_d: of_class.window_k_d,
        ..GrowthFigures::default()
    })?;
    // What makes no head has neither.
    figures.juvenile_k_d = stages.map(|(youth, _)| figures.juvenile_k_d.unwrap_or(youth));
    figures.fill_k_d = stages.map(|(_, fill)| figures.fill_k_d.unwrap_or(fill));
    Ok(figures)
}
