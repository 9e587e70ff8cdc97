//! The text of a climate file, laid out for reading.

use bedyear::calendar::MONTH_HEADS;
use bedyear::site::{Monthly, Normals};

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
    let heads: Vec<String> = MONTH_HEADS
        .iter()
        .map(|head| format!("{head:>FIGURE_WIDTH$}"))
        .collect();
    format!("{:NAME_WIDTH$}   {}\n", "#", heads.join("  "))
}

fn push_rows(out: &mut String, rows: &[(&str, Option<Monthly>, usize)]) {
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
