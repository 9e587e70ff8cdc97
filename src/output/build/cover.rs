//! What it would take, from the study to the view.

use crate::output::view::{CoverRow, CoverView};
use crate::value::{Answer, Currency};

/// The answer in figures and words.
pub fn cover(answer: &Answer, currency: Currency) -> CoverView {
    CoverView {
        figures: CoverRow::of(answer, currency),
        answer: answer.sentences.clone(),
    }
}
