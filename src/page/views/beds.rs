//! Which bed, when: the lanes, one planting at a time with what can be done to it, and the effect before it is kept.

use maud::{Markup, html};

use super::field::{act, button, hidden};
use super::lanes::{draw, in_words};
use super::{View, food, state_of};
use crate::output::html::part;
use crate::output::text::{fixed, short_date};
use crate::output::view::{ChangeRow, PlanCheckView, PlantingRow};
use crate::page::answers::{Offer, Replanned};
use crate::page::ask::Planned;
use crate::page::desk::Seen;
use crate::page::plan::{find, key_of, key_of_row};
use crate::study;

pub fn view(seen: &Seen) -> Markup {
    let slot = &seen.answers.plan;
    let at = seen.query.get("at").map_or("", String::as_str);
    let show = (at, "lanes", !slot.rough && seen.offer.is_none());
    html! {
        (state_of(seen, slot))
        @if let Some(planned) = &slot.value {
            (food::answer(&planned.view))
            (food::broken(planned, seen.units))
            (food::planning(seen, View::Beds))
            (offer(seen, View::Beds))
            @if seen.offer.is_none() {
                p.quiet { "Choose a sowing to move it, change its bed, end it early, lock it or take it out. With a mouse or a finger it can be dragged to another week or bed." }
                (draw(seen, &planned.view, show))
                (dragging(seen))
                @if !slot.rough {
                    (chosen(seen, planned, at))
                    (sow_more(seen, planned))
                }
            }
            details id="plantings" {
                summary { "All sowings as a table, months and risks" }
                (part::plan(&planned.view, seen.units))
            }
        } @else { (food::planning(seen, View::Beds)) }
    }
}

fn dragging(seen: &Seen) -> Markup {
    html! {
        form id="drag" method="post" action="/do/try" hidden {
            (hidden(seen, View::Beds))
            input type="hidden" name="kind" value="move";
            input type="hidden" name="at";
            input type="hidden" name="bed";
            input type="hidden" name="sow";
        }
    }
}

/// The planting that is looked at.
fn chosen(seen: &Seen, planned: &Planned, at: &str) -> Markup {
    let mut rows = planned.view.plantings.iter().map(|one| &one.row);
    let row = rows.find(|row| key_of_row(row) == at);
    let place = find(&planned.file, at);
    let (Some(row), Some(place)) = (row, place) else {
        return html! {};
    };
    let locked = seen.draft.now.locked.contains(at);
    html! {
        section.chosen id="chosen" tabindex="-1" aria-labelledby="chosen-head" {
            h2 id="chosen-head" { (row.crop_name) " in " (row.bed) }
            p { (in_words(row, seen.units)) "." }
            form.inline method="post" action="/do/lock" {
                (hidden(seen, View::Beds))
                input type="hidden" name="at" value=(at);
                (button(if locked { "Unlock" } else { "Lock" }, ""))
            }
            @if locked { p.quiet { "A locked sowing is left where it is." } }
            @else { (changes(seen, planned, row, place)) }
        }
    }
}

fn try_form(seen: &Seen, (kind, words): (&str, &str), at: &str, content: Markup) -> Markup {
    html! {
        form.entry method="post" action="/do/try" {
            (hidden(seen, View::Beds))
            input type="hidden" name="kind" value=(kind);
            input type="hidden" name="at" value=(at);
            (content)
            (button(words, ""))
        }
    }
}

/// Words of the button that tries a change.
const EFFECT: &str = "Show the effect";

fn changes(seen: &Seen, planned: &Planned, row: &PlantingRow, place: usize) -> Markup {
    let at = key_of_row(row);
    let file = &planned.file;
    let tray = row.transplant.is_some();
    let count = file.plantings.get(place).map_or(1, |one| one.patches.len());
    let asked = (row.bed.as_str(), row.crop.as_str(), tray);
    let mut days = study::openings(&planned.study, file, asked, count, Some(place));
    days.retain(|day| day.patches.len() == count);
    let is_other = |key: String| key != at && !seen.draft.now.locked.contains(&key);
    let others = file.plantings.iter().filter(|one| is_other(key_of(one)));
    let others: Vec<_> = others.collect();
    let name = |crop: &str| seen.ready.job.table.name_of(crop);
    html! {
        (try_form(seen, ("move", EFFECT), &at, html! {
            label for="move-day" { "Sow it on another day" }
            select id="move-day" name="sow" { @for day in &days { option value=(day.sow) selected[(0..7).contains(&(row.sow - day.sow).num_days())] { (short_date(day.sow)) " " (day.sow.format("%Y")) } } }
        }))
        (try_form(seen, ("move", EFFECT), &at, html! {
            label for="move-bed" { "Into another bed" }
            input type="hidden" name="sow" value=(row.sow);
            select id="move-bed" name="bed" { @for bed in planned.view.beds.iter().filter(|bed| **bed != row.bed) { option value=(bed) { (bed) } } }
        }))
        @if !others.is_empty() {
            (try_form(seen, ("swap", EFFECT), &at, html! {
                label for="swap-with" { "Change beds with" }
                select id="swap-with" name="with" { @for one in &others { option value=(key_of(one)) { (name(&one.crop)) ", " (one.bed) ", sown " (short_date(one.sow)) } } }
            }))
        }
        @let ends = early_ends(row);
        @if !ends.is_empty() {
            (try_form(seen, ("end", EFFECT), &at, html! {
                label for="end-day" { "End it early: bed free on" }
                select id="end-day" name="sow" { @for day in &ends { option value=(day) { (short_date(*day)) " " (day.format("%Y")) } } }
            }))
        }
        (try_form(seen, ("remove", "Take it out"), &at, html! {}))
    }
}

/// Days a week apart, before the usual one, on which the bed may be cleared; the latest first.
fn early_ends(row: &PlantingRow) -> Vec<chrono::NaiveDate> {
    /// Shortest stay that is offered, weeks (own choice).
    const LEAST_WEEKS: i64 = 3;
    let from = row.transplant.unwrap_or(row.sow) + chrono::Duration::weeks(LEAST_WEEKS);
    let Some(clear) = row.clear else {
        return Vec::new();
    };
    let earlier = (1..).map(|weeks| clear - chrono::Duration::weeks(weeks));
    earlier.take_while(|day| *day >= from).collect()
}

/// A new sowing: bed, then crop, then a day on which it works.
fn sow_more(seen: &Seen, planned: &Planned) -> Markup {
    let asked = |key: &str| seen.query.get(key).map_or("", String::as_str);
    let (bed, crop) = (asked("bed"), asked("crop"));
    let crops = study::crops_for(&planned.study, bed);
    let mut beds = planned.view.beds.iter().zip(&planned.view.bed_patches);
    let patches = beds.find(|(name, _)| *name == bed).map_or(0, |of| *of.1);
    let openings = match crop.split_once('|') {
        Some((id, way)) => {
            let asked = (bed, id, way == "tray");
            study::openings(&planned.study, &planned.file, asked, patches as usize, None)
        }
        None => Vec::new(),
    };
    html! {
        details.more id="sow-more" open[!bed.is_empty()] {
            summary { "Sow something more" }
            form.entry method="get" action="/beds" {
                label for="more-bed" { "Bed" }
                select id="more-bed" name="bed" data-now {
                    option value="" { "choose a bed" }
                    @for name in &planned.view.beds { option value=(name) selected[name == bed] { (name) } }
                }
                @if !crops.is_empty() {
                    label for="more-crop" { "Crop" }
                    select id="more-crop" name="crop" data-now {
                        option value="" { "choose a crop" }
                        @for (id, name, tray) in &crops {
                            @let value = format!("{id}|{}", if *tray { "tray" } else { "direct" });
                            option value=(value) selected[value == crop] { (name) @if *tray { ", from a tray" } @else { ", sown in the bed" } }
                        }
                    }
                }
                (button("Show", "quiet"))
            }
            @if !crop.is_empty() {
                @if openings.is_empty() { p { "Nothing of that bed is free at a time at which this comes through." } }
                @else {
                    (try_form(seen, ("add", EFFECT), "", html! {
                        input type="hidden" name="bed" value=(bed);
                        input type="hidden" name="crop" value=(crop);
                        label for="more-day" { "Sow on" }
                        select id="more-day" name="sow" { @for day in &openings { option value=(day.sow) { (short_date(day.sow)) " " (day.sow.format("%Y")) ", " (day.patches.len()) " of " (patches) " sections free" } } }
                        label for="more-parts" { "Parts of the bed" }
                        select id="more-parts" name="patches" { @for part in 1..=patches { option value=(part) { (part) } } }
                    }))
                }
            }
        }
    }
}

/// A plan that waits for a yes or a no, with its effect.
pub fn offer(seen: &Seen, view: View) -> Markup {
    let Some(offer) = &seen.offer else {
        return html! {};
    };
    html! {
        section.offer id="offer" tabindex="-1" aria-labelledby="offer-head" {
            h2 id="offer-head" { "Keep this?" }
            p { b { (offer.what) } }
            @if let Some(effect) = &offer.effect { (effect_of(effect, seen)) }
            @if let Some(replan) = &offer.replan { (replanned(replan)) } @else { (gone(seen, offer)) }
            (act(seen, view, "keep", "Keep it", "main"))
            (act(seen, view, "leave", "Leave it as it was", ""))
            @if let Some(planned) = &offer.planned {
                (draw(seen, &planned.view, ("", "lanes-new", false)))
                @if let Some(former) = &seen.answers.plan.value {
                    details id="former" { summary { "The plan as it was" } (draw(seen, &former.view, ("", "lanes-former", false))) }
                }
            }
        }
    }
}

/// Locked sowings that the offered plan does not have.
fn gone(seen: &Seen, offer: &Offer) -> Markup {
    let there: Vec<String> = offer.file.plantings.iter().map(key_of).collect();
    let locked = seen.draft.now.locked.iter();
    let gone: Vec<&String> = locked.filter(|key| !there.contains(key)).collect();
    html! {
        @if !gone.is_empty() {
            p.trouble { b { "It does without locked sowings: " } @for (at, key) in gone.iter().enumerate() { @if at > 0 { "; " } (key.replace('|', ", ")) } }
        }
    }
}

fn effect_of(effect: &PlanCheckView, seen: &Seen) -> Markup {
    let units = seen.units;
    let moved = |change: &&ChangeRow| change.change.is_some_and(|by| by.abs() > 0.005);
    let changes: Vec<_> = effect.changes.iter().filter(moved).collect();
    let amount = |value: f64, unit: &str| {
        let (value, unit) = units.convert(value, unit);
        let decimals = usize::from(unit == "kg" || unit == "lb");
        format!("{} {unit}", fixed(value, decimals))
    };
    html! {
        @if !effect.broken.is_empty() {
            p.trouble { b { "It breaks a rule: " } @for (at, rule) in effect.broken.iter().enumerate() { @if at > 0 { "; " } (rule) } "." }
        }
        @for doubt in &effect.doubtful { p.trouble { (doubt) "." } }
        @if changes.is_empty() { p { "Food and money stay as they are." } }
        @else {
            div.scroll tabindex="0" role="region" aria-label="Table: effect" {
                table {
                    caption { span { "What it changes in a year" } }
                    thead { tr { td {} th.number scope="col" { "before" } th.number scope="col" { "after" } th.number scope="col" { "change" } } }
                    tbody { @for change in changes { tr {
                        th scope="row" { (change.what) }
                        td.number { (change.before.map(|value| amount(value, &change.unit)).unwrap_or_default()) }
                        td.number { (amount(change.after, &change.unit)) }
                        td.number { @if change.change.unwrap_or(0.0) > 0.0 { "+" } (change.change.map(|value| amount(value, &change.unit)).unwrap_or_default()) }
                    } } }
                }
            }
        }
        @if let Some(planned) = &seen.answers.plan.value {
            p.quiet { "Stretches of weeks in which a target is missed: " (effect.gaps.len()) ", now " (planned.view.gaps.len()) "." }
        }
    }
}

fn replanned(replan: &Replanned) -> Markup {
    let view = &replan.view;
    html! {
        p { (view.kept) " sowings stay as agreed; " (view.changes.len()) " change. Keeping it makes the plan begin on " (replan.from) ", with what then stands in the beds written into the file." }
        ul {
            @for change in &view.changes {
                li { b { (change.change) ": " } (change.crop_name) " in " (change.bed) ", sown " (change.sow) span.quiet { "; " (change.why) } }
            }
        }
    }
}
