//! Currency, budget, prices, appetite, costs.

use super::household::{food_id, foods};
use crate::document::{Node, Value};
use crate::file::keys::words::{COUNTRIES, ENERGIES};
use crate::file::quantity::Dimension;
use crate::file::read::Parsed;
use crate::file::section::Section;
use crate::value::{
    Country, Cover, Currency, Fuel, Household as Shopping, OwnAppetite, OwnCosts, OwnPrice, food,
};

const MONTHS_PER_YEAR: f64 = 12.0;
const LITRES_PER_M3: f64 = 1000.0;
const MM_PER_M: f64 = 1000.0;

/// The currency of a file, before anything else is read: prices are checked against it.
pub fn currency_code(root: &Node) -> String {
    match root
        .get("money")
        .and_then(|money| money.get("currency"))
        .map(|node| &node.value)
    {
        Some(Value::Text(code)) => code.trim().to_ascii_uppercase(),
        _ => "USD".to_owned(),
    }
}

/// What own figures rest on.
const BASIS: &str = "project file";

/// The household's purse, prices and appetite; who eats and what is wished for comes with the household.
pub fn shopping(root: &Section<'_, '_>) -> Option<Shopping> {
    let money = root.table("money");
    let household = root.table("household");
    let code = money.word_or_default("currency").to_ascii_uppercase();
    let currency = Currency::from_code(&code).unwrap_or_else(|_| {
        let right = "a code of three letters (ISO 4217) such as USD, EUR, CLP".to_owned();
        money.problem(
            "currency",
            format!("no currency has the code \"{code}\""),
            Some(right),
        );
        Currency::usd()
    });
    let country = money.choice("statistics", &COUNTRIES);
    let country = country.unwrap_or_else(|| country_of(&money, &code));
    let plan_year = root.table("year").number_or_default("plan") as i32;
    let price_year = money
        .number("price_year")
        .map_or(plan_year, |year| year as i32);
    let a_month = |key: &str| money.number(key).map(|per_year| per_year / MONTHS_PER_YEAR);
    let shopping = Shopping {
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
            let wrong = format!(
                "`{}` is a group of foods, but a price belongs to one food",
                prices.shown(name)
            );
            prices.problem(
                name,
                wrong,
                Some("name the foods of the group one by one".to_owned()),
            );
            return None;
        }
        Some(OwnPrice {
            food,
            per_kg: super::times::twelve(&prices.numbers(name)?),
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
    money.assume("statistics", name.to_owned(), "", "by the currency");
    country
}

/// Prices of energy and things, and the building's cost.
pub fn costs(root: &Section<'_, '_>) -> Option<OwnCosts> {
    let money = root.table("money");
    let heater = root.table("heater");
    let fuel = heater.choice("energy", &ENERGIES).flatten();
    let fuel = fuel.unwrap_or(Fuel::Electricity);
    let cover = |cost| Cover {
        cost,
        life_years: money.number_or_default("cover_life"),
    };
    money.filled(OwnCosts {
        fuel,
        fuel_kwh: fuel_per_kwh(&money, fuel),
        tray_mix_l: money
            .number("tray_mix")
            .map(|per_m3| per_m3 / LITRES_PER_M3),
        compost_mm: money
            .number("compost_depth")
            .map(|depth_m| depth_m * MM_PER_M),
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
    let Some(Parsed::FuelPrice(price, per)) = money.raw("fuel") else {
        return None;
    };
    if fuel.electric() {
        money.assume(
            "fuel",
            "not used".to_owned(),
            "",
            "no heater of the file burns fuel",
        );
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
        let wrong = format!(
            "`money.fuel` is a {}, but {} is not sold so",
            per.name(),
            fuel.key().replace('_', " ")
        );
        money.problem(
            "fuel",
            wrong,
            Some(format!("give its price per kWh or per {unit}")),
        );
    }
    kwh_per_sold.map(|kwh| price / kwh)
}
