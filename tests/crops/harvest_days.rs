//! Days to harvest at the conditions the handbook means: middle of the best temperatures, full light.

use crate::made::{Made, crop};
use bedyear::crops::{Sowing, Way, grow, prepare};

#[derive(serde::Deserialize)]
struct Row {
    crop: String,
    way: String,
    days_low: f64,
    days_high: f64,
    /// `arithmetic` where the sum was computed from these very days, so that only sowing, emergence, summing and
    /// picking are checked; `published sum` where the sum has a source of its own.
    kind: String,
    source: String,
}

/// Days of leaf growth before onions are called to bulb, about half of the handbook's way (common practice, no source).
const LEAFY_DAYS: usize = 58;

#[test]
fn crops_are_ready_within_the_handbook_range() {
    let text = include_str!("../reference/crops_days_to_harvest.csv");
    let rows: Vec<Row> = csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.unwrap())
        .collect();
    assert!(rows.len() >= 30);
    println!(
        "{:22} {:7} {:>6} {:>9}  kind",
        "crop", "way", "days", "handbook"
    );
    for row in rows {
        // The handbook's days are those to the whole plant, so leaf crops are not cut before.
        let mut whole = crop(&row.crop).clone();
        whole.timing.first_cut_share = 1.0;
        let crop = &whole;
        let way = if row.way == "tray" {
            Way::Tray
        } else {
            Way::Direct
        };
        // All are held below what makes them flower; bulb onions meet long days once they are leafy.
        let bulb = crop.bulbing.is_some();
        let best_c = crop.temperature.best_c.middle();
        let climate = Made {
            mean_c: Box::new(move |_| best_c),
            day_swing_k: Box::new(|_| 0.0),
            light_mol_m2_day: Box::new(|_| 45.0),
            day_length_h: Box::new(move |day| if bulb && day > LEAFY_DAYS { 16.0 } else { 12.0 }),
        }
        .climate();
        let growth = grow(crop, &prepare(crop, &climate), 0, Sowing { day: 0, way });
        let ready = growth
            .ready_day
            .unwrap_or_else(|| panic!("{}: {:?}", row.crop, growth.loss));
        let days = (ready - growth.bed_from_day) as f64;
        println!(
            "{:22} {:7} {days:6} {:>4}-{:<4}  {}",
            row.crop, row.way, row.days_low, row.days_high, row.kind
        );
        let inside = (row.days_low - 1.0..=row.days_high + 1.0).contains(&days);
        assert!(
            inside,
            "{}: {days} d, but {} has {} to {}",
            row.crop, row.source, row.days_low, row.days_high
        );
    }
}
