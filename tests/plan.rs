//! The plan: best in small cases, rules kept, claims checked by a verifier that rejects broken ones.

#[path = "plan/habit.rs"]
mod habit;
#[path = "plan/lp.rs"]
mod lp;
#[path = "plan/simple.rs"]
mod simple;
#[path = "plan/small.rs"]
mod small;
#[path = "plan/synthetic.rs"]
mod synthetic;
#[path = "plan/years.rs"]
mod years;

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
    let food = eaten.iter_mut().find(|weeks| weeks.contains(&0.0)).unwrap();
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
fn ended_from_outside_with_the_best_plan_so_far() {
    let instance = synthetic::house(4, 12, 5);
    let stop = std::sync::atomic::AtomicBool::new(true);
    let options = SolveOptions {
        gap: 0.0,
        stop: Some(&stop),
        ..SolveOptions::default()
    };
    let got = solve(&instance, &options);
    assert!(got.stopped && !got.optimal && got.work < options.work_limit);
    assert!(got.plan.beds.iter().any(|bed| !bed.plantings.is_empty()));
    assert_eq!(
        check(&instance, &got.plan, &got.claim()).faults,
        Vec::new(),
        "a plan like any other"
    );
}

/// A shared limit forbade the planting that parted two of one family.
#[test]
fn rotation_is_kept_where_a_limit_leaves_a_planting_out() {
    let instance = small::case(109_064);
    let got = solved(&instance, 0.01, 200);
    let faults = check(&instance, &got.plan, &got.claim()).faults;
    assert_eq!(faults, Vec::new());
}

/// Gaps that the method must reach in counted work, so on any machine: many beds to 1 %, one bed within 3 %,
/// eight beds planted in quarters (as a household's beds are) to 1 %.
#[test]
fn gap_closes_in_counted_work() {
    for (beds, work, gap) in [(40, 1500, 0.01), (1, 1500, 0.03)] {
        let got = solved(&synthetic::house(beds, 36, 7), 0.01, work);
        assert!(got.gap <= gap, "{beds} beds: {:.2} %", 100.0 * got.gap);
    }
    for seed in [7, 8, 9] {
        let beds = synthetic::in_patches(synthetic::house(8, 36, seed), 4);
        let got = solved(&beds, 0.01, 1500);
        assert!(got.gap <= 0.01, "seed {seed}: {:.2} %", 100.0 * got.gap);
    }
}

#[test]
fn what_cannot_be_is_said_in_words() {
    // No crop comes through.
    let mut instance = synthetic::house(2, 8, 1);
    instance.candidates.clear();
    let got = solved(&instance, 0.01, 100);
    assert!(got.plan.beds.iter().all(|bed| bed.plantings.is_empty()));
    let said = bedyear::plan::unmet(&instance, &got.plan);
    assert!(
        said.iter()
            .any(|words| words.to_string().contains("no crop comes through")),
        "{said:?}"
    );

    // A crop that nobody can grow.
    let mut instance = synthetic::house(1, 8, 1);
    instance.wanted.push(Wanted {
        crop: "banana".into(),
        plantings: 1,
        penalty: 10.0,
    });
    let got = solved(&instance, 0.01, 100);
    let said = bedyear::plan::unmet(&instance, &got.plan);
    assert!(
        said.iter()
            .any(|words| words.to_string().contains("comes through in no bed")),
        "{said:?}"
    );
    assert!(
        !got.plan.beds[0].plantings.is_empty(),
        "the nearest plan is still a plan"
    );

    // No bed: nothing can be planted, and nothing is wrong.
    instance.beds.clear();
    instance.candidates.clear();
    instance.standing.clear();
    let got = solve(&instance, &SolveOptions::default());
    assert!(got.plan.is_empty() && got.plan.beds.is_empty());
}

/// Best value of an LP file by HiGHS, where Python has it.
fn by_highs(files: &[std::path::PathBuf]) -> Option<Vec<f64>> {
    const SCRIPT: &str = "
import sys, highspy
for name in sys.argv[1:]:
    solver = highspy.Highs()
    solver.setOptionValue('output_flag', False)
    solver.setOptionValue('mip_rel_gap', 1e-9)
    solver.readModel(name)
    solver.run()
    print(repr(solver.getObjectiveValue()))
";
    let out = std::process::Command::new("python3")
        .arg("-c")
        .arg(SCRIPT)
        .args(files)
        .output()
        .ok()?;
    if !out.status.success() {
        return None;
    }
    Some(
        String::from_utf8(out.stdout)
            .ok()?
            .lines()
            .filter_map(|line| line.parse().ok())
            .collect(),
    )
}

/// HiGHS (Huangfu and Hall 2018, Mathematical Programming Computation 10) from the Python package index.
#[test]
fn another_solver_finds_the_same_best_value() {
    let folder = tempfile::tempdir().unwrap();
    let seeds: Vec<u64> = (0..40).collect();
    let files: Vec<_> = seeds
        .iter()
        .map(|seed| {
            let file = folder.path().join(format!("case{seed}.lp"));
            std::fs::write(&file, lp::write_lp(&small::case(*seed))).unwrap();
            file
        })
        .collect();
    let Some(values) = by_highs(&files) else {
        eprintln!("SKIPPED: python3 with highspy is not here (pip install highspy)");
        return;
    };
    assert_eq!(values.len(), seeds.len());
    for (seed, expected) in seeds.iter().zip(values) {
        let got = solved(&small::case(*seed), 0.0, 3000).value;
        assert!(
            (got - expected).abs() < 1e-6,
            "case {seed}: {got}, HiGHS {expected}"
        );
    }
}

/// Every bed class taken as one bed of its name.
fn places(instance: &Instance) -> Vec<BedSections> {
    let place = |(class, kind): (usize, &BedClass)| BedSections {
        name: kind.name.clone(),
        class,
        first: 0,
        count: kind.count,
    };
    instance.beds.iter().enumerate().map(place).collect()
}

#[test]
fn plan_file_comes_back_and_tells_what_a_change_does() {
    let instance = synthetic::house(3, 12, 3);
    let got = solved(&instance, 0.05, 100);
    let places = places(&instance);
    let file = PlanFile::new(&instance, &places, &got.plan);
    let text = file.to_toml().unwrap();
    let again = PlanFile::parse(&text).unwrap();
    assert_eq!(again, file);
    let plan = again.resolve(&instance, &places).unwrap();
    assert_eq!(plan, got.plan);
    let before = assess::assess(&instance, &plan);
    assert!(before.faults.is_empty());
    assert!((before.value - got.value).abs() < 1e-6 * got.value.abs());

    // By hand: one planting out. The value of a plan this near the best falls.
    let mut changed = again.clone();
    changed.plantings.remove(0);
    let after = assess::assess(&instance, &changed.resolve(&instance, &places).unwrap());
    assert!(after.value < before.value);

    // A planting twice over-fills the bed; a sowing that nothing survives is refused with the nearest one.
    let mut double = again.clone();
    double.plantings.push(double.plantings[0].clone());
    let faults = assess::assess(&instance, &double.resolve(&instance, &places).unwrap()).faults;
    assert!(matches!(faults[0], Fault::OverFull { .. }), "{faults:?}");
    let mut wrong = again.clone();
    wrong.plantings[0].crop = "banana".into();
    let error = wrong.resolve(&instance, &places).unwrap_err().to_string();
    assert!(
        error.contains("banana") && error.contains("no sowing of it can"),
        "{error}"
    );
    let mistyped = text.replace("crop = ", "corp = ");
    assert!(
        PlanFile::parse(&mistyped)
            .unwrap_err()
            .to_string()
            .contains("corp")
    );
}

#[test]
fn replayed_years_spread_round_the_plan() {
    let instance = synthetic::house(3, 12, 3);
    let got = solved(&instance, 0.05, 100);
    // Ten years, from next to nothing to twice the harvest, all of it eaten in the week of picking.
    let outlay = schedule::outlay(&instance, &got.plan);
    let whole = schedule::harvest(&instance, &got.plan);
    let lived: Vec<replay::Lived> = (0..=10)
        .map(|year| {
            let scale = |weeks: &Vec<f64>| weeks.iter().map(|kg| kg * 0.2 * year as f64).collect();
            let harvest_kg: Vec<Vec<f64>> = whole.iter().map(scale).collect();
            let worth = |week: usize| harvest_kg.iter().map(|weeks| 3.0 * weeks[week]).sum();
            replay::Lived {
                eaten_kg: harvest_kg.clone(),
                replaced: (0..instance.weeks).map(worth).collect(),
                beyond: vec![0.5; instance.weeks],
                harvest_kg,
            }
        })
        .collect();
    let replay = replay::replay(&instance, outlay, &lived);
    assert!(replay.value.p10 < replay.value.p50 && replay.value.p50 < replay.value.p90);
    let middling: f64 = 3.0 * whole.iter().flatten().sum::<f64>();
    assert!(
        (replay.value.p50 - (middling - outlay)).abs() < 1e-6 * middling,
        "the middling year is the planned one"
    );
    assert!((replay.beyond.p50 - 0.5 * instance.weeks as f64).abs() < 1e-9);
    assert_eq!(replay.months.len(), 12);
    assert!((replay.any_empty_week - 1.0 / 11.0).abs() < 1e-12 || replay.any_empty_week > 0.5);
}

#[test]
fn better_than_the_habit_of_sowing_every_two_weeks() {
    for (seed, crops) in [(11, 12), (12, 12), (13, 16)] {
        let instance = synthetic::house(4, crops, seed);
        let habit = assess::assess(&instance, &habit::by_habit(&instance));
        // A single family cannot stand alone in a settled year, so an unfinished rotation may be part of habit.
        let ours = solved(&instance, 0.05, 300);
        let kg = |weeks: &[Vec<f64>]| weeks.iter().flatten().sum::<f64>();
        let eaten: f64 = habit.eaten_kg.iter().sum();
        println!(
            "case {seed}: {:.0} by habit, {:.0} planned; {eaten:.0} kg and {:.0} kg eaten",
            habit.value,
            ours.value,
            kg(&ours.eaten)
        );
        assert!(ours.value > habit.value, "case {seed}");
        assert!(kg(&ours.eaten) > eaten, "case {seed}: kilograms");
    }
}
