//! Eating against a linear program.

use microlp::{ComparisonOp, OptimizationDirection, Problem};
use rand::{RngExt, SeedableRng};

use super::*;
use crate::plan::{BedClass, Closing, Food, Group, Instance, Limits, Step, Target, Wish};

fn household(rng: &mut rand_chacha::ChaCha8Rng, closing: Closing) -> Instance {
    let weeks = 6;
    let foods = (0..4)
        .map(|number| Food {
            id: format!("food {number}"),
            group: (number > 0).then_some(0),
            price_kg: (0..weeks).map(|_| rng.random_range(1.0..5.0)).collect(),
            appetite: vec![
                Step {
                    kg_week: 1.0,
                    worth: 1.0,
                },
                Step {
                    kg_week: 0.7,
                    worth: 0.4,
                },
            ],
            keeps_weeks: number,
        })
        .collect();
    Instance {
        start: chrono::NaiveDate::from_ymd_opt(2027, 1, 1).unwrap(),
        weeks,
        closing,
        beds: vec![BedClass {
            name: "bed".into(),
            count: 1,
            area_m2: 1.0,
            climate: 0,
        }],
        families: Vec::new(),
        foods,
        groups: vec![Group {
            name: "group".into(),
            appetite_kg_week: 1.5,
        }],
        candidates: Vec::new(),
        wishes: vec![Wish {
            target: Target::Group(0),
            kg_week: vec![0.8; weeks],
            penalty_kg: 2.0,
            beyond: 0.5,
        }],
        wanted: Vec::new(),
        standing: Vec::new(),
        coming: Vec::new(),
        limits: Limits::default(),
        effort: crate::plan::Effort::default(),
        work_day: None,
    }
}

/// The same as a linear program.
fn by_linear_program(model: &Model, supply: &[f64]) -> f64 {
    let mut lp = Problem::new(OptimizationDirection::Maximize);
    let mut into = vec![Vec::new(); supply.len()];
    for (source, &kg) in supply.iter().enumerate() {
        let food = source / model.weeks;
        let arcs = model.window(food, source % model.weeks).map(|week| {
            let arc = lp.add_var(0.0, (0.0, f64::INFINITY));
            into[food * model.weeks + week].push((arc, 1.0));
            (arc, 1.0)
        });
        let arcs: Vec<_> = arcs.collect();
        lp.add_constraint(arcs, ComparisonOp::Le, kg);
    }
    for table in &model.tables {
        for week in 0..model.weeks {
            let mut total = Vec::new();
            for &food in &table.foods {
                let cell = food * model.weeks + week;
                let mut balance = into[cell].clone();
                for step in &model.steps[cell] {
                    let eaten = lp.add_var(step.worth, (0.0, step.kg));
                    balance.push((eaten, -1.0));
                    total.push((eaten, 1.0));
                }
                lp.add_constraint(balance, ComparisonOp::Eq, 0.0);
            }
            for segment in &table.total[week] {
                let eaten = lp.add_var(segment.worth, (0.0, segment.kg));
                total.push((eaten, -1.0));
            }
            lp.add_constraint(total, ComparisonOp::Eq, 0.0);
        }
    }
    match lp.solve().unwrap() {
        microlp::SolveOutcome::Solution(solution) => solution.objective(),
        microlp::SolveOutcome::Interrupted(_) => unreachable!("no limit was set"),
    }
}

#[test]
fn eating_is_the_best_there_is_as_harvests_come_and_go() {
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(5);
    for case in 0..30 {
        let closing = if case % 2 == 0 {
            Closing::EachBed
        } else {
            Closing::Open
        };
        let instance = household(&mut rng, closing);
        let model = Model::new(&instance);
        let mut allocation = FoodAllocation::new(&model);
        let mut supply = vec![0.0; model.steps.len()];
        for step in 0..40 {
            let source = rng.random_range(0..supply.len());
            if supply[source] > 0.0 && rng.random_range(0..2) == 0 {
                let kg = supply[source] * [1.0, 0.6][rng.random_range(0..2)];
                supply[source] -= kg;
                allocation.remove(source, kg);
            } else {
                let kg = rng.random_range(0.1..3.0);
                supply[source] += kg;
                allocation.add(source, kg);
            }
            let expected = by_linear_program(&model, &supply);
            let got = allocation.stock.worth;
            assert!(
                (got - expected).abs() < 1e-6,
                "case {case}, step {step}: {got}, linear program {expected}"
            );
        }
    }
}
