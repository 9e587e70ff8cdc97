//! The plan: best in small cases, rules kept, claims checked by a verifier that rejects broken ones.

#[path = "plan/small.rs"]
mod small;
#[path = "plan/synthetic.rs"]
mod synthetic;

use bedyear::plan::verify::{Fault, check};
use bedyear::plan::*;
use proptest::prelude::*;
use rayon::prelude::*;

fn solved(instance: &Instance, gap: f64, work_limit: u64) -> Solution {
    solve(
        instance,
        &SolveOptions {
            gap,
            work_limit,
            ..SolveOptions::default()
        },
    )
    .unwrap()
}

#[test]
fn as_good_as_trying_everything() {
    let failures: Vec<String> = (0..200u64)
        .into_par_iter()
        .filter_map(|seed| {
            let instance = small::case(seed);
            let expected = small::best_by_trying_all(&instance);
            let got = solved(&instance, 0.0, 3000);
            let verdict = check(&instance, &got.plan, &got.claim());
            let equal = (got.value - expected).abs() <= 1e-6;
            let proven = got.bound >= expected - 1e-6;
            if equal && proven && verdict.faults.is_empty() {
                return None;
            }
            let (value, bound) = (got.value, got.bound);
            Some(format!(
                "{seed}: best {expected}, found {value}, bound {bound}, {:?}",
                verdict.faults
            ))
        })
        .collect();
    assert!(
        failures.is_empty(),
        "{} of 200 differ: {failures:#?}",
        failures.len()
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Area, rotation, limits, nothing invented, appetite, value under bound: the verifier finds no fault.
    #[test]
    fn rules_are_kept(seed in 1000u64..1_000_000) {
        let instance = small::case(seed);
        let got = solved(&instance, 0.01, 200);
        let verdict = check(&instance, &got.plan, &got.claim());
        prop_assert!(verdict.faults.is_empty(), "{:?}", verdict.faults);
        prop_assert!(got.value <= got.bound + 1e-9);
    }
}

#[test]
fn verifier_rejects_what_is_broken() {
    let instance = synthetic::house(3, 12, 3);
    let got = solved(&instance, 0.05, 100);
    let verdict = check(&instance, &got.plan, &got.claim());
    assert_eq!(verdict.faults, Vec::new());
    assert!((verdict.value - got.value).abs() < 1e-6 * got.value.abs());

    // One bed over-full: another planting where one stands.
    let mut plan = got.plan.clone();
    let bed = plan
        .beds
        .iter_mut()
        .find(|bed| !bed.plantings.is_empty())
        .unwrap();
    bed.plantings.push(bed.plantings[0]);
    let faults = check(&instance, &plan, &got.claim()).faults;
    assert!(
        faults
            .iter()
            .any(|fault| matches!(fault, Fault::OverFull { .. })),
        "{faults:?}"
    );

    // One rotation broken: a family forbidden to follow itself that does.
    let mut strict = instance.clone();
    for family in &mut strict.families {
        family.may_follow_itself = true;
    }
    let free = solved(&strict, 0.05, 100);
    for candidate in &mut strict.candidates {
        candidate.family = 1;
    }
    strict.families[1].may_follow_itself = false;
    let faults = check(&strict, &free.plan, &free.claim()).faults;
    assert!(
        faults
            .iter()
            .any(|fault| matches!(fault, Fault::Rotation { .. })),
        "{faults:?}"
    );

    // One kilogram invented.
    let mut eaten = got.eaten.clone();
    let food = eaten
        .iter_mut()
        .find(|weeks| weeks.iter().any(|&kg| kg == 0.0))
        .unwrap();
    *food.iter_mut().find(|kg| **kg == 0.0).unwrap() = 1.0;
    let faults = check(
        &instance,
        &got.plan,
        &verify::Claim {
            eaten: &eaten,
            ..got.claim()
        },
    )
    .faults;
    assert!(
        faults
            .iter()
            .any(|fault| matches!(fault, Fault::Invented { .. })),
        "{faults:?}"
    );

    // A value and a bound that are claimed too well.
    let claim = verify::Claim {
        value: got.value * 1.01,
        ..got.claim()
    };
    let faults = check(&instance, &got.plan, &claim).faults;
    assert!(
        faults
            .iter()
            .any(|fault| matches!(fault, Fault::Value { .. })),
        "{faults:?}"
    );
    let claim = verify::Claim {
        bound: got.bound - 0.01 * (got.bound - got.value),
        ..got.claim()
    };
    let faults = check(&instance, &got.plan, &claim).faults;
    assert!(
        faults
            .iter()
            .any(|fault| matches!(fault, Fault::Bound { .. })),
        "{faults:?}"
    );
}

#[test]
fn same_plan_on_one_thread_and_on_two() {
    let instance = synthetic::house(4, 12, 5);
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| solved(&instance, 0.0, 150))
    };
    assert_eq!(with(1), with(2));
}

#[test]
fn what_cannot_be_is_said_in_words() {
    // No crop comes through.
    let mut instance = synthetic::house(2, 8, 1);
    instance.candidates.clear();
    let got = solved(&instance, 0.01, 100);
    assert!(got.plan.beds.iter().all(|bed| bed.plantings.is_empty()));
    assert!(
        got.unmet
            .iter()
            .any(|words| words.contains("no crop comes through")),
        "{:?}",
        got.unmet
    );

    // A wish larger than the beds, and a crop that nobody can grow.
    let mut instance = synthetic::house(1, 8, 1);
    instance.wishes[0].kg_week = vec![0.4; 52];
    instance.wanted.push(Wanted {
        crop: "banana".into(),
        plantings: 1,
        penalty: 10.0,
    });
    let got = solved(&instance, 0.01, 100);
    assert!(
        got.unmet.iter().any(|words| words.contains("salad greens")),
        "{:?}",
        got.unmet
    );
    assert!(
        got.unmet
            .iter()
            .any(|words| words.contains("comes through in no bed")),
        "{:?}",
        got.unmet
    );
    assert!(
        !got.plan.beds[0].plantings.is_empty(),
        "the nearest plan is still a plan"
    );

    // No bed.
    instance.beds.clear();
    let error = solve(&instance, &SolveOptions::default()).unwrap_err();
    assert_eq!(error.to_string(), "there is no bed to plan with");
}
