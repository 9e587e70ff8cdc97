//! What is on the shelf: keys of the project file, crops, places.

use serde::Serialize;

use super::Note;
use crate::crops::{Crop, FigureRow, Habit, Range, Table, Way};
use crate::file::{self, KeyRow};
use crate::output::row::{row, view};
use crate::phrase::{Phrase, amount, bare, phrase};
use crate::site::Normals;
use crate::study::{DesignFigure, DesignReason, DesignStudy, PlaceStudy};

row! {
    /// One key of the project file.
    pub struct KeyView of (key: KeyRow) {
        /// Path: tables joined by points, `[]` after a list of tables, `*` for a name of one's own.
        key: String, "" => key.path;
        /// What may stand there.
        takes: String, "" => key.takes;
        /// Unit of a bare number.
        unit: String, "" => key.unit;
        /// What is taken where the file is silent.
        default: String, "" => key.default;
        /// Least and greatest value.
        range: String, "" => key.range;
        /// What it means.
        meaning: String, "" => key.meaning;
    }
}

row! {
    /// One column of the tables for machines.
    pub struct DictionaryRow {
        /// Name of the table.
        table: String, "";
        /// Name of the column in CSV, JSON and Parquet.
        column: String, "";
        /// Unit of its figures.
        unit: String, "";
        /// What its cells hold.
        holds: String, "";
        /// What it means.
        meaning: String, "";
    }
}

row! {
    /// One crop.
    pub struct CropRow of (crop: &Crop) {
        /// Identifier, as in the crop files.
        crop: String, "" => crop.id.clone();
        /// Name for people.
        name: String, "" => crop.name.clone();
        /// Botanical family.
        family: String, "" => crop.family.clone();
        /// What it replaces on the table.
        food: String, "" => crop.food.clone();
        /// Crop it is a variety of.
        like: Option<String>, "" => crop.like.clone();
    }
}

row! {
    /// One figure of a crop.
    pub struct CropFigureRow of (figure: &FigureRow) {
        /// Section and key in the crop file.
        figure: String, "" => figure.key.clone();
        /// Its value.
        value: Phrase, "see unit" => value_of(figure);
        /// Its unit.
        unit: String, "" => figure.unit.to_owned();
        /// Where it comes from.
        source: String, "" => figure.source.clone();
    }
}

row! {
    /// One place.
    pub struct PlaceRow of (id: &str, normals: &Normals) {
        /// Identifier, as in the climate files.
        place: String, "" => id.to_owned();
        /// Name for people.
        name: String, "" => normals.place.name.clone();
        /// Latitude, north positive.
        latitude_deg: f64, "deg", "Lat" => normals.place.latitude_deg;
        /// Longitude, east positive.
        longitude_deg: f64, "deg" => normals.place.longitude_deg;
        /// Height above sea level.
        elevation_m: f64, "m", "Height" => normals.place.elevation_m;
        /// Mean daily minimum of the coldest month.
        coldest_month_min_c: f64, "°C", "Winter" => normals.temp_min_c.iter().copied().fold(f64::NAN, f64::min);
        /// Mean daily maximum of the warmest month.
        warmest_month_max_c: f64, "°C", "Summer" => normals.temp_max_c.iter().copied().fold(f64::NAN, f64::max);
        /// Where the figures come from.
        source: String, "" => normals.source.clone();
    }
}

row! {
    /// A place's cold in weather years beside its design temperatures.
    pub struct DesignRow of (study: &DesignStudy) {
        let (often, once) = (&study.hours_99_6, &study.yearly_min);
        let reasons = [reason("99.6 %", often), reason("coldest hour", once)].into_iter().flatten();
        /// Identifier of the place.
        place: String, "" => study.place.clone();
        /// Air temperature exceeded in 99.6 % of the hours, as the weather file's header states it.
        stated_99_6_c: Option<f64>, "°C", "99.6 %: header" => often.stated_c;
        /// The same of the hours that the months were computed from.
        hours_99_6_c: Option<f64>, "°C", "hours" => often.hours_c;
        /// The same of the weather years.
        years_99_6_c: f64, "°C", "years" => often.years_c;
        /// Mean of the yearly coldest hours, as the header states it.
        stated_yearly_min_c: Option<f64>, "°C", "Coldest: header" => once.stated_c;
        /// Coldest of the hours that the months were computed from.
        hours_min_c: Option<f64>, "°C", "hours" => once.hours_c;
        /// Mean of the yearly coldest hours of the weather years.
        years_yearly_min_c: f64, "°C", "years" => once.years_c;
        /// Why weather years and header differ by more than 3 K, where they do.
        why: Phrase, "" => Phrase::joined(&reasons.collect::<Vec<Phrase>>(), "; ");
    }
}

row! {
    /// One month of a place's climate.
    pub struct PlaceMonthRow of (normals: &Normals, temp_mean_c: f64, month: usize) {
        /// Month, 1 to 12.
        month: u32, "" => month as u32 + 1;
        /// Mean of the daily maxima, of hourly values.
        temp_max_c: f64, "°C", "max" => normals.temp_max_c[month];
        /// Mean of the daily minima, of hourly values.
        temp_min_c: f64, "°C", "min" => normals.temp_min_c[month];
        /// Mean of all hours.
        temp_mean_c: f64, "°C", "Mean" => temp_mean_c;
        /// Standard deviation of the days' means about the month's own mean.
        temp_daily_sd_k: Option<f64>, "K" => normals.spread.as_ref().map(|spread| spread.temp_daily_sd_k[month]);
        /// Sunlight on level ground a day.
        ghi_kwh_m2_day: Option<f64>, "kWh/m2/day", "Sun" => normals.ghi_kwh_m2_day.map(|sun| sun[month]);
        /// Mean relative humidity.
        relative_humidity_pct: Option<f64>, "%", "Humid" => normals.relative_humidity_pct.map(|humidity| humidity[month]);
        /// Mean wind at 10 m.
        wind_m_s: Option<f64>, "m/s", "Wind" => normals.wind_m_s.map(|wind| wind[month]);
    }
}

view! {
    /// A place's climate.
    pub struct PlaceView of place(study: &PlaceStudy) {
        let normals = &study.normals;
        let means = normals.monthly_mean_c();
        let basis = study.estimated.as_ref();
        /// Name, marked where the climate is estimated.
        place: String => normals.place.name.clone();
        /// Latitude, degrees, north positive.
        latitude_deg: f64 => normals.place.latitude_deg;
        /// Longitude, degrees, east positive.
        longitude_deg: f64 => normals.place.longitude_deg;
        /// Height above sea level, m.
        elevation_m: f64 => normals.place.elevation_m;
        /// Local winter time less UTC, h.
        utc_offset_h: f64 => normals.place.utc_offset_h;
        /// Where the figures come from.
        source: String => normals.source.clone();
        /// Years of record.
        years: String => normals.years.clone();
        /// Is the climate estimated?
        estimated: bool => basis.is_some();
        /// Distance of the nearest station of an estimate, km.
        nearest_station_km: Option<f64> => basis.map(|basis| basis.nearest_station_km);
        /// Expected error of a month's mean temperature of an estimate, K.
        mean_error_k: Option<f64> => basis.map(|basis| basis.mean_error_k);
        /// Expected error of a month's mean daily maximum or minimum of an estimate, K.
        extreme_error_k: Option<f64> => basis.map(|basis| basis.extreme_error_k);
        /// The coldest hours outdoors of an estimate may be so much colder or milder, K.
        coldest_hour_error_k: Option<f64> => basis.map(|basis| basis.coldest_hour_error_k);
        /// The months.
        months: Vec<PlaceMonthRow> => (0..12).map(|month| PlaceMonthRow::of(normals, means[month], month)).collect();
        /// Towns near, with region, country, people and distance.
        towns: Vec<Phrase> => study
            .towns
            .iter()
            .map(|(km, town)| phrase![town.in_full(), ", ", amount(*km, "km", 0)])
            .collect();
        /// What to know of the figures.
        notes: Vec<Note> => study.notes.iter().map(Note::plain).collect();
    }
}

/// The rows of a shelf as one JSON object.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct ShelfView<R> {
    /// The rows.
    pub rows: Vec<R>,
}

/// Every key of the project file.
pub fn schema() -> ShelfView<KeyView> {
    let rows = file::schema().into_iter().map(KeyView::of).collect();
    ShelfView { rows }
}

/// Every crop of a table.
pub fn crops(table: &Table) -> ShelfView<CropRow> {
    let rows = table.iter().map(CropRow::of).collect();
    ShelfView { rows }
}

/// The value of a figure, `15.6 to 18.3`, as amounts where it is in numbers.
fn value_of(figure: &FigureRow) -> Phrase {
    let number = |text: &str| {
        let decimals = text
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        Some(phrase![bare(text.parse().ok()?, figure.unit, decimals)])
    };
    let numbers: Option<Vec<Phrase>> = figure.value.split(" to ").map(number).collect();
    numbers.map_or_else(
        || figure.value.as_str().into(),
        |all| Phrase::joined(&all, " to "),
    )
}

/// Every figure of a crop with its source.
pub fn crop(crop: &Crop) -> ShelfView<CropFigureRow> {
    let rows = crop.figures.iter().map(CropFigureRow::of).collect();
    ShelfView { rows }
}

/// What a crop needs and bears, in a few lines; figures are those of the best conditions.
pub fn crop_needs(crop: &Crop) -> Vec<(&'static str, Phrase)> {
    let from_to = |range: Range, unit, decimals| match range.low == range.high {
        true => phrase![amount(range.low, unit, decimals)],
        false => phrase![
            bare(range.low, unit, decimals),
            " to ",
            amount(range.high, unit, decimals)
        ],
    };
    let of = |words: &'static str, value: f64, unit: &'static str| -> Phrase {
        phrase![words, amount(value, unit, 0)]
    };
    let joined = |parts: Vec<Option<Phrase>>| {
        let parts: Vec<Phrase> = parts.into_iter().flatten().collect();
        Phrase::joined(&parts, "; ")
    };
    let (timing, temperature, spacing) = (&crop.timing, &crop.temperature, &crop.spacing);
    let is = |way: Way| crop.ways.contains(&way);
    let tray_weeks = timing.tray_weeks.filter(|_| is(Way::Tray));
    let start = joined(vec![
        crop.planted_as.as_ref().map(Phrase::from),
        is(Way::Direct).then(|| "in the bed".into()),
        tray_weeks.map(|weeks| phrase!["in trays, set out after ", from_to(weeks, "weeks", 0)]),
        crop.emergence.as_ref().map(|_| {
            let (up, at) = (crop.best_emergence_days(), temperature.best_c.middle());
            of("up in ", up, "days").then(of(" at ", at, "°C"))
        }),
        crop.root_zone_min_c
            .map(|least| of("root zone from ", least, "°C").then(" on")),
    ]);
    let days = |from: &str, days: Option<Range>| {
        days.map(|days| phrase![from_to(days, "days", 0), format!(" from {from}")])
    };
    let ready = joined(vec![
        days("sowing", timing.days_from_sowing),
        days("setting out", timing.days_from_transplanting),
        (crop.habit != Habit::Single).then(|| {
            let weeks = from_to(timing.harvest_weeks, "weeks", 0);
            let again = match crop.habit {
                Habit::Cut => ", cut again and again",
                _ => "",
            };
            phrase!["picked for ", weeks, again]
        }),
    ]);
    let of_what = match crop.habit {
        Habit::Single => " in all",
        Habit::Cut => " at the first cut",
        Habit::Fruit => " in a week of picking",
    };
    let bears = joined(vec![
        Some(from_to(crop.yields.kg_m2, "kg/m2", 2).then(of_what)),
        (crop.yields.season_max_kg_m2 > 0.0).then(|| {
            phrase![
                "at most ",
                amount(crop.yields.season_max_kg_m2, "kg/m2", 1),
                " known"
            ]
        }),
    ]);
    let grows = joined(vec![
        Some(phrase!["best at ", from_to(temperature.best_c, "°C", 0)]),
        Some(
            of("not at ", temperature.base_c, "°C")
                .then(of(" and below, nor at ", temperature.ceiling_c, "°C"))
                .then(" and above"),
        ),
        temperature
            .month_max_c
            .map(|most| of("no good crop in months warmer than ", most, "°C")),
    ]);
    let cold = &crop.cold;
    let freezes = joined(vec![
        Some(of("loses half its leaf at ", cold.kill_c, "°C")),
        (cold.kill_unhardened_c != cold.kill_c)
            .then(|| of("unhardened at ", cold.kill_unhardened_c, "°C")),
        cold.damage_from_c
            .map(|from| of("what is eaten is hurt from ", from, "°C")),
        cold.chill_c.map(|below| of("chilled below ", below, "°C")),
    ]);
    let seeding = crop.bolting.as_ref().map(|bolting| bolting.day_length_h);
    let bulbing = crop.bulbing.as_ref().map(|bulbs| bulbs.day_length_h);
    let target = crop.light.target_mol_m2_day;
    let light = joined(vec![
        Some(of("growers aim at ", target, "mol/m2").then(" a day")),
        crop.light
            .warning_day_length_h
            .map(|hours| of("hardly grows in days under ", hours, "h")),
        seeding
            .filter(|hours| *hours > 0.0)
            .map(|hours| of("runs to seed sooner in days over ", hours, "h")),
        bulbing.map(|hours| of("bulbs form in days over ", hours, "h")),
    ]);
    let years = if crop.rotation_gap_years == 1.0 {
        "year"
    } else {
        "years"
    };
    let room = phrase![
        amount(100.0 * spacing.in_row_m, "cm", 0),
        " between plants, ",
        amount(100.0 * spacing.between_rows_m, "cm", 0),
        " between rows; ",
        amount(crop.rotation_gap_years, years, 0),
        " until its family returns to the same ground"
    ];
    let keeps = crop.storage.as_ref();
    let keeps =
        keeps.map(|kept| from_to(kept.days, "days", 0).then(of(" at ", kept.temperature_c, "°C")));
    let mut lines = vec![
        ("start", start),
        ("ready", ready),
        ("bears", bears),
        ("grows", grows),
        ("cold", freezes),
        ("light", light),
        ("room", room),
    ];
    lines.extend(keeps.map(|kept| ("keeps", kept)));
    lines.extend(
        crop.cautions
            .iter()
            .map(|caution| ("caution", caution.into())),
    );
    lines
}

/// Places with the names they go by.
pub fn places(shelf: &[(String, Normals)]) -> ShelfView<PlaceRow> {
    let rows = shelf
        .iter()
        .map(|(id, normals)| PlaceRow::of(id, normals))
        .collect();
    ShelfView { rows }
}

/// Weather years beside design temperatures.
pub fn design(places: &[DesignStudy]) -> ShelfView<DesignRow> {
    let rows = places.iter().map(DesignRow::of).collect();
    ShelfView { rows }
}

fn reason(what: &str, figure: &DesignFigure) -> Option<Phrase> {
    let side = |difference_k: f64| {
        let word = if difference_k > 0.0 {
            "milder"
        } else {
            "colder"
        };
        phrase![amount(difference_k.abs(), "K", 1), format!(" {word}")]
    };
    let said = phrase![format!("{what}: "), side(figure.difference_k()?)];
    Some(match figure.reason()? {
        DesignReason::Hours(k) => said.then(phrase![
            " than the header, because the hours that the months come from, picked as typical, are ",
            side(k),
            " than it"
        ]),
        DesignReason::Years(k) => said.then(phrase![
            " than the header; the hours are nearer to it, and the weather years ",
            side(k),
            " than they: days are drawn by each month's mean and spread, with no dew point, cloud or sea to end a night's fall"
        ]),
        DesignReason::Unknown => {
            said.then(" than the header; the hours behind the months are not known")
        }
    })
}
