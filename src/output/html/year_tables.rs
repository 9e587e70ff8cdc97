//! Where the heat comes from and goes.

use maud::Markup;

use super::strips::{StripRow, Strips};
use super::table::Grid;
use crate::calendar::MONTH_HEADS;
use crate::output::text::{fixed, percent};
use crate::output::view::ClimateView;

/// A strip for each path, with the table behind it.
pub(super) fn heat(view: &ClimateView) -> Markup {
    let mut heads = vec!["Path, kWh"];
    heads.extend(MONTH_HEADS);
    heads.push("Year");
    let mut grid = Grid::new(
        "Heat into the house by path and month, kWh; negative where it is lost",
        &heads,
    );
    let mut rows = Vec::new();
    for flow in &view.heat_flows {
        let year: f64 = flow.kwh.iter().sum();
        let mut cells = vec![flow.path.clone()];
        cells.extend(flow.kwh.iter().map(|kwh| fixed(*kwh, 0)));
        cells.push(fixed(year, 0));
        grid.row(cells);
        let words =
            |(kwh, month): (&f64, &&str)| format!("{}, {month}: {} kWh", flow.path, fixed(*kwh, 0));
        rows.push(StripRow {
            name: format!("{}, {} kWh in the year", flow.path, fixed(year, 0)),
            values: flow.kwh.to_vec(),
            limits: Vec::new(),
            words: flow.kwh.iter().zip(&MONTH_HEADS).map(words).collect(),
        });
    }
    let about = format!(
        "Heat into the house (up) and out of it (down), month by month, all on one scale. Unexplained: {} of the heat that passed through.",
        if view.balance_residual.abs() < 1e-5 {
            "less than 0.001 %".to_string()
        } else {
            percent(view.balance_residual.abs(), 3)
        }
    );
    Strips {
        id: "heat",
        title: "Where the heat comes from and goes",
        about,
        rows,
        stretches: MONTH_HEADS
            .iter()
            .zip(0..)
            .map(|(name, index)| (index, index + 1, *name))
            .collect(),
        bars: "bar-up",
        count: MONTH_HEADS.len(),
        table: grid.render(),
    }
    .render()
}
