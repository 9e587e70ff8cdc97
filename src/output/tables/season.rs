//! Crops against months, as tables.

use super::DataTable;
use crate::calendar::MONTH_HEADS;
use crate::crops::COMES_THROUGH;
use crate::output::row::{Cell, Kind};
use crate::output::season_words::{
    LEGEND, groups, letter, month_numbers, other_roofs, stay, worst,
};
use crate::output::text::month_runs;
use crate::output::view::{DateRange, SeasonCrop, SeasonView};

/// Months that warm crops can stay planted, last sowings, letters, and the reason for each no.
pub fn season(view: &SeasonView) -> Vec<DataTable> {
    vec![
        months_in(view),
        stays(view),
        heats(view),
        latest(view),
        letters(view),
        reasons(view),
        DataTable::of("season", &view.rows()).by_name(),
    ]
}

/// How many months warm crops can stay planted under each roof.
fn months_in(view: &SeasonView) -> DataTable {
    DataTable::of("months_in", &view.months_in_rows())
        .titled("Months that warm crops can stay planted (survival, not ripening)")
        .show(&[
            "crop_name",
            "as_is_months",
            "heated_months",
            "tunnel_months",
            "outdoors_months",
        ])
        .noted(format!(
            "The middle year, and in brackets the shorter and the longer year in ten. {}",
            other_roofs(view)
        ))
}

/// From when to when, usual first and last day.
fn stays(view: &SeasonView) -> DataTable {
    let days = |dates: Option<DateRange>| Cell::Text(stay(dates));
    let columns = [
        ("crop_name", "Crop", Kind::Text),
        ("as_is", "This house", Kind::Text),
        ("heated", "Heated", Kind::Text),
        ("tunnel", "Plain tunnel", Kind::Text),
        ("outdoors", "Outdoors", Kind::Text),
    ];
    let row = |crop: &SeasonCrop| {
        let stay = crop.stay;
        let roofs = [stay.as_is, stay.heated, stay.tunnel, stay.outdoors];
        std::iter::once(Cell::Text(crop.name.clone()))
            .chain(roofs.map(days))
            .collect()
    };
    let warm = view.warm_crops();
    DataTable::plain("stays", &columns, warm.map(row).collect())
        .titled("From when to when warm crops can stay planted: usual first and last day")
        .noted(other_roofs(view))
}

/// What heating takes under each roof.
fn heats(view: &SeasonView) -> DataTable {
    DataTable::of("heats", &view.heats)
        .titled(format!("What heating takes, in {}", view.currency))
        .noted(format!(
            "{} Mean of the simulated years. Peak: what the heater has to give in the coldest hour; the heated house has one as large as \
             that takes. Cost: empty where no price is known. Not held: hours in which the heater cannot hold its set point.",
            other_roofs(view)
        ))
}

/// The last sowings of the winter crops.
fn latest(view: &SeasonView) -> DataTable {
    DataTable::of("latest", &view.latest)
        .titled("Last sowing that is big enough to hold through winter")
        .show(&[
            "crop_name",
            "beds",
            "way",
            "safe_in_9_of_10",
            "safe_in_5_of_10",
            "safe_in_1_of_10",
            "standing_kg_m2_p50",
            "survival",
            "in_all",
        ])
        .joined("beds")
        .noted(format!(
            "Sown by that day it is big enough in nine years of ten, in five, in one. In the bed: crop when the dark weeks \
             begin, median. {COMES_THROUGH}"
        ))
        .grouped()
}

/// Crops against months in letters.
fn letters(view: &SeasonView) -> DataTable {
    let mut columns = vec![("crop_name", "Crop", Kind::Text)];
    columns.extend(MONTH_HEADS.map(|month| (month, month, Kind::Text)));
    let row = |crop: &SeasonCrop| {
        let states = crop
            .months
            .iter()
            .map(|month| Cell::Text(letter(month.state, month.sow).to_owned()));
        std::iter::once(Cell::Text(crop.name.clone()))
            .chain(states)
            .collect()
    };
    let legend: Vec<String> = LEGEND
        .iter()
        .map(|(letter, meaning)| format!("{letter} {meaning}"))
        .collect();
    DataTable::plain("letters", &columns, view.crops.iter().map(row).collect())
        .titled(format!("Crops against months, {}", view.place))
        .noted(format!("{}.", legend.join("; ")))
}

/// For each crop, the months of a no with the same cause, and what turns them where that was tried.
fn reasons(view: &SeasonView) -> DataTable {
    let mut columns = vec![
        ("crop_name", "Crop", Kind::Text),
        ("months", "Months", Kind::Text),
        ("cause", "Cause, at its worst", Kind::Text),
    ];
    let months = || view.crops.iter().flat_map(|crop| &crop.months);
    let tried = months().any(|month| month.remedy.is_some());
    if tried {
        columns.push(("remedy", "What would turn it, each tried", Kind::Text));
    }
    let mut rows = Vec::new();
    for crop in &view.crops {
        for group in groups(crop) {
            let worst = worst(&group);
            let cause = worst
                .and_then(|month| month.cause.clone())
                .unwrap_or_default();
            let mut row = vec![
                Cell::Text(crop.name.clone()),
                Cell::Text(month_runs(&month_numbers(&group))),
                Cell::Said(cause),
            ];
            if tried {
                let remedy = worst.and_then(|month| month.remedy.clone());
                let remedy = remedy.map(|turned| match turned.is_empty() {
                    true => "nothing that was tried".into(),
                    false => turned,
                });
                row.push(Cell::Said(remedy.unwrap_or_default()));
            }
            rows.push(row);
        }
    }
    DataTable::plain("why", &columns, rows)
        .titled("Why not")
        .grouped()
}
