//! Phrases with amounts in them: whoever writes a sentence gives value and unit, whoever shows it chooses the units.

use std::fmt;

use serde::{Serialize, Serializer};

use crate::plain::fixed;

/// A number with its unit inside a sentence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    /// How much, in `unit`.
    pub value: f64,
    /// SI unit as people write it, such as `°C` or `kg/m2`; a difference of temperatures is in `K`.
    pub unit: &'static str,
    /// Decimals in that unit.
    pub decimals: usize,
    /// True where the unit is said elsewhere in the sentence, as in the first figure of `1 to 4 m/s`.
    pub bare: bool,
}

/// A number with its unit.
pub fn amount(value: f64, unit: &'static str, decimals: usize) -> Amount {
    Amount {
        value,
        unit,
        decimals,
        bare: false,
    }
}

/// A number whose unit is said elsewhere in the sentence.
pub fn bare(value: f64, unit: &'static str, decimals: usize) -> Amount {
    Amount {
        bare: true,
        ..amount(value, unit, decimals)
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = fixed(self.value, self.decimals);
        match (self.bare, self.unit) {
            (true, _) | (false, "") => f.write_str(&number),
            (false, unit) => write!(f, "{number} {unit}"),
        }
    }
}

/// A part of a [`Phrase`].
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// Words.
    Text(String),
    /// A number that is shown in the units asked for.
    Amount(Amount),
}

impl From<&str> for Piece {
    fn from(text: &str) -> Self {
        Piece::Text(text.to_owned())
    }
}

impl From<&String> for Piece {
    fn from(text: &String) -> Self {
        Piece::Text(text.clone())
    }
}

impl From<String> for Piece {
    fn from(text: String) -> Self {
        Piece::Text(text)
    }
}

impl From<Amount> for Piece {
    fn from(amount: Amount) -> Self {
        Piece::Amount(amount)
    }
}

/// Words with amounts among them; written plainly (`Display`, JSON, CSV) it is SI.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Phrase {
    pieces: Vec<Piece>,
}

impl Phrase {
    /// The parts in order.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// True where nothing is said.
    pub fn is_empty(&self) -> bool {
        self.pieces.is_empty()
    }

    /// Phrases one after the other, with words between them.
    pub fn joined(phrases: &[Phrase], between: &str) -> Self {
        let mut all = Phrase::default();
        for (at, phrase) in phrases.iter().enumerate() {
            let before = if at > 0 { between } else { "" };
            all = all.then(before).then(phrase);
        }
        all
    }

    /// The phrase with more behind it.
    #[must_use]
    pub fn then(mut self, more: impl Into<Phrase>) -> Self {
        self.pieces.extend(more.into().pieces);
        self
    }
}

impl<T: Into<Piece>> From<T> for Phrase {
    fn from(piece: T) -> Self {
        match piece.into() {
            Piece::Text(text) if text.is_empty() => Phrase::default(),
            piece => Phrase {
                pieces: vec![piece],
            },
        }
    }
}

impl From<&Phrase> for Phrase {
    fn from(phrase: &Phrase) -> Self {
        phrase.clone()
    }
}

impl fmt::Display for Phrase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.pieces.iter().try_for_each(|piece| match piece {
            Piece::Text(text) => f.write_str(text),
            Piece::Amount(amount) => amount.fmt(f),
        })
    }
}

impl Serialize for Phrase {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// A [`Phrase`] of the parts in order: words, [`amount`]s, other phrases.
macro_rules! phrase {
    ($($piece:expr),+ $(,)?) => {
        $crate::phrase::Phrase::default()$(.then($piece))+
    };
}
pub(crate) use phrase;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn written_plainly_it_is_si() {
        let said = phrase!["deep ", bare(0.5, "m", 1), " to ", amount(2.0, "m", 0), "."];
        assert_eq!(said.to_string(), "deep 0.5 to 2 m.");
        assert_eq!(
            serde_json::to_string(&said).unwrap(),
            "\"deep 0.5 to 2 m.\""
        );
        assert!(Phrase::from("").is_empty());
        assert_eq!(Phrase::from(amount(-0.01, "K", 1)).to_string(), "0.0 K");
    }
}
