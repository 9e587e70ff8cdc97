//! Hourly steps against ten-minute steps.

use super::envelope::{least, most};
use super::shapes::{full, tunnel};
use super::sky;
use bedyear::house::*;

#[test]
fn hourly_steps_are_fine_enough() {
    for place in ["helena", "fairbanks"] {
        let sky = sky::shelf(place);
        for (name, mut house) in [("tunnel", tunnel()), ("full", full())] {
            house.heater = None;
            let of = |steps_per_hour| {
                let options = RunOptions {
                    steps_per_hour,
                    ..RunOptions::default()
                };
                simulate(&house, &sky.weather, &sky.sun, &sky.ground, &options)
                    .expect("runs")
                    .settled
            };
            let (hourly, fine) = (of(1), of(6));
            let cold = least(&hourly.air_c) - least(&fine.air_c);
            let root = least(&hourly.root_zone_c) - least(&fine.root_zone_c);
            let hot = most(&hourly.air_c) - most(&fine.air_c);
            println!(
                "{place} {name}: coldest hour {cold:+.3} K, root zone {root:+.3} K, hottest {hot:+.3} K"
            );
            assert!(
                cold.abs() < 0.3,
                "{place} {name}: coldest hour off by {cold} K"
            );
            assert!(
                root.abs() < 0.3,
                "{place} {name}: root zone off by {root} K"
            );
        }
    }
}
