//! Bare numbers in a file whose other values of that kind are in feet, gallons, pounds or Fahrenheit: read as SI, and
//! perhaps not meant so.

use std::collections::BTreeMap;

use super::keys;
use super::quantity::{self, Dimension};
use super::validate::join;
use crate::document::{Node, Value};

/// What is asked after: what people measure in one system or the other.
const MIXABLE: [Dimension; 6] = [
    Dimension::Length,
    Dimension::Area,
    Dimension::Volume,
    Dimension::Mass,
    Dimension::Temperature,
    Dimension::TemperatureDifference,
];

/// A value that may not be what was meant.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {text}")]
pub struct Doubt {
    /// Line of the file, from 1.
    pub line: usize,
    /// What is doubtful and what to write, in one sentence.
    pub text: String,
}

/// The values of one dimension.
#[derive(Default)]
struct Values {
    /// How often each customary unit is written, and how often metric ones are.
    customary: BTreeMap<&'static str, usize>,
    metric: usize,
    /// Line, key and number of what has no unit; the first of a list.
    bare: Vec<(usize, String, f64)>,
}

/// One doubt for each key with a bare number where the file is not all metric; and whether lengths and areas are written in
/// feet more than in metres.
pub fn doubts(text: &str, root: &Node) -> (Vec<Doubt>, bool) {
    let mut seen = BTreeMap::new();
    walk(text, root, "", "", &mut seen);
    let sizes = [Dimension::Length, Dimension::Area].map(|of| seen.get(&of));
    let sizes = sizes.into_iter().flatten();
    let (feet, metres) = sizes.fold((0, 0), |(feet, metres), values| {
        let customary: usize = values.customary.values().sum();
        (feet + customary, metres + values.metric)
    });
    let doubts = seen.iter();
    let doubts = doubts.flat_map(|(of, values)| told(*of, values));
    (doubts.collect(), feet > metres)
}

fn told(dimension: Dimension, values: &Values) -> Vec<Doubt> {
    let most = values.customary.iter().max_by_key(|(_, count)| **count);
    let Some((unit, _)) = most else {
        return Vec::new();
    };
    let si = dimension.si_name();
    let doubt = |(line, key, number): &(usize, String, f64)| Doubt {
        line: *line,
        text: format!(
            "`{key}` is a bare number, read as {number} {si}, while other values of this kind ({}) are in {unit}: write \
             \"{number} {unit}\", or \"{number} {si}\" if that is meant",
            dimension.name()
        ),
    };
    values.bare.iter().map(doubt).collect()
}

fn walk(text: &str, node: &Node, path: &str, shown: &str, seen: &mut BTreeMap<Dimension, Values>) {
    for entry in node.entries() {
        let plain = join(path, &entry.key);
        let shown = join(shown, &entry.key);
        let key = keys::find(&plain).or_else(|| keys::find(&format!("{plain}[]")));
        let Some(key) = key else { continue };
        if let Some(dimension) = key.kind.dimension().filter(|of| MIXABLE.contains(of)) {
            let values = seen.entry(dimension).or_default();
            note(text, &entry.node, dimension, &shown, values);
        }
        walk(text, &entry.node, key.path, &shown, seen);
        for (at, item) in entry.node.items().iter().enumerate() {
            walk(text, item, key.path, &format!("{shown}[{}]", at + 1), seen);
        }
    }
}

fn note(text: &str, node: &Node, dimension: Dimension, shown: &str, values: &mut Values) {
    let items = match &node.value {
        Value::List(items) => items.as_slice(),
        _ => std::slice::from_ref(node),
    };
    let mut bare = None;
    for item in items {
        match &item.value {
            Value::Text(written) => match quantity::unit_of(written, dimension) {
                Some(unit) if unit.is_metric() => values.metric += 1,
                Some(unit) => *values.customary.entry(unit.names[0]).or_default() += 1,
                None => {}
            },
            _ => bare = bare.or(item.number().filter(|number| *number != 0.0)),
        }
    }
    if let Some(number) = bare {
        let line = text[..node.span.start].matches('\n').count() + 1;
        values.bare.push((line, shown.to_owned(), number));
    }
}
