//! The year inside.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Figure, Note, Spread, figure};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, date_of_day};
use crate::house::{HeatFlows, HouseYear};
use crate::output::row::{row, view};
use crate::profile::{
    BARE, BedClimate, MonthRow, MonthSpread, daily_sums, highest, lowest, mean, month_rows,
    month_spread,
};
use crate::study::{ClimateStudy, ColdHour, ColdPlace, HeaterStudy, Job, YearInside};

/// Which year of the ground is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum YearKind {
    /// The ground has found its balance; every year repeats the last.
    Settled,
    /// The first year after building, on undisturbed ground.
    First,
}

/// The value of an hour or a day; not a number where the column ends before.
fn at(column: &[f64], index: usize) -> f64 {
    column.get(index).copied().unwrap_or(f64::NAN)
}

row! {
    /// One month inside.
    pub struct ClimateMonth of (row: &MonthRow, spread: Option<&MonthSpread>, outside: Option<&MonthRow>, has_store: bool) {
        /// Month, 1 to 12.
        month: u32, "" => row.month as u32 + 1;
        /// Mean of the air temperature.
        air_mean_c: Figure, "°C" => figure(row.air_mean_c, spread.map(|s| s.air_mean_c));
        /// Mean of the daily lowest air temperatures.
        air_min_c: Figure, "°C", "Air night" => figure(row.air_daily_min_c, spread.map(|s| s.air_daily_min_c));
        /// Mean of the daily highest air temperatures.
        air_max_c: Figure, "°C", "Air day" => figure(row.air_daily_max_c, spread.map(|s| s.air_daily_max_c));
        /// Coldest hour of the air.
        coldest_hour_c: Figure, "°C", "Air low" => figure(row.air_min_c, spread.map(|s| s.air_min_c));
        /// Mean temperature of the root zone, 0.1 m deep.
        root_zone_mean_c: Figure, "°C", "Root mean" => figure(row.root_zone_mean_c, spread.map(|s| s.root_zone_mean_c));
        /// Lowest hourly temperature of the root zone, 0.1 m deep.
        root_zone_min_c: Figure, "°C", "Root low" => figure(row.root_zone_min_c, spread.map(|s| s.root_zone_min_c));
        /// Mean temperature of the heat store; empty where there is none.
        store_mean_c: Option<Figure>, "°C", "Heat store"
            => has_store.then(|| figure(row.store_mean_c, spread.map(|s| s.store_mean_c)));
        /// Mean daily photosynthetic light at the beds.
        light_mol_m2_day: Figure, "mol/m2/day", "Light" => figure(row.light_mol_m2_day, spread.map(|s| s.light_mol_m2_day));
        /// Mean day length, upper limb of the sun with refraction.
        day_length_h: f64, "h", "Day" => row.day_length_h;
        /// Mean carbon dioxide of the air while it is light (420 outdoors).
        carbon_dioxide_ppm: Figure, "ppm", "CO2" => figure(row.carbon_dioxide_ppm, spread.map(|s| s.carbon_dioxide_ppm));
        /// What leaves gain in that air against outdoor air.
        carbon_share: Figure, "share", "CO2 growth" => figure(row.carbon_share, spread.map(|s| s.carbon_share));
        /// Heat delivered by the heater.
        heater_kwh: Figure, "kWh" => figure(row.heater_kwh, spread.map(|s| s.heater_kwh));
        /// Electricity used by the fan of the store.
        fan_kwh: Figure, "kWh", "Fan" => figure(row.fan_kwh, spread.map(|s| s.fan_kwh));
        /// Mean relative humidity of the air.
        relative_humidity_pct: Figure, "%", "Humidity"
            => figure( row.relative_humidity_pct, spread.map(|s| s.relative_humidity_pct), );
        /// Hours with air below 0 °C.
        below_0_c_h: Figure, "h", "Frost" => figure(row.hours_below_0_c, spread.map(|s| s.hours_below_0_c));
        /// Hours with air above 30 °C.
        above_30_c_h: Figure, "h", "Hot" => figure(row.hours_above_30_c, spread.map(|s| s.hours_above_30_c));
        /// Hours with vents open.
        vented_h: Figure, "h", "Vents open" => figure(row.vented_hours, spread.map(|s| s.vented_hours));
        /// Hours with relative humidity above 90 %.
        damp_h: Figure, "h", "Damp" => figure(row.damp_hours, spread.map(|s| s.damp_hours));
        /// Hours with sunlight on the beds and the air in the band that the file sets.
        sunlit_in_band_h: Figure, "h", "Sunlit" => figure(row.sunlit_in_band_h, spread.map(|s| s.sunlit_in_band_h));
        /// Mean air temperature outside.
        outside_mean_c: Option<f64>, "°C" => outside.map(|row| row.air_mean_c);
        /// Lowest hourly air temperature outside.
        outside_min_c: Option<f64>, "°C" => outside.map(|row| row.air_min_c);
    }
}

row! {
    /// One day inside: what the charts show.
    pub struct ClimateDay of (job: &Job, shown: &HouseYear, hard: Option<&YearInside>, light: &[f64], day: usize) {
        /// The day, in the planning year.
        date: NaiveDate, "" => date_of_day(job.project.planning.year, day);
        /// Lowest hourly air temperature, year shown.
        air_min_c: f64, "°C", "Air night" => lowest(BedClimate::hours(&shown.air_c, day));
        /// Highest hourly air temperature, year shown.
        air_max_c: f64, "°C", "Air day" => highest(BedClimate::hours(&shown.air_c, day));
        /// Lowest hourly air temperature, hard year.
        hard_air_min_c: Option<f64>, "°C" => hard.map(|year| year.air_min_max_c[day].0);
        /// Highest hourly air temperature, hard year.
        hard_air_max_c: Option<f64>, "°C" => hard.map(|year| year.air_min_max_c[day].1);
        /// Mean temperature of the root zone, 0.1 m deep.
        root_zone_c: f64, "°C" => mean(BedClimate::hours(&shown.root_zone_c, day));
        /// Mean temperature of the heat store; empty where there is none.
        store_c: Option<f64>, "°C" => job.project.house.store.is_some().then(|| mean(BedClimate::hours(&shown.store_c, day)));
        /// Photosynthetic light at the beds.
        light_mol_m2_day: f64, "mol/m2/day", "Light" => at(light, day);
        /// Day length, upper limb of the sun with refraction.
        day_length_h: f64, "h", "Day length" => at(&job.sun.day_length_h, day);
    }
}

row! {
    /// One month in the room that is simulated with the house, in the year shown.
    pub struct RoomMonth of (row: &MonthRow, own: &HeatFlows, house: &HeatFlows) {
        /// Month, 1 to 12.
        month: u32, "" => row.month as u32 + 1;
        /// Mean of the room's air temperature.
        room_mean_c: f64, "°C", "Mean" => row.air_mean_c;
        /// Mean of its daily lowest air temperatures.
        room_night_c: f64, "°C", "Night" => row.air_daily_min_c;
        /// Mean of its daily highest air temperatures.
        room_day_c: f64, "°C", "Day" => row.air_daily_max_c;
        /// Coldest hour of its air.
        room_coldest_c: f64, "°C", "Low" => row.air_min_c;
        /// Sun that it keeps.
        sun_kwh: f64, "kWh", "Sun" => own.sun_kwh;
        /// Heat delivered by its heater.
        room_heater_kwh: f64, "kWh", "Heater" => own.heater_kwh;
        /// Heat that passes from it to the house, through walls and with air; negative from the house to it.
        to_house_kwh: f64, "kWh", "To the house" => house.beside_kwh;
    }
}

/// The room that is simulated with the house.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct RoomView {
    /// Its name.
    pub name: String,
    /// January to December.
    pub months: Vec<RoomMonth>,
}

row! {
    /// One hour inside and outside.
    pub struct ClimateHour of (job: &Job, study: &ClimateStudy, year: &HouseYear, hour: usize) {
        /// Hour of the model year, 0 to 8759, local standard time; hour 0 covers 00:00 to 01:00 on 1 January.
        hour: u32, "h" => hour as u32;
        /// The day, in the planning year.
        date: NaiveDate, "" => date_of_day(job.project.planning.year, hour / HOURS_PER_DAY);
        /// Clock hour at which it begins, 0 to 23, local standard time.
        clock_hour: u32, "h" => (hour % HOURS_PER_DAY) as u32;
        /// Air temperature outside.
        outside_c: f64, "°C" => at(&study.outside_c, hour);
        /// Air temperature inside.
        air_c: f64, "°C" => at(&year.air_c, hour);
        /// Temperature of the root zone, 0.1 m deep.
        root_zone_c: f64, "°C" => at(&year.root_zone_c, hour);
        /// Temperature of the heat store; empty where there is none.
        store_c: Option<f64>, "°C" => job.project.house.store.is_some().then(|| at(&year.store_c, hour));
        /// Relative humidity inside.
        relative_humidity_pct: Option<f64>, "%", "Humidity" => Some(at(&year.relative_humidity_pct, hour));
        /// Sunlight that the glazing lets in, all wavelengths.
        sun_entering_w: f64, "W" => at(&year.sun_entering_w, hour);
        /// Photosynthetic light at the beds in the hour.
        light_mol_m2: f64, "mol/m2" => at(&year.light_mol_m2_h, hour);
        /// Temperature of uncovered leaves.
        leaf_c: f64, "°C" => at(&year.leaf_c, hour);
        /// Carbon dioxide of the air at the end of the hour.
        carbon_dioxide_ppm: f64, "ppm", "CO2" => at(&year.carbon_dioxide_ppm, hour);
        /// Heater output.
        heater_w: f64, "W" => at(&year.heater_w, hour);
        /// Heat taken away by the cooler.
        cooler_w: f64, "W" => at(&year.cooler_w, hour);
        /// Fan electricity.
        fan_w: f64, "W" => at(&year.fan_w, hour);
    }
}

row! {
    /// One month of the first year beside the settled year.
    pub struct FirstMonth of (first: &MonthRow, settled: &MonthRow) {
        /// Month, 1 to 12.
        month: u32, "" => first.month as u32 + 1;
        /// Mean of the daily lowest air temperatures, first year.
        first_air_min_c: f64, "°C", "Night first" => first.air_daily_min_c;
        /// Mean of the daily lowest air temperatures, settled year.
        settled_air_min_c: f64, "°C", "Night later" => settled.air_daily_min_c;
        /// Mean temperature of the root zone, first year.
        first_root_zone_mean_c: f64, "°C", "Root first" => first.root_zone_mean_c;
        /// Mean temperature of the root zone, settled year.
        settled_root_zone_mean_c: f64, "°C", "Root later" => settled.root_zone_mean_c;
        /// Heat delivered by the heater, first year.
        first_heater_kwh: f64, "kWh", "Heater first" => first.heater_kwh;
        /// Heat delivered by the heater, settled year.
        settled_heater_kwh: f64, "kWh", "Heater later" => settled.heater_kwh;
    }
}

row! {
    /// The cold of the coldest hour that comes once in so many years.
    pub struct ColdHourRow of (job: &Job, cold: &ColdHour) {
        /// `air`, `leaf` or `root zone`, 0.1 m deep.
        place: String, "", "Where" => match cold.place {
            ColdPlace::Air => "air",
            ColdPlace::Leaf(_) => "leaf",
            ColdPlace::RootZone(_) => "root zone",
        }
        .to_owned();
        /// `bare`, or the name of the cover over the bed; empty for the air.
        cover: String, "", "Row cover" => match cold.place {
            ColdPlace::Air => String::new(),
            ColdPlace::Leaf(climate) | ColdPlace::RootZone(climate) => bed_climate(job, climate),
        };
        /// The coldest hour of a year is colder once in so many years.
        once_in_years: u32, "", "Once in years" => cold.years;
        /// Best estimate; empty where the weather years are too few to say.
        coldest_c: Option<f64>, "°C", "Coldest hour" => cold.coldest_c;
        /// Lower end of its range (each end passed with a probability of 10 %); empty where the years are too few.
        low_c: Option<f64>, "°C", "From" => cold.range_c.0;
        /// Upper end of its range.
        high_c: Option<f64>, "°C", "To" => cold.range_c.1;
    }
}

view! {
    /// What the heater does to the cold.
    pub struct HeaterView of heater_view(job: &Job, heater: &HeaterStudy) {
        /// Lowest and highest set point of the year, °C.
        set_point_c: [f64; 2] => heater.set_point_c.into();
        /// Greatest output, W; empty where the file sets none.
        capacity_w: Option<f64> => Some(heater.capacity_w).filter(|watts| watts.is_finite());
        /// Hours a year in which it cannot hold its set point.
        cannot_hold_h: Spread => heater.cannot_hold_h;
        /// Coldest hours of the air without it, once in 2, 5 and 10 years.
        cold_hours_without: Vec<ColdHourRow> => cold_hours(job, &heater.without);
    }
}

/// Heat over one path, month by month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HeatFlow {
    /// Name of the path, such as `sun` or `air change`.
    pub path: String,
    /// Heat into the house in each month, negative where the house loses it, kWh.
    pub kwh: [f64; 12],
}

view! {
    /// The year inside a building.
    pub struct ClimateView of climate(job: &Job, study: &ClimateStudy, kind: YearKind, heater: Option<&HeaterStudy>) {
        let (shown, rows) = match kind {
            YearKind::Settled => (&study.run.settled, &study.settled.months),
            YearKind::First => (&study.run.first, &study.first.months),
        };
        let spreads = match kind {
            YearKind::Settled => month_spread(study.years.iter().map(|year| &year.months[..])),
            YearKind::First => Vec::new(),
        };
        // Of the months outside only the air is looked at.
        let outside = HouseYear { air_c: study.outside_c.clone(), ..HouseYear::default() };
        let outside = month_rows(&outside, None, &job.sun.day_length_h);
        let light = daily_sums(&shown.light_mol_m2_h);
        let hard = study.hard_year().map(|(_, year)| year);
        let median = |of: &dyn Fn(&YearInside) -> f64| match kind {
            YearKind::Settled => study.median_of_tried(of),
            YearKind::First => of(&study.first),
        };
        /// Where it stands.
        place: String => job.site.place.name.clone();
        /// Which year of the ground the months show.
        year_kind: YearKind => kind;
        /// January to December.
        months: [ClimateMonth; 12] => std::array::from_fn(|month| {
            ClimateMonth::of(&rows[month], spreads.get(month), outside.get(month), job.project.house.store.is_some())
        });
        /// What the heat balance of the year leaves unexplained, as a share of the heat that passed through.
        balance_residual: f64 => shown.balance_residual;
        /// Number of weather years behind the spreads; 0 where only the usual year was run.
        weather_years: u32 => study.years.len() as u32;
        /// The year that is drawn and whose hours are written, by name.
        year_shown: String => study.year_name();
        /// The hard year drawn beside it; empty where no weather years ran.
        hard_year_shown: String => study.hard_year_name();
        /// Lowest hourly air temperature, °C: median of the weather years; of the first year, its own.
        coldest_air_c: f64 => median(&YearInside::coldest_air_c);
        /// Lowest hourly root zone temperature, °C, likewise.
        coldest_root_zone_c: f64 => median(&|year| year.coldest_root_zone_c(0));
        /// Heat delivered by the heater in the year, kWh, likewise.
        heater_kwh_year: f64 => median(&|year| year.year.heater_kwh);
        /// Electricity used by the fan in the year, kWh, likewise.
        fan_kwh_year: f64 => median(&|year| year.fans_kwh);
        /// Heat delivered by the heater in a year, mean of the weather years, kWh; empty where none ran.
        heater_kwh_mean_year: Option<f64> => study.mean_of_years(|year| year.year.heater_kwh);
        /// Electricity used by the fans in a year, mean of the weather years, kWh.
        fan_kwh_mean_year: Option<f64> => study.mean_of_years(|year| year.fans_kwh);
        /// Air temperatures between which sunlit hours are counted, °C.
        band_c: [f64; 2] => job.project.sunlit_band_c.into();
        /// What the heater does to the cold; empty where there is none, or no weather years ran.
        heater: Option<HeaterView> => heater.map(|heater| heater_view(job, heater));
        /// Coldest hours once in 2, 5 and 10 years; empty where no weather years ran.
        cold_hours: Vec<ColdHourRow> => cold_hours(job, &study.cold_hours(&job.site));
        /// The first year against the settled one; empty where it was not run.
        first_against_settled: Vec<FirstMonth> => study.first.months.iter().zip(&study.settled.months)
            .map(|(first, settled)| FirstMonth::of(first, settled)).collect();
        /// The room that is simulated with the house; empty where there is none.
        #[serde(skip_serializing_if = "Option::is_none")]
        room: Option<RoomView> => room(job, shown);
        /// Where the heat came from and went; empty where it was not asked for.
        heat_flows: Vec<HeatFlow> => heat_flows(&shown.months);
        /// The days behind the charts, in order; empty where they were not asked for. Not part of the JSON.
        #[serde(skip)]
        days: Vec<ClimateDay> => (0..DAYS_PER_YEAR).map(|day| ClimateDay::of(job, shown, hard, &light, day)).collect();
        /// What else to know.
        notes: Vec<Note> => job.site.notes.iter().map(Note::plain).collect();
    }
}

row! {
    /// Heat over one path in one month, flat.
    pub struct HeatRow of (flow: &HeatFlow, month: u32, heat_kwh: f64) {
        /// Name of the path.
        path: String, "" => flow.path.clone();
        /// Month, 1 to 12.
        month: u32, "" => month;
        /// Heat into the house, negative where the house loses it.
        heat_kwh: f64, "kWh" => heat_kwh;
    }
}

impl ClimateView {
    /// Coldest hour of the air that comes once in ten years, °C, where enough weather years ran.
    pub fn air_once_in_ten_c(&self) -> Option<f64> {
        const YEARS: u32 = 10;
        let of_air = |row: &&ColdHourRow| row.place == "air" && row.once_in_years == YEARS;
        self.cold_hours.iter().find(of_air)?.coldest_c
    }

    /// Every heat path in every month, flat.
    pub fn heat_rows(&self) -> Vec<HeatRow> {
        let flows = self.heat_flows.iter();
        let months = flows.flat_map(|flow| {
            (1..)
                .zip(flow.kwh)
                .map(move |(at, kwh)| HeatRow::of(flow, at, kwh))
        });
        months.collect()
    }
}

/// Every hour of a year, for machines.
pub fn hours(job: &Job, study: &ClimateStudy, kind: YearKind) -> Vec<ClimateHour> {
    let year = match kind {
        YearKind::Settled => &study.run.settled,
        YearKind::First => &study.run.first,
    };
    (0..year.air_c.len())
        .map(|hour| ClimateHour::of(job, study, year, hour))
        .collect()
}

/// Coldest hours once in 2, 5 and 10 years.
fn cold_hours(job: &Job, found: &[ColdHour]) -> Vec<ColdHourRow> {
    let rows = found.iter().map(|cold| ColdHourRow::of(job, cold));
    rows.collect()
}

/// Name of a climate of the beds.
fn bed_climate(job: &Job, climate: usize) -> String {
    let parts = &job.project.house.parts;
    match climate.checked_sub(1) {
        None => BARE.to_owned(),
        Some(part) => parts
            .get(part)
            .map_or_else(String::new, |part| part.name.clone()),
    }
}

/// The room that is simulated with the house, by month of the year shown.
fn room(job: &Job, shown: &HouseYear) -> Option<RoomView> {
    let beside = job.project.house.beside.as_ref()?;
    let year = shown.beside.as_deref()?;
    let band_c = Some(job.project.sunlit_band_c);
    let rows = month_rows(year, band_c, &job.sun.day_length_h);
    let months = rows.iter().zip(&year.months).zip(&shown.months);
    Some(RoomView {
        name: beside.name.clone(),
        months: months
            .map(|((row, own), house)| RoomMonth::of(row, own, house))
            .collect(),
    })
}

/// The paths of heat in the order they are shown; paths that carry nothing all year are left out.
pub(super) fn heat_flows(months: &[HeatFlows]) -> Vec<HeatFlow> {
    type Path = (&'static str, fn(&HeatFlows) -> f64);
    const PATHS: [Path; 15] = [
        ("sun", |flows| flows.sun_kwh),
        ("heater", |flows| flows.heater_kwh),
        ("scheduled gains", |flows| flows.gains_kwh),
        ("lamps", |flows| flows.lamp_kwh),
        ("fans", |flows| flows.fan_kwh),
        ("cooler", |flows| flows.cooler_kwh),
        ("glazing", |flows| flows.glazing_kwh),
        ("sky through glazing", |flows| flows.sky_through_glazing_kwh),
        ("walls and roof", |flows| flows.walls_kwh),
        ("room beside", |flows| flows.beside_kwh),
        ("air change", |flows| flows.air_change_kwh),
        ("vents", |flows| flows.vents_kwh),
        ("ground", |flows| flows.ground_kwh),
        ("vapour", |flows| flows.latent_kwh),
        // What walls, soil and air take up leaves the room: with it a month comes to nothing.
        ("stored", |flows| -flows.stored_kwh),
    ];
    PATHS
        .iter()
        .map(|(path, of)| HeatFlow {
            path: (*path).to_owned(),
            kwh: std::array::from_fn(|month| months.get(month).map_or(0.0, of)),
        })
        .filter(|flow| flow.kwh.iter().any(|kwh| *kwh != 0.0))
        .collect()
}
