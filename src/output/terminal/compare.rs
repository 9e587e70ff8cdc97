//! Variants side by side.

use super::{Look, draw, remarks, warnings};
use crate::output::tables;
use crate::output::text::fixed;
use crate::output::view::CompareView;

/// Cold, light, energy, and where plans were made money: a row for each building or variant.
pub fn compare(view: &CompareView, look: &Look) -> String {
    let tables = tables::compare(view);
    let shown = tables
        .iter()
        .filter(|table| matches!(table.name, "figures" | "money"));
    let mut text: String = shown.map(|table| draw(table, look)).collect();
    let open = view.variants.iter().filter(|row| !row.left_out.is_empty());
    for row in open {
        let net = row.net.map_or_else(String::new, |net| {
            format!(" {} {}", fixed(net, 0), view.currency)
        });
        text.push_str(&look.prose(&format!(
            "{}: net at most{net}, without {}.\n",
            row.variant, row.left_out
        )));
    }
    text.push_str(&look.prose(
        "Coldest hours are medians over the weather years, energy is their mean; months with frost have an hour below \
         freezing in the usual year.",
    ));
    text.push_str(&warnings(&view.notes, look));
    text
}

/// What to mind of the variants.
pub fn compare_notes(view: &CompareView, look: &Look) -> String {
    remarks(&view.notes, look)
}
