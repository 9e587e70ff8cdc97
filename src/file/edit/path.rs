//! Any key of a file, by its path: `building.length`, `bed[0].area`.

use toml_edit::{Array, ArrayOfTables, InlineTable, Item, Table, Value};

use super::{Edit, EditError};

impl Edit {
    /// Sets the key at a path, making the tables on the way; lists count from 0.
    ///
    /// The value is what would stand in the file; what TOML does not know, such as `6 m`, is taken for a text.
    ///
    /// # Errors
    /// [`EditError::Path`] if the path runs through something that is no table or list, or past the end of a list.
    pub fn put(&mut self, path: &str, value: &str) -> Result<(), EditError> {
        self.set(path, typed(value))
    }

    /// Sets the key at a path to a value; the comments above the key and beside the value stay.
    ///
    /// # Errors
    /// As [`Edit::put`].
    pub fn set(&mut self, path: &str, value: impl Into<Value>) -> Result<(), EditError> {
        let laid = steps(path).and_then(|(way, last)| {
            let mut item = self.document.as_item_mut();
            for step in &way {
                item = enter(item, step)?;
            }
            lay(item, &last, value.into())
        });
        laid.map_err(|why| EditError::Path {
            path: path.to_owned(),
            why,
        })
    }
}

/// One step of a path: a key, or a place in a list.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Step {
    Key(String),
    Index(usize),
}

/// The steps of a path: those on the way, and the last.
pub(super) fn steps(path: &str) -> Result<(Vec<Step>, Step), String> {
    let mut steps = Vec::new();
    for part in path.split('.') {
        let (key, index) = match part.split_once('[') {
            Some((key, rest)) => (key, Some(rest)),
            None => (part, None),
        };
        if key.trim().is_empty() {
            return Err("a part of the key is empty".to_owned());
        }
        steps.push(Step::Key(key.trim().to_owned()));
        if let Some(index) = index {
            let number = index.strip_suffix(']').and_then(|text| text.parse().ok());
            let number = number.ok_or("a list is counted as in bed[0]")?;
            steps.push(Step::Index(number));
        }
    }
    let last = steps.pop().ok_or("the key is empty")?;
    Ok((steps, last))
}

/// Where a step leads; a table that is not there is made.
fn enter<'t>(item: &'t mut Item, step: &Step) -> Result<&'t mut Item, String> {
    match step {
        Step::Key(key) => {
            let new = match item.is_inline_table() {
                true => Item::Value(InlineTable::new().into()),
                false => Item::Table(Table::new()),
            };
            let wrong = no_way(item);
            let table = item.as_table_like_mut().ok_or(wrong)?;
            Ok(table.entry(key).or_insert(new))
        }
        Step::Index(index) => {
            let tables = item.as_array_of_tables().map(ArrayOfTables::len);
            let length = tables.or(item.as_array().map(Array::len));
            let length = length.ok_or_else(|| no_way(item))?;
            let too_far = || format!("the list has {length} entries, counted from 0");
            item.get_mut(*index).ok_or_else(too_far)
        }
    }
}

/// Why a path leads no further.
fn no_way(item: &Item) -> String {
    match item {
        Item::Value(Value::Array(_) | Value::InlineTable(_)) => MISMATCH.to_owned(),
        Item::Value(_) => "a value stands where the key runs on".to_owned(),
        _ => MISMATCH.to_owned(),
    }
}

const MISMATCH: &str = "a list is counted, as bed[0], and a table is named";

fn lay(item: &mut Item, step: &Step, mut value: Value) -> Result<(), String> {
    let old = match step {
        Step::Key(key) => {
            let wrong = no_way(item);
            let table = item.as_table_like_mut().ok_or(wrong)?;
            table.entry(key).or_insert(Item::None)
        }
        Step::Index(_) => match enter(item, step)? {
            Item::Table(_) => return Err(MISMATCH.to_owned()),
            old => old,
        },
    };
    if let Some(old) = old.as_value() {
        *value.decor_mut() = old.decor().clone();
    }
    *old = Item::Value(value);
    Ok(())
}

pub(super) fn typed(text: &str) -> Value {
    text.parse().unwrap_or_else(|_| Value::from(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# ours\n[building]\nlength = \"8 m\" # inside\nwidths = [1, 2]\n[[bed]]\narea = 4\n[air]\nvent = { max = 3 }\n";

    fn after(path: &str, value: &str) -> Result<String, EditError> {
        let mut edit = Edit::new(TEXT)?;
        edit.put(path, value).map(|()| edit.text())
    }

    #[test]
    fn keys_lists_and_new_tables_are_set_and_the_rest_stays() {
        for (path, value, stands) in [
            ("building.length", "6 m", "length = \"6 m\""),
            ("building.length", "6.5", "length = 6.5"),
            ("building.widths[1]", "7", "widths = [1,7]"),
            ("bed[0].area", "5", "area = 5"),
            ("air.vent.max", "4", "max = 4"),
            ("air.vent.min.hours", "4", "hours = 4"),
            ("heater.kind", "\"wood\"", "kind = \"wood\""),
        ] {
            let text = after(path, value).unwrap();
            let table: toml::Table = text.parse().unwrap();
            assert!(text.starts_with("# ours\n"), "{text}");
            assert_eq!(table["building"].as_table().unwrap().len(), 2);
            let without_blanks = text.replace(", ", ",").replace("{ ", "{");
            assert!(without_blanks.contains(stands), "{path}: {text}");
        }
    }

    #[test]
    fn paths_that_lead_nowhere_are_refused() {
        for path in [
            "",
            "bed[1].area",
            "bed.area",
            "building.length.more",
            "bed[x].area",
            "a..b",
            "bed[0]",
        ] {
            assert!(
                matches!(after(path, "1"), Err(EditError::Path { .. })),
                "{path}"
            );
        }
    }
}
