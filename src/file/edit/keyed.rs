//! Keys set as their kind in the key table wants it, read back as people write them, lists made longer and shorter.

use toml_edit::{Array, ArrayOfTables, Item, Table, TableLike, Value, value};

use super::path::{Step, steps, typed};
use super::{Edit, EditError};
use crate::file::keys::{self, Kind};

/// Words that may stand at a path, where it takes one of a few; empty for any other.
pub fn choices(path: &str) -> Vec<&'static str> {
    match kind(path) {
        Some(Kind::Word(words)) => words.to_vec(),
        Some(Kind::Glazing) => keys::glazing_names(),
        Some(Kind::Flag) => vec!["true", "false"],
        _ => Vec::new(),
    }
}

/// The path as the key table has it: `bed[0].area` is `bed[].area`.
pub fn general(path: &str) -> String {
    let mut general = String::with_capacity(path.len());
    let mut inside = false;
    for c in path.chars() {
        inside = match c {
            '[' => true,
            ']' => false,
            _ if inside => continue,
            _ => false,
        };
        general.push(c);
    }
    general
}

fn kind(path: &str) -> Option<Kind> {
    let general = general(path);
    keys::find(&general)
        .or_else(|| keys::find(general.trim_end_matches("[]")))
        .map(|key| key.kind)
}

/// What a person writes, as the value that would stand in the file.
fn wanted(path: &str, text: &str) -> Value {
    let list = |item: fn(&str) -> Value| -> Value {
        let parts = text.split(',').map(str::trim);
        Value::from(
            parts
                .filter(|part| !part.is_empty())
                .map(item)
                .collect::<Array>(),
        )
    };
    let is_list = text.starts_with('[') || text.starts_with('{');
    let one_of_list = path.ends_with(']');
    match kind(path) {
        Some(
            Kind::Text
            | Kind::Word(_)
            | Kind::Glazing
            | Kind::Place
            | Kind::Food
            | Kind::Season
            | Kind::Cladding,
        ) => Value::from(text),
        Some(Kind::Texts | Kind::Foods) if one_of_list => Value::from(text),
        Some(Kind::Texts | Kind::Foods) if !is_list => list(|part| Value::from(part)),
        Some(
            Kind::Wholes
            | Kind::Quantities(_)
            | Kind::TwelveMonths(_)
            | Kind::Schedule(_)
            | Kind::Prices(_),
        ) if !is_list && text.contains(',') => list(typed),
        _ => typed(text),
    }
}

/// A value as people write it: texts without quotation marks, a list of texts with commas between.
fn said(value: &Value) -> String {
    match value {
        Value::String(text) => text.value().clone(),
        Value::Array(list) if !list.is_empty() && list.iter().all(|one| plain(one).is_some()) => {
            let parts: Vec<String> = list.iter().filter_map(plain).collect();
            parts.join(", ")
        }
        other => {
            let mut bare = other.clone();
            bare.decor_mut().clear();
            bare.to_string().trim().to_owned()
        }
    }
}

/// A text without a comma, or a number.
fn plain(value: &Value) -> Option<String> {
    match value {
        Value::String(text) if !text.value().contains(',') => Some(text.value().clone()),
        Value::Integer(_) | Value::Float(_) => Some(said(value)),
        _ => None,
    }
}

impl Edit {
    /// Writes a key as its kind wants it; an empty text takes the key out of the file.
    pub fn write(&mut self, path: &str, text: &str) -> Result<(), EditError> {
        let text = text.trim();
        if text.is_empty() {
            self.take(path);
            return Ok(());
        }
        self.put_value(path, wanted(path, text))
    }

    /// What stands at a path as people write it; none where nothing does, or a table.
    pub fn said_at(&self, path: &str) -> Option<String> {
        self.value_at(path).as_ref().map(said)
    }

    /// Number of entries of the list at a path; 0 where there is none.
    pub fn count(&self, path: &str) -> usize {
        if let Some(list) = self.document.get(path).and_then(Item::as_array_of_tables) {
            return list.len();
        }
        match self.value_at(path) {
            Some(Value::Array(list)) => list.len(),
            _ => 0,
        }
    }

    fn value_at(&self, path: &str) -> Option<Value> {
        let steps = steps(path).ok()?;
        let mut item = Item::Table(self.document.as_table().clone());
        for step in steps {
            item = match step {
                Step::Key(key) => item.get(key.as_str())?.clone(),
                Step::Index(index) => item.get(index)?.clone(),
            };
        }
        item.into_value().ok()
    }

    /// Takes a key, or one entry of a list, out of the file.
    pub fn take(&mut self, path: &str) {
        let Ok(steps) = steps(path) else { return };
        let Some((last, way)) = steps.split_last() else {
            return;
        };
        let mut item = self.document.as_item_mut();
        for step in way {
            let next = match step {
                Step::Key(key) => item.get_mut(key.as_str()),
                Step::Index(index) => item.get_mut(*index),
            };
            match next {
                Some(next) => item = next,
                None => return,
            }
        }
        match last {
            Step::Key(key) => {
                if let Some(table) = item.as_table_like_mut() {
                    table.remove(key);
                }
            }
            Step::Index(index) => {
                if let Some(list) = item
                    .as_array_of_tables_mut()
                    .filter(|list| *index < list.len())
                {
                    list.remove(*index);
                } else if let Some(list) = item.as_array_mut().filter(|list| *index < list.len()) {
                    list.remove(*index);
                }
            }
        }
    }

    /// Adds an entry to a list of values, laid out like the one before.
    ///
    /// # Errors
    /// [`EditError::Path`] if something else stands there.
    pub fn push(&mut self, path: &str, text: &str) -> Result<(), EditError> {
        let new = wanted(&format!("{path}[0]"), text.trim());
        let mut list = match self.value_at(path) {
            Some(Value::Array(list)) => list,
            None => Array::new(),
            // One text may stand where a list may.
            Some(one) => Array::from_iter([one]),
        };
        let before = list.iter().last().map(|last| last.decor().clone());
        list.push(new);
        if let (Some(decor), Some(last)) = (before, list.iter_mut().last()) {
            *last.decor_mut() = decor;
        }
        self.put_value(path, Value::Array(list))
    }

    /// Adds a table to a list of tables.
    pub fn push_table(&mut self, path: &str, keys: &[(&str, &str)]) -> Result<(), EditError> {
        let mut table = Table::new();
        for (key, text) in keys.iter().filter(|(_, text)| !text.trim().is_empty()) {
            table.insert(key, value(wanted(&format!("{path}[0].{key}"), text.trim())));
        }
        self.document
            .entry(path)
            .or_insert(Item::ArrayOfTables(ArrayOfTables::new()))
            .as_array_of_tables_mut()
            .ok_or(EditError::Unsayable("this list"))?
            .push(table);
        Ok(())
    }

    /// Every key that stands in the file, with its value as people write it, in the file's order.
    pub fn keys(&self) -> Vec<(String, String)> {
        let mut found = Vec::new();
        walk("", self.document.as_table(), &mut found);
        found
    }
}

fn walk(at: &str, table: &dyn TableLike, found: &mut Vec<(String, String)>) {
    for (key, item) in table.iter() {
        let path = if at.is_empty() {
            key.to_owned()
        } else {
            format!("{at}.{key}")
        };
        match item {
            Item::Table(inner) => walk(&path, inner, found),
            Item::ArrayOfTables(list) => {
                for (number, inner) in list.iter().enumerate() {
                    walk(&format!("{path}[{number}]"), inner, found);
                }
            }
            Item::Value(Value::Array(list)) if plain(&Value::Array(list.clone())).is_none() => {
                for (number, one) in list.iter().enumerate() {
                    found.push((format!("{path}[{number}]"), said(one)));
                }
            }
            Item::Value(value) => found.push((path, said(value))),
            Item::None => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# ours\n[building]\nlength = \"8 m\" # inside\n\n[household]\nwant = [\n    \"1 kg kale a week\", # all year\n]\neats = [\"salad greens\"]\n\n[[bed]] # the first\nname = \"north\"\ncount = 4\n";

    #[test]
    fn a_key_keeps_its_comment_and_its_place() {
        let mut edit = Edit::new(TEXT).unwrap();
        edit.write("building.length", "9.5 m").unwrap();
        assert_eq!(edit.text(), TEXT.replace("8 m", "9.5 m"));
        edit.write("building.length", "8 m").unwrap();
        edit.write("bed[0].count", "6").unwrap();
        assert_eq!(edit.text(), TEXT.replace("count = 4", "count = 6"));
        assert_eq!(edit.said_at("bed[0].count").unwrap(), "6");
        let above = "# about us\n\nname = \"a\"\n[bed]\n# how long\nlength = 4\n";
        let mut edit = Edit::new(above).unwrap();
        edit.write("name", "b").unwrap();
        edit.number("bed", "length", 5.5).unwrap();
        let changed = above.replace("\"a\"", "\"b\"").replace("= 4", "= 5.5");
        assert_eq!(edit.text(), changed);
    }

    #[test]
    fn lists_grow_and_shrink() {
        let mut edit = Edit::new(TEXT).unwrap();
        edit.push("household.want", "2 kg salad greens a week")
            .unwrap();
        edit.write("household.eats", "salad greens, roots").unwrap();
        edit.push_table("bed", &[("name", "south"), ("count", "2"), ("length", "")])
            .unwrap();
        assert_eq!(edit.count("household.want"), 2);
        assert_eq!(edit.count("bed"), 2);
        assert_eq!(
            edit.said_at("household.want[1]").unwrap(),
            "2 kg salad greens a week"
        );
        assert_eq!(
            edit.said_at("household.eats").unwrap(),
            "salad greens, roots"
        );
        assert!(
            edit.text().parse::<toml::Table>().is_ok(),
            "{}",
            edit.text()
        );
        edit.take("household.want[1]");
        edit.take("bed[1]");
        edit.write("household.eats", "salad greens").unwrap();
        let table: toml::Table = edit.text().parse().unwrap();
        assert_eq!(table, TEXT.parse::<toml::Table>().unwrap());
        assert!(edit.text().contains("# all year"), "{}", edit.text());
    }

    #[test]
    fn a_name_that_looks_like_a_number_stays_a_name() {
        let mut edit = Edit::new(TEXT).unwrap();
        edit.write("bed[0].name", "7").unwrap();
        assert!(edit.text().contains("name = \"7\""));
        assert_eq!(general("bed[12].name"), "bed[].name");
        assert!(choices("building.shape").contains(&"gable"));
    }
}
