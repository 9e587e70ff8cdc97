//! The plan: its worth, beds through the weeks, what falls short.

use chrono::{Datelike, NaiveDate};
use comfy_table::Color;

use super::draw::lines;
use super::table::{Align, Sheet};
use super::{Look, draw, notes};
use crate::calendar::WEEKS_PER_YEAR;
use crate::output::answer::{self, Line, risks, short_of_targets};
use crate::output::lanes::{Run, Strip, codes, day_of_week, lanes};
use crate::output::tables;
use crate::output::text::{clean, fixed, joined, money_decimals, month_head, percent, short_date};
use crate::output::view::{FormerView, Note, NoteKind, PlanView, SecondPassView};

/// A week of the chart in which a section is free, one in which a crop stands, one of picking.
const FREE: char = '·';
const STANDING: char = '─';
const PICKING: char = '█';
/// Characters of the bar that shows a week's food.
const BAR: f64 = 36.0;

/// What the plan is worth and asks for, a chart of beds against weeks, and what falls short.
pub fn plan(view: &PlanView, look: &Look) -> String {
    let mut text = look.head(&format!("Bed plan, {}, from {}", view.place, view.start));
    text.push_str(&look.prose(&worth(view)));
    text.push_str(&lines(
        &[
            Line::new("Effort", vec![effort(view)]),
            Line::new("Short", short_of_targets(view, look.units)),
            Line::new("Risks", risks(view)),
            Line::new("Others", frontier(view)),
        ],
        look,
    ));
    text.push_str(&chart(view, look));
    let warned = |note: &&Note| note.kind == NoteKind::Warning;
    let warnings = notes(view.notes.iter().filter(warned), look);
    text.push_str(warnings.trim_start_matches('\n'));
    text
}

/// What to know of a plan.
pub fn plan_notes(view: &PlanView, look: &Look) -> String {
    let mut text = look.prose(&searched(view));
    if let Some(pass) = &view.second_pass {
        text.push_str(&own_leaves(pass, &view.currency, look));
    }
    text.push_str(&notes(&view.notes, look));
    text
}

fn worth(view: &PlanView) -> String {
    let currency = clean(&view.currency);
    let decimals = money_decimals(&[view.replaced.p50]);
    let money = |amount: f64| fixed(amount, decimals);
    let beyond = if view.beyond.p90 > 0.0 {
        format!(
            " Eaten beyond that, counted apart: {} {currency} at shop prices.",
            money(view.beyond.p50)
        )
    } else {
        String::new()
    };
    format!(
        "Replaces {} {currency} of bought food in the middle year, {} to {} in eight years of ten.{beyond}\n",
        money(view.replaced.p50),
        money(view.replaced.p10),
        money(view.replaced.p90)
    )
}

/// What it asks of the hands.
fn effort(view: &PlanView) -> String {
    let hours = view.frontier.iter().find(|row| row.chosen);
    let hours = hours.map_or_else(String::new, |row| {
        format!("; up to {} h a week", fixed(row.busiest_h_week, 1))
    });
    format!(
        "{} kinds, {} plantings, {} sowing days{hours}.",
        view.kinds, view.plantings_to_do, view.sowing_days
    )
}

/// What the search found by its own measure, and how much better another plan could be by it.
fn searched(view: &PlanView) -> String {
    let years = if view.hard_winters {
        "hard winters"
    } else {
        "years"
    };
    format!(
        "What the search weighs, mean of the {years}, after seed and what is missing to the targets: {} {}{}\n",
        fixed(view.value, money_decimals(&[view.value])),
        clean(&view.currency),
        bounded(view)
    )
}

/// What became of a former plan, and what fewer or more kinds would bring.
fn frontier(view: &PlanView) -> Vec<String> {
    let former = view.former.as_ref();
    let former = former.map(|former| kept(former, &view.currency));
    let mut said: Vec<String> = former.into_iter().collect();
    let others = view.frontier.iter().filter(|row| !row.chosen);
    let others = joined(others.enumerate(), ", ", |(number, row)| {
        let kinds = if number == 0 { " kinds of crop" } else { "" };
        let soon = match row.early {
            0 => String::new(),
            1 => " but with too little rest in 1 section".to_owned(),
            early => format!(" but with too little rest in {early} sections"),
        };
        format!("{} with {}{kinds}{soon}", fixed(row.replaced, 0), row.kinds)
    });
    if !others.is_empty() {
        said.push(format!("Replaced instead: {others} (--kinds N takes one)."));
    }
    said
}

/// What became of a former plan, in a sentence.
fn kept(former: &FormerView, currency: &str) -> String {
    let gain = format!("{} {}", fixed(former.new_plan_gains, 0), clean(currency));
    let kept = percent(former.kept, 0);
    match (former.taken, former.whole) {
        (true, true) => format!(
            "The former plan stays as it was: the best new one found would be worth {gain} more (`--anew` takes it)."
        ),
        (true, false) => format!(
            "{kept} of the former plan's bed-weeks stay; the best new one found would be worth {gain} more (`--anew` takes it)."
        ),
        (false, _) => format!(
            "A new plan: worth {gain} more than the former one as it would be mended; {kept} of its bed-weeks stay."
        ),
    }
}

/// Below this the plan counts as the best found, in the household's currency (own choice).
const NEARLY: f64 = 0.5;

/// How near it is proven to be to the best plan.
fn bounded(view: &PlanView) -> String {
    if !view.bound.is_finite() {
        return "; how much better a plan could be is not known.".to_owned();
    }
    let reached = |gap: f64| percent(1.0 - gap, 0);
    let all = reached(view.gap);
    let proven = match view.gap_of_kinds {
        Some(of_kinds) => format!(
            "{} with these kinds of crop, {all} with any",
            reached(of_kinds)
        ),
        None => all,
    };
    let given_up = view.searched - view.value;
    if given_up < NEARLY {
        return format!(". Of what the best plan could add to bare beds it has at least {proven}.");
    }
    format!(
        ". By that count the best plan found is worth {} more, and has at least {proven}, of what the best could add to bare beds; this one is worth more as the years are lived.",
        fixed(given_up, money_decimals(&[view.value]))
    )
}

/// Beds against weeks: a crop's code where it enters, then a thin line while it stands and a thick one while it is picked.
fn chart(view: &PlanView, look: &Look) -> String {
    let mut charts = String::new();
    for block in 0..view.horizon_weeks.div_ceil(WEEKS_PER_YEAR) {
        let from = day_of_week(view.start, block * WEEKS_PER_YEAR);
        let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Right), ("", Align::Right)]);
        sheet.row(vec![String::new(), String::new(), month_line(from)]);
        for bed in lanes(view, from) {
            for (number, lane) in bed.lanes.iter().enumerate() {
                let name = if number == 0 { bed.bed } else { "" };
                sheet.row(vec![
                    name.to_string(),
                    lane.sections.clone(),
                    lane_line(&lane.strips),
                ]);
            }
        }
        charts.push_str(&format!("\n{}", sheet.render(look)));
    }
    if view.beds.is_empty() {
        return "\n".to_owned();
    }
    let legend = joined(codes(view), "; ", |(code, name)| {
        format!("{code} {}", clean(name))
    });
    let end = if legend.is_empty() { "" } else { "." };
    let key = format!(
        "A line is a section of a bed: {STANDING} in the bed, {PICKING} picked, {FREE} free. {}{legend}{end}\n",
        circle(view)
    );
    format!("{charts}{}", look.prose(&key))
}

/// How a year that repeats closes, and when its first picking is for who begins with empty beds.
fn circle(view: &PlanView) -> String {
    if !view.repeats {
        return String::new();
    }
    let first = view
        .plantings
        .iter()
        .filter_map(|one| one.row.first_harvest)
        .min();
    let first = first.map_or_else(String::new, |day| {
        format!(
            "; who begins with empty beds picks nothing before {}",
            short_date(day)
        )
    });
    format!("The year repeats itself{first}.\n")
}

/// Heads of the months over the weeks in which they begin.
fn month_line(start: NaiveDate) -> String {
    let mut line = vec![' '; WEEKS_PER_YEAR];
    let mut last = 0;
    for week in 0..WEEKS_PER_YEAR {
        let month = day_of_week(start, week).month();
        let fits = week + 3 <= WEEKS_PER_YEAR && day_of_week(start, week + 2).month() == month;
        if month != last && fits {
            for (slot, letter) in line.iter_mut().skip(week).zip(month_head(month).chars()) {
                *slot = letter;
            }
        }
        last = month;
    }
    line.into_iter().collect()
}

fn lane_line(strips: &[Strip]) -> String {
    let mut line = [FREE; WEEKS_PER_YEAR];
    for strip in strips {
        draw_run(&mut line, &strip.used, STANDING);
        draw_run(&mut line, &strip.picked, PICKING);
    }
    // Codes last: one crop may be cleared in the week in which the next one enters.
    for strip in strips {
        for (from, to) in &strip.used {
            let room = line.iter_mut().take(*to).skip(*from);
            for (slot, letter) in room.zip(strip.row.code.chars()) {
                *slot = letter;
            }
        }
    }
    line.iter().collect()
}

fn draw_run(line: &mut [char], runs: &[Run], mark: char) {
    for (from, to) in runs {
        line.iter_mut()
            .take(*to)
            .skip(*from)
            .for_each(|slot| *slot = mark);
    }
}

/// What the plan's own leaves changed.
fn own_leaves(pass: &SecondPassView, currency: &str, look: &Look) -> String {
    let mut sheet = Sheet::new(&[("", Align::Left)]);
    for month in 1..=12 {
        sheet.column(month_head(month), Align::Right);
    }
    for (name, months) in [
        ("file", &pass.assumed_leaf_area),
        ("plan", &pass.own_leaf_area),
    ] {
        let areas = months.iter().map(|area| fixed(*area, 1));
        sheet.row(std::iter::once(name.to_owned()).chain(areas).collect());
    }
    format!(
        "\nLeaf area that shades and breathes in the building, per area of bed\n{}{}",
        sheet.render(look),
        look.prose(&answer::own_leaves(pass, currency, look.units))
    )
}

/// Targets that are not met.
pub(super) fn gap_table(gaps: &[crate::output::view::GapRow], look: &Look) -> String {
    if gaps.is_empty() {
        return "\nEvery target is met in every week.\n".to_string();
    }
    format!("\n{}", draw(&tables::gaps(gaps), look))
}

/// The week's food against the target: one line a week, with a bar.
pub fn weeks(view: &PlanView, look: &Look) -> String {
    let mass = look.units.mass_unit();
    let heads = [
        format!("Food\n{mass}"),
        format!("Target\n{mass}"),
        "Foods\n".to_string(),
    ];
    let mut sheet = Sheet::new(&[("Week of\n", Align::Right)]);
    for head in &heads {
        sheet.column(head, Align::Right);
    }
    sheet.column("█ food, ░ missing to the target\n", Align::Left);
    let rows = || view.weeks.iter().map(|week| &week.row);
    let most = rows()
        .map(|week| week.food_kg.max(week.wish_kg))
        .fold(0.0, f64::max);
    for week in rows() {
        let length = |kg: f64| {
            if most > 0.0 {
                (kg / most * BAR).round() as usize
            } else {
                0
            }
        };
        let food = length(week.food_kg);
        let missing = length(week.wish_kg).saturating_sub(food);
        let short = week.food_kg < week.wish_kg;
        sheet.tinted(vec![
            (week.start.to_string(), None),
            (
                fixed(look.units.mass(week.food_kg), 1),
                short.then_some(Color::Yellow),
            ),
            (fixed(look.units.mass(week.wish_kg), 1), None),
            (week.foods.to_string(), None),
            ("█".repeat(food) + &"░".repeat(missing), None),
        ]);
    }
    format!(
        "{}{}",
        look.head("The week's food against the target"),
        sheet.render(look)
    )
}
