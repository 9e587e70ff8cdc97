//! Buildings side by side.

use bedyear::output::build::{self, ComparedVariant};
use bedyear::output::terminal;
use bedyear::study::{self, ClimateStudy, Compared, Variant, built_in, compare};

fn simulated(variant: &Variant) -> ClimateStudy {
    super::simulated(&variant.job)
}

#[test]
fn built_in_variants_come_out_in_the_order_of_the_physics() {
    let mut job = super::job(2);
    job.project.beds.truncate(1);
    let variants = built_in(&job, study::variants::HELD_AT_C).unwrap();
    let found: Vec<ComparedVariant> = variants
        .iter()
        .map(|variant| ComparedVariant {
            compared: compare(variant, &simulated(variant)).unwrap(),
            planned: None,
            cost_known: variant.cost_known,
            place: job.site.place.name.clone(),
            southern: false,
        })
        .collect();
    let named = |name: &str| -> &Compared {
        let variant = found.iter().find(|variant| variant.compared.name == name);
        &variant.unwrap_or_else(|| panic!("no {name}")).compared
    };
    let own = named("as it is");
    // A night curtain saves heat, a higher set point costs it, and a heater holds what it is set to.
    assert!(named("second night curtain").heater_kwh <= own.heater_kwh);
    assert!(named("heated").heater_kwh > own.heater_kwh);
    let held = named("heated tunnel");
    assert!((held.coldest_air_c - study::variants::HELD_AT_C).abs() < 0.5);
    // Heating one sheet of film through a Montana winter takes more than heating an insulated house.
    assert!(held.heater_kwh > 5.0 * named("heated").heater_kwh);
    // Fuel by name and amount: what the electric heater takes is what it gives.
    assert_eq!(held.fuel, bedyear::value::Fuel::Electricity);
    assert_eq!(held.fuel_amount.1, "kWh");
    assert!((held.fuel_amount.0 - held.heater_kwh).abs() < 1e-6);
    let price = held.energy_cost.unwrap() / held.heater_kwh;
    assert!(
        (price - 0.13).abs() < 0.001,
        "the example pays 0.13 USD/kWh: {price}"
    );
    // Open beds are as cold as the air outside.
    let weathers = study::weather_years(&job);
    let outside = (0..weathers.len()).map(|index| {
        let year = weathers.year(index);
        year.temp_air_c
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min)
    });
    let outside = outside.sum::<f64>() / 2.0;
    assert!((named("outdoors").coldest_air_c - outside).abs() < 1.0);
    assert!(named("plain tunnel").coldest_air_c >= outside - 3.0);
    let view = build::compare(&found);
    let text = terminal::compare(&view, &terminal::Look::default());
    assert!(
        text.contains("Side by side") && text.lines().count() <= 24,
        "{text}"
    );
    let tables = bedyear::output::tables::compare(&view);
    let changes = tables.iter().find(|table| table.name == "changes").unwrap();
    assert_eq!(changes.rows.len(), view.variants.len() - 1);
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    assert!(view.variants.iter().all(|row| row.payback_years.is_none()));
    assert_eq!(view.currency, "USD");
}

/// A plain hoop heated with propane through a Montana winter: litres by simulation, efficiency and heat content (7.08 kWh/L
/// higher heating value, EIA), cost by the price of the file.
#[test]
fn a_heated_hoop_comes_out_with_its_fuel_and_its_cost() {
    let text = include_str!("../../examples/heated-hoop.toml");
    let mut project = bedyear::file::parse("heated-hoop.toml", text).unwrap();
    project.planning.weather_years = 2;
    let job = study::Job::new(project, &study::SideFiles::default()).unwrap();
    let variants = built_in(&job, 5.0).unwrap();
    let hoop = variants
        .iter()
        .find(|variant| variant.name == "heated tunnel")
        .unwrap();
    let found = compare(hoop, &simulated(hoop)).unwrap();
    assert!(
        (found.coldest_air_c - 5.0).abs() < 0.5,
        "{}",
        found.coldest_air_c
    );
    assert_eq!(
        (found.fuel, found.fuel_amount.1),
        (bedyear::value::Fuel::Propane, "L")
    );
    let litres = found.heater_kwh / 0.78 / 7.08;
    assert!((found.fuel_amount.0 / litres - 1.0).abs() < 1e-6);
    // 2.11 USD a US gallon of 3.785 L.
    let cost = litres * 2.11 / 3.785_411_784;
    let fans = found.fan_kwh * 0.2;
    let energy = found.energy_cost.unwrap();
    assert!(
        energy >= cost * 0.999 && energy <= (cost + fans) * 1.000_001,
        "{energy} {cost}"
    );
    // Degree hours of a Montana winter below 5 C over one film: thousands of litres for 60 m2, not hundreds.
    assert!((1500.0..20_000.0).contains(&litres), "{litres}");
    assert!(hoop.cost_known && hoop.job.project.costs.building.is_some());
}
