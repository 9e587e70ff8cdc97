//! One key of the file beside its effect: what stands there, what is assumed where nothing does, and how it is known.

use maud::{Markup, html};

use super::View;
use crate::file::{self, Edit, KeyRow};
use crate::page::answers::Message;
use crate::page::desk::Seen;
use crate::page::words::label;

/// The fields of one view: the file's keys and what stands there.
pub struct Fields<'s> {
    seen: &'s Seen,
    view: View,
    edit: Option<Edit>,
    schema: Vec<KeyRow>,
}

/// Is this a key of the project file?
pub fn is_key(path: &str) -> bool {
    let general = file::general(path);
    let general = general.trim_end_matches("[]");
    !general.is_empty()
        && file::schema().iter().any(|row| {
            let known = row.path.trim_end_matches("[]");
            known == general
                || known
                    .strip_suffix('*')
                    .is_some_and(|table| general.starts_with(table))
        })
}

/// What every form carries.
pub fn hidden(seen: &Seen, view: View) -> Markup {
    let asked = |key: &&str| Some(format!("{key}={}", escaped(seen.query.get(*key)?)));
    let keys = ["at", "bed", "crop", "day", "field"].iter();
    let query = keys.filter_map(asked).collect::<Vec<_>>().join("&");
    let back = match query.is_empty() {
        true => view.path().to_owned(),
        false => format!("{}?{query}", view.path()),
    };
    html! {
        input type="hidden" name="csrf" value=(seen.csrf);
        input type="hidden" name="back" value=(back);
    }
}

/// A text as part of an address.
pub fn escaped(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' => out.push(byte as char),
            _ => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

pub fn button(words: &str, class: &str) -> Markup {
    html! { button type="submit" class=[(!class.is_empty()).then_some(class)] { (words) } }
}

/// A form of one button, which asks for `what`.
pub fn act(seen: &Seen, view: View, what: &str, words: &str, class: &str) -> Markup {
    html! { form.inline method="post" action={ "/do/" (what) } { (hidden(seen, view)) (button(words, class)) } }
}

impl<'s> Fields<'s> {
    pub fn new(seen: &'s Seen, view: View) -> Self {
        Self {
            seen,
            view,
            edit: Edit::new(&seen.draft.now.text).ok(),
            schema: file::schema(),
        }
    }

    /// Number of entries of a list.
    pub fn count(&self, path: &str) -> usize {
        self.edit.as_ref().map_or(0, |edit| edit.count(path))
    }

    /// What stands at a key as people write it; empty where nothing does.
    pub fn said(&self, path: &str) -> String {
        let edit = self.edit.as_ref();
        edit.and_then(|edit| edit.said_at(path)).unwrap_or_default()
    }

    pub fn schema(&self) -> &[KeyRow] {
        &self.schema
    }

    fn row(&self, path: &str) -> Option<&KeyRow> {
        let general = file::general(path);
        self.schema.iter().find(|row| row.path == general)
    }

    /// What is assumed where the file is silent, and why.
    fn assumed(&self, path: &str) -> Option<(String, String)> {
        // In messages the tables of a list are counted from 1.
        let of_bed = path
            .strip_prefix("bed[")
            .and_then(|rest| rest.split_once(']'));
        let shown = of_bed.map_or(path.to_owned(), |(number, rest)| {
            format!("bed[{}]{rest}", number.parse::<usize>().unwrap_or(0) + 1)
        });
        let assumed = self.seen.ready.job.project.assumed.iter();
        let mut found = assumed.filter(|one| one.key == shown);
        found.next().map(|one| {
            let value = format!("{} {}", one.value, one.unit);
            (value.trim().to_owned(), one.why.clone())
        })
    }

    /// What is wrong with what was written at a key.
    fn wrong(&self, path: &str) -> Option<&Message> {
        let message = self.seen.message.as_ref();
        message.filter(|message| message.bad && message.path == path)
    }

    /// A field with its label, its source behind a question mark, and what is wrong with what was written.
    pub fn field(&self, path: &str) -> Markup {
        self.labelled(path, &label(path))
    }

    /// The same with other words.
    pub fn labelled(&self, path: &str, words: &str) -> Markup {
        debug_assert!(is_key(path), "no key of the file: {path}");
        let id = format!("f-{}", path.replace(['.', '[', ']'], "-"));
        let said = self.said(path);
        let assumed = self.assumed(path);
        let choices = file::choices(path);
        let wrong = self.wrong(path);
        let wrong_id = format!("{id}-wrong");
        let written = wrong.map_or(said.as_str(), |message| message.written.as_str());
        let placeholder = assumed.as_ref().map(|(value, _)| value.as_str());
        let row = self.row(path);
        let hint = placeholder.or(row.map(|row| row.default.as_str()));
        html! {
            div.field.assumed[said.is_empty()] {
                form method="post" action="/do/set" data-now {
                    (hidden(self.seen, self.view))
                    input type="hidden" name="path" value=(path);
                    label for=(id) { (words) }
                    @if choices.is_empty() {
                        input type="text" id=(id) name="value" value=(written) placeholder=[hint]
                            list=[(path == "site.place").then_some("places")]
                            autocomplete="off" aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong.map(|_| wrong_id.as_str())];
                    } @else {
                        select id=(id) name="value" {
                            option value="" selected[said.is_empty()] { "not said" @if let Some(hint) = hint { ": " (hint) } }
                            @for choice in &choices { option value=(choice) selected[said == *choice] { (choice) } }
                        }
                    }
                }
                @if let Some(row) = row {
                    details.how id={ (id) "-how" } {
                        summary aria-label={ "About: " (words) } { "?" }
                        div {
                            p { (row.meaning) "." }
                            p { "Takes " (row.takes) @if !row.range.is_empty() { ", " (row.range) " " (row.unit) } "." }
                            @match &assumed {
                                Some((value, why)) if said.is_empty() => p { "Assumed: " (value) " (" (why) "). Write your own to replace it." },
                                _ if said.is_empty() => p { "Left out: " (row.default) "." },
                                _ => p { "Your own entry, " code { (path) } " in the file. Left out: " (row.default) "." },
                            }
                        }
                    }
                }
                @if let Some(message) = wrong { p.wrong id=(wrong_id) role="alert" { (message.text) } }
            }
        }
    }

    pub fn fields(&self, paths: &[&str]) -> Markup {
        html! { div.fields { @for path in paths { (self.field(path)) } } }
    }

    /// A button that takes an entry out of a list.
    pub fn out(&self, path: &str, words: &str) -> Markup {
        html! {
            form.inline method="post" action="/do/out" {
                (hidden(self.seen, self.view))
                input type="hidden" name="path" value=(path);
                (button(words, "quiet"))
            }
        }
    }

    /// A list of texts: a field for each, and an empty one.
    pub fn texts(&self, path: &str, new: &str, example: &str) -> Markup {
        let count = self.count(path);
        let id = format!("new-{}", path.replace('.', "-"));
        let wrong = self.wrong(path);
        html! {
            @for number in 0..count {
                @let one = format!("{path}[{number}]");
                div.entry { (self.labelled(&one, &format!("{} {}", label(path), number + 1))) (self.out(&one, "Take out")) }
            }
            form.entry method="post" action="/do/add" {
                (hidden(self.seen, self.view))
                input type="hidden" name="path" value=(path);
                label for=(id) { (new) }
                input type="text" id=(id) name="value" placeholder=(example) autocomplete="off" value=[wrong.map(|message| message.written.as_str())];
                (button("Add", ""))
                @if let Some(message) = wrong { p.wrong role="alert" { (message.text) } }
            }
        }
    }
}
