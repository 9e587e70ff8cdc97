//! Rows of the plan: plantings, weeks, months, risks, gaps, seed.

use chrono::NaiveDate;
use serde::Serialize;

use super::plan::{crop_of, sections};
use super::{Spread, plan_words};
use crate::output::row::row;
use crate::output::tasks::to_order;
use crate::phrase::Phrase;
use crate::plan::gaps::Gap;
use crate::plan::replay;
use crate::study::{Job, PlanStudy, Planting, SimplerPlan, brings};

row! {
    /// One planting.
    pub struct PlantingRow {
        /// Name of the bed.
        bed: String, "";
        /// Identifier of the crop, as in the crop files.
        crop: String, "";
        /// Name of the crop for people.
        crop_name: String, "", "Crop";
        /// Two letters that stand for the crop on charts, the same in every project.
        code: String, "";
        /// Family that rotation keeps apart, as growers call it.
        family: String, "";
        /// Numbers of the bed's equal sections that carry it, from 1; empty where the bed has one.
        sections: String, "", "Section";
        /// Bed area of the planting.
        area_m2: f64, "m2", "Area";
        /// `direct`, `tray`, or `standing` for what stood there when the plan began.
        way: String, "";
        /// What goes into the ground: `seeds`, `seed potatoes`, `cloves` or `bought plants`.
        planted_as: String, "";
        /// Day of sowing, in the bed or in a tray; of bought plants the day by which they are there; of what stands there, the day it
        /// came into the bed.
        sow: NaiveDate, "";
        /// Day of setting out; empty where it was sown in the bed.
        transplant: Option<NaiveDate>, "", "Set out";
        /// First picking in the median year; empty where nothing is picked.
        first_harvest: Option<NaiveDate>, "", "First pick";
        /// Last picking in the median year.
        last_harvest: Option<NaiveDate>, "", "Last pick";
        /// Day on which the bed is free again.
        clear: Option<NaiveDate>, "";
        /// First day on which the row cover lies in the usual year, be it for a night; empty where it never does.
        cover_on: Option<NaiveDate>, "";
        /// Last such day.
        cover_off: Option<NaiveDate>, "";
        /// Share of weather years in which the planting comes through by the weather, 0 to 1.
        survival: f64, "share", "By weather";
        /// The same with what is lost beside the weather: gaps in the stand, pests, accidents.
        in_all: f64, "share", "In all";
        /// Expected harvest.
        harvest_kg: f64, "kg", "Yield";
        /// Plants in the bed, where the spacing is known.
        plants: Option<f64>, "plants";
        /// Seeds to sow, losses included.
        seeds: Option<f64>, "seeds";
        /// Seeds in a gram; empty where no seed is sown.
        seeds_per_g: Option<f64>, "1/g";
    }
}

/// What is picked of a planting in one week.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WeekPick {
    /// First day of the week.
    pub start: NaiveDate,
    /// Expected harvest, kg.
    pub kg: f64,
}

/// One planting with its weekly pickings.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct PlantingView {
    /// The planting.
    #[serde(flatten)]
    pub row: PlantingRow,
    /// Sections of the bed that carry it, from 1: the file's beds are divided into equal ones.
    pub patches: Vec<u32>,
    /// Pickings week by week.
    pub picks: Vec<WeekPick>,
}

row! {
    /// One week of food.
    pub struct WeekRow {
        /// First day of the week.
        start: NaiveDate, "", "Week of";
        /// Food picked or taken from store for the table.
        food_kg: f64, "kg", "Food";
        /// Food the household asked for.
        wish_kg: f64, "kg", "Target";
        /// Different foods in the week.
        foods: u32, "foods";
    }
}

/// Begins the name of a target among the foods of a week.
pub const TARGET: &str = "target: ";

/// One food in one week.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct FoodWeek {
    /// Name of the food.
    pub food: String,
    /// For the table, kg.
    pub food_kg: f64,
    /// Asked for, kg.
    pub wish_kg: f64,
}

/// One week with its foods.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct WeekView {
    /// Totals.
    #[serde(flatten)]
    pub row: WeekRow,
    /// Food by food; those without harvest and wish are left out.
    pub by_food: Vec<FoodWeek>,
}

row! {
    /// One month of the plan over the weather years.
    pub struct PlanMonthRow of (month: &replay::Month) {
        /// First day of the month.
        month: NaiveDate, "" => month.start;
        /// Picked.
        harvest: Spread, "kg", "Picked" => month.harvest_kg;
        /// Eaten, fresh or kept.
        eaten: Spread, "kg" => month.eaten_kg;
        /// What the food eaten in place of buying would have cost, in the currency of the plan.
        replaced: Spread, "currency", "Replaces" => month.replaced;
        /// What the food eaten beyond that would cost: in no sum with `replaced`.
        beyond: Spread, "currency", "Beyond" => month.beyond;
        /// Different foods in a week, mean.
        foods_week: f64, "foods", "Foods a week" => month.foods_week;
        /// Share of the years with a week without food in it, 0 to 1.
        empty: f64, "share", "Empty weeks" => month.empty;
    }
}

row! {
    /// A planting that may be lost.
    pub struct RiskRow of (job: &Job, study: &PlanStudy, planting: &Planting) {
        /// Name of the bed.
        bed: String, "" => job.project.beds[planting.bed].name.clone();
        /// Numbers of the bed's sections, from 1; empty where it has one.
        sections: String, "" => sections(study, planting.bed, planting.patches.iter().copied());
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => crop_of(study, planting).name.clone();
        /// Day of sowing; of bought plants the day by which they are there.
        sow: NaiveDate, "" => planting.sow;
        /// Share of the weather years in which it does not come through, in all, 0 to 1.
        lost: f64, "share", "Fails in" => 1.0 - planting.in_all;
        /// Expected harvest.
        harvest_kg: f64, "kg" => planting.picks.iter().map(|(_, kg)| kg).sum();
    }
}

row! {
    /// Weeks in which a wish is not met.
    pub struct GapRow of (study: &PlanStudy, gap: &Gap) {
        let problem = &study.problem;
        /// First day of the gap.
        from: NaiveDate, "" => gap.from;
        /// Last day of the gap.
        to: NaiveDate, "" => gap.to;
        /// Name of the food, or of the group of foods.
        food: String, "" => problem.target_name(problem.instance.wishes[gap.wish].target);
        /// What is missing over the whole gap.
        missing_kg: f64, "kg", "Missing" => gap.missing_kg;
        /// Why.
        cause: Phrase, "" => plan_words::cause(gap).into();
        /// What would close it.
        remedy: Phrase, "", "What would close it" => plan_words::remedy(study, gap);
        /// What that brings in a year at shop prices beyond its seed; empty where nothing would close it.
        remedy_gains: Option<f64>, "currency" => brings(&problem.instance, gap).map(|brings| brings.worth - brings.cost);
        /// Which change of the building closes a part of it and gains most by that, simulated; empty where none was tried or none
        /// closes a tenth more.
        house: Phrase, "", "With another house" => "".into();
        /// What the food that it gives more, all year, is worth at shop prices beyond the energy that it costs.
        house_gains: Option<f64>, "currency" => None;
    }
}

row! {
    /// Seed to order.
    pub struct SeedRow of (row: &PlantingRow) {
        /// Identifier of the crop.
        crop: String, "" => row.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => row.crop_name.clone();
        /// What to order.
        order: String, "" => to_order(row, row.seeds);
        /// Number of sowings.
        sowings: u32, "sowings" => 1;
        /// Bed area of all sowings.
        area_m2: f64, "m2" => row.area_m2;
        /// Seeds to sow, losses included; empty where a planting does not say.
        seeds: Option<f64>, "seeds" => row.seeds;
        /// First sowing: the seed has to be there by then.
        needed_by: NaiveDate, "" => row.sow;
    }
}

row! {
    /// One plan of the frontier: what simplicity costs.
    pub struct FrontierRow of (row: &SimplerPlan) {
        /// Different kinds of crop.
        kinds: u32, "kinds" => row.simplicity.kinds as u32;
        /// Plantings: one crop sown on one day for one kind of bed.
        plantings: u32, "plantings" => row.simplicity.plantings as u32;
        /// Days on which something is sown.
        sowing_days: u32, "days" => row.simplicity.sowing_weeks as u32;
        /// Work in the beds a week in the busiest month: sowing, setting out, picking.
        busiest_h_week: f64, "h", "Busiest week" => row.busiest_h_week;
        /// Eaten in the middle weather year.
        eaten_kg: f64, "kg" => row.eaten_kg;
        /// What it replaces of bought food in the middle weather year.
        replaced: f64, "currency", "Replaces" => row.replaced;
        /// Value of the middle weather year, as `replayed_value_p50`.
        replayed_value_p50: f64, "currency", "After seed" => row.median;
        /// Share of what is wished for that is on the table, mean of the weather years, 0 to 1; empty without wishes.
        targets: Option<f64>, "share", "Targets met" => row.targets;
        /// Sections in which a family comes back a year too early each year.
        early: u32, "sections", "Back too soon" => row.early as u32;
        /// Whether it is the plan shown.
        chosen: bool, "", "This plan" => row.chosen;
    }
}

row! {
    /// One picking of one planting, flat.
    pub struct PickRow of (row: &PlantingRow, pick: &WeekPick) {
        /// Name of the bed.
        bed: String, "" => row.bed.clone();
        /// Identifier of the crop.
        crop: String, "" => row.crop.clone();
        /// Name of the crop.
        crop_name: String, "", "Crop" => row.crop_name.clone();
        /// Day of sowing of the planting; of bought plants the day by which they are there.
        sow: NaiveDate, "" => row.sow;
        /// First day of the week.
        start: NaiveDate, "", "Week of" => pick.start;
        /// Expected harvest.
        harvest_kg: f64, "kg" => pick.kg;
    }
}

row! {
    /// One food in one week, flat.
    pub struct FoodWeekRow of (start: NaiveDate, food: &FoodWeek) {
        /// First day of the week.
        start: NaiveDate, "", "Week of" => start;
        /// Name of the food.
        food: String, "" => food.food.clone();
        /// For the table.
        food_kg: f64, "kg", "Food" => food.food_kg;
        /// Asked for.
        wish_kg: f64, "kg", "Target" => food.wish_kg;
    }
}

impl PlantingRow {
    /// Where it stands, such as `north 2, section 1`.
    pub fn place(&self) -> String {
        place(&self.bed, &self.sections)
    }

    /// How its time in the plan begins and on which day: `sown`, of tubers and cloves `planted`, of bought plants `set out`.
    pub fn begun(&self) -> (&'static str, NaiveDate) {
        match (self.planted_as.as_str(), self.transplant) {
            ("seeds", _) => ("sown", self.sow),
            (_, Some(day)) => ("set out", day),
            _ => ("planted", self.sow),
        }
    }
}

/// A bed with its sections, where it has several.
pub(crate) fn place(bed: &str, sections: &str) -> String {
    match sections {
        "" => bed.to_owned(),
        one if !one.contains(',') => format!("{bed}, section {one}"),
        many => format!("{bed}, sections {many}"),
    }
}
