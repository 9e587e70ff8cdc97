//! The year inside.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Figure, Note, Spread};
use crate::output::row::row;

/// Which year of the ground is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum YearKind {
    /// The ground has found its balance; every year repeats the last.
    Settled,
    /// The first year after building, on undisturbed ground.
    First,
}

row! {
    /// One month inside.
    pub struct ClimateMonth {
        /// Month, 1 to 12.
        month: u32, "";
        /// Mean of the air temperature.
        air_mean_c: Figure, "°C";
        /// Mean of the daily lowest air temperatures.
        air_min_c: Figure, "°C", "Air night";
        /// Mean of the daily highest air temperatures.
        air_max_c: Figure, "°C", "Air day";
        /// Coldest hour of the air.
        coldest_hour_c: Figure, "°C", "Air low";
        /// Mean temperature of the root zone, 0.1 m deep.
        root_zone_mean_c: Figure, "°C", "Root mean";
        /// Lowest hourly temperature of the root zone, 0.1 m deep.
        root_zone_min_c: Figure, "°C", "Root low";
        /// Mean temperature of the heat store; empty where there is none.
        store_mean_c: Option<Figure>, "°C", "Heat store";
        /// Mean daily photosynthetic light at the beds.
        light_mol_m2_day: Figure, "mol/m2/day", "Light";
        /// Mean day length, upper limb of the sun with refraction.
        day_length_h: f64, "h", "Day";
        /// Heat delivered by the heater.
        heater_kwh: Figure, "kWh";
        /// Electricity used by the fan of the store.
        fan_kwh: Figure, "kWh", "Fan";
        /// Mean relative humidity of the air.
        relative_humidity_pct: Figure, "%", "Humidity";
        /// Hours with air below 0 °C.
        below_0_c_h: Figure, "h", "Frost";
        /// Hours with air above 30 °C.
        above_30_c_h: Figure, "h", "Hot";
        /// Hours with vents open.
        vented_h: Figure, "h", "Vents open";
        /// Hours with relative humidity above 90 %.
        damp_h: Figure, "h", "Damp";
        /// Hours with sunlight on the beds and the air in the band that the file sets.
        sunlit_in_band_h: Figure, "h", "Sunlit";
        /// Mean air temperature outside.
        outside_mean_c: Option<f64>, "°C";
        /// Lowest hourly air temperature outside.
        outside_min_c: Option<f64>, "°C";
    }
}

row! {
    /// One day inside: what the charts show.
    pub struct ClimateDay {
        /// The day, in the planning year.
        date: NaiveDate, "";
        /// Lowest hourly air temperature, year shown.
        air_min_c: f64, "°C", "Air night";
        /// Highest hourly air temperature, year shown.
        air_max_c: f64, "°C", "Air day";
        /// Lowest hourly air temperature, hard year.
        hard_air_min_c: Option<f64>, "°C";
        /// Highest hourly air temperature, hard year.
        hard_air_max_c: Option<f64>, "°C";
        /// Mean temperature of the root zone, 0.1 m deep.
        root_zone_c: f64, "°C";
        /// Mean temperature of the heat store; empty where there is none.
        store_c: Option<f64>, "°C";
        /// Photosynthetic light at the beds.
        light_mol_m2_day: f64, "mol/m2/day", "Light";
        /// Day length, upper limb of the sun with refraction.
        day_length_h: f64, "h", "Day length";
    }
}

row! {
    /// One month in the room that is simulated with the house, in the year shown.
    pub struct RoomMonth {
        /// Month, 1 to 12.
        month: u32, "";
        /// Mean of the room's air temperature.
        room_mean_c: f64, "°C", "Mean";
        /// Mean of its daily lowest air temperatures.
        room_night_c: f64, "°C", "Night";
        /// Mean of its daily highest air temperatures.
        room_day_c: f64, "°C", "Day";
        /// Coldest hour of its air.
        room_coldest_c: f64, "°C", "Low";
        /// Sun that it keeps.
        sun_kwh: f64, "kWh", "Sun";
        /// Heat delivered by its heater.
        room_heater_kwh: f64, "kWh", "Heater";
        /// Heat that passes from it to the house, through walls and with air; negative from the house to it.
        to_house_kwh: f64, "kWh", "To the house";
    }
}

/// The room that is simulated with the house.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RoomView {
    /// Its name.
    pub name: String,
    /// January to December.
    pub months: Vec<RoomMonth>,
}

row! {
    /// One hour inside and outside.
    pub struct ClimateHour {
        /// Hour of the model year, 0 to 8759, local standard time; hour 0 covers 00:00 to 01:00 on 1 January.
        hour: u32, "h";
        /// The day, in the planning year.
        date: NaiveDate, "";
        /// Clock hour at which it begins, 0 to 23, local standard time.
        clock_hour: u32, "h";
        /// Air temperature outside.
        outside_c: f64, "°C";
        /// Air temperature inside.
        air_c: f64, "°C";
        /// Temperature of the root zone, 0.1 m deep.
        root_zone_c: f64, "°C";
        /// Temperature of the heat store; empty where there is none.
        store_c: Option<f64>, "°C";
        /// Relative humidity inside.
        relative_humidity_pct: Option<f64>, "%", "Humidity";
        /// Sunlight that the glazing lets in, all wavelengths.
        sun_entering_w: f64, "W";
        /// Photosynthetic light at the beds in the hour.
        light_mol_m2: f64, "mol/m2";
        /// Temperature of uncovered leaves.
        leaf_c: f64, "°C";
        /// Heater output.
        heater_w: f64, "W";
        /// Heat taken away by the cooler.
        cooler_w: f64, "W";
        /// Fan electricity.
        fan_w: f64, "W";
    }
}

row! {
    /// One month of the first year beside the settled year.
    pub struct FirstMonth {
        /// Month, 1 to 12.
        month: u32, "";
        /// Mean of the daily lowest air temperatures, first year.
        first_air_min_c: f64, "°C", "Night first";
        /// Mean of the daily lowest air temperatures, settled year.
        settled_air_min_c: f64, "°C", "Night later";
        /// Mean temperature of the root zone, first year.
        first_root_zone_mean_c: f64, "°C", "Root first";
        /// Mean temperature of the root zone, settled year.
        settled_root_zone_mean_c: f64, "°C", "Root later";
        /// Heat delivered by the heater, first year.
        first_heater_kwh: f64, "kWh", "Heater first";
        /// Heat delivered by the heater, settled year.
        settled_heater_kwh: f64, "kWh", "Heater later";
    }
}

row! {
    /// The cold of the coldest hour that comes once in so many years.
    pub struct ColdHourRow {
        /// `air`, `leaf` or `root zone`, 0.1 m deep.
        place: String, "", "Where";
        /// `bare`, or the name of the cover over the bed; empty for the air.
        cover: String, "", "Row cover";
        /// The coldest hour of a year is colder once in so many years.
        once_in_years: u32, "", "Once in years";
        /// Best estimate; empty where the weather years are too few to say.
        coldest_c: Option<f64>, "°C", "Coldest hour";
        /// Lower end of its range (each end passed with a probability of 10 %); empty where the years are too few.
        low_c: Option<f64>, "°C", "From";
        /// Upper end of its range.
        high_c: Option<f64>, "°C", "To";
    }
}

/// What the heater does to the cold.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct HeaterView {
    /// Lowest and highest set point of the year, °C.
    pub set_point_c: [f64; 2],
    /// Greatest output, W; empty where the file sets none.
    pub capacity_w: Option<f64>,
    /// Hours a year in which it cannot hold its set point.
    pub cannot_hold_h: Spread,
    /// Coldest hours of the air without it, once in 2, 5 and 10 years.
    pub cold_hours_without: Vec<ColdHourRow>,
}

/// Heat over one path, month by month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HeatFlow {
    /// Name of the path, such as `sun` or `air change`.
    pub path: String,
    /// Heat into the house in each month, negative where the house loses it, kWh.
    pub kwh: [f64; 12],
}

/// The year inside a building.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct ClimateView {
    /// Where it stands.
    pub place: String,
    /// Which year of the ground the months show.
    pub year_kind: YearKind,
    /// January to December.
    pub months: [ClimateMonth; 12],
    /// What the heat balance of the year leaves unexplained, as a share of the heat that passed through.
    pub balance_residual: f64,
    /// Number of weather years behind the spreads; 0 where only the usual year was run.
    pub weather_years: u32,
    /// The year that is drawn and whose hours are written, by name.
    pub year_shown: String,
    /// The hard year drawn beside it; empty where no weather years ran.
    pub hard_year_shown: String,
    /// Lowest hourly air temperature, °C: median of the weather years; of the first year, its own.
    pub coldest_air_c: f64,
    /// Lowest hourly root zone temperature, °C, likewise.
    pub coldest_root_zone_c: f64,
    /// Heat delivered by the heater in the year, kWh, likewise.
    pub heater_kwh_year: f64,
    /// Electricity used by the fan in the year, kWh, likewise.
    pub fan_kwh_year: f64,
    /// Heat delivered by the heater in a year, mean of the weather years, kWh; empty where none ran.
    pub heater_kwh_mean_year: Option<f64>,
    /// Electricity used by the fans in a year, mean of the weather years, kWh.
    pub fan_kwh_mean_year: Option<f64>,
    /// Air temperatures between which sunlit hours are counted, °C.
    pub band_c: [f64; 2],
    /// What the heater does to the cold; empty where there is none, or no weather years ran.
    pub heater: Option<HeaterView>,
    /// Coldest hours once in 2, 5 and 10 years; empty where no weather years ran.
    pub cold_hours: Vec<ColdHourRow>,
    /// The first year against the settled one; empty where it was not run.
    pub first_against_settled: Vec<FirstMonth>,
    /// The room that is simulated with the house; empty where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<RoomView>,
    /// Where the heat came from and went; empty where it was not asked for.
    pub heat_flows: Vec<HeatFlow>,
    /// The days behind the charts, in order; empty where they were not asked for. Not part of the JSON.
    #[serde(skip)]
    pub days: Vec<ClimateDay>,
    /// What else to know.
    pub notes: Vec<Note>,
}

impl ClimateView {
    /// Coldest hour of the air that comes once in ten years, °C, where enough weather years ran.
    pub fn air_once_in_ten_c(&self) -> Option<f64> {
        const YEARS: u32 = 10;
        let of_air = |row: &&ColdHourRow| row.place == "air" && row.once_in_years == YEARS;
        self.cold_hours.iter().find(of_air)?.coldest_c
    }
}

row! {
    /// Heat over one path in one month, flat.
    pub struct HeatRow {
        /// Name of the path.
        path: String, "";
        /// Month, 1 to 12.
        month: u32, "";
        /// Heat into the house, negative where the house loses it.
        heat_kwh: f64, "kWh";
    }
}

impl ClimateView {
    /// Every heat path in every month, flat.
    pub fn heat_rows(&self) -> Vec<HeatRow> {
        let of_flow = |flow: &HeatFlow| {
            let path = flow.path.clone();
            flow.kwh
                .into_iter()
                .zip(1..)
                .map(move |(heat_kwh, month)| HeatRow {
                    path: path.clone(),
                    month,
                    heat_kwh,
                })
        };
        self.heat_flows.iter().flat_map(of_flow).collect()
    }
}
