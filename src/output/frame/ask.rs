//! Answers to questions about the designs of a sweep.

use polars::prelude::{
    BooleanChunked, ChunkCompareEq, ChunkCompareIneq, Column as FrameColumn, DataFrame, DataType,
    NamedFrom, PolarsResult, QuantileMethod, Series, SortMultipleOptions,
};

use super::question::{AskError, Compare, Condition, Figure, Question, Shown};
use crate::file;
use crate::output::row::{Cell, Column, Kind, Row};
use crate::output::tables::DataTable;
use crate::output::view::{DesignFigures, DesignPlan};

/// Answers a question from a frame that has the columns it needs.
///
/// # Errors
/// [`AskError`] for what cannot be compared, sorted by a name that the answer lacks, or that the engine refuses.
pub fn ask(question: &Question, frame: &DataFrame) -> Result<DataTable, AskError> {
    let mut frame = frame.clone();
    for condition in &question.conditions {
        let mask = holds(condition, &frame)?;
        frame = frame.filter(&mask)?;
    }
    let plain = question
        .shown
        .iter()
        .all(|(_, shown)| matches!(shown, Shown::Plain(_)));
    let mut answer = if plain && question.by.is_empty() {
        match question.shown.as_slice() {
            [] => frame,
            shown => frame.select(shown.iter().map(|(name, _)| name.as_str()))?,
        }
    } else {
        grouped(question, frame)?
    };
    let names: Vec<String> = answer
        .columns()
        .iter()
        .map(|column| column.name().to_string())
        .collect();
    let order = match &question.sort {
        Some((name, falling)) => {
            if !names.contains(name) {
                return Err(AskError::unknown(name, names.iter().map(String::as_str)));
            }
            Some((vec![name.clone()], *falling))
        }
        None if question.by.is_empty() => None,
        None => Some((question.by.clone(), false)),
    };
    if let Some((by, falling)) = order {
        let options = SortMultipleOptions::default()
            .with_order_descending(falling)
            .with_nulls_last(true)
            .with_maintain_order(true);
        answer = answer.sort(by, options)?;
    }
    if let Some(top) = question.top {
        answer = answer.head(Some(top));
    }
    table(&answer)
}

/// A column that stands for all designs where nothing is grouped by.
const ALL: &str = "all designs";

// The engine's own word for what stands in place of these is the lazy one, which brings a network along.
#[allow(deprecated)]
fn grouped(question: &Question, frame: DataFrame) -> Result<DataFrame, AskError> {
    let mut frame = frame;
    let by: Vec<String> = if question.by.is_empty() {
        let same = Series::new(ALL.into(), vec![0.0; frame.height()]);
        frame.with_column(FrameColumn::from(same))?;
        vec![ALL.to_owned()]
    } else {
        question.by.clone()
    };
    // What is summed up stands in columns of its own, so that one column can be asked twice.
    for (index, (_, shown)) in question.shown.iter().enumerate() {
        let column = match shown {
            Shown::Count | Shown::Plain(_) => {
                Series::new(slot(index).into(), vec![1.0; frame.height()])
            }
            Shown::Share(condition) => {
                let mask = holds(condition, &frame)?;
                let ones: Vec<Option<f64>> = mask
                    .iter()
                    .map(|holds| holds.map(|holds| f64::from(u8::from(holds))))
                    .collect();
                Series::new(slot(index).into(), ones)
            }
            Shown::Of(_, name) => numbers(name, &frame)?.with_name(slot(index).into()),
        };
        frame.with_column(FrameColumn::from(column))?;
    }
    let mut columns: Vec<FrameColumn> = Vec::new();
    for (index, (name, shown)) in question.shown.iter().enumerate() {
        let groups = frame
            .group_by_stable(by.iter().map(String::as_str))?
            .select([slot(index)]);
        let found = match shown {
            Shown::Count | Shown::Plain(_) => groups.sum(),
            Shown::Of(Figure::Mean, _) | Shown::Share(_) => groups.mean(),
            Shown::Of(Figure::Min, _) => groups.min(),
            Shown::Of(Figure::Max, _) => groups.max(),
            Shown::Of(Figure::Quantile(share), _) => {
                groups.quantile(*share, QuantileMethod::Linear)
            }
        }?;
        if index == 0 && !question.by.is_empty() {
            let keys = by.iter().map(|key| found.column(key).cloned());
            columns.extend(keys.collect::<PolarsResult<Vec<FrameColumn>>>()?);
        }
        if let Some(last) = found.columns().last() {
            columns.push(last.clone().with_name(name.as_str().into()));
        }
    }
    let height = columns.first().map_or(0, |column| column.len());
    Ok(DataFrame::new(height, columns)?)
}

fn slot(index: usize) -> String {
    format!("shown {index}")
}

/// A column as numbers: words such as `6 m` in the SI unit of their key.
fn numbers(name: &str, frame: &DataFrame) -> Result<Series, AskError> {
    let column = frame.column(name)?;
    if column.dtype() != &DataType::String {
        return Ok(column.as_materialized_series().clone());
    }
    let mut known = std::collections::BTreeMap::<&str, Option<f64>>::new();
    let words = column.as_materialized_series().str()?;
    let found: Vec<Option<f64>> = words
        .iter()
        .map(|text| {
            let text = text?;
            *known
                .entry(text)
                .or_insert_with(|| file::number_in(name, text))
        })
        .collect();
    if found.iter().all(Option::is_none) && frame.height() > 0 {
        return Err(AskError::Words(format!(
            "`{name}` holds words, not numbers"
        )));
    }
    Ok(Series::new(name.into(), found))
}

fn holds(condition: &Condition, frame: &DataFrame) -> Result<BooleanChunked, AskError> {
    let name = condition.column.as_str();
    let column = frame.column(name)?;
    let words = column.dtype() == &DataType::String;
    let ordered = !matches!(condition.compare, Compare::Equal | Compare::NotEqual);
    let number = if words {
        file::number_in(name, &condition.value)
    } else {
        condition.value.parse().ok()
    };
    if words && !ordered {
        let same = |text: &str| {
            text == condition.value || (number.is_some() && file::number_in(name, text) == number)
        };
        let wanted = condition.compare == Compare::Equal;
        let mask: Vec<Option<bool>> = column
            .as_materialized_series()
            .str()?
            .iter()
            .map(|text| text.map(|text| same(text) == wanted))
            .collect();
        return Ok(BooleanChunked::new(name.into(), mask));
    }
    let Some(number) = number else {
        return Err(AskError::Words(format!(
            "`{name}` cannot be compared with `{}`, which is no number",
            condition.value
        )));
    };
    let series = numbers(name, frame)?;
    let numbers = series.f64()?;
    Ok(match condition.compare {
        Compare::Less => numbers.lt(number),
        Compare::LessOrEqual => numbers.lt_eq(number),
        Compare::Greater => numbers.gt(number),
        Compare::GreaterOrEqual => numbers.gt_eq(number),
        Compare::Equal => numbers.equal(number),
        Compare::NotEqual => numbers.not_equal(number),
    })
}

/// The head of a column that stands alone, its quantile said.
fn head(column: &Column) -> String {
    let quantiles = ["p10", "p50", "p90"];
    let quantile = quantiles
        .iter()
        .find(|ending| column.name.ends_with(*ending));
    quantile.map_or_else(
        || column.head.clone(),
        |quantile| format!("{} {quantile}", column.head),
    )
}

/// A frame as a table; columns that a sweep writes keep their unit and meaning.
fn table(frame: &DataFrame) -> Result<DataTable, AskError> {
    let known = [DesignFigures::columns(), DesignPlan::columns()].concat();
    let mut columns = Vec::new();
    let mut cells: Vec<Vec<Cell>> = Vec::new();
    for column in frame.columns() {
        let name = column.name().to_string();
        let series = column.as_materialized_series();
        let written = known.iter().find(|known| known.name == name);
        let words = series.dtype() == &DataType::String;
        let whole = name == "design" || written.is_some_and(|column| column.kind == Kind::Count);
        columns.push(Column {
            head: written.map_or_else(|| name.replace('_', " "), head),
            unit: match written {
                Some(column) => column.unit,
                None if name == "designs" => "designs",
                None => "",
            },
            meaning: written.map_or("As asked for.", |column| column.meaning),
            kind: match (words, whole) {
                (true, _) => Kind::Text,
                (_, true) => Kind::Count,
                _ => Kind::Number,
            },
            name,
        });
        cells.push(if words {
            let words = series.str()?.iter();
            words
                .map(|text| text.map_or(Cell::Empty, |text| Cell::Text(text.to_owned())))
                .collect()
        } else {
            let cell = |number: f64| match whole {
                true => Cell::Count(number as i64),
                false => Cell::Number(number),
            };
            let numbers = series.f64()?.iter();
            numbers
                .map(|number| number.map_or(Cell::Empty, cell))
                .collect()
        });
    }
    let rows = (0..frame.height())
        .map(|row| cells.iter().map(|column| column[row].clone()).collect())
        .collect();
    Ok(DataTable {
        name: "designs",
        columns,
        rows,
        ..DataTable::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::frame::PartColumn;

    fn frame() -> DataFrame {
        let column =
            |name: &str, cells: &[f64]| FrameColumn::from(Series::new(name.into(), cells.to_vec()));
        let length = Series::new("building.length".into(), ["6 m", "6 m", "20 ft", "20 ft"]);
        DataFrame::new(
            4,
            vec![
                FrameColumn::from(length),
                column("air_min_c", &[1.0, 3.0, -2.0, 6.0]),
                column("heater_kwh", &[10.0, 30.0, 20.0, 40.0]),
            ],
        )
        .unwrap()
    }

    #[test]
    fn groups_quantiles_and_shares_are_those_by_hand() {
        let question = Question::parse(
            Some("heater_kwh < 40"),
            Some("building.length"),
            Some("count, median heater_kwh, share air_min_c > 0"),
            Some("-designs"),
            None,
        )
        .unwrap();
        let answer = ask(&question, &frame()).unwrap();
        let row = |index: usize| answer.rows[index].clone();
        assert_eq!(
            row(0),
            [
                Cell::Text("6 m".into()),
                Cell::Number(2.0),
                Cell::Number(20.0),
                Cell::Number(1.0)
            ]
        );
        assert_eq!(
            row(1),
            [
                Cell::Text("20 ft".into()),
                Cell::Number(1.0),
                Cell::Number(20.0),
                Cell::Number(0.0)
            ]
        );
    }

    #[test]
    fn lengths_compare_in_any_unit() {
        let question = Question::parse(
            Some("building.length > 19.8 ft"),
            None,
            Some("count"),
            None,
            None,
        )
        .unwrap();
        assert_eq!(
            ask(&question, &frame()).unwrap().rows[0][0],
            Cell::Number(2.0)
        );
        // 6 m is 19.69 ft.
    }

    #[test]
    fn a_mistyped_column_is_named_with_the_nearest() {
        let question = Question::parse(Some("heater_kw > 1"), None, None, None, None).unwrap();
        let columns = ["air_min_c", "heater_kwh"].map(|name| PartColumn {
            name: name.to_owned(),
            words: false,
        });
        let error = question.needs(&columns).unwrap_err().to_string();
        assert!(error.contains("heater_kwh"), "{error}");
    }
}
