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
