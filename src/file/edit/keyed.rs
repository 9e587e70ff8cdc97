//! Keys set as their kind in the key table wants it, read back as people write them, lists made longer and shorter.

use toml_edit::{Array, ArrayOfTables, Item, Table, TableLike, Value, value};

use super::path::{Step, steps, typed};
use super::{Edit, EditError};
use crate::file::keys::{self, Kind};
use crate::file::validate::join;

/// Words that may stand at a path, where it takes one of a few; empty for any other.
pub fn choices(path: &str) -> Vec<&'static str> {
    match kind(path) {
        Some(Kind::Word(words)) => words.to_vec(),
        Some(Kind::Glazing) => keys::glazing_names(),
        Some(Kind::Flag) => vec!["true", "false"],
        _ => Vec::new(),
    }
}

fn kind(path: &str) -> Option<Kind> {
    let general = keys::general(path);
    let key = keys::find(&general).or_else(|| keys::find(general.trim_end_matches("[]")));
    key.map(|key| key.kind)
}

/// What a person writes, as the value that would stand in the file.
fn wanted(path: &str, text: &str) -> Value {
    let list = |item: fn(&str) -> Value| -> Value {
        let parts = text.split(',').map(str::trim);
        let parts = parts.filter(|part| !part.is_empty());
        parts.map(item).collect()
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
        self.set(path, wanted(path, text))
    }

    /// What stands at a path as people write it; none where nothing does, or a table.
    pub fn said_at(&self, path: &str) -> Option<String> {
        self.value_at(path).as_ref().map(said)
    }

    /// Number of entries of the list at a path; 0 where there is none.
    pub fn count(&self, path: &str) -> usize {
        match self.value_at(path) {
            Some(Value::Array(list)) => list.len(),
            _ => 0,
        }
    }

    fn value_at(&self, path: &str) -> Option<Value> {
        let (way, last) = steps(path).ok()?;
        let steps = way.iter().chain([&last]);
        let item = steps.into_iter().try_fold(self.document.as_item(), into)?;
        item.clone().into_value().ok()
    }

    /// Takes a key, or one entry of a list, out of the file.
    pub fn take(&mut self, path: &str) {
        let Ok((way, last)) = steps(path) else { return };
        let into = |item, step: &Step| match step {
            Step::Key(key) => Item::get_mut(item, key.as_str()),
            Step::Index(index) => Item::get_mut(item, *index),
        };
        let Some(item) = way.iter().try_fold(self.document.as_item_mut(), into) else {
            return;
        };
        match last {
            Step::Key(key) => {
                item.as_table_like_mut().map(|table| table.remove(&key));
            }
            Step::Index(index) => match item {
                Item::ArrayOfTables(list) if index < list.len() => {
                    list.remove(index);
                }
                Item::Value(Value::Array(list)) if index < list.len() => {
                    list.remove(index);
                }
                _ => {}
            },
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
        self.set(path, list)
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

fn into<'t>(item: &'t Item, step: &Step) -> Option<&'t Item> {
    match step {
        Step::Key(key) => item.get(key.as_str()),
        Step::Index(index) => item.get(*index),
    }
}

fn walk(at: &str, table: &dyn TableLike, found: &mut Vec<(String, String)>) {
    for (key, item) in table.iter() {
        let path = join(at, key);
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
        edit.set("bed.length", 5.5).unwrap();
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
        let said = |path: &str| edit.said_at(path).unwrap();
        assert_eq!(said("household.want[1]"), "2 kg salad greens a week");
        assert_eq!(said("household.eats"), "salad greens, roots");
        let text = edit.text();
        assert!(text.parse::<toml::Table>().is_ok(), "{text}");
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
        assert_eq!(keys::general("bed[12].name"), "bed[].name");
        assert!(choices("building.shape").contains(&"gable"));
    }
}
