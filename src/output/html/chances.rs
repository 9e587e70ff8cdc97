//! The plan through the weather years: months, different foods, plantings most likely lost.

use maud::{Markup, html};

use super::table::Grid;
use crate::output::chances::{EATEN, NO_RISK, month_cells, risks, variety};
use crate::output::second_pass;
use crate::output::text::{clean, month_head};
use crate::output::units::Units;
use crate::output::view::PlanView;

/// The whole part; nothing where no weather years ran.
pub(super) fn section(view: &PlanView, units: Units) -> Markup {
    let risks = risks(view);
    html! {
        @if !view.months.is_empty() {
            h3 { "Lived through the weather years" }
            (months(view, units).scrolling())
            p { (EATEN) }
            p { (variety(view)) }
            h3 { "Plantings least likely to come through" }
            @if risks.is_empty() { p { (NO_RISK) } }
            @else { ul { @for risk in &risks { li { (risk) } } } }
        }
    }
}

/// What the plan's own leaves changed; nothing where there was no second pass.
pub(super) fn second_pass(view: &PlanView, units: Units) -> Markup {
    let Some(pass) = &view.second_pass else {
        return html! {};
    };
    let heads: Vec<&str> = std::iter::once("")
        .chain((1..=12).map(month_head))
        .collect();
    let mut grid = Grid::new(second_pass::CAPTION, &heads);
    for row in second_pass::rows(pass) {
        grid.row(row);
    }
    html! {
        h3 { "On the plan's own leaves" }
        (grid.scrolling())
        p { (second_pass::outcome(pass, &view.currency, units)) }
    }
}

fn months(view: &PlanView, units: Units) -> Grid {
    let (mass, money) = (units.mass_unit(), clean(&view.currency));
    let heads = [
        "Month".to_owned(),
        format!("Eaten {mass} 10 %"),
        "50 %".to_owned(),
        "90 %".to_owned(),
        format!("{money} 10 %"),
        "50 %".to_owned(),
        "90 %".to_owned(),
        "Foods a week".to_owned(),
        "Empty %".to_owned(),
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let caption = "Month by month: one year in ten is below 10 %, one above 90 %; empty: share of the years with a week without food";
    let mut grid = Grid::new(caption, &heads);
    for row in &view.months {
        grid.row(month_cells(row, units, false));
    }
    grid
}
