//! The year inside.

use super::draw::draw;
use super::table::{Align, Sheet};
use super::{Look, remarks, warnings};
use crate::calendar::MONTH_HEADS;
use crate::output::answer::{coldest, heater_words};
use crate::output::tables;
use crate::output::text::{fixed, percent};
use crate::output::view::{ClimateDay, ClimateMonth, ClimateView, YearKind};

/// Days that one character of the year line stands for.
const DAYS_PER_CHARACTER: usize = 7;
/// Characters of the year line, lowest first.
const LEVELS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// The months, the coldest night, what heater and fan use.
pub fn climate(view: &ClimateView, look: &Look) -> String {
    let months = tables::climate(view).into_iter().next();
    let mut text = months.map_or_else(String::new, |table| draw(&table, look));
    text.push_str(&look.prose(&totals(view, look)));
    text.push_str(&warnings(&view.notes, look));
    text
}

/// What is not in a table: the course of the year in a line, and what stands behind the months.
pub fn climate_course(view: &ClimateView, look: &Look) -> String {
    format!("{}{}", course(view, look), remarks(&view.notes, look))
}

fn totals(view: &ClimateView, look: &Look) -> String {
    format!(
        "{}Coldest night: {}{}{}{}",
        medians(view),
        coldest(view, look.units),
        match heater_words(view, look.units) {
            words if words.is_empty() => words,
            words => format!(" {words}"),
        },
        carbon(view),
        residual(view.balance_residual),
    )
}

/// What the want of carbon dioxide takes in the month in which it takes most, where that is worth a line.
fn carbon(view: &ClimateView) -> String {
    /// Smallest loss that is told, share (own choice).
    const TOLD: f64 = 0.05;
    let months = view.months.iter().zip(MONTH_HEADS);
    let Some((worst, name)) = months.min_by(|a, b| {
        let share = |month: &ClimateMonth| month.carbon_share.value;
        share(a.0).total_cmp(&share(b.0))
    }) else {
        return String::new();
    };
    let lost = 1.0 - worst.carbon_share.value;
    if lost < TOLD {
        return String::new();
    }
    format!(
        " While it is shut leaves use up its carbon dioxide: in {name} growth is {} less than in open air.",
        percent(lost, 0)
    )
}

/// What the months are.
fn medians(view: &ClimateView) -> String {
    match view.year_kind {
        _ if view.weather_years == 0 => String::new(),
        YearKind::Settled => format!(
            "Medians of {} weather years, the ground warmed up. ",
            view.weather_years
        ),
        YearKind::First => "The months are those of this one year. ".to_owned(),
    }
}

/// Share of heat without explanation, where there is one; the last digits of a closed balance say nothing.
fn residual(share: f64) -> String {
    /// Smallest share that is written out (own choice).
    const SMALLEST: f64 = 1e-5;
    if share.abs() < SMALLEST {
        String::new()
    } else {
        format!(" Heat unaccounted for: {}.", percent(share.abs(), 3))
    }
}

/// One character a week: the warmest and the coldest hour of the air, the root zone, on one scale.
fn course(view: &ClimateView, look: &Look) -> String {
    let days = &view.days;
    if days.is_empty() {
        return String::new();
    }
    let weekly = |of_day: fn(&ClimateDay) -> f64, pick: fn(f64, f64) -> f64| -> Vec<f64> {
        days.chunks(DAYS_PER_CHARACTER)
            .filter(|week| week.len() == DAYS_PER_CHARACTER)
            .filter_map(|week| week.iter().map(of_day).reduce(pick))
            .collect()
    };
    let lines = [
        ("air, warmest hour", weekly(|day| day.air_max_c, f64::max)),
        ("air, coldest hour", weekly(|day| day.air_min_c, f64::min)),
        (
            "root zone, coldest",
            weekly(|day| day.root_zone_c, f64::min),
        ),
    ];
    let low = lines
        .iter()
        .flat_map(|(_, line)| line)
        .copied()
        .fold(f64::INFINITY, f64::min);
    let high = lines
        .iter()
        .flat_map(|(_, line)| line)
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    let degrees = |celsius: f64| fixed(look.units.temperature(celsius), 0);
    let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Right), ("", Align::Left)]);
    for (name, line) in lines {
        let ends = line
            .iter()
            .copied()
            .reduce(f64::min)
            .zip(line.iter().copied().reduce(f64::max));
        let range = ends.map(|(from, to)| format!("{}..{}", degrees(from), degrees(to)));
        sheet.row(vec![
            name.to_string(),
            year_line(&line, low, high),
            range.unwrap_or_default(),
        ]);
    }
    let unit = look.units.temperature_unit();
    let head = format!(
        "Week by week, January to December, in {unit}: {}",
        view.year_shown
    );
    format!("\n{}{}", look.prose(&head), sheet.render(look))
}

/// A value a character, between a lowest and a highest level.
fn year_line(values: &[f64], low: f64, high: f64) -> String {
    let top = (LEVELS.len() - 1) as f64;
    let level = |value: f64| {
        let share = if high > low {
            (value - low) / (high - low)
        } else {
            0.0
        };
        LEVELS
            .get((share * top).round() as usize)
            .copied()
            .unwrap_or(' ')
    };
    values.iter().map(|&value| level(value)).collect()
}
