//! One sowing, month by month.

use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::crops::COMES_THROUGH;
use crate::output::text::{fixed, month_head};
use crate::output::view::{ExplainMonth, ExplainView};
use crate::phrase::{Phrase, amount, bare, phrase};
use chrono::Datelike;

/// Width from which days, emergence, day length, hardening, chilling and fruit set are shown too.
const WIDE: u16 = 110;

/// What the heads of the months mean.
const LEGEND: &str = "Warmth ages the crop. Pace: what a closed stand gains against a best day. Leaf area, the share of light it \
                      covers, and dry mass stand at the month's end. Low: the leaves' coldest hour. Margin: distance \
                      from the cold that takes half of the leaf.";

/// One sowing with its sums month by month, and the date and cause of everything that happens to it.
pub fn explain(view: &ExplainView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "{} sown {} ({}), bed {}, {}",
        view.name, view.sow, view.way, view.bed, view.place
    ));
    text.push_str(&look.prose(&bears(view)));
    text.push_str(&look.prose(&look.units.say(&sums(view))));
    text.push_str(&months(view, look));
    text.push_str(&look.prose(LEGEND));
    text.push('\n');
    text.push_str(&events(view, look));
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

fn months(view: &ExplainView, look: &Look) -> String {
    let wide = look.columns() >= WIDE;
    let mut sheet = Sheet::new(&[("", Align::Key)]);
    let unit = |si| look.units.convert(0.0, si).1;
    let degree = look.units.temperature_unit();
    let mut heads = vec![
        ("Air", degree),
        ("Root", degree),
        ("Light", "mol"),
        ("Warmth", unit("K d")),
        ("Pace", ""),
        ("Leaf", "m2/m2"),
        ("Cover", ""),
        ("Dry", "g/m2"),
        ("Low", degree),
        ("Margin", degree),
        ("Picked", unit("kg/m2")),
    ];
    if wide {
        heads.extend([
            ("Days", ""),
            ("Up", ""),
            ("Day", "h"),
            ("Harden", ""),
            ("Chill", unit("K h")),
            ("Set", ""),
        ]);
    }
    for (head, below) in heads {
        sheet.column(format!("{head}\n{below}").trim_end(), Align::Right);
    }
    for month in &view.months {
        sheet.row(cells(month, wide, look));
    }
    sheet.render(look)
}

fn cells(month: &ExplainMonth, wide: bool, look: &Look) -> Vec<String> {
    let degrees = |celsius: f64| fixed(look.units.temperature(celsius), 1);
    let other =
        |value: f64, unit: &str, decimals| fixed(look.units.convert(value, unit).0, decimals);
    let mut cells = vec![
        month_head(month.month.month()).to_string(),
        degrees(month.air_c),
        degrees(month.root_zone_c),
        fixed(month.light_mol_m2_day, 1),
        other(month.warmth_k_d, "K d", 0),
        fixed(month.pace, 2),
        fixed(month.leaf_area_m2_m2, 2),
        fixed(month.ground_cover, 2),
        fixed(month.dry_g_m2, 0),
        degrees(month.leaf_min_c),
        other(month.cold_margin_k, "K", 1),
        other(month.picked_kg_m2, "kg/m2", 2),
    ];
    if wide {
        cells.extend([
            month.days.to_string(),
            fixed(month.emergence, 2),
            fixed(month.day_length_h, 1),
            fixed(month.hardening, 2),
            other(month.chill_kh, "K h", 0),
            fixed(month.set, 2),
        ]);
    }
    cells
}

fn events(view: &ExplainView, look: &Look) -> String {
    let mut sheet = Sheet::new(&[
        ("Date", Align::Key),
        ("Event", Align::Left),
        ("Cause", Align::Left),
    ]);
    for event in &view.events {
        sheet.row(vec![
            event.date.to_string(),
            look.units.say(&event.event),
            look.units.say(&event.cause),
        ]);
    }
    sheet.render(look)
}

fn outcome(view: &ExplainView) -> Phrase {
    let usual = phrase![
        "\nThe year followed: ",
        amount(view.picked_kg_m2, "kg/m2", 2),
        " picked."
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
