//! One sowing followed.

use super::Look;
use super::draw::lines;
use crate::crops::COMES_THROUGH;
use crate::output::answer::Line;
use crate::output::text::{fixed, percent, short_date};
use crate::output::view::{ExplainMonth, ExplainView, NoteKind};
use crate::phrase::{Phrase, amount, bare, phrase};
use chrono::{Datelike, NaiveDate};

/// What one sowing brings, how sure it is, its days, and what to watch.
pub fn explain(view: &ExplainView, look: &Look) -> String {
    let way = match view.way.as_str() {
        "tray" => "in trays",
        _ => "in the bed",
    };
    let under = match view.bed_climate.as_str() {
        bare if bare == crate::profile::BARE => "without a cover".to_owned(),
        "edge" => "at the edge, without a cover".to_owned(),
        cover => format!("under {cover}"),
    };
    let mut text = look.head(&format!(
        "{} sown {way} on {}, {} {under}, {}",
        view.name,
        day(view.sow, None),
        match view.bed.as_str() {
            "" => "bed",
            bed => bed,
        },
        view.place
    ));
    let said = |kind: NoteKind| -> Vec<String> {
        let notes = view.notes.iter().filter(|note| note.kind == kind);
        notes
            .map(|note| capital(&look.units.say(&note.text)))
            .collect()
    };
    let watch = said(NoteKind::Warning).into_iter().chain(carbon(view));
    text.push_str(&lines(
        &[
            Line::new("Picked", vec![look.units.say(&picked(view))]),
            Line::new("Odds", sure(view)),
            Line::new("Days", vec![days(view, look)]),
            Line::new("Watch", watch.collect()),
            Line::new("Else", said(NoteKind::Note)),
        ],
        look,
    ));
    text
}

/// What stands behind the figures.
pub fn explain_notes(view: &ExplainView, look: &Look) -> String {
    let grows = phrase![
        format!(
            "\nFollowed in {}. Young leaf area grows by {} % a day at best temperature ({}); the first picking is at ",
            view.followed,
            fixed(100.0 * view.leaf_rate_per_day, 0),
            view.leaf_rate_from
        ),
        amount(view.ready_kg_m2, "kg/m2", 2),
        format!(".\n{COMES_THROUGH}\n")
    ];
    look.prose(&look.units.say(&grows))
}

/// What the house's want of carbon dioxide takes while it stands, each month by its light; none where that is little.
fn carbon(view: &ExplainView) -> Option<String> {
    /// Smallest difference that is told, share (own choice).
    const TOLD: f64 = 0.02;
    let light = |month: &ExplainMonth| f64::from(month.days) * month.light_mol_m2_day;
    let all: f64 = view.months.iter().map(light).sum();
    let of = |month: &ExplainMonth| light(month) * (1.0 - month.carbon_share);
    let lost = view.months.iter().map(of).sum::<f64>() / all.max(f64::MIN_POSITIVE);
    (lost >= TOLD).then(|| {
        let lost = percent(lost, 0);
        format!("Want of carbon dioxide in the shut house takes {lost} of its growth.")
    })
}

/// A day, with its year where that is another one.
fn day(day: NaiveDate, year: Option<i32>) -> String {
    match year {
        Some(year) if year == day.year() => short_date(day),
        _ => format!("{} {}", short_date(day), day.year()),
    }
}

/// A sentence of its own.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    format!(
        "{}.",
        first
            .chain(letters)
            .collect::<String>()
            .trim_end_matches('.')
    )
}

/// How often and how much.
fn picked(view: &ExplainView) -> Phrase {
    let year = Some(view.sow.year());
    let (Some(first), Some(last)) = (view.pickings.first(), view.pickings.last()) else {
        return "nothing in the year followed.".into();
    };
    let when = match view.pickings.len() {
        1 => format!("once, on {}, ", day(*first, year)),
        times => {
            let last = day(*last, Some(first.year()));
            format!("{times} times from {} to {last}, ", day(*first, year))
        }
    };
    let usual = phrase![
        when,
        amount(view.picked_kg_m2, "kg/m2", 2),
        " in the year followed"
    ];
    match view.picked_kg_m2_weather_years {
        Some(spread) => usual.then(phrase![
            "; in the middle year ",
            bare(spread.p50, "kg/m2", 2),
            ", in eight years of ten ",
            bare(spread.p10, "kg/m2", 2),
            " to ",
            amount(spread.p90, "kg/m2", 2),
            "."
        ]),
        None => usual.then("."),
    }
}

/// In how many years it bears, and what most often keeps it from more.
fn sure(view: &ExplainView) -> Vec<String> {
    if view.weather_years == 0 {
        return Vec::new();
    }
    let years = view.weather_years;
    let through = fixed(view.survival * f64::from(years), 0);
    let cause = if view.commonest_cause.is_empty() {
        "nothing cuts it short in any of them".to_owned()
    } else {
        format!(
            "what most often cuts it short: {}, in {} of them",
            view.commonest_cause, view.commonest_cause_years
        )
    };
    vec![format!(
        "comes through in {through} of {years} simulated years and is picked in {}; {cause}.",
        view.bearing_years
    )]
}

/// The days on which something changes.
fn days(view: &ExplainView, look: &Look) -> String {
    let year = Some(view.sow.year());
    let said: Vec<String> = view
        .turning_points
        .iter()
        .map(|event| {
            let cause = match look.units.say(&event.cause) {
                none if none.is_empty() => none,
                cause => format!(" ({cause})"),
            };
            format!(
                "{} {}{cause}",
                day(event.date, year),
                look.units.say(&event.event)
            )
        })
        .collect();
    format!("{}.", said.join("; "))
}
