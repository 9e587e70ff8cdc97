//! The schema and the reader agree: both come from one table, and every key of it is used somewhere.

use super::examples::{files, uncommented};
use bedyear::file::{self, StarterOptions};
use std::collections::BTreeSet;
use toml::{Table, Value};

/// Paths of a file's keys, as the schema writes them.
fn paths(table: &Table, prefix: &str, found: &mut BTreeSet<String>) {
    for (key, value) in table {
        let path = if prefix.is_empty() {
            key.clone()
        } else {
            format!("{prefix}.{key}")
        };
        match value {
            Value::Table(inner) => {
                found.insert(path.clone());
                paths(inner, &path, found);
            }
            Value::Array(items) if items.iter().any(Value::is_table) => {
                let path = format!("{path}[]");
                found.insert(path.clone());
                for item in items.iter().filter_map(Value::as_table) {
                    paths(item, &path, found);
                }
            }
            _ => {
                found.insert(path);
            }
        }
    }
}

fn keys_in_use() -> BTreeSet<String> {
    let mut texts: Vec<String> = ["examples", "tests/boxes", "tests/file/keys"]
        .into_iter()
        .flat_map(files)
        .map(|(_, text)| text)
        .collect();
    let starter = file::starter(&StarterOptions::default());
    texts.extend(uncommented(&starter));
    let mut found = BTreeSet::new();
    for text in texts {
        paths(&text.parse::<Table>().unwrap(), "", &mut found);
    }
    found
}

/// Is a path of a file this key of the schema?
fn same(path: &str, key: &str) -> bool {
    path == key
        || key
            .strip_suffix(".*")
            .is_some_and(|table| path.rsplit_once('.').is_some_and(|(own, _)| own == table))
}

#[test]
fn every_key_in_use_is_in_the_schema() {
    let schema = file::schema();
    for path in keys_in_use() {
        assert!(
            schema.iter().any(|row| same(&path, &row.path)),
            "{path} is not in the schema"
        );
    }
}

#[test]
fn every_key_of_the_schema_is_used_somewhere() {
    let used = keys_in_use();
    let unused: Vec<String> = file::schema()
        .into_iter()
        // These are tried by a test of their own.
        .filter(|row| !row.filled)
        .map(|row| row.path)
        .filter(|key| !used.iter().any(|path| same(path, key)))
        .collect();
    assert!(unused.is_empty(), "no example uses {unused:?}");
}

#[test]
fn the_schema_says_everything_of_every_key_once() {
    let schema = file::schema();
    let mut paths: Vec<&str> = schema.iter().map(|row| row.path.as_str()).collect();
    for row in &schema {
        assert!(
            !row.takes.is_empty() && !row.default.is_empty() && !row.meaning.is_empty(),
            "{row:?}"
        );
    }
    paths.sort_unstable();
    paths.dedup();
    assert_eq!(paths.len(), schema.len());
}

#[test]
fn every_assumed_default_is_a_key_of_the_schema() {
    let schema = file::schema();
    for folder in ["examples", "tests/boxes", "tests/file/keys"] {
        for (path, text) in files(folder) {
            for assumed in super::examples::read(&path, &text).assumed {
                let key: String = assumed
                    .key
                    .split('[')
                    .map(|part| {
                        part.split_once(']')
                            .map_or(part.to_owned(), |(_, rest)| format!("[]{rest}"))
                    })
                    .collect();
                let key = key.trim_end_matches("[]");
                let known = schema
                    .iter()
                    .any(|row| same(key, row.path.trim_end_matches("[]")) || same(key, &row.path));
                assert!(known, "{} is not in the schema", assumed.key);
            }
        }
    }
}

/// Values to try at a key: the ends of its range, its words, both switches, other texts, days and months.
fn values(row: &file::KeyRow) -> Vec<String> {
    let words = row.takes.strip_prefix("one of ");
    let words = words.map_or_else(Vec::new, |words| words.split(", ").collect());
    let others = ["other", "2027-05-01", "May", "7 USD/year"];
    let ends = file::range_of(&row.path).map_or_else(Vec::new, |(least, most)| vec![least, most]);
    let numbers = ends
        .iter()
        .flat_map(|end| [end.to_string(), format!("{end:.1}")]);
    let texts = words
        .iter()
        .chain(&others)
        .map(|word| format!("\"{word}\""));
    numbers
        .chain(texts)
        .chain(["true", "false", "7.0"].map(str::to_owned))
        .collect()
}

/// The file with a key set in the last table of its kind; nothing where it has no such list.
fn with(document: &toml_edit::DocumentMut, path: &str, value: &str) -> Option<String> {
    let mut document = document.clone();
    let value: toml_edit::Item = toml_edit::value(value.parse::<toml_edit::Value>().ok()?);
    let (tables, key) = path.rsplit_once('.').unwrap_or(("", path));
    let mut item = document.as_item_mut();
    for name in tables.split('.').filter(|name| !name.is_empty()) {
        let table = item.as_table_like_mut()?;
        item = match name.strip_suffix("[]") {
            Some(list) => table.get_mut(list)?,
            None => table.entry(name).or_insert(toml_edit::table()),
        };
        if let Some(list) = item.as_array_of_tables() {
            let last = list.len() - 1;
            item = item.get_mut(last)?;
        }
    }
    item.as_table_like_mut()?.insert(key, value);
    Some(document.to_string())
}

#[test]
fn a_key_with_a_field_changes_what_the_stages_are_given() {
    let mut texts: Vec<String> = ["examples", "tests/file/keys"]
        .into_iter()
        .flat_map(files)
        .map(|(_, text)| text)
        .collect();
    texts.extend(uncommented(&file::starter(&StarterOptions::default())));
    let bases: Vec<(toml_edit::DocumentMut, file::Project)> = texts
        .iter()
        .filter_map(|text| Some((text.parse().ok()?, file::parse("base.toml", text).ok()?)))
        .collect();
    let mut tried = 0;
    for row in file::schema().into_iter().filter(|row| row.filled) {
        let values = values(&row);
        let changes = bases.iter().any(|(document, project)| {
            values.iter().any(|value| {
                let found = with(document, &row.path, value);
                let found = found.and_then(|text| file::parse("changed.toml", &text).ok());
                found.is_some_and(|mut found| {
                    found.assumed.clone_from(&project.assumed);
                    found.doubts.clone_from(&project.doubts);
                    found.in_feet = project.in_feet;
                    found != *project
                })
            })
        });
        assert!(
            changes,
            "{}: no value of {values:?} changes anything",
            row.path
        );
        tried += 1;
    }
    assert!(tried > 60, "{tried} keys fill a field");
}
