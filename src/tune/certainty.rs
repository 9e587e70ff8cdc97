//! How sure a fit is: standard errors and correlations from blocks of readings, whose errors follow one another.

use nalgebra::{DMatrix, DVector};

/// What a fit's residuals and derivatives say of its parameters.
#[derive(Clone, Debug, PartialEq)]
pub struct Certainty {
    /// So many residuals say as much as one that hangs on no other: 1 + 2 times the sum of their autocorrelations.
    pub inflation: f64,
    /// Standard error of each parameter.
    pub standard_error: Vec<f64>,
    /// Correlation of each parameter with each.
    pub correlation: Vec<Vec<f64>>,
    /// Largest over smallest singular value of the derivative, its columns brought to one length.
    pub condition: f64,
    /// Standard errors to each side that hold 90 % of the cases.
    pub deviations_90: f64,
}

/// Longest lag of the autocorrelations, in readings: a fortnight of hours (own choice).
const LAG_MAX: usize = 14 * 24;
/// Readings in a block, at most: four days of hours, longer than errors by weather last (own choice).
const BLOCK: usize = 4 * 24;
/// Blocks at least; a shorter record has shorter blocks (own choice).
const BLOCKS_MIN: usize = 12;

/// How sure a fit is, from its residuals, in order of time, and its derivative. Rows of the derivative beyond the residuals
/// are those of what was known beforehand, in units of `noise` (see [`effective_noise`]).
///
/// With A = J'J, the covariance is A^-1 M A^-1: M is the sum over blocks of the outer product of each block's sum of
/// derivative times residual, so that errors inside a block may hang together as they like, and the known beforehand counts
/// as readings with `noise`.
///
/// # Source
/// Sums over blocks in place of single readings: Liang & Zeger (1986), Biometrika 73:13-22, with Student's distribution of
/// one less than the blocks; from memory.
///
/// `drawn` holds what the parameters would move by under other weather that may have been (see [`moves`]); its covariance is
/// added.
///
/// Nothing where the derivative does not tell the parameters apart at all, or blocks are fewer than two.
pub fn certainty(
    residuals: &[f64],
    jacobian: &DMatrix<f64>,
    noise: f64,
    drawn: &[DVector<f64>],
) -> Option<Certainty> {
    let n = residuals.len();
    let p = jacobian.ncols();
    let block = BLOCK.min(n / BLOCKS_MIN).max(1);
    let blocks = n / block;
    if n <= p || blocks < 2 {
        return None;
    }
    let inverse = (jacobian.transpose() * jacobian).try_inverse()?;
    let mut meat = DMatrix::zeros(p, p);
    for index in 0..blocks {
        let from = index * block;
        let to = if index + 1 == blocks { n } else { from + block };
        let mut score = DVector::zeros(p);
        for row in from..to {
            score += jacobian.row(row).transpose() * residuals[row];
        }
        meat += &score * score.transpose();
    }
    meat *= blocks as f64 / (blocks - 1) as f64;
    let known = jacobian.rows(n, jacobian.nrows() - n);
    meat += known.transpose() * known * (noise * noise);
    let mut covariance = &inverse * meat * &inverse;
    let mut freedom = (blocks - 1) as f64;
    if drawn.len() > 1 {
        let count = drawn.len() as f64;
        let mean = mean(drawn);
        let outer = drawn.iter().fold(DMatrix::zeros(p, p), |sum, moved| {
            let off = moved - &mean;
            sum + &off * off.transpose()
        });
        // The mean that is taken off is itself of so many draws.
        covariance += outer * ((1.0 + 1.0 / count) / (count - 1.0));
        freedom = freedom.min(count - 1.0);
    }
    let standard_error: Vec<f64> = (0..p)
        .map(|at| covariance[(at, at)].max(0.0).sqrt())
        .collect();
    let correlation = (0..p)
        .map(|a| {
            (0..p)
                .map(|b| covariance[(a, b)] / (standard_error[a] * standard_error[b]))
                .collect()
        })
        .collect();
    Some(Certainty {
        inflation: inflation(residuals),
        standard_error,
        correlation,
        condition: condition(&jacobian.rows(0, n).into_owned()),
        deviations_90: student_90(freedom),
    })
}

/// What the parameters of least squares would move by for each change of the residuals.
///
/// Nothing where the derivative does not tell the parameters apart.
pub fn moves(jacobian: &DMatrix<f64>, changes: &[Vec<f64>]) -> Option<Vec<DVector<f64>>> {
    let inverse = (jacobian.transpose() * jacobian).try_inverse()?;
    let moved = |change: &Vec<f64>| {
        let rows = jacobian.rows(0, change.len());
        &inverse * (rows.transpose() * DVector::from_column_slice(change))
    };
    Some(changes.iter().map(moved).collect())
}

/// Mean of vectors of one length; there must be one.
pub fn mean(vectors: &[DVector<f64>]) -> DVector<f64> {
    let zero = DVector::zeros(vectors[0].len());
    vectors.iter().fold(zero, |sum, vector| sum + vector) / vectors.len() as f64
}

/// Deviations to each side that hold 90 % of Student's distribution.
///
/// # Source
/// Expansion in 1/degrees of freedom: Abramowitz & Stegun 26.7.5, from memory; 1 % at two degrees of freedom.
pub fn student_90(freedom: f64) -> f64 {
    const Z: f64 = 1.644_854;
    let terms = [
        (Z.powi(3) + Z) / 4.0,
        (5.0 * Z.powi(5) + 16.0 * Z.powi(3) + 3.0 * Z) / 96.0,
        (3.0 * Z.powi(7) + 19.0 * Z.powi(5) + 17.0 * Z.powi(3) - 15.0 * Z) / 384.0,
    ];
    let mut power = 1.0;
    terms.iter().fold(Z, |sum, term| {
        power /= freedom;
        sum + term * power
    })
}

/// What the error of a reading comes to if readings hung on no other: root mean square, grown by what they hang together.
pub fn effective_noise(residuals: &[f64]) -> f64 {
    rms(residuals) * inflation(residuals).sqrt()
}

fn rms(residuals: &[f64]) -> f64 {
    let squares: f64 = residuals.iter().map(|r| r * r).sum();
    (squares / residuals.len().max(1) as f64).sqrt()
}

/// 1 + 2 times the sum of the autocorrelations up to the first that is none.
///
/// # Source
/// Bayley & Hammersley (1946), J. R. Stat. Soc. Suppl. 8:184-197, for the number of free observations; from memory. The
/// sum ends at the first lag without correlation.
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

    /// Uniform numbers between -0.5 and 0.5 by a congruence.
    fn uniform(seed: &mut u64) -> f64 {
        *seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (*seed >> 11) as f64 / (1_u64 << 53) as f64 - 0.5
    }

    /// First-order autoregression.
    fn series(seed: &mut u64, memory: f64, count: usize) -> Vec<f64> {
        let mut state = 0.0;
        (0..count)
            .map(|_| {
                state = memory * state + uniform(seed);
                state
            })
            .collect()
    }

    /// A mean and a slope by the daily wave through 60 days of hours whose errors last for a day: their 90 % ranges hold the
    /// truth in 90 of 100 series; 400 series leave a chance of 1.5 of 100, and blocks of a few days are a little short.
    #[test]
    fn ranges_hold_the_truth_where_errors_follow_one_another() {
        const HOURS: usize = 60 * 24;
        const SERIES: usize = 400;
        let wave = |row: usize| (row as f64 * std::f64::consts::TAU / 24.0).sin();
        let slow = |row: usize| (row as f64 * std::f64::consts::TAU / 240.0).sin();
        let jacobian = DMatrix::from_fn(HOURS, 3, |row, column| match column {
            0 => 1.0,
            1 => wave(row),
            _ => slow(row),
        });
        let inverse = (jacobian.transpose() * &jacobian).try_inverse().unwrap();
        let mut seed = 1;
        let mut held = [0; 3];
        for _ in 0..SERIES {
            let errors = DVector::from_vec(series(&mut seed, 0.95, HOURS));
            let found = &inverse * jacobian.transpose() * &errors;
            let residuals = &errors - &jacobian * &found;
            let sure = certainty(residuals.as_slice(), &jacobian, 0.0, &[]).unwrap();
            for (at, held) in held.iter_mut().enumerate() {
                let range = sure.deviations_90 * sure.standard_error[at];
                *held += usize::from(found[at].abs() <= range);
            }
        }
        for held in held {
            let share = held as f64 / SERIES as f64;
            assert!((0.82..0.96).contains(&share), "{share}");
        }
    }

    #[test]
    fn errors_that_follow_one_another_count_less() {
        // First-order autoregression with 0.8: (1 + 0.8) / (1 - 0.8) = 9 readings count as one.
        let found = inflation(&series(&mut 1, 0.8, 20_000));
        assert!((7.0..11.0).contains(&found), "{found}");
    }

    /// Tables of Student's distribution, 0.95 to one side (from memory).
    #[test]
    fn student_as_in_tables() {
        for (freedom, table) in [(2.0, 2.920), (5.0, 2.015), (10.0, 1.812), (30.0, 1.697)] {
            let found = student_90(freedom);
            assert!((found / table - 1.0).abs() < 0.015, "{freedom}: {found}");
        }
    }

    #[test]
    fn columns_alike_are_not_told_apart_but_by_what_is_known_beforehand() {
        let jacobian = DMatrix::from_fn(50, 2, |row, _| row as f64);
        assert_eq!(certainty(&[1.0; 50], &jacobian, 1.0, &[]), None);
        let known = DMatrix::from_fn(52, 2, |row, column| {
            if row < 50 {
                row as f64
            } else {
                f64::from(row - 50 == column)
            }
        });
        let found = certainty(&[1.0; 50], &known, 1.0, &[]).unwrap();
        assert!(found.correlation[0][1] < -0.7, "{found:?}");
    }
}
