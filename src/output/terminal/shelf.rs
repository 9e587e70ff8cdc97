//! Places on the shelf.

use std::collections::BTreeMap;

use super::draw::{LINES, pairs, screen};
use super::table::{self, Align};
use super::{Look, draw, notes};
use crate::crops::Crop;
use crate::output::build;
use crate::output::tables::DataTable;
use crate::output::text::{fixed, joined};
use crate::output::view::{
    CropRow, DesignRow, DictionaryRow, KeyView, PlaceRow, PlaceView, ShelfView,
};
use crate::phrase::{Phrase, amount, phrase};
use crate::study::EXPLAINED_FROM_K;

/// Places, with how cold and warm they get and where the figures come from.
pub fn places(view: &ShelfView<PlaceRow>, look: &Look) -> String {
    let table = DataTable::of("places", &view.rows)
        .titled("Places on the shelf")
        .show("place name latitude_deg elevation_m coldest_month_min_c warmest_month_max_c");
    let mut text = draw(&table, look);
    text.push_str(&look.prose(
        "Winter, summer: mean daily minimum and maximum of the coldest and the warmest month. Any other town between 65 S and 72 N, \
         or a latitude and longitude, does as well: its climate is estimated from stations around. `bedyear climates \"Bozeman, \
         Montana\"` or `--near \"46.6 N 112 W\"` shows it. The estimates rest on data of NASA, the USDA, NOAA, Copernicus (ERA5) and \
         GeoNames, changed as climates/LICENCES.md says.",
    ));
    text
}

/// One place: its months, where they come from, how far they may be off; all there is to know of that where it is asked for.
pub fn place(view: &PlaceView, all: bool, look: &Look) -> String {
    let months = DataTable::of("months", &view.months).show(
        "month temp_mean_c temp_max_c temp_min_c ghi_kwh_m2_day relative_humidity_pct \
                 wind_m_s",
    );
    let mut text = look.head(&format!(
        "{}: latitude {}, longitude {}, {}, clock UTC {:+}",
        view.place,
        fixed(view.latitude_deg, 2),
        fixed(view.longitude_deg, 2),
        look.units.said(view.elevation_m, "m", 0),
        view.utc_offset_h
    ));
    text.push_str(&draw(&months, look));
    if !all {
        let mut said = Phrase::from("Sun: of a day, on level ground.");
        if let Some((mean_k, coldest_k)) = view.mean_error_k.zip(view.coldest_hour_error_k) {
            said = said.then(phrase![
                " An estimate: a month's mean may be off by ",
                amount(mean_k, "K", 1),
                ", the coldest hours by ",
                amount(coldest_k, "K", 0),
                "."
            ]);
        }
        if let Some(town) = view.towns.first() {
            said = said.then(" Nearest town: ").then(town).then(".");
        }
        text.push_str(&look.prose(&look.units.say(&said)));
        text.push_str(&look.prose("More: --all says where the figures come from."));
        return text;
    }
    text.push_str(&look.prose(&format!(
        "Max and min are means of the daily ones, of hourly values; sun is a day's on level ground. Source: {}; {}.",
        view.source, view.years
    )));
    if !view.towns.is_empty() {
        let towns = joined(&view.towns, "; ", |town| look.units.say(town));
        text.push_str(&look.prose(&format!("Towns near: {towns}.")));
    }
    text.push_str(&notes(&view.notes, look));
    text
}

/// Weather years beside design temperatures, and why they differ where all is asked for.
pub fn design(view: &ShelfView<DesignRow>, all: bool, look: &Look) -> String {
    let table = DataTable::of("design", &view.rows)
        .titled("Cold of the weather years beside design temperatures")
        .show(
            "place stated_99_6_c hours_99_6_c years_99_6_c stated_yearly_min_c hours_min_c \
             years_yearly_min_c",
        );
    let mut text = draw(&table, look);
    for row in view.rows.iter().filter(|row| all && !row.why.is_empty()) {
        text.push_str(&look.prose(&format!("{}: {}.", row.place, look.units.say(&row.why))));
    }
    let legend = phrase![
        "99.6 %: air temperature exceeded in 99.6 % of all hours; coldest: mean of the yearly coldest hours. Header: as the \
         weather file states it, from the place's record; hours: of the one typical year that the months come from; years: \
         of the weather years. Differences over ",
        amount(EXPLAINED_FROM_K, "K", 0),
        if all {
            " are explained."
        } else {
            " are explained by --all."
        }
    ];
    text.push_str(&look.prose(&look.units.say(&legend)));
    text
}

/// Crops by family, by the names that other verbs take.
pub fn crops(rows: &[CropRow], look: &Look) -> String {
    let mut families: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for row in rows {
        families.entry(&row.family).or_default().push(&row.crop);
    }
    let families = families.into_iter();
    let families = families.map(|(family, crops)| (family.to_owned(), crops.join(", ")));
    format!(
        "{}{}{}",
        look.head("Crops on file, by family"),
        pairs(families, look),
        look.prose(
            "More: bedyear crops spinach for what one needs and bears, or bedyear crops --all."
        )
    )
}

/// What a crop needs and bears.
pub fn crop(crop: &Crop, look: &Look) -> String {
    let text = look.head(&format!(
        "{} ({}): {}; eaten as {}",
        crop.name, crop.latin, crop.rotation_group, crop.food
    ));
    let needs = build::crop_needs(crop).into_iter();
    let needs = needs.map(|(about, said)| (about.to_owned(), look.units.say(&said)));
    text + &pairs(needs, look)
}

/// The tables for machines, with the number of their columns.
pub fn data_tables(rows: &[DictionaryRow], look: &Look) -> String {
    let tables = rows.chunk_by(|a, b| a.table == b.table);
    let said = joined(tables, ", ", |columns| {
        format!("{} {}", columns[0].table, columns.len())
    });
    format!(
        "{}{}{}",
        look.head("Tables for machines, with the number of their columns"),
        look.prose(&format!("{said}.")),
        look.prose("More: bedyear columns plantings for what one holds, bedyear columns --all, or --format csv.")
    )
}

/// The columns of a table for machines, each with what it means.
pub fn columns(rows: &[DictionaryRow], look: &Look) -> String {
    let drawn = |rows: &[DictionaryRow]| {
        let rows = rows.iter();
        pairs(
            rows.map(|row| (row.column.clone(), row.meaning.clone())),
            look,
        )
    };
    screen(
        rows,
        |row| &row.column,
        drawn,
        "More: --all, with units.",
        look,
    )
}

/// The tables of the project file, each with what it is for.
pub fn key_tables(rows: &[KeyView], look: &Look) -> String {
    /// Tables that every project has, which stand first.
    const USUAL: [&str; 6] = ["site", "year", "building", "bed[]", "household", "money"];
    let mut tables: Vec<&KeyView> = rows.iter().filter(|row| !row.key.contains('.')).collect();
    tables.sort_by_key(|row| !USUAL.contains(&row.key.as_str()));
    let drawn = |tables: &[&KeyView]| {
        format!(
            "{}{}",
            look.head("The project file"),
            meanings(tables, look)
        )
    };
    let more = "More: bedyear schema building, or schema building.length, or schema --all.";
    screen(&tables, |row| &row.key, drawn, more, look)
}

fn meanings(rows: &[&KeyView], look: &Look) -> String {
    let rows = rows.iter();
    pairs(rows.map(|row| (row.key.clone(), row.meaning.clone())), look)
}

/// Keys with all that is to be said of each, or what each means where that takes more than a screen.
pub fn keys(rows: &[KeyView], all: bool, look: &Look) -> String {
    let text = in_full(rows, look);
    if all || text.lines().count() <= LINES {
        return text;
    }
    let rows: Vec<&KeyView> = rows.iter().collect();
    let more = "More: --all, or one key by its name.";
    screen(
        &rows,
        |row| &row.key,
        |rows| meanings(rows, look),
        more,
        look,
    )
}

/// Keys, each on a line of its own with what it means below.
fn in_full(rows: &[KeyView], look: &Look) -> String {
    let mut text = String::new();
    for row in rows {
        text.push_str(&look.head(&row.key));
        let unit = match row.unit.as_str() {
            "" => String::new(),
            unit => format!("; a bare number is in {unit}"),
        };
        let range = match row.range.as_str() {
            "" => String::new(),
            range => format!("; {range}"),
        };
        let lines = [
            ("", row.meaning.clone()),
            ("takes", format!("{}{unit}{range}", row.takes)),
            ("else", row.default.clone()),
        ];
        let lines = lines.into_iter().filter(|(_, said)| !said.is_empty());
        let lines = lines.map(|(about, said)| vec![" ".to_owned(), about.to_owned(), said]);
        text.push_str(&table::headless(
            &[Align::Key, Align::Key, Align::Left],
            lines,
            look,
        ));
    }
    text
}
