//! Eigenvalues and eigenvectors of a symmetric tridiagonal matrix.

/// Sweeps allowed for each eigenvalue; two or three are the rule.
const MOST_SWEEPS: usize = 60;

/// Turns a symmetric tridiagonal matrix (`diagonal`, and `beside` it, one shorter) into its eigenvalues, left in
/// `diagonal`. Row k of the result is the unit eigenvector of eigenvalue k.
///
/// # Source
/// Implicit QR steps with Wilkinson's shift (Golub & Van Loan, *Matrix Computations*, ch. 8; from memory).
pub(super) fn eigen(diagonal: &mut [f64], beside: &mut [f64]) -> Vec<Vec<f64>> {
    let count = diagonal.len();
    let mut vectors: Vec<Vec<f64>> = (0..count)
        .map(|row| (0..count).map(|i| f64::from(u8::from(i == row))).collect())
        .collect();
    let mut high = count.saturating_sub(1);
    let mut left = MOST_SWEEPS * count;
    while high > 0 && left > 0 {
        if vanishes(diagonal, beside, high - 1) {
            beside[high - 1] = 0.0;
            high -= 1;
            continue;
        }
        let mut low = high - 1;
        while low > 0 && !vanishes(diagonal, beside, low - 1) {
            low -= 1;
        }
        sweep(diagonal, beside, &mut vectors, low, high);
        left -= 1;
    }
    vectors
}

fn vanishes(diagonal: &[f64], beside: &[f64], at: usize) -> bool {
    beside[at].abs() <= f64::EPSILON * (diagonal[at].abs() + diagonal[at + 1].abs())
}

/// One QR step on rows `low` to `high`.
fn sweep(
    diagonal: &mut [f64],
    beside: &mut [f64],
    vectors: &mut [Vec<f64>],
    low: usize,
    high: usize,
) {
    let half = 0.5 * (diagonal[high - 1] - diagonal[high]);
    let edge = beside[high - 1];
    let shift = diagonal[high] - edge * edge / (half + half.hypot(edge).copysign(half));
    let (mut x, mut z) = (diagonal[low] - shift, beside[low]);
    for k in low..high {
        let length = x.hypot(z);
        let (cos, sin) = if length > 0.0 {
            (x / length, z / length)
        } else {
            (1.0, 0.0)
        };
        if k > low {
            beside[k - 1] = length;
        }
        let (a, b, e) = (diagonal[k], diagonal[k + 1], beside[k]);
        diagonal[k] = cos * cos * a + 2.0 * cos * sin * e + sin * sin * b;
        diagonal[k + 1] = sin * sin * a - 2.0 * cos * sin * e + cos * cos * b;
        beside[k] = cos * sin * (b - a) + (cos * cos - sin * sin) * e;
        if k + 1 < high {
            x = beside[k];
            z = sin * beside[k + 1];
            beside[k + 1] *= cos;
        }
        let (above, below) = vectors.split_at_mut(k + 1);
        for (p, q) in above[k].iter_mut().zip(&mut below[0]) {
            (*p, *q) = (cos * *p + sin * *q, cos * *q - sin * *p);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::eigen;

    /// 2 on the diagonal and -1 beside it: eigenvalues 2 - 2 cos(k pi / (n + 1)) (textbook).
    #[test]
    fn the_second_difference_has_its_known_eigenvalues() {
        let count = 30;
        let (mut diagonal, mut beside) = (vec![2.0; count], vec![-1.0; count - 1]);
        let vectors = eigen(&mut diagonal, &mut beside);
        for (value, row) in diagonal.iter().zip(&vectors) {
            for i in 0..count {
                let above = if i > 0 { row[i - 1] } else { 0.0 };
                let below = row.get(i + 1).copied().unwrap_or(0.0);
                assert!((2.0 * row[i] - above - below - value * row[i]).abs() < 1e-13);
            }
        }
        diagonal.sort_by(f64::total_cmp);
        for (k, value) in diagonal.iter().enumerate() {
            let turn = (k + 1) as f64 * std::f64::consts::PI / (count + 1) as f64;
            assert!((value - (2.0 - 2.0 * turn.cos())).abs() < 1e-13);
        }
    }
}
