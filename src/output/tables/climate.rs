//! The year inside, as tables.

use super::DataTable;
use crate::output::view::{ClimateView, YearKind};
use crate::phrase::{amount, phrase};

/// Months, the spread over the weather years, coldest hours, the first year against later ones.
pub fn climate(view: &ClimateView) -> Vec<DataTable> {
    let kind = match view.year_kind {
        YearKind::Settled => "",
        YearKind::First => ": first year, on cold ground",
    };
    let months = || DataTable::of("climate_months", &view.months);
    let mut tables = vec![
        months()
            .titled(format!("The year inside, {}{kind}", view.place))
            .show(&[
                "month",
                "air_mean_c",
                "air_min_c",
                "air_max_c",
                "coldest_hour_c",
                "root_zone_mean_c",
                "root_zone_min_c",
                "store_mean_c",
                "light_mol_m2_day",
                "day_length_h",
                "heater_kwh",
                "fan_kwh",
            ])
            .noted("Night, day: means of the month; low: its coldest hour; light: mol/m2 a day."),
    ];
    if view.weather_years > 0 {
        let years = view.weather_years;
        tables.push(
            DataTable {
                name: "climate_spread",
                ..months()
            }
            .titled(format!(
                "Over {years} simulated years: the middle year (one year in ten lower - higher)"
            ))
            .show(&["month", "air_mean_c~", "air_min_c~", "root_zone_min_c~"]),
        );
        tables.push(
            DataTable {
                name: "light_spread",
                ..months()
            }
            .titled(format!("Light and heat over {years} simulated years"))
            .show(&[
                "month",
                "light_mol_m2_day~",
                "sunlit_in_band_h~",
                "heater_kwh~",
            ])
            .noted("Sunlit: hours with sun on the beds and mild air."),
        );
    }
    tables.push(
        DataTable::of("cold_hours", &view.cold_hours)
            .titled("Coldest hour of a year")
            .noted("Lower and upper end of its range: each is passed one time in ten; empty where there are too few years.")
            .grouped(),
    );
    tables.push(
        DataTable::of("first_year", &view.first_against_settled)
            .titled("First year on cold ground against later years"),
    );
    tables.push(
        DataTable {
            name: "climate_outside",
            ..months()
        }
        .titled("Damp, frost, heat, vents, and the air outside")
        .show(&[
            "month",
            "relative_humidity_pct",
            "damp_h",
            "below_0_c_h",
            "above_30_c_h",
            "vented_h",
            "carbon_dioxide_ppm",
            "carbon_share",
            "outside_mean_c",
            "outside_min_c",
        ])
        .noted(phrase![
            "Hours of a month: frost with air below ",
            amount(0.0, "°C", 0),
            ", hot above ",
            amount(30.0, "°C", 0),
            "."
        ]),
    );
    if let Some(room) = &view.room {
        tables.push(
            DataTable::of("room", &room.months)
                .titled(format!("The room beside: {}, {}", room.name, view.year_shown))
                .noted("To the house: heat through the walls between and with the air; negative from the house to the room."),
        );
    }
    tables
}
