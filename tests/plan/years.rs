//! Beds that move on each year: gaps kept where the beds allow, and told where not.

use super::synthetic;
use bedyear::plan::years::{Section, Turn, YearsOn, arrange, follow};
use bedyear::plan::*;

/// Beds of one patch each; bed `b` carries family `families[b]` from week 10 for 30 weeks.
fn one_family_a_bed(families: &[usize], gap_years: usize) -> (Instance, Vec<BedSections>, Plan) {
    let mut instance = synthetic::house(families.len(), 2, 1);
    instance.beds.truncate(1);
    instance.beds[0].count = families.len();
    let pattern = instance.candidates[0].clone();
    instance.families = (0..4)
        .map(|number| Family {
            name: format!("family {number}"),
            may_follow_itself: true,
            gap_years,
        })
        .collect();
    instance.candidates = families
        .iter()
        .map(|&family| Candidate {
            family,
            bed_class: 0,
            sow_week: 10,
            tray_weeks: 0,
            bed_week: 10,
            weeks: 30,
            ..pattern.clone()
        })
        .collect();
    let place = |bed: usize| BedSections {
        name: format!("bed {}", bed + 1),
        class: 0,
        first: bed,
        count: 1,
    };
    let beds = |bed: usize| BedPlan {
        class: 0,
        bed,
        plantings: vec![bed],
    };
    let places = (0..families.len()).map(place).collect();
    let plan = Plan {
        beds: (0..families.len()).map(beds).collect(),
    };
    (instance, places, plan)
}

#[test]
fn three_families_on_three_beds_keep_a_gap_of_three_years() {
    let (instance, places, plan) = one_family_a_bed(&[0, 1, 2], 3);
    let stays = follow(&instance, &places, &plan, Vec::new());
    // Common practice, no source: who sows the same family in the same bed each year keeps one year of three.
    assert_eq!(stays.short.len(), 3);
    assert!(stays.short.iter().all(|short| short.kept_years == 1));
    let (moved, turns) = arrange(&instance, &places, &plan, true);
    let years = follow(&instance, &places, &moved, turns);
    assert_eq!((years.turns[0].round.len(), years.clashes), (3, 0));
    assert_eq!(years.short, Vec::new());
}

#[test]
fn a_gap_that_the_beds_do_not_allow_is_told() {
    let (instance, places, plan) = one_family_a_bed(&[0, 0, 1], 3);
    let (moved, turns) = arrange(&instance, &places, &plan, true);
    let years = follow(&instance, &places, &moved, turns);
    let short = &years.short[..];
    assert_eq!(short.len(), 1, "{short:?}");
    assert_eq!(short[0].family, "family 0");
    assert_eq!((short[0].kept_years, short[0].patches), (1, 2));
}

#[test]
fn order_brings_beds_of_a_family_apart() {
    // Two of four beds with one family, a gap of two years: side by side it is broken, every other bed keeps it.
    let (instance, places, plan) = one_family_a_bed(&[0, 0, 1, 2], 2);
    let (moved, turns) = arrange(&instance, &places, &plan, true);
    let years = follow(&instance, &places, &moved, turns);
    assert_eq!(years.short, Vec::new(), "{moved:?}");
}

#[test]
fn arranging_changes_neither_worth_nor_rules() {
    for seed in [3, 4, 5] {
        let instance = synthetic::house(8, 12, seed);
        let got = super::solved(&instance, 0.05, 100);
        let places: Vec<BedSections> = super::places(&instance)
            .into_iter()
            .flat_map(|class| {
                (0..class.count).map(move |bed| BedSections {
                    name: format!("{} {}", class.name, bed + 1),
                    class: class.class,
                    first: bed,
                    count: 1,
                })
            })
            .collect();
        let (moved, turns) = arrange(&instance, &places, &got.plan, true);
        let after = assess::assess(&instance, &moved);
        assert!(after.faults.is_empty(), "{:?}", after.faults);
        assert!((after.value - got.value).abs() < 1e-6 * got.value.abs());
        let years = follow(&instance, &places, &moved, turns);
        assert_eq!(years.clashes, 0, "who moves has room, the others stay");
    }
}

/// Every order of followers, with every second week for the turn, tried one by one.
#[test]
fn no_order_brings_families_back_later_than_the_one_found() {
    for seed in 0..12 {
        let mut instance = synthetic::house(5, 10, seed);
        instance.beds.truncate(1);
        instance.beds[0].count = 5;
        for family in &mut instance.families {
            family.gap_years = family.gap_years.min(2);
        }
        instance.candidates.retain(|one| one.bed_class == 0);
        let got = super::solved(&instance, 0.05, 40);
        let place = |bed: usize| BedSections {
            name: format!("bed {bed}"),
            class: 0,
            first: bed,
            count: 1,
        };
        let places: Vec<BedSections> = (0..5).map(place).collect();
        let early = |years: &YearsOn| years.short.iter().map(|one| one.patches).sum::<usize>();
        let (plan, turns) = arrange(&instance, &places, &got.plan, false);
        let found = follow(&instance, &places, &plan, turns);
        assert_eq!(found.clashes, 0);
        let mut least = usize::MAX;
        for order in orders(5) {
            for week in (0..52).step_by(2) {
                let turns = rounds(&order, week);
                let tried = follow(&instance, &places, &plan, turns);
                if tried.clashes == 0 {
                    least = least.min(early(&tried));
                }
            }
        }
        assert_eq!(early(&found), least, "seed {seed}");
    }
}

/// All orders of so many things.
fn orders(count: usize) -> Vec<Vec<usize>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for order in orders(count - 1) {
        for at in 0..count {
            let mut order = order.clone();
            order.insert(at, count - 1);
            all.push(order);
        }
    }
    all
}

/// The rounds of an order: section `at` takes over the plan of section `order[at]`.
fn rounds(order: &[usize], week: usize) -> Vec<Turn> {
    let mut turns = Vec::new();
    let mut seen = vec![false; order.len()];
    for first in 0..order.len() {
        let mut round = Vec::new();
        let mut at = first;
        while !std::mem::replace(&mut seen[at], true) {
            round.insert(0, Section { place: at, slot: 0 });
            at = order[at];
        }
        if round.len() > 1 {
            turns.push(Turn { week, round });
        }
    }
    turns
}
