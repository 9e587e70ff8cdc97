//! Prices of fuel, and what the money stage is told.

use super::examples::example;
use bedyear::file;

fn fuel_per_kwh(energy: &str, price: &str) -> Result<f64, String> {
    let heater = format!(
        "{}[heater]\nenergy = \"{energy}\"\n[money]\nfuel = \"{price}\"\n",
        super::thin::THIN
    );
    match file::parse("fuel.toml", &heater) {
        Ok(project) => Ok(project.own_costs().fuel_kwh.unwrap()),
        Err(error) => Err(error.to_string()),
    }
}

#[test]
fn fuel_prices_become_money_per_kwh() {
    // Heat contents: EIA (propane 91,452 Btu/gal, gas 1,037 Btu/ft3, oil 138,690 Btu/gal), Iowa State University
    // Extension (air-dry wood 7,000 Btu/lb), EIA (20 million Btu a cord). 3,412 Btu a kWh.
    let cases = [
        ("propane", "2.459 USD/gal", 0.0917),
        ("propane", "$1.00/kg", 1.0 / 13.94),
        ("natural gas", "15 USD/1000 ft3", 0.0494),
        ("natural gas", "1.5 USD/therm", 0.0512),
        ("oil", "4 USD/gal", 4.0 / 138_690.0 * 3412.0),
        ("wood", "300 USD/cord", 300.0 / 5861.0),
        ("pellets", "300 USD/ton", 300.0 / 907.185 / 5.33),
    ];
    for (energy, price, expected) in cases {
        let got = fuel_per_kwh(energy, price).unwrap();
        assert!(
            (got / expected - 1.0).abs() < 0.005,
            "{energy} at {price}: {got}, expected {expected}"
        );
    }
}

#[test]
fn a_fuel_is_not_sold_in_any_unit() {
    let error = fuel_per_kwh("oil", "1 USD/kg").unwrap_err();
    assert!(
        error.contains("heating oil is not sold so; give its price per kWh or per L"),
        "{error}"
    );
    let error = fuel_per_kwh("propane", "1 USD/m").unwrap_err();
    assert!(error.contains("`/m` is no unit"), "{error}");
}

#[test]
fn the_money_stage_is_told_what_the_file_says() {
    let project = example("examples", "helena");
    let household = project.market_household(false);
    assert_eq!(household.eaters.len(), 4);
    assert_eq!(household.produce_month, Some(135.0));
    let costs = project.own_costs();
    assert!(costs.building.is_some());
    assert_eq!(costs.life_years, 25.0);
    assert_eq!(
        costs.cover.map(|cover| (cover.cost, cover.life_years)),
        Some((3200.0, 15.0))
    );
    assert!((costs.electricity_kwh.unwrap() - 0.13).abs() < 1e-12);
}

#[test]
fn an_amount_says_for_how_long() {
    let with = |money: &str| {
        let text = format!("{}[money]\ngroceries = {money}\n", super::thin::THIN);
        file::parse("money.toml", &text)
    };
    let error = with("900").unwrap_err().to_string();
    assert!(
        error.contains("`money.groceries` = 900 does not say for how long")
            && error.contains("900 USD/month"),
        "{error}"
    );
    let project = with("\"900 USD/month\"").unwrap();
    assert_eq!(project.shopping.groceries_month, Some(900.0));
}
