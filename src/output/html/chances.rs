//! The plan through the weather years: months, different foods, plantings most likely lost.

use maud::{Markup, html};

use super::table::Grid;
use crate::output::chances::{NO_RISK, risks, variety};
use crate::output::text::{clean, fixed};
use crate::output::units::Units;
use crate::output::view::PlanView;

/// The whole part; nothing where no weather years ran.
pub(super) fn section(view: &PlanView, units: Units) -> Markup {
    let risks = risks(view);
    html! {
        @if !view.months.is_empty() {
            h3 { "Lived through the weather years" }
            (months(view, units).scrolling())
            p { (variety(view)) }
            h3 { "Plantings most likely lost" }
            @if risks.is_empty() { p { (NO_RISK) } }
            @else { ul { @for risk in &risks { li { (risk) } } } }
        }
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
        let mut cells = vec![row.month.format("%Y-%m").to_string()];
        let eaten = [row.eaten.p10, row.eaten.p50, row.eaten.p90];
        cells.extend(eaten.map(|kg| fixed(units.mass(kg), 1)));
        cells.extend([row.worth.p10, row.worth.p50, row.worth.p90].map(|worth| fixed(worth, 0)));
        cells.push(fixed(row.foods_week, 1));
        cells.push(fixed(row.empty * 100.0, 0));
        grid.row(cells);
    }
    grid
}
