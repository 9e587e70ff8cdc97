//! How long a plan takes, by number of beds and of crops: `cargo bench --bench plan`.

#[path = "../tests/plan/synthetic.rs"]
mod synthetic;

use bedyear::plan::{SolveOptions, solve};

fn main() {
    divan::main();
}

fn within_one_percent(bencher: divan::Bencher, instance: bedyear::plan::Instance) {
    bencher.bench(|| {
        let options = SolveOptions {
            gap: 0.01,
            ..SolveOptions::default()
        };
        let solution = solve(&instance, &options).unwrap();
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
