//! Buildings side by side.

use bedyear::output::fill::{self, ComparedVariant};
use bedyear::output::terminal;
use bedyear::study::{self, Compared, built_in, compare};

#[test]
fn built_in_variants_come_out_in_the_order_of_the_physics() {
    let mut job = super::job(2);
    job.project.beds.truncate(1);
    let weathers = study::weather_years(&job);
    let variants = built_in(&job).unwrap();
    let found: Vec<ComparedVariant> = variants
        .iter()
        .map(|variant| ComparedVariant {
            compared: compare(variant, &weathers).unwrap(),
            planned: None,
            own_cost: variant.own_cost,
            place: job.site.place.name.clone(),
        })
        .collect();
    let named = |name: &str| -> &Compared {
        let variant = found.iter().find(|variant| variant.compared.name == name);
        &variant.unwrap_or_else(|| panic!("no {name}")).compared
    };
    let own = named("as it is");
    // A night curtain saves heat, a higher set point costs it, and a heater holds what it is set to.
    assert!(named("second night curtain").heater_kwh <= own.heater_kwh);
    assert!(named("small heater").heater_kwh > own.heater_kwh);
    let held = named("heated tunnel");
    assert!((held.coldest_air_c - study::variants::SMALL_HEATER_SET_POINT_C).abs() < 0.5);
    // Heating one sheet of film through a Montana winter takes more than heating an insulated house.
    assert!(held.heater_kwh > 5.0 * named("small heater").heater_kwh);
    let price = held.energy_cost.unwrap() / held.heater_kwh;
    assert!(
        (price - 0.13).abs() < 0.001,
        "the example pays 0.13 USD/kWh: {price}"
    );
    // Open beds are as cold as the air outside.
    let outside = weathers.iter().map(|year| {
        year.temp_air_c
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min)
    });
    let outside = outside.sum::<f64>() / 2.0;
    assert!((named("outdoors").coldest_air_c - outside).abs() < 1.0);
    assert!(named("plain tunnel").coldest_air_c >= outside - 3.0);
    let view = fill::compare(&found);
    let text = terminal::compare(&view, &terminal::Look::default());
    assert!(text.contains("Against the first"), "{text}");
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    assert!(view.variants.iter().all(|row| row.payback_years.is_none()));
    assert_eq!(view.currency, "USD");
}
