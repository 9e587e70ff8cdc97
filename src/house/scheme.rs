//! The implicit scheme of a step: two stages of second order.
//!
//! The stiffly accurate, L-stable, singly diagonally implicit Runge-Kutta rule of two stages (Alexander 1977, SIAM J. Numer.
//! Anal. 14:1006-1021; from memory), gamma = 1 - 1/sqrt(2):
//!
//! ```text
//! stage 1: (H1 - H0) / (gamma h) = f(H1)
//! stage 2: (H  - H0 - (1 - gamma)/gamma (H1 - H0)) / (gamma h) = f(H)
//! H - H0 = h ((1 - gamma) f(H1) + gamma f(H))
//! ```
//!
//! Both stages are one implicit solve with the same matrix, so the factors are kept. H is heat, so freezing soil is
//! conserved to the last bit; means over a step weigh the stages by 1 - gamma and gamma.

use crate::calendar::SECONDS_PER_HOUR;

/// 1 - 1/sqrt(2).
pub(super) const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// (1 - gamma) / gamma.
pub(super) const EXTRAPOLATE: f64 = (1.0 - GAMMA) / GAMMA;
/// Weights of the two stages in a step.
pub(super) const WEIGHTS: [f64; 2] = [1.0 - GAMMA, GAMMA];
/// Length of a stage, s.
pub(super) const STAGE_S: f64 = GAMMA * SECONDS_PER_HOUR;
