//! Hardening to cold: how far a stand has gone from tender to winter-hard.

/// Mean minimum at or above which nothing hardens, °C (Tamura 2000, 2002: hardening is slight at 8 to 2 °C).
const NONE_C: f64 = 8.0;
/// Mean minimum at which slight hardening turns into strong, °C (Tamura 2000, 2002).
const SLIGHT_C: f64 = 2.0;
/// Mean minimum at which hardening is full, °C (assumption: as far below 0 °C as `SLIGHT_C` lies above).
const FULL_C: f64 = -2.0;
/// Degree of hardening at `SLIGHT_C` (assumption: canola goes from -3 over -7 to -19 °C, so a part-hardened leaf has
/// gone a quarter of the way; Plant Physiol. 2004).
const SLIGHT: f64 = 0.25;
/// Days over which the minimum is averaged (Tamura 2000, 2002).
const MEAN_DAYS: usize = 7;
/// Time constant of gain, days: spinach gains most within three days.
const GAIN_DAYS: f64 = 2.0;
/// Time constant of loss, days: hardened spinach loses 3-5 of some 7 K in a day at 20/17 °C.
const LOSS_DAYS: f64 = 1.5;

/// Degree of hardening that a lasting mean minimum leads to, 0 to 1.
pub fn target(mean_minimum_c: f64) -> f64 {
    if mean_minimum_c >= NONE_C {
        0.0
    } else if mean_minimum_c >= SLIGHT_C {
        SLIGHT * (NONE_C - mean_minimum_c) / (NONE_C - SLIGHT_C)
    } else {
        (SLIGHT + (1.0 - SLIGHT) * (SLIGHT_C - mean_minimum_c) / (SLIGHT_C - FULL_C)).min(1.0)
    }
}

/// Degree of hardening in the morning of each day, from the daily leaf minima of consecutive years that repeat.
pub fn degrees(leaf_min_c: &[f64]) -> Vec<f64> {
    let days = leaf_min_c.len();
    let mut degree = 0.0;
    let mut out = vec![0.0; days];
    // Two rounds: the first finds the state in which the years begin.
    for step in 0..2 * days {
        let day = step % days;
        // The nights before this one.
        let mean: f64 = (1..=MEAN_DAYS)
            .filter_map(|back| leaf_min_c.get((day + days - back % days) % days))
            .sum::<f64>()
            / MEAN_DAYS as f64;
        let goal = target(mean);
        let constant = if goal > degree { GAIN_DAYS } else { LOSS_DAYS };
        degree += (goal - degree) * (1.0 - (-1.0 / constant).exp());
        if let Some(slot) = out.get_mut(day) {
            *slot = degree;
        }
    }
    out
}
