//! Any key of a file, by its path: `building.length`, `bed[0].area`.

use toml_edit::{Array, ArrayOfTables, InlineTable, Item, Table, TableLike, Value};

use super::{Edit, EditError};

impl Edit {
    /// Sets the key at a path, making the tables on the way; lists count from 0.
    ///
    /// The value is what would stand in the file; what TOML does not know, such as `6 m`, is taken for a text.
    ///
    /// # Errors
    /// [`EditError::Path`] if the path runs through something that is no table or list, or past the end of a list.
    pub fn put(&mut self, path: &str, value: &str) -> Result<(), EditError> {
        self.put_value(path, typed(value))
    }

    /// Sets the key at a path to a value; the comment beside it stays.
    pub(super) fn put_value(&mut self, path: &str, value: Value) -> Result<(), EditError> {
        let wrong = |why: String| EditError::Path {
            path: path.to_owned(),
            why,
        };
        let steps = steps(path).map_err(wrong)?;
        let Some((last, way)) = steps.split_last() else {
            return Err(wrong("the key is empty".to_owned()));
        };
        let mut place = Place::Table(self.document.as_table_mut());
        for step in way {
            place = place.enter(step).map_err(wrong)?;
        }
        place.put(last, value).map_err(wrong)
    }
}

/// One step of a path: a key, or a place in a list.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Step {
    Key(String),
    Index(usize),
}

pub(super) fn steps(path: &str) -> Result<Vec<Step>, String> {
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
    Ok(steps)
}

/// Where a path has led so far.
enum Place<'t> {
    Table(&'t mut Table),
    Inline(&'t mut InlineTable),
    Tables(&'t mut ArrayOfTables),
    Values(&'t mut Array),
}

impl<'t> Place<'t> {
    fn enter(self, step: &Step) -> Result<Place<'t>, String> {
        match (self, step) {
            (Place::Table(table), Step::Key(key)) => {
                Place::of_item(table.entry(key).or_insert(Item::Table(Table::new())))
            }
            (Place::Inline(table), Step::Key(key)) => {
                let new = || Value::InlineTable(InlineTable::new());
                Place::of_value(table.entry(key.as_str()).or_insert_with(new))
            }
            (Place::Tables(list), Step::Index(index)) => {
                let length = list.len();
                let table = list.get_mut(*index);
                table.map(Place::Table).ok_or_else(|| too_far(length))
            }
            (Place::Values(list), Step::Index(index)) => {
                let length = list.len();
                let value = list.get_mut(*index).ok_or_else(|| too_far(length))?;
                Place::of_value(value)
            }
            _ => Err(mismatch()),
        }
    }

    fn of_item(item: &'t mut Item) -> Result<Place<'t>, String> {
        match item {
            Item::Table(table) => Ok(Place::Table(table)),
            Item::ArrayOfTables(list) => Ok(Place::Tables(list)),
            Item::Value(value) => Place::of_value(value),
            Item::None => Err(mismatch()),
        }
    }

    fn of_value(value: &'t mut Value) -> Result<Place<'t>, String> {
        match value {
            Value::InlineTable(table) => Ok(Place::Inline(table)),
            Value::Array(list) => Ok(Place::Values(list)),
            _ => Err("a value stands where the key runs on".to_owned()),
        }
    }

    fn put(self, step: &Step, mut value: Value) -> Result<(), String> {
        match (self, step) {
            (Place::Table(table), Step::Key(key)) => lay(table, key, value),
            (Place::Inline(table), Step::Key(key)) => {
                like(&mut value, table.get(key));
                table.insert(key.as_str(), value);
            }
            (Place::Values(list), Step::Index(index)) => {
                let length = list.len();
                let old = list.get_mut(*index).ok_or_else(|| too_far(length))?;
                like(&mut value, Some(old));
                *old = value;
            }
            _ => return Err(mismatch()),
        }
        Ok(())
    }
}

/// Lays a value into a table; the comments above the key and beside the value stay.
pub(super) fn lay(table: &mut dyn TableLike, key: &str, mut value: Value) {
    match table.get_mut(key) {
        Some(old) => {
            like(&mut value, old.as_value());
            *old = Item::Value(value);
        }
        None => {
            table.insert(key, Item::Value(value));
        }
    }
}

/// Blanks and comment around the value that it takes the place of.
fn like(value: &mut Value, old: Option<&Value>) {
    if let Some(old) = old {
        *value.decor_mut() = old.decor().clone();
    }
}

fn too_far(length: usize) -> String {
    format!("the list has {length} entries, counted from 0")
}

fn mismatch() -> String {
    "a list is counted, as bed[0], and a table is named".to_owned()
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
