//! The eight header lines: place, design temperatures, ground temperatures, how the rows run.

use super::cells::WeatherError;
use crate::plain::blanked;
use crate::site::normals::DesignTemps;
use crate::site::weather::Place;

/// Header lines of every file.
pub const HEADER_LINES: usize = 8;

/// First words of the header lines.
const HEADS: [&str; HEADER_LINES] = [
    "LOCATION",
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME PERIODS",
    "GROUND TEMPERATURES",
    "HOLIDAYS/DAYLIGHT SAVINGS",
    "COMMENTS 1",
    "COMMENTS 2",
    "DATA PERIODS",
];

/// What the header says.
#[derive(Clone, Debug, PartialEq)]
pub struct Header {
    pub place: Place,
    pub data_set: String,
    pub design: Option<DesignTemps>,
}

/// Reads the header from the file's first lines.
pub fn read_header(file: &str, lines: &[&str]) -> Result<Header, WeatherError> {
    for (index, head) in HEADS.iter().enumerate() {
        let line = lines.get(index).copied().unwrap_or_default();
        let found = line.split(',').next().unwrap_or_default().trim();
        if !found.eq_ignore_ascii_case(head) {
            let at = (index + 1).min(lines.len().max(1));
            let wrong = if lines.len() <= index {
                format!("the file ends before the header line {head}")
            } else {
                format!("header line {} starts with `{}`", index + 1, shorten(found))
            };
            let right = format!("an EPW file has `{head}` there");
            return Err(WeatherError::of_line(file, at, wrong, right));
        }
    }
    let fields = |index: usize| -> Vec<&str> { lines[index].split(',').map(str::trim).collect() };
    let (place, data_set) = location(file, &fields(0))?;
    one_record_an_hour(file, &fields(7))?;
    Ok(Header {
        place,
        data_set,
        design: design_temps(&fields(1)),
    })
}

/// Cuts a text that goes into a message.
pub fn shorten(text: &str) -> String {
    const LONGEST: usize = 40;
    if text.chars().count() <= LONGEST {
        text.to_owned()
    } else {
        text.chars().take(LONGEST).chain("...".chars()).collect()
    }
}

fn location(file: &str, fields: &[&str]) -> Result<(Place, String), WeatherError> {
    let number = |index: usize, name: &'static str, low: f64, high: f64| {
        let text = fields.get(index).copied().unwrap_or_default();
        match text.parse::<f64>() {
            Ok(value) if (low..=high).contains(&value) => Ok(value),
            _ => Err(WeatherError::of_line(
                file,
                1,
                format!("field {} ({name}) is `{}`", index + 1, shorten(text)),
                format!("a number from {low} to {high} belongs there"),
            )),
        }
    };
    let text = |index: usize| fields.get(index).copied().unwrap_or_default();
    let name: Vec<&str> = [text(1), text(2), text(3)]
        .into_iter()
        .filter(|part| !part.is_empty() && *part != "-")
        .collect();
    let place = Place {
        name: blanked(&name.join(", ")),
        latitude_deg: number(6, "latitude, degrees", -90.0, 90.0)?,
        longitude_deg: number(7, "longitude, degrees", -180.0, 180.0)?,
        utc_offset_h: number(8, "hours from UTC", -12.0, 14.0)?,
        elevation_m: number(9, "elevation, m", -430.0, 6000.0)?,
    };
    let data_set = format!("{} {}", text(4), text(5));
    Ok((place, blanked(data_set.trim())))
}

fn one_record_an_hour(file: &str, fields: &[&str]) -> Result<(), WeatherError> {
    let count = |index: usize| fields.get(index).and_then(|text| text.parse::<f64>().ok());
    for (index, what) in [(1, "data periods"), (2, "records an hour")] {
        if count(index).is_some_and(|count| count != 1.0) {
            let wrong = format!("the file holds {} {what}", fields[index]);
            let right = "one data period of a whole year with one record an hour can be read";
            let right = right.to_owned();
            return Err(WeatherError::of_line(file, HEADER_LINES, wrong, right));
        }
    }
    Ok(())
}

/// Heating design temperatures and yearly extremes, where the line has them.
///
/// The extremes are stated with or without a wet-bulb temperature before them, by edition; which it is shows in
/// the value once in five years, the mean less 0.72 standard deviations (Gumbel).
fn design_temps(fields: &[&str]) -> Option<DesignTemps> {
    /// Reduced variate of a Gumbel distribution at 5 years, from the mean, in standard deviations.
    const ONCE_IN_FIVE: f64 = 0.7195;
    /// Disagreement up to which the row is taken as understood, K.
    const TOLERANCE_K: f64 = 0.6;
    let heating = fields.iter().position(|field| *field == "Heating")?;
    let value = |index: usize| -> Option<f64> { fields.get(index)?.parse().ok() };
    let (coldest, cold) = (value(heating + 2)?, value(heating + 3)?);
    if !(-90.0..=70.0).contains(&coldest) || !(coldest..=70.0).contains(&cold) {
        return None;
    }
    let extremes = fields.iter().position(|field| *field == "Extremes");
    let yearly = extremes.and_then(|start| {
        [4, 5]
            .into_iter()
            .filter_map(|skip| {
                let (mean, sd) = (value(start + skip)?, value(start + skip + 2)?);
                let once_in_five = value(start + skip + 4)?;
                let off = (mean - ONCE_IN_FIVE * sd - once_in_five).abs();
                (off <= TOLERANCE_K).then_some((off, mean, sd))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
    });
    Some(DesignTemps {
        heating_99_6_c: coldest,
        heating_99_c: cold,
        yearly_min_mean_c: yearly.map(|(_, mean, _)| mean),
        yearly_min_sd_k: yearly.map(|(_, _, sd)| sd),
        hours_99_6_c: None,
        hours_min_c: None,
    })
}
