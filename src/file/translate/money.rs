//! Currency, budget, prices, costs.

use crate::file::project::{Budget, CostBasis, FuelPrice};
use crate::file::quantity::Dimension;
use crate::file::read::Parsed;
use crate::file::section::Section;
use crate::file::tree::{Node, Value};
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
    let country = match money.text("statistics").as_deref() {
        Some("Canada") => Country::Canada,
        Some("United Kingdom") => Country::UnitedKingdom,
        Some(_) => Country::UnitedStates,
        None => country_of(&money, &code),
    };
    let plan_year = root
        .table("year")
        .number("plan")
        .map_or(DEFAULT_YEAR, |year| year as i32);
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

/// As the default of `year.plan`.
const DEFAULT_YEAR: i32 = 2027;

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
    CostBasis {
        region: money.text("region"),
        electricity_per_kwh: money.number("electricity"),
        fuel: fuel(root.table("heater").text("energy").as_deref()),
        fuel_price: match money.raw("fuel") {
            Some(Parsed::FuelPrice(price, Dimension::PerVolume)) => Some(FuelPrice::PerM3(price)),
            Some(Parsed::FuelPrice(price, Dimension::PerMass)) => Some(FuelPrice::PerKg(price)),
            Some(Parsed::FuelPrice(price, _)) => Some(FuelPrice::PerKwh(price)),
            _ => None,
        },
        water_per_m3: money.number("water"),
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

/// What the heater burns, by the word of the file.
fn fuel(word: Option<&str>) -> Fuel {
    match word {
        Some("heat pump") => Fuel::HeatPump,
        Some("natural gas") => Fuel::NaturalGas,
        Some("propane") => Fuel::Propane,
        Some("oil") => Fuel::HeatingOil,
        Some("kerosene") => Fuel::Kerosene,
        Some("wood") => Fuel::Firewood,
        Some("pellets") => Fuel::Pellets,
        _ => Fuel::Electricity,
    }
}
