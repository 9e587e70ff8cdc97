//! Amounts of money as whole minor units (cents, pence, yen), so that tables add up exactly.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Sub};

/// Currency of ISO 4217 by its three-letter code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Currency(iso_currency::Currency);

impl Currency {
    /// Currency of an ISO 4217 code, in capitals or not; none for anything that is not a code of the standard.
    pub fn from_code(code: &str) -> Option<Self> {
        iso_currency::Currency::from_code(&code.trim().to_ascii_uppercase()).map(Self)
    }

    /// US dollar.
    pub fn usd() -> Self {
        Self(iso_currency::Currency::USD)
    }

    /// Three-letter code.
    pub fn code(self) -> &'static str {
        self.0.code()
    }

    /// Decimal digits of the minor unit: 2 for dollars, 0 for yen, 3 for Tunisian dinars. Units without a
    /// minor unit in the standard (gold, test codes) count as 0.
    pub fn minor_digits(self) -> u32 {
        self.0.exponent().map_or(0, u32::from)
    }

    /// Minor units in one unit.
    fn scale(self) -> f64 {
        10_f64.powi(self.minor_digits() as i32)
    }

    /// Nearest whole number of minor units, halves away from zero; not-a-number becomes 0, and what is beyond
    /// the range of the amount its limit.
    pub fn round(self, amount: f64) -> Money {
        Money((amount * self.scale()).round() as i64)
    }

    /// Amount as a decimal number.
    pub fn amount(self, money: Money) -> f64 {
        money.0 as f64 / self.scale()
    }

    /// Amount as text with the digits of the currency and a point, such as `-12.05`.
    pub fn text(self, money: Money) -> String {
        format!("{:.*}", self.minor_digits() as usize, self.amount(money))
    }

    /// Shares `total` in proportion to `weights` so that the parts add up to it exactly: each part is rounded
    /// down, the units left over go to the largest remainders, earlier places first. Without positive
    /// weight all parts are equal as far as that goes.
    pub fn share_out(total: Money, weights: &[f64]) -> Vec<Money> {
        let positive: Vec<f64> = weights.iter().map(|w| w.max(0.0)).collect();
        let sum: f64 = positive.iter().sum();
        let count = positive.len().max(1) as f64;
        let exact = |w: f64| total.0 as f64 * if sum > 0.0 { w / sum } else { 1.0 / count };
        let mut parts: Vec<i64> = positive.iter().map(|w| exact(*w).floor() as i64).collect();
        let mut order: Vec<usize> = (0..parts.len()).collect();
        let remainder = |i: usize| exact(positive[i]) - exact(positive[i]).floor();
        order.sort_by(|a, b| remainder(*b).total_cmp(&remainder(*a)).then(a.cmp(b)));
        let left = total.0 - parts.iter().sum::<i64>();
        // Rounding of the products may leave a unit too many as well as too few.
        for (step, place) in order
            .iter()
            .cycle()
            .take(left.unsigned_abs() as usize)
            .enumerate()
        {
            debug_assert!(step <= 2 * parts.len());
            parts[*place] += left.signum();
        }
        parts.into_iter().map(Money).collect()
    }
}

/// An amount in whole minor units of a currency that the context names.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Money(i64);

impl Money {
    /// Nothing.
    pub const ZERO: Money = Money(0);

    #[cfg(feature = "inner")]
    /// Amount of a number of minor units.
    pub fn from_minor(minor: i64) -> Self {
        Self(minor)
    }

    /// Number of minor units.
    pub fn minor(self) -> i64 {
        self.0
    }
}

impl Add for Money {
    type Output = Money;
    fn add(self, other: Money) -> Money {
        Money(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Money {
    fn add_assign(&mut self, other: Money) {
        *self = *self + other;
    }
}

impl Sub for Money {
    type Output = Money;
    fn sub(self, other: Money) -> Money {
        Money(self.0.saturating_sub(other.0))
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(iter: I) -> Money {
        iter.fold(Money::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// ISO 4217, table A.1: minor units of USD 2, JPY 0, TND 3.
    #[test]
    fn minor_units_are_those_of_the_standard() {
        let digits = |code| Currency::from_code(code).unwrap().minor_digits();
        assert_eq!((digits("usd"), digits("JPY"), digits("TND")), (2, 0, 3));
        assert!(Currency::from_code("dollar").is_none());
    }

    #[test]
    fn text_has_the_digits_of_the_currency() {
        assert_eq!(Currency::usd().text(Money(-1205)), "-12.05");
        let yen = Currency::from_code("JPY").unwrap();
        assert_eq!(yen.text(yen.round(1204.5)), "1205");
    }

    proptest! {
        #[test]
        fn shares_add_up(total in -1_000_000i64..1_000_000, weights in prop::collection::vec(-1.0f64..9.0, 1..20)) {
            let parts = Currency::share_out(Money(total), &weights);
            prop_assert_eq!(parts.into_iter().sum::<Money>(), Money(total));
        }
    }
}
