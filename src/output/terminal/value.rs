//! The produce against the budget.

use super::{Look, draw, notes};
use crate::output::answer::money;
use crate::output::tables::{self, DataTable};
use crate::output::text::{clean, fixed, money_decimals, percent};
use crate::output::view::{CoverView, ValueView};

/// Saved, spent, net, share, ceiling, and the months; or what a share that is asked for would take.
pub fn value(view: &ValueView, look: &Look) -> String {
    let months = tables::value(view).into_iter().next().unwrap_or_default();
    let mut text = look.head(&months.title);
    text.push_str(&look.prose(&format!("{} {}", money(view, look.units), shares(view))));
    if let Some(cover) = &view.cover {
        text.push_str(&answer(cover, look));
        return text;
    }
    let bare = DataTable {
        title: String::new(),
        note: crate::phrase::Phrase::default(),
        ..months
    };
    text.push_str(&draw(&bare, look));
    text
}

/// What to know of the account.
pub fn value_notes(view: &ValueView, look: &Look) -> String {
    notes(&view.notes, look)
}

fn shares(view: &ValueView) -> String {
    let currency = clean(&view.currency);
    let ceiling = fixed(view.ceiling, money_decimals(&[view.ceiling]));
    let groceries = view.share_of_groceries.map_or_else(String::new, |share| {
        format!(", and {} of all groceries are covered", percent(share, 1))
    });
    let prices = match view.foreign_prices.as_str() {
        "" => String::new(),
        country => format!(" Prices: {country}, in {currency}."),
    };
    format!(
        "No garden saves more than the {ceiling} {currency} that this produce costs{groceries}.{prices}\n"
    )
}

fn answer(cover: &CoverView, look: &Look) -> String {
    let lines: Vec<String> = cover
        .answer
        .iter()
        .map(|line| look.units.say(line))
        .collect();
    format!("\nWhat would it take?\n{}", look.prose(&lines.join("\n")))
}
