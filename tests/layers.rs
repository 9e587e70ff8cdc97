//! The stages in their order: none uses a later one, and only the command line opens files or prints.
//!
//! These tests read the source, so that the order in `DEVELOPERS.md` is more than a wish.

use std::path::{Path, PathBuf};

/// The stages, each before those that may use it.
const ORDER: [&str; 21] = [
    "calendar", "numbers", "plain", "phrase", "suggest", "words", "sheet", "document", "air",
    "solar", "site", "sun", "house", "profile", "crops", "plan", "value", "file", "journal",
    "tune", "study",
];
/// The last four: shown, and asked for, by another program, in the browser or on the command line.
const LAST: [&str; 4] = ["output", "greenhouse", "page", "cli"];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

/// Stage, name and code of every source file; comments are left out.
fn code() -> Vec<(String, String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    let read = |path: PathBuf| {
        let name = path.strip_prefix(&root).unwrap().to_path_buf();
        let stage = name.iter().next().unwrap().to_str().unwrap();
        let text = std::fs::read_to_string(&path).unwrap();
        let lines = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"));
        let code = lines.collect::<Vec<_>>().join("\n");
        (
            stage.trim_end_matches(".rs").to_owned(),
            name.display().to_string(),
            code,
        )
    };
    files.into_iter().map(read).collect()
}

fn place(stage: &str) -> Option<usize> {
    ORDER.iter().chain(&LAST).position(|known| *known == stage)
}

/// Stages that a text names after `crate::` or `bedyear::`, also in a list of several.
fn used(code: &str) -> Vec<String> {
    let name = |text: &str| {
        let letters = text
            .chars()
            .take_while(|c| c.is_ascii_lowercase() || *c == '_');
        letters.collect::<String>()
    };
    let mut found = Vec::new();
    for mark in ["crate::", "bedyear::"] {
        for (at, _) in code.match_indices(mark) {
            let rest = &code[at + mark.len()..];
            match rest.strip_prefix('{') {
                Some(list) => found.extend(
                    list.split('}')
                        .next()
                        .unwrap()
                        .split(',')
                        .map(|one| name(one.trim())),
                ),
                None => found.push(name(rest)),
            }
        }
    }
    found
}

#[test]
fn no_stage_uses_a_later_one() {
    let mut edges = 0;
    for (stage, file, code) in code() {
        let Some(own) = place(&stage) else {
            assert!(
                ["lib", "main"].contains(&stage.as_str()),
                "{file}: a stage that the order does not name"
            );
            continue;
        };
        for other in used(&code) {
            let Some(other_place) = place(&other) else {
                continue;
            };
            edges += 1;
            assert!(
                other_place <= own,
                "{file} ({stage}) uses {other}, a later stage"
            );
        }
    }
    assert!(
        edges > 500,
        "only {edges} uses found: is the source still read?"
    );
}

/// Writing whole files is a part of `output` that `cli` calls; a test of a module may use the disk.
#[test]
fn only_the_command_line_opens_files_or_prints() {
    const ACTS: [&str; 9] = [
        "std::fs",
        "fs::read",
        "File::open",
        "File::create",
        "println!",
        "eprintln!",
        "print!(",
        "stdout()",
        "stderr()",
    ];
    for (stage, file, code) in code() {
        let writes = Path::new(&file).starts_with("output/write");
        let code = code.split("#[cfg(test)]").next().unwrap();
        // Built for tests alone, and may say what it found.
        let checks = file.ends_with("checks.rs");
        for act in ACTS {
            assert!(
                stage == "cli" || writes || checks || !code.contains(act),
                "{file} has {act}"
            );
        }
    }
}

#[test]
fn sun_and_house_know_nothing_of_crops() {
    for (stage, file, code) in code() {
        if ["sun", "house"].contains(&stage.as_str()) {
            assert!(!code.contains("crate::crops"), "{file}");
        }
    }
}
