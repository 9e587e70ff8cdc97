//! What would raise the coldest hour.

use super::table::{Align, Sheet};
use super::{Look, draw, notes};
use crate::output::tables;
use crate::output::text::fixed;
use crate::output::view::{StoreRow, WhyView};

/// The measures tried with what each is, and the store's fan beside what it saves.
pub fn why(view: &WhyView, look: &Look) -> String {
    let measures = tables::why(view).into_iter().next();
    let mut text = measures.map_or_else(String::new, |table| draw(&table, look));
    text.push('\n');
    text.push_str(&done(view, look));
    if let Some(store) = &view.store {
        text.push_str(&look.prose(&store_words(store, look)));
    }
    text
}

/// How the figures are meant.
pub fn why_notes(view: &WhyView, look: &Look) -> String {
    notes(&view.notes, look)
}

/// What each measure does.
fn done(view: &WhyView, look: &Look) -> String {
    let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Left)]);
    for row in view.measures.iter().filter(|row| !row.what.is_empty()) {
        sheet.row(vec![row.measure.clone(), look.units.say(&row.what)]);
    }
    sheet.render(look)
}

fn store_words(store: &StoreRow, look: &Look) -> String {
    let degrees = |celsius: f64| {
        let unit = look.units.temperature_unit();
        format!("{} {unit}", fixed(look.units.temperature(celsius), 1))
    };
    format!(
        "The store: {} kWh put in, {} kWh drawn, fan {} kWh a year. Heater {} kWh with it, {} kWh without. Coldest \
         hour of the leaves, heater off: {} with it, {} without.\n",
        fixed(store.charged_kwh, 0),
        fixed(store.drawn_kwh, 0),
        fixed(store.fan_kwh, 0),
        fixed(store.heater_with_kwh, 0),
        fixed(store.heater_without_kwh, 0),
        degrees(store.coldest_leaf_with_c),
        degrees(store.coldest_leaf_without_c),
    )
}
