//! Rules of the trade: common practice where no source is named.

use crate::made::{Made, cold_house, crop, uncut, wave};
use bedyear::crops::{
    Cause, Sowing, State, WarningKind, Way, crop_months, explain, grow, latest_sowing, months_in,
    prepare,
};

fn ready(id: &str, climate: &bedyear::profile::BedClimate, day: usize) -> Option<usize> {
    let crop = crop(id);
    grow(
        crop,
        &prepare(crop, climate),
        0,
        Sowing {
            day,
            way: Way::Direct,
        },
    )
    .ready_day
}

/// Common practice, no source: sown too late for the dark weeks, a crop is not ready before light returns.
#[test]
fn a_late_sowing_waits_for_the_light() {
    let house = cold_house();
    // First days of September and of October.
    assert!(ready("spinach", &house, 244).unwrap() < 320);
    assert!(ready("spinach", &house, 285).unwrap() > 365 + 40);
}

/// The dark weeks bring growth near a standstill without any switch: under a tenth of its best.
#[test]
fn dark_cold_weeks_are_a_standstill() {
    for id in ["spinach", "lettuce_leaf", "mache", "kale"] {
        let pace = prepare(crop(id), &cold_house()).pace(0, 5);
        assert!(pace < 0.1, "{id}: {pace}");
    }
}

/// Growers' lists (Dawling & Bezilla; garden diary 2016): spinach, mache and claytonia outlive lettuce in cold.
#[test]
fn spinach_mache_and_claytonia_outlive_lettuce() {
    // Autumn falls to nights of -9 °C in January, days light enough throughout.
    let climate = Made {
        mean_c: Box::new(|day| 7.0 + 12.0 * wave(day, 14.0)),
        day_swing_k: Box::new(|_| 4.0),
        light_mol_m2_day: Box::new(|_| 15.0),
        day_length_h: Box::new(|_| 11.0),
    }
    .climate();
    let kept = |id: &str| {
        let sowing = Sowing {
            day: 250,
            way: Way::Direct,
        };
        // Nothing is cut, so that only cold takes leaves.
        let days = uncut(crop(id), &climate, sowing);
        let leaf = |day| {
            let found = days.iter().find(|(at, ..)| *at == day);
            found.map_or(0.0, |(_, leaf, _)| *leaf)
        };
        leaf(400) / leaf(320)
    };
    assert!(kept("lettuce_leaf") < 0.2, "{}", kept("lettuce_leaf"));
    for id in ["spinach", "mache", "claytonia"] {
        assert!(kept(id) > 0.6, "{id}: {}", kept(id));
    }
}

/// Trade rule, with the sources of `cold.chill_c` in the crop files: basil and cucumber are out below about 10 °C.
#[test]
fn basil_and_cucumber_are_out_below_ten_degrees() {
    for id in ["basil", "cucumber"] {
        let crop = crop(id);
        let lost_at = |mean_c: f64| {
            let mut climate = Made::constant(mean_c, 0.0, 25.0, 12.0);
            climate.years[0].root_zone_c.fill(18.0);
            grow(
                crop,
                &prepare(crop, &climate),
                0,
                Sowing {
                    day: 0,
                    way: Way::Tray,
                },
            )
            .loss
            .map(|loss| loss.cause)
        };
        assert_eq!(lost_at(9.0), Some(Cause::Chilled), "{id}");
        assert_eq!(lost_at(20.0), None, "{id}");
    }
}

/// Nights over 13 °C needed, over 24 °C a hindrance (tomato list 1997); days best up to 32 °C, failure at 40 °C (Purdue Univ.,
/// Vegetable Crops Hotline, read).
#[test]
fn tomato_sets_no_fruit_on_cold_or_hot_nights() {
    let tomato = crop("tomato_indeterminate");
    let grown = |mean_c: f64, swing_k: f64| {
        let climate = Made::constant(mean_c, swing_k, 30.0, 12.0);
        grow(
            tomato,
            &prepare(tomato, &climate),
            0,
            Sowing {
                day: 0,
                way: Way::Tray,
            },
        )
    };
    assert!(grown(20.0, 5.0).kg_m2() > 2.0);
    let cold = grown(15.0, 5.5).loss.unwrap();
    assert_eq!(cold.cause, Cause::SetNightCold);
    assert!(cold.margin > 3.0 && cold.unit == "°C");
    assert_eq!(grown(33.0, 6.5).loss.unwrap().cause, Cause::SetTooHot);
}

/// Flowers of a long cold spell set nothing: fruit that set before it is picked, then nothing until those after it are ripe.
#[test]
fn fruiting_stops_and_resumes() {
    let tomato = crop("tomato_indeterminate");
    let climate = Made {
        mean_c: Box::new(|day| {
            if (130..190).contains(&day) {
                15.0
            } else {
                22.0
            }
        }),
        day_swing_k: Box::new(|_| 6.0),
        light_mol_m2_day: Box::new(|_| 30.0),
        day_length_h: Box::new(|_| 12.0),
    }
    .climate();
    let growth = grow(
        tomato,
        &prepare(tomato, &climate),
        0,
        Sowing {
            day: 20,
            way: Way::Tray,
        },
    );
    let gap = growth
        .harvests
        .windows(2)
        .map(|pair| pair[1].day - pair[0].day)
        .max()
        .unwrap();
    assert!(gap > 14, "no pause: {gap} {growth:?}");
    assert!(
        growth
            .events
            .iter()
            .any(|event| event.kind == bedyear::crops::EventKind::Resumes)
    );
}

/// Kim et al. 2001: no bolting at 10 h, most plants at 16 h.
#[test]
fn spinach_bolts_in_long_days_only() {
    let spinach = crop("spinach");
    let loss = |hours: f64| {
        let climate = Made::constant(17.0, 4.0, 25.0, hours);
        grow(
            spinach,
            &prepare(spinach, &climate),
            0,
            Sowing {
                day: 0,
                way: Way::Direct,
            },
        )
        .loss
    };
    assert_eq!(loss(10.0), None);
    assert_eq!(loss(16.0).unwrap().cause, Cause::Bolts);
    let slow = crop("spinach_slow");
    let climate = Made::constant(17.0, 4.0, 25.0, 16.0);
    let later = grow(
        slow,
        &prepare(slow, &climate),
        0,
        Sowing {
            day: 0,
            way: Way::Direct,
        },
    )
    .loss
    .unwrap();
    assert!(later.day > loss(16.0).unwrap().day);
}

/// Oregon State Extension 2006: long-day onions need 14 h; at 12 h no bulb forms.
#[test]
fn onions_wait_for_long_days() {
    let onion = crop("onion_bulb");
    let climate = Made::constant(18.0, 4.0, 25.0, 12.0);
    let loss = grow(
        onion,
        &prepare(onion, &climate),
        0,
        Sowing {
            day: 0,
            way: Way::Direct,
        },
    )
    .loss
    .unwrap();
    assert_eq!(
        (loss.cause, loss.needed, loss.unit),
        (Cause::DayTooShort, 14.5, "h")
    );
}

/// Garlic planted in October is lifted the next summer (240-270 days after planting, Knott's Handbook, from memory).
#[test]
fn garlic_crosses_the_year() {
    let garlic = crop("garlic");
    let growth = grow(
        garlic,
        &prepare(garlic, &cold_house()),
        0,
        Sowing {
            day: 280,
            way: Way::Direct,
        },
    );
    let days = growth.ready_day.unwrap() - 280;
    assert!((230..=280).contains(&days), "{days} days");
}

/// A day-neutral strawberry bears again in its second summer.
#[test]
fn strawberry_lives_through_winter() {
    let strawberry = crop("strawberry_day_neutral");
    let growth = grow(
        strawberry,
        &prepare(strawberry, &cold_house()),
        0,
        Sowing {
            day: 90,
            way: Way::Tray,
        },
    );
    assert!(growth.harvests.iter().any(|harvest| harvest.day < 330));
    assert!(
        growth
            .harvests
            .iter()
            .any(|harvest| harvest.day > 365 + 120)
    );
}

/// No thaw, no harvest that day (farmer column 2016).
#[test]
fn frozen_leaves_are_not_cut() {
    let spinach = crop("spinach");
    let mut climate = cold_house();
    // A week without thaw from day 350.
    climate.years[0].leaf_c[350 * 24..357 * 24].fill(-1.0);
    let prepared = prepare(spinach, &climate);
    let sowing = Sowing {
        day: 230,
        way: Way::Direct,
    };
    let growth = grow(spinach, &prepared, 0, sowing);
    assert!(growth.harvests.iter().any(|harvest| harvest.day > 357));
    assert!(
        growth
            .harvests
            .iter()
            .all(|harvest| !(350..357).contains(&harvest.day))
    );
    let explained = explain(spinach, &prepared, 0, sowing);
    assert!(
        explained
            .warnings
            .iter()
            .any(|warning| warning.kind == WarningKind::Frozen && warning.days == 7)
    );
}

/// The pickings of the months add up to the yield, and what the months show is the stand that was followed.
#[test]
fn an_explanation_adds_up() {
    let spinach = crop("spinach");
    let prepared = prepare(spinach, &cold_house());
    let sowing = Sowing {
        day: 240,
        way: Way::Direct,
    };
    let explained = explain(spinach, &prepared, 0, sowing);
    assert_eq!(explained.growth, grow(spinach, &prepared, 0, sowing));
    let kg: f64 = explained.months.iter().map(|month| month.kg_m2).sum();
    assert!((kg - explained.growth.kg_m2()).abs() < 1e-9);
    let september = &explained.months[1];
    assert!(
        september.leaf_m2_m2 > 0.5 && september.dry_g_m2 > 10.0,
        "{september:?}"
    );
    assert!((0.0..=1.0).contains(&september.ground_cover));
}

#[test]
fn a_cold_house_carries_spinach_through_winter_and_tomatoes_through_summer_only() {
    let climate = cold_house();
    let months = |id: &str| {
        let crop = crop(id);
        crop_months(crop, &[prepare(crop, &climate)])
            .unwrap()
            .months
    };
    assert_eq!(months("spinach")[0].state, State::Stand);
    assert_eq!(months("tomato_indeterminate")[0].state, State::No);
    assert!(months("tomato_indeterminate")[0].refusal.is_some());
    assert_eq!(months("tomato_indeterminate")[7].state, State::Pick);
}

/// A warm bed keeps tomatoes all year, a cold one from spring to autumn; warmer is never shorter.
#[test]
fn months_in_follow_the_warmth() {
    let tomato = crop("tomato_indeterminate");
    let stays = |climate| {
        months_in(tomato, &prepare(tomato, &climate))
            .unwrap()
            .stays
            .p50
    };
    assert_eq!(stays(Made::constant(20.0, 4.0, 20.0, 12.0)), 12.0);
    let cold = stays(cold_house());
    assert!((4.0..9.0).contains(&cold), "{cold} months");
    let mut warmer = cold_house();
    let year = &mut warmer.years[0];
    year.air_c
        .iter_mut()
        .chain(&mut year.leaf_c)
        .for_each(|temp_c| *temp_c += 2.0);
    assert!(stays(warmer) >= cold);
}

/// Latest safe sowing: late summer for slow crops, autumn for quick ones, and later where it is warmer.
#[test]
fn the_latest_sowing_of_quick_crops_comes_after_that_of_slow_ones() {
    let house = cold_house();
    let latest = |id: &str| {
        let crop = crop(id);
        latest_sowing(crop, &prepare(crop, &house), Way::Direct).unwrap()
    };
    let spinach = latest("spinach");
    assert!(spinach.day.p50 > latest("parsley").day.p50);
    assert!((225.0..290.0).contains(&spinach.day.p50), "{spinach:?}");
    assert!(
        spinach.standing_kg_m2.p50 > 0.1 && spinach.through.by_weather() == 1.0,
        "{spinach:?}"
    );
    let tomato = crop("tomato_indeterminate");
    assert_eq!(
        latest_sowing(tomato, &prepare(tomato, &house), Way::Tray),
        None
    );
}
