//! What is on the shelf: keys of the project file, crops, places.

use serde::Serialize;

use super::Note;
use crate::crops::{Crop, FigureRow};
use crate::file::KeyRow;
use crate::output::row::row;
use crate::phrase::Phrase;
use crate::site::Normals;

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
        value: String, "" => figure.value.clone();
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
    pub struct DesignRow {
        /// Identifier of the place.
        place: String, "";
        /// Air temperature exceeded in 99.6 % of the hours, as the weather file's header states it.
        stated_99_6_c: Option<f64>, "°C", "99.6 %: header";
        /// The same of the hours that the months were computed from.
        hours_99_6_c: Option<f64>, "°C", "hours";
        /// The same of the weather years.
        years_99_6_c: f64, "°C", "years";
        /// Mean of the yearly coldest hours, as the header states it.
        stated_yearly_min_c: Option<f64>, "°C", "Coldest: header";
        /// Coldest of the hours that the months were computed from.
        hours_min_c: Option<f64>, "°C", "hours";
        /// Mean of the yearly coldest hours of the weather years.
        years_yearly_min_c: f64, "°C", "years";
        /// Why weather years and header differ by more than 3 K, where they do.
        why: Phrase, "";
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

/// A place's climate.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct PlaceView {
    /// Name, marked where the climate is estimated.
    pub place: String,
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive.
    pub longitude_deg: f64,
    /// Height above sea level, m.
    pub elevation_m: f64,
    /// Local winter time less UTC, h.
    pub utc_offset_h: f64,
    /// Where the figures come from.
    pub source: String,
    /// Years of record.
    pub years: String,
    /// Is the climate estimated?
    pub estimated: bool,
    /// Distance of the nearest station of an estimate, km.
    pub nearest_station_km: Option<f64>,
    /// Expected error of a month's mean temperature of an estimate, K.
    pub mean_error_k: Option<f64>,
    /// Expected error of a month's mean daily maximum or minimum of an estimate, K.
    pub extreme_error_k: Option<f64>,
    /// The coldest hours outdoors of an estimate may be so much colder or milder, K.
    pub coldest_hour_error_k: Option<f64>,
    /// The months.
    pub months: Vec<PlaceMonthRow>,
    /// Towns near, with region, country, people and distance.
    pub towns: Vec<Phrase>,
    /// What to know of the figures.
    pub notes: Vec<Note>,
}

/// The rows of a shelf as one JSON object.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct ShelfView<R> {
    /// The rows.
    pub rows: Vec<R>,
}
