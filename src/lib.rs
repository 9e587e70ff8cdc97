//! bedyear: what a greenhouse will do through the year, what its beds can grow, and what that is worth.
//!
//! One project file describes site, building, beds and household. The data then passes one way through the
//! stages below; a stage knows only those before it.
//!
//! ```text
//! site -> sun -> house -> profile -> crops -> plan -> value -> output
//! ```
//!
//! `calendar`, `plain`, `phrase`, `suggest`, `sheet`, `air` and `solar` are the ground all stages stand on (dates, harmless
//! text, sentences with amounts in them, the nearest name, CSV by hand, moist air, the sun's place in the sky); [`mod@file`]
//! turns the project file into the inputs of the stages, [`journal`] reads what was done, [`tune`] fits the building to it;
//! [`study`] calls the stages in order.

#![forbid(unsafe_code)]

/// The stages, in their order. Closed to other programs; the feature `inner` opens them to the tests, benches and fuzz
/// targets of this project, and promises nothing to anybody else.
macro_rules! stages {
    ($($name:ident),* $(,)?) => {$(
        #[cfg(feature = "inner")]
        pub mod $name;
        #[cfg(not(feature = "inner"))]
        mod $name;
    )*};
}

stages!(
    calendar, plain, phrase, suggest, sheet, air, solar, site, sun, house, profile, crops, plan,
    value, file, journal, tune, study, output,
);

#[cfg(feature = "cli")]
#[doc(hidden)]
pub mod cli;
