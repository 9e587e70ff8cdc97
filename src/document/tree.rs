//! The text as a tree of values, each with its place in the text.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::error::{PROBLEMS_MAX, Problem};
use super::slips;

/// A value and where it stands.
#[derive(Clone, Debug)]
pub struct Node {
    /// Bytes of the text.
    pub span: Range<usize>,
    pub value: Value,
}

/// A value of the file.
#[derive(Clone, Debug)]
pub enum Value {
    Text(String),
    /// A number; whole numbers too large for `f64` to hold exactly are none.
    Number(f64),
    Whole(i64),
    /// Yes or no.
    Flag(bool),
    /// A date without quotation marks.
    Date(String),
    List(Vec<Node>),
    Table(Vec<Entry>),
}

/// A key of a table with its value.
#[derive(Clone, Debug)]
pub struct Entry {
    pub key: String,
    /// Where the key stands.
    pub key_span: Range<usize>,
    pub node: Node,
}

impl Value {
    /// What kind of value it is, for messages.
    pub fn kind_name(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text",
            Self::Number(_) => "a number",
            Self::Whole(_) => "a whole number",
            Self::Flag(_) => "true or false",
            Self::Date(_) => "a date",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
        }
    }
}

impl Node {
    /// The entries of a table, in the order of the text; nothing for other values.
    pub fn entries(&self) -> &[Entry] {
        match &self.value {
            Value::Table(entries) => entries,
            _ => &[],
        }
    }

    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&Node> {
        let entry = self.entries().iter().find(|entry| entry.key == key)?;
        Some(&entry.node)
    }

    /// The items of a list; nothing for other values.
    pub fn items(&self) -> &[Node] {
        match &self.value {
            Value::List(items) => items,
            _ => &[],
        }
    }

    /// The text, where it is one.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The number, whole or not, where it is one.
    pub fn number(&self) -> Option<f64> {
        match self.value {
            Value::Number(number) => Some(number),
            Value::Whole(whole) => Some(whole as f64),
            _ => None,
        }
    }
}

/// Parses TOML text.
///
/// # Errors
/// The syntax faults that the parser can tell apart, the first [`PROBLEMS_MAX`].
pub fn parse(text: &str) -> Result<Node, Vec<Problem>> {
    let (document, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return Ok(Node {
            span: 0..text.len(),
            value: table(document.into_inner()),
        });
    }
    let problems = errors.into_iter().take(PROBLEMS_MAX).map(|error| {
        if error.message().contains("recurs") {
            let span = error.span().unwrap_or_else(|| deepest(text));
            let wrong = "lists or tables within each other, more than 80 deep";
            return Problem::at(text, span, wrong, None);
        }
        let span = error.span().unwrap_or(0..0);
        let is_slip = error.message().contains("must be quoted");
        match slips::right(text, span.start).filter(|_| is_slip) {
            Some((wrong, right)) => Problem::at(text, span, wrong, right),
            None => {
                let wrong = format!("not valid TOML: {}", error.message());
                Problem::at(text, span, wrong, None)
            }
        }
    });
    Err(problems.collect())
}

/// The line with the most points between names: the parser does not say where a name goes too deep.
fn deepest(text: &str) -> Range<usize> {
    let mut start = 0;
    let mut found = (0, 0..0);
    for line in text.split_inclusive('\n') {
        let points = line.matches('.').count();
        if points > found.0 {
            found = (points, start..start + line.trim_end().len());
        }
        start += line.len();
    }
    found.1
}

fn table(table: DeTable<'_>) -> Value {
    let mut entries: Vec<Entry> = table
        .into_iter()
        .map(|(key, value)| Entry {
            key_span: key.span(),
            key: key.into_inner().into_owned(),
            node: node(value),
        })
        .collect();
    // The parser sorts by name; people read from the top.
    entries.sort_by_key(|entry| entry.key_span.start);
    Value::Table(entries)
}

fn node(value: Spanned<DeValue<'_>>) -> Node {
    let span = value.span();
    let value = match value.into_inner() {
        DeValue::String(text) => Value::Text(text.into_owned()),
        DeValue::Integer(number) => match i64::from_str_radix(number.as_str(), number.radix()) {
            Ok(whole) => Value::Whole(whole),
            Err(_) => Value::Number(f64::NAN),
        },
        DeValue::Float(number) => Value::Number(number.as_str().parse().unwrap_or(f64::NAN)),
        DeValue::Boolean(flag) => Value::Flag(flag),
        DeValue::Datetime(date) => Value::Date(date.to_string()),
        DeValue::Array(items) => Value::List(items.into_iter().map(node).collect()),
        DeValue::Table(inner) => table(inner),
    };
    Node { span, value }
}
