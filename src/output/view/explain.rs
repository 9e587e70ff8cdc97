//! One sowing, month by month.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Note, Spread};
use crate::calendar::{DAYS_IN_MONTH, MONTH_START_DAY, date_of_day};
use crate::crops::MonthSums;
use crate::output::row::row;
use crate::phrase::Phrase;

/// First day of a month, counted from January of a year.
fn first_day(year: i32, month: usize) -> NaiveDate {
    let months = DAYS_IN_MONTH.len();
    date_of_day(
        year + (month / months) as i32,
        MONTH_START_DAY[month % months],
    )
}

row! {
    /// One month of a planting, in the year followed; sums run over the days on which it grows.
    pub struct ExplainMonth of (year: i32, sums: &MonthSums) {
        /// First day of the month.
        month: NaiveDate, "" => first_day(year, sums.month);
        /// Days of the planting in this month.
        days: u32, "d", "Days" => sums.days as u32;
        /// Mean air temperature.
        air_c: f64, "°C", "Air" => sums.air_c;
        /// Mean temperature of the root zone, 0.1 m deep.
        root_zone_c: f64, "°C", "Root" => sums.root_zone_c;
        /// Mean day length.
        day_length_h: f64, "h", "Day" => sums.day_length_h;
        /// Mean daily photosynthetic light.
        light_mol_m2_day: f64, "mol/m2/day", "Light" => sums.light_mol_m2_day;
        /// What leaves gain in this air's carbon dioxide against outdoor air.
        carbon_share: f64, "share", "CO2" => sums.carbon_share;
        /// Progress to emergence made in this month; 1 is up.
        emergence: f64, "share", "Up" => sums.emergence;
        /// Warmth that ages the crop.
        warmth_k_d: f64, "K d", "Warmth" => sums.warmth_k_d;
        /// What a stand that covers the ground gains on a mean day against a day at best temperature in full light, 0 to 1.
        pace: f64, "share", "Growth" => sums.pace;
        /// Share of the light that leaves catch at the month's end, 0 to 1.
        ground_cover: f64, "share", "Cover" => sums.ground_cover;
        /// Leaf area at the month's end, m2 per m2 of bed.
        leaf_area_m2_m2: f64, "m2/m2", "Leaf area" => sums.leaf_m2_m2;
        /// Living dry mass at the month's end.
        dry_g_m2: f64, "g/m2", "Dry" => sums.dry_g_m2;
        /// Coldest hour of the leaves.
        leaf_min_c: f64, "°C", "Coldest" => sums.leaf_min_c;
        /// Smallest distance of the three coldest hours from the cold that kills half of the leaf.
        cold_margin_k: f64, "K", "To spare" => sums.cold_margin_k;
        /// Mean degree of hardening, 0 to 1.
        hardening: f64, "share", "Harden" => sums.hardening;
        /// Chilling of a crop of warm origin.
        chill_kh: f64, "K h", "Chill" => sums.chill_kh;
        /// Mean share of flowers that set fruit, 0 to 1.
        set: f64, "share", "Set" => sums.set;
        /// Picked.
        picked_kg_m2: f64, "kg/m2", "Picked" => sums.kg_m2;
    }
}

row! {
    /// Something that happens to a planting.
    pub struct ExplainEvent {
        /// Day.
        date: NaiveDate, "";
        /// What happens.
        event: Phrase, "";
        /// Why, with what was met and needed; empty where the event says it all.
        cause: Phrase, "";
    }
}

/// One sowing followed through a year.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct ExplainView {
    /// Where the building stands.
    pub place: String,
    /// Identifier of the crop.
    pub crop: String,
    /// Name of the crop for people.
    pub name: String,
    /// Bed.
    pub bed: String,
    /// Climate of the bed: `bare` or `row cover`.
    pub bed_climate: String,
    /// `direct` or `tray`.
    pub way: String,
    /// Day of sowing.
    pub sow: NaiveDate,
    /// Growth class.
    pub class: String,
    /// Growth of young leaf area at best temperature, 1/day.
    pub leaf_rate_per_day: f64,
    /// Where that comes from.
    pub leaf_rate_from: String,
    /// Fresh mass of a first picking, kg/m2.
    pub ready_kg_m2: f64,
    /// Picked in the year followed, kg/m2.
    pub picked_kg_m2: f64,
    /// The year followed, by name.
    pub followed: String,
    /// Share of the weather years in which it comes through.
    pub survival: f64,
    /// What most often cut it short; empty where nothing did.
    pub commonest_cause: String,
    /// Weather years in which that did.
    pub commonest_cause_years: u32,
    /// Weather years tried.
    pub weather_years: u32,
    /// Weather years in which something is picked.
    pub bearing_years: u32,
    /// Picked over the weather years, kg/m2.
    pub picked_kg_m2_weather_years: Option<Spread>,
    /// Months from sowing to clearing.
    pub months: Vec<ExplainMonth>,
    /// What happens when, in order.
    pub events: Vec<ExplainEvent>,
    /// The events without the cuts that follow the first, for people.
    #[serde(skip)]
    pub turning_points: Vec<ExplainEvent>,
    /// Days of picking, for people.
    #[serde(skip)]
    pub pickings: Vec<NaiveDate>,
    /// What to watch.
    pub notes: Vec<Note>,
}
