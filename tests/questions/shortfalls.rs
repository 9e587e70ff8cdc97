//! What a changed building would close of a plan's shortfalls: every measure named was simulated and does what is said.

use bedyear::plan::SolveOptions;
use bedyear::study::{self, brings, shortfalls, try_measures};

/// A plain hoop without heat falls short of winter greens; a measure that is named closes more than any further sowing alone,
/// and the house made so closes it when it is asked by itself.
#[test]
fn measures_close_what_they_are_said_to() {
    let text = include_str!("../../examples/hoop.toml");
    let project = bedyear::file::parse("hoop.toml", text).unwrap();
    let mut job = study::Job::new(project, &study::SideFiles::default()).unwrap();
    job.project.planning.weather_years = 3;
    let weathers = study::weather_years(&job);
    let climate = study::climate(&job, &job.project.house, &weathers).unwrap();
    let options = SolveOptions {
        work_limit: 100,
        ..SolveOptions::default()
    };
    let plan = study::plan(&job, &climate, &options).unwrap();
    assert!(!plan.gaps.is_empty());
    let tried = try_measures(&job, &weathers).unwrap();
    let found = shortfalls(&job, &climate, &tried, &plan).unwrap();
    assert!(!found.is_empty() && found.len() <= 3);
    let named: Vec<_> = found.iter().flat_map(|(_, closes)| closes).collect();
    assert!(!named.is_empty(), "nothing helps a hoop in winter");
    for closes in named {
        let shares = [
            closes.as_planted,
            closes.with_more.as_ref().map_or(0.0, |more| more.0),
        ];
        assert!(
            shares.iter().all(|share| (0.0..=1.0).contains(share)),
            "{closes:?}"
        );
        assert!(shares.iter().any(|share| *share >= 0.1), "{closes:?}");
        // What the food is worth stands beside what the energy costs.
        assert!(closes.worth_more > 0.0, "{closes:?}");
        let cost = closes.energy_cost_more.unwrap();
        assert_eq!(closes.gains(), closes.worth_more - cost);
    }
    // A further sowing brings the part that it closes, at prices of its weeks, for seed.
    for gap in &plan.gaps {
        let Some((remedy, brings)) = gap.remedy.as_ref().zip(brings(&plan.problem.instance, gap))
        else {
            continue;
        };
        assert!((brings.kg - remedy.closes * gap.missing_kg).abs() < 1e-9);
        let candidate = &plan.problem.instance.candidates[remedy.candidate];
        let prices = &plan.problem.instance.foods[candidate.harvest[0].food].price_kg;
        let most = prices.iter().copied().fold(0.0, f64::max);
        assert!(
            brings.worth > 0.0 && brings.worth <= most * brings.kg,
            "{brings:?}"
        );
        assert!(brings.cost > 0.0, "{brings:?}");
    }
    // The largest shortfall stands first, and no shortfall twice.
    let missing: Vec<f64> = found
        .iter()
        .map(|(gap, _)| plan.gaps[*gap].missing_kg)
        .collect();
    assert!(missing.is_sorted_by(|a, b| a >= b), "{missing:?}");
}
