//! The groups of figures of a crop, each with the checks within it.

use super::fill::filled;
use super::{at, choose, maybe, maybe_range, missing, number, numbers, range};
use crate::crops::curve::Curve;
use crate::crops::file::{CropFile, Numbers};
use crate::crops::{
    Bolting, Bulbing, Class, Cold, CropError, EmergenceCurve, FruitSet, GrowthFigures, Habit,
    Range, RateFrom, Spacing, Storage, Temperature, Timing, Yield, response,
};

pub(super) fn cold(file: &CropFile) -> Result<Cold, CropError> {
    let mut cold = filled(file, Cold::default())?;
    let kill_c = cold.kill_c;
    let kill_unhardened_c = maybe(file, "cold.kill_unhardened_c").unwrap_or(kill_c);
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
    cold.chill_dose_kh = cold.chill_c.and(maybe(file, "cold.chill_dose_kh"));
    Ok(cold)
}

pub(super) fn temperature(file: &CropFile) -> Result<Temperature, CropError> {
    let found = filled(file, Temperature::default())?;
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

pub(super) fn emergence(file: &CropFile) -> Option<EmergenceCurve> {
    match numbers(file, "emergence.curve")? {
        Numbers::ByTemperature {
            at_c,
            figures: days,
            none_c: Some(none_c),
        } => Some(EmergenceCurve::new(at_c, days, none_c.low, none_c.high)),
        _ => None,
    }
}

pub(super) fn seedlings(file: &CropFile) -> Option<Curve> {
    match numbers(file, "emergence.seedlings")? {
        Numbers::ByTemperature { at_c, figures, .. } => Some(response::seedlings(at_c, figures)),
        _ => None,
    }
}

pub(super) fn timing(file: &CropFile, habit: Habit) -> Result<Timing, CropError> {
    let one = Range {
        low: 1.0,
        high: 1.0,
    };
    let timing = Timing {
        sum_factor: maybe(file, "time.sum_factor").unwrap_or(1.0),
        cuts: maybe_range(file, "time.cuts").unwrap_or(one),
        ..filled(file, Timing::default())?
    };
    if habit == Habit::Fruit && timing.set_to_ripe_days.is_none() {
        return Err(missing(file, "time.set_to_ripe_days"));
    }
    Ok(timing)
}

pub(super) fn bolting(file: &CropFile) -> Result<Option<Bolting>, CropError> {
    let Some(day_length_h) = maybe(file, "bolting.day_length_h") else {
        return Ok(None);
    };
    let cold_days = maybe(file, "bolting.cold_days").unwrap_or(0.0);
    Ok(Some(Bolting {
        day_length_h,
        day_length_after_cold_h: maybe(file, "bolting.day_length_after_cold_h")
            .unwrap_or(day_length_h),
        cold_days,
        cold_max_c: if cold_days > 0.0 {
            number(file, "bolting.cold_max_c")?
        } else {
            0.0
        },
        juvenile_share: maybe(file, "bolting.juvenile_share").unwrap_or(0.0),
        ..filled(file, Bolting::default())?
    }))
}

/// A curd's limit of warmth; none for what makes none.
pub(super) fn curd_none_above_c(file: &CropFile, class: Class) -> Option<f64> {
    /// Warmth in which no curd begins, where the file says nothing, °C (Wurr et al., read: 23 to 24 °C).
    const NONE_ABOVE_C: f64 = 24.0;
    (class == Class::Curd).then(|| maybe(file, "organ.none_above_c").unwrap_or(NONE_ABOVE_C))
}

pub(super) fn bulbing(file: &CropFile) -> Option<Bulbing> {
    Some(Bulbing {
        day_length_h: maybe(file, "bulbing.day_length_h")?,
        cold_days: maybe(file, "bulbing.cold_days").unwrap_or(0.0),
    })
}

pub(super) fn fruit_set(file: &CropFile) -> Result<Option<FruitSet>, CropError> {
    let set = filled(file, FruitSet::default())?;
    let any = set.night_min_c.or(set.night_max_c).or(set.day_max_c);
    Ok(any.map(|_| set))
}

pub(super) fn yields(file: &CropFile, habit: Habit) -> Result<Yield, CropError> {
    let path = match habit {
        Habit::Single => "yield.whole_crop_kg_m2",
        Habit::Cut => "yield.one_cut_kg_m2",
        Habit::Fruit => "yield.one_week_kg_m2",
    };
    let kg_m2 = range(file, path)?;
    let season_max_kg_m2 = maybe(file, "yield.season_max_kg_m2").unwrap_or(kg_m2.high);
    if season_max_kg_m2 < kg_m2.high {
        let message =
            format!("`yield.season_max_kg_m2` is {season_max_kg_m2} kg/m2, less than `{path}`");
        return Err(at(file, "yield.season_max_kg_m2", message));
    }
    Ok(Yield {
        kg_m2,
        season_max_kg_m2,
    })
}

pub(super) fn spacing(file: &CropFile) -> Result<Spacing, CropError> {
    /// Centimetres in a metre.
    const CM_PER_M: f64 = 100.0;
    Ok(Spacing {
        in_row_m: number(file, "spacing.in_row_cm")? / CM_PER_M,
        between_rows_m: number(file, "spacing.between_rows_cm")? / CM_PER_M,
        ..filled(file, Spacing::default())?
    })
}

pub(super) fn storage(file: &CropFile) -> Result<Option<Storage>, CropError> {
    let Some(days) = maybe_range(file, "keeping.days") else {
        return Ok(None);
    };
    let temperature_c = number(file, "keeping.temperature_c")?;
    Ok(Some(Storage {
        temperature_c,
        days,
    }))
}

/// The class of a crop: as its file says, or by how it is picked and what of it is eaten.
pub(super) fn class_of(file: &CropFile, habit: Habit, part: &str) -> Result<Class, CropError> {
    if let Some(word) = file.words.get("class") {
        return choose(word, "class");
    }
    let has = |word: &str| part.contains(word);
    Ok(match habit {
        Habit::Cut => Class::Cut,
        Habit::Fruit if has("pod") || has("seed") => Class::Legume,
        Habit::Fruit => Class::Fruit,
        Habit::Single if has("bulb") => Class::Bulb,
        Habit::Single if has("tuber") => Class::Tuber,
        Habit::Single if has("curd") || has("flower") => Class::Curd,
        Habit::Single if has("shaft") => Class::Shaft,
        Habit::Single if has("root") || has("stem") => Class::Root,
        Habit::Single => Class::Leaf,
    })
}

/// Seed of a file that does not say, mg, and its dry share (own choice: a leaf crop of middling seed).
const OLD_SEED_MG: f64 = 3.0;
const OLD_DRY_SHARE: f64 = 0.09;

/// Leaf area of a seedling just up, m2, from the mass of its seed, mg: fits cotyledons of lettuce 0.5, radish 2.5, bean
/// 24 cm2 (from memory).
fn seed_leaf_m2(seed_mg: f64) -> f64 {
    0.5e-4 * seed_mg.powf(0.7)
}

pub(super) fn growth(file: &CropFile, class: Class) -> GrowthFigures {
    const M2_PER_CM2: f64 = 1e-4;
    let figures = class.figures();
    let piece = maybe(file, "growth.piece_cm2").map(|cm2| cm2 * M2_PER_CM2);
    let seed_mg = maybe(file, "growth.seed_mg").unwrap_or(OLD_SEED_MG);
    /// Warmth of youth and of filling of heads and curds, K d (own choice, by the built-in cabbage and cauliflower).
    const HEAD_K_D: (f64, f64) = (350.0, 560.0);
    const CURD_K_D: (f64, f64) = (320.0, 520.0);
    let stages = match class {
        Class::Head => Some(HEAD_K_D),
        Class::Curd => Some(CURD_K_D),
        _ => None,
    };
    let given = maybe(file, "growth.leaf_rate_per_day");
    GrowthFigures {
        class,
        seed_leaf_m2: piece.unwrap_or_else(|| seed_leaf_m2(seed_mg)),
        from_piece: piece.is_some(),
        dry_share: maybe(file, "growth.dry_share").unwrap_or(OLD_DRY_SHARE),
        leaf_m2_g: maybe(file, "growth.leaf_m2_g").unwrap_or(figures.leaf_m2_g),
        harvest_index: maybe(file, "growth.harvest_index").unwrap_or(figures.harvest_index),
        leaf_rate_per_day: given.unwrap_or(figures.rate_per_day),
        rate_from: given.map_or(RateFrom::Class, |_| RateFrom::File),
        fruit_share: 0.0,
        window_k_d: maybe(file, "organ.window_kd").unwrap_or(figures.window_k_d),
        juvenile_k_d: stages.map(|(youth, _)| maybe(file, "organ.juvenile_kd").unwrap_or(youth)),
        fill_k_d: stages.map(|(_, fill)| maybe(file, "organ.fill_kd").unwrap_or(fill)),
        short_day_h: maybe(file, "organ.short_day_h"),
    }
}
