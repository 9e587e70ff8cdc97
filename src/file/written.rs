//! A project file as it was written, so that what a later stage refuses is shown where it stands.

use std::ops::Range;

use crate::document::{FileError, Problem};
use crate::document::{Node, Value};

/// A project file as it was written.
#[derive(Clone, Debug)]
pub struct Written {
    pub(super) file: String,
    pub(super) text: String,
    pub(super) root: Node,
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
        let problem = Problem::at(&self.text, self.span(key), wrong, right);
        FileError::new(&self.file, &self.text, vec![problem])
    }

    /// File, line and column of a key, as in messages.
    pub fn place_of(&self, key: &str) -> String {
        let problem = Problem::at(&self.text, self.span(key), String::new(), None);
        let file = crate::plain::escaped(&self.file);
        format!("{file}:{}:{}", problem.line, problem.column)
    }

    /// Does the file have this key itself?
    pub fn has(&self, key: &str) -> bool {
        self.find(key).1
    }

    fn span(&self, key: &str) -> Range<usize> {
        self.find(key).0
    }

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
