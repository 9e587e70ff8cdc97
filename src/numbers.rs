//! Small reckonings that every stage needs.

/// Mean of a column; NaN for an empty one.
pub fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Lowest of a column; NaN for an empty one.
pub fn lowest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::NAN, f64::min)
}

/// Highest of a column; NaN for an empty one.
pub fn highest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::NAN, f64::max)
}

/// Halves a range `times` times, each time keeping the half in which `below` turns from true to false.
pub fn halved(
    (mut low, mut high): (f64, f64),
    times: usize,
    mut below: impl FnMut(f64) -> bool,
) -> (f64, f64) {
    for _ in 0..times {
        let middle = 0.5 * (low + high);
        if below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low, high)
}
