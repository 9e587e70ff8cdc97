//! What food costs, what it would take to cover a share of the spending, variants side by side.

use super::value::asked;
use super::{Note, Spread};
use crate::output::row::{row, view};
use crate::output::text::fixed;
use crate::phrase::{Phrase, amount, phrase};
use crate::study::{Compared, CropStay, PlanStudy, ValueStudy};
use crate::value::{self, Answer, Currency, FoodLine, Household, Market, Money, Whole, YearValue};

row! {
    /// The price of one food in one month.
    pub struct FoodMonthRow of (food: &FoodPriceView, month: u32) {
        /// Identifier of the food.
        food: String, "" => food.food.clone();
        /// Month, 1 to 12.
        month: u32, "" => month;
        /// Price as bought, in the money of the price year; empty where nobody published one and none was given.
        price_per_kg: Option<f64>, "currency/kg" => food.price_per_kg.map(|months| months[month as usize - 1]);
        /// Where the price comes from.
        source: String, "" => food.price_source.clone();
        /// Year of the publication or of the latest receipt.
        source_year: Option<u32>, "" => food.price_source_year.and_then(|year| year.try_into().ok());
        /// How sure it is: read, read second hand, computed, from memory, assumption, own figure, to ask.
        mark: String, "" => food.price_mark.clone();
    }
}

view! {
    /// One food that the household eats.
    pub struct FoodPriceView of food(line: &FoodLine) {
        let priced = line.price_per_kg.iter().any(|price| *price > 0.0);
        /// Identifier.
        food: String => line.food.clone();
        /// Name.
        name: String => line.name.clone();
        /// Price per kg as bought, January to December; empty where it is to be asked.
        price_per_kg: Option<[f64; 12]> => priced.then_some(line.price_per_kg);
        /// Where the price comes from.
        price_source: String => line.price_basis.source.clone();
        /// Year of the publication or of the latest receipt.
        price_source_year: Option<i32> => line.price_basis.year;
        /// How sure it is.
        price_mark: String => line.price_basis.mark.clone();
        /// Bought in a week by the whole household, kg.
        bought_kg_week: f64 => line.bought_kg_week;
        /// Where that comes from.
        bought_source: String => line.appetite_basis.source.clone();
        /// Share of the bought weight that is eaten after peel and trimmings.
        edible_share: f64 => line.edible_share;
    }
}

view! {
    /// All prices of a household.
    pub struct PricesView of prices(place: &str, household: &Household, market: &Market) {
        let assumed = market.assumptions.iter().map(Note::plain);
        let asked = asked(market).map(Note::warning);
        /// Where the household lives.
        place: String => place.to_owned();
        /// Currency.
        currency: String => market.currency.code().to_owned();
        /// Year in whose money everything is stated.
        price_year: i32 => market.price_year;
        /// Countries whose prices are taken in place of those of the currency's own country; empty where none are.
        foreign_prices: String => super::value::foreign_prices(market);
        /// Share of bought food that is wasted at home, beside peel and trimmings.
        kitchen_loss: f64 => household.kitchen_loss;
        /// Share of what is eaten that comes from the home kitchen.
        eaten_at_home: f64 => household.eaten_at_home;
        /// Foods, in the order of the table.
        foods: Vec<FoodPriceView> => market.foods.iter().map(food).collect();
        /// What is assumed, and what is to be asked.
        notes: Vec<Note> => asked.into_iter().chain(assumed).collect();
    }
}

impl PricesView {
    /// One row for each food and month.
    pub fn rows(&self) -> Vec<FoodMonthRow> {
        let foods = self.foods.iter();
        let months = foods.flat_map(|food| (1..=12).map(|month| FoodMonthRow::of(food, month)));
        months.collect()
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

view! {
    /// What it would take, in figures and in words.
    pub struct CoverView of cover(answer: &Answer, currency: Currency) {
        /// The figures.
        #[serde(flatten)]
        figures: CoverRow => CoverRow::of(answer, currency);
        /// The answer in plain sentences.
        answer: Vec<Phrase> => answer.sentences.clone();
    }
}

row! {
    /// One building or variant.
    pub struct CompareRow of (variant: &ComparedVariant, with_money: bool) {
        let compared = &variant.compared;
        let planned = variant.planned.as_ref();
        let year = planned.map(|(_, value)| &value.year);
        let fuel = Some((compared.fuel, compared.fuel_amount)).filter(|(_, of)| of.0 > 0.0);
        let life = planned
            .filter(|_| variant.cost_known && with_money)
            .and_then(|(_, value)| value.with_building.as_ref());
        let money = |of: fn(&YearValue) -> Money| {
            year.filter(|_| with_money)
                .map(|year| year.currency.amount(of(year)))
        };
        /// Name of the variant.
        variant: String, "" => compared.name.clone();
        /// Coldest hour of the air, median over the weather years.
        coldest_air_c: f64, "°C", "Coldest air" => compared.coldest_air_c;
        /// Mean air temperature of the coldest month.
        coldest_month_air_c: f64, "°C" => compared.coldest_month_air_c;
        /// Coldest hour of the root zone, median over the weather years.
        coldest_root_zone_c: f64, "°C", "Coldest root zone" => compared.coldest_root_zone_c;
        /// Photosynthetic light of the darkest month.
        darkest_month_mol_m2_day: f64, "mol/m2/day", "Darkest month" => compared.darkest_month_mol_m2_day;
        /// Heat delivered by the heater in the year, with that of a room beside where it is bought for the house.
        heater_kwh: f64, "kWh", "Heater" => compared.heater_kwh;
        /// What the heater takes; empty without heat.
        fuel: String, "" => fuel.map_or_else(String::new, |(fuel, _)| fuel.name().to_owned());
        /// Unit in which that is sold.
        fuel_unit: String, "", "Unit" => fuel.map_or_else(String::new, |(_, of)| of.1.to_owned());
        /// Amount of it in the year, in its unit.
        fuel_amount: f64, "fuel_unit", "Amount" => fuel.map_or(0.0, |(_, of)| of.0);
        /// Electricity used by the fan in the year.
        fan_kwh: f64, "kWh", "Fan" => compared.fan_kwh;
        /// Months of the usual year with an hour of air below 0 °C.
        months_with_frost: u32, "months", "Months with frost" => compared.months_with_frost as u32;
        /// What heat, fans and lamps cost in a year; empty where a price is not known.
        energy_cost: Option<f64>, "currency", "Energy cost" => compared.energy_cost.filter(|_| with_money);
        /// Harvest of the year; empty where no plan was made.
        grown_kg: Option<f64>, "kg", "Grown" => year.map(|year| year.grown_kg);
        /// Harvest from October to April; in the south from April to October.
        winter_grown_kg: Option<f64>, "kg", "in winter" => year.map(|year| year.winter_grown_kg(variant.southern));
        /// Eaten in place of buying.
        eaten_kg: Option<f64>, "kg", "Replaces" => year.map(|year| year.eaten_kg);
        /// Weeks with food from the beds.
        weeks_with_food: Option<u32>, "weeks" => planned.map(|(plan, _)| weeks_with_food(plan));
        /// What the food eaten in place of buying would have cost in the middle year.
        value: Option<f64>, "currency" => money(YearValue::middle);
        /// Running costs.
        cost: Option<f64>, "currency" => money(|year| year.cost);
        /// Value less cost; at most that where something is left out.
        net: Option<f64>, "currency" => money(YearValue::left);
        /// What the cost leaves out for want of a price; empty where nothing is, or no plan was made.
        left_out: String, "" => planned
            .filter(|_| with_money)
            .map_or_else(String::new, |(_, value)| super::value::left_out(value));
        /// Years until the nets add up to the outlay; empty if they never do.
        payback_years: Option<f64>, "years", "Payback" => life.and_then(|life| life.simple_years);
        /// The same with discounted nets.
        discounted_payback_years: Option<f64>, "years" => life.and_then(|life| life.discounted_years);
        /// Net present value over the life, the building's cost taken off; empty where that is not known.
        net_present_value: Option<f64>, "currency", "Present value" => life.map(|life| life.net_present_value);
    }
}

row! {
    /// How many months one warm crop can stay in, in one building or variant.
    pub struct CompareMonthsInRow of (variant: &str, stay: &CropStay) {
        /// Name of the variant.
        variant: String, "" => variant.to_owned();
        /// Identifier of the crop.
        crop: String, "" => stay.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "" => stay.name.clone();
        /// Months in, over the weather years; empty where it cannot be said.
        months_in: Option<Spread>, "months" => stay.found.as_ref().map(|found| found.stays);
    }
}

view! {
    /// Buildings and variants side by side; the first is the one the others are held against.
    pub struct CompareView of compare(variants: &[ComparedVariant]) {
        let currency = variants.first().map(|first| first.compared.currency);
        let one_currency = variants.iter().all(|variant| Some(variant.compared.currency) == currency);
        /// Where the buildings stand.
        place: String => places(variants);
        /// Currency of all values.
        currency: String => currency.map_or_else(String::new, |currency| currency.code().to_owned());
        /// The variants.
        variants: Vec<CompareRow> => variants.iter().map(|variant| CompareRow::of(variant, one_currency)).collect();
        /// Months in of the warm crops, variant by variant.
        months_in: Vec<CompareMonthsInRow> => variants.iter().map(|variant| &variant.compared)
            .flat_map(|one| one.months_in.iter().map(|stay| CompareMonthsInRow::of(&one.name, stay))).collect();
        /// What else to know.
        notes: Vec<Note> => notes(variants, one_currency);
    }
}

/// A variant simulated, with its plan and account where they were made.
pub struct ComparedVariant {
    /// Simulated.
    pub compared: Compared,
    /// Planned and valued; none where it was not asked for.
    pub planned: Option<(PlanStudy, ValueStudy)>,
    /// Is it known what this building costs?
    pub cost_known: bool,
    /// Where it stands.
    pub place: String,
    /// South of the equator?
    pub southern: bool,
}

/// Where they stand, each place once.
fn places(variants: &[ComparedVariant]) -> String {
    let mut places: Vec<&str> = Vec::new();
    for variant in variants {
        if !places.contains(&variant.place.as_str()) {
            places.push(&variant.place);
        }
    }
    places.join(", ")
}

fn notes(variants: &[ComparedVariant], one_currency: bool) -> Vec<Note> {
    let mut notes = vec![Note::plain(
        "coldest hours are medians over the weather years and energy is their mean; months in are those of the median \
         year, in the kindest bed",
    )];
    if !one_currency {
        notes.push(Note::warning(
            "the files count in different currencies: money is left out",
        ));
    }
    if variants.iter().any(|variant| !variant.cost_known) {
        notes.push(Note::plain("what a measure costs to build is not in the file, so a variant with one has no payback",
        ));
    }
    notes
}

/// A published cost with its unit, year and source.
fn published(item: &str) -> String {
    value::input(item).map_or_else(String::new, |row| {
        let year = row
            .year
            .map_or_else(String::new, |year| format!(", {year}"));
        format!(
            "{} {} ({}{year}; {})",
            fixed(row.value, 2),
            row.unit,
            row.source,
            row.mark
        )
    })
}

/// What the built-in variants are.
pub fn built_in_notes(set_point_c: f64) -> Vec<Note> {
    let held = amount(set_point_c, "°C", 1);
    [
        phrase![
            "heated, and heated tunnel: held at ",
            held,
            " by a heater as large as that takes, on the fuel of the file; the heater's own price is not counted"
        ],
        format!(
            "plain and heated tunnel: one film over the same floor; building: {}; film: {}, renewed every {} years; upkeep: {} \
             {}; all in the money of the file",
            published("build_high_tunnel"),
            published("cover_cost_film"),
            fixed(value::input("cover_life_film").map_or(0.0, |row| row.value), 0),
            fixed(value::input("upkeep_share").map_or(0.0, |row| row.value), 2),
            "of the building's cost a year (common practice, no source)",
        )
        .into(),
        "outdoors: the same beds under the open sky; rain is not set against the water they are given".into(),
    ]
    .map(Note::plain)
    .to_vec()
}

/// Weeks in which something from the beds is eaten, in the mean of the weather years.
fn weeks_with_food(plan: &PlanStudy) -> u32 {
    (0..crate::calendar::WEEKS_PER_YEAR)
        .filter(|&week| {
            plan.tables
                .iter()
                .flatten()
                .any(|flow| flow.eaten_kg.get(week).is_some_and(|kg| *kg > 0.0))
        })
        .count() as u32
}
