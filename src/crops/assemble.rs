//! From a complete crop file to a [`Crop`], with the checks that need more than one figure.

use super::file::{CropFile, Figure, Numbers, Placed};
use super::schema::{KEYS, nearest};
use super::{
    Bolting, Bulbing, Cold, Crop, CropError, EmergenceCurve, FigureRow, FruitSet, Habit, Hardiness,
    Light, Range, Seedlings, Spacing, Storage, Temperature, Timing, Water, Way, Yield, YieldBasis,
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
    let crop = Crop {
        id: file.id.clone(),
        name: word(file, "name")?,
        latin: word(file, "latin")?,
        family: word(file, "family")?,
        rotation_group: word(file, "rotation_group")?,
        rotation_gap_years: number(file, "rotation.gap_years")?,
        part: word(file, "part")?,
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
        hand_pollination: switch(file, "hand_pollination"),
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
        fruit_set: fruit_set(file),
        yields: yields(file, habit)?,
        spacing: spacing(file)?,
        water: water(file)?,
        storage: storage(file)?,
        figures: figures(file),
    };
    check_starts(file, &crop)?;
    Ok(crop)
}

fn missing(file: &CropFile, path: &str) -> CropError {
    file.origin
        .error(0..0, format!("`{}` lacks `{path}`", file.id))
}

fn word(file: &CropFile, key: &'static str) -> Result<String, CropError> {
    let word = file.words.get(key).ok_or_else(|| missing(file, key))?;
    Ok(word.value.clone())
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
        let hint = nearest(&word.value, choices.iter().map(|(name, _)| *name))
            .map_or(String::new(), |near| format!("; did you mean `{near}`?"));
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

fn cold(file: &CropFile) -> Result<Cold, CropError> {
    let kill_c = number(file, "cold.kill_c")?;
    let kill_unhardened_c = maybe(file, "cold.kill_unhardened_c").unwrap_or(kill_c);
    if kill_unhardened_c < kill_c {
        let message = format!(
            "`cold.kill_unhardened_c` is {kill_unhardened_c} °C, colder than `cold.kill_c` at {kill_c} °C"
        );
        return Err(at(file, "cold.kill_unhardened_c", message));
    }
    let chill_c = maybe(file, "cold.chill_c");
    if chill_c.is_some_and(|chill| chill <= kill_c) {
        let message = format!("`cold.chill_c` is not above `cold.kill_c` at {kill_c} °C");
        return Err(at(file, "cold.chill_c", message));
    }
    Ok(Cold {
        kill_c,
        kill_unhardened_c,
        damage_from_c: maybe(file, "cold.damage_from_c"),
        chill_c,
        chill_dose_kh: chill_c.and(maybe(file, "cold.chill_dose_kh")),
    })
}

fn temperature(file: &CropFile) -> Result<Temperature, CropError> {
    let base_c = number(file, "temperature.base_c")?;
    let best_c = range(file, "temperature.best_c")?;
    let upper_c = number(file, "temperature.upper_c")?;
    let ceiling_c = number(file, "temperature.ceiling_c")?;
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
    Ok(Temperature {
        base_c,
        best_c,
        upper_c,
        ceiling_c,
    })
}

fn emergence(file: &CropFile) -> Option<EmergenceCurve> {
    match file
        .figures
        .get("emergence.curve")
        .map(|figure| &figure.value.numbers)
    {
        Some(Numbers::Curve {
            at_c,
            days,
            none_below_c,
            none_above_c,
        }) => Some(EmergenceCurve {
            at_c: at_c.clone(),
            days: days.clone(),
            none_below_c: *none_below_c,
            none_above_c: *none_above_c,
        }),
        _ => None,
    }
}

fn seedlings(file: &CropFile) -> Option<Seedlings> {
    match &file.figures.get("emergence.seedlings")?.value.numbers {
        Numbers::Points { at_c, percent } => Some(Seedlings {
            at_c: at_c.clone(),
            percent: percent.clone(),
        }),
        _ => None,
    }
}

fn timing(file: &CropFile, habit: Habit) -> Result<Timing, CropError> {
    let one = Range {
        low: 1.0,
        high: 1.0,
    };
    let regrowth_days = maybe(file, "time.regrowth_days");
    let set_to_ripe_days = maybe(file, "time.set_to_ripe_days");
    if habit == Habit::Cut && regrowth_days.is_none() {
        return Err(missing(file, "time.regrowth_days"));
    }
    if habit == Habit::Fruit && set_to_ripe_days.is_none() {
        return Err(missing(file, "time.set_to_ripe_days"));
    }
    Ok(Timing {
        days_from_sowing: maybe_range(file, "time.days_from_sowing"),
        days_from_transplanting: maybe_range(file, "time.days_from_transplanting"),
        tray_weeks: maybe_range(file, "time.tray_weeks"),
        published_sum_kd: maybe_range(file, "time.published_sum_kd"),
        sum_factor: maybe(file, "time.sum_factor").unwrap_or(1.0),
        first_cut_share: match habit {
            Habit::Cut => maybe(file, "time.first_cut_share").unwrap_or(1.0),
            Habit::Single | Habit::Fruit => 1.0,
        },
        regrowth_days,
        cuts: maybe_range(file, "time.cuts").unwrap_or(one),
        harvest_weeks: range(file, "time.harvest_weeks")?,
        life_days: maybe(file, "time.life_days"),
        set_to_ripe_days,
    })
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

fn light(file: &CropFile) -> Result<Light, CropError> {
    Ok(Light {
        compensation_mol_m2_day: number(file, "light.compensation_mol_m2_day")?,
        target_mol_m2_day: number(file, "light.target_mol_m2_day")?,
        warning_day_length_h: maybe(file, "light.warning_day_length_h"),
    })
}

fn bolting(file: &CropFile) -> Result<Option<Bolting>, CropError> {
    let Some(day_length_h) = maybe(file, "bolting.day_length_h") else {
        return Ok(None);
    };
    let cold_days = maybe(file, "bolting.cold_days").unwrap_or(0.0);
    Ok(Some(Bolting {
        day_length_h,
        days: number(file, "bolting.days")?,
        cold_days,
        cold_max_c: if cold_days > 0.0 {
            number(file, "bolting.cold_max_c")?
        } else {
            0.0
        },
        juvenile_share: maybe(file, "bolting.juvenile_share").unwrap_or(0.0),
    }))
}

fn bulbing(file: &CropFile) -> Result<Option<Bulbing>, CropError> {
    let Some(day_length_h) = maybe(file, "bulbing.day_length_h") else {
        return Ok(None);
    };
    Ok(Some(Bulbing {
        day_length_h,
        cold_days: maybe(file, "bulbing.cold_days").unwrap_or(0.0),
        leaf_share: number(file, "bulbing.leaf_share")?,
    }))
}

fn fruit_set(file: &CropFile) -> Option<FruitSet> {
    let set = FruitSet {
        night_min_c: maybe(file, "fruit_set.night_min_c"),
        night_max_c: maybe(file, "fruit_set.night_max_c"),
        day_max_c: maybe(file, "fruit_set.day_max_c"),
    };
    let any = set.night_min_c.or(set.night_max_c).or(set.day_max_c);
    any.map(|_| set)
}

fn yields(file: &CropFile, habit: Habit) -> Result<Yield, CropError> {
    let (path, basis) = match habit {
        Habit::Single => ("yield.whole_crop_kg_m2", YieldBasis::WholeCrop),
        Habit::Cut => ("yield.one_cut_kg_m2", YieldBasis::OneCut),
        Habit::Fruit => ("yield.one_week_kg_m2", YieldBasis::OneWeek),
    };
    let kg_m2 = range(file, path)?;
    let season_max_kg_m2 = maybe(file, "yield.season_max_kg_m2").unwrap_or(kg_m2.high);
    if season_max_kg_m2 < kg_m2.high {
        let message =
            format!("`yield.season_max_kg_m2` is {season_max_kg_m2} kg/m2, less than `{path}`");
        return Err(at(file, "yield.season_max_kg_m2", message));
    }
    Ok(Yield {
        basis,
        kg_m2,
        later_cut_share: maybe(file, "yield.later_cut_share").unwrap_or(1.0),
        season_max_kg_m2,
    })
}

fn spacing(file: &CropFile) -> Result<Spacing, CropError> {
    /// Centimetres in a metre.
    const CM_PER_M: f64 = 100.0;
    Ok(Spacing {
        in_row_m: number(file, "spacing.in_row_cm")? / CM_PER_M,
        between_rows_m: number(file, "spacing.between_rows_cm")? / CM_PER_M,
        plants_per_m2: number(file, "spacing.plants_per_m2")?,
        seeds_per_plant: number(file, "spacing.seeds_per_plant")?,
    })
}

fn water(file: &CropFile) -> Result<Water, CropError> {
    Ok(Water {
        kc_ini: number(file, "water.kc_ini")?,
        kc_mid: number(file, "water.kc_mid")?,
        kc_end: number(file, "water.kc_end")?,
        height_m: number(file, "water.height_m")?,
    })
}

fn storage(file: &CropFile) -> Result<Option<Storage>, CropError> {
    let Some(days) = maybe_range(file, "keeping.days") else {
        return Ok(None);
    };
    let temperature_c = number(file, "keeping.temperature_c")?;
    Ok(Some(Storage {
        temperature_c,
        days,
    }))
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
