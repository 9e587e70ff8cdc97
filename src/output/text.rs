//! Words and numbers for people: cleaned names, fixed decimals, months.

use chrono::{Datelike, NaiveDate};

use crate::calendar::MONTH_HEADS;
pub use crate::plain::{blanked as clean, fixed};

/// A share as per cent.
pub fn percent(share: f64, decimals: usize) -> String {
    format!("{} %", fixed(share * 100.0, decimals))
}

/// Decimals with which a column of money is written: cents only where all amounts are small.
pub fn money_decimals(amounts: &[f64]) -> usize {
    /// Above this, cents only clutter a table (own choice).
    const WHOLE_FROM: f64 = 1000.0;
    if amounts.iter().any(|amount| amount.abs() >= WHOLE_FROM) {
        0
    } else {
        2
    }
}

/// Short English name of a month, 1 to 12.
pub fn month_head(month: u32) -> &'static str {
    let index = (month as usize).wrapping_sub(1);
    MONTH_HEADS.get(index).copied().unwrap_or("?")
}

/// Day and short month, such as `4 Sep`.
pub fn short_date(date: NaiveDate) -> String {
    format!("{} {}", date.day(), month_head(date.month()))
}

/// Months (counted from 0) as runs, such as `Nov-Feb, Jun`; a run may pass the year's end.
pub fn month_runs(months: &[usize]) -> String {
    let inside = |month: usize| months.contains(&(month % 12));
    if (0..12).all(inside) {
        return "all year".to_string();
    }
    let mut runs = Vec::new();
    for start in (0..12).filter(|&month| inside(month) && !inside(month + 11)) {
        let length = (1..12).take_while(|&step| inside(start + step)).count();
        let head = |month: usize| month_head(month as u32 % 12 + 1);
        runs.push(match length {
            0 => head(start).to_string(),
            _ => format!("{}-{}", head(start), head(start + length)),
        });
    }
    runs.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_pass_the_turn_of_the_year() {
        assert_eq!(month_runs(&[0, 1, 10, 11, 5]), "Jun, Nov-Feb");
        assert_eq!(month_runs(&(0..12).collect::<Vec<_>>()), "all year");
        assert_eq!(month_runs(&[]), "");
    }
}
