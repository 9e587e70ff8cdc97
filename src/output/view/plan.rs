//! The plan: what is in which bed when, what comes out each week, and what is missing.

use chrono::{Datelike, NaiveDate, Weekday};
use serde::Serialize;

use super::{Note, SecondPassView, Spread};
use crate::output::row::row;
use crate::phrase::Phrase;
use crate::plan::replay;
use crate::study::SimplerPlan;

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
        /// Day of sowing, in the bed or in a tray; of what stands there, the day it came into the bed.
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
    pub struct RiskRow {
        /// Name of the bed.
        bed: String, "";
        /// Numbers of the bed's sections, from 1; empty where it has one.
        sections: String, "";
        /// Name of the crop for people.
        crop_name: String, "", "Crop";
        /// Day of sowing.
        sow: NaiveDate, "";
        /// Share of the weather years in which it does not come through, in all, 0 to 1.
        lost: f64, "share", "Fails in";
        /// Expected harvest.
        harvest_kg: f64, "kg";
    }
}

row! {
    /// Weeks in which a wish is not met.
    pub struct GapRow {
        /// First day of the gap.
        from: NaiveDate, "";
        /// Last day of the gap.
        to: NaiveDate, "";
        /// Name of the food, or of the group of foods.
        food: String, "";
        /// What is missing over the whole gap.
        missing_kg: f64, "kg", "Missing";
        /// Why.
        cause: Phrase, "";
        /// What would close it.
        remedy: Phrase, "", "What would close it";
        /// What the best change of the building would close of it, simulated; empty where none was tried or none closes a tenth more.
        house: Phrase, "", "With another house";
    }
}

row! {
    /// Seed to order.
    pub struct SeedRow {
        /// Identifier of the crop.
        crop: String, "";
        /// Name of the crop for people.
        crop_name: String, "", "Crop";
        /// What to order.
        order: String, "";
        /// Number of sowings.
        sowings: u32, "sowings";
        /// Bed area of all sowings.
        area_m2: f64, "m2";
        /// Seeds to sow, losses included; empty where a planting does not say.
        seeds: Option<f64>, "seeds";
        /// First sowing: the seed has to be there by then.
        needed_by: NaiveDate, "";
    }
}

/// The plan of a year.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct PlanView {
    /// Name of the project: keeps calendar entries of two projects apart.
    pub project: String,
    /// Where the building stands.
    pub place: String,
    /// First day of the plan.
    pub start: NaiveDate,
    /// Weeks of the plan; the chart shows 52 of them at a time.
    pub horizon_weeks: usize,
    /// True where each year repeats: what stands in a bed at the end stands there at the start too.
    pub repeats: bool,
    /// Day on which the plan was made or last planned anew, as the file or the person says; never the clock.
    pub as_of: NaiveDate,
    /// Days of the week on which the person works in the beds. Not part of the JSON.
    #[serde(skip)]
    pub work_days: Vec<Weekday>,
    /// Number of times it was planned anew; a calendar takes the entry with the higher number.
    pub revision: u32,
    /// Value of the plan by the search's own measure, in the currency: mean harvests eaten as well as can be, wishes
    /// weighed in. Of use beside `bound` alone.
    pub value: f64,
    /// By that measure no plan can be worth more than this.
    pub bound: f64,
    /// Bound less value, as a share of what the bound adds to bare beds, 0 to 1.
    pub gap: f64,
    /// Median of `replayed_value`.
    pub replayed_value_p50: Option<f64>,
    /// What the plan replaces, lived through each weather year and eaten week by week, less seed, trays and compost.
    pub replayed_value: Option<Spread>,
    /// What it replaces, seed not taken off.
    pub replaced: Spread,
    /// What is eaten beyond what would have been bought, at shop prices: in no sum with the others.
    pub beyond: Spread,
    /// True where the plan is made for the hard winters in place of the mean of all.
    pub hard_winters: bool,
    /// Share of the weather years with a week in which nothing is on the table, 0 to 1.
    pub any_empty_week: f64,
    /// Different foods on the table in a week, over the weeks of the plan.
    pub foods_week: Spread,
    /// Currency of all values, as the file names it.
    pub currency: String,
    /// Beds in the order of the file, those without plantings too.
    pub beds: Vec<String>,
    /// Patches of each of these beds: equal parts that are planted on their own.
    pub bed_patches: Vec<u32>,
    /// Plantings by bed, then by day.
    pub plantings: Vec<PlantingView>,
    /// Weeks in order.
    pub weeks: Vec<WeekView>,
    /// Months in order, over the weather years.
    pub months: Vec<PlanMonthRow>,
    /// Plantings most likely lost, the likeliest first.
    pub risks: Vec<RiskRow>,
    /// Wishes that are not met.
    pub gaps: Vec<GapRow>,
    /// Where this is the plan on its own leaves, what that changed.
    pub second_pass: Option<SecondPassView>,
    /// Plans of fewer and of more kinds of crop, this one among them; empty for a plan from a file.
    pub frontier: Vec<FrontierRow>,
    /// How much there is to do: different kinds of crop.
    pub kinds: u32,
    /// One crop sown on one day for one kind of bed is a planting, however many sections it fills.
    pub plantings_to_do: u32,
    /// Days on which something is sown.
    pub sowing_days: u32,
    /// What the household's own time weighs for it in the search, taken off `value` and `bound`; never booked as money.
    pub effort: f64,
    /// No plan of just these kinds can be worth more than this, in the measure of `value`; empty where not looked for.
    pub bound_of_kinds: Option<f64>,
    /// That bound less value, as `gap`.
    pub gap_of_kinds: Option<f64>,
    /// What became of the former plan; empty where none was named.
    pub former: Option<FormerView>,
    /// What else to know.
    pub notes: Vec<Note>,
}

/// What became of a former plan.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct FormerView {
    /// What the best plan found is worth more than the former one, mended where it no longer works.
    pub new_plan_gains: f64,
    /// Share of the former plan's bed-weeks that stay, 0 to 1.
    pub kept: f64,
    /// Whether it stays as it was.
    pub whole: bool,
    /// Whether this plan is the former one, mended or changed in places.
    pub taken: bool,
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
    pub struct PickRow {
        /// Name of the bed.
        bed: String, "";
        /// Identifier of the crop.
        crop: String, "";
        /// Name of the crop.
        crop_name: String, "", "Crop";
        /// Day of sowing of the planting.
        sow: NaiveDate, "";
        /// First day of the week.
        start: NaiveDate, "", "Week of";
        /// Expected harvest.
        harvest_kg: f64, "kg";
    }
}

row! {
    /// One food in one week, flat.
    pub struct FoodWeekRow {
        /// First day of the week.
        start: NaiveDate, "", "Week of";
        /// Name of the food.
        food: String, "";
        /// For the table.
        food_kg: f64, "kg", "Food";
        /// Asked for.
        wish_kg: f64, "kg", "Target";
    }
}

impl PlantingRow {
    /// Where it stands, such as `north 2, section 1`.
    pub fn place(&self) -> String {
        place(&self.bed, &self.sections)
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

/// How far a target is met, month by month.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct TargetMonths {
    /// Name of the food or group.
    pub food: String,
    /// January to December: on the table as a share of what is asked for; none in months without a target.
    pub met: [Option<f64>; 12],
}

impl PlanView {
    /// Food on the table as a share of each target, by month; food beyond a week's target counts for no other week.
    pub fn target_months(&self) -> Vec<TargetMonths> {
        let mut sums: Vec<(&str, [[f64; 2]; 12])> = Vec::new();
        for week in &self.weeks {
            let month = week.row.start.month0() as usize;
            for food in week.by_food.iter().filter(|food| food.wish_kg > 0.0) {
                let at = sums.iter().position(|(name, _)| *name == food.food);
                let at = at.unwrap_or_else(|| {
                    sums.push((&food.food, [[0.0; 2]; 12]));
                    sums.len() - 1
                });
                let [met, asked] = &mut sums[at].1[month];
                *met += food.food_kg.min(food.wish_kg);
                *asked += food.wish_kg;
            }
        }
        let share = |[met, asked]: [f64; 2]| (asked > 0.0).then(|| met / asked);
        sums.into_iter()
            .map(|(food, months)| TargetMonths {
                food: food.trim_start_matches(TARGET).to_owned(),
                met: months.map(share),
            })
            .collect()
    }

    /// The plantings without their pickings.
    pub fn planting_rows(&self) -> Vec<PlantingRow> {
        self.plantings
            .iter()
            .map(|planting| planting.row.clone())
            .collect()
    }

    /// The weeks without their foods.
    pub fn week_rows(&self) -> Vec<WeekRow> {
        self.weeks.iter().map(|week| week.row.clone()).collect()
    }

    /// All pickings, flat.
    pub fn pick_rows(&self) -> Vec<PickRow> {
        let of_planting = |planting: &PlantingView| {
            let row = planting.row.clone();
            planting.picks.clone().into_iter().map(move |pick| PickRow {
                bed: row.bed.clone(),
                crop: row.crop.clone(),
                crop_name: row.crop_name.clone(),
                sow: row.sow,
                start: pick.start,
                harvest_kg: pick.kg,
            })
        };
        self.plantings.iter().flat_map(of_planting).collect()
    }

    /// All foods of all weeks, flat.
    pub fn food_week_rows(&self) -> Vec<FoodWeekRow> {
        let of_week = |week: &WeekView| {
            let start = week.row.start;
            week.by_food
                .clone()
                .into_iter()
                .map(move |food| FoodWeekRow {
                    start,
                    food: food.food,
                    food_kg: food.food_kg,
                    wish_kg: food.wish_kg,
                })
        };
        self.weeks.iter().flat_map(of_week).collect()
    }
}
