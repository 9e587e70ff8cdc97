//! Crops against months.

use maud::{Markup, html};

use super::table::Grid;
use crate::calendar::MONTH_HEADS;
use crate::output::season_words::{LEGEND, groups, letter, month_numbers, shortfall};
use crate::output::text::{fixed, month_runs};
use crate::output::units::Units;
use crate::output::view::{SeasonMonth, SeasonView, Spread};

/// The whole section.
pub(super) fn section(view: &SeasonView, units: Units) -> Markup {
    html! {
        (matrix(view))
        (reasons(view, units))
        (months_in(view, units))
    }
}

fn matrix(view: &SeasonView) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="Table: crops against months" {
            table.season {
                caption { span { "Crops against months in " (view.place) } }
                thead { tr {
                    th scope="col" { "Crop" }
                    @for head in MONTH_HEADS { th scope="col" { (head) } }
                } }
                tbody {
                    @for crop in &view.crops {
                        tr {
                            th scope="row" { (crop.name) }
                            @for month in &crop.months { (cell(month)) }
                        }
                    }
                }
            }
        }
        ul.legend {
            @for (letter, meaning) in LEGEND { li { span.state.(state_class(letter)) { (letter) } " " (meaning) } }
        }
    }
}

fn cell(month: &SeasonMonth) -> Markup {
    let letter = letter(month);
    html! {
        td.state.(state_class(letter)) title=[month.cause.as_deref()] { (letter) }
    }
}

/// Style class of a letter.
fn state_class(letter: &str) -> &'static str {
    match letter {
        "P" => "state-pick",
        "S" => "state-sow",
        "B" => "state-both",
        "=" => "state-stand",
        "g" => "state-grow",
        _ => "state-no",
    }
}

fn reasons(view: &SeasonView, units: Units) -> Markup {
    let heads = ["Crop", "Months", "Cause", "Short by", "What would turn it"];
    let mut grid = Grid::new("Why not, and what would turn it", &heads).words(&[1, 2, 4]);
    for crop in &view.crops {
        for group in groups(crop) {
            let first = group.first().map(|(_, month)| *month);
            let word = |of: fn(&SeasonMonth) -> &Option<String>| {
                first
                    .and_then(|month| of(month).clone())
                    .unwrap_or_default()
            };
            grid.row(vec![
                crop.name.clone(),
                month_runs(&month_numbers(&group)),
                word(|month| &month.cause),
                shortfall(&group, units),
                word(|month| &month.remedy),
            ]);
        }
    }
    grid.scrolling()
}

fn months_in(view: &SeasonView, units: Units) -> Markup {
    let heated = match view.heated_to_c {
        Some(celsius) => {
            format!(
                "heated to {} {}",
                fixed(units.temperature(celsius), 0),
                units.temperature_unit()
            )
        }
        None => "heated".to_string(),
    };
    let heads = [
        "Crop",
        "as it is",
        heated.as_str(),
        "plain tunnel",
        "outdoors",
    ];
    let mut grid = Grid::new(
        "Months in, plants alive in the bed: median, with the range of eight years in ten",
        &heads,
    );
    let words = |spread: Option<Spread>| match spread {
        Some(spread) => {
            format!(
                "{} ({} to {})",
                fixed(spread.p50, 1),
                fixed(spread.p10, 1),
                fixed(spread.p90, 1)
            )
        }
        None => String::new(),
    };
    for crop in view.crops.iter().filter(|crop| crop.months_in.is_some()) {
        let roofs = crop.months_in;
        grid.row(vec![
            crop.name.clone(),
            words(roofs.as_is),
            words(roofs.heated),
            words(roofs.tunnel),
            words(roofs.outdoors),
        ]);
    }
    grid.scrolling()
}
