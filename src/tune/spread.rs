//! How sure a fit is: standard errors, correlations, and errors that follow one another.

use nalgebra::DMatrix;

/// What a fit's residuals and derivatives say of its parameters.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Root mean square of the residuals.
    pub rms: f64,
    /// So many residuals say as much as one that hangs on no other: 1 + 2 times the sum of their autocorrelations.
    pub inflation: f64,
    /// Standard error of each parameter.
    pub standard_error: Vec<f64>,
    /// Correlation of each parameter with each.
    pub correlation: Vec<Vec<f64>>,
    /// Largest over smallest singular value of the derivative, its columns brought to one length.
    pub condition: f64,
}

/// Longest lag of the autocorrelations, in readings: a fortnight of hours (own choice).
const LAG_MAX: usize = 14 * 24;

/// The spread of a fit from its residuals, in order of time, and its derivative.
///
/// The covariance is s2 (J'J)^-1, grown by the factor by which residuals that follow one another count less: the mean of
/// n of them has the variance of n / (1 + 2 sum rho) free ones.
///
/// # Source
/// Bayley & Hammersley (1946), J. R. Stat. Soc. Suppl. 8:184-197, for the number of free observations; from memory. The
/// sum ends at the first lag without correlation.
///
/// Nothing where the derivative does not tell the parameters apart at all, or readings are fewer than parameters.
pub fn spread(residuals: &[f64], jacobian: &DMatrix<f64>) -> Option<Spread> {
    let (n, p) = jacobian.shape();
    let free = n.checked_sub(p).filter(|free| *free > 0)?;
    let squares: f64 = residuals.iter().map(|r| r * r).sum();
    let inverse = (jacobian.transpose() * jacobian).try_inverse()?;
    let inflation = inflation(residuals).min(n as f64 / (p + 1) as f64).max(1.0);
    let variance = squares / free as f64 * inflation;
    let deviation: Vec<f64> = (0..p).map(|at| inverse[(at, at)].max(0.0).sqrt()).collect();
    let correlation = (0..p)
        .map(|a| {
            (0..p)
                .map(|b| inverse[(a, b)] / (deviation[a] * deviation[b]))
                .collect()
        })
        .collect();
    Some(Spread {
        rms: (squares / n as f64).sqrt(),
        inflation,
        standard_error: deviation.iter().map(|own| own * variance.sqrt()).collect(),
        correlation,
        condition: condition(jacobian),
    })
}

/// 1 + 2 times the sum of the autocorrelations up to the first that is none.
fn inflation(residuals: &[f64]) -> f64 {
    let n = residuals.len();
    let mean = residuals.iter().sum::<f64>() / n.max(1) as f64;
    let off: Vec<f64> = residuals.iter().map(|r| r - mean).collect();
    let whole: f64 = off.iter().map(|r| r * r).sum();
    if whole <= 0.0 {
        return 1.0;
    }
    let rho = |lag: usize| off.iter().zip(&off[lag..]).map(|(a, b)| a * b).sum::<f64>() / whole;
    let sum: f64 = (1..LAG_MAX.min(n))
        .map(rho)
        .take_while(|rho| *rho > 0.0)
        .sum();
    1.0 + 2.0 * sum
}

fn condition(jacobian: &DMatrix<f64>) -> f64 {
    let mut scaled = jacobian.clone();
    for mut column in scaled.column_iter_mut() {
        let length = column.norm();
        if length > 0.0 {
            column /= length;
        }
    }
    let values = scaled.singular_values();
    values.max() / values.min()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_has_its_textbook_errors() {
        // y = a + b x at x = 0..9: var a = s2 (1/n + xm2/Sxx), var b = s2/Sxx, corr = -xm / sqrt(Sxx/n + xm2); with
        // xm = 4.5, Sxx = 82.5 (textbook formulas of simple regression).
        let n = 10;
        let jacobian = DMatrix::from_fn(
            n,
            2,
            |row, column| if column == 0 { 1.0 } else { row as f64 },
        );
        let residuals: Vec<f64> = (0..n)
            .map(|at| if at % 2 == 0 { 1.0 } else { -1.0 })
            .collect();
        let found = spread(&residuals, &jacobian).unwrap();
        let s2: f64 = 10.0 / 8.0;
        assert!((found.standard_error[1] - (s2 / 82.5).sqrt()).abs() < 1e-12);
        assert!((found.standard_error[0] - (s2 * (0.1 + 20.25 / 82.5)).sqrt()).abs() < 1e-12);
        assert!((found.correlation[0][1] + 4.5 / (8.25_f64 + 20.25).sqrt()).abs() < 1e-12);
        assert_eq!(found.inflation, 1.0);
    }

    #[test]
    fn errors_that_follow_one_another_count_less() {
        // First-order autoregression with 0.8: (1 + 0.8) / (1 - 0.8) = 9 readings count as one.
        let mut state = 0.0;
        let mut seed = 1_u64;
        let series: Vec<f64> = (0..20_000)
            .map(|_| {
                seed = seed
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                let uniform = (seed >> 11) as f64 / (1_u64 << 53) as f64 - 0.5;
                state = 0.8 * state + uniform;
                state
            })
            .collect();
        let found = inflation(&series);
        assert!((7.0..11.0).contains(&found), "{found}");
    }

    #[test]
    fn columns_alike_are_not_told_apart() {
        let jacobian = DMatrix::from_fn(50, 2, |row, _| row as f64);
        assert_eq!(spread(&[1.0; 50], &jacobian), None);
    }
}
