//! Buildings and variants side by side.

use serde::Serialize;

use super::{Note, Spread};
use crate::output::row::row;
use crate::study::CropStay;

row! {
    /// One building or variant.
    pub struct CompareRow {
        /// Name of the variant.
        variant: String, "";
        /// Coldest hour of the air, median over the weather years.
        coldest_air_c: f64, "°C", "Coldest air";
        /// Mean air temperature of the coldest month.
        coldest_month_air_c: f64, "°C";
        /// Coldest hour of the root zone, median over the weather years.
        coldest_root_zone_c: f64, "°C", "Coldest root zone";
        /// Photosynthetic light of the darkest month.
        darkest_month_mol_m2_day: f64, "mol/m2/day", "Darkest month";
        /// Heat delivered by the heater in the year, with that of a room beside where it is bought for the house.
        heater_kwh: f64, "kWh", "Heater";
        /// What the heater takes; empty without heat.
        fuel: String, "";
        /// Unit in which that is sold.
        fuel_unit: String, "", "Unit";
        /// Amount of it in the year, in its unit.
        fuel_amount: f64, "fuel_unit", "Amount";
        /// Electricity used by the fan in the year.
        fan_kwh: f64, "kWh", "Fan";
        /// Months of the usual year with an hour of air below 0 °C.
        months_with_frost: u32, "months", "Months with frost";
        /// What heat, fans and lamps cost in a year; empty where a price is not known.
        energy_cost: Option<f64>, "currency", "Energy cost";
        /// Harvest of the year; empty where no plan was made.
        grown_kg: Option<f64>, "kg", "Grown";
        /// Harvest from October to April; in the south from April to October.
        winter_grown_kg: Option<f64>, "kg", "in winter";
        /// Eaten in place of buying.
        eaten_kg: Option<f64>, "kg", "Replaces";
        /// Weeks with food from the beds.
        weeks_with_food: Option<u32>, "weeks";
        /// What the eaten food would have cost.
        value: Option<f64>, "currency";
        /// Running costs.
        cost: Option<f64>, "currency";
        /// Value less cost; at most that where something is left out.
        net: Option<f64>, "currency";
        /// What the cost leaves out for want of a price; empty where nothing is, or no plan was made.
        left_out: String, "";
        /// Years until the nets add up to the outlay; empty if they never do.
        payback_years: Option<f64>, "years", "Payback";
        /// The same with discounted nets.
        discounted_payback_years: Option<f64>, "years";
        /// Net present value over the life, the building's cost taken off; empty where that is not known.
        net_present_value: Option<f64>, "currency", "Present value";
    }
}

row! {
    /// How many months one warm crop can stay in, in one building or variant.
    pub struct CompareMonthsInRow of (variant: &str, stay: &CropStay) {
        /// Name of the variant.
        variant: String, "" => variant.to_owned();
        /// Identifier of the crop.
        crop: String, "" => stay.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "" => stay.name.clone();
        /// Months in, over the weather years; empty where it cannot be said.
        months_in: Option<Spread>, "months" => stay.found.as_ref().map(|found| found.stays);
    }
}

/// Buildings and variants side by side; the first is the one the others are held against.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct CompareView {
    /// Where the buildings stand.
    pub place: String,
    /// Currency of all values.
    pub currency: String,
    /// The variants.
    pub variants: Vec<CompareRow>,
    /// Months in of the warm crops, variant by variant.
    pub months_in: Vec<CompareMonthsInRow>,
    /// What else to know.
    pub notes: Vec<Note>,
}
