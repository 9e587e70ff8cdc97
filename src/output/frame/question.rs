//! Questions to the designs of a sweep, as they are written: which, grouped by what, what of them, sorted how.

use parquet::errors::ParquetError;
use polars::prelude::PolarsError;

use super::PartColumn;
use crate::output::row::Row;
use crate::output::view::DesignFigures;
use crate::suggest;

/// Why a question has no answer.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AskError {
    /// No column has that name.
    #[error("there is no column `{name}`{}", match near { Some(near) => suggest::meant(Some(near)), None => format!("; there are {}", known.join(", ")) })]
    Unknown {
        /// As written.
        name: String,
        /// The nearest there is.
        near: Option<String>,
        /// All there are.
        known: Vec<String>,
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

impl AskError {
    /// A name that is none of those known.
    pub(super) fn unknown<'a>(name: &str, known: impl Iterator<Item = &'a str> + Clone) -> Self {
        AskError::Unknown {
            name: name.to_owned(),
            near: suggest::nearest(name, known.clone()).map(str::to_owned),
            known: known.map(str::to_owned).collect(),
        }
    }
}

/// Comparison of a column with a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Compare {
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
pub(super) struct Condition {
    pub(super) column: String,
    pub(super) compare: Compare,
    pub(super) value: String,
}

/// What several designs are summed up to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Figure {
    /// 0 to 1.
    Quantile(f64),
    Mean,
    Min,
    Max,
}

/// What is shown of the designs.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Shown {
    /// A column as it stands, one design a row.
    Plain(String),
    /// Number of designs.
    Count,
    /// A figure of a column.
    Of(Figure, String),
    /// Share of the designs of which a condition holds.
    Share(Condition),
}

/// A question to the designs of a sweep.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Question {
    pub(super) conditions: Vec<Condition>,
    pub(super) by: Vec<String>,
    pub(super) shown: Vec<(String, Shown)>,
    pub(super) sort: Option<(String, bool)>,
    pub(super) top: Option<usize>,
}

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
    let percent = || first.strip_prefix('p')?.parse::<f64>().ok();
    let figure = match first {
        "share" => return Ok((named(first), Shown::Share(condition(rest)?))),
        "mean" => Figure::Mean,
        "median" => Figure::Quantile(0.5),
        "min" => Figure::Min,
        "max" => Figure::Max,
        _ => match percent().filter(|percent| (0.0..=100.0).contains(percent)) {
            Some(percent) => Figure::Quantile(percent / 100.0),
            None => {
                return Err(AskError::Words(format!(
                    "`{first}` is none of count, mean, median, min, max, p0 to p100, share"
                )));
            }
        },
    };
    Ok((named(first), Shown::Of(figure, rest.to_owned())))
}

/// The figures of a design that are shown where nothing is asked for; the others by their names.
const USUAL: &str = "problem air_min_c air_min_c_p10 darkest_month_mol_m2_day heater_kwh";

/// What is shown where nothing is asked for: what varies, the usual figures, crops and plans, and what it is sorted by.
pub fn usual(columns: &[PartColumn], sort: Option<&str>) -> String {
    let sort = sort.map(|sort| sort.trim_start_matches('-').trim());
    let is_usual = |name: &str| USUAL.split(' ').any(|usual| usual == name);
    let figures = DesignFigures::columns();
    let others: Vec<&str> = figures.iter().map(|column| column.name.as_str()).collect();
    let names = columns.iter().map(|column| column.name.as_str());
    let names = names.filter(|name| !others.contains(name) || is_usual(name) || sort == Some(name));
    names.collect::<Vec<_>>().join(", ")
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
                Shown::Plain(name) | Shown::Of(_, name) => wanted.push(name),
                Shown::Share(condition) => wanted.push(&condition.column),
                Shown::Count => {}
            }
        }
        for name in &wanted {
            if !columns.iter().any(|column| column.name == *name) {
                let known = columns.iter().map(|column| column.name.as_str());
                return Err(AskError::unknown(name, known));
            }
        }
        let all = self.shown.is_empty();
        let needed = columns.iter().filter(|column| {
            all || column.name == "design" || wanted.contains(&column.name.as_str())
        });
        Ok(needed.cloned().collect())
    }
}
