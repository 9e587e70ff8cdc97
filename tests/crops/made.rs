//! Made-up bed climates, stated in full, and one from monthly means outdoors.

use bedyear::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, MONTH_START_DAY};
use bedyear::crops::growth::watched;
use bedyear::crops::{Crop, Growth, Sowing, Table, prepare};
use bedyear::profile::{BedClimate, BedYear};
use std::f64::consts::{PI, TAU};
use std::sync::LazyLock;

static TABLE: LazyLock<Table> = LazyLock::new(|| Table::builtin().unwrap());

pub fn table() -> &'static Table {
    &TABLE
}

pub fn crop(id: &str) -> &'static Crop {
    TABLE.get(id).unwrap_or_else(|| panic!("no crop {id}"))
}

/// Day from 1 January of the sowing year, leaf area in m2/m2 and dry mass in g/m2 at its end.
pub type Day = (usize, f64, f64);

/// A sowing of the first year, with each day that it lives.
pub fn followed(crop: &Crop, climate: &BedClimate, sowing: Sowing) -> (Growth, Vec<Day>) {
    let mut days = Vec::new();
    let prepared = prepare(crop, climate);
    let growth = watched(crop, &prepared, 0, sowing, &mut |day, plant| {
        let (leaf, mass) = (f64::from(plant.leaf_m2_m2), f64::from(plant.mass_g_m2));
        days.push((day, leaf, mass));
    });
    (growth, days)
}

/// The days of a stand of which nothing is ever cut.
pub fn uncut(crop: &Crop, climate: &BedClimate, sowing: Sowing) -> Vec<Day> {
    let mut crop = crop.clone();
    crop.yields.kg_m2.low = 50.0;
    followed(&crop, climate, sowing).1
}

/// A bed whose air, leaves and root zone are given by day, with a sine over the day.
pub struct Made {
    pub mean_c: Box<dyn Fn(usize) -> f64>,
    pub day_swing_k: Box<dyn Fn(usize) -> f64>,
    pub light_mol_m2_day: Box<dyn Fn(usize) -> f64>,
    pub day_length_h: Box<dyn Fn(usize) -> f64>,
}

impl Made {
    /// The same all year round: `mean_c` with hours from `mean_c - swing_k` to `mean_c + swing_k`.
    pub fn constant(mean_c: f64, swing_k: f64, light: f64, day_length_h: f64) -> BedClimate {
        Made {
            mean_c: Box::new(move |_| mean_c),
            day_swing_k: Box::new(move |_| swing_k),
            light_mol_m2_day: Box::new(move |_| light),
            day_length_h: Box::new(move |_| day_length_h),
        }
        .climate()
    }

    pub fn climate(&self) -> BedClimate {
        let air_c: Vec<f64> = (0..DAYS_PER_YEAR * HOURS_PER_DAY)
            .map(|hour| {
                let day = hour / HOURS_PER_DAY;
                let clock = (hour % HOURS_PER_DAY) as f64 + 0.5;
                (self.mean_c)(day) + (self.day_swing_k)(day) * (TAU * (clock - 9.0) / 24.0).sin()
            })
            .collect();
        let root_zone_c = (0..DAYS_PER_YEAR * HOURS_PER_DAY)
            .map(|hour| (self.mean_c)(hour / HOURS_PER_DAY))
            .collect();
        let days = || 0..DAYS_PER_YEAR;
        let year = BedYear {
            leaf_c: air_c.clone(),
            relative_humidity_pct: vec![80.0; air_c.len()],
            air_c,
            root_zone_c,
            light_mol_m2_day: days().map(|day| (self.light_mol_m2_day)(day)).collect(),
            carbon_share: Vec::new(),
        };
        BedClimate {
            name: "made".into(),
            years: vec![year],
            day_length_h: days().map(|day| (self.day_length_h)(day)).collect(),
        }
    }
}

/// Cosine over the year from -1 on `coldest` to 1 half a year later.
pub fn wave(day: usize, coldest: f64) -> f64 {
    -(TAU * (day as f64 - coldest) / DAYS_PER_YEAR as f64).cos()
}

/// A cold house at 47 degrees north, made up: air 2 to 24 °C by month, 6 K up and down each day, 4 to 32 mol.
pub fn cold_house() -> BedClimate {
    Made {
        mean_c: Box::new(|day| 13.0 + 11.0 * wave(day, 14.0)),
        day_swing_k: Box::new(|_| 6.0),
        light_mol_m2_day: Box::new(|day| 18.0 + 14.0 * wave(day, -10.0)),
        day_length_h: Box::new(|day| day_length_h(47.0, day)),
    }
    .climate()
}

/// Day length with refraction and the sun's upper limb (FAO-56, eq. 24, 25 and 34, horizon at -0.833 degrees), h.
pub fn day_length_h(latitude_deg: f64, day: usize) -> f64 {
    let declination = 0.409 * (TAU / 365.0 * (day + 1) as f64 - 1.39).sin();
    let latitude = latitude_deg * PI / 180.0;
    let horizon = (-0.833_f64).to_radians();
    let cos =
        (horizon.sin() - latitude.sin() * declination.sin()) / (latitude.cos() * declination.cos());
    24.0 / PI * cos.clamp(-1.0, 1.0).acos()
}

/// One month outdoors.
#[derive(serde::Deserialize)]
pub struct Outdoors {
    place: String,
    latitude_deg: f64,
    daily_max_c: f64,
    daily_min_c: f64,
    ghi_kwh_m2_day: f64,
}

/// An unheated house from monthly means outdoors: `warmer_k` on the mean, `swing` times the daily swing, `light_share` of
/// the light; between mid-months straight lines.
pub fn unheated(
    place: &str,
    shift_k: f64,
    warmer_k: f64,
    swing: f64,
    light_share: f64,
) -> BedClimate {
    /// Moles of photosynthetic light in a kilowatt-hour of sunlight: 3.6 MJ, 45 % of it, 4.57 mol/MJ (common figures).
    const MOL_PER_KWH: f64 = 3.6 * 0.45 * 4.57;
    let text = include_str!("../reference/crops_outdoor_months.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let months: Vec<Outdoors> = reader
        .deserialize()
        .map(|row| row.unwrap())
        .filter(|row: &Outdoors| row.place == place)
        .collect();
    assert_eq!(months.len(), 12);
    let latitude = months[0].latitude_deg;
    let by_day = |figure: &dyn Fn(&Outdoors) -> f64| -> Vec<f64> {
        (0..DAYS_PER_YEAR)
            .map(|day| between_months(&months, day, figure))
            .collect()
    };
    let mean = by_day(&|month| 0.5 * (month.daily_max_c + month.daily_min_c) + shift_k + warmer_k);
    let half = by_day(&|month| 0.5 * (month.daily_max_c - month.daily_min_c) * swing);
    let light = by_day(&|month| month.ghi_kwh_m2_day * MOL_PER_KWH * light_share);
    Made {
        mean_c: Box::new(move |day| mean[day]),
        day_swing_k: Box::new(move |day| half[day]),
        light_mol_m2_day: Box::new(move |day| light[day]),
        day_length_h: Box::new(move |day| day_length_h(latitude, day)),
    }
    .climate()
}

fn between_months(months: &[Outdoors], day: usize, figure: &dyn Fn(&Outdoors) -> f64) -> f64 {
    let middle =
        |month: usize| MONTH_START_DAY[month % 12] as f64 + 15.0 + 365.0 * (month / 12) as f64;
    let at = day as f64 + if (day as f64) < middle(0) { 365.0 } else { 0.0 };
    let below = (0..12)
        .rev()
        .find(|&month| middle(month) <= at)
        .unwrap_or(0);
    let share = (at - middle(below)) / (middle(below + 1) - middle(below));
    let (low, high) = (figure(&months[below]), figure(&months[(below + 1) % 12]));
    low + share * (high - low)
}

/// A place outdoors, by its mean of the year, half its range over the year and the day, latitude and coldest day (all
/// assumed beside the observation), in full light.
pub fn outdoors(
    mean_c: f64,
    year_k: f64,
    day_k: f64,
    latitude_deg: f64,
    coldest: f64,
) -> BedClimate {
    Made {
        mean_c: Box::new(move |day| mean_c + year_k * wave(day, coldest)),
        day_swing_k: Box::new(move |_| day_k),
        light_mol_m2_day: Box::new(|_| 30.0),
        day_length_h: Box::new(move |day| day_length_h(latitude_deg, day)),
    }
    .climate()
}

/// A planting bore half of the low end of its published figure (own choice, no source).
pub fn is_worth(crop: &Crop, growth: &bedyear::crops::Growth) -> bool {
    growth.kg_m2() >= 0.5 * crop.yields.kg_m2.low
}
