//! The model tuned: to a logger, and to the first harvests of the journal.

use chrono::{NaiveDate, NaiveDateTime};
use serde::Serialize;

use super::{Note, TotalLoss};
use crate::house::Tuned;
use crate::output::row::{row, view};
use crate::output::text::{fixed, joined};
use crate::study::{DayResidual, Job, Quality, Stamps, TuneQuestion, TuneStudy, Verdict, figure};

row! {
    /// One factor on the building.
    pub struct FactorRow of (job: &Job, study: &TuneStudy, at: usize) {
        let (before, after) = (study.before.factors(), study.after.factors());
        let (figure_before, unit) = figure(&job.project.house, at);
        let (state, ends) = match study.verdicts[at] {
            Verdict::Fitted { low, high, .. } => ("fitted", Some((low, high))),
            Verdict::Together { low, high, .. } => ("together", Some((low, high))),
            Verdict::Faint { low, high } => ("faint", Some((low, high))),
            Verdict::Held => ("held", None),
            Verdict::Absent => ("absent", None),
            Verdict::Untold { .. } => ("untold", None),
        };
        /// Key under `tuned` in the project file.
        factor: String, "" => Tuned::NAMES[at].to_owned();
        /// `fitted`, `together` (leaks and faces, not told apart), `faint`, `held`, `absent` or `untold`.
        state: String, "" => state.to_owned();
        /// Factor in the file before.
        before: f64, "factor" => before[at];
        /// Factor as the record has it.
        after: f64, "factor" => after[at];
        /// Lower end of the range of 90 %; empty where nothing was fitted.
        low: Option<f64>, "factor" => ends.map(|(low, _)| low * before[at]);
        /// Upper end of the range of 90 %.
        high: Option<f64>, "factor" => ends.map(|(_, high)| high * before[at]);
        /// What it acts on.
        acts_on: String, "" => ACTS_ON[at].to_owned();
        /// That figure as the building has it now.
        figure_before: f64, "see unit" => figure_before;
        /// That figure with the factor.
        figure_after: f64, "see unit" => figure_before * after[at] / before[at];
        /// Unit of that figure.
        unit: String, "" => unit.to_owned();
    }
}

impl FactorRow {
    /// Does the record tell it?
    pub fn is_fitted(&self) -> bool {
        ["fitted", "together"].contains(&self.state.as_str())
    }
}

row! {
    /// Simulated less read over some hours.
    pub struct QualityRow of (part: &str, quality: &Quality) {
        /// `air, fitted to`, `air, kept out` or `root zone`.
        part: String, "" => part.to_owned();
        /// Hours with a reading.
        hours: u32, "h" => quality.hours as u32;
        /// Root mean square before.
        rms_before_k: f64, "K" => quality.rms_before_k;
        /// Root mean square after.
        rms_after_k: f64, "K" => quality.rms_after_k;
        /// Mean before.
        bias_before_k: f64, "K" => quality.bias_before_k;
        /// Mean after.
        bias_after_k: f64, "K" => quality.bias_after_k;
    }
}

row! {
    /// Simulated less read, mean of a day.
    pub struct ResidualDay of (day: &DayResidual) {
        /// Day.
        date: NaiveDate, "" => day.date;
        /// Before tuning.
        before_k: f64, "K" => day.before_k;
        /// After tuning.
        after_k: f64, "K" => day.after_k;
        /// Whether the day was kept out of the fit.
        kept_out: bool, "" => day.kept_out;
    }
}

/// Hours without a reading.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct GapHours {
    /// First hour.
    pub from: NaiveDateTime,
    /// Number of hours.
    pub hours: u32,
}

/// A piece of a file that the person may put where it belongs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct PatchFile {
    /// Name of the file it makes or goes into.
    pub file: String,
    /// Its text.
    pub text: String,
}

view! {
    /// A building tuned to a logger.
    pub struct TuneView of tune(job: &Job, question: &TuneQuestion, study: &TuneStudy, file: &str) {
        let record = &question.record;
        let gaps = gaps(question);
        let factors = (0..Tuned::COUNT).map(|at| FactorRow::of(job, study, at)).collect::<Vec<_>>();
        /// Where the building stands.
        place: String => job.site.place.name.clone();
        /// Where the weather outside comes from.
        outside: String => outside(job, question);
        /// First reading, on the logger's clock.
        from: NaiveDateTime => study.span.0;
        /// Last reading.
        to: NaiveDateTime => study.span.1;
        /// Rows of the logger that were read.
        rows_read: u32 => record.rows as u32;
        /// Rows that were left out.
        rows_bad: u32 => record.bad.len() as u32;
        /// Usual time between rows, minutes.
        interval_min: f64 => record.interval_min;
        /// Columns that were used, by what they are.
        columns: Vec<(String, String)> => columns(question);
        /// Hours without a reading, over all gaps.
        gap_h: u32 => gaps.iter().map(|gap| gap.hours).sum();
        /// The gaps, longest first.
        gaps: Vec<GapHours> => gaps.into_iter().take(GAPS_SHOWN).collect();
        /// Hours by which the logger's clock is behind local standard time (ahead where negative).
        clock_behind_h: f64 => study.shift_h;
        /// What the stamp of a row stands for: `begin`, `middle` or `end` of its span; empty where rows are too short to tell.
        stamps: Option<&'static str> => study.stamps.map(stamps);
        /// Heat that leaks and faces lose together.
        total: Option<TotalLoss> => study.total;
        /// Factors.
        factors: Vec<FactorRow> => factors.clone();
        /// How well record and simulation agree.
        quality: Vec<QualityRow> => quality(study);
        /// Correlations of the fitted factors, in the order in which they are fitted.
        correlation: Vec<Vec<f64>> => study
            .certainty
            .as_ref()
            .map_or_else(Vec::new, |sure| sure.correlation.clone());
        /// So many hours of readings say as much as one free hour.
        hours_per_free_hour: Option<f64> => study.certainty.as_ref().map(|sure| sure.inflation);
        /// Condition of the fit: how far the best and the worst known combination of factors lie apart.
        condition: Option<f64> => study.certainty.as_ref().map(|sure| sure.condition);
        /// Day by day.
        days: Vec<ResidualDay> => study.days.iter().map(ResidualDay::of).collect();
        /// What to put into the project file.
        patch: PatchFile => patch(&factors, study, file);
        /// What to mind.
        notes: Vec<Note> => notes(question, study, &factors);
    }
}

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

/// The gaps, longest first.
fn gaps(question: &TuneQuestion) -> Vec<GapHours> {
    let gaps = question.record.gaps.iter().map(|gap| GapHours {
        from: gap.from,
        hours: gap.hours as u32,
    });
    let mut gaps: Vec<GapHours> = gaps.collect();
    gaps.sort_by_key(|gap| (std::cmp::Reverse(gap.hours), gap.from));
    gaps
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

fn quality(study: &TuneStudy) -> Vec<QualityRow> {
    let parts = [
        ("air, fitted to", Some(&study.train)),
        ("air, kept out", study.kept_out.as_ref()),
        ("root zone", study.root_zone.as_ref()),
    ];
    let rows = parts.into_iter();
    rows.filter_map(|(part, quality)| Some(QualityRow::of(part, quality?)))
        .collect()
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
        let first = question.record.set_back.iter().take(GAPS_SHOWN);
        let lines = joined(first, ", ", usize::to_string);
        warn(format!(
            "the logger's clock was set back before line {lines}; a zone such as --clock America/Denver puts summer time right"
        ));
    }
    let quiet = not_told.into_iter().map(Note::plain);
    notes.extend(quiet);
    notes.push(Note::plain("a factor also takes up what the model leaves out; where two rooms, doors or sensors in the sun are at work, no factor means what it says",
    ));
    notes
}
