//! The model tuned.

use super::{Look, draw, notes, remarks, warnings};
use crate::output::tables;
use crate::output::text::{clean, fixed, joined};
use crate::output::view::{FactorRow, GrowthView, PatchFile, ResidualDay, TuneView};

/// A building tuned to a logger: record, factors, what to put into the file.
pub fn tune(view: &TuneView, look: &Look) -> String {
    let mut text = look.head(&format!("Tuned to the logger, {}", view.place));
    text.push_str(&look.prose(&record(view)));
    text.push_str(&look.prose(&columns(view)));
    text.push_str(&draw(&tables::fitted(view, look.units), look));
    text.push_str(&look.prose(&as_described(&view.factors)));
    if let Some(total) = &view.total {
        let whole = |w_k: f64| fixed(look.units.convert(w_k, "W/K").0, 0);
        text.push_str(&look.prose(&format!(
            "Leaks and faces together lose {}, {} as described; in nine cases of ten {} to {}.",
            look.units.said(total.after_w_k, "W/K", 0),
            whole(total.before_w_k),
            whole(total.low_w_k),
            whole(total.high_w_k),
        )));
    }
    text.push_str(&warnings(&view.notes, look));
    text.push_str(&patch(&view.patch));
    text
}

/// How far the fit may be trusted: the days one by one, and what to mind.
pub fn tune_notes(view: &TuneView, look: &Look) -> String {
    format!(
        "{}{}{}",
        look.prose(&format!("Outside: {}.\n", view.outside)),
        residuals(&view.days, look),
        remarks(&view.notes, look)
    )
}

/// What was read from which column.
fn columns(view: &TuneView) -> String {
    let columns = joined(&view.columns, ", ", |(what, head)| {
        format!("{what} `{head}`")
    });
    format!("Columns: {columns}.\n")
}

/// The factors that the record does not tell.
fn as_described(rows: &[FactorRow]) -> String {
    let kept = rows.iter().filter(|row| !row.is_fitted());
    match joined(kept, ", ", |row| row.factor.replace('_', " ")).as_str() {
        "" => String::new(),
        kept => format!("Left as described: {kept} (why: --list factors, --all).\n"),
    }
}

fn record(view: &TuneView) -> String {
    let gaps = joined(&view.gaps, ", ", |gap| {
        format!("{} h from {}", gap.hours, gap.from.format("%Y-%m-%d %H:%M"))
    });
    let listed = match gaps.as_str() {
        "" => String::new(),
        gaps => format!(" (longest: {gaps})"),
    };
    format!(
        "{} to {}, {} rows every {} min, {} left out; {} h without a reading{listed}.\n",
        view.from.format("%Y-%m-%d %H:%M"),
        view.to.format("%Y-%m-%d %H:%M"),
        view.rows_read,
        fixed(view.interval_min, 0),
        view.rows_bad,
        view.gap_h,
    )
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

/// The patch without its remarks, which stand in the file that `--patch` writes.
fn patch(patch: &PatchFile) -> String {
    let lines: String = patch
        .text
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| format!("{}\n", clean(line)))
        .collect();
    format!("For {}:\n{lines}", clean(&patch.file))
}

/// First harvests against the model, and the crop files that follow from them.
pub fn growth(view: &GrowthView, look: &Look) -> String {
    let mut text = look.head(&format!("Growth tuned to first harvests, {}", view.place));
    if view.plantings.is_empty() {
        text.push_str("The journal tells of no sowing with a first harvest yet.\n");
    } else {
        text.push_str(&draw(&tables::growth(view), look));
    }
    text.push_str(&notes(&view.notes, look));
    for file in &view.patches {
        text.push('\n');
        text.push_str(&patch(file));
    }
    text
}
