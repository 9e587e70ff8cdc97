//! The building tuned to a logger: the dates of its record simulated, uncertain figures fitted, the fit judged.

mod clock;
mod days;
mod figures;
mod growth;
mod run;
mod weather;

pub use days::{DayResidual, Quality};
pub use figures::figure;
pub use growth::{CropGrowth, FirstHarvest, growth};

use super::{Job, StudyError};
use crate::house::Tuned;
use crate::tune::fit::{fit, jacobian};
use crate::tune::logger::Record;
use crate::tune::spread::{Spread, spread};
use chrono::NaiveDateTime;
use run::{Bench, Observed};

/// What to tune to, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct TuneQuestion {
    /// The logger's record.
    pub record: Record,
    /// Factors to leave alone, by their place in [`Tuned::NAMES`].
    pub held: Vec<usize>,
    /// Share of the record, at its end, that is kept out of the fit, 0 to 0.9.
    pub held_out: f64,
    /// Hours by which the logger's clock is behind; none: found from the record.
    pub shift_h: Option<f64>,
    /// Is the job's weather an hourly file of the record's own dates?
    pub own_weather: bool,
}

/// What became of one factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// Fitted: factor on the building as it was, and its 95 % interval.
    Fitted {
        /// Factor.
        factor: f64,
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// Left alone as asked.
    Held,
    /// The building has nothing for it to act on.
    Absent,
    /// A tenth more or less changes the record by so little that it says nothing: root mean square, K.
    Untold {
        /// Change of the air by a factor of 1.1, K.
        change_k: f64,
    },
}

/// A building tuned.
#[derive(Clone, Debug, PartialEq)]
pub struct TuneStudy {
    /// First and last reading, on the logger's clock.
    pub span: (NaiveDateTime, NaiveDateTime),
    /// Hours of readings that were fitted to, and kept out.
    pub hours: (usize, usize),
    /// Hours by which the logger's clock is behind local standard time.
    pub shift_h: f64,
    /// Whether that was given, not found.
    pub shift_given: bool,
    /// Factors of the file before.
    pub before: Tuned,
    /// Factors of the file as it would be.
    pub after: Tuned,
    /// What became of each factor, in the order of [`Tuned::NAMES`].
    pub verdicts: [Verdict; Tuned::COUNT],
    /// How sure the fitted factors are, in their order; none where nothing was fitted.
    pub spread: Option<Spread>,
    /// Pairs of factors that the record cannot tell apart, with their correlation.
    pub alike: Vec<(usize, usize, f64)>,
    /// Whether the search ended at a minimum.
    pub converged: bool,
    /// Residuals of the hours fitted to.
    pub train: Quality,
    /// Residuals of the hours kept out; none where none were.
    pub kept_out: Option<Quality>,
    /// Residuals of the root zone, where the logger has it: fitted hours and the others together.
    pub root_zone: Option<Quality>,
    /// Mean residual of each day.
    pub days: Vec<DayResidual>,
}

/// Correlation from which two factors are not told apart (usual rule of thumb in regression, no source).
const ALIKE: f64 = 0.95;
/// Change of the air below which a tenth of a factor says nothing, root mean square, K: a tenth of the noise of a
/// good sensor (own choice).
const UNTOLD_K: f64 = 0.02;
/// Ten per cent, as a logarithm of the factor.
const TENTH: f64 = 0.1;
/// Hours of readings below which nothing is fitted: a week (own choice).
const HOURS_MIN: usize = 7 * 24;
/// Standard deviations that hold 95 % of a normal distribution to both sides (1.96).
const TWO_SIDED_95: f64 = 1.96;
/// Fits one after the other, each from the settled state and with the clock that the one before found.
const PASSES: usize = 2;

/// Tunes a job's building to a record.
///
/// # Errors
/// [`StudyError::Tune`] where the record is too short, or has no weather outside to go by; [`StudyError::House`] as the
/// simulation.
pub fn tune(job: &Job, question: &TuneQuestion) -> Result<TuneStudy, StudyError> {
    let record = &question.record;
    if !question.own_weather && record.columns.outdoor.is_none() {
        return Err(StudyError::Tune(
            "nothing says how cold it was outside on those days: give the hourly weather of those dates with --weather, or the logger's own column with --outdoor-column".to_owned(),
        ));
    }
    let observed = Observed::new(record, question.held_out);
    if observed.train().len() < HOURS_MIN {
        return Err(StudyError::Tune(format!(
            "only {} hours of readings to fit to; at least {HOURS_MIN} are needed",
            observed.train().len()
        )));
    }
    let mut bench = Bench::new(job, record, &observed)?;
    bench.shift(
        question
            .shift_h
            .map_or_else(|| clock::shift_h(&bench, &Tuned::default()), Ok)?,
    );
    let mut verdicts = first_look(&bench, question)?;
    let active: Vec<usize> = active(&verdicts);
    let nominal = bench.series(&Tuned::default())?;
    let mut logs = vec![0.0; active.len()];
    let mut found = None;
    for pass in 0..PASSES {
        if active.is_empty() {
            break;
        }
        let problem = bench.problem(&active);
        let fitted = fit(&problem, &logs)?;
        logs.clone_from(&fitted.parameters);
        found = Some(fitted);
        if pass + 1 < PASSES {
            let tuned = run::factors(&active, &logs);
            bench.settle(&tuned)?;
            if question.shift_h.is_none() {
                bench.shift(clock::shift_h(&bench, &tuned)?);
            }
        }
    }
    let factors = run::factors(&active, &logs);
    let tuned = bench.series(&factors)?;
    let spread = found
        .as_ref()
        .and_then(|fit| spread(&fit.residuals, &fit.jacobian));
    for (place, &at) in active.iter().enumerate() {
        let error = spread
            .as_ref()
            .map_or(f64::INFINITY, |spread| spread.standard_error[place]);
        verdicts[at] = Verdict::Fitted {
            factor: logs[place].exp(),
            low: (logs[place] - TWO_SIDED_95 * error).exp(),
            high: (logs[place] + TWO_SIDED_95 * error).exp(),
        };
    }
    let judged = days::judge(&bench, &nominal, &tuned);
    let before = job.project.built.tuned;
    Ok(TuneStudy {
        span: observed.span(record),
        hours: (observed.train().len(), observed.kept_out().len()),
        shift_h: bench.shift_h(),
        shift_given: question.shift_h.is_some(),
        before,
        after: factors.times(&before),
        verdicts,
        alike: spread
            .as_ref()
            .map_or_else(Vec::new, |spread| alike(spread, &active)),
        spread,
        converged: found.is_none_or(|fit| fit.converged),
        train: judged.train,
        kept_out: judged.kept_out,
        root_zone: judged.root_zone,
        days: judged.days,
    })
}

fn active(verdicts: &[Verdict; Tuned::COUNT]) -> Vec<usize> {
    let fitted = |at: &usize| matches!(verdicts[*at], Verdict::Fitted { .. });
    (0..Tuned::COUNT).filter(fitted).collect()
}

/// Which factors can be fitted at all.
fn first_look(
    bench: &Bench<'_>,
    question: &TuneQuestion,
) -> Result<[Verdict; Tuned::COUNT], StudyError> {
    let untouched = Verdict::Fitted {
        factor: 1.0,
        low: 1.0,
        high: 1.0,
    };
    let mut verdicts = [untouched; Tuned::COUNT];
    for (at, verdict) in verdicts.iter_mut().enumerate() {
        if figure(bench.house(), at).0 <= 0.0 {
            *verdict = Verdict::Absent;
        } else if question.held.contains(&at) {
            *verdict = Verdict::Held;
        }
    }
    let tried = active(&verdicts);
    if tried.is_empty() {
        return Ok(verdicts);
    }
    let slopes = jacobian(&bench.problem(&tried), &vec![0.0; tried.len()])?;
    for (column, at) in slopes.column_iter().zip(tried) {
        let change_k = TENTH * column.norm() / (column.len() as f64).sqrt();
        if change_k < UNTOLD_K {
            verdicts[at] = Verdict::Untold { change_k };
        }
    }
    Ok(verdicts)
}

fn alike(spread: &Spread, active: &[usize]) -> Vec<(usize, usize, f64)> {
    let mut pairs = Vec::new();
    for (a, row) in spread.correlation.iter().enumerate() {
        for (b, correlation) in row.iter().enumerate().skip(a + 1) {
            if correlation.abs() > ALIKE {
                pairs.push((active[a], active[b], *correlation));
            }
        }
    }
    pairs
}
