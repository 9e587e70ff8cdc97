//! The first year on cold ground beside the settled one: cells that terminal and page share.

use super::text::{fixed, month_head};
use super::units::Units;
use super::view::FirstMonth;

/// A month's cells: its name, then first and settled of lowest air, mean root zone and heater.
pub fn first_year_cells(month: &FirstMonth, units: Units) -> Vec<String> {
    let degrees = |celsius: f64| fixed(units.temperature(celsius), 1);
    vec![
        month_head(month.month).to_string(),
        degrees(month.first_air_min_c),
        degrees(month.settled_air_min_c),
        degrees(month.first_root_zone_mean_c),
        degrees(month.settled_root_zone_mean_c),
        fixed(month.first_heater_kwh, 0),
        fixed(month.settled_heater_kwh, 0),
    ]
}
