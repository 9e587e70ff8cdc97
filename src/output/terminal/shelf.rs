//! Places on the shelf.

use std::collections::BTreeMap;

use super::draw::{LINES, screen};
use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::crops::Crop;
use crate::output::build;
use crate::output::text::fixed;
use crate::output::text::month_head;
use crate::output::view::{
    CropRow, DesignRow, DictionaryRow, KeyView, PlaceRow, PlaceView, ShelfView,
};
use crate::phrase::{Phrase, amount, phrase};
use crate::study::EXPLAINED_FROM_K;

/// Places, with how cold and warm they get and where the figures come from.
pub fn places(view: &ShelfView<PlaceRow>, look: &Look) -> String {
    let degree = look.units.temperature_unit();
    let (_, height) = look.units.convert(0.0, "m");
    let winter = format!("Winter {degree}");
    let summer = format!("Summer {degree}");
    let mut sheet = Sheet::new(&[
        ("Place", Align::Left),
        ("Name", Align::Left),
        ("Lat", Align::Right),
        (height, Align::Right),
    ]);
    sheet.column(&winter, Align::Right);
    sheet.column(&summer, Align::Right);
    for row in &view.rows {
        sheet.row(vec![
            row.place.clone(),
            row.name.clone(),
            fixed(row.latitude_deg, 1),
            fixed(look.units.convert(row.elevation_m, "m").0, 0),
            fixed(look.units.temperature(row.coldest_month_min_c), 1),
            fixed(look.units.temperature(row.warmest_month_max_c), 1),
        ]);
    }
    let mut text = look.head("Places on the shelf");
    text.push_str(&sheet.render(look));
    text.push_str(&look.prose(&format!(
        "Lat: latitude, degrees, north positive; {height}: height above the sea. Winter: mean daily minimum of the coldest month; summer: mean daily maximum of the warmest. Sources: --format csv.\n\
         Any other town between 65 S and 72 N, or a latitude and longitude, does as well: its climate is estimated from stations \
         around. `bedyear climates \"Bozeman, Montana\"` or `bedyear climates --near \"46.6 N 112 W\"` shows it with the error to \
         expect. The estimates rest on data of NASA, the USDA, NOAA, Copernicus (ERA5) and GeoNames, changed as \
         climates/LICENCES.md says.",
    )));
    text
}

/// One place: its months, where they come from, how far they may be off; all there is to know of that where it is asked for.
pub fn place(view: &PlaceView, all: bool, look: &Look) -> String {
    let degree = look.units.temperature_unit();
    let (_, speed) = look.units.convert(0.0, "m/s");
    let mut sheet = Sheet::new(&[("", Align::Key)]);
    let heads = [
        format!("Mean\n{degree}"),
        "\nmax".to_owned(),
        "\nmin".to_owned(),
        "Sun\nkWh/m2".to_owned(),
        "Humid\n%".to_owned(),
        format!("Wind\n{speed}"),
    ];
    for head in &heads {
        sheet.column(head, Align::Right);
    }
    let shown = |celsius: f64| fixed(look.units.temperature(celsius), 1);
    let or_dash = |value: Option<f64>, decimals: usize| {
        value.map_or_else(|| "-".to_owned(), |value| fixed(value, decimals))
    };
    for month in &view.months {
        let wind = month.wind_m_s.map(|wind| look.units.convert(wind, "m/s").0);
        sheet.row(vec![
            month_head(month.month).to_owned(),
            shown(month.temp_mean_c),
            shown(month.temp_max_c),
            shown(month.temp_min_c),
            or_dash(month.ghi_kwh_m2_day, 2),
            or_dash(month.relative_humidity_pct, 0),
            or_dash(wind, 1),
        ]);
    }
    let (height, unit) = look.units.convert(view.elevation_m, "m");
    let mut text = look.head(&format!(
        "{}: latitude {}, longitude {}, {} {unit}, clock UTC {:+}",
        view.place,
        fixed(view.latitude_deg, 2),
        fixed(view.longitude_deg, 2),
        fixed(height, 0),
        view.utc_offset_h
    ));
    text.push_str(&sheet.render(look));
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
        let towns: Vec<String> = view.towns.iter().map(|town| look.units.say(town)).collect();
        text.push_str(&look.prose(&format!("Towns near: {}.", towns.join("; "))));
    }
    text.push_str(&notes(&view.notes, look));
    text
}

/// Weather years beside design temperatures, and why they differ where all is asked for.
pub fn design(view: &ShelfView<DesignRow>, all: bool, look: &Look) -> String {
    let degree = look.units.temperature_unit();
    let mut sheet = Sheet::new(&[
        ("Place", Align::Left),
        ("99.6 %: header", Align::Right),
        ("hours", Align::Right),
        ("years", Align::Right),
        ("Coldest: header", Align::Right),
        ("hours", Align::Right),
        ("years", Align::Right),
    ]);
    let shown = |temp_c: f64| fixed(look.units.temperature(temp_c), 1);
    let or_dash = |temp_c: Option<f64>| temp_c.map_or_else(|| "-".to_owned(), shown);
    for row in &view.rows {
        sheet.row(vec![
            row.place.clone(),
            or_dash(row.stated_99_6_c),
            or_dash(row.hours_99_6_c),
            shown(row.years_99_6_c),
            or_dash(row.stated_yearly_min_c),
            or_dash(row.hours_min_c),
            shown(row.years_yearly_min_c),
        ]);
    }
    let mut text = look.head(&format!(
        "Cold of the simulated years beside design temperatures, {degree}"
    ));
    text.push_str(&sheet.render(look));
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
    let mut sheet = Sheet::new(&[("", Align::Key), ("", Align::Left)]);
    for (family, crops) in families {
        sheet.row(vec![family.to_owned(), crops.join(", ")]);
    }
    format!(
        "{}{}{}",
        look.head("Crops on file, by family"),
        sheet.render(look),
        look.prose(
            "More: bedyear crops spinach for what one needs and bears, or bedyear crops --all."
        )
    )
}

/// What a crop needs and bears.
pub fn crop(crop: &Crop, look: &Look) -> String {
    let mut text = look.head(&format!(
        "{} ({}): {}; eaten as {}",
        crop.name, crop.latin, crop.rotation_group, crop.food
    ));
    let mut sheet = Sheet::new(&[("", Align::Key), ("", Align::Left)]);
    for (about, said) in build::crop_needs(crop) {
        sheet.row(vec![about.to_owned(), look.units.say(&said)]);
    }
    text.push_str(&sheet.render(look));
    text
}

/// The tables for machines, with the number of their columns.
pub fn data_tables(rows: &[DictionaryRow], look: &Look) -> String {
    let mut tables: Vec<(&str, usize)> = Vec::new();
    for row in rows {
        match tables.last_mut() {
            Some((name, columns)) if *name == row.table => *columns += 1,
            _ => tables.push((&row.table, 1)),
        }
    }
    let said: Vec<String> = tables
        .iter()
        .map(|(name, columns)| format!("{name} {columns}"))
        .collect();
    format!(
        "{}{}{}",
        look.head("Tables for machines, with the number of their columns"),
        look.prose(&format!("{}.", said.join(", "))),
        look.prose("More: bedyear columns plantings for what one holds, bedyear columns --all, or --format csv.")
    )
}

/// The columns of a table for machines, each with what it means.
pub fn columns(rows: &[DictionaryRow], look: &Look) -> String {
    let drawn = |rows: &[DictionaryRow]| {
        let mut sheet = Sheet::new(&[("", Align::Key), ("", Align::Left)]);
        for row in rows {
            sheet.row(vec![row.column.clone(), row.meaning.clone()]);
        }
        sheet.render(look)
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
    let mut sheet = Sheet::new(&[("", Align::Key), ("", Align::Left)]);
    for row in rows {
        sheet.row(vec![row.key.clone(), row.meaning.clone()]);
    }
    sheet.render(look)
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
        let mut sheet = Sheet::new(&[("", Align::Key), ("", Align::Key), ("", Align::Left)]);
        for (about, said) in lines.into_iter().filter(|(_, said)| !said.is_empty()) {
            sheet.row(vec![" ".to_owned(), about.to_owned(), said]);
        }
        text.push_str(&sheet.render(look));
    }
    text
}
