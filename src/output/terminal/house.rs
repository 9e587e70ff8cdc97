//! The year inside, what would raise the coldest hour, and what a failure in the cold does.

use super::draw::{draw, lines};
use super::table::{Align, headless};
use super::{Look, notes, remarks, topics, warnings};
use crate::calendar::{HOURS_PER_DAY, MONTH_HEADS};
use crate::output::answer::{Line, coldest, heater_words};
use crate::output::tables;
use crate::output::text::{fixed, gathered, joined, listed, percent, short_date, spoken};
use crate::output::view::{
    ClimateDay, ClimateMonth, ClimateView, Note, NoteKind, OutageRow, OutageView, StoreRow,
    WhyView, YearKind,
};

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
    let ends = |values: &mut dyn Iterator<Item = f64>| {
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        })
    };
    let (low, high) = ends(&mut lines.iter().flat_map(|(_, line)| line.iter().copied()));
    let degrees = |celsius: f64| fixed(look.units.temperature(celsius), 0);
    let rows = lines.iter().map(|(name, line)| {
        let (from, to) = ends(&mut line.iter().copied());
        let range = match line.is_empty() {
            true => String::new(),
            false => format!("{}..{}", degrees(from), degrees(to)),
        };
        vec![(*name).to_owned(), year_line(line, low, high), range]
    });
    let aligns = [Align::Left, Align::Right, Align::Left];
    let drawn = headless(&aligns, rows, look);
    let unit = look.units.temperature_unit();
    let head = format!(
        "Week by week, January to December, in {unit}: {}",
        view.year_shown
    );
    format!("\n{}{drawn}", look.prose(&head))
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

/// The measures tried with what each is, and the store's fan beside what it saves.
pub fn why(view: &WhyView, look: &Look) -> String {
    let measures = tables::why(view).into_iter().next();
    let mut text = measures.map_or_else(String::new, |table| draw(&table, look));
    text.push('\n');
    text.push_str(&done(view, look));
    if let Some(store) = &view.store {
        text.push_str(&look.prose(&store_words(store, look)));
    }
    text
}

/// How the figures are meant.
pub fn why_notes(view: &WhyView, look: &Look) -> String {
    notes(&view.notes, look)
}

/// What each measure does.
fn done(view: &WhyView, look: &Look) -> String {
    let measures = view.measures.iter().filter(|row| !row.what.is_empty());
    let rows = measures.map(|row| vec![row.measure.clone(), look.units.say(&row.what)]);
    headless(&[Align::Left; 2], rows, look)
}

fn store_words(store: &StoreRow, look: &Look) -> String {
    let degrees = |celsius: f64| look.units.said(celsius, "°C", 1);
    format!(
        "The store: {} kWh put in, {} kWh drawn, fan {} kWh a year. Heater {} kWh with it, {} kWh without. Coldest \
         hour of the leaves, heater off: {} with it, {} without.\n",
        fixed(store.charged_kwh, 0),
        fixed(store.drawn_kwh, 0),
        fixed(store.fan_kwh, 0),
        fixed(store.heater_with_kwh, 0),
        fixed(store.heater_without_kwh, 0),
        degrees(store.coldest_leaf_with_c),
        degrees(store.coldest_leaf_without_c),
    )
}

/// Freezing point of water, °C: the limit that people ask for first.
const FREEZING_C: f64 = 0.0;

/// How long until leaves and roots freeze, which crops die first, and the cautions about heat in an emergency.
pub fn outage(view: &OutageView, look: &Look) -> String {
    let still = &view.stands_still;
    let what = match view.fails.as_str() {
        "heater" => "The heater fails".to_owned(),
        "fans" => "The fans fail".to_owned(),
        _ if still.is_empty() => {
            "The coldest spell, with neither heater nor fans to fail".to_owned()
        }
        _ if still == "heater" => "The power fails: the heater stands still".to_owned(),
        _ => format!("The power fails: {still} stand still"),
    };
    let mut text = look.head(&format!("{what}, {}", view.place));
    text.push_str(&look.prose(&when(view, look)));
    let mut buildings: Vec<&str> = view.rows.iter().map(|row| row.building.as_str()).collect();
    buildings.dedup();
    let house = buildings.first().copied().unwrap_or_default();
    let said: Vec<Line> = vec![
        Line::new("Freezing", vec![freezing(view, house)]),
        Line::new("Lost", vec![lost(view, house)]),
        Line::new(
            "Else",
            buildings
                .iter()
                .skip(1)
                .map(|other| format!("a house that {other}: {}", freezing(view, other)))
                .collect(),
        ),
    ];
    text.push_str(&lines(&said, look));
    // The one that can kill is said in full.
    let (cautions, others): (Vec<Note>, Vec<Note>) = view
        .notes
        .iter()
        .cloned()
        .partition(|note| note.kind == NoteKind::Caution);
    let (first, also) = cautions.split_at(cautions.len().min(1));
    text.push_str(&notes(first, look));
    if !also.is_empty() {
        let also = topics(also, look);
        text.push_str(&look.prose(&format!("CAUTION  also {also}: --list cautions")));
    }
    text.push_str(notes(&others, look).trim_start());
    text
}

/// Hours until it freezes at each place.
fn freezing(view: &OutageView, building: &str) -> String {
    let rows = view.rows.iter().filter(|row| row.building == building);
    let at_freezing = rows.filter(|row| row.crop.is_empty() && row.limit_c == FREEZING_C);
    let mut times = gathered(at_freezing.map(|row| {
        let place = match row.place.as_str() {
            "leaf" => "leaves",
            place => place,
        };
        (row.hours, format!("{place} {}", beds(&row.cover)))
    }));
    times.sort_by_key(|(hours, _)| hours.unwrap_or(u32::MAX));
    let said = joined(times, "; ", |(hours, places)| {
        format!("{} {}", listed(places), when_cold(hours, view.ahead_h))
    });
    format!("{said}.")
}

/// Where beds of a climate are.
fn beds(cover: &str) -> String {
    match cover {
        "bare" => "on bare beds".to_owned(),
        "edge" => "on bare beds at the edge".to_owned(),
        cover => format!("under the {cover}"),
    }
}

/// When a temperature is reached.
fn when_cold(hours: Option<u32>, ahead_h: u32) -> String {
    match hours {
        Some(0) => "at once".to_owned(),
        Some(hours) => format!("after {hours} h"),
        None => format!("not within {} days", ahead_h / HOURS_PER_DAY as u32),
    }
}

/// Crops that die in the coldest beds, the first to die first.
fn lost(view: &OutageView, building: &str) -> String {
    let leaves = || {
        let rows = view.rows.iter();
        rows.filter(|row| row.building == building && row.place == "leaf")
    };
    let coldest = leaves().min_by(|a, b| a.lowest_c.total_cmp(&b.lowest_c));
    let cover = coldest.map_or("", |row| row.cover.as_str());
    let mut rows: Vec<&OutageRow> = leaves()
        .filter(|row| row.cover == cover && !row.crop.is_empty() && row.hours.is_some())
        .collect();
    rows.sort_by_key(|row| row.hours);
    if rows.is_empty() {
        return "no crop in the beds dies of cold.".to_owned();
    }
    let said = joined(rows.chunk_by(|a, b| a.hours == b.hours), "; ", |same| {
        let names = listed(same.iter().map(|row| spoken(&row.crop_name)));
        format!("{names} {}", when_cold(same[0].hours, view.ahead_h))
    });
    format!("{}: {said}; the others live.", beds(cover))
}

fn when(view: &OutageView, look: &Look) -> String {
    let degrees = |celsius: f64| look.units.said(celsius, "°C", 1);
    let year = match view.weather_year {
        0 => "usual year".to_string(),
        year => format!("weather year {year}"),
    };
    format!(
        "From {} at {}:00, {year}: outside {} on average over three days, {} in the coldest hour. {}, the coldest leaves fall to {}.\n",
        short_date(view.date),
        view.clock_hour,
        degrees(view.spell_mean_c),
        degrees(view.coldest_outside_c),
        if view.stands_still.is_empty() {
            "In this house"
        } else {
            "With everything working"
        },
        degrees(view.lowest_leaf_working_c),
    )
}
