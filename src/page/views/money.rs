//! Does it pay: saved, spent and left, against the budget, and what can be changed about it.

use maud::{Markup, html};

use super::field::Fields;
use super::{View, state_of};
use crate::output::answer::{Account, first_year};
use crate::output::build::shares;
use crate::output::html::part;
use crate::output::text::fixed;
use crate::output::view::ValueView;
use crate::page::desk::Seen;

pub fn view(seen: &Seen) -> Markup {
    let fields = Fields::new(seen, View::Money);
    let slot = &seen.answers.value;
    html! {
        (state_of(seen, slot))
        @if let Some(view) = &slot.value { (answer(view, slot.before.as_deref())) }
        div.beside.knobs {
            div {
                @if let Some(view) = &slot.value {
                    h2 { "Month by month" }
                    (part::money(view, seen.units))
                    (part::notes(&view.notes, seen.units))
                }
            }
            section aria-labelledby="knobs" {
                h2 id="knobs" { "Budget, prices and costs" }
                p.quiet { "A change of price counts anew; the house is not simulated again for it." }
                (fields.fields(&["money.currency", "money.groceries", "money.produce", "money.electricity", "money.fuel", "money.water", "money.compost",
                    "money.upkeep", "money.cover", "money.cover_life", "money.building", "money.life", "money.discount", "money.receipts"]))
            }
        }
    }
}

fn answer(view: &ValueView, before: Option<&ValueView>) -> Markup {
    let year = Account::of(&view.year);
    let currency = &view.currency;
    let was = before.map(|old| Account::of(&old.year));
    let was = was.filter(|old| (old.left - year.left).abs() >= 0.5);
    let shares = shares(view);
    html! {
        p.answer {
            "What is eaten from the beds would have cost " b { (year.said(year.saved)) " " (currency) } " in the middle year; running it costs " (year.said(year.spent))
            ", so " b { (year.said(year.left.abs())) " " (currency) } @if year.left < 0.0 { " is lost" } @else { " is left" }
            @if let Some(old) = was { span.was { " (was " (old.said(old.left)) ")" } } "." (first_year(view))
            @if !shares.is_empty() { " That is " (shares) "." }
            @match &view.with_building {
                Some(life) => { " The building " @match life.simple_years { Some(years) => { "is paid back in " b { (fixed(years, 0)) " years" } "." }, None => { b { "is not paid back" } " by it." } } },
                None => { " What the building cost is not in the file." },
            }
        }
    }
}
