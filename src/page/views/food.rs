//! What will we eat: targets and shortfalls first, the weeks, and how much effort it may be.

use maud::{Markup, html};

use super::field::{Fields, act};
use super::{View, one, state_of};
use crate::output::html::part;
use crate::output::text::{fixed, short_date};
use crate::output::units::Units;
use crate::output::view::{FrontierRow, PlanView};
use crate::page::answers::Need;
use crate::page::ask::Planned;
use crate::page::desk::Seen;
use crate::page::plan::key_of;
use crate::plan::PlanFile;

pub fn view(seen: &Seen) -> Markup {
    let fields = Fields::new(seen, View::Food);
    let slot = &seen.answers.plan;
    let plan = slot.value.as_ref().map(|planned| &planned.view);
    html! {
        (state_of(seen, slot))
        @if let Some(planned) = &slot.value { (answer(&planned.view)) (broken(planned, seen.units)) }
        (planning(seen, View::Food))
        (super::beds::offer(seen, View::Food))
        div.beside.knobs {
            div {
                @if let Some(plan) = plan {
                    (shortfalls(plan, seen.units))
                    h2 { "Week by week" }
                    (part::targets(plan, seen.units))
                    details id="food-by-food" { summary { "Food by food" } (part::foods(plan, seen.units)) }
                    (part::notes(&plan.notes, seen.units))
                }
            }
            section aria-labelledby="knobs" {
                h2 id="knobs" { "What you ask for" }
                (fields.texts("household.want", "A new target", "1 kg kale a week from October to April"))
                h2 { "How much work it may be" }
                @if let Some(plan) = plan { (simple(plan, seen.units)) }
                (fields.fields(&["household.simple", "household.hours_a_week", "household.sowings_a_week", "household.trays", "household.rotation", "year.winter"]))
            }
        }
    }
}

const RULES_SHOWN: usize = 3;

/// A plan that no longer fits the house as it now is.
pub fn broken(planned: &Planned, units: Units) -> Markup {
    let remarks = planned.study.found.remarks.iter();
    let remarks = remarks.map(|remark| units.say(remark));
    let rules = remarks.filter(|words| words.starts_with("a rule is broken"));
    let rules: Vec<String> = rules.collect();
    html! {
        @if !rules.is_empty() {
            div.trouble role="alert" {
                p { b { "This plan no longer fits the project as it now is." } " Mend the plan, or take back what changed." }
                ul { @for rule in rules.iter().take(RULES_SHOWN) { li { (rule) } } }
                @if rules.len() > RULES_SHOWN { p.quiet { "and " (rules.len() - RULES_SHOWN) " more of the kind." } }
            }
        }
    }
}

/// Targets met and missed.
pub fn answer(plan: &PlanView) -> Markup {
    let mut foods: Vec<&str> = Vec::new();
    for gap in &plan.gaps {
        if !foods.contains(&gap.food.as_str()) {
            foods.push(&gap.food);
        }
    }
    html! {
        p.answer {
            @if plan.gaps.is_empty() { b { "Every target is met in every week" } ", on the mean of the weather years." }
            @else {
                b { @for (at, food) in foods.iter().enumerate() { @if at > 0 { @if at + 1 == foods.len() { " and " } @else { ", " } } (food) } }
                @if foods.len() == 1 { " falls short in some weeks" } @else { " fall short in some weeks" }
                "; the rest of what you ask for is met."
            }
            " On the table stand " (fixed(plan.foods_week.p50, 0)) " different foods in a usual week"
            @if plan.any_empty_week > 0.005 { "; one year in " (fixed(1.0 / plan.any_empty_week, 0)) " has a week with nothing" } "."
            " It takes " (plan.plantings.len()) " sowings in the year."
        }
    }
}

fn shortfalls(plan: &PlanView, units: Units) -> Markup {
    html! {
        @if !plan.gaps.is_empty() {
            ul.gaps {
                @for gap in &plan.gaps {
                    li {
                        b { (gap.food) } ", " (short_date(gap.from)) " to " (short_date(gap.to)) ": "
                        (units.said(gap.missing_kg, "kg", 1)) " missing"
                        @if !gap.cause.is_empty() { ", " (units.say(&gap.cause)) } ". "
                        @if !gap.remedy.is_empty() { span.quiet { (units.say(&gap.remedy)) "." } }
                        @if !gap.house.is_empty() { span.quiet { " With another house: " (units.say(&gap.house)) "." } }
                    }
                }
            }
        }
    }
}

/// Plans anew, or ends the search.
pub fn planning(seen: &Seen, view: View) -> Markup {
    let searches = [Need::Mend, Need::Search, Need::Replan];
    let searching = searches.iter().any(|need| seen.needs.contains(need));
    let first = seen.draft.now.plan.is_none() && seen.needs.contains(&Need::Plan);
    html! {
        div.planning {
            @if searching || first {
                p.waiting role="status" { "A plan is being searched for. Stop takes the best so far." }
                (act(seen, view, "stop", "Stop", ""))
            } @else {
                @if seen.draft.now.plan.is_some() {
                    (act(seen, view, "mend", "Mend the plan", ""))
                }
                (act(seen, view, "search", "Plan anew", ""))
                span.quiet { " Mending changes as little as it can. The new plan is shown beside this one; you choose." }
            }
            @if let Some(plan) = &seen.draft.now.plan { (locked(seen, plan)) }
        }
    }
}

fn locked(seen: &Seen, plan: &PlanFile) -> Markup {
    let locked = &seen.draft.now.locked;
    let plantings = plan.plantings.iter();
    let count = plantings
        .filter(|one| locked.contains(&key_of(one)))
        .count();
    html! { @if count > 0 { p.quiet { @if count == 1 { "One locked sowing stays" } @else { (count) " locked sowings stay" } " where they are in a new plan." } } }
}

/// Width of the drawing, units of its own: about one a pixel on a phone.
const WIDTH: f64 = 340.0;
/// Height of one plan: its words, and its bar.
const ROW: f64 = 40.0;
const WORDS: f64 = 17.0;
const BAR: f64 = 14.0;
/// Room right of the longest bar for its figure.
const FIGURE: f64 = 70.0;

/// How simple may it be: plans of few and of many kinds of crop, as bars of what they bring; nothing where only one plan is known.
fn simple(plan: &PlanView, units: Units) -> Markup {
    let rows = &plan.frontier;
    if rows.len() < 2 {
        return html! {};
    }
    let most = rows.iter().map(|row| row.eaten_kg).fold(0.0, f64::max);
    let mass = |row: &FrontierRow| units.said(row.eaten_kg, "kg", 0);
    let short = |row: &FrontierRow| {
        let this = if row.chosen { " (this plan)" } else { "" };
        let (kinds, hours) = (row.kinds, one(row.busiest_h_week));
        format!("{kinds} kinds, {hours} h in the busiest week{this}")
    };
    let words = |row: &FrontierRow| {
        format!(
            "{}: {} sowings on {} days bring {} to the table in the middle year and replace {} {}",
            short(row),
            row.plantings,
            row.sowing_days,
            mass(row),
            fixed(row.replaced, 0),
            plan.currency
        )
    };
    html! {
        figure id="simple" {
            figcaption { "What more kinds of crop bring to the table, and what they ask for" }
            div.plot tabindex="0" role="group" aria-label="How simple: arrow keys read the values" {
                svg.simple viewBox={ "0 0 " (WIDTH) " " (one(ROW * rows.len() as f64)) } role="img" aria-labelledby="simple-title" {
                    title id="simple-title" { @for row in rows { (words(row)) ". " } }
                    @for (number, row) in rows.iter().enumerate() {
                        @let y = ROW * number as f64;
                        @let wide = (WIDTH - FIGURE) * row.eaten_kg / most.max(f64::MIN_POSITIVE);
                        text.row-name.mine[row.chosen] x="0" y=(one(y + WORDS - 4.0)) { (short(row)) }
                        rect.simple-bar.mine[row.chosen] x="0" y=(one(y + WORDS)) width=(one(wide)) height=(BAR) {}
                        text.row-name x=(one(wide + 4.0)) y=(one(y + WORDS + BAR - 3.0)) { (mass(row)) }
                    }
                    g.spots { @for (number, row) in rows.iter().enumerate() {
                        rect.spot x="0" y=(one(ROW * number as f64)) width=(WIDTH) height=(ROW) { title { (words(row)) } }
                    } }
                }
            }
            output.reading { "Point at a plan, or use the arrow keys, to read what it asks for and brings." }
        }
    }
}
