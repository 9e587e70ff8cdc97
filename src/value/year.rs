//! A year of food against the household's budget, month by month.

use super::{Basis, Currency, Market, Money, Running};
use crate::phrase::Phrase;
use crate::profile::Quantiles;
use crate::words::worded;

/// One food's year in one weather year, 52 planning weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct FoodFlow {
    /// Food id or alias.
    pub food: String,
    /// Picked, kg as sold, by week.
    pub harvested_kg: Vec<f64>,
    /// Eaten, kg, by week, out of the week's harvest and what was kept.
    pub eaten_kg: Vec<f64>,
    /// Put by in this week for later weeks, kg.
    pub kept_kg: Vec<f64>,
    /// Neither eaten nor kept, kg, booked in the week in which it is lost.
    pub surplus_kg: Vec<f64>,
}

/// What one weather year brought and used.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherYear {
    /// Foods picked; a food appears once.
    pub foods: Vec<FoodFlow>,
    /// Energy and water, January to December.
    pub running: Running,
}

/// Amounts that fall due each month, whatever the weather: seed, compost, upkeep and so on.
#[derive(Clone, Debug, PartialEq)]
pub struct FixedCost {
    /// What for.
    pub kind: CostKind,
    /// Amount by month, in units of the currency.
    pub month: [f64; 12],
    /// Where it comes from.
    pub basis: Basis,
}

worded! {
    /// What money is spent on.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum CostKind {
        /// Seed and young plants.
        "seed" => Seed,
        /// Mix for trays and pots.
        "tray mix" => TrayMix,
        "compost" => Compost,
        "seed, trays and compost" => Supplies,
        "water" => Water,
        "fan" => Fan,
        "heater" => Heater,
        "lamps" => Lamp,
        /// Repairs and small things.
        "upkeep" => Upkeep,
        /// The cover of the building, renewed every so many years.
        "new cover, a year's part" => Cover,
    }
}

/// One month: means over the weather years, money in minor units.
#[derive(Clone, Debug, PartialEq)]
pub struct MonthValue {
    /// Month, 1 to 12.
    pub month: u32,
    /// Picked, kg.
    pub grown_kg: f64,
    /// Eaten in place of buying, kg.
    pub eaten_kg: f64,
    /// Put by for later weeks, kg.
    pub kept_kg: f64,
    /// Eaten beyond what would have been bought, kg.
    pub beyond_kg: f64,
    /// Neither eaten nor kept, kg.
    pub surplus_kg: f64,
    /// What the food eaten in place of buying would have cost.
    pub value: Money,
    /// What the food eaten beyond that would cost in the shop: in no sum with `value`.
    pub beyond: Money,
    /// All costs of the month.
    pub cost: Money,
    /// Value less cost.
    pub net: Money,
    /// All fresh produce the household buys in the month.
    pub budget: Money,
    /// Value over budget, fraction; `None` without a budget.
    pub share: Option<f64>,
    /// Costs by kind; they add up to `cost`.
    pub costs: Vec<(CostKind, Money)>,
    /// Value over the weather years, units of the currency.
    pub value_spread: Quantiles,
    /// Value less cost over the weather years, units of the currency.
    pub net_spread: Quantiles,
    /// kg picked over the weather years.
    pub grown_kg_spread: Quantiles,
    /// Hours of work.
    pub work_h: f64,
}

/// The year: sums of the months, and what they mean.
#[derive(Clone, Debug, PartialEq)]
pub struct YearValue {
    /// Currency of every amount.
    pub currency: Currency,
    /// January to December.
    pub months: Vec<MonthValue>,
    /// Picked, kg.
    pub grown_kg: f64,
    /// Eaten in place of buying, kg.
    pub eaten_kg: f64,
    /// Put by, kg.
    pub kept_kg: f64,
    /// Eaten beyond what would have been bought, kg.
    pub beyond_kg: f64,
    /// Neither eaten nor kept, kg.
    pub surplus_kg: f64,
    /// Sum of the months.
    pub value: Money,
    /// Sum of the months: what is eaten beyond, in no sum with `value`.
    pub beyond: Money,
    /// Sum of the months.
    pub cost: Money,
    /// Value less cost.
    pub net: Money,
    /// Costs by kind; they add up to `cost`.
    pub costs: Vec<(CostKind, Money)>,
    /// The ceiling: all fresh produce the household buys in the year. No saving goes beyond it.
    pub ceiling: Money,
    /// The middle year's value over the ceiling, fraction.
    pub share_of_produce: Option<f64>,
    /// The middle year's value over all food bought for home, fraction; `None` where that is not known.
    pub share_of_groceries: Option<f64>,
    /// Value by weather year.
    pub value_spread: Quantiles,
    /// Net by weather year.
    pub net_spread: Quantiles,
    /// Value by food, dearest first; adds up to `value`.
    pub foods: Vec<FoodValue>,
    /// Hours of work.
    pub work_h: f64,
    /// What the costs leave out for want of a price: where there is any, every net is at most what is shown.
    pub left_out: Vec<Phrase>,
    /// What a careful reader should know, in sentences.
    pub flags: Vec<Phrase>,
}

/// Months of winter harvest, October to April, 0 to 11; half a year later in the south.
const WINTER_MONTHS: [usize; 7] = [9, 10, 11, 0, 1, 2, 3];
/// Months by which the seasons of the south are shifted.
const HALF_YEAR_MONTHS: usize = 6;

impl YearValue {
    /// What the food eaten in place of buying would have cost in the middle year: the figure that is told. The months add up
    /// to the mean year.
    pub fn middle(&self) -> Money {
        self.currency.round(self.value_spread.p50)
    }

    /// That less the costs.
    pub fn left(&self) -> Money {
        self.middle() - self.cost
    }

    /// Picked from October to April, kg; from April to October south of the equator.
    pub fn winter_grown_kg(&self, southern: bool) -> f64 {
        let shift = if southern { HALF_YEAR_MONTHS } else { 0 };
        WINTER_MONTHS
            .iter()
            .filter_map(|month| self.months.get((month + shift) % 12))
            .map(|month| month.grown_kg)
            .sum()
    }
}

/// One food's part in the year.
#[derive(Clone, Debug, PartialEq)]
pub struct FoodValue {
    /// Food id.
    pub food: String,
    /// Name for people.
    pub name: String,
    /// Picked, kg.
    pub grown_kg: f64,
    /// Eaten in place of buying, kg.
    pub eaten_kg: f64,
    /// Eaten beyond what would have been bought, kg.
    pub beyond_kg: f64,
    /// What it would have cost.
    pub value: Money,
}

/// What goes into a year's account.
#[derive(Clone, Debug, PartialEq)]
pub struct YearInput<'a> {
    /// The household's demand.
    pub market: &'a Market,
    /// One entry for each weather year; at least one.
    pub years: &'a [WeatherYear],
    /// Prices of energy and water.
    pub tariff: &'a super::Tariff,
    /// Seed, compost, upkeep, cover.
    pub fixed: &'a [FixedCost],
    /// Hours of work by month beside picking.
    pub work_h: [f64; 12],
    /// Hours to pick, wash and put by one kg.
    pub pick_h_per_kg: f64,
    /// Costs that stay open because the person gave no price, as the costs list them.
    pub not_counted: &'a [super::NotCounted],
}
