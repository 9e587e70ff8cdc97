//! Crops against months.

use super::table::{Align, Sheet, Tint};
use super::{Look, notes};
use crate::calendar::MONTH_HEADS;
use crate::output::season_words::{LEGEND, groups, letter, month_numbers, shortfall};
use crate::output::text::{fixed, month_runs, percent, short_date};
use crate::output::view::{SeasonCrop, SeasonMonth, SeasonState, SeasonView, Spread};

/// Crops against months in one-letter states, with a legend, the months in, and a reason for every no.
pub fn season(view: &SeasonView, look: &Look) -> String {
    let mut text = look.head(&format!("Crops against months, {}", view.place));
    text.push_str(&matrix(view, look));
    text.push_str(&months_in(view, look));
    text.push_str(&latest(view, look));
    text.push_str(&reasons(view, look));
    text.push_str(&notes(&view.notes, look));
    text
}

/// The latest safe sowings of the winter crops.
fn latest(view: &SeasonView, look: &Look) -> String {
    if view.latest.is_empty() {
        return String::new();
    }
    let mut sheet = Sheet::new(&[
        ("Winter crop", Align::Left),
        ("Way", Align::Left),
        ("9 years of 10", Align::Right),
        ("5 of 10", Align::Right),
        ("1 of 10", Align::Right),
        ("Stands, kg/m2", Align::Right),
        ("Lives", Align::Right),
    ]);
    for row in &view.latest {
        sheet.row(vec![
            row.crop.clone(),
            row.way.clone(),
            short_date(row.safe_in_9_of_10),
            short_date(row.safe_in_5_of_10),
            short_date(row.safe_in_1_of_10),
            fixed(row.standing_kg_m2.p50, 2),
            percent(row.survival, 0),
        ]);
    }
    let mut text =
        String::from("\nLatest sowing that is still big enough to stand through the dark weeks\n");
    text.push_str(&sheet.render(look));
    text.push_str("Stands: fresh mass when the dark weeks begin, median. Lives: share of years.\n");
    text
}

fn tint(state: SeasonState) -> Tint {
    match state {
        SeasonState::Pick => Tint::Good,
        SeasonState::Sow | SeasonState::Stand | SeasonState::Grow => Tint::None,
        SeasonState::No => Tint::Bad,
    }
}

fn matrix(view: &SeasonView, look: &Look) -> String {
    let mut sheet = Sheet::new(&[("Crop", Align::Left)]);
    for head in MONTH_HEADS {
        sheet.column(head, Align::Right);
    }
    for crop in &view.crops {
        let states = crop
            .months
            .iter()
            .map(|month| (letter(month).to_string(), tint(month.state)));
        sheet.tinted(
            std::iter::once((crop.name.clone(), Tint::None))
                .chain(states)
                .collect(),
        );
    }
    let mut text = sheet.render(look);
    text.push('\n');
    for (letter, meaning) in LEGEND {
        text.push_str(&format!("  {letter}  {meaning}\n"));
    }
    text
}

fn months_in(view: &SeasonView, look: &Look) -> String {
    let crops: Vec<&SeasonCrop> = view
        .crops
        .iter()
        .filter(|crop| crop.months_in.is_some())
        .collect();
    if crops.is_empty() {
        return String::new();
    }
    let heated = match view.heated_to_c {
        Some(celsius) => {
            let units = look.units;
            format!(
                "Heated to {} {}",
                fixed(units.temperature(celsius), 0),
                units.temperature_unit()
            )
        }
        None => "Heated".to_string(),
    };
    let mut sheet = Sheet::new(&[("Crop", Align::Left)]);
    for head in ["As it is", heated.as_str(), "Plain tunnel", "Outdoors"] {
        sheet.column(head, Align::Right);
    }
    let words = |spread: Option<Spread>| match spread {
        Some(spread) => {
            format!(
                "{} ({}-{})",
                fixed(spread.p50, 1),
                fixed(spread.p10, 1),
                fixed(spread.p90, 1)
            )
        }
        None => String::new(),
    };
    for crop in crops {
        let roofs = crop.months_in;
        sheet.row(vec![
            crop.name.clone(),
            words(roofs.as_is),
            words(roofs.heated),
            words(roofs.tunnel),
            words(roofs.outdoors),
        ]);
    }
    format!(
        "\nMonths in, plants alive in the bed: median (one year in ten lower - higher)\n{}",
        sheet.render(look)
    )
}

/// For each crop, the months of a no with the same cause, and what would turn them.
fn reasons(view: &SeasonView, look: &Look) -> String {
    let mut sheet = Sheet::new(&[
        ("Crop", Align::Left),
        ("Months", Align::Left),
        ("Cause", Align::Left),
        ("Short by", Align::Right),
        ("What would turn it", Align::Left),
    ]);
    let mut any = false;
    for crop in &view.crops {
        for (number, group) in groups(crop).iter().enumerate() {
            any = true;
            let name = if number == 0 {
                crop.name.clone()
            } else {
                String::new()
            };
            let first = group.first().map(|(_, month)| *month);
            let word = |of: fn(&SeasonMonth) -> &Option<String>| {
                first
                    .and_then(|month| of(month).clone())
                    .unwrap_or_default()
            };
            sheet.row(vec![
                name,
                month_runs(&month_numbers(group)),
                word(|month| &month.cause),
                shortfall(group, look.units),
                word(|month| &month.remedy),
            ]);
        }
    }
    if any {
        format!("\nWhy not\n{}", sheet.render(look))
    } else {
        String::new()
    }
}
