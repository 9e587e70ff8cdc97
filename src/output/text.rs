//! Words and numbers for people: cleaned names, fixed decimals, months.

use chrono::{Datelike, NaiveDate};

pub use crate::calendar::short_date;

use crate::calendar::MONTH_HEADS;
pub use crate::plain::{blanked as clean, fixed};

/// A share as per cent.
pub fn percent(share: f64, decimals: usize) -> String {
    format!("{} %", fixed(share * 100.0, decimals))
}

/// Decimals with which a column of money is written: cents only where all amounts are small.
pub fn money_decimals(amounts: &[f64]) -> usize {
    /// From here on cents only clutter a table or a sentence (own choice).
    const WHOLE_FROM: f64 = 100.0;
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

/// A day as growers write it, with its year where that is not the one that goes without saying.
pub fn day_in(day: NaiveDate, year: Option<i32>) -> String {
    match year {
        Some(year) if year == day.year() => short_date(day),
        _ => format!("{} {}", short_date(day), day.year()),
    }
}

/// A crop's name inside a sentence: `Lettuce, loose leaf` is loose leaf lettuce; what stands in brackets is left out.
pub fn spoken(name: &str) -> String {
    let name = clean(name.split(" (").next().unwrap_or(name));
    let small = |words: &str| {
        let mut letters = words.trim().chars();
        match letters.next() {
            // A name of a place keeps its capital.
            Some(_) if words.starts_with("Swiss") => words.to_owned(),
            Some(first) => first.to_lowercase().chain(letters).collect(),
            None => String::new(),
        }
    };
    match name.split_once(", ") {
        Some((kind, variety)) if variety.contains(" to ") => format!("{} {variety}", small(kind)),
        Some((kind, variety)) => format!("{variety} {}", small(kind)),
        None => small(&name),
    }
}

/// The same for a list: without the others that are like it.
pub fn brief(name: &str) -> String {
    spoken(name.split(" and ").next().unwrap_or(name))
}

/// The kind of a crop without its variety, such as `tomato`.
pub fn kind(name: &str) -> String {
    let end = [",", " (", " and "]
        .iter()
        .filter_map(|mark| name.find(mark))
        .min();
    spoken(&name[..end.unwrap_or(name.len())])
}

/// Words with a capital at their beginning.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
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

/// Whose prices these are, where they are not those of the currency's own country.
pub fn prices_of(foreign: &str) -> String {
    match foreign {
        "" => String::new(),
        _ => format!(", at prices of {foreign} turned into the file's currency"),
    }
}

/// What is said of each of some things, with words between them.
pub fn joined<T>(
    things: impl IntoIterator<Item = T>,
    between: &str,
    say: impl FnMut(T) -> String,
) -> String {
    let said: Vec<String> = things.into_iter().map(say).collect();
    said.join(between)
}

/// Words in a row: `a, b and c`.
pub fn listed(words: impl IntoIterator<Item = String>) -> String {
    let words: Vec<String> = words.into_iter().collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Things that belong to one key, keys and things in the order in which they come.
pub fn gathered<K: PartialEq, T>(pairs: impl IntoIterator<Item = (K, T)>) -> Vec<(K, Vec<T>)> {
    let mut all: Vec<(K, Vec<T>)> = Vec::new();
    for (key, thing) in pairs {
        match all.iter_mut().find(|(known, _)| *known == key) {
            Some((_, things)) => things.push(thing),
            None => all.push((key, vec![thing])),
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_said_as_growers_say_them() {
        assert_eq!(spoken("Lettuce, loose leaf"), "loose leaf lettuce");
        assert_eq!(spoken("Spinach, slow to bolt"), "spinach slow to bolt");
        assert_eq!(spoken("Claytonia (miner's lettuce)"), "claytonia");
        assert_eq!(spoken("Swiss chard, green"), "green Swiss chard");
        assert_eq!(kind("Mizuna and like Asian greens"), "mizuna");
    }

    #[test]
    fn runs_pass_the_turn_of_the_year() {
        assert_eq!(month_runs(&[0, 1, 10, 11, 5]), "Jun, Nov-Feb");
        assert_eq!(month_runs(&(0..12).collect::<Vec<_>>()), "all year");
        assert_eq!(month_runs(&[]), "");
    }
}
