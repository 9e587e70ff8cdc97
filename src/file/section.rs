//! A table of the file as the translation reads it: each key with its default, each default noted.

use std::any::Any;
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::ops::Range;

use chrono::NaiveDate;

use super::keys::{self, Fallback, Key};
use super::mixed::Doubt;
use super::project::Assumed;
use super::read::{self, Context, Parsed, tidy};
use super::validate::join;
use crate::document::Node;
use crate::document::{PROBLEMS_MAX, Problem};

/// What the sections of a file share: problems found and defaults taken.
#[derive(Debug)]
pub struct Notes<'t> {
    /// For reading values.
    pub context: Context<'t>,
    /// Does the file name a folder of the person's own crops?
    pub own_crops: bool,
    problems: RefCell<Vec<Problem>>,
    assumed: RefCell<Vec<Assumed>>,
    assumed_keys: RefCell<BTreeSet<String>>,
    doubts: RefCell<Vec<Doubt>>,
}

impl<'t> Notes<'t> {
    /// No problem, no default yet.
    pub fn new(context: Context<'t>, own_crops: bool) -> Self {
        Self {
            context,
            own_crops,
            problems: RefCell::default(),
            assumed: RefCell::default(),
            assumed_keys: RefCell::default(),
            doubts: RefCell::default(),
        }
    }

    /// Notes a problem.
    pub fn problem(&self, span: Range<usize>, wrong: String, right: Option<String>) {
        let mut problems = self.problems.borrow_mut();
        if problems.len() < PROBLEMS_MAX {
            problems.push(Problem::at(self.context.text, span, wrong, right));
        }
    }

    /// Notes a default.
    pub fn assume(&self, key: &str, value: String, unit: &'static str, why: &str) {
        let unit = unit.split(" (").next().unwrap_or("");
        let unit = if unit == "1" { "" } else { unit };
        let noted = Assumed {
            key: key.to_owned(),
            value,
            unit,
            why: why.to_owned(),
        };
        if self.assumed_keys.borrow_mut().insert(noted.key.clone()) {
            self.assumed.borrow_mut().push(noted);
        }
    }

    /// Problems, defaults and doubts, in the order in which they came.
    pub fn into_parts(self) -> (Vec<Problem>, Vec<Assumed>, Vec<Doubt>) {
        (
            self.problems.into_inner(),
            self.assumed.into_inner(),
            self.doubts.into_inner(),
        )
    }
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
        let node = self.get(key);
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
        let items = self.get(key).map_or(&[][..], Node::items);
        let section = |(at, node): (usize, &'r Node)| Section {
            notes: self.notes,
            node: Some(node),
            path: format!("{}[]", join(&self.path, key)),
            shown: format!("{}[{}]", join(&self.shown, key), at + 1),
            span: node.span.clone(),
        };
        items.iter().enumerate().map(section).collect()
    }

    fn get(&self, key: &str) -> Option<&'r Node> {
        self.node.and_then(|node| node.get(key))
    }

    /// Is the table itself in the file?
    pub fn present(&self) -> bool {
        self.node.is_some()
    }

    /// Is a key in the file?
    pub fn has(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// The names of the keys in the table, in the file's order.
    pub fn names(&self) -> Vec<&'r str> {
        self.node
            .map_or(&[][..], Node::entries)
            .iter()
            .map(|entry| entry.key.as_str())
            .collect()
    }

    /// Where a key stands, or the table where it does not.
    pub fn span_of(&self, key: &str) -> Range<usize> {
        self.get(key)
            .map_or_else(|| self.span.clone(), |node| node.span.clone())
    }

    /// Its path as messages show it.
    pub fn shown(&self, key: &str) -> String {
        join(&self.shown, key)
    }

    /// Notes a problem at a key.
    pub fn problem(&self, key: &str, wrong: String, right: Option<String>) {
        self.notes.problem(self.span_of(key), wrong, right);
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
        let text = self
            .notes
            .context
            .text
            .get(self.span_of(key))
            .unwrap_or_default();
        crate::plain::escaped(text.trim_matches(['"', '\'']))
    }

    /// Notes a problem at some words in a key's value, such as one item of a list.
    pub fn problem_at(&self, key: &str, words: &str, wrong: String, right: Option<String>) {
        let span = self.span_of(key);
        let value = self.notes.context.text.get(span.clone());
        let words = words.trim().to_ascii_lowercase();
        let at = value.and_then(|value| value.to_ascii_lowercase().find(&words));
        let span = at.map_or(span.clone(), |at| {
            let (from, to) = (span.start + at, span.start + at + words.len());
            // An item that is nothing but these words is pointed at with its quotation marks.
            let is_quote = |at: usize| self.notes.context.text.as_bytes().get(at) == Some(&b'"');
            if is_quote(from.wrapping_sub(1)) && is_quote(to) {
                from - 1..to + 1
            } else {
                from..to
            }
        });
        self.notes.problem(span, wrong, right);
    }

    /// Notes that a key is missing.
    pub fn missing(&self, key: &str) {
        let meaning = self
            .key(key)
            .map(|key| format!("it takes {}: {}", key.kind.in_words(), key.meaning));
        self.notes.problem(
            self.span.clone(),
            format!("the key `{}` is missing", self.shown(key)),
            meaning,
        );
    }

    /// Notes a default of this table.
    pub fn assume(&self, key: &str, value: String, unit: &'static str, why: &str) {
        self.notes.assume(&self.shown(key), value, unit, why);
    }

    fn key(&self, key: &str) -> Option<&'static Key> {
        let found = keys::find(&join(&self.path, key));
        debug_assert!(
            found.is_some(),
            "the key table lacks {}",
            join(&self.path, key)
        );
        found
    }

    /// The value in the file. Values were checked before, so a broken one is already a problem.
    fn parsed(&self, key: &str) -> Option<Parsed> {
        let node = self.get(key)?;
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

    /// A number that the file gives.
    pub fn number(&self, key: &str) -> Option<f64> {
        match self.parsed(key)? {
            Parsed::Number(number) => Some(number),
            _ => None,
        }
    }

    /// A number, or its default from the key table.
    pub fn number_or_default(&self, key: &str) -> f64 {
        if let Some(number) = self.number(key) {
            return number;
        }
        let Some(Key {
            fallback: Fallback::Number(default, why),
            kind,
            ..
        }) = self.key(key)
        else {
            debug_assert!(false, "{} has no default number", self.shown(key));
            return f64::NAN;
        };
        self.assume(key, tidy(*default), kind.unit(), why);
        *default
    }

    /// A number, or a default that was worked out; `why` says how.
    pub fn number_or(&self, key: &str, derived: f64, why: &str) -> f64 {
        if let Some(number) = self.number(key) {
            return number;
        }
        let unit = self.key(key).map_or("", |key| key.kind.unit());
        self.assume(key, tidy(derived), unit, why);
        derived
    }

    /// A number that must be there.
    pub fn required_number(&self, key: &str) -> Option<f64> {
        if !self.has(key) {
            self.missing(key);
        }
        self.number(key)
    }

    /// A list of numbers that the file gives.
    pub fn numbers(&self, key: &str) -> Option<Vec<f64>> {
        match self.parsed(key)? {
            Parsed::Numbers(numbers) => Some(numbers),
            _ => None,
        }
    }

    /// A list of numbers, or the one default from the key table.
    pub fn numbers_or_default(&self, key: &str) -> Vec<f64> {
        self.numbers(key)
            .unwrap_or_else(|| vec![self.number_or_default(key)])
    }

    /// A text that the file gives.
    pub fn text(&self, key: &str) -> Option<String> {
        match self.parsed(key)? {
            Parsed::Text(text) => Some(text),
            _ => None,
        }
    }

    /// A word, or its default from the key table.
    pub fn word_or_default(&self, key: &str) -> String {
        if let Some(word) = self.text(key) {
            return word;
        }
        let Some(Key {
            fallback: Fallback::Word(default, why),
            ..
        }) = self.key(key)
        else {
            debug_assert!(false, "{} has no default word", self.shown(key));
            return String::new();
        };
        self.assume(key, (*default).to_owned(), "", why);
        (*default).to_owned()
    }

    /// What the word of a key means; nothing where the file is silent.
    pub fn choice<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Option<T> {
        meaning(&self.text(key)?, words)
    }

    /// What the word of a key, or its default from the key table, means.
    pub fn choice_or_default<T: Copy>(&self, key: &str, words: &[(&'static str, T)]) -> T {
        // Reading let no other word through, and a default is one of them: a test holds that.
        meaning(&self.word_or_default(key), words).unwrap_or(words[0].1)
    }

    /// A list of texts; empty where the file is silent.
    pub fn texts(&self, key: &str) -> Vec<String> {
        match self.parsed(key) {
            Some(Parsed::Texts(texts)) => texts,
            _ => Vec::new(),
        }
    }

    /// Yes or no, or the default from the key table.
    pub fn flag_or_default(&self, key: &str) -> bool {
        if let Some(Parsed::Flag(flag)) = self.parsed(key) {
            return flag;
        }
        let Some(Key {
            fallback: Fallback::Flag(default, why),
            ..
        }) = self.key(key)
        else {
            debug_assert!(false, "{} has no default flag", self.shown(key));
            return false;
        };
        self.assume(key, default.to_string(), "", why);
        *default
    }

    /// A date that the file gives.
    pub fn date(&self, key: &str) -> Option<NaiveDate> {
        match self.parsed(key)? {
            Parsed::Date(date) => Some(date),
            _ => None,
        }
    }

    /// Months that the file marks.
    pub fn season(&self, key: &str) -> Option<[bool; 12]> {
        match self.parsed(key)? {
            Parsed::Season(months) => Some(months),
            _ => None,
        }
    }

    /// Months, or the default from the key table.
    pub fn season_or_default(&self, key: &str) -> [bool; 12] {
        self.season(key).unwrap_or_else(|| {
            super::season::months(&self.word_or_default(key)).unwrap_or([true; 12])
        })
    }

    /// What a face is clad with: none of the file's, glazed, or a resistance.
    pub fn cladding(&self, key: &str) -> Option<Option<f64>> {
        match self.parsed(key)? {
            Parsed::Cladding(cladding) => Some(cladding),
            _ => None,
        }
    }

    /// Does the file name a folder of the person's own crops, so that names may be known there?
    pub fn has_own_crops(&self) -> bool {
        self.notes.own_crops
    }

    /// Any other value.
    pub fn raw(&self, key: &str) -> Option<Parsed> {
        self.parsed(key)
    }
}

/// What a word means.
fn meaning<T: Copy>(word: &str, words: &[(&str, T)]) -> Option<T> {
    let found = words.iter().find(|(known, _)| *known == word)?;
    Some(found.1)
}
