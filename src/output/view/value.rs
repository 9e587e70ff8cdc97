//! The produce against the budget.

use chrono::NaiveDate;

use super::{CoverRow, CoverView, Note, Spread};
use crate::output::row::{row, view};
use crate::output::text::{fixed, listed, percent};
use crate::output::units::Units;
use crate::phrase::{Phrase, amount, phrase};
use crate::study::{Job, PlanStudy, ValueStudy};
use crate::value::{
    CostKind, Currency, FoodLine, FoodValue, Market, Money, MonthValue, Payback, YearValue,
};
use crate::words::Word;

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
    pub struct MonthCostRow of (study: &ValueStudy, month: u32, kind: CostKind, amount: Money) {
        /// Month, 1 to 12.
        month: u32, "" => month;
        /// What is paid for.
        item: String, "" => kind.word().to_owned();
        /// Paid in the month.
        cost: f64, "currency" => study.year.currency.amount(amount);
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
        /// What the food eaten in place of buying would have cost: sum of the months, mean of the weather years. The median is told
        /// as the year's figure.
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
        share: Option<f64>, "share" => (year.ceiling > Money::ZERO)
            .then(|| year.currency.amount(year.value) / year.currency.amount(year.ceiling));
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
    pub struct CostRow of (study: &ValueStudy, kind: CostKind, amount: Money) {
        /// What is paid for.
        item: String, "" => kind.word().to_owned();
        /// Paid in the year.
        cost: f64, "currency" => study.year.currency.amount(amount);
        /// How it was counted, and from which source.
        basis: String, "", "How it was counted" => cost_basis(study, kind);
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

view! {
    /// Food and money through the year.
    pub struct ValueView of value(job: &Job, plan: &PlanStudy, study: &ValueStudy) {
        let year = &study.year;
        let currency = year.currency;
        let money = |amount: Money| currency.amount(amount);
        let left_out = left_out(study);
        let own = &job.project.costs;
        let life = |case: &str, outlay: f64, payback: &Payback| {
            LifeRow::of(case, outlay, &left_out, payback, own.discount_rate)
        };
        /// Where the building stands.
        place: String => job.site.place.name.clone();
        /// Currency of all values, as the file names it.
        currency: String => currency.code().to_owned();
        /// January to December.
        months: [ValueMonth; 12] => std::array::from_fn(|at| ValueMonth::of(&year.months[at], currency, &left_out));
        /// The whole year.
        year: ValueYear => ValueYear::of(year, &left_out);
        /// Of a plan whose year repeats, the first year for who begins it with empty beds.
        first_year: Option<ValueYear> => study.first.as_ref().map(|first| ValueYear::of(&first.year, &left_out));
        /// First picking of all in that year; empty where there is none.
        first_year_picked_from: Option<NaiveDate> => study.first.as_ref().and_then(|first| first.picked_from);
        /// All the fresh produce the household buys in a year: no plan can save more.
        ceiling: f64 => money(year.ceiling);
        /// Value of the middle year as a share of the produce budget.
        share_of_produce: Option<f64> => year.share_of_produce;
        /// Value of the middle year as a share of all groceries.
        share_of_groceries: Option<f64> => year.share_of_groceries;
        /// What the costs leave out for want of a price: every net is then at most what is shown.
        left_out: Vec<Phrase> => year.left_out.clone();
        /// Countries whose prices are taken in place of those of the currency's own country; empty where none are.
        foreign_prices: String => foreign_prices(&plan.problem.market);
        /// Prices by food.
        prices: Vec<PriceRow> => year.foods.iter()
            .filter_map(|food| Some(PriceRow::of(food, plan.problem.market.food(&food.food)?, currency))).collect();
        /// Costs by item.
        costs: Vec<CostRow> => year.costs.iter().map(|(kind, amount)| CostRow::of(study, *kind, *amount)).collect();
        /// Costs by month and item.
        costs_by_month: Vec<MonthCostRow> => costs_by_month(study);
        /// What the beds bring over the building's life, its own cost left out.
        without_building: LifeRow => life("without the building's cost", 0.0, &study.without_building);
        /// The same with its cost; empty where none is given.
        with_building: Option<LifeRow> => own
            .building
            .zip(study.with_building.as_ref())
            .map(|(outlay, payback)| life("with the building's cost", outlay, payback));
        /// What it would take to cover a share of the spending, where that was asked.
        cover: Option<CoverView> => None;
        /// What else to know.
        notes: Vec<Note> => notes(plan, study);
    }
}

impl ValueYear {
    /// What the food eaten in place of buying would have cost in the middle year.
    pub fn middle(&self) -> f64 {
        self.value_range.map_or(self.value, |range| range.p50)
    }
}

impl ValueView {
    /// What every cost and net leaves out, as words to follow them: ` with 746 L propane and upkeep not counted`; empty where
    /// nothing is.
    pub fn not_counted(&self, units: Units) -> String {
        if self.left_out.is_empty() {
            return String::new();
        }
        let words = self.left_out.iter().map(|what| units.say(what));
        format!(" with {} not counted", listed(words))
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

/// What the costs leave out for want of a price, in one line.
pub(super) fn left_out(study: &ValueStudy) -> String {
    listed(study.year.left_out.iter().map(Phrase::to_string))
}

/// Countries whose prices stand in for those of the currency's own, in words; empty where none do.
pub(super) fn foreign_prices(market: &Market) -> String {
    let mut names: Vec<String> = market
        .foods
        .iter()
        .filter_map(|line| line.price_country)
        .filter(|country| country.currency_code() != market.currency.code())
        .map(|country| country.name().to_owned())
        .collect();
    names.sort();
    names.dedup();
    listed(names)
}

fn cost_basis(study: &ValueStudy, kind: CostKind) -> String {
    let fixed_one = study
        .fixed
        .costs
        .iter()
        .find(|cost| cost.kind == kind)
        .map(|cost| cost.basis.in_line());
    let tariff = match kind {
        CostKind::Fan | CostKind::Lamp => study.tariff.electricity_kwh.as_ref(),
        CostKind::Heater => study.tariff.fuel_kwh.as_ref(),
        CostKind::Water => study.tariff.water_m3.as_ref(),
        _ => None,
    };
    fixed_one
        .or_else(|| tariff.map(|priced| priced.basis.in_line()))
        .unwrap_or_else(|| "not counted: no price is published; give your own".to_owned())
}

fn costs_by_month(study: &ValueStudy) -> Vec<MonthCostRow> {
    let months = study.year.months.iter();
    let of_month = |month: &MonthValue| {
        let number = month.month;
        let costs = month.costs.clone().into_iter();
        costs.map(move |(kind, amount)| MonthCostRow::of(study, number, kind, amount))
    };
    months.flat_map(of_month).collect()
}

fn notes(plan: &PlanStudy, study: &ValueStudy) -> Vec<Note> {
    let market = &plan.problem.market;
    let flags = study.year.flags.iter().map(Note::warning);
    let asked = asked(market).map(Note::warning);
    let assumed = market.assumptions.iter().map(Note::plain);
    let work = Note::plain(format!(
        "work: about {} hours a year, not counted as a cost (hours by bed area, plant and harvest: common practice, no source)",
        fixed(study.year.work_h, 0)
    ));
    let litres = amount(study.water_l, "L", 0);
    let water = Note::plain(phrase!["water: about ", litres, " a year by FAO-56"]);
    let notes = flags.chain(asked).chain(assumed);
    notes.chain([work, water]).collect()
}

/// The foods to ask a price for, in one sentence.
pub(super) fn asked(market: &Market) -> Option<String> {
    let foods = market.unpriced();
    (!foods.is_empty()).then(|| {
        format!(
            "no price is published for {}: give what you pay under [money.prices], as in {} = \"... {}/kg\"; until then \
             they count for nothing and are planned only where you wish for them",
            foods.join(", "),
            foods[0],
            market.currency.code()
        )
    })
}

/// Shares of the year in one sentence.
pub fn shares(view: &ValueView) -> String {
    match (view.share_of_produce, view.share_of_groceries) {
        (Some(produce), Some(groceries)) => format!(
            "{} of the produce budget, {} of all groceries",
            percent(produce, 0),
            percent(groceries, 1)
        ),
        (Some(produce), None) => format!("{} of the produce budget", percent(produce, 0)),
        _ => String::new(),
    }
}
