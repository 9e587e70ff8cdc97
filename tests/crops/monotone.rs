//! Colder never survives better, darker never grows faster, later sown never ripens earlier.

use crate::made::{Made, crop, wave};
use bedyear::crops::{Cause, Growth, Sowing, Way, grow, prepare};
use bedyear::profile::BedClimate;
use proptest::prelude::*;

#[derive(Clone, Debug)]
struct Weather {
    mean_c: f64,
    year_k: f64,
    day_k: f64,
    light: f64,
    noise: Vec<f64>,
}

fn weather() -> impl Strategy<Value = Weather> {
    let noise = proptest::collection::vec(-1.0..1.0f64, 53);
    (4.0..18.0f64, 3.0..14.0f64, 1.0..6.0f64, 4.0..20.0f64, noise).prop_map(
        |(mean_c, year_k, day_k, light, noise)| Weather {
            mean_c,
            year_k,
            day_k,
            light,
            noise,
        },
    )
}

impl Weather {
    /// `colder_k` is taken from the leaves only, so that growth stays the same; `dim` scales the light.
    fn climate(&self, colder_k: f64, dim: f64) -> BedClimate {
        let own = self.clone();
        let (noise, light) = (self.noise.clone(), self.light);
        let mut climate = Made {
            // Below the optimum of every crop tested: the mean never passes 20 °C.
            mean_c: Box::new(move |day| {
                (own.mean_c + own.year_k * wave(day, 14.0) + 4.0 * own.noise[day / 7]).min(20.0)
            }),
            day_swing_k: {
                let swing = self.day_k;
                Box::new(move |_| swing)
            },
            light_mol_m2_day: Box::new(move |day| {
                dim * (light * (1.0 + 0.6 * wave(day, -10.0)) * (1.0 + 0.5 * noise[day / 7]))
                    .max(0.0)
            }),
            day_length_h: Box::new(|day| 12.0 + 3.5 * wave(day, -10.0)),
        }
        .climate();
        climate.years[0]
            .leaf_c
            .iter_mut()
            .for_each(|leaf_c| *leaf_c -= colder_k);
        climate
    }
}

/// The same weather without frost on the leaves: a frost that takes young leaves may well set an early or a bright sowing back
/// behind one that was not up yet.
fn frostless(mut climate: BedClimate) -> BedClimate {
    for leaf_c in &mut climate.years[0].leaf_c {
        *leaf_c = leaf_c.max(1.0);
    }
    climate
}

fn grown(id: &str, climate: &BedClimate, day: usize) -> Growth {
    let crop = crop(id);
    let way = if crop.ways.contains(&Way::Direct) {
        Way::Direct
    } else {
        Way::Tray
    };
    grow(crop, &prepare(crop, climate), 0, Sowing { day, way })
}

/// Day of death by cold, or never.
fn killed(growth: &Growth) -> usize {
    growth
        .loss
        .filter(|loss| loss.cause == Cause::NightCold)
        .map_or(usize::MAX, |loss| loss.day)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// Crops without hardening are in one state always; colder leaves never live longer. Not so potatoes, which shoot again from
    /// their tubers while they are young, and are younger where it is colder.
    #[test]
    fn colder_never_survives_better(weather in weather(), colder_k in 0.1..6.0f64, day in 0usize..365) {
        for id in ["melon", "bean_bush", "squash_summer"] {
            let mild = grown(id, &weather.climate(0.0, 1.0), day);
            let cold = grown(id, &weather.climate(colder_k, 1.0), day);
            // A frost that kills the mild stand ends the cold one by then, if it was up; a cold stand that grows more
            // slowly may well meet a frost that comes after the mild one was picked and cleared.
            let end = |growth: &Growth| killed(growth).min(growth.clear_day);
            let frost = killed(&mild);
            if cold.emergence_day.is_some_and(|up| up <= frost) && frost < usize::MAX {
                prop_assert!(end(&cold) <= frost, "{id}: {:?} {:?}", cold.loss, mild.loss);
            }
        }
    }

    #[test]
    fn darker_never_grows_faster(weather in weather(), dim in 0.1..1.0f64, day in 0usize..365) {
        for id in ["lettuce_leaf", "carrot", "kale", "onion_bulb", "spinach"] {
            let bright = grown(id, &frostless(weather.climate(0.0, 1.0)), day);
            let dark = grown(id, &frostless(weather.climate(0.0, dim)), day);
            prop_assert_eq!(bright.emergence_day, dark.emergence_day);
            if let (Some(bright), Some(dark)) = (bright.ready_day, dark.ready_day) {
                // Dull leaves hold more water, so they may weigh enough a day or two sooner.
                prop_assert!(dark + 3 >= bright, "{id}: {dark} before {bright}");
            }
        }
    }

    #[test]
    fn later_sown_never_ripens_earlier(weather in weather(), day in 0usize..365, later in 1usize..60) {
        for id in ["lettuce_leaf", "carrot", "spinach", "radish", "mache"] {
            let climate = frostless(weather.climate(0.0, 1.0));
            let (first, second) = (grown(id, &climate, day), grown(id, &climate, day + later));
            if let (Some(first), Some(second)) = (first.ready_day, second.ready_day) {
                prop_assert!(second >= first, "{id}: {second} before {first}");
            }
        }
    }

    /// The same state of hardening: a colder night never leaves a larger margin.
    #[test]
    fn a_hardened_stand_dies_at_a_lower_temperature_only(weather in weather(), day in 0usize..365) {
        let spinach = crop("spinach");
        let prepared = prepare(spinach, &weather.climate(0.0, 1.0));
        let day = prepared.bed_day(0, day);
        let kill_c = spinach.cold.kill_at(day.hardening);
        prop_assert!((0.0..=1.0).contains(&day.hardening));
        prop_assert!((spinach.cold.kill_c..=spinach.cold.kill_unhardened_c).contains(&kill_c));
    }
}
