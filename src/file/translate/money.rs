//! Currency, budget, prices, costs.

use crate::document::{Node, Value};
use crate::file::keys::words::{COUNTRIES, ENERGIES};
use crate::file::project::{Budget, CostBasis};
use crate::file::quantity::Dimension;
use crate::file::read::Parsed;
use crate::file::section::Section;
use crate::value::{Country, Currency, Fuel};

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

/// The grocery budget.
pub fn budget(root: &Section<'_, '_>) -> Budget {
    let money = root.table("money");
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
    Budget {
        currency,
        country,
        exchange_rate: money.number("exchange_rate"),
        price_year: money
            .number("price_year")
            .map_or(plan_year, |year| year as i32),
        inflation: money.number_or_default("inflation"),
        groceries_per_month: money
            .number("groceries")
            .map(|per_year| per_year / MONTHS_PER_YEAR),
        produce_per_month: money
            .number("produce")
            .map(|per_year| per_year / MONTHS_PER_YEAR),
    }
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
pub fn money(root: &Section<'_, '_>) -> CostBasis {
    let money = root.table("money");
    let heater = root.table("heater");
    let fuel = heater.choice("energy", &ENERGIES).flatten();
    let fuel = fuel.unwrap_or(Fuel::Electricity);
    CostBasis {
        region: money.text("region"),
        electricity_per_kwh: money.number("electricity"),
        fuel,
        fuel_per_kwh: fuel_per_kwh(&money, fuel),
        water_per_m3: money.number("water"),
        supplies_per_m2_year: money.number("supplies"),
        seed_per_m2: money.number("seed"),
        tray_mix_per_l: money
            .number("tray_mix")
            .map(|per_m3| per_m3 / LITRES_PER_M3),
        compost_per_m3: money.number("compost"),
        compost_mm: money
            .number("compost_depth")
            .map(|depth_m| depth_m * MM_PER_M),
        upkeep_per_year: money.number("upkeep"),
        cover: money
            .number("cover")
            .map(|cost| (cost, money.number_or_default("cover_life"))),
        building: money.number("building"),
        life_years: money.number_or_default("life"),
        discount_rate: money.number_or_default("discount"),
    }
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
