//! The produce against the budget.

use serde::Serialize;

use super::{Note, Spread};
use crate::output::row::row;
use crate::output::text::listed;
use crate::output::units::Units;
use crate::phrase::Phrase;
use crate::value::{Answer, Currency, FoodLine, FoodValue, MonthValue, Payback, Whole, YearValue};

row! {
    /// One month of food and money.
    pub struct ValueMonth of (m: &MonthValue, currency: Currency, left_out: &str) {
        /// Month, 1 to 12.
        month: u32, "" => m.month;
        /// Picked.
        grown_kg: f64, "kg" => m.grown_kg;
        /// Eaten in place of buying, what was kept before included.
        eaten_kg: f64, "kg", "Replaces" => m.eaten_kg;
        /// Put by for later.
        kept_kg: f64, "kg", "Put by" => m.kept_kg;
        /// Eaten beyond what would have been bought.
        beyond_kg: f64, "kg", "Beyond" => m.beyond_kg;
        /// Neither eaten nor kept.
        surplus_kg: f64, "kg", "Spare" => m.surplus_kg;
        /// What the food eaten in place of buying would have cost.
        value: f64, "currency" => currency.amount(m.value);
        /// What the food eaten beyond that would cost in the shop: in no sum with `value`.
        beyond: f64, "currency", "Beyond" => currency.amount(m.beyond);
        /// Running costs.
        cost: f64, "currency" => currency.amount(m.cost);
        /// Value less cost; at most that where something is left out.
        net: f64, "currency" => currency.amount(m.net);
        /// What the cost leaves out for want of a price, such as 746 L propane; empty where nothing is.
        left_out: String, "", "Not counted" => left_out.to_owned();
        /// What the household spends on produce in the month.
        budget: f64, "currency" => currency.amount(m.budget);
        /// Value as a share of the budget; empty where the budget is nil.
        share: Option<f64>, "share" => m.share;
        /// Hours of work, not counted as a cost.
        work_h: f64, "h", "Work" => m.work_h;
        /// Picked, over the weather years.
        grown_range: Option<Spread>, "kg", "Grown" => Some(m.grown_kg_spread);
        /// Value over the weather years.
        value_range: Option<Spread>, "currency", "Value" => Some(m.value_spread);
        /// Net over the weather years.
        net_range: Option<Spread>, "currency", "Net" => Some(m.net_spread);
    }
}

row! {
    /// One cost of one month; the costs of a month add up to its `cost`.
    pub struct MonthCostRow {
        /// Month, 1 to 12.
        month: u32, "";
        /// What is paid for.
        item: String, "";
        /// Paid in the month.
        cost: f64, "currency";
    }
}

row! {
    /// The year of food and money.
    pub struct ValueYear of (year: &YearValue, left_out: &str) {
        /// Picked.
        grown_kg: f64, "kg" => year.grown_kg;
        /// Eaten in place of buying.
        eaten_kg: f64, "kg", "Replaces" => year.eaten_kg;
        /// Put by for later.
        kept_kg: f64, "kg", "Put by" => year.kept_kg;
        /// Eaten beyond what would have been bought.
        beyond_kg: f64, "kg", "Beyond" => year.beyond_kg;
        /// Neither eaten nor kept.
        surplus_kg: f64, "kg", "Spare" => year.surplus_kg;
        /// What the food eaten in place of buying would have cost.
        value: f64, "currency" => year.currency.amount(year.value);
        /// What the food eaten beyond that would cost in the shop: in no sum with `value`.
        beyond: f64, "currency", "Beyond" => year.currency.amount(year.beyond);
        /// Running costs.
        cost: f64, "currency" => year.currency.amount(year.cost);
        /// Value less cost; at most that where something is left out.
        net: f64, "currency" => year.currency.amount(year.net);
        /// What the cost leaves out for want of a price, such as 746 L propane; empty where nothing is.
        left_out: String, "", "Not counted" => left_out.to_owned();
        /// What the household spends on produce.
        budget: f64, "currency" => year.currency.amount(year.ceiling);
        /// Value as a share of the budget; empty where the budget is nil.
        share: Option<f64>, "share" => year.share_of_produce;
        /// Hours of work, not counted as a cost.
        work_h: f64, "h", "Work" => year.work_h;
        /// Value over the weather years.
        value_range: Option<Spread>, "currency", "Value" => Some(year.value_spread);
        /// Net over the weather years.
        net_range: Option<Spread>, "currency", "Net" => Some(year.net_spread);
    }
}

row! {
    /// One price and what stands behind it.
    pub struct PriceRow of (food: &FoodValue, line: &FoodLine, currency: Currency) {
        /// Name of the food.
        food: String, "" => food.name.clone();
        /// What the household would buy in its place.
        replaces: String, "" => line.name.clone();
        /// Mean price over the year.
        price_per_kg: f64, "currency/kg", "Price" => line.price_per_kg.iter().sum::<f64>() / 12.0;
        /// Eaten in the year in place of buying.
        eaten_kg: f64, "kg", "Replaces" => food.eaten_kg;
        /// What it would have cost.
        value: f64, "currency" => currency.amount(food.value);
        /// Eaten in the year beyond that.
        beyond_kg: f64, "kg" => food.beyond_kg;
        /// Where the price comes from.
        source: String, "" => line.price_basis.in_line();
    }
}

row! {
    /// One cost of the year.
    pub struct CostRow {
        /// What is paid for.
        item: String, "";
        /// Paid in the year.
        cost: f64, "currency";
        /// How it was counted, and from which source.
        basis: String, "", "How it was counted";
    }
}

row! {
    /// What the beds bring over the building's life.
    pub struct LifeRow of (case: &str, outlay: f64, left_out: &str, payback: &Payback, discount_rate: f64) {
        /// With the building's own cost or without it.
        case: String, "", " " => case.to_owned();
        /// Laid out at the start.
        outlay: f64, "currency" => outlay;
        /// The same net every year that the whole life comes to: outlay and renewals spread at the discount rate; at most
        /// that where something is left out.
        net_year: f64, "currency", "Net a year" => payback.net_a_year;
        /// What the costs leave out for want of a price; empty where nothing is.
        left_out: String, "", "Not counted" => left_out.to_owned();
        /// Years until the nets add up to the outlay; empty if they never do, or if there is none.
        simple_years: Option<f64>, "years", "Paid back, years" => payback.simple_years.filter(|_| outlay > 0.0);
        /// The same with discounted nets.
        discounted_years: Option<f64>, "years", "discounted" => payback.discounted_years.filter(|_| outlay > 0.0);
        /// Net present value over the life.
        net_present_value: f64, "currency" => payback.net_present_value;
        /// Cost of one kg eaten over the life, outlay included; empty where nothing is eaten.
        cost_per_kg: Option<f64>, "currency/kg", "Cost eaten" => payback.levelised_cost_per_kg;
        /// Life looked at.
        life_years: u32, "years" => payback.life_years;
        /// Real discount rate a year.
        discount_rate: f64, "share" => discount_rate;
    }
}

row! {
    /// What it would take to cover a share of the spending.
    pub struct CoverRow of (answer: &Answer, currency: Currency) {
        /// Share asked for.
        share: f64, "share" => answer.share;
        /// Of what: groceries or produce.
        of: String, "" => match answer.whole { Whole::Groceries => "groceries", Whole::Produce => "produce", }.to_owned();
        /// Spent on that in a year.
        spent: f64, "currency" => currency.amount(answer.spent);
        /// The share of it.
        target: f64, "currency" => currency.amount(answer.target);
        /// What the eaten food of the year is worth today.
        value_today: f64, "currency" => currency.amount(answer.value_today);
        /// Most that any bed area in this building could bring.
        value_most_here: f64, "currency" => currency.amount(answer.value_most_here);
        /// Most that any building could bring.
        value_most: f64, "currency" => currency.amount(answer.value_most);
        /// Is it reached today?
        reached: bool, "" => answer.reached;
        /// Least bed area that would do; empty where no area does.
        bed_area_m2: Option<f64>, "m2" => answer.bed_area_m2;
        /// Times as dear as produce would have to be; empty where no price does it.
        price_factor: Option<f64>, "times" => answer.price_factor;
        /// Times as much produce as would have to be eaten in place of other food; empty where that is not what is missing.
        appetite_factor: Option<f64>, "times" => answer.appetite_factor;
        /// Least bed area that would grow so much.
        appetite_area_m2: Option<f64>, "m2" => answer.appetite_area_m2;
        /// Most eaters for whom today's beds do; empty where no number does.
        eaters: Option<f64>, "people" => answer.eaters;
    }
}

/// What it would take, in figures and in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct CoverView {
    /// The figures.
    #[serde(flatten)]
    pub figures: CoverRow,
    /// The answer in plain sentences.
    pub answer: Vec<Phrase>,
}

/// Food and money through the year.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct ValueView {
    /// Where the building stands.
    pub place: String,
    /// Currency of all values, as the file names it.
    pub currency: String,
    /// January to December.
    pub months: [ValueMonth; 12],
    /// The whole year.
    pub year: ValueYear,
    /// All the fresh produce the household buys in a year: no plan can save more.
    pub ceiling: f64,
    /// Value as a share of the produce budget.
    pub share_of_produce: Option<f64>,
    /// Value as a share of all groceries.
    pub share_of_groceries: Option<f64>,
    /// What the costs leave out for want of a price: every net is then at most what is shown.
    pub left_out: Vec<Phrase>,
    /// Countries whose prices are taken in place of those of the currency's own country; empty where none are.
    pub foreign_prices: String,
    /// Prices by food.
    pub prices: Vec<PriceRow>,
    /// Costs by item.
    pub costs: Vec<CostRow>,
    /// Costs by month and item.
    pub costs_by_month: Vec<MonthCostRow>,
    /// What the beds bring over the building's life, its own cost left out.
    pub without_building: LifeRow,
    /// The same with its cost; empty where none is given.
    pub with_building: Option<LifeRow>,
    /// What it would take to cover a share of the spending, where that was asked.
    pub cover: Option<CoverView>,
    /// What else to know.
    pub notes: Vec<Note>,
}

impl ValueView {
    /// What every net leaves out, as words to follow it: `, without 746 L propane and upkeep`; empty where nothing is.
    pub fn without(&self, units: Units) -> String {
        if self.left_out.is_empty() {
            return String::new();
        }
        let words: Vec<String> = self.left_out.iter().map(|what| units.say(what)).collect();
        format!(", without {}", listed(&words))
    }

    /// `at most ` before a net that leaves something out.
    pub fn at_most(&self) -> &'static str {
        if self.left_out.is_empty() {
            ""
        } else {
            "at most "
        }
    }

    /// Without the building's cost, and with it where that is known.
    pub fn lives(&self) -> Vec<LifeRow> {
        std::iter::once(&self.without_building)
            .chain(&self.with_building)
            .cloned()
            .collect()
    }

    /// What it would take, where that was asked.
    pub fn cover_rows(&self) -> Vec<CoverRow> {
        self.cover
            .iter()
            .map(|cover| cover.figures.clone())
            .collect()
    }
}
