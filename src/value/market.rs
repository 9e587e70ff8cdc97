//! What the household would buy of each food, week by week, and at what price: the demand a plan serves.

use super::{Country, Currency};
use crate::calendar::{WEEKS_PER_YEAR, months_of_week};
use crate::crops::Crop;
use crate::profile::mean;

/// One food on the household's table.
#[derive(Clone, Debug, PartialEq)]
pub struct FoodLine {
    /// Food id, such as `lettuce`.
    pub food: String,
    /// Name for people.
    pub name: String,
    /// Group of foods that stand in for each other, id such as `salad_greens`.
    pub group: String,
    /// What one kg costs to buy, January to December; all 0 where no price is known (see [`Market::unpriced`]).
    pub price_per_kg: [f64; 12],
    /// What one kg is worth beyond [`FoodLine::bought_kg_week`], where it stands in for the rest of its group.
    pub stand_in_price_per_kg: [f64; 12],
    /// kg as bought that the household buys of this very food in a week.
    pub bought_kg_week: f64,
    /// kg as bought that the household would eat of this food in a week when it is at hand; never below
    /// `bought_kg_week`, and the group's own limit holds beside it.
    pub appetite_kg_week: f64,
    /// Share of the bought weight that is eaten after peel and trimmings.
    pub edible_share: f64,
    /// Country whose published price it is; none for a price of the person's own, or where there is none.
    pub price_country: Option<Country>,
    /// What the price rests on: source, with year and mark.
    pub price_basis: Basis,
    /// What the appetite rests on.
    pub appetite_basis: Basis,
}

/// Where a figure comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Basis {
    /// Publication, or the person's own word.
    pub source: String,
    /// Year the figure is of.
    pub year: Option<i32>,
    /// `read`, `read second hand`, `computed`, `from memory`, `assumption`, `own figure`.
    pub mark: String,
}

impl Basis {
    /// A basis of a source, a year and a mark.
    pub fn new(source: impl Into<String>, year: impl Into<Option<i32>>, mark: &str) -> Self {
        Self {
            source: source.into(),
            year: year.into(),
            mark: mark.to_owned(),
        }
    }

    /// The source in one line.
    pub fn in_line(&self) -> String {
        match self.year {
            Some(year) => format!("{}, {year} ({})", self.source, self.mark),
            None => format!("{} ({})", self.source, self.mark),
        }
    }
}

/// Foods that stand in for each other at the table.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupLine {
    /// Id, such as `salad_greens`.
    pub group: String,
    /// Name for people.
    pub name: String,
    /// kg as bought of all its foods together in a week.
    pub appetite_kg_week: f64,
    /// What is bought of it beside the foods that the household eats from the beds.
    pub rest: Vec<Rest>,
}

/// What the household buys of a group beside the foods that it would eat from the beds.
#[derive(Clone, Debug, PartialEq)]
pub struct Rest {
    /// kg as bought in a week.
    pub kg_week: f64,
    /// What one kg costs, January to December.
    pub price_per_kg: [f64; 12],
}

/// What a wish is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WishOf {
    /// Food of the market.
    Food(usize),
    /// Group of the market.
    Group(usize),
}

/// So many kilograms a week that the household asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct WishLine {
    /// Food or group.
    pub of: WishOf,
    /// Kilograms asked for in each planning week of the calendar.
    pub kg_week: Vec<f64>,
}

/// The demand of one household, in its currency and year.
#[derive(Clone, Debug, PartialEq)]
pub struct Market {
    /// Foods in the order of the table.
    pub foods: Vec<FoodLine>,
    /// Groups in the order of the table.
    pub groups: Vec<GroupLine>,
    /// What was asked for.
    pub wishes: Vec<WishLine>,
    /// Currency of the prices.
    pub currency: Currency,
    /// Year of the money.
    pub price_year: i32,
    /// All fresh vegetables and fruit the household buys in each month: the ceiling of any saving.
    pub produce_month: [f64; 12],
    /// Whether the person gave the produce line; else it is from statistics.
    pub produce_given: bool,
    /// Fresh vegetables alone, where the statistics tell them apart.
    pub vegetables_month: Option<[f64; 12]>,
    /// All food bought for home in a month.
    pub groceries_month: Option<f64>,
    /// Assumptions made in the person's name, one sentence each.
    pub assumptions: Vec<String>,
}

/// Mark of a figure that nobody published and the person did not give.
pub(super) const TO_ASK: &str = "to ask";
/// Mark of a figure that the person gave.
pub(super) const OWN_FIGURE: &str = "own figure";
/// Groups that household statistics count as fruit.
const FRUIT_GROUPS: [&str; 2] = ["berries", "melons"];

impl Market {
    /// Line of a food by id or alias (crop ids count as aliases).
    pub fn food(&self, id: &str) -> Option<&FoodLine> {
        self.place(id).map(|at| &self.foods[at])
    }

    /// Place of that line.
    pub fn place(&self, id: &str) -> Option<usize> {
        let known = super::food::find(id).map_or(id, |food| food.id.as_str());
        self.foods.iter().position(|line| line.food == known)
    }

    /// Places of a group's foods.
    pub fn members(&self, group: &str) -> Vec<usize> {
        let foods = 0..self.foods.len();
        foods.filter(|at| self.foods[*at].group == group).collect()
    }

    /// Places of the foods that a wish is about.
    pub fn wished(&self, of: WishOf) -> Vec<usize> {
        match of {
            WishOf::Food(food) => vec![food],
            WishOf::Group(group) => self.members(&self.groups[group].group),
        }
    }

    /// Kilograms of what a wish is about among those eaten, by food of the market.
    pub fn on_table(&self, of: WishOf, eaten: &[f64]) -> f64 {
        self.wished(of).into_iter().map(|at| eaten[at]).sum()
    }

    /// Foods whose price is to be asked of the person, by id; they earn nothing until it is given.
    pub fn unpriced(&self) -> Vec<&str> {
        let foods = self.foods.iter();
        let foods = foods.filter(|line| line.price_basis.mark == TO_ASK);
        foods.map(|line| line.food.as_str()).collect()
    }

    /// Line of what a crop is eaten as: its own, or that of the food which its file names.
    pub fn line_of(&self, crop: &Crop) -> Option<&FoodLine> {
        self.food(&crop.id).or_else(|| self.food(&crop.food))
    }

    /// What the household would pay in a year for all it buys of the foods on file; without fruit if wished.
    pub fn basket_year(&self, without_fruit: bool) -> f64 {
        let counts = |group: &str| !(without_fruit && FRUIT_GROUPS.contains(&group));
        let foods = self.foods.iter().filter(|line| counts(&line.group));
        let week: f64 = foods
            .map(|line| line.bought_kg_week * mean(&line.price_per_kg))
            .sum();
        let groups = self.groups.iter().filter(|line| counts(&line.group));
        let rest: f64 = groups
            .flat_map(|group| &group.rest)
            .map(|rest| rest.kg_week * mean(&rest.price_per_kg))
            .sum();
        (week + rest) * WEEKS_PER_YEAR as f64
    }
}

impl FoodLine {
    /// Weekly appetite in steps: kg, and worth of a kg as a share of the price, falling from step to step.
    ///
    /// The first step is what the household buys of this food, the second what it would eat in place of the rest of
    /// its group, valued by the year's mean. Empty where nobody eats it or no price is known.
    pub fn appetite_steps(&self) -> Vec<(f64, f64)> {
        let price = mean(&self.price_per_kg);
        if price <= 0.0 {
            return Vec::new();
        }
        let worth = (mean(&self.stand_in_price_per_kg) / price).clamp(0.0, 1.0);
        let more = self.appetite_kg_week - self.bought_kg_week;
        [(self.bought_kg_week, 1.0), (more, worth)]
            .into_iter()
            .filter(|(kg, _)| *kg > KG_NIL)
            .collect()
    }
}

/// Price of a planning week (0 to 51), the mean over its days, from those of the months.
pub fn price_of_week(per_kg: &[f64; 12], week: usize) -> f64 {
    let parts = months_of_week(week).iter();
    parts.map(|(month, part)| part * per_kg[*month]).sum()
}

/// Quantities below this count as nothing, kg a week; own choice, far below a leaf.
const KG_NIL: f64 = 1e-9;
