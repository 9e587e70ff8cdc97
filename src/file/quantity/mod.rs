//! Quantities as people write them: `"7.3 m"`, `"24 ft 6 in"`, `"R-28"`, `"41 F"`.
//!
//! A value is a number and a unit, and sometimes a chain of them (`24 ft 6 in`). A bare number is taken in the
//! SI unit of its dimension and is not read here. Inside the program everything is SI and °C.

mod dimension;
mod money;

pub use dimension::{Dimension, Unit};
pub use money::{parse_amount, parse_price};

use dimension::Normal;

/// Thermal resistance of one US `R`, m2K/W: 1 h ft2 °F/Btu by the factors of the unit table.
pub const US_R_M2_K_W: f64 = dimension::US_R;

/// What can be wrong with a written quantity.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityError {
    /// Nothing between the quotation marks where something belongs.
    #[error("an empty text where {} belongs", .0.article())]
    Empty(Dimension),
    /// A text without a number where one belongs.
    #[error("`{0}` does not begin with a number")]
    NoNumber(String),
    /// A text with a comma in the number.
    #[error(
        "`{0}` has a comma in its number; decimals are written with a point, thousands without a mark"
    )]
    Comma(String),
    /// A number without its unit.
    #[error("`{0}` has no unit")]
    NoUnit(String),
    /// A number too large to be held.
    #[error("`{0}` is no finite number")]
    NotFinite(String),
    /// A unit of something else.
    #[error("`{unit}` is a unit of {}, not of {}", found.name(), wanted.name())]
    WrongDimension {
        /// The unit written.
        unit: String,
        /// What it measures.
        found: Dimension,
        /// What was asked for.
        wanted: Dimension,
    },
    /// A unit nobody knows.
    #[error("`{unit}` is no unit this program knows")]
    UnknownUnit {
        /// The unit written.
        unit: String,
        /// The nearest one that fits.
        near: Option<&'static str>,
    },
    /// An amount of money without, or in another, currency.
    #[error("the price is in `{found}`, but the file's currency is `{wanted}`")]
    WrongCurrency {
        /// The currency written.
        found: String,
        /// The file's currency.
        wanted: String,
    },
}

impl QuantityError {
    /// What would be right: the units that fit, the nearest first where there is one.
    pub fn right(&self, dimension: Dimension) -> String {
        let fits = dimension.fitting_units();
        match self {
            Self::UnknownUnit {
                near: Some(near), ..
            } => format!("did you mean `{near}`? units that fit: {fits}"),
            Self::NoUnit(text) => format!(
                "write \"{text} {}\", or a bare number in {}; units that fit: {fits}",
                dimension.example_unit(),
                dimension.si_name()
            ),
            Self::WrongCurrency { wanted, .. } => {
                format!("convert the price to {wanted}, or leave the currency out")
            }
            _ => format!("units that fit: {fits}"),
        }
    }
}

/// Reads a quantity of a dimension; the result is in the dimension's SI unit.
///
/// # Errors
/// [`QuantityError`] where the text is no number with a unit of that dimension.
///
/// # Example
/// ```
/// use bedyear::file::quantity::{Dimension, parse};
/// let length_m = parse("24 ft 6 in", Dimension::Length)?;
/// assert!((length_m - 7.4676).abs() < 1e-9);
/// # Ok::<(), bedyear::file::quantity::QuantityError>(())
/// ```
pub fn parse(text: &str, dimension: Dimension) -> Result<f64, QuantityError> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(QuantityError::Empty(dimension));
    }
    if let Some(value) = special_form(trimmed, dimension) {
        return value;
    }
    let mut rest = trimmed;
    let (mut total, mut first, mut pieces) = (0.0, 0.0, 0);
    while !rest.is_empty() {
        let (number, after) = number_at(rest, trimmed)?;
        let (unit_text, after) = unit_at(after, dimension);
        let piece = in_si(number, unit_text, trimmed, dimension)?;
        if pieces == 0 {
            first = piece;
        }
        total += piece;
        pieces += 1;
        rest = after;
    }
    if trimmed.starts_with('-') && pieces > 1 {
        // "-1 ft 6 in" means minus the whole of it: the first piece carries the sign for all.
        total = 2.0 * first - total;
    }
    finite(total, trimmed)
}

/// The first unit of a written quantity.
pub(super) fn unit_of(text: &str, dimension: Dimension) -> Option<&'static Unit> {
    let (_, after) = number_at(text.trim(), text).ok()?;
    let (unit, _) = unit_at(after, dimension);
    find_unit(unit, dimension).ok()
}

/// One number with its unit, in SI; `text` is the whole.
fn in_si(number: f64, unit: &str, text: &str, dimension: Dimension) -> Result<f64, QuantityError> {
    let written = text.to_owned();
    match unit {
        "" if dimension == Dimension::Share => Ok(number),
        "" => Err(QuantityError::NoUnit(written)),
        unit => Ok(find_unit(unit, dimension)?.to_si(number)),
    }
}

/// A finite value, or the error that says it is none.
fn finite(value: f64, text: &str) -> Result<f64, QuantityError> {
    match value.is_finite() {
        true => Ok(value),
        false => Err(QuantityError::NotFinite(text.to_owned())),
    }
}

/// Reads a latitude and a longitude written one behind the other, `46.6 N 112 W` or `46.6, -112`, as degrees.
///
/// # Errors
/// [`QuantityError`] of the part that is none.
pub fn parse_spot(text: &str) -> Result<(f64, f64), QuantityError> {
    let trimmed = text.trim();
    let (whole, side) = (trimmed.len(), trimmed.find(['N', 'S', 'n', 's']));
    let (end, start) = match (trimmed.find(','), side, trimmed.find(' ')) {
        (Some(comma), _, _) => (comma, comma + 1),
        (None, Some(side), _) => (side + 1, side + 1),
        (None, None, Some(blank)) => (blank, blank + 1),
        (None, None, None) => (whole, whole),
    };
    let part = |range: std::ops::Range<usize>, dimension| {
        let text = trimmed.get(range).unwrap_or_default().trim();
        match text.parse::<f64>() {
            Ok(degrees) if degrees.is_finite() => Ok(degrees),
            _ => parse(text, dimension),
        }
    };
    Ok((
        part(0..end, Dimension::Latitude)?,
        part(start..trimmed.len(), Dimension::Longitude)?,
    ))
}

/// Forms in which the unit, or a word, comes before the number.
fn special_form(text: &str, dimension: Dimension) -> Option<Result<f64, QuantityError>> {
    match dimension {
        Dimension::Azimuth => compass(text).map(Ok),
        Dimension::Latitude => hemisphere(text, 'N', 'S').map(Ok),
        Dimension::Longitude => hemisphere(text, 'E', 'W').map(Ok),
        Dimension::Resistance => r_value(text),
        Dimension::ClockHour => clock(text).map(Ok),
        Dimension::UtcOffset => utc(text).map(Ok),
        _ => r_value(text).and_then(|_| {
            Some(Err(QuantityError::WrongDimension {
                unit: text.split([' ', '-']).next()?.to_owned(),
                found: Dimension::Resistance,
                wanted: dimension,
            }))
        }),
    }
}

/// `R-28`, `R 28`, `R28` (US), `RSI 4.9`, `RSI-4.9`.
fn r_value(text: &str) -> Option<Result<f64, QuantityError>> {
    let upper = text.to_ascii_uppercase();
    let (factor, rest) = match upper.strip_prefix("RSI") {
        Some(rest) => (1.0, rest),
        None => (US_R_M2_K_W, upper.strip_prefix('R')?),
    };
    let rest = rest.trim_start_matches([' ', '-']);
    let value: f64 = rest.parse().ok()?;
    Some(finite(value * factor, text))
}

/// Compass words and letters, degrees clockwise from north.
fn compass(text: &str) -> Option<f64> {
    const STEP_DEG: f64 = 22.5;
    const POINTS: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    let plain = text.replace([' ', '-'], "");
    let spelled = |letters: &str| {
        let words = letters.replace('N', "north").replace('E', "east");
        words.replace('S', "south").replace('W', "west")
    };
    let is = |letters: &&str| {
        plain.eq_ignore_ascii_case(letters) || plain.eq_ignore_ascii_case(&spelled(letters))
    };
    let at = POINTS.iter().position(is)?;
    Some(at as f64 * STEP_DEG)
}

/// `46.6 N`, `112 W`: degrees with the hemisphere as a sign.
fn hemisphere(text: &str, plus: char, minus: char) -> Option<f64> {
    let last = text.chars().next_back()?.to_ascii_uppercase();
    let sign = match last {
        _ if last == plus => 1.0,
        _ if last == minus => -1.0,
        _ => return None,
    };
    let number = text[..text.len() - 1]
        .trim()
        .trim_end_matches(['°', ' '])
        .trim_end_matches("deg")
        .trim();
    let value: f64 = number.parse().ok()?;
    (value >= 0.0).then_some(sign * value)
}

/// `18:00`, `7:30`: hours of the day.
fn clock(text: &str) -> Option<f64> {
    const MINUTES_PER_HOUR: f64 = 60.0;
    let (hours, minutes) = text.split_once(':')?;
    let hours: u8 = hours.parse().ok()?;
    let minutes: u8 = minutes.parse().ok()?;
    (hours <= 24 && minutes < 60).then(|| f64::from(hours) + f64::from(minutes) / MINUTES_PER_HOUR)
}

/// `UTC-7`, `UTC+5:30`: hours ahead of UTC.
fn utc(text: &str) -> Option<f64> {
    let rest = text.strip_prefix("UTC").or(text.strip_prefix("utc"))?;
    let (sign, digits) = match rest.trim().strip_prefix('-') {
        Some(digits) => (-1.0, digits),
        None => (1.0, rest.trim().strip_prefix('+')?),
    };
    let hours = clock(digits).or_else(|| digits.parse().ok())?;
    Some(sign * hours)
}

/// The number at the start of `rest`, and what follows it.
fn number_at<'t>(rest: &'t str, whole: &str) -> Result<(f64, &'t str), QuantityError> {
    let end = number_length(rest);
    let (digits, after) = rest.split_at(end);
    if after.starts_with(',') && after[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::Comma(whole.to_owned()));
    }
    let number: f64 = digits
        .parse()
        .map_err(|_| QuantityError::NoNumber(whole.to_owned()))?;
    Ok((finite(number, whole)?, after.trim_start()))
}

/// How many bytes of `text` are a decimal number.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut at = usize::from(text.starts_with(['+', '-']));
    while digit(at) || bytes.get(at) == Some(&b'.') {
        at += 1;
    }
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
        if digit(at + 1 + sign) {
            at += 1 + sign;
            while digit(at) {
                at += 1;
            }
        }
    }
    at
}

/// The unit at the start of `rest`, and the next number with what follows it.
///
/// Only a chain of pieces (`24 ft 6 in`) has a next number; elsewhere digits belong to the unit (`W/m2 K`).
fn unit_at(rest: &str, dimension: Dimension) -> (&str, &str) {
    if !dimension.chains() {
        return (rest.trim(), "");
    }
    let next = rest
        .char_indices()
        .find(|&(at, c)| c.is_ascii_digit() && rest[..at].ends_with([' ', '\'', '"']));
    let end = next.map_or(rest.len(), |(at, _)| at);
    (rest[..end].trim(), &rest[end..])
}

/// The unit of that name in a dimension; a unit of another dimension is named as such.
fn find_unit(written: &str, wanted: Dimension) -> Result<&'static Unit, QuantityError> {
    let normal = Normal::of(written);
    if let Some(unit) = wanted.units().iter().find(|unit| unit.is(&normal)) {
        return Ok(unit);
    }
    let has = |of: &&Dimension| of.units().iter().any(|unit| unit.is(&normal));
    let unit = written.to_owned();
    Err(match Dimension::ALL.iter().find(has) {
        Some(&found) => QuantityError::WrongDimension {
            unit,
            found,
            wanted,
        },
        None => QuantityError::UnknownUnit {
            unit,
            near: wanted.nearest_unit(written),
        },
    })
}
