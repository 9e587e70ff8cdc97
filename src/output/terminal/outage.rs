//! Power, heater or fans fail in the cold.

use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::output::text::fixed;
use crate::output::view::{OutageRow, OutageView};

/// Hours until each temperature is reached, with and without cover, and the cautions about heat in an emergency.
pub fn outage(view: &OutageView, look: &Look) -> String {
    let what = match view.fails.as_str() {
        "heater" => "The heater fails",
        "fans" => "The fans fail",
        _ => "The power fails: heater and fans stand still",
    };
    let mut text = look.head(&format!("{what}, {}", view.place));
    text.push_str(&look.prose(&when(view, look)));
    text.push('\n');
    let mut buildings: Vec<&str> = Vec::new();
    for row in &view.rows {
        if !buildings.contains(&row.building.as_str()) {
            buildings.push(&row.building);
        }
    }
    for building in buildings {
        text.push_str(&look.head(&format!(
            "Hours until it is as cold as this: house {building}"
        )));
        let rows: Vec<&OutageRow> = view
            .rows
            .iter()
            .filter(|row| row.building == building)
            .collect();
        text.push_str(&table(&rows, view, look));
        text.push('\n');
    }
    text.push_str(&look.prose(&format!(
        "0: as cold already. -: not within {} h. A crop's temperature is what kills it in its hardening of that day on a bare bed; under the cover plants may be hardened less.\n",
        view.ahead_h
    )));
    text.push_str(&notes(&view.notes, look));
    text
}

fn when(view: &OutageView, look: &Look) -> String {
    let degrees = |celsius: f64| {
        let unit = look.units.temperature_unit();
        format!("{} {unit}", fixed(look.units.temperature(celsius), 1))
    };
    let year = match view.weather_year {
        0 => "usual year".to_string(),
        year => format!("weather year {year}"),
    };
    format!(
        "On {} at {} h, {year}: outside {} in the mean of three days, {} in the coldest hour. With \
         everything working, bare leaves fall to {}.\n",
        crate::output::text::short_date(view.date),
        view.clock_hour,
        degrees(view.spell_mean_c),
        degrees(view.coldest_outside_c),
        degrees(view.lowest_leaf_working_c),
    )
}

/// One line for each limit, one column for each place and cover.
fn table(rows: &[&OutageRow], view: &OutageView, look: &Look) -> String {
    let mut places: Vec<(&str, &str)> = Vec::new();
    let mut crops: Vec<(&str, &str, f64)> = Vec::new();
    for row in rows {
        let place = (row.place.as_str(), row.cover.as_str());
        if !places.contains(&place) {
            places.push(place);
        }
        if places.first() == Some(&place) {
            crops.push((row.crop.as_str(), row.crop_name.as_str(), row.limit_c));
        }
    }
    let degrees = |celsius: f64| fixed(look.units.temperature(celsius), 1);
    let unit = look.units.temperature_unit();
    let mut sheet = Sheet::new(&[("Limit", Align::Left), (unit, Align::Right)]);
    for (place, cover) in &places {
        sheet.column(&format!("{place}\n{cover}"), Align::Right);
    }
    for (crop, name, limit_c) in crops {
        let found = |(place, cover): &(&str, &str)| {
            rows.iter().find(|row| {
                let same = row.crop == crop && (!crop.is_empty() || row.limit_c == limit_c);
                row.place == *place && row.cover == *cover && same
            })
        };
        let name = if crop.is_empty() { "temperature" } else { name };
        let mut cells = vec![name.to_string(), degrees(limit_c)];
        cells.extend(places.iter().map(|place| {
            match found(place) {
                Some(row) => row
                    .hours
                    .map_or_else(|| "-".to_string(), |hours| hours.to_string()),
                None => String::new(),
            }
        }));
        sheet.row(cells);
    }
    let mut cells = vec![format!("lowest in {} h", view.ahead_h), String::new()];
    cells.extend(places.iter().map(|(place, cover)| {
        let row = rows
            .iter()
            .find(|row| row.place == *place && row.cover == *cover);
        row.map_or_else(String::new, |row| {
            format!("{} {unit}", degrees(row.lowest_c))
        })
    }));
    sheet.row(cells);
    sheet.render(look)
}
