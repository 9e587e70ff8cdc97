//! Hourly weather files in the open EPW format.
//!
//! Eight header lines and a year of hourly rows, as published; a row stands for the hour that ends at its stamp.
//! Rows from different years (typical meteorological years) are accepted as they come.

mod cells;
mod header;
mod rows;
mod stamps;

pub use cells::{Cell, WeatherError};
pub use rows::LONGEST_GAP_ROWS;
pub use stamps::{StampCheck, check_stamps};

use super::normals::DesignTemps;
use super::snow;
use super::solar_frame::{LOWEST_SUN_COSINE, cloud_share, split_beam_diffuse};
use super::weather::{ANY_YEAR, Place, Weather};
use crate::air;
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, MONTH_HEADS};
use crate::solar::{SunHour, SunYear};
use rows::Rows;

/// A weather file read and checked.
#[derive(Clone, Debug, PartialEq)]
pub struct EpwFile {
    /// The place of the file's first line.
    pub place: Place,
    /// Data set that the file names as its source.
    pub data_set: String,
    /// Design temperatures of the header, where it has them.
    pub design: Option<DesignTemps>,
    /// The hours.
    pub weather: Weather,
    /// What was filled, dropped or looks wrong, each in one sentence.
    pub warnings: Vec<String>,
}

/// Reads the text of a weather file; `file` is its name in messages.
///
/// Gaps of up to [`LONGEST_GAP_ROWS`] rows in needed columns are filled and named in the warnings. Long-wave
/// irradiance comes from the file's own column where it has values, else from temperature, dew point and clouds;
/// pressure that is missing from the height above sea level.
///
/// # Errors
/// [`WeatherError`] says line, column, what is wrong and what would be right.
pub fn read(file: &str, text: &str) -> Result<EpwFile, WeatherError> {
    let text = crate::plain::without_mark(text);
    if text.trim().is_empty() {
        let right = format!("an EPW file has 8 header lines and {HOURS_PER_YEAR} hourly rows");
        let wrong = "the file is empty".to_owned();
        return Err(WeatherError::of_line(file, 1, wrong, right));
    }
    let lines: Vec<&str> = text.lines().collect();
    let header = header::read_header(file, &lines)?;
    let rows = rows::read_rows(file, &lines)?;
    let mut reader = Reader {
        file,
        sun: header.place.sun(ANY_YEAR),
        rows,
        warnings: Vec::new(),
    };
    let weather = reader.weather(&header.place)?;
    reader.stamp_warning(&header.place, &weather);
    Ok(EpwFile {
        place: header.place,
        data_set: header.data_set,
        design: header.design,
        weather,
        warnings: reader.warnings,
    })
}

/// The calendar years that the rows of a weather file name; rows that cannot be read are left out.
pub fn years(text: &str) -> std::collections::BTreeSet<i32> {
    text.lines()
        .skip(header::HEADER_LINES)
        .filter_map(|line| line.split(',').next()?.trim().parse().ok())
        .collect()
}

struct Reader<'a> {
    file: &'a str,
    sun: SunYear,
    rows: Rows,
    warnings: Vec<String>,
}

impl Reader<'_> {
    fn warn(&mut self, what: String) {
        self.warnings.push(format!("{}: {what}", self.file));
    }

    fn fill(
        &mut self,
        column: &cells::Column,
        values: &[Option<f64>],
    ) -> Result<Vec<f64>, WeatherError> {
        let lines = &self.rows.lines;
        rows::filled(self.file, lines, column, values, &mut self.warnings)
    }

    fn weather(&mut self, place: &Place) -> Result<Weather, WeatherError> {
        if self.rows.leap_day_dropped {
            self.warn("29 February was left out: the model year has 365 days".to_owned());
        }
        if let Some((line, minute)) = self.rows.odd_minute {
            self.warn(format!(
                "minute {minute} in line {line}: each row is taken as the hour that ends at its stamp's hour"
            ));
        }
        let temp_air_c = self.fill(&cells::DRY_BULB, &self.rows.dry_bulb.clone())?;
        let relative_humidity_pct = self.humidity(&temp_air_c)?;
        let wind_m_s = self.fill(&cells::WIND, &self.rows.wind.clone())?;
        let [ghi_w_m2, dni_w_m2, dhi_w_m2] = self.sunlight()?;
        let pressure_pa = self.pressure(place);
        let sky_long_wave_w_m2 =
            self.long_wave(place, &temp_air_c, &relative_humidity_pct, &ghi_w_m2);
        let cover = snow::daily_cover(&super::weather::daily_means(&temp_air_c));
        let snowfall_mm = self.snowfall(&temp_air_c, &ghi_w_m2);
        Ok(Weather {
            ground_reflectance: (0..HOURS_PER_YEAR)
                .map(|hour| snow::reflectance(cover[hour / HOURS_PER_DAY]))
                .collect(),
            temp_air_c,
            relative_humidity_pct,
            wind_m_s,
            ghi_w_m2,
            dni_w_m2,
            dhi_w_m2,
            sky_long_wave_w_m2,
            pressure_pa,
            snowfall_mm,
        })
    }

    fn humidity(&mut self, temps: &[f64]) -> Result<Vec<f64>, WeatherError> {
        let mut from_dew_point = 0;
        let mut values = self.rows.humidity.clone();
        for (hour, value) in values.iter_mut().enumerate() {
            if value.is_none()
                && let Some(dew) = self.rows.dew_point[hour]
            {
                *value = Some(super::hours::humidity_pct(temps[hour], dew));
                from_dew_point += 1;
            }
        }
        if from_dew_point > 0 {
            self.warn(format!(
                "{}: missing in {from_dew_point} rows, taken from the dew point",
                cells::HUMIDITY.cell
            ));
        }
        let filled = self.fill(&cells::HUMIDITY, &values)?;
        Ok(filled.into_iter().map(|value| value.min(100.0)).collect())
    }

    fn pressure(&mut self, place: &Place) -> Vec<f64> {
        let mean = air::pressure_at_elevation_pa(place.elevation_m);
        let pressure = &self.rows.pressure;
        let missing = pressure.len() - pressure.iter().flatten().count();
        let filled = pressure.iter().map(|value| value.unwrap_or(mean)).collect();
        if missing > 0 {
            self.warn(format!(
                "{}: missing in {missing} rows, taken from the height above sea level",
                cells::PRESSURE.cell
            ));
        }
        filled
    }

    /// Global, direct normal and diffuse irradiance, W/m2.
    fn sunlight(&mut self) -> Result<[Vec<f64>; 3], WeatherError> {
        let (direct, diffuse) = self.beam_columns();
        let mut global = self.rows.global.clone();
        for hour in 0..HOURS_PER_YEAR {
            let sun = &self.sun.hours[hour];
            if global[hour].is_none() {
                global[hour] = match (direct[hour], diffuse[hour]) {
                    _ if sun.up_share == 0.0 => Some(0.0),
                    (Some(direct), Some(diffuse)) => Some(direct * sun.cos_zenith + diffuse),
                    _ => None,
                };
            }
        }
        let global = self.fill(&cells::GLOBAL, &global)?;
        let mut made = 0;
        let (mut beams, mut rests) = (Vec::new(), Vec::new());
        for (hour, &whole) in global.iter().enumerate() {
            let sun = &self.sun.hours[hour];
            let (beam, rest) = match (direct[hour], diffuse[hour]) {
                (Some(beam), Some(rest)) => (beam, rest),
                (beam, rest) => {
                    made += usize::from(whole > 0.0);
                    complete_split(sun, whole, beam, rest)
                }
            };
            beams.push(beam);
            rests.push(rest);
        }
        if made > 0 {
            self.warn(format!(
                "{} or {}: missing in {made} rows with sun, taken from the global radiation",
                cells::DIRECT.cell,
                cells::DIFFUSE.cell
            ));
        }
        Ok([global, beams, rests])
    }

    /// Direct and diffuse column; both count as missing where a writer without them put zeros all year.
    fn beam_columns(&self) -> (Vec<Option<f64>>, Vec<Option<f64>>) {
        let dark = |values: &[Option<f64>]| values.iter().all(|value| value.unwrap_or(0.0) == 0.0);
        let rows = &self.rows;
        if dark(&rows.direct) && dark(&rows.diffuse) {
            (vec![None; HOURS_PER_YEAR], vec![None; HOURS_PER_YEAR])
        } else {
            (rows.direct.clone(), rows.diffuse.clone())
        }
    }

    fn long_wave(
        &mut self,
        place: &Place,
        temps: &[f64],
        humidity: &[f64],
        global: &[f64],
    ) -> Vec<f64> {
        let clear = super::solar_frame::clear_sky_clearness(place.elevation_m);
        let mut made = 0;
        let values = (0..HOURS_PER_YEAR)
            .map(|hour| {
                if let Some(value) = self.rows.infrared[hour] {
                    return value;
                }
                made += 1;
                let cover = self.rows.cover[hour].unwrap_or_else(|| {
                    cloud_share(
                        self.day_clearness(hour / HOURS_PER_DAY, global)
                            .unwrap_or(clear),
                        clear,
                    )
                });
                let dew = air::dew_point_c(air::vapour_pressure_kpa(temps[hour], humidity[hour]));
                air::sky_long_wave_w_m2(temps[hour], dew, cover)
            })
            .collect();
        if made > 0 {
            self.warn(format!(
                "{}: no value in {made} rows, taken from temperature, dew point and clouds",
                cells::INFRARED.cell
            ));
        }
        values
    }

    /// Snow, mm of water in the hour: precipitation of cold hours, else the weather observed, else cold overcast days.
    fn snowfall(&self, temps: &[f64], global: &[f64]) -> Vec<f64> {
        /// Share of the hours in which a column must have values to be believed.
        const BELIEVED_SHARE: f64 = 0.9;
        let known = |values: &[Option<f64>]| {
            let count = values.iter().flatten().count() as f64;
            count >= BELIEVED_SHARE * HOURS_PER_YEAR as f64
        };
        let (fallen, seen) = (&self.rows.precipitation, &self.rows.observed_snow);
        if known(fallen) && fallen.iter().flatten().any(|mm| *mm > 0.0) {
            return fallen
                .iter()
                .zip(temps)
                .map(|(mm, temp_c)| mm.filter(|_| *temp_c < snow::SNOW_BELOW_C).unwrap_or(0.0))
                .collect();
        }
        if known(seen) {
            return seen.iter().map(|mm| mm.unwrap_or(0.0)).collect();
        }
        let means = super::weather::daily_means(temps).into_iter().enumerate();
        let day = |(day, mean_c)| snow::likely_mm_h(mean_c, self.day_clearness(day, global));
        means.flat_map(|of| [day(of); HOURS_PER_DAY]).collect()
    }

    fn day_clearness(&self, day: usize, global: &[f64]) -> Option<f64> {
        let hours = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
        let sun = self.sun.hours[hours.clone()].iter();
        let outside: f64 = sun.map(SunHour::outside_w_m2).sum();
        (outside > 0.0).then(|| global[hours].iter().sum::<f64>() / outside)
    }

    fn stamp_warning(&mut self, place: &Place, weather: &Weather) {
        let Some(check) = check_stamps(place, weather).filter(StampCheck::is_off) else {
            return;
        };
        let months: Vec<&str> = check
            .months_off
            .iter()
            .filter_map(|&month| MONTH_HEADS.get(month).copied())
            .collect();
        self.warn(format!(
            "the solar columns fit a sun {:.0} min {} than their stamps say: global radiation and its parts differ by {:.1} W/m2 over the sunny hours, by {:.1} W/m2 with the sun moved ({}); hourly sun on tilted faces is off, daily sums hardly",
            60.0 * check.offset_h.abs(),
            if check.offset_h > 0.0 { "later" } else { "earlier" },
            check.closure_w_m2,
            check.best_closure_w_m2,
            months.join(", ")
        ));
    }
}

/// Direct and diffuse part of an hour's global radiation where one or both are missing.
fn complete_split(
    sun: &SunHour,
    global: f64,
    direct: Option<f64>,
    diffuse: Option<f64>,
) -> (f64, f64) {
    match (direct, diffuse) {
        (Some(direct), None) => (direct, (global - direct * sun.cos_zenith).max(0.0)),
        (None, Some(diffuse)) if sun.cos_zenith > LOWEST_SUN_COSINE => {
            let beam = (global - diffuse).max(0.0) / sun.cos_zenith;
            (beam.min(sun.extraterrestrial_normal_w_m2), diffuse)
        }
        (None, Some(diffuse)) => (0.0, diffuse),
        _ => split_beam_diffuse(sun, sun.outside_w_m2(), global),
    }
}
