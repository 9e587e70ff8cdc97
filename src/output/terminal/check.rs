//! What the program understood.

use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::output::text::fixed;
use crate::output::view::CheckView;

/// Facts, assumed defaults and warnings.
pub fn check(view: &CheckView, look: &Look) -> String {
    let mut text = look.head(&format!("{}, {}", view.project, view.place));
    let mut facts = Sheet::new(&[("", Align::Left), ("", Align::Right), ("", Align::Left)]);
    let mut words = String::new();
    for fact in &view.facts {
        let name = look.units.say(&fact.fact);
        match fact.amount {
            Some(amount) => {
                let unit = fact.unit.to_string();
                let (amount, unit) = look.units.convert(amount, &unit);
                facts.row(vec![name, readable(amount), unit.to_owned()]);
            }
            None => words.push_str(&format!("{name}: {}\n", look.units.say(&fact.unit))),
        }
    }
    text.push_str(&facts.render(look));
    if !words.is_empty() {
        text.push_str(&look.prose(&words));
    }
    if !view.defaults.is_empty() {
        let mut defaults = Sheet::new(&[
            ("Key", Align::Left),
            ("Assumed", Align::Left),
            ("From", Align::Left),
        ]);
        for default in &view.defaults {
            defaults.row(vec![
                default.key.clone(),
                look.units.say(&default.assumed),
                default.source.clone(),
            ]);
        }
        text.push_str("\nAssumed, as the file does not say (write the key to override it)\n");
        text.push_str(&defaults.render(look));
    }
    text.push_str(&notes(&view.notes, look));
    text
}

/// Small figures with more decimals than large ones.
fn readable(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 100.0 => 0,
        size if size >= 10.0 => 1,
        _ => 2,
    };
    fixed(value, decimals)
}
