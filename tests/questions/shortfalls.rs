//! What a changed building would close of a plan's shortfalls: every measure named was simulated and does what is said.

use bedyear::plan::SolveOptions;
use bedyear::study::{self, shortfalls, try_measures};

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
    }
    // The largest shortfall stands first, and no shortfall twice.
    let missing: Vec<f64> = found
        .iter()
        .map(|(gap, _)| plan.gaps[*gap].missing_kg)
        .collect();
    assert!(missing.is_sorted_by(|a, b| a >= b), "{missing:?}");
}
