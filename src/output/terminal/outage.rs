//! Power, heater or fans fail in the cold.

use super::draw::lines;
use super::{Look, notes, topics};
use crate::calendar::HOURS_PER_DAY;
use crate::output::answer::Line;
use crate::output::text::{fixed, listed, short_date, spoken};
use crate::output::view::{Note, NoteKind, OutageRow, OutageView};

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
    let mut times: Vec<(Option<u32>, Vec<String>)> = Vec::new();
    for row in at_freezing {
        let beds = beds(&row.cover);
        let place = match row.place.as_str() {
            "leaf" => format!("leaves {beds}"),
            place => format!("{place} {beds}"),
        };
        match times.iter_mut().find(|(hours, _)| *hours == row.hours) {
            Some((_, places)) => places.push(place),
            None => times.push((row.hours, vec![place])),
        }
    }
    times.sort_by_key(|(hours, _)| hours.unwrap_or(u32::MAX));
    let said: Vec<String> = times
        .into_iter()
        .map(|(hours, places)| format!("{} {}", listed(&places), when_cold(hours, view.ahead_h)))
        .collect();
    format!("{}.", said.join("; "))
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
    let said: Vec<String> = rows
        .chunk_by(|a, b| a.hours == b.hours)
        .map(|same| {
            let names: Vec<String> = same.iter().map(|row| spoken(&row.crop_name)).collect();
            format!(
                "{} {}",
                listed(&names),
                when_cold(same[0].hours, view.ahead_h)
            )
        })
        .collect();
    if said.is_empty() {
        return "no crop in the beds dies of cold.".to_owned();
    }
    format!("{}: {}; the others live.", beds(cover), said.join("; "))
}

fn when(view: &OutageView, look: &Look) -> String {
    let degrees = |celsius: f64| {
        let unit = look.units.temperature_unit();
        format!("{} {unit}", fixed(look.units.temperature(celsius), 1))
    };
    let year = match view.weather_year {
        0 => "usual year".to_string(),
        year => format!("simulated year {year}"),
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
