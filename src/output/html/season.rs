//! Crops against months.

use maud::{Markup, html};

use super::table::Grid;
use crate::calendar::MONTH_HEADS;
use crate::output::season_words::{
    LEGEND, groups, letter, month_numbers, months_words, shortfall, stay,
};
use crate::output::text::{fixed, month_runs};
use crate::output::units::Units;
use crate::output::view::{DateRange, SeasonMonth, SeasonView, Spread};

/// The whole section.
pub(super) fn section(view: &SeasonView, units: Units) -> Markup {
    html! {
        (matrix(view, units))
        (reasons(view, units))
        (months_in(view, units))
    }
}

fn matrix(view: &SeasonView, units: Units) -> Markup {
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
                            @for month in &crop.months { (cell(month, units)) }
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

fn cell(month: &SeasonMonth, units: Units) -> Markup {
    let letter = letter(month);
    html! {
        td.state.(state_class(letter)) title=[month.cause.as_ref().map(|cause| units.say(cause))] { (letter) }
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
            let cause = first.and_then(|month| month.cause.as_ref());
            let remedy = first.and_then(|month| month.remedy.clone());
            grid.row(vec![
                crop.name.clone(),
                month_runs(&month_numbers(&group)),
                cause.map_or_else(String::new, |cause| units.say(cause)),
                shortfall(&group, units),
                remedy.unwrap_or_default(),
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
        "Months in, plants alive in the bed: median, with the range of eight years in ten, and from when to when in the middle year",
        &heads,
    );
    let cell = |spread: Option<Spread>, dates: Option<DateRange>| {
        format!("{} {}", months_words(spread), stay(dates))
            .trim()
            .to_owned()
    };
    for crop in view.crops.iter().filter(|crop| crop.months_in.is_some()) {
        let (roofs, stays) = (crop.months_in, crop.stay);
        grid.row(vec![
            crop.name.clone(),
            cell(roofs.as_is, stays.as_is),
            cell(roofs.heated, stays.heated),
            cell(roofs.tunnel, stays.tunnel),
            cell(roofs.outdoors, stays.outdoors),
        ]);
    }
    grid.scrolling()
}
