//! A building tuned to a logger, from the study to the view.

use crate::house::Tuned;
use crate::output::text::fixed;
use crate::output::view::{
    FactorRow, GapHours, Note, PatchFile, QualityRow, ResidualDay, TuneView,
};
use crate::study::{Job, Stamps, TuneQuestion, TuneStudy, Verdict, figure};

/// What each factor acts on, in the order of [`Tuned::NAMES`].
const ACTS_ON: [&str; Tuned::COUNT] = [
    "air change in 4 m/s wind",
    "heat loss of all faces",
    "heat held inside",
    "edge of the floor",
    "air through the store",
];
/// Factors beyond this, or below its inverse, are a description gone wrong rather than a figure not known (own choice).
const STRANGE: f64 = 3.0;
/// Gaps shown.
const GAPS_SHOWN: usize = 5;
/// Digits of a factor in the patch.
const DIGITS: usize = 3;

/// A fit with everything that says how far it may be trusted; `file` is the project file's name.
pub fn tune(job: &Job, question: &TuneQuestion, study: &TuneStudy, file: &str) -> TuneView {
    let record = &question.record;
    let mut gaps: Vec<GapHours> = record
        .gaps
        .iter()
        .map(|gap| GapHours {
            from: gap.from,
            hours: gap.hours as u32,
        })
        .collect();
    gaps.sort_by_key(|gap| (std::cmp::Reverse(gap.hours), gap.from));
    let gap_h = gaps.iter().map(|gap| gap.hours).sum();
    gaps.truncate(GAPS_SHOWN);
    let factors = factors(job, study);
    TuneView {
        place: job.site.place.name.clone(),
        outside: outside(job, question),
        from: study.span.0,
        to: study.span.1,
        rows_read: record.rows as u32,
        rows_bad: record.bad.len() as u32,
        interval_min: record.interval_min,
        columns: columns(question),
        gap_h,
        gaps,
        clock_behind_h: study.shift_h,
        stamps: study.stamps.map(stamps),
        total: study.total,
        quality: quality(study),
        correlation: study
            .spread
            .as_ref()
            .map_or_else(Vec::new, |spread| spread.correlation.clone()),
        hours_per_free_hour: study.spread.as_ref().map(|spread| spread.inflation),
        condition: study.spread.as_ref().map(|spread| spread.condition),
        days: study.days.iter().map(ResidualDay::of).collect(),
        patch: patch(&factors, study, file),
        notes: notes(question, study, &factors),
        factors,
    }
}

fn stamps(stamps: Stamps) -> &'static str {
    match stamps {
        Stamps::Begin => "begin",
        Stamps::Middle => "middle",
        Stamps::End => "end",
    }
}

fn outside(job: &Job, question: &TuneQuestion) -> String {
    let columns = &question.record.columns;
    let head = |at: usize| columns.head(at);
    let own = match (columns.outdoor, columns.sun) {
        (Some(air), Some(sun)) => {
            format!(
                "air and sun from the logger's `{}` and `{}`; wind",
                head(air),
                head(sun)
            )
        }
        (Some(air), None) => format!("air from the logger's `{}`; sun and wind", head(air)),
        (None, Some(sun)) => format!("sun from the logger's `{}`; air and wind", head(sun)),
        (None, None) => return job.site.source.clone(),
    };
    let rest = if question.own_weather {
        ""
    } else {
        " (of usual years)"
    };
    format!("{own}: {}{rest}", job.site.source)
}

fn columns(question: &TuneQuestion) -> Vec<(String, String)> {
    let columns = &question.record.columns;
    let named = [
        ("time", Some(columns.time)),
        ("clock", columns.clock),
        ("air inside", Some(columns.air)),
        ("air outside", columns.outdoor),
        ("root zone", columns.root_zone),
        ("sunlight outside", columns.sun),
    ];
    named
        .into_iter()
        .filter_map(|(what, at)| Some((what.to_owned(), columns.head(at?).to_owned())))
        .collect()
}

fn factors(job: &Job, study: &TuneStudy) -> Vec<FactorRow> {
    let (before, after) = (study.before.factors(), study.after.factors());
    (0..Tuned::COUNT)
        .map(|at| {
            let (figure_before, unit) = figure(&job.project.house, at);
            let (state, ends) = match study.verdicts[at] {
                Verdict::Fitted { low, high, .. } => ("fitted", Some((low, high))),
                Verdict::Together { low, high, .. } => ("together", Some((low, high))),
                Verdict::Faint { low, high } => ("faint", Some((low, high))),
                Verdict::Held => ("held", None),
                Verdict::Absent => ("absent", None),
                Verdict::Untold { .. } => ("untold", None),
            };
            FactorRow {
                factor: Tuned::NAMES[at].to_owned(),
                state: state.to_owned(),
                before: before[at],
                after: after[at],
                low: ends.map(|(low, _)| low * before[at]),
                high: ends.map(|(_, high)| high * before[at]),
                acts_on: ACTS_ON[at].to_owned(),
                figure_before,
                figure_after: figure_before * after[at] / before[at],
                unit: unit.to_owned(),
            }
        })
        .collect()
}

fn quality(study: &TuneStudy) -> Vec<QualityRow> {
    let row = QualityRow::of;
    let mut rows = vec![row("air, fitted to", &study.train)];
    rows.extend(
        study
            .kept_out
            .iter()
            .map(|quality| row("air, kept out", quality)),
    );
    rows.extend(
        study
            .root_zone
            .iter()
            .map(|quality| row("root zone", quality)),
    );
    rows
}

/// The table for the project file, with what stood there before.
fn patch(factors: &[FactorRow], study: &TuneStudy, file: &str) -> PatchFile {
    let (from, to) = (study.span.0.date(), study.span.1.date());
    let mut text = format!(
        "# Fitted by bedyear to a logger's record of {from} to {to}.\n\
         # Look it over, then put it into {file}, in place of a table [tuned]\n\
         # that may be there.\n[tuned]\n"
    );
    for row in factors {
        let before = fixed(row.before, DIGITS);
        match (row.low, row.high) {
            (Some(low), Some(high)) if row.state != "faint" => text.push_str(&format!(
                "{}# was {before}; 90 %: {} to {}; {} {} -> {} {}\n{} = {}\n",
                if row.state == "together" {
                    "# leaks and faces together, not told apart:\n"
                } else {
                    ""
                },
                fixed(low, DIGITS),
                fixed(high, DIGITS),
                row.acts_on,
                fixed(row.figure_before, 2),
                fixed(row.figure_after, 2),
                row.unit,
                row.factor,
                fixed(row.after, DIGITS),
            )),
            _ if row.before != 1.0 => {
                text.push_str(&format!(
                    "# as before, {}\n{} = {before}\n",
                    row.state, row.factor
                ));
            }
            _ => text.push_str(&format!(
                "# {}: {}, left as described\n",
                row.factor, row.state
            )),
        }
    }
    PatchFile {
        file: file.to_owned(),
        text,
    }
}

fn notes(question: &TuneQuestion, study: &TuneStudy, factors: &[FactorRow]) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut warn = |text: String| notes.push(Note::warning(text));
    if study.shift_h != 0.0 && !study.shift_given {
        let side = if study.shift_h > 0.0 {
            "behind"
        } else {
            "ahead"
        };
        warn(format!(
            "the logger's clock runs {} h {side} of local standard time as the sun has it; this was put right in the fit (--clock-shift 0 leaves it)",
            fixed(study.shift_h.abs(), 2)
        ));
    }
    if let (Some(found), None) = (study.stamps, question.stamps)
        && found != Stamps::Middle
    {
        let which = if found == Stamps::Begin {
            "begins"
        } else {
            "ends"
        };
        warn(format!(
            "as the sun has it, a row stands for the hour that {which} at its stamp (--stamps {} says so)",
            stamps(found)
        ));
    }
    if factors.iter().any(|row| row.state == "together") {
        warn("the record cannot tell leaks from what the faces lose: only their sum is known, and one factor stands for both; a still and a windy week, or a door fan, would part them".to_owned());
    }
    // The answer names them; why stands among the remarks.
    let mut not_told = Vec::new();
    for row in factors {
        let change = row.after / row.before;
        if row.state == "untold" {
            not_told.push(format!(
                "the record says nothing of {}: a tenth more or less hardly moves the air",
                row.factor
            ));
        } else if row.state == "faint" {
            not_told.push(format!(
                "the record says little of {}: anything from {} to {} would do; it is left as described",
                row.factor,
                fixed(row.low.unwrap_or_default(), 2),
                fixed(row.high.unwrap_or_default(), 2)
            ));
        } else if row.state == "fitted" && !(1.0 / STRANGE..=STRANGE).contains(&change) {
            warn(format!(
                "{} times {} is more than a figure not known: sun on the logger, a door left open, or a slip in the description?",
                row.factor,
                fixed(change, 2)
            ));
        }
    }
    if let Some(kept_out) = &study.kept_out
        && kept_out.rms_after_k > kept_out.rms_before_k
    {
        warn("on the days kept out the tuned model is further off than before: do not use this patch".to_owned());
    }
    if !study.converged {
        warn("the search ended before it was at a minimum; give it a longer record, or hold a factor".to_owned());
    }
    if !question.own_weather {
        warn("sun and wind are those of usual years, not of the record's days; an hourly weather file of those days would be better (--weather)".to_owned());
    }
    if !question.record.set_back.is_empty() {
        let lines: Vec<String> = question
            .record
            .set_back
            .iter()
            .take(GAPS_SHOWN)
            .map(usize::to_string)
            .collect();
        warn(format!(
            "the logger's clock was set back before line {}; a zone such as --clock America/Denver puts summer time right",
            lines.join(", ")
        ));
    }
    let quiet = not_told.into_iter().map(Note::plain);
    notes.extend(quiet);
    notes.push(Note::plain("a factor also takes up what the model leaves out; where two rooms, doors or sensors in the sun are at work, no factor means what it says",
    ));
    notes
}
