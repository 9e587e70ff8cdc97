//! The shelf of places: monthly climates that come with the program, and a person's own.

use super::normals::{Normals, NormalsError};
use crate::plain::blanked;

macro_rules! shelf {
    ($($name:literal),* $(,)?) => {
        /// One climate file a place, by name and in order; the packed tables beside them are not taken up here.
        static SHELF: &[(&str, &str)] =
            &[$(($name, include_str!(concat!("../../climates/", $name, ".toml")))),*];
    };
}

shelf!(
    "boston",
    "chicago",
    "churchill",
    "fairbanks",
    "golden",
    "helena",
    "miami",
    "prince-george",
    "santiago",
    "seattle",
    "uccle",
    "whitehorse",
);

/// Names of the places on the shelf, in order.
pub fn names() -> Vec<&'static str> {
    SHELF.iter().map(|(name, _)| *name).collect()
}

/// Text of a climate file on the shelf, by the place's name.
pub fn text(name: &str) -> Option<&'static str> {
    let found = SHELF.iter().find(|(known, _)| *known == name)?;
    Some(found.1)
}

/// The climate of a place on the shelf.
///
/// # Errors
/// As [`parse`]; nothing where the shelf has no such place.
pub fn get(name: &str) -> Option<Result<Normals, NormalsError>> {
    text(name).map(|text| parse(&format!("climates/{name}.toml"), text))
}

/// All climates of the shelf, in order of their names.
pub fn shelf() -> Vec<Normals> {
    names()
        .into_iter()
        .filter_map(|name| get(name)?.ok())
        .collect()
}

/// Reads the text of a climate file; `file` is its name in messages.
///
/// # Errors
/// [`NormalsError`] with line and column for text that is not a climate file, with the month for figures that
/// cannot be.
pub fn parse(file: &str, text: &str) -> Result<Normals, NormalsError> {
    let mut normals: Normals =
        toml::from_str(text).map_err(|error| text_error(file, text, &error))?;
    for words in [
        &mut normals.source,
        &mut normals.years,
        &mut normals.place.name,
    ] {
        *words = blanked(words);
    }
    normals.check()?;
    Ok(normals)
}

fn text_error(file: &str, text: &str, error: &toml::de::Error) -> NormalsError {
    let start = error.span().map_or(0, |span| span.start);
    let before = text.get(..start).unwrap_or(text);
    let last_line = before.rsplit('\n').next().unwrap_or_default();
    NormalsError::Text {
        file: file.to_owned(),
        line: before.matches('\n').count() + 1,
        column: last_line.chars().count() + 1,
        wrong: error.message().to_owned(),
    }
}

/// The text of a climate file, laid out for reading; `head` are its comment lines.
pub fn write(normals: &Normals, head: &[String]) -> String {
    let mut out = String::new();
    for line in head {
        out.push_str(&format!("# {line}\n"));
    }
    let text = |value: &str| toml::Value::String(value.to_owned()).to_string();
    out.push_str(&format!("source = {}\n", text(&normals.source)));
    out.push_str(&format!("years = {}\n\n", text(&normals.years)));
    out.push_str(&months_comment());
    let rows = [
        ("temp_max_c", Some(normals.temp_max_c), 1),
        ("temp_min_c", Some(normals.temp_min_c), 1),
        ("temp_mean_c", normals.temp_mean_c, 1),
        ("ghi_kwh_m2_day", normals.ghi_kwh_m2_day, 2),
        ("sun_hours_day", normals.sun_hours_day, 1),
        ("wind_m_s", normals.wind_m_s, 1),
        ("relative_humidity_pct", normals.relative_humidity_pct, 0),
    ];
    push_rows(&mut out, &rows);
    let place = &normals.place;
    out.push_str(&format!(
        "\n[place]\nname = {}\nlatitude_deg = {}\nlongitude_deg = {}\nelevation_m = {}\nutc_offset_h = {}\n",
        text(&place.name), place.latitude_deg, place.longitude_deg, place.elevation_m, place.utc_offset_h
    ));
    if let Some(spread) = &normals.spread {
        out.push_str("\n[spread]\n");
        out.push_str(&months_comment());
        let rows = [
            ("temp_daily_sd_k", Some(spread.temp_daily_sd_k), 1),
            ("temp_daily_lag1", Some(spread.temp_daily_lag1), 2),
            ("clearness_daily_sd", Some(spread.clearness_daily_sd), 2),
            ("clearness_daily_lag1", spread.clearness_daily_lag1, 2),
            (
                "temp_clearness_correlation",
                spread.temp_clearness_correlation,
                2,
            ),
            (
                "range_clearness_correlation",
                spread.range_clearness_correlation,
                2,
            ),
            ("range_daily_cv", spread.range_daily_cv, 2),
        ];
        push_rows(&mut out, &rows);
    }
    if let Some(design) = &normals.design {
        out.push_str(&format!(
            "\n[design]\nheating_99_6_c = {}\nheating_99_c = {}\n",
            design.heating_99_6_c, design.heating_99_c
        ));
        if let (Some(mean), Some(sd)) = (design.yearly_min_mean_c, design.yearly_min_sd_k) {
            out.push_str(&format!(
                "yearly_min_mean_c = {mean}\nyearly_min_sd_k = {sd}\n"
            ));
        }
        for (key, value) in [
            ("hours_99_6_c", design.hours_99_6_c),
            ("hours_min_c", design.hours_min_c),
        ] {
            if let Some(value) = value {
                out.push_str(&format!("{key} = {value}\n"));
            }
        }
    }
    out
}

/// Width of the names in a climate file.
const NAME_WIDTH: usize = 27;
/// Width of a figure.
const FIGURE_WIDTH: usize = 6;

fn months_comment() -> String {
    let heads: Vec<String> = crate::calendar::MONTH_HEADS
        .iter()
        .map(|head| format!("{head:>FIGURE_WIDTH$}"))
        .collect();
    format!("{:NAME_WIDTH$}   {}\n", "#", heads.join("  "))
}

fn push_rows(out: &mut String, rows: &[(&str, Option<super::Monthly>, usize)]) {
    for (name, monthly, digits) in rows {
        let Some(monthly) = monthly else { continue };
        let figures: Vec<String> = monthly
            .iter()
            // Adding zero turns a rounded -0 into 0.
            .map(|value| {
                let scale = 10f64.powi(*digits as i32);
                let rounded = (value * scale).round() / scale + 0.0;
                format!("{rounded:>FIGURE_WIDTH$.digits$}", digits = *digits)
            })
            .collect();
        out.push_str(&format!("{name:NAME_WIDTH$} = [{}]\n", figures.join(", ")));
    }
}
