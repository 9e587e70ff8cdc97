//! What fewer and more kinds of crop bring, and which of these plans is taken.

use bedyear::plan::SolveOptions;
use bedyear::study;

#[test]
fn more_kinds_are_shown_only_where_they_are_worth_more() {
    let job = super::job(4);
    let climate = super::simulated(&job);
    let options = SolveOptions {
        work_limit: 100,
        frontier: true,
        ..SolveOptions::default()
    };
    let plan = study::plan(&job, &climate, &options).unwrap();
    let rows = &plan.frontier;
    let chosen = rows.iter().position(|row| row.chosen).unwrap();
    assert!(chosen > 0 && rows.len() <= 5, "{rows:?}");
    assert!(rows.is_sorted_by(|a, b| a.simplicity.kinds < b.simplicity.kinds));
    for (at, row) in rows.iter().enumerate().filter(|(at, _)| *at != chosen) {
        let worth_more = rows[..at].iter().all(|fewer| fewer.worth < row.worth);
        assert!(worth_more, "{rows:?}");
    }
    let taken = &rows[chosen];
    assert_eq!(taken.simplicity, plan.found.simplicity);
    assert!((taken.replaced - plan.replay.replaced.p50).abs() < 1e-9);
    let best = rows[..chosen].iter().map(|row| row.worth);
    assert!(
        best.fold(f64::NEG_INFINITY, f64::max) <= taken.worth,
        "{rows:?}"
    );
    // Fewer kinds can do no better than all, and no plan misses more than all that beds can add.
    let (of_all, of_kinds) = (plan.found.gap, plan.found.gap_of_kinds.unwrap());
    assert!(
        0.0 <= of_kinds && of_kinds <= of_all && of_all < 1.0,
        "{of_kinds} {of_all}"
    );
}

/// Two people with three beds: a family let rest by taking a sowing out must not leave another that follows itself. Whatever the
/// search does, what counts the plan once more finds nothing wrong.
#[test]
fn a_plan_whose_families_rest_keeps_its_rules() {
    let text = r#"
        [site]
        place = "uccle"
        [building]
        shape = "gable"
        length = "6 m"
        width = "4 m"
        glazing = "twin-wall-10mm"
        [[bed]]
        name = "bed"
        count = 3
        area = "4 m2"
        [household]
        eaters = [{ number = 1, age = 66 }, { number = 1, age = 63 }]
        want = ["500 g salad greens a week from October to April", "1 kg tomato a week from July to September"]
        [money]
        currency = "EUR"
        groceries = "520 EUR/month"
    "#;
    let project = bedyear::file::parse("two.toml", text).unwrap();
    let job = study::Job::new(project, &study::SideFiles::default()).unwrap();
    let climate = super::simulated(&job);
    let options = SolveOptions {
        frontier: true,
        ..SolveOptions::default()
    };
    let plan = study::plan(&job, &climate, &options).unwrap();
    let wrong = plan.found.remarks.iter().map(ToString::to_string);
    let wrong: Vec<String> = wrong
        .filter(|words| words.contains("counted once more"))
        .collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}
