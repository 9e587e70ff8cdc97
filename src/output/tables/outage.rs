//! A failure in the cold, as tables.

use super::DataTable;
use super::check::caution_table;
use crate::output::view::OutageView;

/// Hours until each temperature is reached, and the cautions.
pub fn outage(view: &OutageView) -> Vec<DataTable> {
    vec![
        DataTable { name: "hours", ..DataTable::of("outage", &view.rows) }
            .titled("Hours until it is as cold as the limit")
            .show(&["building", "place", "cover", "crop_name", "limit_c", "hours", "lowest_c"])
            .noted(format!(
                "0: as cold already; empty: not within {} h. A crop's limit is what kills it in its hardening of that day on a \
                 bare bed; under a cover plants may be hardened less.",
                view.ahead_h
            ))
            .grouped(),
        caution_table(&view.notes),
    ]
}
