//! Planting calendars of a real place against what comes of the same sowings in its monthly means outdoors.

use crate::made::{crop, is_worth, unheated, wave};
use bedyear::calendar::MONTH_START_DAY;
use bedyear::crops::{Sowing, Way, grow, prepare};

#[derive(serde::Deserialize)]
struct Row {
    crop: String,
    way: String,
    month: usize,
    day: usize,
    comes: String,
    guide: String,
}

/// All rows agree but two: the model takes a carrot sown on 20 October and broccoli set out on 25 November through the winter,
/// which the guides do not try.
#[test]
fn western_washington_sows_when_its_gardeners_do() {
    let text = include_str!("../reference/crops_planting_guide.csv");
    let rows: Vec<Row> = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.unwrap())
        .collect();
    assert!(rows.len() >= 38);
    // Outdoors: the means as they are, in full light; the soil of a bed in the sun up to 3 K warmer in summer (assumed).
    let mut climate = unheated("seattle", 0.0, 0.0, 1.0, 1.0);
    for (hour, root_zone_c) in climate.years[0].root_zone_c.iter_mut().enumerate() {
        *root_zone_c += 1.5 * (1.0 + wave(hour / 24, -10.0));
    }
    let mut apart = Vec::new();
    for row in &rows {
        let crop = crop(&row.crop);
        let in_bed = MONTH_START_DAY[row.month - 1] + row.day - 1;
        let (way, day) = match row.way.as_str() {
            // Set out on that day; a sowing of the year before counts on.
            "tray" => (Way::Tray, in_bed + 365 - crop.tray_days()),
            _ => (Way::Direct, in_bed),
        };
        let growth = grow(crop, &prepare(crop, &climate), 0, Sowing { day, way });
        let comes = is_worth(crop, &growth);
        let same = comes == (row.comes == "yes");
        if !same {
            apart.push((row.crop.as_str(), row.month));
        }
        println!(
            "{:14} {:02}-{:02} guide {:3} model {:5} {}{}",
            row.crop,
            row.month,
            row.day,
            row.comes,
            comes,
            growth.loss.map_or(String::new(), |loss| {
                format!(
                    "[{}: {:.1}, needs {:.1} {}] ",
                    loss.cause, loss.found, loss.needed, loss.unit
                )
            }),
            if same { "" } else { row.guide.as_str() }
        );
    }
    assert_eq!(apart, [("carrot", 10), ("broccoli", 11)]);
}
