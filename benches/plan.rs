//! How long a plan takes, by number of beds: `cargo bench --bench plan`.

#[path = "../tests/plan/synthetic.rs"]
mod synthetic;

use bedyear::plan::{SolveOptions, solve};

fn main() {
    divan::main();
}

/// Seconds to a plan within 1 % of its bound (or to the default limit of work), 36 crops, 52 weeks.
#[divan::bench(args = [1, 3, 8, 24, 40], sample_count = 3, sample_size = 1)]
fn to_one_percent(bencher: divan::Bencher, beds: usize) {
    let instance = synthetic::house(beds, 36, 7);
    bencher.bench(|| {
        let solution = solve(
            &instance,
            &SolveOptions {
                gap: 0.01,
                ..SolveOptions::default()
            },
        )
        .unwrap();
        assert!(solution.value <= solution.bound && solution.value > 0.0);
        solution.gap
    });
}
