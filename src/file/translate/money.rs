//! Currency, budget, prices, appetite, costs.

use super::household::{eaters, food_id, foods, wishes};
use crate::document::Node;
use crate::file::keys::words::{COUNTRIES, ENERGIES};
use crate::file::quantity::Dimension;
use crate::file::section::Section;
use crate::value::{
    Country, CoverRenewal, Currency, Fuel, Household as Shopping, OwnAppetite, OwnCosts, OwnPrice,
    food,
};
use crate::words::{Word, meaning};

const MONTHS_PER_YEAR: f64 = 12.0;
const LITRES_PER_M3: f64 = 1000.0;
const MM_PER_M: f64 = 1000.0;

/// The currency of a file, before anything else is read: prices are checked against it.
pub fn currency_code(root: &Node) -> String {
    let currency = root.get("money").and_then(|money| money.get("currency"));
    let code = currency.and_then(Node::text).unwrap_or("USD");
    code.trim().to_ascii_uppercase()
}

/// What own figures rest on.
const BASIS: &str = "project file";

/// The household's people, purse, prices and appetite, and what it wished for.
pub fn shopping(root: &Section<'_, '_>) -> Option<Shopping> {
    let money = root.table("money");
    let household = root.table("household");
    let code: String = money.get_or_default("currency");
    let code = code.to_ascii_uppercase();
    let currency = Currency::from_code(&code).unwrap_or_else(|| {
        let wrong = format!("no currency has the code \"{code}\"");
        let right = "a code of three letters (ISO 4217) such as USD, EUR, CLP";
        money.problem("currency", wrong, right);
        Currency::usd()
    });
    let country = money.text("statistics");
    let country = country.and_then(|country| meaning(&country, &COUNTRIES));
    let country = country.unwrap_or_else(|| country_of(&money, &code));
    let plan_year = root.table("year").get_or_default("plan");
    let price_year = money.get("price_year").unwrap_or(plan_year);
    let a_month = |key: &str| money.number(key).map(|per_year| per_year / MONTHS_PER_YEAR);
    let shopping = Shopping {
        eaters: eaters(&household),
        wishes: wishes(&household),
        country,
        currency,
        groceries_month: a_month("groceries"),
        produce_month: a_month("produce"),
        appetites: appetites(&household),
        prices: prices(&money, price_year),
        eats: foods(&household, "eats"),
        refused: foods(&household, "refuses"),
        ..Shopping::of_size(0, price_year)
    };
    money.filled(household.filled(shopping)?)
}

fn appetites(table: &Section<'_, '_>) -> Vec<OwnAppetite> {
    let appetite = table.table("appetite");
    let of = |name: &&str| {
        Some(OwnAppetite {
            of: food_id(&appetite, name, name)?,
            kg_week: appetite.number(name)?,
            basis: BASIS.to_owned(),
        })
    };
    appetite.names().iter().filter_map(of).collect()
}

fn prices(table: &Section<'_, '_>, year: i32) -> Vec<OwnPrice> {
    let prices = table.table("prices");
    let of = |name: &&str| {
        let food = food_id(&prices, name, name)?;
        if food::find_group(&food).is_some() {
            let shown = prices.shown(name);
            let wrong = format!("`{shown}` is a group of foods, but a price belongs to one food");
            prices.problem(name, wrong, "name the foods of the group one by one");
            return None;
        }
        Some(OwnPrice {
            food,
            per_kg: prices.get(name)?,
            basis: BASIS.to_owned(),
            year,
        })
    };
    prices.names().iter().filter_map(of).collect()
}

fn country_of(money: &Section<'_, '_>, code: &str) -> Country {
    let (country, name) = match code {
        "CAD" => (Country::Canada, "Canada"),
        "GBP" => (Country::UnitedKingdom, "United Kingdom"),
        _ => (Country::UnitedStates, "United States"),
    };
    money.assume("statistics", name, "", "by the currency");
    country
}

/// Prices of energy and things, and the building's cost.
pub fn costs(root: &Section<'_, '_>) -> Option<OwnCosts> {
    let money = root.table("money");
    let energy = root.table("heater").text("energy");
    let fuel = energy.and_then(|energy| meaning(&energy, &ENERGIES)?);
    let fuel = fuel.unwrap_or(Fuel::Electricity);
    let cover = |cost| CoverRenewal {
        cost,
        life_years: money.number_or_default("cover_life"),
    };
    money.filled(OwnCosts {
        fuel,
        fuel_kwh: fuel_per_kwh(&money, fuel),
        tray_mix_l: money.number("tray_mix").map(|m3| m3 / LITRES_PER_M3),
        compost_mm: money.number("compost_depth").map(|m| m * MM_PER_M),
        cover: money.number("cover").map(cover),
        ..OwnCosts::default()
    })
}

/// Heat in a stacked m3 of firewood, kWh: a cord of 128 cubic feet holds 20 million Btu (EIA energy explained, read).
const STACKED_WOOD_KWH_M3: f64 = 5861.0 / 3.6246;
/// Heat in a kg of propane, kWh: 91,452 Btu per US gallon (EIA, read second hand), 0.508 kg/L (from memory).
const PROPANE_KWH_KG: f64 = 13.94;

/// The price of fuel per kWh of heat content, from the unit in which it is sold.
fn fuel_per_kwh(money: &Section<'_, '_>, fuel: Fuel) -> Option<f64> {
    let (price, per): (f64, Dimension) = money.get("fuel")?;
    if fuel.electric() {
        money.assume("fuel", "not used", "", "no heater of the file burns fuel");
        return None;
    }
    let (unit, kwh) = fuel.kwh_per_unit();
    let kwh_per_sold = match (per, unit) {
        (Dimension::PerEnergy, _) => Some(1.0),
        (Dimension::PerVolume, "L") => Some(kwh * LITRES_PER_M3),
        (Dimension::PerVolume, "m3") | (Dimension::PerMass, "kg") => Some(kwh),
        (Dimension::PerVolume, _) if fuel == Fuel::Firewood => Some(STACKED_WOOD_KWH_M3),
        (Dimension::PerMass, _) if fuel == Fuel::Propane => Some(PROPANE_KWH_KG),
        _ => None,
    };
    if kwh_per_sold.is_none() {
        let (per, fuel) = (per.name(), fuel.word());
        let wrong = format!("`money.fuel` is a {per}, but {fuel} is not sold so");
        let right = format!("give its price per kWh or per {unit}");
        money.problem("fuel", wrong, right);
    }
    kwh_per_sold.map(|kwh| price / kwh)
}
