//! What can be wrong with a text, and how it is said.

use std::fmt;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use crate::plain::{BYTE_ORDER_MARK, beginning, escaped, is_control_or_bidi};

/// Most problems of one file that are told; a file of another kind is wrong in every line (own choice).
pub const PROBLEMS_MAX: usize = 50;

/// Longest message about what is wrong, characters (own choice): a key may be as long as its file.
const WRONG_MAX: usize = 500;

/// Width to which the picture of a line is cut around what is wrong in it, characters (the narrowest terminal that tables
/// are laid out for).
const PICTURE_WIDTH: usize = 80;

/// Longest piece of a line that is underlined, bytes (own choice): more would stretch the picture over several lines of a
/// terminal.
const MARK_MAX: usize = 60;

/// One problem of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1, in characters.
    pub column: usize,
    /// Bytes of the file's text that are at fault.
    pub span: Range<usize>,
    /// What is wrong, lower case, no full stop.
    pub wrong: String,
    /// What would be right, where that can be said.
    pub right: Option<String>,
}

/// What would be right, where that can be said.
pub trait Right {
    /// The words.
    fn said(self) -> Option<String>;
}

impl Right for Option<String> {
    fn said(self) -> Option<String> {
        self
    }
}

impl Right for String {
    fn said(self) -> Option<String> {
        Some(self)
    }
}

impl Right for &str {
    fn said(self) -> Option<String> {
        Some(self.to_owned())
    }
}

impl Problem {
    /// A problem at some bytes of the text.
    pub(crate) fn at(
        text: &str,
        span: Range<usize>,
        wrong: impl AsRef<str>,
        right: impl Right,
    ) -> Self {
        let start = floor_char(text, span.start);
        let end = floor_char(text, span.end.max(start));
        let before = &text[..start];
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let in_line = before[line_start..].replace(BYTE_ORDER_MARK, "");
        Self {
            line: before.matches('\n').count() + 1,
            column: in_line.chars().count() + 1,
            span: start..end,
            wrong: escaped(&beginning(wrong.as_ref(), WRONG_MAX)),
            right: right.said().as_deref().map(escaped),
        }
    }
}

impl fmt::Display for Problem {
    /// `line:column: what is wrong; what would be right`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.line, self.column, self.wrong)?;
        match &self.right {
            Some(right) => write!(f, "; {right}"),
            None => Ok(()),
        }
    }
}

/// The last character boundary at or before `at`, inside the text.
pub(super) fn floor_char(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// A file that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct FileError {
    /// The file's name as shown in messages.
    pub file: String,
    /// The problems, first in the file first; at least one, at most [`PROBLEMS_MAX`].
    pub problems: Vec<Problem>,
    text: String,
}

impl FileError {
    /// Problems at places of the text; they are put in the text's order.
    pub fn new(file: &str, text: &str, mut problems: Vec<Problem>) -> Self {
        problems.sort_by(|a, b| (a.span.start, &a.wrong).cmp(&(b.span.start, &b.wrong)));
        problems.dedup();
        problems.truncate(PROBLEMS_MAX);
        Self {
            file: escaped(file),
            problems,
            text: text.to_owned(),
        }
    }

    /// The error with a picture of each problem's line, the way compilers show it.
    ///
    /// With `color`, escape codes of the terminal mark the place; the picture says the same without them.
    pub fn render(&self, color: bool) -> String {
        let renderer = match color {
            true => Renderer::styled(),
            false => Renderer::plain(),
        };
        let renderer = renderer.term_width(PICTURE_WIDTH);
        let shown_text = drawable(&self.text);
        let problems = self.problems.iter();
        let groups = problems.map(|problem| self.group(problem, &shown_text));
        let groups: Vec<Group<'_>> = groups.collect();
        if groups.is_empty() {
            return String::new();
        }
        renderer.render(&groups)
    }

    fn group<'a>(&'a self, problem: &'a Problem, shown_text: &'a str) -> Group<'a> {
        let title = Level::ERROR.primary_title(problem.wrong.as_str());
        let mut group = Group::with_title(title);
        if shown_text.trim().is_empty() {
            group = group.element(Level::NOTE.message(format!("in {}", self.file)));
        } else {
            let lines = lines_of(shown_text, &problem.span);
            let Range { start, end } = problem.span;
            let end = floor_char(shown_text, end.min(start + MARK_MAX));
            let mark = start - lines.start..end - lines.start;
            let above = shown_text[lines.start..start].matches('\n').count();
            group = group.element(
                Snippet::source(&shown_text[lines])
                    .line_start(problem.line - above)
                    .path(self.file.as_str())
                    .annotation(AnnotationKind::Primary.span(mark)),
            );
        }
        match &problem.right {
            Some(right) => group.element(Level::HELP.message(right.as_str())),
            None => group,
        }
    }
}

/// The whole lines that a span touches, at the end of the text the last one: a picture of fifty problems must not hold
/// the text fifty times.
fn lines_of(text: &str, span: &Range<usize>) -> Range<usize> {
    let mut before = &text[..span.start];
    if span.start == text.len() {
        before = before.strip_suffix('\n').unwrap_or(before);
    }
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    let end = text[span.end..]
        .find('\n')
        .map_or(text.len(), |at| span.end + at + 1);
    start..end
}

/// The text with what could steer a terminal replaced byte for byte, so that spans stay true.
fn drawable(text: &str) -> String {
    let mut drawn = String::with_capacity(text.len());
    for c in text.chars() {
        if is_control_or_bidi(c) && !matches!(c, '\n' | '\r' | '\t' | BYTE_ORDER_MARK) {
            drawn.extend(std::iter::repeat_n('?', c.len_utf8()));
        } else {
            drawn.push(c);
        }
    }
    drawn
}

impl fmt::Display for FileError {
    /// One line a problem: `file:line:column: what is wrong; what would be right`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, problem) in self.problems.iter().enumerate() {
            if at > 0 {
                writeln!(f)?;
            }
            write!(f, "{}:{problem}", self.file)?;
        }
        Ok(())
    }
}
