//! Keys, crops and places, from the stages to the view.

use crate::crops::{Crop, Table};
use crate::file;
use crate::output::view::{
    CropFigureRow, CropRow, DesignRow, KeyView, Note, PlaceMonthRow, PlaceRow, PlaceView, ShelfView,
};
use crate::phrase::{Phrase, amount, phrase};
use crate::site::Normals;
use crate::study::{DesignFigure, DesignReason, DesignStudy, PlaceStudy};

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

/// Every figure of a crop with its source.
pub fn crop(crop: &Crop) -> ShelfView<CropFigureRow> {
    let rows = crop.figures.iter().map(CropFigureRow::of).collect();
    ShelfView { rows }
}

/// Places with the names they go by.
pub fn places(shelf: &[(String, Normals)]) -> ShelfView<PlaceRow> {
    let rows = shelf
        .iter()
        .map(|(id, normals)| PlaceRow::of(id, normals))
        .collect();
    ShelfView { rows }
}

/// One place with its months.
pub fn place(study: &PlaceStudy) -> PlaceView {
    let normals = &study.normals;
    let means = normals.monthly_mean_c();
    let basis = study.estimated.as_ref();
    PlaceView {
        place: normals.place.name.clone(),
        latitude_deg: normals.place.latitude_deg,
        longitude_deg: normals.place.longitude_deg,
        elevation_m: normals.place.elevation_m,
        utc_offset_h: normals.place.utc_offset_h,
        source: normals.source.clone(),
        years: normals.years.clone(),
        estimated: basis.is_some(),
        nearest_station_km: basis.map(|basis| basis.nearest_station_km),
        mean_error_k: basis.map(|basis| basis.mean_error_k),
        extreme_error_k: basis.map(|basis| basis.extreme_error_k),
        coldest_hour_error_k: basis.map(|basis| basis.coldest_hour_error_k),
        months: (0..12)
            .map(|month| PlaceMonthRow::of(normals, means[month], month))
            .collect(),
        towns: study
            .towns
            .iter()
            .map(|(km, town)| phrase![town.in_full(), ", ", amount(*km, "km", 0)])
            .collect(),
        notes: study.notes.iter().map(Note::plain).collect(),
    }
}

/// Weather years beside design temperatures.
pub fn design(places: &[DesignStudy]) -> ShelfView<DesignRow> {
    let rows = places
        .iter()
        .map(|study| {
            let (often, once) = (&study.hours_99_6, &study.yearly_min);
            let whys = [("99.6 %", often), ("coldest hour", once)];
            let reasons = whys
                .into_iter()
                .filter_map(|(what, figure)| reason(what, figure));
            let why = reasons.fold(Phrase::default(), |said, reason| {
                let part = if said.is_empty() { "" } else { "; " };
                said.then(part).then(reason)
            });
            DesignRow {
                place: study.place.clone(),
                stated_99_6_c: often.stated_c,
                hours_99_6_c: often.hours_c,
                years_99_6_c: often.years_c,
                stated_yearly_min_c: once.stated_c,
                hours_min_c: once.hours_c,
                years_yearly_min_c: once.years_c,
                why,
            }
        })
        .collect();
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
