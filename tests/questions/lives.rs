//! A plan's food eaten in several lives at once: each sowing bears as much in the mean, and gaps and gluts of single years tell.

use std::collections::BTreeSet;

use bedyear::plan::{Instance, SolveOptions, schedule};
use bedyear::study;

/// By Jensen's inequality (1906, *Acta Mathematica* 30) the mean worth of several years is no more than the worth of their mean: the
/// worth of eating falls with every kilogram. On the example it is far less, which is why plans are changed where single years tell.
#[test]
fn years_are_worth_less_than_their_mean() {
    let job = super::job(4);
    let climate = super::simulated(&job);
    let options = SolveOptions {
        work_limit: 100,
        ..SolveOptions::default()
    };
    let study = study::plan(&job, &climate, &options).unwrap();
    let (problem, plan) = (&study.problem, &study.found.plan);
    let instance = &problem.instance;
    let planted = plan.beds.iter().flat_map(|bed| &bed.plantings);
    let kinds = planted.map(|&one| instance.candidates[one].crop.as_str());
    let kinds: BTreeSet<&str> = kinds.collect();
    let lives = problem.in_lives(&kinds, 0);
    let count = lives.groups.len() / instance.groups.len();
    assert!(count > 1);
    for (own, mean) in lives.candidates.iter().zip(&instance.candidates) {
        let kg: f64 = own.harvest.iter().map(|pick| pick.kg).sum();
        let mean_kg: f64 = mean.harvest.iter().map(|pick| pick.kg).sum();
        let expected = if kinds.contains(mean.crop.as_str()) {
            mean_kg
        } else {
            0.0
        };
        let found = kg / count as f64;
        assert!(
            (found - expected).abs() < 1e-9 * (1.0 + expected),
            "{found} {expected}"
        );
    }
    let bare = schedule::bare_beds(&lives) - schedule::bare_beds(instance);
    assert!(bare.abs() < 1e-6, "{bare}");

    let eaten_worth = |instance: &Instance, harvest: &[Vec<f64>]| {
        schedule::worth(instance, &schedule::eating(instance, harvest))
    };
    let picked = schedule::harvest(&lives, plan);
    let foods = lives.foods.len() / count;
    let mean = |at: usize| {
        let week = |week: usize| {
            let of_life = (0..count).map(|life| picked[life * foods + at % foods][week]);
            of_life.sum::<f64>() / count as f64
        };
        (0..lives.weeks).map(week).collect()
    };
    let mean: Vec<Vec<f64>> = (0..lives.foods.len()).map(mean).collect();
    let (of_years, of_mean) = (eaten_worth(&lives, &picked), eaten_worth(&lives, &mean));
    assert!(of_years <= of_mean + 1e-9, "{of_years} {of_mean}");
    assert!(of_years < of_mean - 10.0, "{of_years} {of_mean}");
    assert!(study.found.searched >= study.found.value);
}
