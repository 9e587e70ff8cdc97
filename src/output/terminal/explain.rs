//! One sowing, month by month.

use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::output::text::{fixed, month_head};
use crate::output::view::{ExplainMonth, ExplainView};
use chrono::Datelike;

/// Width from which days, emergence, day length, hardening, chilling and fruit set are shown too.
const WIDE: u16 = 110;

/// What the heads of the months mean.
const LEGEND: &str = "Degr: growing degrees above base. Sum: over the days, degrees times light factor times root factor. Margin: \
                      smallest distance of the leaves from killing cold, by the hardening of that day.";

/// One sowing with its sums month by month, and the date and cause of everything that happens to it.
pub fn explain(view: &ExplainView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "{} sown {} ({}), bed {}, {}",
        view.name, view.sow, view.way, view.bed, view.place
    ));
    text.push_str(&look.prose(&sums(view)));
    text.push_str(&months(view, look));
    text.push_str(&look.prose(LEGEND));
    text.push('\n');
    text.push_str(&events(view, look));
    text.push_str(&look.prose(&outcome(view)));
    text.push_str(&notes(&view.notes, look));
    text
}

fn sums(view: &ExplainView) -> String {
    let again = view.regrowth_k_d.map_or_else(String::new, |k_d| {
        format!(", the next cut after {} K d more", fixed(k_d, 0))
    });
    format!(
        "Climate of the bed: {}, usual year. First picking at {} K d of growth{again}; the whole crop at {} K d. \
         A day at best temperature in full light gives {} K d.\n",
        view.bed_climate,
        fixed(view.ready_k_d, 0),
        fixed(view.whole_k_d, 0),
        fixed(view.best_k_d, 1),
    )
}

fn months(view: &ExplainView, look: &Look) -> String {
    let wide = look.columns() >= WIDE;
    let mut sheet = Sheet::new(&[("", Align::Key)]);
    let mut heads = vec![
        "Air\nmean",
        "Root\nmean",
        "Light\nmol",
        "Degr\nK d",
        "Light\nfactor",
        "Root\nfactor",
        "Sum\nK d",
        "So far\nK d",
        "Leaf\nlow",
        "Margin\nK",
        "Picked\nkg/m2",
    ];
    if wide {
        heads.extend(["Days", "Up", "Day\nh", "Harden", "Chill\nK h", "Set"]);
    }
    for head in heads {
        sheet.column(head, Align::Right);
    }
    for month in &view.months {
        sheet.row(cells(month, wide, look));
    }
    sheet.render(look)
}

fn cells(month: &ExplainMonth, wide: bool, look: &Look) -> Vec<String> {
    let degrees = |celsius: f64| fixed(look.units.temperature(celsius), 1);
    let mut cells = vec![
        month_head(month.month.month()).to_string(),
        degrees(month.air_c),
        degrees(month.root_zone_c),
        fixed(month.light_mol_m2_day, 1),
        fixed(month.growth_k_d, 0),
        fixed(month.light_factor, 2),
        fixed(month.root_factor, 2),
        fixed(month.sum_k_d, 0),
        fixed(month.total_k_d, 0),
        degrees(month.leaf_min_c),
        fixed(month.cold_margin_k, 1),
        fixed(month.picked_kg_m2, 2),
    ];
    if wide {
        cells.extend([
            month.days.to_string(),
            fixed(month.emergence, 2),
            fixed(month.day_length_h, 1),
            fixed(month.hardening, 2),
            fixed(month.chill_kh, 0),
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
            event.event.clone(),
            event.cause.clone(),
        ]);
    }
    sheet.render(look)
}

fn outcome(view: &ExplainView) -> String {
    let usual = format!(
        "\nUsual year: {} kg/m2 picked.",
        fixed(view.picked_kg_m2, 2)
    );
    match view.picked_kg_m2_weather_years {
        Some(spread) => format!(
            "{usual} Over {} weather years: something is picked in {}; {} kg/m2 (one year in ten below {}, one above {}).\n",
            view.weather_years,
            view.bearing_years,
            fixed(spread.p50, 2),
            fixed(spread.p10, 2),
            fixed(spread.p90, 2)
        ),
        None => format!("{usual}\n"),
    }
}
