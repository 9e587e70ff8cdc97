//! A table of the file as the translation reads it: each key with its default, each default noted.

use std::any::Any;
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::ops::Range;

use super::keys::{self, Fallback, Key, Said};
use super::mixed::Doubt;
use super::project::Assumed;
use super::read::{self, Context, Parsed, tidy};
use super::validate::join;
use crate::document::{Node, PROBLEMS_MAX, Problem, Right};
use crate::words::meaning;

/// What the sections of a file share: problems found and defaults taken.
#[derive(Debug, Default)]
pub struct Notes<'t> {
    /// For reading values.
    pub context: Context<'t>,
    /// Does the file name a folder of the person's own crops?
    pub own_crops: bool,
    /// Problems, in the order in which they came.
    pub problems: RefCell<Vec<Problem>>,
    /// Defaults that were taken, each key once.
    pub assumed: RefCell<Vec<Assumed>>,
    /// Their keys.
    pub assumed_keys: RefCell<BTreeSet<String>>,
    /// What may not be as it was meant.
    pub doubts: RefCell<Vec<Doubt>>,
}

/// A table of the file, present or absent.
#[derive(Clone, Debug)]
pub struct Section<'r, 't> {
    notes: &'r Notes<'t>,
    node: Option<&'r Node>,
    /// Path in the key table, such as `bed[]`.
    path: String,
    /// Path as shown, such as `bed[2]`.
    shown: String,
    /// Where to point when something is missing.
    span: Range<usize>,
}

impl<'r, 't> Section<'r, 't> {
    /// The whole file.
    pub fn root(notes: &'r Notes<'t>, node: &'r Node) -> Self {
        Self {
            notes,
            node: Some(node),
            path: String::new(),
            shown: String::new(),
            span: 0..0,
        }
    }

    /// The table of a key, present or not.
    pub fn table(&self, key: &str) -> Section<'r, 't> {
        let node = self.node_of(key);
        Section {
            notes: self.notes,
            node,
            path: join(&self.path, key),
            shown: join(&self.shown, key),
            span: node.map_or_else(|| self.span.clone(), |node| node.span.clone()),
        }
    }

    /// The tables of a list.
    pub fn tables(&self, key: &str) -> Vec<Section<'r, 't>> {
        let items = self.node_of(key).map_or(&[][..], Node::items);
        let section = |(at, node): (usize, &'r Node)| Section {
            notes: self.notes,
            node: Some(node),
            path: format!("{}[]", join(&self.path, key)),
            shown: format!("{}[{}]", join(&self.shown, key), at + 1),
            span: node.span.clone(),
        };
        items.iter().enumerate().map(section).collect()
    }

    /// The table of a key where the file has it.
    pub fn given(&self, key: &str) -> Option<Section<'r, 't>> {
        Some(self.table(key)).filter(Section::present)
    }

    fn node_of(&self, key: &str) -> Option<&'r Node> {
        self.node.and_then(|node| node.get(key))
    }

    /// Is the table itself in the file?
    pub fn present(&self) -> bool {
        self.node.is_some()
    }

    /// Is a key in the file?
    pub fn has(&self, key: &str) -> bool {
        self.node_of(key).is_some()
    }

    /// The names of the keys in the table, in the file's order.
    pub fn names(&self) -> Vec<&'r str> {
        let entries = self.node.map_or(&[][..], Node::entries);
        entries.iter().map(|entry| entry.key.as_str()).collect()
    }

    /// Where a key stands, or the table where it does not.
    pub fn span_of(&self, key: &str) -> Range<usize> {
        self.node_of(key)
            .map_or_else(|| self.span.clone(), |node| node.span.clone())
    }

    /// Its path as messages show it.
    pub fn shown(&self, key: &str) -> String {
        join(&self.shown, key)
    }

    fn note(&self, span: Range<usize>, wrong: impl AsRef<str>, right: impl Right) {
        let mut problems = self.notes.problems.borrow_mut();
        if problems.len() < PROBLEMS_MAX {
            problems.push(Problem::at(self.notes.context.text, span, wrong, right));
        }
    }

    /// Notes a problem at a key.
    pub fn problem(&self, key: &str, wrong: impl AsRef<str>, right: impl Right) {
        self.note(self.span_of(key), wrong, right);
    }

    /// Notes at a key what may not be as it was meant.
    pub fn doubt(&self, key: &str, text: String) {
        let at = Problem::at(self.notes.context.text, self.span_of(key), text, None);
        self.notes.doubts.borrow_mut().push(Doubt {
            line: at.line,
            text: at.wrong,
        });
    }

    /// The value of a key as the file writes it, without quotation marks.
    pub fn written(&self, key: &str) -> String {
        let text = self.notes.context.text.get(self.span_of(key));
        crate::plain::escaped(text.unwrap_or_default().trim_matches(['"', '\'']))
    }

    /// Notes a problem at some words in a key's value, such as one item of a list.
    pub fn problem_at(&self, key: &str, words: &str, wrong: impl AsRef<str>, right: impl Right) {
        let span = self.span_of(key);
        let value = self.notes.context.text.get(span.clone());
        let words = words.trim().to_ascii_lowercase();
        let at = value.and_then(|value| value.to_ascii_lowercase().find(&words));
        let span = at.map_or(span.clone(), |at| {
            let (from, to) = (span.start + at, span.start + at + words.len());
            // An item that is nothing but these words is pointed at with its quotation marks.
            let is_quote = |at: usize| self.notes.context.text.as_bytes().get(at) == Some(&b'"');
            match is_quote(from.wrapping_sub(1)) && is_quote(to) {
                true => from - 1..to + 1,
                false => from..to,
            }
        });
        self.note(span, wrong, right);
    }

    /// Notes that a key is missing.
    pub fn missing(&self, key: &str) {
        let of = self.key(key);
        let meaning = of.map(|key| format!("it takes {}: {}", key.kind.in_words(), key.meaning));
        let wrong = format!("the key `{}` is missing", self.shown(key));
        self.note(self.span.clone(), wrong, meaning);
    }

    /// Notes a default of this table.
    pub fn assume(
        &self,
        key: &str,
        value: impl Into<String>,
        unit: &'static str,
        why: impl Into<String>,
    ) {
        let key = self.shown(key);
        if self.notes.assumed_keys.borrow_mut().insert(key.clone()) {
            self.notes.assumed.borrow_mut().push(Assumed {
                key,
                value: value.into(),
                unit: keys::bare_unit(unit),
                why: why.into(),
            });
        }
    }

    fn key(&self, key: &str) -> Option<&'static Key> {
        let path = join(&self.path, key);
        let found = keys::find(&path);
        debug_assert!(found.is_some(), "the key table lacks {path}");
        found
    }

    /// The value in the file. Values were checked before, so a broken one is already a problem.
    fn parsed(&self, key: &str) -> Option<Parsed> {
        let node = self.node_of(key)?;
        read::read(self.key(key)?, &self.shown(key), node, &self.notes.context).ok()
    }

    /// A struct with the fields that keys of this table fill; the others are as given. Nothing where a value that must be
    /// there is missing.
    pub fn filled<T: Any>(&self, mut to: T) -> Option<T> {
        let mut whole = true;
        for (name, key) in keys::inside(&self.path) {
            if let Some(fill) = key.field {
                whole &= fill(&mut to, self, name);
            }
        }
        whole.then_some(to)
    }

    /// The same where no value must be there.
    pub fn filled_or_default<T: Any + Default>(&self) -> T {
        self.filled(T::default()).unwrap_or_default()
    }

    /// What is taken where the file is silent.
    pub fn fallback(&self, key: &str) -> Fallback {
        self.key(key)
            .map_or(Fallback::Nothing(""), |key| key.fallback)
    }

    /// What the file says of a key.
    pub fn get<T: Said>(&self, key: &str) -> Option<T> {
        T::of(self.parsed(key)?)
    }

    /// The default of the key table, noted as taken.
    pub fn usual<T: Said>(&self, key: &str) -> Option<T> {
        let found = self.key(key)?;
        let (value, shown, unit, why) = match found.fallback {
            Fallback::Number(number, why) => {
                (Parsed::Number(number), tidy(number), found.kind.unit(), why)
            }
            Fallback::Word(word, why) => (Parsed::Text(word.to_owned()), word.to_owned(), "", why),
            Fallback::Flag(flag, why) => (Parsed::Flag(flag), flag.to_string(), "", why),
            Fallback::Required(_) | Fallback::Nothing(_) | Fallback::Derived(_) => return None,
        };
        self.assume(key, shown, unit, why);
        T::of(value)
    }

    /// What the file says of a key, or its default: of the key table, or of the type where that has none.
    pub fn get_or_default<T: Said + Default>(&self, key: &str) -> T {
        let found = self.get(key).or_else(|| self.usual(key));
        found.unwrap_or_default()
    }

    /// Its name, or its number where the file has none: `bed 3`.
    pub fn name_or(&self, kind: &str, number: usize) -> String {
        self.text("name")
            .unwrap_or_else(|| format!("{kind} {number}"))
    }

    /// Texts of a list; none where the file is silent.
    pub fn texts(&self, key: &str) -> Vec<String> {
        self.get(key).unwrap_or_default()
    }

    /// A number that the file gives.
    pub fn number(&self, key: &str) -> Option<f64> {
        self.get(key)
    }

    /// A number, or its default from the key table.
    pub fn number_or_default(&self, key: &str) -> f64 {
        self.get_or_default(key)
    }

    /// A number, or a default that was worked out; `why` says how.
    pub fn number_or(&self, key: &str, derived: f64, why: impl Into<String>) -> f64 {
        self.number(key).unwrap_or_else(|| {
            let unit = self.key(key).map_or("", |key| key.kind.unit());
            self.assume(key, tidy(derived), unit, why);
            derived
        })
    }

    /// What must be there.
    pub fn required<T: Said>(&self, key: &str) -> Option<T> {
        if !self.has(key) {
            self.missing(key);
        }
        self.get(key)
    }

    pub fn text(&self, key: &str) -> Option<String> {
        self.get(key)
    }

    /// What the word of a key, or its default from the key table, means by a list.
    pub fn choice_or_default<T: Copy>(&self, key: &str, words: &[(&'static str, T)]) -> T {
        let word: String = self.get_or_default(key);
        // Reading let no other word through, and a default is one of them: a test holds that.
        meaning(&word, words).unwrap_or(words[0].1)
    }

    /// Does the file name a folder of the person's own crops, so that names may be known there?
    pub fn has_own_crops(&self) -> bool {
        self.notes.own_crops
    }
}
