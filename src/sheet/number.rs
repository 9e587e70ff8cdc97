//! Numbers with a decimal point or a decimal comma.

/// Why a cell is no number.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NumberError {
    /// No number at all.
    #[error("`{0}` is not a number")]
    NoNumber(String),
    /// A comma that parts thousands in one country and decimals in another.
    #[error(
        "`{0}` can mean thousands or thousandths; write it without a mark for thousands, such as 1250 or 1.25"
    )]
    TwoMeanings(String),
}

/// Reads a number; `comma_decimal`: the file is known to write decimals with a comma.
///
/// With both marks the last one parts the decimals. A lone comma parts decimals, unless three figures follow it and
/// nothing says that the file writes commas.
///
/// # Errors
/// [`NumberError`] for what is no finite number, or could be two.
pub fn number(text: &str, comma_decimal: bool) -> Result<f64, NumberError> {
    let trimmed = text.trim().replace(['\u{a0}', '\u{202f}'], "");
    let (commas, points) = (trimmed.matches(',').count(), trimmed.matches('.').count());
    let none = || NumberError::NoNumber(text.trim().to_owned());
    let plain = match (commas, points) {
        (0, 0..=1) => trimmed.clone(),
        (1, 0) => {
            let after = trimmed.split(',').nth(1).unwrap_or("");
            if after.len() == THOUSAND_DIGITS && !comma_decimal && !trimmed.starts_with("0,") {
                return Err(NumberError::TwoMeanings(trimmed));
            }
            trimmed.replace(',', ".")
        }
        (_, _) => {
            let (last_comma, last_point) = (trimmed.rfind(','), trimmed.rfind('.'));
            if last_comma > last_point && commas == 1 {
                trimmed.replace('.', "").replace(',', ".")
            } else if last_point > last_comma && points == 1 {
                trimmed.replace(',', "")
            } else {
                return Err(none());
            }
        }
    };
    let written = |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | 'e' | 'E');
    if !plain.chars().all(written) {
        return Err(none());
    }
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(none()),
    }
}

/// Does a file write decimals with a comma? Its cells are parted by something else, or one of its figures can only be read so.
pub fn comma_decimal<'t>(separator: char, mut figures: impl Iterator<Item = &'t str>) -> bool {
    let told =
        |text: &str| text.contains(',') && !text.contains('.') && number(text, false).is_ok();
    separator != ',' || figures.any(told)
}

/// Figures between two marks for thousands.
const THOUSAND_DIGITS: usize = 3;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_and_commas() {
        for (text, value) in [
            ("1.25", 1.25),
            ("1,25", 1.25),
            ("0,125", 0.125),
            ("1.234,5", 1234.5),
            ("1,234.5", 1234.5),
            (" 7 ", 7.0),
            ("-3,4", -3.4),
        ] {
            assert_eq!(number(text, false), Ok(value), "{text}");
        }
        assert_eq!(number("1,250", true), Ok(1.25));
    }

    #[test]
    fn doubt_is_said() {
        assert!(matches!(
            number("1,250", false),
            Err(NumberError::TwoMeanings(_))
        ));
        for text in ["", "kg", "1 2", "nan", "inf", "1e999", "1,2,3"] {
            assert!(
                matches!(number(text, false), Err(NumberError::NoNumber(_))),
                "{text}"
            );
        }
    }
}
