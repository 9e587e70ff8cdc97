//! From text to project, and back to where a key stands in the text, so that what a later stage refuses is shown there.

use std::ops::Range;
use std::sync::Arc;

use super::mixed;
use super::project::{Assumed, Project};
use super::read::Context;
use super::section::{Notes, Section};
use super::translate;
use super::validate;
use crate::document::{self, FileError, Node, Problem, Value};
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
        let right = "`bedyear new` writes a starter file";
        return Err(fail(vec![Problem::at(
            text,
            0..0,
            "the file is empty",
            right,
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
        let wrong = "the file is not UTF-8 text from here on";
        let problem = Problem::at(&text, at, wrong, "save the file as UTF-8");
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
    let folders = root.get("folders");
    let notes = Notes {
        context,
        own_crops: folders.is_some_and(|folders| folders.get("crops").is_some()),
        ..Notes::default()
    };
    let project = translate::project(&Section::root(&notes, root));
    let problems = notes.problems.into_inner();
    match project {
        Some(mut project) if problems.is_empty() => {
            project.assumed = notes.assumed.into_inner();
            let order = |assumed: &Assumed| translate::order(&assumed.key);
            project.assumed.sort_by_key(order);
            (project.doubts, project.in_feet) = mixed::doubts(text, root);
            project.doubts.extend(notes.doubts.into_inner());
            project.doubts.sort_by_key(|doubt| doubt.line);
            Ok(project)
        }
        _ if problems.is_empty() => {
            let wrong = "the file does not describe a building and its place";
            Err(vec![Problem::at(text, 0..0, wrong, None)])
        }
        _ => Err(problems),
    }
}

/// A project file as it was written.
#[derive(Clone, Debug)]
pub struct Written {
    file: String,
    text: String,
    root: Node,
}

impl Default for Written {
    fn default() -> Self {
        let root = Node {
            span: 0..0,
            value: Value::Table(Vec::new()),
        };
        let (file, text) = (String::new(), String::new());
        Self { file, text, root }
    }
}

impl PartialEq for Written {
    /// Two projects that mean the same are the same, however they were written.
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Written {
    /// What is refused at a key such as `site.months.max`, with line and column; of a list the first entry is meant. Where the
    /// file does not have the key, the nearest table around it is shown.
    pub fn refused(&self, key: &str, wrong: String, right: Option<String>) -> FileError {
        let problem = Problem::at(&self.text, self.find(key).0, wrong, right);
        FileError::new(&self.file, &self.text, vec![problem])
    }

    /// File, line and column of a key, as in messages.
    pub fn place_of(&self, key: &str) -> String {
        let problem = Problem::at(&self.text, self.find(key).0, "", None);
        let file = crate::plain::escaped(&self.file);
        format!("{file}:{}:{}", problem.line, problem.column)
    }

    /// Does the file have this key itself?
    pub fn has(&self, key: &str) -> bool {
        self.find(key).1
    }

    /// Where a key stands, or the nearest table around it; and whether it is the key itself.
    fn find(&self, key: &str) -> (Range<usize>, bool) {
        let (mut at, mut node) = (0..0, &self.root);
        for name in key.split('.') {
            if let Some(first) = node.items().first() {
                node = first;
            }
            let Some(entry) = node.entries().iter().find(|entry| entry.key == name) else {
                return (at, false);
            };
            (at, node) = (entry.key_span.clone(), &entry.node);
        }
        (at, true)
    }
}
