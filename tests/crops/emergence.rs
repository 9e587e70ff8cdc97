//! Days to emergence at every tabulated root-zone temperature, constant and varying.

use crate::made::{Made, crop};
use bedyear::crops::{Cause, Sowing, Way, grow, prepare};

#[derive(serde::Deserialize)]
struct Row {
    crop: String,
    root_zone_c: f64,
    days: Option<f64>,
    source: String,
}

fn rows() -> Vec<Row> {
    let text = include_str!("../reference/crops_emergence.csv");
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.unwrap())
        .collect()
}

/// It is the table itself, so this checks interpolation only: 5 % at every tabulated temperature.
#[test]
fn rates_give_back_the_table() {
    let rows = rows();
    assert!(rows.len() > 120);
    for row in &rows {
        let curve = crop(&row.crop).emergence.as_ref().unwrap();
        let rate = curve.rate_per_day(row.root_zone_c);
        match row.days {
            Some(days) => {
                let got = 1.0 / rate;
                assert!(
                    (got / days - 1.0).abs() < 0.05,
                    "{} at {}: {got} d, {} d in {}",
                    row.crop,
                    row.root_zone_c,
                    days,
                    row.source
                );
            }
            None => assert_eq!(
                rate, 0.0,
                "{} at {}: none in {}",
                row.crop, row.root_zone_c, row.source
            ),
        }
    }
}

/// The same by sowing in a bed held at each temperature: the day is whole, so half a day is allowed besides.
#[test]
fn sowings_come_up_on_the_tabulated_day() {
    for row in rows()
        .iter()
        .filter(|row| row.days.is_some_and(|days| days < 100.0))
    {
        // Crops that are raised in trays are sown in the bed here, to read their tables too.
        let mut crop = crop(&row.crop).clone();
        crop.ways = vec![Way::Direct];
        let prepared = prepare(&crop, &Made::constant(row.root_zone_c, 0.0, 40.0, 12.0));
        let growth = grow(
            &crop,
            &prepared,
            0,
            Sowing {
                day: 10,
                way: Way::Direct,
            },
        );
        let got = growth
            .emergence_day
            .map_or(f64::NAN, |day| (day - 10) as f64);
        let days = row.days.unwrap();
        assert!(
            (got - days).abs() <= 1.0_f64.max(0.05 * days),
            "{} at {}: {got} of {days} d",
            row.crop,
            row.root_zone_c
        );
    }
}

/// Varying temperature: half the time at 10, half at 20 °C adds half of each rate (lettuce 7 and 3 days: 4.2 days).
#[test]
fn rates_add_up_over_a_varying_day() {
    let lettuce = crop("lettuce_leaf");
    let mut climate = Made::constant(10.0, 0.0, 20.0, 12.0);
    for (hour, root_zone_c) in climate.years[0].root_zone_c.iter_mut().enumerate() {
        if hour % 24 >= 12 {
            *root_zone_c = 20.0;
        }
    }
    let prepared = prepare(lettuce, &climate);
    let expected = 0.5 / 7.0 + 0.5 / 3.0;
    // Hours are looked up in steps of a quarter kelvin.
    let (up, _) = prepared.emergence(0, 5);
    assert!((up - expected).abs() < 0.01 * expected, "{up} {expected}");
}

#[test]
fn a_cold_root_zone_is_named_with_what_it_lacks() {
    let cucumber = crop("cucumber");
    let prepared = prepare(cucumber, &Made::constant(9.1, 0.0, 20.0, 12.0));
    let loss = grow(
        cucumber,
        &prepared,
        0,
        Sowing {
            day: 0,
            way: Way::Tray,
        },
    )
    .loss
    .unwrap();
    assert_eq!(loss.cause, Cause::RootZoneCold);
    assert!((loss.found - 9.1).abs() < 1e-9);
    assert_eq!((loss.needed, loss.unit), (17.0, "°C"));
    assert!((loss.margin - 7.9).abs() < 1e-9);
}
