//! Least squares by the method of Levenberg and Marquardt, with a derivative by differences.

use std::cell::RefCell;

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::storage::Owned;
use nalgebra::{DMatrix, DVector, Dyn};
use rayon::prelude::*;

/// What is fitted: residuals for parameters, or why they cannot be computed.
pub trait Run<E>: Fn(&[f64]) -> Result<Vec<f64>, E> + Sync {}
impl<E, F: Fn(&[f64]) -> Result<Vec<f64>, E> + Sync> Run<E> for F {}

/// A fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Parameters of the least sum of squares.
    pub parameters: Vec<f64>,
    /// Residuals there.
    pub residuals: Vec<f64>,
    /// Derivative of each residual by each parameter there: one column a parameter.
    pub jacobian: DMatrix<f64>,
    /// Whether the search ended at a minimum, not at its limit of work.
    pub converged: bool,
}

/// Step of the differences: parameters are logarithms of factors, so this is two per cent of a factor. The simulation
/// switches fans and vents on and off; a smaller step would show the switching, not the trend (own choice).
const STEP: f64 = 0.02;
/// Fall of the sum of squares, and step in the parameters, at which the search ends, as a share; the residuals carry
/// half a kelvin of noise, so more is not worth its simulations (own choice).
const TOLERANCE: f64 = 1e-4;
/// Evaluations at most, for each parameter and one (own choice).
const PATIENCE: usize = 12;
/// First step at most: factors grow or shrink by e in one step; farther lie no sensible buildings (own choice).
const STEP_BOUND: f64 = 1.0;

/// Fits parameters, starting at `start`; `run` gives the residuals for parameters, as many for any.
///
/// The derivative's columns are computed in parallel, each on its own, so the result does not hang on the number of
/// threads.
///
/// # Errors
/// The first run that could not be made.
pub fn fit<E: Send>(run: impl Run<E>, start: &[f64]) -> Result<Fit, E> {
    let search = Search {
        run: &run,
        at: DVector::from_column_slice(start),
        residuals: Some(DVector::from_vec(run(start)?)),
        failure: RefCell::new(None),
    };
    let (found, report) = LevenbergMarquardt::new()
        .with_ftol(TOLERANCE)
        .with_xtol(TOLERANCE)
        .with_gtol(TOLERANCE)
        .with_scale_diag(false)
        .with_stepbound(STEP_BOUND)
        .with_patience(PATIENCE)
        .minimize(search);
    if let Some(failure) = found.failure.into_inner() {
        return Err(failure);
    }
    let parameters: Vec<f64> = found.at.iter().copied().collect();
    Ok(Fit {
        residuals: run(&parameters)?,
        jacobian: jacobian(&run, &parameters)?,
        parameters,
        converged: report.termination.was_successful(),
    })
}

/// Derivative of the residuals by central differences: one column a parameter.
///
/// # Errors
/// The first run that could not be made.
pub fn jacobian<E: Send>(run: &impl Run<E>, at: &[f64]) -> Result<DMatrix<f64>, E> {
    let shifted: Vec<(usize, f64)> = (0..at.len())
        .flat_map(|place| [(place, STEP), (place, -STEP)])
        .collect();
    let runs: Vec<Result<Vec<f64>, E>> = shifted
        .par_iter()
        .map(|&(place, step)| {
            let mut parameters = at.to_vec();
            parameters[place] += step;
            run(&parameters)
        })
        .collect();
    let mut columns = Vec::with_capacity(at.len());
    let mut runs = runs.into_iter();
    while let (Some(above), Some(below)) = (runs.next(), runs.next()) {
        let (above, below) = (above?, below?);
        let slope = above
            .iter()
            .zip(&below)
            .map(|(a, b)| (a - b) / (2.0 * STEP));
        columns.push(DVector::from_iterator(above.len(), slope));
    }
    Ok(DMatrix::from_columns(&columns))
}

/// A search under way.
struct Search<'r, R, E> {
    run: &'r R,
    at: DVector<f64>,
    residuals: Option<DVector<f64>>,
    failure: RefCell<Option<E>>,
}

impl<R, E> Search<'_, R, E> {
    /// The value, or nothing and the failure kept.
    fn kept<T>(&self, result: Result<T, E>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(failure) => {
                self.failure.borrow_mut().get_or_insert(failure);
                None
            }
        }
    }
}

impl<E: Send, R: Run<E>> LeastSquaresProblem<f64, Dyn, Dyn> for Search<'_, R, E> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, parameters: &DVector<f64>) {
        if self.at == *parameters && self.residuals.is_some() {
            return;
        }
        self.at.copy_from(parameters);
        let run = (self.run)(parameters.as_slice());
        self.residuals = self.kept(run).map(DVector::from_vec);
    }

    fn params(&self) -> DVector<f64> {
        self.at.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        self.residuals.clone()
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        self.kept(jacobian(self.run, self.at.as_slice()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const X: [f64; 14] = [
        77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1,
        760.0,
    ];
    const Y: [f64; 14] = [
        10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
        81.78,
    ];

    /// y = b1 (1 - exp(-b2 x)): data set Misra1a of the NIST Statistical Reference Datasets, nonlinear regression,
    /// lower difficulty; certified b1 = 238.94212918, b2 = 5.5015643181E-04, residual sum of squares 0.12455138894
    /// (figures from memory).
    #[test]
    fn certified_figures_are_found() {
        let misra1a = |logs: &[f64]| -> Result<Vec<f64>, ()> {
            let (b1, b2) = (250.0 * logs[0].exp(), 5e-4 * logs[1].exp());
            let model = |x: f64| b1 * (1.0 - (-b2 * x).exp());
            Ok(X.iter().zip(Y).map(|(&x, y)| model(x) - y).collect())
        };
        let found = fit(misra1a, &[0.0, 0.0]).unwrap();
        let b1 = 250.0 * found.parameters[0].exp();
        let b2 = 5e-4 * found.parameters[1].exp();
        let squares: f64 = found.residuals.iter().map(|r| r * r).sum();
        assert!((b1 / 238.942_129_18 - 1.0).abs() < 1e-3, "{b1}");
        assert!((b2 / 5.501_564_318_1e-4 - 1.0).abs() < 1e-3, "{b2}");
        assert!((squares / 0.124_551_388_94 - 1.0).abs() < 0.05, "{squares}");
    }

    #[test]
    fn a_run_that_fails_is_reported() {
        let broken = |at: &[f64]| match at[0] {
            0.0 => Ok(vec![1.0, 2.0]),
            _ => Err("no"),
        };
        assert_eq!(fit(broken, &[0.0]), Err("no"));
    }
}
