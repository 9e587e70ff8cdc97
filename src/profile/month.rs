//! Months of a year inside.

use super::{Quantiles, highest, lowest, mean};
use crate::calendar::{DAYS_IN_MONTH, HOURS_PER_DAY, MONTH_START_DAY, month_of_hour};
use crate::house::HouseYear;

/// One month inside. A figure without a column to take it from is NaN, sums are 0.
pub type MonthRow = Month<f64>;
/// One month over the weather years: 10, 50 and 90 % of the years' figures.
pub type MonthSpread = Month<Quantiles>;

/// Declares the figures of a month once, and how years of them are spread.
macro_rules! figures {
    ($($(#[$about:meta])* $figure:ident,)*) => {
        /// The figures of a month.
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct Month<Figure> {
            /// Month, 0 = January.
            pub month: usize,
            $($(#[$about])* pub $figure: Figure,)*
        }

        impl MonthSpread {
            /// Of the same month in several years; none without years.
            fn of(month: usize, rows: &[&MonthRow]) -> Option<Self> {
                let spread = |figure: fn(&MonthRow) -> f64| {
                    let values: Vec<f64> = rows.iter().map(|row| figure(row)).collect();
                    Quantiles::of(&values)
                };
                Some(Self { month, $($figure: spread(|row| row.$figure)?,)* })
            }
        }
    };
}

figures! {
    /// Mean air, °C.
    air_mean_c,
    /// Mean of the daily minima, °C.
    air_daily_min_c,
    /// Mean of the daily maxima, °C.
    air_daily_max_c,
    /// Coldest hour of the air, °C.
    air_min_c,
    /// Hottest hour of the air, °C.
    air_max_c,
    /// Mean root zone, °C.
    root_zone_mean_c,
    /// Coldest hour of the root zone, °C.
    root_zone_min_c,
    /// Mean store, °C.
    store_mean_c,
    /// Mean light, mol/m2/day.
    light_mol_m2_day,
    /// Mean carbon dioxide of the air while it is light, each hour by its light, ppm.
    carbon_dioxide_ppm,
    /// Mean photosynthesis in it against outdoor air, share.
    carbon_share,
    /// Mean day length, h.
    day_length_h,
    /// Hours with air below 0 °C.
    hours_below_0_c,
    /// Hours with air above 30 °C.
    hours_above_30_c,
    /// Heater, kWh.
    heater_kwh,
    /// Fans, kWh.
    fan_kwh,
    /// Hours with air moving through the vents.
    vented_hours,
    /// Mean relative humidity, %.
    relative_humidity_pct,
    /// Hours with relative humidity above 90 %: leaves stay wet.
    damp_hours,
    /// Hours with sunlight on the beds and the air in the band asked for.
    sunlit_in_band_h,
}

/// Watt-hours in a kilowatt-hour.
const WH_PER_KWH: f64 = 1000.0;
/// Air hotter than this is counted as hot, °C.
const HOT_C: f64 = 30.0;
/// Relative humidity above which a house counts as damp, %.
const DAMP_PCT: f64 = 90.0;

/// The twelve months of a year, from its hourly columns and the day length of its 365 days; `band_c` is the band of air
/// temperature in which sunlit hours are counted, °C.
pub fn month_rows(
    year: &HouseYear,
    band_c: Option<(f64, f64)>,
    day_length_h: &[f64],
) -> Vec<MonthRow> {
    let in_band = band_c.map(|band_c| sunlit_hours_in_band(year, band_c));
    (0..DAYS_IN_MONTH.len())
        .map(|month| MonthRow {
            sunlit_in_band_h: in_band.as_ref().map_or(f64::NAN, |hours| hours[month]),
            ..month_row(month, year, day_length_h)
        })
        .collect()
}

fn month_row(month: usize, year: &HouseYear, day_length_h: &[f64]) -> MonthRow {
    let air = of_month(&year.air_c, month, HOURS_PER_DAY);
    let days = DAYS_IN_MONTH[month] as f64;
    let daily = |pick: fn(&[f64]) -> f64| {
        let each: Vec<f64> = air.chunks(HOURS_PER_DAY).map(pick).collect();
        mean(&each)
    };
    let root_zone = of_month(&year.root_zone_c, month, HOURS_PER_DAY);
    let humidity = of_month(&year.relative_humidity_pct, month, HOURS_PER_DAY);
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
        store_mean_c: mean(of_month(&year.store_c, month, HOURS_PER_DAY)),
        light_mol_m2_day: sum(&year.light_mol_m2_h) / days,
        carbon_dioxide_ppm: in_light(year, month),
        carbon_share: mean(of_month(&year.carbon_share, month, 1)),
        day_length_h: mean(of_month(day_length_h, month, 1)),
        hours_below_0_c: hours(&year.air_c, &|temp_c| temp_c < 0.0),
        hours_above_30_c: hours(&year.air_c, &|temp_c| temp_c > HOT_C),
        heater_kwh: sum(&year.heater_w) / WH_PER_KWH,
        fan_kwh: sum(&year.fan_w) / WH_PER_KWH,
        vented_hours: hours(&year.vent_m3_s, &|flow| flow > 0.0),
        relative_humidity_pct: mean(humidity),
        damp_hours: hours(&year.relative_humidity_pct, &|pct| pct > DAMP_PCT),
        sunlit_in_band_h: f64::NAN,
    }
}

/// Mean carbon dioxide of a month by the light of its hours; of all its hours where it is dark.
fn in_light(year: &HouseYear, month: usize) -> f64 {
    let ppm = of_month(&year.carbon_dioxide_ppm, month, HOURS_PER_DAY);
    let light = of_month(&year.light_mol_m2_h, month, HOURS_PER_DAY);
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
    let start = MONTH_START_DAY[month];
    let end = start + DAYS_IN_MONTH[month];
    column
        .get(start * per_day..end * per_day)
        .unwrap_or_default()
}

/// The spread of each month over years of [`month_rows`]; empty if there are no years.
pub fn month_spread<'a>(years: impl IntoIterator<Item = &'a [MonthRow]>) -> Vec<MonthSpread> {
    let years: Vec<&[MonthRow]> = years.into_iter().collect();
    (0..DAYS_IN_MONTH.len())
        .filter_map(|month| {
            let rows: Vec<&MonthRow> = years.iter().filter_map(|rows| rows.get(month)).collect();
            MonthSpread::of(month, &rows)
        })
        .collect()
}

/// Hours of each month with sunlight on the beds and air in a band (both ends included), January to December.
fn sunlit_hours_in_band(year: &HouseYear, (low_c, high_c): (f64, f64)) -> [f64; 12] {
    let mut months = [0.0; 12];
    for (hour, (&temp_c, &light)) in year.air_c.iter().zip(&year.light_mol_m2_h).enumerate() {
        if light > 0.0 && (low_c..=high_c).contains(&temp_c) {
            months[month_of_hour(hour)] += 1.0;
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
        let year = HouseYear {
            air_c,
            light_mol_m2_h: light,
            heater_w,
            ..HouseYear::default()
        };
        let rows = month_rows(&year, None, &[12.0; 365]);
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
        let mut year = HouseYear {
            air_c: vec![20.0; HOURS_PER_YEAR],
            light_mol_m2_h: vec![0.0; HOURS_PER_YEAR],
            ..HouseYear::default()
        };
        year.light_mol_m2_h[10..12].fill(1.0);
        year.air_c[11] = 31.0;
        assert_eq!(sunlit_hours_in_band(&year, (10.0, 30.0))[0], 1.0);
    }
}
