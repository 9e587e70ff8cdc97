//! How long a plan takes, by number of beds and of crops: `cargo bench --bench plan`.

#[path = "../tests/plan/synthetic.rs"]
mod synthetic;

use bedyear::plan::{Instance, SolveOptions, solve};
use bedyear::study::{self, Job, SideFiles};

fn main() {
    divan::main();
}

fn within_one_percent(bencher: divan::Bencher, instance: bedyear::plan::Instance) {
    bencher.bench(|| {
        let options = SolveOptions {
            gap: 0.01,
            ..SolveOptions::default()
        };
        let solution = solve(&instance, &options);
        assert!(solution.value <= solution.bound && solution.value > 0.0);
        solution.gap
    });
}

/// Seconds to a plan within 1 % of its bound (or to the default limit of work), 36 crops, 52 weeks.
#[divan::bench(args = [1, 3, 8, 24, 40], sample_count = 3, sample_size = 1)]
fn by_beds(bencher: divan::Bencher, beds: usize) {
    within_one_percent(bencher, synthetic::house(beds, 36, 7));
}

/// The same by crops, 24 beds.
#[divan::bench(args = [9, 18, 36], sample_count = 3, sample_size = 1)]
fn by_crops(bencher: divan::Bencher, crops: usize) {
    within_one_percent(bencher, synthetic::house(24, crops, 7));
}

/// 8 beds, each planted in so many patches, 36 crops.
#[divan::bench(args = [1, 2, 4], sample_count = 3, sample_size = 1)]
fn by_patches(bencher: divan::Bencher, patches: usize) {
    within_one_percent(
        bencher,
        synthetic::in_patches(synthetic::house(8, 36, 7), patches),
    );
}

/// The planning problem of a project file.
fn instance_of(text: &str) -> Instance {
    let project = bedyear::file::parse("bench", text).unwrap();
    let job = Job::new(project, &SideFiles::default()).unwrap();
    let weathers = study::weather_years(&job);
    let climate = study::climate(&job, &job.project.house, &weathers).unwrap();
    let quick = SolveOptions {
        work_limit: 1,
        gap: 1.0,
        ..SolveOptions::default()
    };
    study::plan(&job, &climate, &quick)
        .unwrap()
        .problem
        .instance
}

const HOUSE: &str = "[year]\nplan = 2027\nweather_years = 10\n[building]\nshape = \"gable\"\nlength = \"12 m\"\n\
                     width = \"6 m\"\nglazing = \"triple-wall-16mm\"\n";

/// Whole run of a plan with its frontier: the example as it comes; eight beds planted whole; one bed in three sections.
#[divan::bench(args = ["example", "whole beds", "one bed"], sample_count = 3, sample_size = 1)]
fn frontier(bencher: divan::Bencher, name: &str) {
    let instance = instance_of(&match name {
        "whole beds" => format!(
            "[site]\nplace = \"prince-george\"\n{HOUSE}[[bed]]\nname = \"bed\"\ncount = 8\narea = \"4.5 m2\"\n\
             [household]\nsections = 1\neaters = [{{ number = 4, age = 30 }}]\n"
        ),
        "one bed" => format!(
            "[site]\nplace = \"uccle\"\n{HOUSE}[[bed]]\nname = \"bed\"\narea = \"3.3 m2\"\n\
             [household]\nsections = 3\neaters = [{{ number = 1, age = 40 }}]\n"
        ),
        _ => include_str!("../examples/helena.toml").to_owned(),
    });
    bencher.bench(|| {
        let options = SolveOptions {
            frontier: true,
            ..SolveOptions::default()
        };
        let solution = solve(&instance, &options);
        (solution.gap, solution.gap_of_kinds)
    });
}
