//! Months of a year inside.

use super::{Quantiles, highest, lowest, mean};
use crate::calendar::{DAYS_IN_MONTH, HOURS_PER_DAY, MONTH_START_DAY, month_of_hour};
use crate::house::HouseYear;

/// Hourly columns of one year, 8760 values each; an absent measure is an empty slice.
#[derive(Clone, Copy, Debug, Default)]
pub struct HourColumns<'a> {
    /// Air inside, °C.
    pub air_c: &'a [f64],
    /// Root zone, °C.
    pub root_zone_c: &'a [f64],
    /// Buried store, °C.
    pub store_c: &'a [f64],
    /// Relative humidity inside, %.
    pub relative_humidity_pct: &'a [f64],
    /// Photosynthetic light at the beds, mol/m2 in the hour.
    pub light_mol_m2_h: &'a [f64],
    /// Carbon dioxide of the air, ppm.
    pub carbon_dioxide_ppm: &'a [f64],
    /// Photosynthesis in it against outdoor air, share; 365 days.
    pub carbon_share: &'a [f64],
    /// Heater, W.
    pub heater_w: &'a [f64],
    /// Fans, W.
    pub fan_w: &'a [f64],
    /// Air through the vents, m3/s.
    pub vent_m3_s: &'a [f64],
    /// Band of air temperature in which sunlit hours are counted, °C.
    pub band_c: Option<(f64, f64)>,
}

impl<'a> HourColumns<'a> {
    /// The columns of a simulated house.
    pub fn of(year: &'a HouseYear) -> Self {
        Self {
            air_c: &year.air_c,
            root_zone_c: &year.root_zone_c,
            store_c: &year.store_c,
            relative_humidity_pct: &year.relative_humidity_pct,
            light_mol_m2_h: &year.light_mol_m2_h,
            carbon_dioxide_ppm: &year.carbon_dioxide_ppm,
            carbon_share: &year.carbon_share,
            heater_w: &year.heater_w,
            fan_w: &year.fan_w,
            vent_m3_s: &year.vent_m3_s,
            band_c: None,
        }
    }
}

/// One month inside. A figure without a column to take it from is NaN, sums are 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthRow {
    /// Month, 0 = January.
    pub month: usize,
    /// Mean air, °C.
    pub air_mean_c: f64,
    /// Mean of the daily minima, °C.
    pub air_daily_min_c: f64,
    /// Mean of the daily maxima, °C.
    pub air_daily_max_c: f64,
    /// Coldest hour of the air, °C.
    pub air_min_c: f64,
    /// Hottest hour of the air, °C.
    pub air_max_c: f64,
    /// Mean root zone, °C.
    pub root_zone_mean_c: f64,
    /// Coldest hour of the root zone, °C.
    pub root_zone_min_c: f64,
    /// Mean store, °C.
    pub store_mean_c: f64,
    /// Mean light, mol/m2/day.
    pub light_mol_m2_day: f64,
    /// Mean carbon dioxide of the air while it is light, each hour by its light, ppm.
    pub carbon_dioxide_ppm: f64,
    /// Mean photosynthesis in it against outdoor air, share.
    pub carbon_share: f64,
    /// Mean day length, h.
    pub day_length_h: f64,
    /// Hours with air below 0 °C.
    pub hours_below_0_c: f64,
    /// Hours with air above 30 °C.
    pub hours_above_30_c: f64,
    /// Heater, kWh.
    pub heater_kwh: f64,
    /// Fans, kWh.
    pub fan_kwh: f64,
    /// Hours with air moving through the vents.
    pub vented_hours: f64,
    /// Mean relative humidity, %.
    pub relative_humidity_pct: f64,
    /// Hours with relative humidity above 90 %: leaves stay wet.
    pub damp_hours: f64,
    /// Hours with sunlight on the beds and the air in the band asked for.
    pub sunlit_in_band_h: f64,
}

/// Watt-hours in a kilowatt-hour.
const WH_PER_KWH: f64 = 1000.0;
/// Air hotter than this is counted as hot, °C.
const HOT_C: f64 = 30.0;
/// Relative humidity above which a house counts as damp, %.
const DAMP_PCT: f64 = 90.0;

/// The twelve months of a year, from its hourly columns and the day length of its 365 days.
pub fn month_rows(columns: &HourColumns, day_length_h: &[f64]) -> Vec<MonthRow> {
    let in_band = columns.band_c.map(|(low_c, high_c)| {
        sunlit_hours_in_band(columns.air_c, columns.light_mol_m2_h, low_c, high_c)
    });
    (0..DAYS_IN_MONTH.len())
        .map(|month| MonthRow {
            sunlit_in_band_h: in_band.as_ref().map_or(f64::NAN, |hours| hours[month]),
            ..month_row(month, columns, day_length_h)
        })
        .collect()
}

fn month_row(month: usize, columns: &HourColumns, day_length_h: &[f64]) -> MonthRow {
    let air = of_month(columns.air_c, month, HOURS_PER_DAY);
    let days = DAYS_IN_MONTH.get(month).copied().unwrap_or(0) as f64;
    let daily = |pick: fn(&[f64]) -> f64| {
        let each: Vec<f64> = air.chunks(HOURS_PER_DAY).map(pick).collect();
        mean(&each)
    };
    let root_zone = of_month(columns.root_zone_c, month, HOURS_PER_DAY);
    let humidity = of_month(columns.relative_humidity_pct, month, HOURS_PER_DAY);
    let sum = |column: &[f64]| of_month(column, month, HOURS_PER_DAY).iter().sum::<f64>();
    let hours = |column: &[f64], test: &dyn Fn(f64) -> bool| {
        of_month(column, month, HOURS_PER_DAY)
            .iter()
            .filter(|value| test(**value))
            .count() as f64
    };
    MonthRow {
        month,
        air_mean_c: mean(air),
        air_daily_min_c: daily(lowest),
        air_daily_max_c: daily(highest),
        air_min_c: lowest(air),
        air_max_c: highest(air),
        root_zone_mean_c: mean(root_zone),
        root_zone_min_c: lowest(root_zone),
        store_mean_c: mean(of_month(columns.store_c, month, HOURS_PER_DAY)),
        light_mol_m2_day: sum(columns.light_mol_m2_h) / days,
        carbon_dioxide_ppm: in_light(columns, month),
        carbon_share: mean(of_month(columns.carbon_share, month, 1)),
        day_length_h: mean(of_month(day_length_h, month, 1)),
        hours_below_0_c: hours(columns.air_c, &|temp_c| temp_c < 0.0),
        hours_above_30_c: hours(columns.air_c, &|temp_c| temp_c > HOT_C),
        heater_kwh: sum(columns.heater_w) / WH_PER_KWH,
        fan_kwh: sum(columns.fan_w) / WH_PER_KWH,
        vented_hours: hours(columns.vent_m3_s, &|flow| flow > 0.0),
        relative_humidity_pct: mean(humidity),
        damp_hours: hours(columns.relative_humidity_pct, &|pct| pct > DAMP_PCT),
        sunlit_in_band_h: f64::NAN,
    }
}

/// Mean carbon dioxide of a month by the light of its hours; of all its hours where it is dark.
fn in_light(columns: &HourColumns, month: usize) -> f64 {
    let ppm = of_month(columns.carbon_dioxide_ppm, month, HOURS_PER_DAY);
    let light = of_month(columns.light_mol_m2_h, month, HOURS_PER_DAY);
    let sum: f64 = light.iter().sum();
    if sum > 0.0 {
        ppm.iter()
            .zip(light)
            .map(|(ppm, light)| ppm * light)
            .sum::<f64>()
            / sum
    } else {
        mean(ppm)
    }
}

/// The part of a yearly column that belongs to a month; `per_day` values make a day.
fn of_month(column: &[f64], month: usize, per_day: usize) -> &[f64] {
    let start = MONTH_START_DAY.get(month).copied().unwrap_or(0);
    let days = DAYS_IN_MONTH.get(month).copied().unwrap_or(0);
    column
        .get(start * per_day..(start + days) * per_day)
        .unwrap_or_default()
}

/// One month over the weather years: 10, 50 and 90 % of the years' figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthSpread {
    /// Month, 0 = January.
    pub month: usize,
    /// Mean air, °C.
    pub air_mean_c: Quantiles,
    /// Mean of the daily minima of the air, °C.
    pub air_daily_min_c: Quantiles,
    /// Mean of the daily maxima of the air, °C.
    pub air_daily_max_c: Quantiles,
    /// Coldest hour of the air, °C.
    pub air_min_c: Quantiles,
    /// Hottest hour of the air, °C.
    pub air_max_c: Quantiles,
    /// Mean root zone, °C.
    pub root_zone_mean_c: Quantiles,
    /// Coldest hour of the root zone, °C.
    pub root_zone_min_c: Quantiles,
    /// Mean store, °C.
    pub store_mean_c: Quantiles,
    /// Mean light, mol/m2/day.
    pub light_mol_m2_day: Quantiles,
    /// Mean carbon dioxide of the air while it is light, ppm.
    pub carbon_dioxide_ppm: Quantiles,
    /// Mean photosynthesis in it against outdoor air, share.
    pub carbon_share: Quantiles,
    /// Heater, kWh.
    pub heater_kwh: Quantiles,
    /// Fans, kWh.
    pub fan_kwh: Quantiles,
    /// Mean relative humidity, %.
    pub relative_humidity_pct: Quantiles,
    /// Hours with relative humidity above 90 %.
    pub damp_hours: Quantiles,
    /// Hours with air below 0 °C.
    pub hours_below_0_c: Quantiles,
    /// Hours with air above 30 °C.
    pub hours_above_30_c: Quantiles,
    /// Hours with air moving through the vents.
    pub vented_hours: Quantiles,
    /// Hours with sunlight on the beds and the air in the band asked for.
    pub sunlit_in_band_h: Quantiles,
}

/// The spread of each month over years of [`month_rows`]; empty if there are no years.
pub fn month_spread<'a>(years: impl IntoIterator<Item = &'a [MonthRow]>) -> Vec<MonthSpread> {
    let years: Vec<&[MonthRow]> = years.into_iter().collect();
    (0..DAYS_IN_MONTH.len())
        .filter_map(|month| spread_of(month, &years))
        .collect()
}

fn spread_of(month: usize, years: &[&[MonthRow]]) -> Option<MonthSpread> {
    let spread = |figure: fn(&MonthRow) -> f64| {
        let values: Vec<f64> = years
            .iter()
            .filter_map(|rows| rows.get(month))
            .map(figure)
            .collect();
        Quantiles::of(&values)
    };
    Some(MonthSpread {
        month,
        air_mean_c: spread(|row| row.air_mean_c)?,
        air_daily_min_c: spread(|row| row.air_daily_min_c)?,
        air_daily_max_c: spread(|row| row.air_daily_max_c)?,
        air_min_c: spread(|row| row.air_min_c)?,
        air_max_c: spread(|row| row.air_max_c)?,
        root_zone_mean_c: spread(|row| row.root_zone_mean_c)?,
        root_zone_min_c: spread(|row| row.root_zone_min_c)?,
        store_mean_c: spread(|row| row.store_mean_c)?,
        light_mol_m2_day: spread(|row| row.light_mol_m2_day)?,
        carbon_dioxide_ppm: spread(|row| row.carbon_dioxide_ppm)?,
        carbon_share: spread(|row| row.carbon_share)?,
        heater_kwh: spread(|row| row.heater_kwh)?,
        fan_kwh: spread(|row| row.fan_kwh)?,
        relative_humidity_pct: spread(|row| row.relative_humidity_pct)?,
        damp_hours: spread(|row| row.damp_hours)?,
        hours_below_0_c: spread(|row| row.hours_below_0_c)?,
        hours_above_30_c: spread(|row| row.hours_above_30_c)?,
        vented_hours: spread(|row| row.vented_hours)?,
        sunlit_in_band_h: spread(|row| row.sunlit_in_band_h)?,
    })
}

/// Hours of each month with sunlight on the beds and air between `low_c` and `high_c` (both included).
///
/// # Units
/// `air_c` in °C and `light_mol_m2_h` in mol/m2 in the hour, 8760 values each; returns hours, January to December.
pub fn sunlit_hours_in_band(
    air_c: &[f64],
    light_mol_m2_h: &[f64],
    low_c: f64,
    high_c: f64,
) -> Vec<f64> {
    let mut months = vec![0.0; DAYS_IN_MONTH.len()];
    for (hour, (&temp_c, &light)) in air_c.iter().zip(light_mol_m2_h).enumerate() {
        if light > 0.0
            && (low_c..=high_c).contains(&temp_c)
            && let Some(hours) = months.get_mut(month_of_hour(hour))
        {
            *hours += 1.0;
        }
    }
    months
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::HOURS_PER_YEAR;

    // Analytic: a column that rises by one a day has its month's middle for a mean.
    #[test]
    fn months_of_a_steady_rise() {
        let air_c: Vec<f64> = (0..HOURS_PER_YEAR)
            .map(|hour| (hour / HOURS_PER_DAY) as f64)
            .collect();
        let light = vec![0.5; HOURS_PER_YEAR];
        let heater_w = vec![1000.0; HOURS_PER_YEAR];
        let columns = HourColumns {
            air_c: &air_c,
            light_mol_m2_h: &light,
            heater_w: &heater_w,
            ..HourColumns::default()
        };
        let rows = month_rows(&columns, &[12.0; 365]);
        assert_eq!(rows[0].air_mean_c, 15.0);
        assert_eq!((rows[1].air_min_c, rows[1].air_max_c), (31.0, 58.0));
        assert_eq!(rows[1].light_mol_m2_day, 12.0);
        assert_eq!(rows[1].heater_kwh, 28.0 * 24.0);
        assert_eq!(rows[0].hours_above_30_c, 0.0);
        assert_eq!(rows[1].hours_above_30_c, 28.0 * 24.0);
        assert_eq!(rows[0].day_length_h, 12.0);
        assert!(rows[0].store_mean_c.is_nan());
        let spread = month_spread([&rows[..], &rows]);
        assert_eq!(spread[11].air_mean_c.p10, spread[11].air_mean_c.p90);
    }

    #[test]
    fn sunlit_hours_count_only_light_and_band() {
        let mut light = vec![0.0; HOURS_PER_YEAR];
        light[10] = 1.0;
        light[11] = 1.0;
        let mut air_c = vec![20.0; HOURS_PER_YEAR];
        air_c[11] = 31.0;
        assert_eq!(sunlit_hours_in_band(&air_c, &light, 10.0, 30.0)[0], 1.0);
    }
}
