//! What can be wrong with a project file, and how it is said.

use std::fmt;

/// One problem of a project file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1, in characters.
    pub column: usize,
    /// Bytes of the file's text that are at fault.
    pub span: std::ops::Range<usize>,
    /// What is wrong, lower case, no full stop.
    pub wrong: String,
    /// What would be right, where that can be said.
    pub right: Option<String>,
}

/// A project file that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct FileError {
    /// The file's name as shown in messages.
    pub file: String,
    /// The problems, first in the file first; at least one.
    pub problems: Vec<Problem>,
    text: String,
}

impl FileError {
    /// A problem of the file as a whole.
    pub fn single(file: &str, wrong: &str) -> Self {
        Self {
            file: file.to_owned(),
            problems: vec![Problem {
                line: 1,
                column: 1,
                span: 0..0,
                wrong: wrong.to_owned(),
                right: None,
            }],
            text: String::new(),
        }
    }
}

impl fmt::Display for FileError {
    /// One line a problem: `file:line:column: what is wrong (what would be right)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, problem) in self.problems.iter().enumerate() {
            if at > 0 {
                writeln!(f)?;
            }
            write!(
                f,
                "{}:{}:{}: {}",
                self.file, problem.line, problem.column, problem.wrong
            )?;
            if let Some(right) = &problem.right {
                write!(f, "; {right}")?;
            }
        }
        Ok(())
    }
}
