//! From text to project.

use std::sync::Arc;

use super::mixed;
use super::project::Project;
use super::read::Context;
use super::section::{Notes, Section};
use super::translate;
use super::validate;
use super::written::Written;
use crate::document::{self, Node, Value};
use crate::document::{FileError, Problem};
use crate::plain::without_mark;

/// Reads the text of a project file.
///
/// `file` is the name shown in messages; nothing is opened. Windows line ends and a byte order mark are fine.
///
/// # Errors
/// [`FileError`] lists every independent problem of the file, first in the file first.
///
/// # Example
/// ```
/// let text = r#"
///     [site]
///     place = "Helena"
///     [building]
///     length = "30 ft"
///     width = "16 ft"
///     glazing = "double-film"
///     beds = 6
/// "#;
/// let project = bedyear::file::parse("six-beds.toml", text)?;
/// assert_eq!(project.beds.len(), 6);
/// assert!(!project.assumed.is_empty());
/// # Ok::<(), bedyear::file::FileError>(())
/// ```
pub fn parse(file: &str, text: &str) -> Result<Project, FileError> {
    let fail = |problems: Vec<Problem>| FileError::new(file, text, problems);
    if without_mark(text).trim().is_empty() {
        let right = "`bedyear new` writes a starter file".to_owned();
        return Err(fail(vec![Problem::at(
            text,
            0..0,
            "the file is empty".to_owned(),
            Some(right),
        )]));
    }
    let root = document::parse(text).map_err(fail)?;
    let mut project = read_tree(text, &root).map_err(fail)?;
    let (file, text) = (file.to_owned(), text.to_owned());
    project.written = Arc::new(Written { file, text, root });
    Ok(project)
}

/// The text in a file's bytes, which must be UTF-8.
///
/// # Errors
/// [`FileError`] with line and column of the first byte that is none.
pub fn text_of<'b>(file: &str, bytes: &'b [u8]) -> Result<&'b str, FileError> {
    std::str::from_utf8(bytes).map_err(|error| {
        let valid = bytes.get(..error.valid_up_to()).unwrap_or_default();
        let text = String::from_utf8_lossy(valid);
        let at = text.len()..text.len();
        let right = "save the file as UTF-8".to_owned();
        let problem = Problem::at(
            &text,
            at,
            "the file is not UTF-8 text from here on".to_owned(),
            Some(right),
        );
        FileError::new(file, &text, vec![problem])
    })
}

fn read_tree(text: &str, root: &Node) -> Result<Project, Vec<Problem>> {
    let currency = translate::money::currency_code(root);
    let context = Context {
        text,
        currency: &currency,
    };
    let found = validate::problems(root, &context);
    if !found.is_empty() {
        return Err(found);
    }
    let own_crops = root
        .get("folders")
        .is_some_and(|folders| folders.get("crops").is_some());
    let notes = Notes::new(context, own_crops);
    let project = translate::project(&Section::root(&notes, root));
    let (problems, mut assumed, doubts) = notes.into_parts();
    match project {
        Some(mut project) if problems.is_empty() => {
            assumed.sort_by_key(|assumed| translate::order(&assumed.key));
            project.assumed = assumed;
            project.doubts = mixed::doubts(text, root);
            project.doubts.extend(doubts);
            project.doubts.sort_by_key(|doubt| doubt.line);
            project.in_feet = feet_less_metres(root) > 0;
            Ok(project)
        }
        _ if problems.is_empty() => {
            let wrong = "the file does not describe a building and its place".to_owned();
            Err(vec![Problem::at(text, 0..0, wrong, None)])
        }
        _ => Err(problems),
    }
}

/// Lengths and areas in feet less those in metres, over all values of a file.
fn feet_less_metres(node: &Node) -> i32 {
    match &node.value {
        Value::Text(text) => match text
            .trim()
            .trim_start_matches(|c: char| !c.is_ascii_alphabetic())
        {
            _ if !text.trim().starts_with(|c: char| c.is_ascii_digit()) => 0,
            unit if unit.starts_with("ft") || unit.starts_with("in") => 1,
            "m" | "cm" | "mm" | "m2" | "m3" => -1,
            _ => 0,
        },
        Value::List(nodes) => nodes.iter().map(feet_less_metres).sum(),
        Value::Table(entries) => entries
            .iter()
            .map(|entry| feet_less_metres(&entry.node))
            .sum(),
        _ => 0,
    }
}
