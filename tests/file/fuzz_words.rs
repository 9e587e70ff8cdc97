//! The dictionaries of the fuzz targets are made from what the readers know, so that a new key is tried without being listed.
//!
//! `BEDYEAR_WRITE=1 cargo test --test file fuzz_words` writes them anew.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use bedyear::file;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

/// One word a line, as the fuzzer takes them.
fn dictionary(head: &str, words: &BTreeSet<String>) -> String {
    let line = |word: &String| {
        let escaped = word.replace('\\', "\\\\").replace('"', "\\\"");
        let bytes: String = escaped.bytes().map(byte).collect();
        format!("\"{bytes}\"\n")
    };
    std::iter::once(format!("# {head}\n"))
        .chain(words.iter().map(line))
        .collect()
}

fn byte(byte: u8) -> String {
    if byte.is_ascii_graphic() || byte == b' ' {
        char::from(byte).to_string()
    } else {
        format!("\\x{byte:02x}")
    }
}

fn is_made(name: &str, head: &str, words: &BTreeSet<String>) {
    let path = root().join("fuzz/dict").join(name);
    let made = dictionary(head, words);
    if std::env::var_os("BEDYEAR_WRITE").is_some() {
        std::fs::write(&path, &made).unwrap();
    }
    let found = std::fs::read_to_string(&path).unwrap();
    assert!(
        found == made,
        "{name} is not what the keys give: run this test with BEDYEAR_WRITE=1"
    );
}

#[test]
fn of_the_project_file() {
    let mut words = BTreeSet::new();
    for row in file::schema() {
        let (table, key) = row.path.rsplit_once('.').unwrap_or(("", &row.path));
        if let Some(list) = table.strip_suffix("[]") {
            words.insert(format!("[[{}]]", list.replace("[]", "")));
        } else if !table.is_empty() {
            words.insert(format!("[{}]", table.replace("[]", "")));
        }
        words.insert(format!("{} = ", key.trim_end_matches("[]")));
        if let Some(unit) = row.unit.split_whitespace().next() {
            words.insert(format!(" {unit}"));
        }
        // Words that may stand there are told in quotes or ticks.
        for quote in ['"', '`'] {
            let pieces = row.takes.split(quote).skip(1).step_by(2);
            words.extend(pieces.map(|word| format!("\"{word}\"")));
        }
    }
    is_made(
        "project.dict",
        "Tables, keys, units and words of the project file.",
        &words,
    );
}

/// Tables, keys and short words of the TOML files of a folder.
fn words_of(folder: &str) -> BTreeSet<String> {
    let mut words = BTreeSet::new();
    for entry in std::fs::read_dir(root().join(folder)).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            let text = std::fs::read_to_string(&path).unwrap();
            let table: toml::Table = text.parse().unwrap();
            add(&mut words, "", &table);
        }
    }
    words
}

fn add(words: &mut BTreeSet<String>, under: &str, table: &toml::Table) {
    for (key, value) in table {
        match value {
            toml::Value::Table(inner) => {
                let path = format!("{under}{key}");
                words.insert(format!("[{path}]"));
                add(words, &format!("{path}."), inner);
            }
            // Free text and names of sources are no words of the format.
            toml::Value::String(word) if !word.contains(' ') && key != "source" => {
                words.insert(format!("{key} = "));
                words.insert(format!("\"{word}\""));
            }
            _ => {
                words.insert(format!("{key} = "));
            }
        }
    }
}

#[test]
fn of_crop_files() {
    is_made(
        "crop.dict",
        "Tables, keys and words of the crop files.",
        &words_of("crops"),
    );
}

#[test]
fn of_place_files() {
    is_made(
        "climate.dict",
        "Tables, keys and words of the climate files.",
        &words_of("climates"),
    );
}
