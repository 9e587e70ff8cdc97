//! Every figure of the built-in tables with its source, year and mark.

use std::collections::BTreeMap;

/// Source of a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceRow {
    /// Table it is in, a file of `src/value/data`, or `code`.
    pub table: &'static str,
    /// Publication, or how it was reached.
    pub source: String,
    /// `read`, `read second hand`, `computed`, `from memory`, `assumption`, `common practice, no source` ...
    pub mark: String,
}

/// A table: name, text, and the columns of source and mark.
struct Table {
    name: &'static str,
    text: &'static str,
    source: &'static str,
    mark: &'static str,
}

macro_rules! table {
    ($name:literal) => {
        table!($name, "source", "mark")
    };
    ($name:literal, $source:literal, $mark:literal) => {
        Table {
            name: $name,
            text: include_str!(concat!("data/", $name)),
            source: $source,
            mark: $mark,
        }
    };
}

/// All tables, in the order of the page.
static TABLES: [Table; 14] = [
    table!("prices.csv"),
    table!("price_like.csv", "note", "mark"),
    table!("season.csv", "note", "mark"),
    table!("foods.csv", "edible_source", "edible_mark"),
    table!("consumption.csv"),
    table!("age.csv"),
    table!("spending.csv"),
    table!("price_index.csv"),
    table!("exchange.csv"),
    table!("energy_prices.csv"),
    table!("heat_content.csv"),
    table!("efficiency.csv"),
    table!("inputs.csv"),
    table!("stages.csv"),
];

/// Sources and marks of figures that stand in the code beside the tables.
const CODE_FIGURES: [(&str, &str); 7] = [
    // What of bought food is lost in the kitchen; what of it is eaten at home.
    (
        "USDA ERS, loss-adjusted food availability, consumer level, order of size",
        "from memory",
    ),
    ("USDA ERS, food away from home series", "from memory"),
    // Present value and payback; cost per kg over the life.
    (
        "NIST Handbook 135 and ASTM E917, formulas; held against a published worked example in the tests",
        "from memory",
    ),
    (
        "Short, Packey & Holt, NREL/TP-462-5173, formula",
        "from memory",
    ),
    // Water need; what of the water given reaches the roots by drip or careful hand watering.
    (
        "FAO Irrigation and Drainage Paper 56: equations held against its worked examples in the tests; crop \
         coefficients with their source in each crop file",
        "read",
    ),
    ("share of the water given", "common practice, no source"),
    // Mass of one piece.
    (
        "for receipts by the piece; as for published prices by the piece",
        "assumption",
    ),
];

/// Sources of every row of every built-in table, in order, then of the figures that stand in the code.
pub fn sources() -> Vec<SourceRow> {
    let code = CODE_FIGURES.iter().map(|(source, mark)| SourceRow {
        table: "code",
        source: (*source).to_owned(),
        mark: (*mark).to_owned(),
    });
    TABLES.iter().flat_map(rows).chain(code).collect()
}

fn rows(table: &Table) -> Vec<SourceRow> {
    let rows: Vec<BTreeMap<String, String>> = super::food::rows(table.text);
    let rows = rows.iter().map(|row| SourceRow {
        table: table.name,
        source: row.get(table.source).cloned().unwrap_or_default(),
        mark: row.get(table.mark).cloned().unwrap_or_default(),
    });
    rows.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_a_source_and_a_mark() {
        for row in sources() {
            assert!(
                !row.source.is_empty() && !row.mark.is_empty(),
                "{}",
                row.table
            );
        }
        let lines = TABLES.iter().map(|table| table.text.lines().count() - 1);
        assert_eq!(sources().len(), lines.sum::<usize>() + CODE_FIGURES.len());
    }
}
