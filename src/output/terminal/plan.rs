//! The plan: beds through the weeks, plantings, weeks of food, gaps.

use chrono::{Datelike, NaiveDate};

use super::table::{Align, Sheet, Tint};
use super::{Look, notes};
use crate::calendar::WEEKS_PER_YEAR;
use crate::crops::COMES_THROUGH;
use crate::output::chances::{self, EATEN, MISSING, NO_RISK};
use crate::output::lanes::{Letters, Run, Strip, day_of_week, lanes, letters};
use crate::output::second_pass;
use crate::output::text::{clean, fixed, money_decimals, month_head, percent};
use crate::output::view::{GapRow, PlanView, PlantingRow, SecondPassView};

/// Width from which a planting's area, way and clearing day are shown too.
const WIDE: u16 = 112;
/// A week of the chart in which a bed is free.
const FREE: char = '·';
/// Characters of the bar that shows a week's food.
const BAR: f64 = 36.0;

/// The plan: its worth and gap, a chart of beds against weeks, the plantings, and what is missing.
pub fn plan(view: &PlanView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "Successions by bed, {}, from {}",
        view.place, view.start
    ));
    text.push_str(&look.prose(&worth(view)));
    text.push_str(&frontier(view, look));
    text.push_str(&chart(view, look));
    text.push_str(&plantings(view, look));
    text.push_str(&months(view, look));
    text.push_str(&risks(view));
    text.push_str(&gap_table(&view.gaps, look));
    if let Some(pass) = &view.second_pass {
        text.push_str(&own_leaves(pass, &view.currency, look));
    }
    text.push_str(&notes(&view.notes, look));
    text
}

fn worth(view: &PlanView) -> String {
    let currency = clean(&view.currency);
    let decimals = money_decimals(&[view.value, view.bound]);
    let years = if view.hard_winters {
        "the mean of the hard winters"
    } else {
        "the mean of the weather years"
    };
    let mut text = format!(
        "Worth {} {currency} on {years}",
        fixed(view.value, decimals)
    );
    text.push_str(&if view.bound.is_finite() {
        bounded(view, decimals)
    } else {
        "; the file says no bound.\n".to_owned()
    });
    if let Some(bound) = view.bound_of_kinds.filter(|_| view.value > 0.0) {
        text.push_str(&format!(
            "Of these {} kinds of crop no plan is worth more than {} ({} above).\n",
            view.kinds,
            fixed(bound, decimals),
            percent((bound - view.value) / bound, 1)
        ));
    }
    if let Some(spread) = view.replayed_value {
        let [low, median, high] =
            [spread.p10, spread.p50, spread.p90].map(|value| fixed(value, decimals));
        text.push_str(&format!(
            "Lived through each weather year, by the same measure: median {median} {currency}; eight years of ten: {low} to {high}.\n",
        ));
    }
    text
}

/// What simplicity costs: plans of fewer and of more kinds, the one taken marked.
fn frontier(view: &PlanView, look: &Look) -> String {
    let mut text = String::new();
    if let Some(former) = &view.former {
        text.push_str(&look.prose(&chances::former(former, &view.currency)));
    }
    if view.frontier.len() < 2 {
        return text;
    }
    let mass = format!("Eaten\n{}", look.units.mass_unit());
    let worth = format!("Middle year\n{}", clean(&view.currency));
    let mut sheet = Sheet::new(&[("", Align::Left)]);
    for head in [
        "\nKinds",
        "\nPlantings",
        "Sowing\ndays",
        "h a week,\nbusiest month",
        &mass,
        &worth,
        "Wishes\nmet %",
    ] {
        sheet.column(head, Align::Right);
    }
    for row in &view.frontier {
        sheet.row(vec![
            if row.chosen { "this plan" } else { "" }.to_owned(),
            row.kinds.to_string(),
            row.plantings.to_string(),
            row.sowing_days.to_string(),
            fixed(row.busiest_h_week, 1),
            fixed(look.units.mass(row.eaten_kg), 0),
            fixed(row.replayed_value_p50, 0),
            row.targets
                .map_or_else(String::new, |met| fixed(100.0 * met, 0)),
        ]);
    }
    text.push_str(&format!("\nWhat simplicity costs\n{}", sheet.render(look)));
    text.push_str(&look.prose(FRONTIER));
    text
}

/// What the frontier's heads mean.
const FRONTIER: &str = "Planting: one crop sown on one day for one kind of bed, in as many sections as it takes. `--kinds N` or \
                        `--simple few` takes another row.\n";

/// How far the best plan can be: in money, and as a share where the plan pays; a share of nothing means nothing.
fn bounded(view: &PlanView, decimals: usize) -> String {
    let bound = fixed(view.bound, decimals);
    let above = fixed((view.bound - view.value).max(0.0), decimals);
    if view.value > 0.0 {
        let share = percent(view.gap, 1);
        return format!("; no plan is worth more than {bound} ({above} or {share} above).\n");
    }
    let mut text = format!("; no plan is worth more than {bound} ({above} above).\n");
    if view.value < 0.0 {
        text.push_str(
            "It is below nothing because every wished kilogram that is missing counts as a loss.\n",
        );
    } else if view.bound <= 0.0 {
        text.push_str("No plan pays: nothing that could be sown is worth its seed.\n");
    }
    text
}

/// Beds against weeks: a crop's letter, small while it grows, capital in weeks of picking.
fn chart(view: &PlanView, look: &Look) -> String {
    let letters = letters(view);
    let mut charts = String::new();
    for block in 0..view.horizon_weeks.div_ceil(WEEKS_PER_YEAR) {
        let from = day_of_week(view.start, block * WEEKS_PER_YEAR);
        let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Right)]);
        sheet.row(vec![String::new(), month_line(from)]);
        for bed in lanes(view, from) {
            for (number, lane) in bed.lanes.iter().enumerate() {
                let name = if number == 0 { bed.bed } else { "" };
                sheet.row(vec![name.to_string(), lane_line(lane, &letters)]);
            }
        }
        charts.push_str(&format!("\n{}", sheet.render(look)));
    }
    let legend: Vec<String> = letters
        .values()
        .map(|(letter, name)| format!("{letter} {}", clean(name)))
        .collect();
    let circle = if view.repeats { CIRCLE } else { "" };
    let key = format!(
        "A line is one part of a bed. Small letter: in the bed; capital: weeks of picking; dot: free. {circle}{}",
        legend.join("; ")
    );
    format!("{charts}{}", look.prose(&key))
}

/// How a settled year closes.
const CIRCLE: &str = "Every year is planned alike: what grows over the year's end stands in its bed at the start too. ";

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

fn lane_line(lane: &[Strip], letters: &Letters) -> String {
    let mut line = [FREE; WEEKS_PER_YEAR];
    for strip in lane {
        let letter = letters
            .get(strip.row.crop.as_str())
            .map_or('+', |(letter, _)| *letter);
        draw(&mut line, &strip.used, letter);
        draw(&mut line, &strip.picked, letter.to_ascii_uppercase());
    }
    line.iter().collect()
}

fn draw(line: &mut [char], runs: &[Run], letter: char) {
    for (from, to) in runs {
        line.iter_mut()
            .take(*to)
            .skip(*from)
            .for_each(|slot| *slot = letter);
    }
}

/// The plantings under the name of their bed.
fn plantings(view: &PlanView, look: &Look) -> String {
    let wide = look.columns() >= WIDE;
    let mut sheet = Sheet::new(&[("Bed\n- crop", Align::Left)]);
    let area = format!("Area\n{}", look.units.area_unit());
    let mass = format!("Harvest\n{}", look.units.mass_unit());
    if wide {
        sheet.column(&area, Align::Right);
    }
    for head in ["\nSow", "\nSet out", "First\nharvest", "Last\nharvest"] {
        sheet.column(head, Align::Right);
    }
    if wide {
        sheet.column("\nClear", Align::Right);
    }
    sheet.column(&mass, Align::Right);
    if wide {
        sheet.column("Weather\n%", Align::Right);
    }
    sheet.column("Sure\n%", Align::Right);
    for bed in &view.beds {
        sheet.row(vec![bed.clone()]);
        for row in view
            .plantings
            .iter()
            .map(|planting| &planting.row)
            .filter(|row| row.bed == *bed)
        {
            sheet.row(planting_cells(row, wide, look));
        }
    }
    format!(
        "\n{}{}",
        sheet.render(look),
        look.prose(&format!("{PLANTINGS}\n{COMES_THROUGH}\n"))
    )
}

/// What the heads of the plantings mean.
const PLANTINGS: &str = "Harvest: mean of the years planned for. Sure: share of the weather years in which the planting comes \
                         through, gaps in the stand, pests and accidents included; weather: by the weather alone.";

fn planting_cells(row: &PlantingRow, wide: bool, look: &Look) -> Vec<String> {
    let day = |date: Option<NaiveDate>| date.map(|date| date.to_string()).unwrap_or_default();
    let mut cells = vec![format!("- {}", row.crop_name)];
    if wide {
        cells.push(fixed(look.units.area(row.area_m2), 1));
    }
    cells.extend([
        row.sow.to_string(),
        day(row.transplant),
        day(row.first_harvest),
        day(row.last_harvest),
    ]);
    if wide {
        cells.push(day(row.clear));
    }
    cells.push(fixed(look.units.mass(row.harvest_kg), 1));
    if wide {
        cells.push(fixed(row.survival * 100.0, 0));
    }
    cells.push(fixed(row.in_all * 100.0, 0));
    cells
}

/// Month by month: what one year in ten falls short of, the middle, what one in ten exceeds.
fn months(view: &PlanView, look: &Look) -> String {
    let mass = look.units.mass_unit();
    let wide = look.columns() >= WIDE;
    let mut spreads = vec![format!("Eaten {mass}"), clean(&view.currency)];
    if wide {
        spreads.insert(0, format!("Picked {mass}"));
    }
    let mut sheet = Sheet::new(&[("\nMonth", Align::Left)]);
    for spread in &spreads {
        sheet.column(&format!("{spread}\n10 %"), Align::Right);
        sheet.column("\n50 %", Align::Right);
        sheet.column("\n90 %", Align::Right);
    }
    sheet.column("Foods\na week", Align::Right);
    sheet.column("Empty\n%", Align::Right);
    for row in &view.months {
        sheet.row(chances::month_cells(row, look.units, wide));
    }
    format!(
        "\nMonth by month: one year in ten is below 10 %, one above 90 %\n{}{}",
        sheet.render(look),
        look.prose(&format!("{EATEN}\n{}\n", chances::variety(view)))
    )
}

/// What the plan's own leaves changed.
fn own_leaves(pass: &SecondPassView, currency: &str, look: &Look) -> String {
    let mut sheet = Sheet::new(&[("", Align::Left)]);
    for month in 1..=12 {
        sheet.column(month_head(month), Align::Right);
    }
    for row in second_pass::rows(pass) {
        sheet.row(row);
    }
    format!(
        "\n{}\n{}{}",
        second_pass::CAPTION,
        sheet.render(look),
        look.prose(&format!(
            "{}\n",
            second_pass::outcome(pass, currency, look.units)
        ))
    )
}

/// The plantings most likely lost.
fn risks(view: &PlanView) -> String {
    let lines = chances::risks(view);
    if lines.is_empty() {
        return format!("\n{NO_RISK}\n");
    }
    let mut text = "\nLeast likely to come through\n".to_string();
    for line in lines {
        text.push_str(&format!("- {line}\n"));
    }
    text
}

/// Wishes that are not met.
pub(super) fn gap_table(gaps: &[GapRow], look: &Look) -> String {
    if gaps.is_empty() {
        return "\nEvery wish is met in every week.\n".to_string();
    }
    let missing = format!("Missing\n{}", look.units.mass_unit());
    let mut sheet = Sheet::new(&[
        ("From", Align::Right),
        ("To", Align::Right),
        ("Food", Align::Left),
        (missing.as_str(), Align::Right),
        ("Cause", Align::Left),
        ("What would close it", Align::Left),
    ]);
    for gap in gaps {
        sheet.row(vec![
            gap.from.to_string(),
            gap.to.to_string(),
            gap.food.clone(),
            fixed(look.units.mass(gap.missing_kg), 1),
            look.units.say(&gap.cause),
            look.units.say(&gap.remedy),
        ]);
    }
    format!(
        "\nWishes that are not met\n{}{}",
        sheet.render(look),
        look.prose(MISSING)
    )
}

/// The week's food against the wish: one line a week, with a bar.
pub fn weeks(view: &PlanView, look: &Look) -> String {
    let mass = look.units.mass_unit();
    let heads = [
        format!("Food\n{mass}"),
        format!("Wish\n{mass}"),
        "Foods\n".to_string(),
    ];
    let mut sheet = Sheet::new(&[("Week of\n", Align::Right)]);
    for head in &heads {
        sheet.column(head, Align::Right);
    }
    sheet.column("█ food, ░ missing to the wish\n", Align::Left);
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
            (week.start.to_string(), Tint::None),
            (
                fixed(look.units.mass(week.food_kg), 1),
                if short { Tint::Warn } else { Tint::None },
            ),
            (fixed(look.units.mass(week.wish_kg), 1), Tint::None),
            (week.foods.to_string(), Tint::None),
            ("█".repeat(food) + &"░".repeat(missing), Tint::None),
        ]);
    }
    format!(
        "{}{}",
        look.head("The week's food against the wish"),
        sheet.render(look)
    )
}
