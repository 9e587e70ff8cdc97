//! Designs of a sweep.

use super::Figure;
use crate::output::row::row;

row! {
    /// One design of a sweep; the columns of what varies stand before these.
    pub struct DesignFigures {
        /// Why the design cannot be simulated; its figures are then empty.
        problem: Option<String>, "";
        /// Name of the place.
        place: Option<String>, "";
        /// Coldest hour of the air in the settled usual year; spread over the weather years.
        air_min_c: Option<Figure>, "°C";
        /// Mean air of the coldest month in the settled usual year.
        coldest_month_air_c: Option<f64>, "°C";
        /// Hours a year with air below 0 °C.
        hours_below_0_c: Option<f64>, "h";
        /// Hours a year with air above 30 °C.
        hours_above_30_c: Option<f64>, "h";
        /// Coldest hour of the root zone in the settled usual year.
        root_zone_min_c: Option<f64>, "°C";
        /// Light at the beds in the darkest month.
        darkest_month_mol_m2_day: Option<f64>, "mol/m2/day";
        /// Light at the beds, mean of the year.
        light_mol_m2_day: Option<f64>, "mol/m2/day";
        /// Heat from the heater in a year, with that of a room beside where it is bought for the house: mean of the weather years where they ran.
        heater_kwh: Option<f64>, "kWh";
        /// Electricity of the fans in a year: mean of the weather years where they ran.
        fan_kwh: Option<f64>, "kWh";
        /// Share of the heat flows that the balance of the year does not account for.
        balance_residual: Option<f64>, "";
        /// Years simulated for these figures, those of settling included.
        years_simulated: Option<u32>, "";
        /// Latitude of the place, north positive.
        latitude_deg: Option<f64>, "deg";
        /// Longitude of the place, east positive.
        longitude_deg: Option<f64>, "deg";
        /// Mean air outdoors of the coldest month of the usual year.
        outdoors_coldest_month_c: Option<f64>, "°C";
    }
}

row! {
    /// What the plan of a design gives in the middle weather year; the last columns of a sweep with plans.
    pub struct DesignPlan {
        /// Plantings.
        plantings: Option<u32>, "";
        /// Kinds of crop.
        kinds: Option<u32>, "";
        /// Picked.
        grown_kg: Option<f64>, "kg";
        /// Months in which something is eaten in place of buying.
        months_eaten: Option<u32>, "";
        /// What the food replaces.
        replaced: Option<f64>, "currency";
        /// What is eaten beyond that, at shop prices, in no sum with it.
        beyond: Option<f64>, "currency";
        /// What the food replaces less what it costs.
        net: Option<f64>, "currency";
        /// Whether `net` is at most that, since costs without a price are left out.
        net_at_most: Option<bool>, "";
    }
}
