//! One sowing, month by month.

use super::{Look, draw, notes};
use crate::crops::COMES_THROUGH;
use crate::output::tables;
use crate::output::text::{fixed, percent};
use crate::output::view::{ExplainMonth, ExplainView};
use crate::phrase::{Phrase, amount, bare, phrase};

/// Width from which days, emergence, day length, hardening, chilling and fruit set are shown too.
const WIDE: u16 = 110;

/// One sowing with its sums month by month, and the date and cause of everything that happens to it.
pub fn explain(view: &ExplainView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "{} sown {} ({}), bed {}, {}",
        view.name, view.sow, view.way, view.bed, view.place
    ));
    text.push_str(&look.prose(&bears(view)));
    text.push_str(&look.prose(&look.units.say(&sums(view))));
    text.push_str(&draw(
        &tables::explain_months(view, look.columns() >= WIDE),
        look,
    ));
    text.push('\n');
    text.push_str(&draw(&tables::explain_events(view), look));
    text.push_str(&look.prose(&look.units.say(&outcome(view))));
    text.push_str(&notes(&view.notes, look));
    text
}

/// In how many years it bears, and what most often keeps it from more.
fn bears(view: &ExplainView) -> String {
    if view.weather_years == 0 {
        return String::new();
    }
    let cause = if view.commonest_cause.is_empty() {
        "Nothing cuts it short in any of them.".to_owned()
    } else {
        format!(
            "What most often cuts it short: {}, in {} of them.",
            view.commonest_cause, view.commonest_cause_years
        )
    };
    format!(
        "Bears in {} of {} weather years and comes through in {}. {cause}\n{COMES_THROUGH}\n",
        view.bearing_years,
        view.weather_years,
        fixed(view.survival * f64::from(view.weather_years), 0)
    )
}

fn sums(view: &ExplainView) -> Phrase {
    phrase![
        format!(
            "Climate of the bed: {}; followed below in {}. Grows as the class \"{}\": young leaf area by {} % a day at best \
             temperature ({}). First picking at ",
            view.bed_climate,
            view.followed,
            view.class,
            fixed(100.0 * view.leaf_rate_per_day, 0),
            view.leaf_rate_from
        ),
        amount(view.ready_kg_m2, "kg/m2", 2),
        ".\n"
    ]
}

/// What the house's want of carbon dioxide takes while it stands, each month by its light; empty where that is little.
fn carbon(view: &ExplainView) -> String {
    /// Smallest difference that is told, share (own choice).
    const TOLD: f64 = 0.02;
    let light = |month: &ExplainMonth| f64::from(month.days) * month.light_mol_m2_day;
    let all: f64 = view.months.iter().map(light).sum();
    let of = |month: &ExplainMonth| light(month) * (1.0 - month.carbon_share);
    let lost = view.months.iter().map(of).sum::<f64>() / all.max(f64::MIN_POSITIVE);
    if lost < TOLD {
        return String::new();
    }
    format!(
        " Want of carbon dioxide in the shut house takes {} of its growth.",
        percent(lost, 0)
    )
}

fn outcome(view: &ExplainView) -> Phrase {
    let usual = phrase![
        "\nThe year followed: ",
        amount(view.picked_kg_m2, "kg/m2", 2),
        " picked.",
        carbon(view)
    ];
    match view.picked_kg_m2_weather_years {
        Some(spread) => usual.then(phrase![
            format!(
                " Over {} simulated years: something is picked in {}; median ",
                view.weather_years, view.bearing_years
            ),
            amount(spread.p50, "kg/m2", 2),
            " (one year in ten below ",
            bare(spread.p10, "kg/m2", 2),
            ", one above ",
            bare(spread.p90, "kg/m2", 2),
            ").\n"
        ]),
        None => usual.then("\n"),
    }
}
