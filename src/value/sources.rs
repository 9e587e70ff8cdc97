//! Every figure of the built-in tables with its source, year and mark.

use super::household::{EATEN_AT_HOME, KITCHEN_LOSS};
use super::receipts::KG_EACH;

/// One row of a built-in table.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceRow {
    /// Table it is in, a file of `src/value/data`.
    pub table: &'static str,
    /// What it is of: the first columns of the row.
    pub item: String,
    /// Year, where it has one.
    pub year: Option<i32>,
    /// Publication, or how it was reached.
    pub source: String,
    /// `read`, `read second hand`, `computed`, `from memory`, `assumption`, `common practice, no source` ...
    pub mark: String,
}

/// A table: name, text, columns that name the row, and the columns of source and mark.
struct Table {
    name: &'static str,
    text: &'static str,
    item: &'static [&'static str],
    source: &'static str,
    mark: &'static str,
}

macro_rules! table {
    ($name:literal, $item:expr, $source:literal, $mark:literal) => {
        Table {
            name: $name,
            text: include_str!(concat!("data/", $name)),
            item: &$item,
            source: $source,
            mark: $mark,
        }
    };
}

/// All tables, in the order of the page.
static TABLES: [Table; 14] = [
    table!("prices.csv", ["food", "country"], "source", "mark"),
    table!("price_like.csv", ["food", "like"], "note", "mark"),
    table!("season.csv", ["food", "like"], "note", "mark"),
    table!("foods.csv", ["id"], "edible_source", "edible_mark"),
    table!("consumption.csv", ["food", "basis"], "source", "mark"),
    table!("age.csv", ["from_age_years"], "source", "mark"),
    table!("spending.csv", ["item", "country"], "source", "mark"),
    table!("price_index.csv", ["country"], "source", "mark"),
    table!("exchange.csv", ["code"], "source", "mark"),
    table!("energy_prices.csv", ["item", "region"], "source", "mark"),
    table!("heat_content.csv", ["fuel"], "source", "mark"),
    table!("efficiency.csv", ["fuel"], "source", "mark"),
    table!("inputs.csv", ["item"], "source", "mark"),
    table!("stages.csv", ["food"], "source", "mark"),
];

/// Every row of every built-in table, in order, then the figures that stand in the code.
pub fn sources() -> Vec<SourceRow> {
    TABLES.iter().flat_map(rows).chain(code_figures()).collect()
}

/// Name under which figures of the code are listed.
const CODE: &str = "code";

/// Figures that stand in the code beside the tables.
fn code_figures() -> Vec<SourceRow> {
    let figure = |item: String, year, source: &str, mark: &str| SourceRow {
        table: CODE,
        item,
        year,
        source: source.to_owned(),
        mark: mark.to_owned(),
    };
    let memory = "from memory";
    let mut figures = vec![
        figure(
            format!("kitchen loss, {KITCHEN_LOSS:.2} of what is bought"),
            None,
            "USDA ERS, loss-adjusted food availability, consumer level, order of size",
            memory,
        ),
        figure(
            format!("eaten at home, {EATEN_AT_HOME:.2} of all eating"),
            None,
            "USDA ERS, food away from home series",
            memory,
        ),
        figure(
            "present value, payback".to_owned(),
            Some(1995),
            "NIST Handbook 135 and ASTM E917, formulas; held against a published worked example in the tests",
            memory,
        ),
        figure(
            "cost per kg over the life".to_owned(),
            Some(1995),
            "Short, Packey & Holt, NREL/TP-462-5173, formula",
            memory,
        ),
        figure(
            "water need".to_owned(),
            Some(1998),
            "FAO Irrigation and Drainage Paper 56: equations held against its worked examples in the tests; crop \
             coefficients with their source in each crop file",
            "read",
        ),
        figure(
            "water that reaches the roots, drip or careful hand watering".to_owned(),
            None,
            "share of the water given",
            "common practice, no source",
        ),
    ];
    figures.extend(KG_EACH.iter().map(|(food, kg)| {
        figure(
            format!("mass of one {}, {kg} kg", food.replace('_', " ")),
            None,
            "for receipts by the piece; as for published prices by the piece",
            "assumption",
        )
    }));
    figures
}

fn rows(table: &Table) -> Vec<SourceRow> {
    let mut reader = csv::Reader::from_reader(table.text.as_bytes());
    let Ok(heads) = reader.headers().cloned() else {
        return Vec::new();
    };
    let at = |name: &str| heads.iter().position(|head| head == name);
    let records = reader.into_records().filter_map(Result::ok);
    records
        .map(|record| {
            let text = |name: &str| {
                at(name)
                    .and_then(|at| record.get(at))
                    .unwrap_or("")
                    .to_owned()
            };
            SourceRow {
                table: table.name,
                item: table
                    .item
                    .iter()
                    .map(|name| text(name))
                    .collect::<Vec<_>>()
                    .join(", "),
                year: text("year").parse().ok(),
                source: text(table.source),
                mark: text(table.mark),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_a_source_and_a_mark() {
        for row in sources() {
            assert!(
                !row.source.is_empty() && !row.mark.is_empty(),
                "{}: {}",
                row.table,
                row.item
            );
        }
        let lines: usize = TABLES
            .iter()
            .map(|table| table.text.lines().count() - 1)
            .sum();
        assert_eq!(sources().len(), lines + code_figures().len());
    }
}
