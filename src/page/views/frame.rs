//! The frame around every view: questions, messages, and what is not saved.

use maud::{DOCTYPE, Markup, html};

use super::View;
use super::field::{act, button, hidden};
use crate::output::units::Units;
use crate::page::desk::Seen;
use crate::page::draft::{KeyChange, Line, key_changes, lines};

pub fn page(seen: &Seen, view: View, inner: &Markup) -> Markup {
    let title = format!("{} {}", view.question(), seen.ready.job.project.name);
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                link rel="stylesheet" href="/style.css";
                script src="/script.js" defer {}
            }
            body {
                a.skip href="#answer" { "To the answer" }
                div id="sheet" data-version=(seen.tick.version) { (inner) }
                p id="gone" role="alert" hidden {
                    b { "The program has ended." } " Nothing is lost: start it again with "
                    code { "bedyear open " (seen.name) } " and open the address that it prints."
                }
                noscript { p.quiet { "Without script the page can be read; to change something, allow scripts for this address." } }
            }
        }
    }
}

/// What is replaced when something changes.
pub fn inner(seen: &Seen, view: View, content: &Markup) -> Markup {
    html! {
        header.top {
            p.project { b { (seen.ready.job.project.name) } " " span.quiet { (seen.ready.job.site.place.name) " · " (seen.name) } }
            nav aria-label="Questions" {
                ul {
                    @for one in View::ALL {
                        li { a href=(one.path()) aria-current=[(one == view).then_some("page")] { (one.question()) } }
                    }
                }
            }
            (bar(seen, view))
        }
        main id="answer" tabindex="-1" data-version=(seen.tick.version) {
            h1 { (view.question()) }
            (told(seen, view))
            (content)
        }
        footer {
            form method="post" action="/do/units" {
                (hidden(seen, view))
                label for="units" { "Units " }
                select id="units" name="units" data-now {
                    option value="si" selected[seen.units == Units::Si] { "metric" }
                    option value="us" selected[seen.units == Units::Us] { "US" }
                }
            }
            form method="post" action="/do/end" { (hidden(seen, view)) (button("End the program", "quiet")) }
            p { "bedyear " (env!("CARGO_PKG_VERSION")) ". The page runs on this machine alone and asks nothing of the network. Figures are estimates of a model: keep a thermometer with an alarm." }
        }
    }
}

/// Steps back and forth, what is not saved, what is being worked out.
fn bar(seen: &Seen, view: View) -> Markup {
    let draft = &seen.draft;
    let changes = draft.changes().len() + usize::from(draft.plan_is_changed());
    html! {
        div.bar {
            form method="post" action="/do/undo" {
                (hidden(seen, view))
                button type="submit" disabled[draft.can_undo().is_none()] title=[draft.can_undo().map(|what| format!("Take back: {what}"))] { "Undo" }
            }
            form method="post" action="/do/redo" {
                (hidden(seen, view))
                button type="submit" disabled[draft.can_redo().is_none()] title=[draft.can_redo().map(|what| format!("Again: {what}"))] { "Redo" }
            }
            @if changes > 0 || seen.is_new {
                a.unsaved href="/changes" {
                    @if seen.is_new { "Not saved yet" }
                    @else { (changes) @if changes == 1 { " change" } @else { " changes" } " not saved" }
                }
                form method="post" action="/do/save" { (hidden(seen, view)) (button("Save", "main")) }
            } @else { span.quiet { "Saved" } }
            span.doing id="doing" role="status" { @if !seen.tick.doing.is_empty() { (seen.tick.doing) " …" } }
            progress id="progress" max="100" value="0" aria-label="How far the search is" hidden {}
        }
    }
}

/// Messages, a file that changed on disk, changes of an earlier time.
fn told(seen: &Seen, view: View) -> Markup {
    html! {
        @if let Some(message) = seen.message.as_ref().filter(|message| message.path.is_empty()) {
            p role="status" class=(if message.bad { "trouble" } else { "done" }) { (message.text) }
        }
        @if seen.on_disk.is_some() {
            div.trouble role="alert" {
                p { b { "The file was changed on disk" } " while changes on this page are not saved. Nothing is written over it until you choose:" }
                (act(seen, view, "lay-over", "Lay my changes over the file on disk", "main"))
                (act(seen, view, "take-disk", "Take the file on disk, drop mine", ""))
                (act(seen, view, "save-over", "Write mine over the file on disk", ""))
                p { a href="/changes" { "Compare both" } }
            }
        }
        @if let Some(text) = &seen.unsaved {
            div.note-box {
                p { b { "Changes that were not saved the last time" } " are still there:" }
                ul {
                    @for change in key_changes(&seen.draft.now.text, text) { li { (in_words(&change)) } }
                }
                (act(seen, view, "unsaved", "Take them up", "main"))
                (act(seen, view, "forget-unsaved", "Throw them away", ""))
            }
        }
    }
}

/// One change: `Glazing: triple-wall-16mm, was double-film`.
fn in_words(change: &KeyChange) -> Markup {
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

/// What is not saved: in words, as lines, and against a file that changed meanwhile.
pub fn changes(seen: &Seen) -> Markup {
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
                (as_lines(&lines(&draft.saved.text, &draft.now.text)))
            }
        }
        @if draft.plan_is_changed() { p { "The plan is written into a file of its own beside it." } }
        @if draft.is_changed() || seen.is_new {
            (act(seen, View::Changes, "save", "Save", "main"))
        }
        @if !changes.is_empty() && !seen.is_new {
            (act(seen, View::Changes, "drop", "Throw the changes of the file away", ""))
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
            @for (sign, text) in lines {
                span class=(match sign { '+' => "in", '-' => "gone", _ => "stays" }) { (sign) " " (text) "\n" }
            }
        }
    }
}
