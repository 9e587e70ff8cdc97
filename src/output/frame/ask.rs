//! Questions to the designs of a sweep: which, grouped by what, what of them, sorted how.

use parquet::errors::ParquetError;
use polars::prelude::{
    BooleanChunked, ChunkCompareEq, ChunkCompareIneq, Column as FrameColumn, DataFrame, DataType,
    NamedFrom, PolarsError, PolarsResult, QuantileMethod, Series, SortMultipleOptions,
};

use super::read::PartColumn;
use crate::file;
use crate::output::row::{Cell, Column, Kind, Row};
use crate::output::tables::DataTable;
use crate::output::view::{DesignFigures, DesignPlan};
use crate::suggest;

/// Why a question has no answer.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AskError {
    /// No column has that name.
    #[error("there is no column `{name}`{}", near.as_ref().map_or_else(String::new, |near| format!("; did you mean `{near}`?")))]
    Unknown {
        /// As written.
        name: String,
        /// The nearest there is.
        near: Option<String>,
    },
    /// The question was not understood.
    #[error("{0}")]
    Words(String),
    /// A part cannot be read.
    #[error("{0}")]
    Parquet(#[from] ParquetError),
    /// The engine failed.
    #[error("{0}")]
    Engine(#[from] PolarsError),
    /// A part cannot be opened.
    #[error("{0}")]
    Open(String),
}

/// Comparison of a column with a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Compare {
    Less,
    LessOrEqual,
    Greater,
    GreaterOrEqual,
    Equal,
    NotEqual,
}

/// Signs, the longer before those they begin with.
const SIGNS: [(&str, Compare); 6] = [
    ("<=", Compare::LessOrEqual),
    (">=", Compare::GreaterOrEqual),
    ("!=", Compare::NotEqual),
    ("<", Compare::Less),
    (">", Compare::Greater),
    ("=", Compare::Equal),
];

#[derive(Clone, Debug, PartialEq)]
struct Condition {
    column: String,
    compare: Compare,
    value: String,
}

/// What is shown of the designs.
#[derive(Clone, Debug, PartialEq)]
enum Shown {
    /// A column as it stands, one design a row.
    Plain(String),
    /// Number of designs.
    Count,
    /// A quantile, 0 to 1.
    Quantile(f64, String),
    /// The mean.
    Mean(String),
    /// The least.
    Min(String),
    /// The greatest.
    Max(String),
    /// Share of the designs of which a condition holds.
    Share(Condition),
}

/// A question to the designs of a sweep.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Question {
    conditions: Vec<Condition>,
    by: Vec<String>,
    shown: Vec<(String, Shown)>,
    sort: Option<(String, bool)>,
    top: Option<usize>,
}

/// The answer.
pub type Answer = DataTable;

fn condition(text: &str) -> Result<Condition, AskError> {
    let at = SIGNS
        .iter()
        .filter_map(|(sign, compare)| Some((text.find(sign)?, sign.len(), *compare)))
        .min_by_key(|(at, length, _)| (*at, usize::MAX - length));
    let wrong = || {
        AskError::Words(format!(
            "`{text}` is no condition; a column, one of < <= > >= = != and a value belong there, such as air_min_c > 2"
        ))
    };
    let (at, length, compare) = at.ok_or_else(wrong)?;
    let column = text.get(..at).unwrap_or_default().trim();
    let value = text.get(at + length..).unwrap_or_default().trim();
    let value = value.trim_matches(['"', '\'']).trim();
    if column.is_empty() || value.is_empty() {
        return Err(wrong());
    }
    Ok(Condition {
        column: column.to_owned(),
        compare,
        value: value.to_owned(),
    })
}

/// Words of a list, parted by commas.
fn list(text: &str) -> impl Iterator<Item = &str> {
    text.split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
}

fn shown(text: &str) -> Result<(String, Shown), AskError> {
    let (first, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    let rest = rest.trim();
    let named = |word: &str| format!("{word}_{}", rest.replace(char::is_whitespace, ""));
    if rest.is_empty() {
        return Ok(match first {
            "count" => ("designs".to_owned(), Shown::Count),
            plain => (plain.to_owned(), Shown::Plain(plain.to_owned())),
        });
    }
    let column = rest.to_owned();
    let shown = match first {
        "mean" => Shown::Mean(column),
        "median" => Shown::Quantile(0.5, column),
        "min" => Shown::Min(column),
        "max" => Shown::Max(column),
        "share" => Shown::Share(condition(rest)?),
        _ => {
            let percent = first
                .strip_prefix('p')
                .and_then(|digits| digits.parse::<f64>().ok());
            match percent {
                Some(percent) if (0.0..=100.0).contains(&percent) => {
                    Shown::Quantile(percent / 100.0, column)
                }
                _ => {
                    return Err(AskError::Words(format!(
                        "`{first}` is none of count, mean, median, min, max, p0 to p100, share"
                    )));
                }
            }
        }
    };
    Ok((named(first), shown))
}

impl Question {
    /// Reads a question: conditions joined by `and`, columns to group by, what to show, a column to sort by (falling where a
    /// hyphen stands before it), rows at most.
    ///
    /// # Errors
    /// [`AskError::Words`] for what is not understood.
    pub fn parse(
        conditions: Option<&str>,
        by: Option<&str>,
        show: Option<&str>,
        sort: Option<&str>,
        top: Option<usize>,
    ) -> Result<Self, AskError> {
        let conditions = conditions
            .map(|text| text.split(" and ").map(condition).collect::<Result<_, _>>())
            .transpose()?
            .unwrap_or_default();
        let by: Vec<String> = by.map_or_else(Vec::new, |by| list(by).map(str::to_owned).collect());
        let show: Vec<(String, Shown)> = match show {
            Some(text) => list(text).map(shown).collect::<Result<_, _>>()?,
            None if by.is_empty() => Vec::new(),
            None => vec![("designs".to_owned(), Shown::Count)],
        };
        let plain = |(_, shown): &(String, Shown)| matches!(shown, Shown::Plain(_));
        let any_plain = show.iter().any(plain);
        if any_plain && (!by.is_empty() || !show.iter().all(plain)) {
            return Err(AskError::Words(
                "a plain column cannot stand beside groups; say what of it: mean, median, min, max, p10 and so on".to_owned(),
            ));
        }
        let sort = sort.map(|text| match text.trim().strip_prefix('-') {
            Some(name) => (name.trim().to_owned(), true),
            None => (text.trim().to_owned(), false),
        });
        Ok(Self {
            conditions,
            by,
            shown: show,
            sort,
            top,
        })
    }

    /// The columns that the answer needs, in the order of the parts.
    ///
    /// # Errors
    /// [`AskError::Unknown`] for a name that no column has.
    pub fn needs(&self, columns: &[PartColumn]) -> Result<Vec<PartColumn>, AskError> {
        let mut wanted: Vec<&str> = self.conditions.iter().map(|c| c.column.as_str()).collect();
        wanted.extend(self.by.iter().map(String::as_str));
        for (_, shown) in &self.shown {
            match shown {
                Shown::Plain(name)
                | Shown::Quantile(_, name)
                | Shown::Mean(name)
                | Shown::Min(name)
                | Shown::Max(name) => wanted.push(name),
                Shown::Share(condition) => wanted.push(&condition.column),
                Shown::Count => {}
            }
        }
        for name in &wanted {
            if !columns.iter().any(|column| column.name == *name) {
                let known = columns.iter().map(|column| column.name.as_str());
                return Err(AskError::Unknown {
                    name: (*name).to_owned(),
                    near: suggest::nearest(name, known).map(str::to_owned),
                });
            }
        }
        let all = self.shown.is_empty();
        let needed = columns.iter().filter(|column| {
            all || column.name == "design" || wanted.contains(&column.name.as_str())
        });
        Ok(needed.cloned().collect())
    }
}

/// Answers a question from a frame that has the columns it needs.
///
/// # Errors
/// [`AskError`] for what cannot be compared, sorted by a name that the answer lacks, or that the engine refuses.
pub fn ask(question: &Question, frame: &DataFrame) -> Result<Answer, AskError> {
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
                return Err(AskError::Unknown {
                    name: name.clone(),
                    near: suggest::nearest(name, names.iter().map(String::as_str))
                        .map(str::to_owned),
                });
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
            Shown::Quantile(_, name) | Shown::Mean(name) | Shown::Min(name) | Shown::Max(name) => {
                let numbers = numbers(name, &frame)?;
                numbers.with_name(slot(index).into())
            }
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
            Shown::Mean(_) | Shown::Share(_) => groups.mean(),
            Shown::Min(_) => groups.min(),
            Shown::Max(_) => groups.max(),
            Shown::Quantile(share, _) => groups.quantile(*share, QuantileMethod::Linear),
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
        columns.push(Column {
            head: written.map_or_else(|| name.replace('_', " "), |column| column.head.clone()),
            unit: written.map_or("", |column| column.unit),
            meaning: written.map_or("As asked for.", |column| column.meaning),
            kind: if words { Kind::Text } else { Kind::Number },
            name,
        });
        cells.push(if words {
            let words = series.str()?.iter();
            words
                .map(|text| text.map_or(Cell::Empty, |text| Cell::Text(text.to_owned())))
                .collect()
        } else {
            let numbers = series.f64()?.iter();
            numbers
                .map(|number| number.map_or(Cell::Empty, Cell::Number))
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
