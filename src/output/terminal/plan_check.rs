//! A plan changed by hand against what it was.

use super::draw::{LINES, fullest};
use super::plan::gap_table;
use super::table::{Align, Sheet};
use super::{Look, warnings};
use crate::output::answer::shortfalls;
use crate::output::text::{clean, fixed, joined};
use crate::output::view::{ChangeRow, PlanCheckView, SwapRow, SwapsView};

/// Changes smaller than this are not listed, kg or money.
const SHOWN_FROM: f64 = 0.005;

/// What a change by hand does to food, money and rules; every week in which a target is not met where all is asked for.
pub fn plan_check(view: &PlanCheckView, all: bool, look: &Look) -> String {
    let mut text = look.head(&format!("The plan against what it was, {}", view.project));
    let [low, median, high] = [
        view.replayed_value.p10,
        view.replayed_value.p50,
        view.replayed_value.p90,
    ]
    .map(|value| fixed(value, 0));
    text.push_str(&look.prose(&format!(
        "Over the weather years: {median} {} in the middle year, {low} to {high} in eight of ten.\nBefore and now, money in the middle year, food in the mean of the years:\n",
        clean(&view.currency)
    )));
    text.push_str(&changes(view, look));
    if let Some(best) = &view.best_alike {
        text.push_str(&look.prose(&format!(
            "{} kinds, {} plantings. The best plan found with no more kinds: {} kinds, {} plantings, median {} {}.\n",
            view.kinds,
            view.plantings_to_do,
            best.kinds,
            best.plantings,
            fixed(best.replayed_value_p50, 0),
            clean(&view.currency)
        )));
        if all {
            text.push_str(&gains(view, &view.gains, look));
        }
    }
    text.push_str(&list(
        "Rules broken",
        &view.broken,
        "No rule is broken.",
        look,
    ));
    text.push_str(&list(
        "Sowings that come through too seldom",
        &view.doubtful,
        "Every sowing comes through in four years of five or more.",
        look,
    ));
    text.push_str(&warnings(&view.warnings, look));
    if all {
        text.push_str(&gap_table(&view.gaps, look));
        return text;
    }
    let short = shortfalls(&view.gaps, look.units).join(" ");
    let short = look.prose(&format!("\nShort: {short}\nMore: --all."));
    // Of the changes that gain most, as many as there is room for.
    let room = LINES.saturating_sub(text.lines().count() + short.lines().count());
    let first = |count: usize| gains(view, &view.gains[..count], look);
    let gains = fullest(1..=view.gains.len(), room, first);
    text + &gains.unwrap_or_default() + &short
}

fn gains(view: &PlanCheckView, gains: &[SwapRow], look: &Look) -> String {
    let head = "Single changes that gain most, each tried";
    swaps_table(head, gains, (&view.currency, true), look)
}

/// What else could be in a plan, with what it is worth.
pub fn swaps(view: &SwapsView, all: bool, look: &Look) -> String {
    let mut text = look.head(&format!("Why it is so: {}", clean(&view.question)));
    if !view.swaps.is_empty() || view.not_offered.is_empty() {
        text.push_str(&swaps_table(
            "What would change, the rest of the plan as it is, and what the middle year would gain or lose by it (the choice also weighs \
             missing targets and your time)",
            &view.swaps,
            (&view.currency, all),
            look,
        ));
    }
    for why in &view.not_offered {
        text.push_str(&look.prose(&format!("{}.\n", clean(why))));
    }
    let cut = |row: &SwapRow| few(&row.out) != row.out || few(&row.put) != row.put;
    if !all && view.swaps.iter().any(cut) {
        text.push_str(&look.prose("More: --all names every sowing.\n"));
    }
    text
}

/// Sowings that a change names before it counts the others (own choice).
const NAMED: usize = 3;

/// The first sowings of a list, and how many more there are.
fn few(list: &str) -> String {
    let sowings: Vec<&str> = list.split("; ").collect();
    match sowings.get(..NAMED) {
        Some(first) if sowings.len() > NAMED + 1 => {
            format!("{}; {} more", first.join("; "), sowings.len() - NAMED)
        }
        _ => list.to_owned(),
    }
}

fn swaps_table(
    head: &str,
    swaps: &[SwapRow],
    (currency, all): (&str, bool),
    look: &Look,
) -> String {
    if swaps.is_empty() {
        return format!("\n{head}: none\n");
    }
    let shown = |list: &str| match all {
        true => clean(list).to_string(),
        false => clean(&few(list)).to_string(),
    };
    let asked = swaps.iter().any(|swap| !swap.of.is_empty());
    let mut sheet = Sheet::new(&[]);
    if asked {
        sheet.column("If", Align::Left);
    }
    sheet.column("Goes out", Align::Left);
    sheet.column("Comes in", Align::Left);
    sheet.column(&format!("Middle year\n{}", clean(currency)), Align::Right);
    for swap in swaps {
        let mut cells = Vec::new();
        if asked {
            cells.push(clean(&swap.of).to_string());
        }
        cells.extend([
            shown(&swap.out),
            shown(&swap.put),
            signed(swap.replayed_p50_change, 0),
        ]);
        sheet.row(cells);
    }
    format!(
        "\n{}{}",
        look.prose(&format!("{head}:")),
        sheet.render(look)
    )
}

/// With its sign, where what is shown has one.
fn signed(change: f64, decimals: usize) -> String {
    let shown = fixed(change, decimals);
    let is_more = shown.bytes().any(|digit| (b'1'..=b'9').contains(&digit)) && change > 0.0;
    if is_more { format!("+{shown}") } else { shown }
}

fn changes(view: &PlanCheckView, look: &Look) -> String {
    let mut sheet = Sheet::new(&[
        ("", Align::Left),
        ("Before", Align::Right),
        ("Now", Align::Right),
        ("Change", Align::Right),
        ("", Align::Left),
    ]);
    let money = |row: &&ChangeRow| row.unit != "kg";
    let moved = |row: &&ChangeRow| row.change.is_none_or(|change| change.abs() >= SHOWN_FROM);
    let shown = view.changes.iter().filter(|row| money(row) || moved(row));
    for row in shown {
        let shown = |value: f64| look.units.convert(value, &row.unit);
        let amount = |value: f64| fixed(shown(value).0, 2);
        let change = row.change.map(|change| signed(shown(change).0, 2));
        sheet.row(vec![
            clean(&row.what),
            row.before.map(amount).unwrap_or_default(),
            amount(row.after),
            change.unwrap_or_default(),
            clean(shown(0.0).1),
        ]);
    }
    sheet.render(look)
}

fn list(head: &str, lines: &[String], none: &str, look: &Look) -> String {
    if lines.is_empty() {
        return format!("{none}\n");
    }
    let rows = joined(lines, "\n", |line| format!("- {}", clean(line)));
    format!("\n{head}\n{}", look.prose(&rows))
}
