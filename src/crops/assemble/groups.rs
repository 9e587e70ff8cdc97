//! The groups of figures of a crop, each with the checks within it.

use super::{at, maybe, maybe_range, missing, number, range};
use crate::crops::file::{CropFile, Numbers};
use crate::crops::{
    Bolting, Bulbing, Cold, CropError, EmergenceCurve, FruitSet, Habit, Heading, Light, Range,
    Seedlings, Spacing, Storage, Temperature, Timing, Water, Yield, YieldBasis,
};

pub(super) fn cold(file: &CropFile) -> Result<Cold, CropError> {
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

pub(super) fn temperature(file: &CropFile) -> Result<Temperature, CropError> {
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
        month_max_c: maybe(file, "temperature.month_max_c"),
    })
}

pub(super) fn emergence(file: &CropFile) -> Option<EmergenceCurve> {
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
        }) => Some(EmergenceCurve::new(
            at_c,
            days,
            *none_below_c,
            *none_above_c,
        )),
        _ => None,
    }
}

pub(super) fn seedlings(file: &CropFile) -> Option<Seedlings> {
    match &file.figures.get("emergence.seedlings")?.value.numbers {
        Numbers::Points { at_c, percent } => Some(Seedlings::new(at_c, percent)),
        _ => None,
    }
}

pub(super) fn timing(file: &CropFile, habit: Habit) -> Result<Timing, CropError> {
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

pub(super) fn light(file: &CropFile) -> Result<Light, CropError> {
    Ok(Light {
        compensation_mol_m2_day: number(file, "light.compensation_mol_m2_day")?,
        target_mol_m2_day: number(file, "light.target_mol_m2_day")?,
        warning_day_length_h: maybe(file, "light.warning_day_length_h"),
    })
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
        days: number(file, "bolting.days")?,
        days_without_cold: maybe(file, "bolting.days_without_cold"),
        cold_days,
        cold_max_c: if cold_days > 0.0 {
            number(file, "bolting.cold_max_c")?
        } else {
            0.0
        },
        juvenile_share: maybe(file, "bolting.juvenile_share").unwrap_or(0.0),
    }))
}

pub(super) fn heading(file: &CropFile) -> Result<Option<Heading>, CropError> {
    let Some(max_c) = maybe(file, "heading.max_c") else {
        return Ok(None);
    };
    Ok(Some(Heading {
        max_c,
        days: number(file, "heading.days")?,
        leaf_share: number(file, "heading.leaf_share")?,
        button_c: number(file, "heading.button_c")?,
        button_days: number(file, "heading.button_days")?,
    }))
}

pub(super) fn bulbing(file: &CropFile) -> Result<Option<Bulbing>, CropError> {
    let Some(day_length_h) = maybe(file, "bulbing.day_length_h") else {
        return Ok(None);
    };
    Ok(Some(Bulbing {
        day_length_h,
        cold_days: maybe(file, "bulbing.cold_days").unwrap_or(0.0),
        leaf_share: number(file, "bulbing.leaf_share")?,
    }))
}

pub(super) fn fruit_set(file: &CropFile) -> Option<FruitSet> {
    let set = FruitSet {
        night_min_c: maybe(file, "fruit_set.night_min_c"),
        night_max_c: maybe(file, "fruit_set.night_max_c"),
        day_max_c: maybe(file, "fruit_set.day_max_c"),
    };
    let any = set.night_min_c.or(set.night_max_c).or(set.day_max_c);
    any.map(|_| set)
}

pub(super) fn yields(file: &CropFile, habit: Habit) -> Result<Yield, CropError> {
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

pub(super) fn spacing(file: &CropFile) -> Result<Spacing, CropError> {
    /// Centimetres in a metre.
    const CM_PER_M: f64 = 100.0;
    Ok(Spacing {
        in_row_m: number(file, "spacing.in_row_cm")? / CM_PER_M,
        between_rows_m: number(file, "spacing.between_rows_cm")? / CM_PER_M,
        plants_per_m2: number(file, "spacing.plants_per_m2")?,
        seeds_per_plant: number(file, "spacing.seeds_per_plant")?,
        seeds_per_g: maybe(file, "spacing.seeds_per_g"),
    })
}

pub(super) fn water(file: &CropFile) -> Result<Water, CropError> {
    Ok(Water {
        kc_ini: number(file, "water.kc_ini")?,
        kc_mid: number(file, "water.kc_mid")?,
        kc_end: number(file, "water.kc_end")?,
        height_m: number(file, "water.height_m")?,
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
