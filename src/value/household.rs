//! Who eats, what they buy, and what they say about it.

use super::finance::AMOUNT_MAX;
use super::food::{self, Food};
use super::{Currency, ValueError, in_range};
use crate::calendar::{first_day_of_week, month_of_day};
use crate::words::worded;

/// Years in whose money prices can be stated: those that price tables reach, and what rises in prices can be foreseen for
/// (own choice).
pub const PRICE_YEARS: (f64, f64) = (1990.0, 2100.0);

/// One person at the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eater {
    /// Age in years, 0 to 120; `None` counts as an average person of the statistics.
    pub age_years: Option<f64>,
    /// Appetite for produce beside that of others of the same age; 1 is usual, 0 to 10.
    pub appetite: f64,
}

impl Country {
    /// Name for people.
    pub fn name(self) -> &'static str {
        match self {
            Country::UnitedStates => "the United States",
            Country::Canada => "Canada",
            Country::UnitedKingdom => "the United Kingdom",
        }
    }

    /// Code of the currency its statistics are in.
    pub fn currency_code(self) -> &'static str {
        match self {
            Country::UnitedStates => "USD",
            Country::Canada => "CAD",
            Country::UnitedKingdom => "GBP",
        }
    }
}

impl Eater {
    /// A person of an age with the usual appetite.
    pub fn aged(age_years: f64) -> Self {
        Self {
            age_years: Some(age_years),
            appetite: 1.0,
        }
    }
}

worded! {
    /// Whose published prices and household statistics are used, with its short name in the built-in tables.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Country {
        /// United States, in USD (the default; the only one with eaten quantities by food).
        "US" => UnitedStates,
        /// Canada, in CAD.
        "CA" => Canada,
        /// United Kingdom, in GBP.
        "UK" => UnitedKingdom,
    }
}

worded! {
    /// In what form the household buys the salad that the beds would replace.
    ///
    /// Packed leaves cost several times a head of lettuce per kg, so this moves the result more than the season.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum SaladBought {
        /// Heads (iceberg, romaine): the cautious default, an assumption unless the person says so.
        "heads" => Heads,
        /// Washed leaves in bags or boxes.
        "packed leaves" => Packed,
    }
}

/// A price or a quantity that the person gave.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnPrice {
    /// Food id (see [`super::food::foods`]).
    pub food: String,
    /// Price per kg as bought, in the household's currency, January to December.
    pub per_kg: [f64; 12],
    /// What it rests on, such as `project file` or `own receipts`.
    pub basis: String,
    /// Year the figure is of, to be shown; the price itself is in the money of the household's price year.
    pub year: i32,
}

/// Appetite for a food or for a group, in the person's own figures.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnAppetite {
    /// Food id or group id.
    pub of: String,
    /// kg as bought a week, the whole household, 0 or more.
    pub kg_week: f64,
    /// What it rests on, such as `project file` or `own receipts`.
    pub basis: String,
}

/// So many kilograms a week that the household asked for in some months.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// The words in which it was asked for.
    pub text: String,
    /// Food id or group id.
    pub of: String,
    /// kg as bought a week, the whole household, 0 or more.
    pub kg_week: f64,
    /// First and last month (0 to 11), running over the year's end where the first is later.
    pub months: (usize, usize),
}

impl Wish {
    /// Kilograms asked for in a planning week of the calendar (0 to 51).
    pub fn kg_in_week(&self, week: usize) -> f64 {
        let month = month_of_day(first_day_of_week(week));
        let (from, to) = self.months;
        let within = if from <= to {
            (from..=to).contains(&month)
        } else {
            month >= from || month <= to
        };
        if within { self.kg_week } else { 0.0 }
    }
}

/// The household: its size, purse and wishes.
#[derive(Clone, Debug, PartialEq)]
pub struct Household {
    /// People at the table; an empty list buys nothing.
    pub eaters: Vec<Eater>,
    /// Statistics used where the person gave no figure.
    pub country: Country,
    /// Currency of every amount in and out.
    pub currency: Currency,
    /// Units of the currency for one unit of the country's own; `None` takes 1 where they agree, else a
    /// yearly mean of 2024 where one is on file.
    pub exchange_rate: Option<f64>,
    /// Year in whose money everything is stated.
    pub price_year: i32,
    /// Rise of prices in a year beyond the last year of the index on file, as a fraction; -0.2 to 1.
    pub inflation: f64,
    /// All food bought for home in a month; `None` takes the statistics.
    pub groceries_month: Option<f64>,
    /// Fresh produce bought in a month; `None` takes the statistics' share of the groceries.
    pub produce_month: Option<f64>,
    /// Appetite in the person's own figures, before all statistics.
    pub appetites: Vec<OwnAppetite>,
    /// What it asked for, in the file's order; it raises the appetite in its own weeks alone.
    pub wishes: Vec<Wish>,
    /// Prices in the person's own figures, before all statistics.
    pub prices: Vec<OwnPrice>,
    /// Foods that the household eats; empty means all on file.
    pub eats: Vec<String>,
    /// Foods or groups that nobody eats.
    pub refused: Vec<String>,
    /// What is wasted of bought food in the kitchen and on the plate, beside peel and trimmings, 0 to 0.9.
    pub kitchen_loss: f64,
    /// Share of what people eat that comes from the home kitchen, 0 to 1.
    pub eaten_at_home: f64,
    /// In what form salad is bought; `None` assumes heads, and the market says so.
    pub salad_bought: Option<SaladBought>,
    /// South of the equator: published swings of price through the year, all of northern countries, are moved by
    /// half a year.
    pub southern: bool,
}

/// Share of bought fresh vegetables thrown away or spoilt at home: about a fifth.
///
/// Source: order of size of the consumer-level losses in the loss-adjusted food availability of USDA ERS (from memory).
pub const KITCHEN_LOSS: f64 = 0.20;

/// Share of food eaten from the home kitchen: about two thirds of the energy eaten in the US.
///
/// Source: USDA ERS, food away from home series (from memory). Check: see `tests/value.rs`, where this and
/// [`KITCHEN_LOSS`] together bring quantities times prices to the published produce line.
pub const EATEN_AT_HOME: f64 = 0.67;

impl Household {
    /// A household of average people in the US, in USD, everything else from the statistics.
    pub fn of_size(people: usize, price_year: i32) -> Self {
        let average = Eater {
            age_years: None,
            appetite: 1.0,
        };
        Self {
            eaters: vec![average; people],
            country: Country::UnitedStates,
            currency: Currency::usd(),
            exchange_rate: None,
            price_year,
            inflation: 0.025,
            groceries_month: None,
            produce_month: None,
            appetites: Vec::new(),
            wishes: Vec::new(),
            prices: Vec::new(),
            eats: Vec::new(),
            refused: Vec::new(),
            kitchen_loss: KITCHEN_LOSS,
            eaten_at_home: EATEN_AT_HOME,
            salad_bought: None,
            southern: false,
        }
    }

    /// Whether the food is on the household's table.
    pub(super) fn takes(&self, food: &Food) -> bool {
        let names = |list: &[String]| {
            list.iter().any(|name| {
                food::find(name).is_some_and(|found| found.id == food.id)
                    || food::find_group(name).is_some_and(|group| group.id == food.group)
            })
        };
        (self.eats.is_empty() || names(&self.eats)) && !names(&self.refused)
    }

    /// Checks the names, and the figures that receipts may bring.
    ///
    /// # Errors
    /// The first figure out of range or name not on file.
    pub fn check(&self) -> Result<(), ValueError> {
        for own in &self.prices {
            food::require(&own.food)?;
            for price in own.per_kg {
                in_range(
                    &format!("price of `{}` per kg", own.food),
                    price,
                    0.0,
                    AMOUNT_MAX,
                )?;
            }
        }
        for own in &self.appetites {
            require_food_or_group(&own.of)?;
            in_range(
                &format!("appetite for `{}`, kg a week", own.of),
                own.kg_week,
                0.0,
                1e6,
            )?;
        }
        self.eats
            .iter()
            .chain(&self.refused)
            .try_for_each(|name| require_food_or_group(name))
    }
}

fn require_food_or_group(name: &str) -> Result<(), ValueError> {
    if food::find_group(name).is_some() || food::find(name).is_some() {
        return Ok(());
    }
    Err(ValueError::UnknownFood {
        food: name.to_owned(),
        near: food::nearest(name),
    })
}
