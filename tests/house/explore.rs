use super::shapes::*;
use super::sky;
use bedyear::house::*;

#[test]
fn explore() {
    let Some(sky) = sky::file("USA_MT_Helena.Rgnl.AP.727720_TMY3.epw") else {
        return;
    };
    for (name, house) in [("tunnel", tunnel()), ("full", full())] {
        let t = std::time::Instant::now();
        let run = simulate(
            &house,
            &sky.weather,
            &sky.sun,
            &sky.ground,
            &RunOptions::default(),
        )
        .unwrap();
        println!(
            "{name}: {} years in {:?} diff {}",
            run.years_to_settle,
            t.elapsed(),
            run.settle_difference_k
        );
        for y in [&run.first, &run.settled] {
            let min = |c: &[f64]| c.iter().cloned().fold(f64::MAX, f64::min);
            let max = |c: &[f64]| c.iter().cloned().fold(f64::MIN, f64::max);
            let mean = |c: &[f64]| c.iter().sum::<f64>() / 8760.0;
            println!(
                "  air {:.2} {:.2} {:.2} leaf {:.2} root {:.2} {:.2} {:.2} store {:.2} {:.2} rh {:.1} heater {:.0} kWh fan {:.0} vent max {:.2} cond {:.0} evap {:.0} residual {:.1e}",
                min(&y.air_c),
                mean(&y.air_c),
                max(&y.air_c),
                min(&y.leaf_c),
                min(&y.root_zone_c),
                mean(&y.root_zone_c),
                max(&y.root_zone_c),
                min(&y.store_c),
                max(&y.store_c),
                mean(&y.relative_humidity_pct),
                y.heater_w.iter().sum::<f64>() / 1e3,
                y.fan_w.iter().sum::<f64>() / 1e3,
                max(&y.vent_m3_s),
                y.condensation_kg.iter().sum::<f64>(),
                y.evaporation_kg.iter().sum::<f64>(),
                y.balance_residual
            );
            if let Some(c) = &y.covered {
                println!(
                    "  covered air {:.2} leaf {:.2} root {:.2}",
                    min(&c.air_c),
                    min(&c.leaf_c),
                    min(&c.root_zone_c)
                );
            }
            println!("  {:?}", y.year);
            for m in [0, 6] {
                println!("  {m} {:?}", y.months[m]);
            }
        }
    }
}
