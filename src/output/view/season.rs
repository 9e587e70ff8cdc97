//! Crops against months.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Note, Spread, way_word};
use crate::calendar::date_of_day;
use crate::output::row::row;
use crate::phrase::Phrase;
use crate::study::{CropLatest, Job, RoofHeat};

/// What can be done with a crop in a month; the one that says most.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SeasonState {
    /// Something can be picked.
    Pick,
    /// Can be sown or set out.
    Sow,
    /// Stands ready and waits.
    Stand,
    /// A young crop grows.
    Grow,
    /// Not at all.
    No,
}

/// One crop in one month.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct SeasonMonth {
    /// What can be done; the one that says most.
    pub state: SeasonState,
    /// A sowing in this month comes to harvest; may hold besides picking.
    pub sow: bool,
    /// What holds it back, such as `too cold at night`; empty if nothing does.
    pub cause: Option<Phrase>,
    /// How far the limiting figure is from its limit; negative where the limit is broken.
    pub margin: Option<f64>,
    /// Unit of the margin: `K`, `mol/m2/day`, `h` or `d`.
    pub margin_unit: Option<String>,
    /// What would turn a no, each measure alone and simulated; none where nothing was tried, empty where none of those does.
    pub remedy: Option<Phrase>,
}

/// Something of a warm crop under four roofs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Roofs<T> {
    /// In the building as it is.
    pub as_is: T,
    /// In the building held at `heated_to_c`.
    pub heated: T,
    /// In a plain single-film tunnel of the same floor.
    pub tunnel: T,
    /// Outdoors.
    pub outdoors: T,
}

/// How many months a warm crop can stay in.
pub type MonthsIn = Roofs<Option<Spread>>;

/// When a warm crop can stay in: from its median first day to its median last one.
pub type StayDates = Roofs<Option<DateRange>>;

/// A time with its first and last day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct DateRange {
    /// First day.
    pub from: NaiveDate,
    /// Last day; a whole year ends on the day before its first.
    pub to: NaiveDate,
}

/// One crop through the year.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct SeasonCrop {
    /// Identifier of the crop, as in the crop files.
    pub crop: String,
    /// Name for people.
    pub name: String,
    /// Foods that it stands in for, such as `salad greens`.
    pub group: String,
    /// January to December.
    pub months: [SeasonMonth; 12],
    /// Months in, each at p10, p50 and p90 over the weather years.
    pub months_in: MonthsIn,
    /// From when to when: the medians of the first and of the last day.
    pub stay: StayDates,
}

/// Crops against months.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct SeasonView {
    /// Where the building stands.
    pub place: String,
    /// Crops in the order they are shown.
    pub crops: Vec<SeasonCrop>,
    /// Temperature held behind `months_in.heated`, °C; empty where it was not run.
    pub heated_to_c: Option<f64>,
    /// Heat that this heater gives in a year, kWh; empty where it was not run.
    pub heated_kwh_year: Option<f64>,
    /// Was that heat asked for?
    pub heat_asked: bool,
    /// Weather years behind the building as it is.
    pub years: usize,
    /// Weather years behind the other roofs: where fewer, some of these, from the coldest to the mildest.
    pub other_roofs_years: usize,
    /// What heating takes under each roof.
    pub heats: Vec<RoofHeatRow>,
    /// Currency of its cost.
    pub currency: String,
    /// Latest safe sowings of the winter crops.
    pub latest: Vec<LatestRow>,
    /// What else to know.
    pub notes: Vec<Note>,
}

row! {
    /// What heating takes under one roof.
    pub struct RoofHeatRow of (heat: &RoofHeat) {
        /// `as it is`, `heated`, `plain tunnel` or `outdoors`.
        roof: String, "" => heat.roof.to_owned();
        /// Largest output in any hour of the weather years: what the heater has to give.
        peak_w: f64, "W", "Peak" => heat.peak_w;
        /// Heat a year, mean of the weather years.
        heat_kwh: f64, "kWh", "Heat" => heat.heat_kwh;
        /// Hours a year in which the heater cannot hold its set point, mean of the weather years.
        cannot_hold_h: f64, "h", "Not held" => heat.cannot_hold_h;
        /// What is burnt.
        fuel: String, "" => heat.fuel.name().to_owned();
        /// How much of it a year.
        fuel_amount: f64, "see fuel_unit", "Amount" => heat.fuel_amount.0;
        /// Unit in which it is sold.
        fuel_unit: String, "", "Unit" => heat.fuel_amount.1.to_owned();
        /// What that costs a year; empty where no price is known.
        cost: Option<f64>, "currency" => heat.cost;
    }
}

/// A day of the planning year, counted from its first.
fn day(job: &Job, day: f64) -> NaiveDate {
    date_of_day(job.project.planning.year, 0) + chrono::TimeDelta::days(day.round() as i64)
}

row! {
    /// The latest sowing with which a winter crop stands big enough through the dark weeks.
    pub struct LatestRow of (job: &Job, found: &CropLatest) {
        /// Identifier of the crop.
        crop: String, "" => found.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => job.table.name_of(&found.crop);
        /// Beds that it holds for: `bare`, the name of their cover, or `all`.
        beds: String, "" => found.beds.clone();
        /// `direct` or `tray`.
        way: String, "" => way_word(found.way).to_owned();
        /// Early enough in nine weather years of ten.
        safe_in_9_of_10: NaiveDate, "", "9 years of 10" => day(job, found.latest.day.p10);
        /// Early enough in half of the weather years.
        safe_in_5_of_10: NaiveDate, "", "5 of 10" => day(job, found.latest.day.p50);
        /// Early enough in one weather year of ten.
        safe_in_1_of_10: NaiveDate, "", "1 of 10" => day(job, found.latest.day.p90);
        /// Fresh mass that then stands when the dark weeks begin.
        standing_kg_m2: Spread, "kg/m2", "In the bed" => found.latest.standing_kg_m2;
        /// Share of the weather years in which a sowing of the day safe in nine of ten comes through by the weather, 0 to 1.
        survival: f64, "share", "By weather" => found.survival;
        /// The same with what is lost beside the weather.
        in_all: f64, "share", "In all" => found.in_all;
    }
}

impl SeasonState {
    /// The word in CSV and JSON.
    pub fn word(self) -> &'static str {
        match self {
            SeasonState::Pick => "pick",
            SeasonState::Sow => "sow",
            SeasonState::Stand => "stand",
            SeasonState::Grow => "grow",
            SeasonState::No => "no",
        }
    }
}

row! {
    /// One crop in one month, flat.
    pub struct SeasonRow {
        /// Identifier of the crop.
        crop: String, "";
        /// Month, 1 to 12.
        month: u32, "";
        /// `pick`, `sow`, `stand`, `grow` or `no`: the one that says most.
        state: String, "";
        /// A sowing in this month comes to harvest.
        sow: bool, "";
        /// What holds it back.
        cause: Option<Phrase>, "";
        /// Distance of the limiting figure from its limit; negative where the limit is broken.
        margin: Option<f64>, "see margin_unit";
        /// Unit of the margin.
        margin_unit: Option<String>, "";
        /// What would turn a no.
        remedy: Option<Phrase>, "";
    }
}

row! {
    /// How many months a crop can stay in, flat.
    pub struct MonthsInRow of (crop: &SeasonCrop) {
        /// Identifier of the crop.
        crop: String, "" => crop.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => crop.name.clone();
        /// In the building as it is.
        as_is_months: Option<Spread>, "months", "This house" => crop.months_in.as_is;
        /// First day of that time in the middle year.
        as_is_from: Option<NaiveDate>, "" => crop.stay.as_is.map(|stay| stay.from);
        /// Last day of it.
        as_is_to: Option<NaiveDate>, "" => crop.stay.as_is.map(|stay| stay.to);
        /// In the building held at `heated_to_c`.
        heated_months: Option<Spread>, "months" => crop.months_in.heated;
        /// First day of that time in the middle year.
        heated_from: Option<NaiveDate>, "" => crop.stay.heated.map(|stay| stay.from);
        /// Last day of it.
        heated_to: Option<NaiveDate>, "" => crop.stay.heated.map(|stay| stay.to);
        /// In a plain single-film tunnel of the same floor.
        tunnel_months: Option<Spread>, "months", "Plain tunnel" => crop.months_in.tunnel;
        /// First day of that time in the middle year.
        tunnel_from: Option<NaiveDate>, "" => crop.stay.tunnel.map(|stay| stay.from);
        /// Last day of it.
        tunnel_to: Option<NaiveDate>, "" => crop.stay.tunnel.map(|stay| stay.to);
        /// Outdoors.
        outdoors_months: Option<Spread>, "months" => crop.months_in.outdoors;
        /// First day of that time in the middle year.
        outdoors_from: Option<NaiveDate>, "" => crop.stay.outdoors.map(|stay| stay.from);
        /// Last day of it.
        outdoors_to: Option<NaiveDate>, "" => crop.stay.outdoors.map(|stay| stay.to);
    }
}

impl SeasonView {
    /// Every crop in every month, flat.
    pub fn rows(&self) -> Vec<SeasonRow> {
        let of_crop = |crop: &SeasonCrop| {
            let id = crop.crop.clone();
            crop.months
                .clone()
                .into_iter()
                .zip(1..)
                .map(move |(month, number)| SeasonRow {
                    crop: id.clone(),
                    month: number,
                    state: month.state.word().to_string(),
                    sow: month.sow,
                    cause: month.cause,
                    margin: month.margin,
                    margin_unit: month.margin_unit,
                    remedy: month.remedy,
                })
        };
        self.crops.iter().flat_map(of_crop).collect()
    }

    /// Months in for every crop that has them, flat.
    pub fn months_in_rows(&self) -> Vec<MonthsInRow> {
        self.warm_crops().map(MonthsInRow::of).collect()
    }

    /// The crops of which months in were asked for.
    pub fn warm_crops(&self) -> impl Iterator<Item = &SeasonCrop> {
        let crops = self.crops.iter();
        crops.filter(|crop| crop.months_in.is_some())
    }
}

impl MonthsIn {
    /// True where at least one of the four was computed.
    pub fn is_some(&self) -> bool {
        [self.as_is, self.heated, self.tunnel, self.outdoors]
            .iter()
            .any(Option::is_some)
    }
}
