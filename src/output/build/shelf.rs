//! Keys, crops and places, from the stages to the view.

use crate::crops::{Crop, Table};
use crate::file;
use crate::output::view::{
    CropFigureRow, CropRow, DesignRow, KeyView, Note, NoteKind, PlaceMonthRow, PlaceRow, PlaceView,
    ShelfView,
};
use crate::phrase::{Phrase, amount, phrase};
use crate::site::Normals;
use crate::study::{DesignFigure, DesignReason, DesignStudy, PlaceStudy};

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
            .map(|month| PlaceMonthRow {
                month: month as u32 + 1,
                temp_max_c: normals.temp_max_c[month],
                temp_min_c: normals.temp_min_c[month],
                temp_mean_c: means[month],
                temp_daily_sd_k: normals
                    .spread
                    .as_ref()
                    .map(|spread| spread.temp_daily_sd_k[month]),
                ghi_kwh_m2_day: normals.ghi_kwh_m2_day.map(|sun| sun[month]),
                relative_humidity_pct: normals
                    .relative_humidity_pct
                    .map(|humidity| humidity[month]),
                wind_m_s: normals.wind_m_s.map(|wind| wind[month]),
            })
            .collect(),
        towns: study
            .towns
            .iter()
            .map(|(km, town)| phrase![town.in_full(), ", ", amount(*km, "km", 0)])
            .collect(),
        notes: study
            .notes
            .iter()
            .map(|note| Note::new(NoteKind::Note, note))
            .collect(),
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
