//! Crops against months.

use maud::{Markup, html};

use super::table::draw;
use crate::calendar::MONTH_HEADS;
use crate::output::season_words::{LEGEND, letter};
use crate::output::tables;
use crate::output::units::Units;
use crate::output::view::{SeasonMonth, SeasonView};

/// The whole section.
pub fn section(view: &SeasonView, units: Units) -> Markup {
    html! {
        (matrix(view, units))
        @for table in tables::season(view).iter().filter(|table| table.name != "letters" && !table.by_name) {
            (draw(table, units))
        }
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
    let letter = letter(month.state, month.sow);
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
