//! What is on the shelf: keys of the project file, crops, places.

use serde::Serialize;

use crate::output::row::row;
use crate::phrase::Phrase;

row! {
    /// One key of the project file.
    pub struct KeyView {
        /// Path: tables joined by points, `[]` after a list of tables, `*` for a name of one's own.
        key: String, "";
        /// What may stand there.
        takes: String, "";
        /// Unit of a bare number.
        unit: String, "";
        /// What is taken where the file is silent.
        default: String, "";
        /// Least and greatest value.
        range: String, "";
        /// What it means.
        meaning: String, "";
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
    pub struct CropRow {
        /// Identifier, as in the crop files.
        crop: String, "";
        /// Name for people.
        name: String, "";
        /// Botanical family.
        family: String, "";
        /// What it replaces on the table.
        food: String, "";
        /// Crop it is a variety of.
        like: Option<String>, "";
    }
}

row! {
    /// One figure of a crop.
    pub struct CropFigureRow {
        /// Section and key in the crop file.
        figure: String, "";
        /// Its value.
        value: String, "";
        /// Its unit.
        unit: String, "";
        /// Where it comes from.
        source: String, "";
    }
}

row! {
    /// One place.
    pub struct PlaceRow {
        /// Identifier, as in the climate files.
        place: String, "";
        /// Name for people.
        name: String, "";
        /// Latitude, north positive.
        latitude_deg: f64, "deg";
        /// Longitude, east positive.
        longitude_deg: f64, "deg";
        /// Height above sea level.
        elevation_m: f64, "m";
        /// Mean daily minimum of the coldest month.
        coldest_month_min_c: f64, "°C";
        /// Mean daily maximum of the warmest month.
        warmest_month_max_c: f64, "°C";
        /// Where the figures come from.
        source: String, "";
    }
}

row! {
    /// A place's cold in weather years beside its design temperatures.
    pub struct DesignRow {
        /// Identifier of the place.
        place: String, "";
        /// Air temperature exceeded in 99.6 % of the hours, as the weather file's header states it.
        stated_99_6_c: Option<f64>, "°C";
        /// The same of the hours that the months were computed from.
        hours_99_6_c: Option<f64>, "°C";
        /// The same of the weather years.
        years_99_6_c: f64, "°C";
        /// Mean of the yearly coldest hours, as the header states it.
        stated_yearly_min_c: Option<f64>, "°C";
        /// Coldest of the hours that the months were computed from.
        hours_min_c: Option<f64>, "°C";
        /// Mean of the yearly coldest hours of the weather years.
        years_yearly_min_c: f64, "°C";
        /// Why weather years and header differ by more than 3 K, where they do.
        why: Phrase, "";
    }
}

/// The rows of a shelf as one JSON object.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShelfView<R> {
    /// The rows.
    pub rows: Vec<R>,
}
