//! What a sweep varies: keys of the project file, each with its values, and every combination of them.

use super::SweepError;

/// One key of the project file with the values it is to take.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// Path of the key, such as `building.length` or `bed[0].area`; lists count from 0.
    pub key: String,
    /// Values as they would stand in the file.
    pub values: Vec<String>,
}

/// Most values that one axis may have.
const MAX_VALUES: usize = 100_000;
/// Decimal places that the values of a range are rounded to: far below what any key can tell apart.
const RANGE_DECIMALS: f64 = 1e9;

impl Axis {
    /// Reads `KEY=VALUE,VALUE,...` or `KEY=FROM..TO/COUNT UNIT` (evenly spaced, both ends included).
    ///
    /// # Errors
    /// [`SweepError::Axis`] in words.
    pub fn parse(text: &str) -> Result<Self, SweepError> {
        let wrong = |why: &str| SweepError::Axis {
            text: text.to_owned(),
            why: why.to_owned(),
        };
        let (key, values) = text.split_once('=').ok_or_else(|| {
            wrong("a key and its values belong there, such as building.length=6 m,8 m")
        })?;
        let key = key.trim();
        if key.is_empty() {
            return Err(wrong("the key is missing before `=`"));
        }
        let values = if values.contains("..") {
            range(values).ok_or_else(|| {
                wrong(
                    "a range is FROM..TO/COUNT with a unit behind it if need be, such as 6..12/4 m",
                )
            })?
        } else {
            values
                .split(',')
                .map(|value| value.trim().to_owned())
                .collect()
        };
        if values.iter().any(String::is_empty) {
            return Err(wrong("a value is empty"));
        }
        if values.len() > MAX_VALUES {
            return Err(wrong("these are more than 100,000 values"));
        }
        Ok(Axis {
            key: key.to_owned(),
            values,
        })
    }
}

/// `FROM..TO/COUNT UNIT` as its values.
fn range(text: &str) -> Option<Vec<String>> {
    let (from, rest) = text.split_once("..")?;
    let (to, rest) = rest.split_once('/')?;
    let rest = rest.trim();
    let end = rest
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(rest.len());
    let (count, unit) = rest.split_at(end);
    let (from, to): (f64, f64) = (from.trim().parse().ok()?, to.trim().parse().ok()?);
    let count: usize = count.parse().ok()?;
    if !(from.is_finite() && to.is_finite()) || !(2..=MAX_VALUES).contains(&count) {
        return None;
    }
    let step = (to - from) / (count - 1) as f64;
    let value = |place: usize| {
        let exact = from + step * place as f64;
        format!(
            "{}{unit}",
            (exact * RANGE_DECIMALS).round() / RANGE_DECIMALS
        )
    };
    Some((0..count).map(value).collect())
}

/// Number of combinations of all axes' values.
///
/// # Errors
/// [`SweepError::TooMany`] above `usize`'s range.
pub fn combinations(axes: &[Axis]) -> Result<usize, SweepError> {
    axes.iter()
        .try_fold(1_usize, |product, axis| {
            product.checked_mul(axis.values.len())
        })
        .ok_or(SweepError::TooMany)
}

/// The values of the combination number `index`, one for each axis; the last axis changes fastest.
pub fn settings(axes: &[Axis], index: usize) -> Vec<&str> {
    let mut rest = index;
    let mut values: Vec<&str> = axes
        .iter()
        .rev()
        .map(|axis| {
            let value = axis.values.get(rest % axis.values.len().max(1));
            rest /= axis.values.len().max(1);
            value.map_or("", String::as_str)
        })
        .collect();
    values.reverse();
    values
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(text: &str) -> Vec<String> {
        Axis::parse(text).unwrap().values
    }

    #[test]
    fn lists_and_ranges_are_read() {
        assert_eq!(values("building.length = 6 m, 20 ft"), ["6 m", "20 ft"]);
        assert_eq!(
            values("building.length=6..12/4 m"),
            ["6 m", "8 m", "10 m", "12 m"]
        );
        assert_eq!(values("a.b=0.1..0.3/3"), ["0.1", "0.2", "0.3"]);
    }

    #[test]
    fn what_is_no_axis_is_refused() {
        for text in [
            "", "length", "=3", "a=", "a=1,,2", "a=1..2", "a=1..2/1", "a=1..x/3",
        ] {
            assert!(Axis::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn every_combination_comes_once() {
        let axes = ["a=1,2,3", "b=x,y"].map(|text| Axis::parse(text).unwrap());
        let count = combinations(&axes).unwrap();
        let all: std::collections::BTreeSet<Vec<&str>> =
            (0..count).map(|index| settings(&axes, index)).collect();
        assert_eq!(all.len(), 6);
        assert_eq!(settings(&axes, 1), ["1", "y"]);
    }
}
