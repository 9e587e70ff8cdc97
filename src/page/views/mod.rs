//! What the page shows: plain questions along the top, each with its answer first.

mod beds;
mod cold;
mod drawing;
mod field;
mod food;
mod frame;
mod lanes;
mod money;
mod setup;
mod stay;
mod take;
mod week;

use maud::{Markup, html};

use super::answers::{Need, Slot};
use super::desk::Seen;
use crate::output::text::fixed;

pub use field::is_key;
pub use take::take_away;

pub const SCRIPT: &str = include_str!("script.js");

/// The page's style: that of the report, and what only the page has.
pub fn style() -> String {
    format!(
        "{}\n{}",
        crate::output::html::STYLE,
        include_str!("style.css")
    )
}

/// The questions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    Setup,
    Cold,
    Food,
    Beds,
    Stay,
    Money,
    Week,
    Take,
    Changes,
}

impl View {
    /// Those along the top, in order.
    pub const ALL: [View; 8] = [
        View::Setup,
        View::Cold,
        View::Food,
        View::Beds,
        View::Stay,
        View::Money,
        View::Week,
        View::Take,
    ];

    /// The view of a name in an address.
    pub fn named(name: &str) -> Option<Self> {
        let mut all = Self::ALL.into_iter().chain([View::Changes]);
        all.find(|view| view.path().trim_start_matches('/') == name)
    }

    pub fn path(self) -> &'static str {
        match self {
            View::Setup => "/",
            View::Cold => "/cold",
            View::Food => "/food",
            View::Beds => "/beds",
            View::Stay => "/stay",
            View::Money => "/money",
            View::Week => "/week",
            View::Take => "/take",
            View::Changes => "/changes",
        }
    }

    pub fn question(self) -> &'static str {
        match self {
            View::Setup => "Where, what, who?",
            View::Cold => "How cold does it get?",
            View::Food => "What will we eat?",
            View::Beds => "Which bed, when?",
            View::Stay => "How long can it stay?",
            View::Money => "Does it pay?",
            View::Week => "This week",
            View::Take => "Take away",
            View::Changes => "What is not saved",
        }
    }

    /// What it wants to know; the year inside comes with whatever rests on it.
    pub fn needs(self) -> &'static [Need] {
        match self {
            View::Changes => &[],
            View::Setup | View::Cold => &[Need::Climate],
            View::Food | View::Beds | View::Take => &[Need::Plan],
            View::Stay => &[Need::Season],
            View::Money => &[Need::Plan, Need::Value],
            View::Week => &[Need::Plan, Need::Review],
        }
    }
}

/// A view as a whole page, or its inner part alone.
pub fn render(seen: &Seen, view: View, part: bool) -> Markup {
    let content = match view {
        View::Setup => setup::view(seen),
        View::Cold => cold::view(seen),
        View::Food => food::view(seen),
        View::Beds => beds::view(seen),
        View::Stay => stay::view(seen),
        View::Money => money::view(seen),
        View::Week => week::view(seen),
        View::Take => take::view(seen),
        View::Changes => frame::changes(seen),
    };
    let inner = frame::inner(seen, view, &content);
    if part {
        inner
    } else {
        frame::page(seen, view, &inner)
    }
}

fn one(value: f64) -> String {
    fixed(value, 1)
}

/// What to say while an answer is not there, or is a first one.
fn state_of<T>(seen: &Seen, slot: &Slot<T>) -> Markup {
    let stale = slot.revision != seen.draft.revision;
    html! {
        @if let Some(error) = &slot.error {
            p.trouble role="alert" { b { "This cannot be worked out: " } (error) "." }
        } @else if slot.value.is_none() {
            p.waiting role="status" { "Being worked out …" }
        } @else if stale {
            p.waiting role="status" { "From before the last change; the new answer is being worked out …" }
        } @else if slot.rough {
            p.waiting role="status" { b { "Rough" } ", from " (super::ask::ROUGH_YEARS) " weather years; the full answer follows." }
        }
    }
}
