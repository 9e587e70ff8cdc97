//! What is not saved: in words, as lines, and against a file that changed meanwhile.

use maud::{Markup, html};

use super::View;
use super::field::{button, hidden};
use crate::page::desk::Seen;
use crate::page::draft::{KeyChange, Line, key_changes, lines};

/// One change: `Glazing: triple-wall-16mm, was double-film`.
pub fn in_words(change: &KeyChange) -> Markup {
    html! {
        b { (change.what) ": " }
        @match (&change.is, &change.was) {
            (Some(is), Some(was)) => { (is) span.quiet { ", was " (was) } },
            (Some(is), None) => { (is) span.quiet { ", new" } },
            (None, Some(was)) => { "taken out" span.quiet { ", was " (was) } },
            (None, None) => {},
        }
    }
}

/// The view.
pub fn view(seen: &Seen) -> Markup {
    let draft = &seen.draft;
    let changes = draft.changes();
    html! {
        p.answer {
            @if seen.is_new { "There is no file " code { (seen.name) } " yet: saving makes it." }
            @else if !draft.is_changed() { "Everything is saved." }
            @else { "Saving writes these changes into " code { (seen.name) } "; comments and order of the file stay as they are." }
        }
        @if !seen.is_new && !changes.is_empty() {
            section {
                h2 { "In words" }
                ul { @for change in &changes { li { (in_words(change)) } } }
            }
            section {
                h2 { "As lines of the file" }
                (as_lines(&draft.lines()))
            }
        }
        @if draft.plan_is_changed() { p { "The plan is written into a file of its own beside it." } }
        @if draft.is_changed() || seen.is_new {
            form.inline method="post" action="/do/save" { (hidden(seen, View::Changes)) (button("Save", "main")) }
        }
        @if !changes.is_empty() && !seen.is_new {
            form.inline method="post" action="/do/drop" { (hidden(seen, View::Changes)) (button("Throw the changes of the file away", "")) }
        }
        @if let Some(there) = &seen.on_disk {
            section {
                h2 { "Changed on disk meanwhile" }
                ul { @for change in key_changes(&draft.saved.text, there) { li { (in_words(&change)) } } }
                (as_lines(&lines(&draft.saved.text, there)))
            }
        }
    }
}

fn as_lines(lines: &[Line]) -> Markup {
    html! {
        pre.lines tabindex="0" aria-label="Changed lines" {
            @for line in lines {
                span class=(match line.sign { '+' => "in", '-' => "gone", _ => "stays" }) { (line.sign) " " (line.text) "\n" }
            }
        }
    }
}
