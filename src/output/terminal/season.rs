//! Crops against months.

use super::table::{Align, Sheet, Tint};
use super::{Look, notes};
use crate::calendar::MONTH_HEADS;
use crate::crops::COMES_THROUGH;
use crate::output::season_words::{
    LEGEND, STAYS, groups, letter, month_numbers, months_words, shortfall, stay,
};
use crate::output::text::{fixed, month_runs, percent, short_date};
use crate::output::view::{SeasonCrop, SeasonState, SeasonView};

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

/// What the heads of the latest sowings mean.
const LATEST: &str = "9 years of 10: sown by that day it is big enough in nine years of ten. Stands: what is then in the \
                      bed when the dark weeks begin, median. The last columns: share of the years in which the sowing safe in \
                      nine of ten comes through, by the weather alone and with gaps in the stand, pests and accidents.";

/// The latest safe sowings of the winter crops.
fn latest(view: &SeasonView, look: &Look) -> String {
    if view.latest.is_empty() {
        return String::new();
    }
    let (_, per_area) = look.units.convert(0.0, "kg/m2");
    let stands = format!("Stands\n{per_area}");
    let differ = view
        .latest
        .iter()
        .any(|row| row.beds != view.latest[0].beds);
    let mut sheet = Sheet::new(&[("Winter crop", Align::Left)]);
    if differ {
        sheet.column("Beds", Align::Left);
    }
    for (head, align) in [
        ("Way", Align::Left),
        ("9 years\nof 10", Align::Right),
        ("5\nof 10", Align::Right),
        ("1\nof 10", Align::Right),
        (stands.as_str(), Align::Right),
        ("Sure by\nweather", Align::Right),
        ("Sure\nin all", Align::Right),
    ] {
        sheet.column(head, align);
    }
    for row in &view.latest {
        let mut cells = vec![row.crop_name.clone()];
        if differ {
            cells.push(row.beds.clone());
        }
        cells.extend([
            row.way.clone(),
            short_date(row.safe_in_9_of_10),
            short_date(row.safe_in_5_of_10),
            short_date(row.safe_in_1_of_10),
            fixed(look.units.convert(row.standing_kg_m2.p50, "kg/m2").0, 2),
            percent(row.survival, 0),
            percent(row.in_all, 0),
        ]);
        sheet.row(cells);
    }
    let mut text =
        String::from("\nLatest sowing that is still big enough to stand through the dark weeks\n");
    text.push_str(&sheet.render(look));
    text.push_str(&look.prose(&format!("{LATEST}\n{COMES_THROUGH}\n")));
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
    for crop in crops {
        let (roofs, stays) = (crop.months_in, crop.stay);
        sheet.row_of_two(
            &[
                crop.name.clone(),
                months_words(roofs.as_is),
                months_words(roofs.heated),
                months_words(roofs.tunnel),
                months_words(roofs.outdoors),
            ],
            &[
                String::new(),
                stay(stays.as_is),
                stay(stays.heated),
                stay(stays.tunnel),
                stay(stays.outdoors),
            ],
        );
    }
    format!(
        "\nMonths in, plants alive in the bed: median (one year in ten lower - higher)\n{}{}",
        sheet.render(look),
        look.prose(STAYS)
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
            let cause = first.and_then(|month| month.cause.as_ref());
            let remedy = first.and_then(|month| month.remedy.clone());
            sheet.row(vec![
                name,
                month_runs(&month_numbers(group)),
                cause.map_or_else(String::new, |cause| look.units.say(cause)),
                shortfall(group, look.units),
                remedy.unwrap_or_default(),
            ]);
        }
    }
    if any {
        format!("\nWhy not\n{}", sheet.render(look))
    } else {
        String::new()
    }
}
