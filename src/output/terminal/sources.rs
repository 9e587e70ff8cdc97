//! Sources by number: named in a table once each, listed below it.

use super::Look;
use super::table::{Align, Sheet};

/// Sources in the order in which a table first names them.
#[derive(Default)]
pub(super) struct Sources {
    texts: Vec<String>,
}

impl Sources {
    /// Number of a source, from 1; the same text has the same number.
    pub(super) fn number(&mut self, text: &str) -> String {
        let place = match self.texts.iter().position(|known| known == text) {
            Some(place) => place,
            None => {
                self.texts.push(text.to_owned());
                self.texts.len() - 1
            }
        };
        format!("[{}]", place + 1)
    }

    /// The list.
    pub(super) fn list(&self, look: &Look) -> String {
        let mut sheet = Sheet::new(&[("", Align::Key), ("", Align::Left)]);
        for (place, text) in self.texts.iter().enumerate() {
            sheet.row(vec![format!("[{}]", place + 1), text.clone()]);
        }
        sheet.render(look)
    }
}
