//! The plan against what was done.

use super::table::{Align, Sheet, Tint};
use super::{Look, notes};
use crate::output::text::{fixed, month_head, percent, short_date};
use crate::output::view::{FollowedRow, KgReviewRow, ReviewView, WorkRow};
use chrono::Datelike;

/// Totals, what needs an eye, work ahead, then month by month and bed by bed.
pub fn review(view: &ReviewView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "Plan and journal, {}, {} to {}",
        view.place, view.from, view.at
    ));
    text.push_str(&look.prose(&totals(view, look)));
    text.push_str(&eye(&view.plantings, look));
    text.push_str(&work(&view.work, look));
    text.push_str(&money(view, look));
    text.push_str(&kg(&view.kg, look));
    text.push_str(&notes(&view.notes, look));
    text
}

fn totals(view: &ReviewView, look: &Look) -> String {
    let mass = |kg: f64| {
        format!(
            "{} {}",
            fixed(look.units.mass(kg), 1),
            look.units.mass_unit()
        )
    };
    let money = |amount: f64| format!("{} {}", fixed(amount, 0), view.currency);
    let to_date = &view.to_date;
    let share = to_date.share.map_or_else(String::new, |share| {
        format!(", {} of it", percent(share, 1))
    });
    format!(
        "Picked {} of {} planned by now. Saved {} of {} planned by now; the produce budget of these days is {}{share}. \
         Paid for the garden: {}.\nThe journal has {} rows in use, {} left out.\n",
        mass(view.picked_kg),
        mass(view.planned_kg),
        money(to_date.saved),
        money(to_date.planned),
        money(to_date.budget),
        money(to_date.paid),
        view.rows_used,
        view.rows_bad,
    )
}

/// Plantings that are ready, late or lost.
fn eye(plantings: &[FollowedRow], look: &Look) -> String {
    let mut sheet = Sheet::new(&[
        ("", Align::Key),
        ("Bed", Align::Left),
        ("Crop", Align::Left),
        ("Planned", Align::Right),
        ("Sown", Align::Right),
        ("Days late", Align::Right),
        ("", Align::Left),
    ]);
    let mut any = false;
    for row in plantings {
        let (tint, words) = match (row.state.as_str(), row.day) {
            ("ready", Some(day)) => (Tint::Good, format!("since {}", short_date(day))),
            ("lost", Some(day)) => (Tint::Bad, format!("{} {}", short_date(day), row.cause)),
            ("not sown", _) => (Tint::Warn, String::new()),
            ("growing", ready) if row.behind_days > 0.0 => {
                let words = ready.map_or_else(
                    || "never ready in the usual year".to_string(),
                    |day| format!("ready {}", short_date(day)),
                );
                (Tint::Warn, words)
            }
            _ => continue,
        };
        any = true;
        let day = |day: Option<chrono::NaiveDate>| day.map(short_date).unwrap_or_default();
        sheet.tinted(vec![
            (row.state.clone(), tint),
            (row.bed.clone(), Tint::None),
            (row.crop_name.clone(), Tint::None),
            (day(row.planned_sow), Tint::None),
            (day(row.sown), Tint::None),
            (fixed(row.behind_days, 0), Tint::None),
            (words, Tint::None),
        ]);
    }
    if any {
        format!("\nReady, late, lost\n{}", sheet.render(look))
    } else {
        String::new()
    }
}

fn work(rows: &[WorkRow], look: &Look) -> String {
    if rows.is_empty() {
        return "\nNothing to do in the two weeks ahead.\n".to_string();
    }
    let mut sheet = Sheet::new(&[
        ("Due", Align::Right),
        ("", Align::Left),
        ("Bed", Align::Left),
        ("Crop", Align::Left),
        ("Area", Align::Right),
        ("Expected", Align::Right),
    ]);
    for row in rows {
        let late = if row.late_days > 0 { ", late" } else { "" };
        sheet.row(vec![
            short_date(row.due),
            format!("{}{late}", row.task),
            row.bed.clone(),
            row.crop_name.clone(),
            format!(
                "{} {}",
                fixed(look.units.area(row.area_m2), 1),
                look.units.area_unit()
            ),
            row.harvest_kg.map_or_else(String::new, |kg| {
                format!(
                    "{} {}",
                    fixed(look.units.mass(kg), 1),
                    look.units.mass_unit()
                )
            }),
        ]);
    }
    format!("\nTwo weeks ahead\n{}", sheet.render(look))
}

fn money(view: &ReviewView, look: &Look) -> String {
    let mut sheet = Sheet::new(&[
        ("Month", Align::Key),
        ("Planned", Align::Right),
        ("Saved", Align::Right),
        ("Paid", Align::Right),
        ("Budget", Align::Right),
    ]);
    for row in &view.money {
        sheet.row(vec![
            month_head(row.month.month()).to_string(),
            fixed(row.planned, 0),
            fixed(row.saved, 0),
            fixed(row.paid, 0),
            fixed(row.budget, 0),
        ]);
    }
    format!("\nMoney, in {}\n{}", view.currency, sheet.render(look))
}

fn kg(rows: &[KgReviewRow], look: &Look) -> String {
    let unit = look.units.mass_unit();
    let mut sheet = Sheet::new(&[
        ("Month", Align::Key),
        ("Bed", Align::Left),
        ("Crop", Align::Left),
        ("Planned", Align::Right),
        ("Picked", Align::Right),
    ]);
    /// Amounts below this on both sides are no row for people, kg.
    const LEAST_KG: f64 = 0.05;
    for row in rows {
        if row.planned_kg < LEAST_KG && row.picked_kg < LEAST_KG {
            continue;
        }
        sheet.row(vec![
            month_head(row.month.month()).to_string(),
            row.bed.clone(),
            row.crop.clone(),
            fixed(look.units.mass(row.planned_kg), 1),
            fixed(look.units.mass(row.picked_kg), 1),
        ]);
    }
    format!(
        "\nBy month, bed and crop, in {unit}\n{}",
        sheet.render(look)
    )
}
