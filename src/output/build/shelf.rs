//! Keys, crops and places, from the stages to the view.

use crate::crops::{Crop, Habit, Range, Table, Way, YieldBasis};
use crate::file;
use crate::output::view::{
    CropFigureRow, CropRow, DesignRow, KeyView, Note, PlaceMonthRow, PlaceRow, PlaceView, ShelfView,
};
use crate::phrase::{Phrase, amount, bare, phrase};
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
    let joined = |parts: Vec<Option<Phrase>>| {
        let parts: Vec<Phrase> = parts.into_iter().flatten().collect();
        Phrase::joined(&parts, "; ")
    };
    let (timing, temperature, spacing) = (&crop.timing, &crop.temperature, &crop.spacing);
    let is_tray = crop.ways.contains(&Way::Tray);
    let start = joined(vec![
        crop.planted_as.as_ref().map(Phrase::from),
        crop.ways
            .contains(&Way::Direct)
            .then(|| "in the bed".into()),
        timing
            .tray_weeks
            .filter(|_| is_tray)
            .map(|weeks| phrase!["in trays, set out after ", from_to(weeks, "weeks", 0)]),
        crop.emergence.as_ref().map(|_| {
            let (up, at) = (crop.best_emergence_days(), temperature.best_c.middle());
            phrase!["up in ", amount(up, "days", 0), " at ", amount(at, "°C", 0)]
        }),
        crop.root_zone_min_c
            .map(|least| phrase!["root zone from ", amount(least, "°C", 0), " on"]),
    ]);
    let days = |from: &str, days: Option<Range>| {
        days.map(|days| phrase![from_to(days, "days", 0), format!(" from {from}")])
    };
    let ready = joined(vec![
        days("sowing", timing.days_from_sowing),
        days("setting out", timing.days_from_transplanting),
        (crop.habit != Habit::Single).then(|| {
            let weeks = from_to(timing.harvest_weeks, "weeks", 0);
            let again = if crop.habit == Habit::Cut {
                ", cut again and again"
            } else {
                ""
            };
            phrase!["picked for ", weeks, again]
        }),
    ]);
    let of_what = match crop.yields.basis {
        YieldBasis::WholeCrop => " in all",
        YieldBasis::OneCut => " at the first cut",
        YieldBasis::OneWeek => " in a week of picking",
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
        Some(phrase![
            "not at ",
            amount(temperature.base_c, "°C", 0),
            " and below, nor at ",
            amount(temperature.ceiling_c, "°C", 0),
            " and above"
        ]),
        temperature
            .month_max_c
            .map(|most| phrase!["no good crop in months warmer than ", amount(most, "°C", 0)]),
    ]);
    let cold = &crop.cold;
    let freezes = joined(vec![
        Some(phrase![
            "loses half its leaf at ",
            amount(cold.kill_c, "°C", 0)
        ]),
        (cold.kill_unhardened_c != cold.kill_c)
            .then(|| phrase!["unhardened at ", amount(cold.kill_unhardened_c, "°C", 0)]),
        cold.damage_from_c
            .map(|from| phrase!["what is eaten is hurt from ", amount(from, "°C", 0)]),
        cold.chill_c
            .map(|below| phrase!["chilled below ", amount(below, "°C", 0)]),
    ]);
    let light = joined(vec![
        Some(phrase![
            "growers aim at ",
            amount(crop.light.target_mol_m2_day, "mol/m2", 0),
            " a day"
        ]),
        crop.light
            .warning_day_length_h
            .map(|hours| phrase!["hardly grows in days under ", amount(hours, "h", 0)]),
        crop.bolting
            .as_ref()
            .filter(|bolting| bolting.day_length_h > 0.0)
            .map(|bolting| {
                phrase![
                    "runs to seed sooner in days over ",
                    amount(bolting.day_length_h, "h", 0)
                ]
            }),
        crop.bulbing.as_ref().map(|bulbs| {
            phrase![
                "bulbs form in days over ",
                amount(bulbs.day_length_h, "h", 0)
            ]
        }),
    ]);
    let room = phrase![
        amount(100.0 * spacing.in_row_m, "cm", 0),
        " between plants, ",
        amount(100.0 * spacing.between_rows_m, "cm", 0),
        " between rows; ",
        amount(crop.rotation_gap_years, "years", 0),
        " until its family returns to the same ground"
    ];
    let keeps = crop.storage.as_ref().map(|kept| {
        phrase![
            from_to(kept.days, "days", 0),
            " at ",
            amount(kept.temperature_c, "°C", 0)
        ]
    });
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
