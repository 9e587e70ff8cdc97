//! Keys, crops and places, from the stages to the view.

use crate::crops::{Crop, Table};
use crate::file;
use crate::output::view::{CropFigureRow, CropRow, KeyView, PlaceRow, ShelfView};
use crate::site::Normals;

/// Every key of the project file.
pub fn schema() -> ShelfView<KeyView> {
    let rows = file::schema()
        .into_iter()
        .map(|key| KeyView {
            key: key.path,
            takes: key.takes,
            unit: key.unit,
            default: key.default,
            range: key.range,
            meaning: key.meaning,
        })
        .collect();
    ShelfView { rows }
}

/// Every crop of a table.
pub fn crops(table: &Table) -> ShelfView<CropRow> {
    let rows = table
        .iter()
        .map(|crop| CropRow {
            crop: crop.id.clone(),
            name: crop.name.clone(),
            family: crop.family.clone(),
            food: crop.food.clone(),
            like: crop.like.clone(),
        })
        .collect();
    ShelfView { rows }
}

/// Every figure of a crop with its source.
pub fn crop(crop: &Crop) -> ShelfView<CropFigureRow> {
    let rows = crop
        .figures
        .iter()
        .map(|figure| CropFigureRow {
            figure: figure.key.clone(),
            value: figure.value.clone(),
            unit: figure.unit.to_owned(),
            source: figure.source.clone(),
        })
        .collect();
    ShelfView { rows }
}

/// Places with the names they go by.
pub fn places(shelf: &[(String, Normals)]) -> ShelfView<PlaceRow> {
    let rows = shelf
        .iter()
        .map(|(id, normals)| PlaceRow {
            place: id.clone(),
            name: normals.place.name.clone(),
            latitude_deg: normals.place.latitude_deg,
            longitude_deg: normals.place.longitude_deg,
            elevation_m: normals.place.elevation_m,
            coldest_month_min_c: normals.temp_min_c.iter().copied().fold(f64::NAN, f64::min),
            warmest_month_max_c: normals.temp_max_c.iter().copied().fold(f64::NAN, f64::max),
            source: normals.source.clone(),
        })
        .collect();
    ShelfView { rows }
}
