//! What it would take, from the study to the view.

use crate::output::view::{CoverRow, CoverView};
use crate::value::{Answer, Currency, Whole};

/// The answer in figures and words.
pub fn cover(answer: &Answer, currency: Currency) -> CoverView {
    let money = |amount| currency.amount(amount);
    CoverView {
        figures: CoverRow {
            share: answer.share,
            of: match answer.whole {
                Whole::Groceries => "groceries",
                Whole::Produce => "produce",
            }
            .to_owned(),
            spent: money(answer.spent),
            target: money(answer.target),
            value_today: money(answer.value_today),
            value_most_here: money(answer.value_most_here),
            value_most: money(answer.value_most),
            reached: answer.reached,
            bed_area_m2: answer.bed_area_m2,
            price_factor: answer.price_factor,
            appetite_factor: answer.appetite_factor,
            appetite_area_m2: answer.appetite_area_m2,
            eaters: answer.eaters,
        },
        answer: answer.sentences.clone(),
    }
}
