//! A logger's readings set against a simulation: its CSV put on the clock, least squares with what is known of the fit.
//!
//! [`logger`] reads the CSV; [`fit`] finds parameters for any residuals; [`certainty`] says how sure they are, given that
//! the errors of one hour are much like those of the hour before.

pub mod certainty;
pub mod fit;
pub mod logger;
