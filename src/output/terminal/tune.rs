//! The model tuned.

use super::table::{Align, Sheet};
use super::{Look, notes, remarks, warnings};
use crate::output::text::{clean, fixed};
use crate::output::view::{FactorRow, GrowthView, PatchFile, ResidualDay, TuneView};

/// A building tuned to a logger: record, factors, what to put into the file.
pub fn tune(view: &TuneView, look: &Look) -> String {
    let mut text = look.head(&format!("Tuned to the logger, {}", view.place));
    text.push_str(&look.prose(&record(view)));
    text.push_str(&factors(&view.factors, look));
    if let Some(total) = &view.total {
        let whole = |w_k: f64| {
            let (value, unit) = look.units.convert(w_k, "W/K");
            (fixed(value, 0), unit)
        };
        let (before, unit) = whole(total.before_w_k);
        text.push_str(&look.prose(&format!(
            "Leaks and faces together lose {} {unit}, {before} as described; in nine cases of ten {} to {}.",
            whole(total.after_w_k).0,
            whole(total.low_w_k).0,
            whole(total.high_w_k).0,
        )));
    }
    text.push_str(&warnings(&view.notes, look));
    text.push_str(&patch(&view.patch));
    text
}

/// How far the fit may be trusted: the days one by one, and what to mind.
pub fn tune_notes(view: &TuneView, look: &Look) -> String {
    format!(
        "{}{}",
        residuals(&view.days, look),
        remarks(&view.notes, look)
    )
}

fn record(view: &TuneView) -> String {
    let columns: Vec<String> = view
        .columns
        .iter()
        .map(|(what, head)| format!("{what} `{head}`"))
        .collect();
    let gaps: Vec<String> = view
        .gaps
        .iter()
        .map(|gap| format!("{} h from {}", gap.hours, gap.from.format("%Y-%m-%d %H:%M")))
        .collect();
    let listed = match gaps.as_slice() {
        [] => String::new(),
        gaps => format!(" (longest: {})", gaps.join(", ")),
    };
    format!(
        "{} to {}, {} rows every {} min, {} left out; {} h without a reading{listed}.\nColumns: {}.\nOutside: {}.\n",
        view.from.format("%Y-%m-%d %H:%M"),
        view.to.format("%Y-%m-%d %H:%M"),
        view.rows_read,
        fixed(view.interval_min, 0),
        view.rows_bad,
        view.gap_h,
        columns.join(", "),
        view.outside,
    )
}

fn factors(rows: &[FactorRow], look: &Look) -> String {
    let mut sheet = Sheet::new(&[
        ("Factor", Align::Key),
        ("was", Align::Right),
        ("is", Align::Right),
        ("90 %", Align::Right),
        ("acts on", Align::Left),
        ("was", Align::Right),
        ("is", Align::Right),
        ("", Align::Key),
    ]);
    for row in rows {
        let (before, unit) = look.units.convert(row.figure_before, &row.unit);
        let (after, _) = look.units.convert(row.figure_after, &row.unit);
        let ends = match (row.low, row.high) {
            (Some(low), Some(high)) if row.state != "faint" => {
                format!("{}-{}", fixed(low, 2), fixed(high, 2))
            }
            _ => row.state.clone(),
        };
        sheet.row(vec![
            row.factor.clone(),
            fixed(row.before, 2),
            fixed(row.after, 2),
            ends,
            row.acts_on.clone(),
            figure(before),
            figure(after),
            unit.to_string(),
        ]);
    }
    sheet.render(look)
}

/// As many decimals as a figure of its size deserves.
fn figure(value: f64) -> String {
    const WHOLE_FROM: f64 = 100.0;
    fixed(value, if value.abs() >= WHOLE_FROM { 0 } else { 2 })
}

/// Lines of the residual chart to each side of nought.
const LINES: i32 = 4;
/// Columns left of the chart.
const MARGIN: usize = 8;

/// Mean residuals of the days: `o` before, `*` after, `:` where the days kept out begin.
fn residuals(days: &[ResidualDay], look: &Look) -> String {
    let (Some(first), Some(last)) = (days.first(), days.last()) else {
        return String::new();
    };
    let columns = (usize::from(look.columns()) - MARGIN).min(days.len());
    let largest = days
        .iter()
        .flat_map(|day| [day.before_k.abs(), day.after_k.abs()])
        .fold(0.0, f64::max);
    let step_k = (largest / f64::from(LINES)).max(0.1);
    let mean = |column: usize, of: fn(&ResidualDay) -> f64| {
        let (from, to) = (
            column * days.len() / columns,
            (column + 1) * days.len() / columns,
        );
        let part = &days[from..to.max(from + 1)];
        part.iter().map(of).sum::<f64>() / part.len() as f64
    };
    let level = |value: f64| ((value / step_k).round() as i32).clamp(-LINES, LINES);
    let kept_from = days.iter().position(|day| day.kept_out);
    let kelvin = |value: f64| look.units.convert(value, "K");
    let mut text = format!(
        "\nMean of each day, simulated less read, {}: o was, * is; from : on kept out\n",
        kelvin(0.0).1
    );
    for line in (-LINES..=LINES).rev() {
        let row: String = (0..columns)
            .map(|column| {
                let begins = kept_from.is_some_and(|from| from * columns / days.len() == column);
                if level(mean(column, |day| day.after_k)) == line {
                    '*'
                } else if level(mean(column, |day| day.before_k)) == line {
                    'o'
                } else if begins {
                    ':'
                } else if line == 0 {
                    '·'
                } else {
                    ' '
                }
            })
            .collect();
        let mark = fixed(kelvin(f64::from(line) * step_k).0, 1);
        text.push_str(format!("{mark:>6}  {row}").trim_end());
        text.push('\n');
    }
    let (from, to) = (first.date.to_string(), last.date.to_string());
    let gap = columns.saturating_sub(from.len() + to.len());
    text.push_str(&format!("{:MARGIN$}{from}{:gap$}{to}\n", "", ""));
    text
}

fn patch(patch: &PatchFile) -> String {
    let lines: String = patch
        .text
        .lines()
        .map(|line| format!("{}\n", clean(line)))
        .collect();
    format!("For {}:\n{lines}", clean(&patch.file))
}

/// First harvests against the model, and the crop files that follow from them.
pub fn growth(view: &GrowthView, look: &Look) -> String {
    let mut text = look.head(&format!("Growth tuned to first harvests, {}", view.place));
    let mut sheet = Sheet::new(&[
        ("Crop", Align::Left),
        ("Bed", Align::Left),
        ("Sown", Align::Right),
        ("First picked", Align::Right),
        ("Model", Align::Right),
        ("Days late", Align::Right),
        ("Sum factor", Align::Right),
    ]);
    for row in &view.plantings {
        let late = row
            .expected
            .map(|expected| (row.picked - expected).num_days().to_string());
        sheet.row(vec![
            row.crop.clone(),
            row.bed.clone(),
            row.sown.to_string(),
            row.picked.to_string(),
            row.expected
                .map_or_else(|| "-".to_string(), |day| day.to_string()),
            late.unwrap_or_default(),
            row.factor
                .map(|factor| fixed(factor, 2))
                .unwrap_or_default(),
        ]);
    }
    if view.plantings.is_empty() {
        text.push_str("The journal tells of no sowing with a first harvest yet.\n");
    } else {
        text.push_str(&sheet.render(look));
    }
    text.push_str(&notes(&view.notes, look));
    for file in &view.patches {
        text.push('\n');
        text.push_str(&patch(file));
    }
    text
}
