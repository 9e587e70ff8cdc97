//! Amounts of money with their currency: `"0.14 USD/kWh"`, `"$2.11/gal"`, `"900 EUR a month"`.

use super::{Dimension, QuantityError, find_unit, finite, number_at};

/// Symbols in use before an amount, and the codes they may stand for; `$` fits every dollar.
const SYMBOLS: [(char, &str); 4] = [
    ('$', "USD CAD AUD NZD MXN CLP ARS SGD HKD COP"),
    ('€', "EUR"),
    ('£', "GBP"),
    ('¥', "JPY CNY"),
];

/// Reads a plain amount of money, such as `"18000 USD"`.
///
/// # Errors
/// [`QuantityError`] where the text is no amount in `currency`.
pub fn parse_amount(text: &str, currency: &str) -> Result<f64, QuantityError> {
    let (number, rest) = amount(text, currency)?;
    if rest.is_empty() {
        return Ok(number);
    }
    Err(QuantityError::UnknownUnit {
        unit: rest,
        near: None,
    })
}

/// Reads money per something of a dimension (`PerEnergy`, `PerMass` and the like), in money per SI unit of it.
///
/// # Errors
/// [`QuantityError`] where the text is no such price in `currency`.
pub fn parse_price(text: &str, dimension: Dimension, currency: &str) -> Result<f64, QuantityError> {
    let (number, per) = amount(text, currency)?;
    if per.is_empty() {
        return Err(QuantityError::NoUnit(text.trim().to_owned()));
    }
    finite(find_unit(&per, dimension)?.to_si(number), text)
}

/// The number, and what follows the currency.
fn amount(text: &str, currency: &str) -> Result<(f64, String), QuantityError> {
    let mut rest = text.trim();
    for (symbol, codes) in SYMBOLS {
        if let Some(after) = rest.strip_prefix(symbol) {
            if codes.split(' ').all(|code| code != currency) {
                return Err(wrong_currency(&symbol.to_string(), currency));
            }
            rest = after.trim_start();
        }
    }
    let (number, after) = number_at(rest, text)?;
    let code_length = after.bytes().take_while(u8::is_ascii_uppercase).count();
    let per = match after.split_at(code_length) {
        (code, _) if code_length == CODE_LETTERS && code != currency => {
            return Err(wrong_currency(code, currency));
        }
        (_, per) if code_length == CODE_LETTERS => per,
        _ => after,
    };
    Ok((number, per.trim().to_owned()))
}

/// Letters of an ISO 4217 code.
const CODE_LETTERS: usize = 3;

fn wrong_currency(found: &str, wanted: &str) -> QuantityError {
    QuantityError::WrongCurrency {
        found: found.to_owned(),
        wanted: wanted.to_owned(),
    }
}
