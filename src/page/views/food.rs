//! What will we eat: targets and shortfalls first, the weeks, and how much effort it may be.

use maud::{Markup, html};

use super::field::{Fields, button, hidden};
use super::{View, simple, state_of};
use crate::output::html::part;
use crate::output::text::{fixed, short_date};
use crate::output::units::Units;
use crate::output::view::PlanView;
use crate::page::answers::Need;
use crate::page::ask::Planned;
use crate::page::desk::Seen;
use crate::plan::PlanFile;

/// The view.
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
                @if let Some(plan) = plan { (simple::draw(plan, seen.units)) }
                (fields.fields(&["household.simple", "household.hours_a_week", "household.sowings_a_week", "household.trays", "household.rotation", "year.winter"]))
            }
        }
    }
}

/// Rules shown at most.
const RULES_SHOWN: usize = 3;

/// A plan that no longer fits the house as it now is.
pub fn broken(planned: &Planned, units: Units) -> Markup {
    let remarks = planned
        .study
        .found
        .remarks
        .iter()
        .map(|remark| units.say(remark));
    let rules: Vec<String> = remarks
        .filter(|words| words.starts_with("a rule is broken"))
        .collect();
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
                        (fixed(units.mass(gap.missing_kg), 1)) " " (units.mass_unit()) " missing"
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
                form.inline method="post" action="/do/stop" { (hidden(seen, view)) (button("Stop", "")) }
            } @else {
                @if seen.draft.now.plan.is_some() {
                    form.inline method="post" action="/do/mend" { (hidden(seen, view)) (button("Mend the plan", "")) }
                }
                form.inline method="post" action="/do/search" { (hidden(seen, view)) (button("Plan anew", "")) }
                span.quiet { " Mending changes as little as it can. The new plan is shown beside this one; you choose." }
            }
            @if let Some(plan) = &seen.draft.now.plan { (locked(seen, plan)) }
        }
    }
}

fn locked(seen: &Seen, plan: &PlanFile) -> Markup {
    let count = plan
        .plantings
        .iter()
        .filter(|one| {
            seen.draft
                .now
                .locked
                .contains(&crate::page::plan::key_of(one))
        })
        .count();
    html! { @if count > 0 { p.quiet { @if count == 1 { "One locked sowing stays" } @else { (count) " locked sowings stay" } " where they are in a new plan." } } }
}
