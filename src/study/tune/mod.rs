//! The building tuned to a logger: the dates of its record simulated, uncertain figures fitted, the fit judged.

mod apply;
mod clock;
mod days;
mod growth;
mod run;

pub use apply::{Total, figure};
pub use clock::Stamps;
pub use days::{DayResidual, Quality};
pub use growth::{CropGrowth, FirstHarvest, HARVESTS_MIN, growth};

use super::{Job, StudyError};
use crate::house::Tuned;
use crate::tune::certainty::{Certainty, certainty, effective_noise, mean, moves};
use crate::tune::fit::{fit, jacobian};
use crate::tune::logger::{Reading, Record};
use apply::{Told, told_apart, total, with_the_rest_held};
use chrono::NaiveDateTime;
use rayon::prelude::*;
use run::{Bench, Observed};

/// What to tune to, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct TuneQuestion {
    pub record: Record,
    /// Factors to leave alone, by their place in [`Tuned::NAMES`].
    pub held: Vec<usize>,
    /// Share of the record, at its end, that is kept out of the fit, 0 to 0.9.
    pub held_out: f64,
    /// Hours by which the logger's clock is behind; none: found from the record.
    pub shift_h: Option<f64>,
    /// What the stamp of a row stands for; none: found from the record.
    pub stamps: Option<Stamps>,
    /// Is the job's weather an hourly file of the record's own dates?
    pub own_weather: bool,
}

/// What became of one factor; ranges hold 90 % of the cases.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// Fitted: factor on the building as it was, and its range.
    Fitted { factor: f64, low: f64, high: f64 },
    /// Leaks and faces cannot be told apart: one factor on both, so that what they lose together is right.
    Together { factor: f64, low: f64, high: f64 },
    /// The record says little of it: left as described, with the range that it leaves.
    Faint { low: f64, high: f64 },
    /// Left alone as asked.
    Held,
    /// The building has nothing for it to act on.
    Absent,
    /// A tenth more or less changes the record by so little that it says nothing: root mean square, K.
    Untold { change_k: f64 },
}

/// A building tuned.
#[derive(Clone, Debug, PartialEq)]
pub struct TuneStudy {
    /// First and last reading, on the logger's clock.
    pub span: (NaiveDateTime, NaiveDateTime),
    /// Hours of readings that were fitted to, and kept out.
    pub hours: (usize, usize),
    /// Hours by which the logger's clock is behind local standard time, to a quarter of an hour.
    pub shift_h: f64,
    /// What the stamp of a row stands for; none where rows are too short to tell.
    pub stamps: Option<Stamps>,
    /// Whether that was given, not found.
    pub shift_given: bool,
    /// Factors of the file before.
    pub before: Tuned,
    /// Factors of the file as it would be.
    pub after: Tuned,
    /// What became of each factor, in the order of [`Tuned::NAMES`].
    pub verdicts: [Verdict; Tuned::COUNT],
    /// How sure the fitted factors are, in their order; none where nothing was fitted.
    pub certainty: Option<Certainty>,
    /// What leaks and faces lose together; none where neither was fitted.
    pub total: Option<Total>,
    pub converged: bool,
    /// Residuals of the hours fitted to.
    pub train: Quality,
    /// Residuals of the hours kept out; none where none were.
    pub kept_out: Option<Quality>,
    /// Residuals of the root zone, where the logger has it: fitted hours and the others together.
    pub root_zone: Option<Quality>,
    pub days: Vec<DayResidual>,
}

/// Error of a reading with which the first fit weighs what is known beforehand, K; the second takes what the first left
/// (own choice).
const FIRST_NOISE_K: f64 = 1.0;
/// Change of the air below which a tenth of a factor says nothing, root mean square, K: a tenth of the noise of a
/// good sensor (own choice).
const UNTOLD_K: f64 = 0.02;
/// Ten per cent, as a logarithm of the factor.
const TENTH: f64 = 0.1;
/// Hours of readings below which nothing is fitted: a week (own choice).
const HOURS_MIN: usize = 7 * 24;
/// Years drawn for the weather that is not known (own choice).
const DRAWS: usize = 10;
/// Fits one after the other at most, each from the state that the house of the one before settles in (own choice).
const PASSES: usize = 5;
/// Step of a pass below which the next would begin where it did: a hundredth of a factor (own choice).
const STILL: f64 = 0.01;

/// Tunes a job's building to a record.
///
/// # Errors
/// [`StudyError::Tune`] where the record is too short, or has no weather outside to go by; [`StudyError::House`] as the
/// simulation.
pub fn tune(job: &Job, question: &TuneQuestion) -> Result<TuneStudy, StudyError> {
    let record = &question.record;
    let grounded = question.own_weather.then(|| job.with_usual_ground());
    let grounded = grounded.flatten();
    let job = grounded.as_ref().unwrap_or(job);
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
    let stamps = question.stamps;
    let offset_h = stamps.map_or(0.0, |stamps| stamps.to_middle_h(record.interval_min));
    let mut bench = Bench::new(job, record, &observed)?;
    bench.shift(match question.shift_h {
        Some(given_h) => given_h + offset_h,
        None => clock::shift_h(&bench, &Tuned::default())?,
    });
    let mut verdicts = first_look(&bench, question)?;
    let active: Vec<usize> = active(&verdicts);
    let free = question.shift_h.is_none();
    let mut parameters = vec![0.0; active.len() + usize::from(free)];
    let mut noise_k = FIRST_NOISE_K;
    let mut found = None;
    for pass in 0..PASSES {
        if active.is_empty() {
            break;
        }
        let problem = bench.problem(&active, free, noise_k);
        let fitted = fit(|at: &[f64]| problem.residuals(at), &parameters)?;
        let moved = fitted.parameters.iter().zip(&parameters);
        let moved = moved
            .map(|(new, old)| (new - old).abs())
            .fold(0.0, f64::max);
        parameters.clone_from(&fitted.parameters);
        if free && let Some(clock) = parameters.last_mut() {
            bench.shift(bench.shift_h + std::mem::take(clock));
        }
        let readings = &fitted.residuals[..observed.train().len()];
        let last = pass + 1 == PASSES || (pass > 0 && moved < STILL);
        if !last {
            noise_k = effective_noise(readings);
            bench.settle(&run::factors(&active, &parameters[..active.len()]))?;
        }
        found = Some(fitted);
        if last {
            break;
        }
    }
    let seed = job.project.planning.seed;
    let draws = job.site.weather_years(DRAWS, seed, observed.first_year);
    let benches = draws.iter();
    let benches = benches.map(|draw| bench.under(draw, question.own_weather));
    let benches: Vec<Bench<'_>> = benches.collect();
    let moved = match &found {
        Some(fit) => moves_by_weather(&bench, &benches, &active, &parameters, &fit.jacobian)?,
        _ => Vec::new(),
    };
    if !moved.is_empty() {
        for (parameter, by) in parameters.iter_mut().zip(mean(&moved).iter()) {
            *parameter -= by;
        }
        if free && let Some(clock) = parameters.last_mut() {
            bench.shift(bench.shift_h + std::mem::take(clock));
        }
    }
    let mut logs = parameters[..active.len()].to_vec();
    let sure = found.as_ref().and_then(|fit| {
        let readings = &fit.residuals[..observed.train().len()];
        certainty(readings, &fit.jacobian, noise_k, &moved)
    });
    let total = sure
        .as_ref()
        .and_then(|sure| total(job, &active, &logs, sure));
    if let (Some(sure), Some(fit)) = (&sure, &found) {
        let told = told_apart(&active, &logs, sure, total.as_ref());
        logs = with_the_rest_held(&fit.jacobian, &logs, &told);
        for (place, &at) in active.iter().enumerate() {
            let side = sure.deviations_90 * sure.standard_error[place];
            let factor = logs[place].exp();
            let (low, high) = (
                (parameters[place] - side).exp().min(factor),
                (parameters[place] + side).exp().max(factor),
            );
            verdicts[at] = match (told[place], total) {
                (Told::Apart, _) => Verdict::Fitted { factor, low, high },
                (Told::Together(_), Some(total)) => Verdict::Together {
                    factor,
                    low: total.low_w_k / total.before_w_k,
                    high: total.high_w_k / total.before_w_k,
                },
                _ => Verdict::Faint { low, high },
            };
        }
    }
    let factors = run::factors(&active, &logs);
    let judges = match question.own_weather {
        true => &[][..],
        false => &benches[..],
    };
    let nominal = usual_series(&bench, judges, &Tuned::default())?;
    let tuned = usual_series(&bench, judges, &factors)?;
    let judged = days::judge(&bench, &nominal, &tuned);
    let before = job.project.built.tuned;
    let (stamps, shift_h) = match question.shift_h {
        Some(given_h) => (question.stamps, given_h),
        None => clock::told(bench.shift_h, record.interval_min, question.stamps),
    };
    let readings = &record.readings;
    let at = |reading: Option<&Reading>| reading.map_or(NaiveDateTime::MIN, |one| one.at);
    Ok(TuneStudy {
        span: (at(readings.first()), at(readings.last())),
        hours: (observed.train().len(), observed.kept_out().len()),
        shift_h,
        stamps,
        shift_given: question.shift_h.is_some(),
        before,
        after: factors.times(&before),
        verdicts,
        total,
        certainty: sure,
        converged: found.is_none_or(|fit| fit.converged),
        train: judged.train,
        kept_out: judged.kept_out,
        root_zone: judged.root_zone,
        days: judged.days,
    })
}

/// By how much the parameters that were found hang on weather that nobody saw: what they move by with each of some years
/// that may have gone before the record, and given it sun and wind where its own are not known, against what was fitted with.
fn moves_by_weather(
    bench: &Bench<'_>,
    others: &[Bench<'_>],
    active: &[usize],
    parameters: &[f64],
    jacobian: &nalgebra::DMatrix<f64>,
) -> Result<Vec<nalgebra::DVector<f64>>, StudyError> {
    let factors = run::factors(active, &parameters[..active.len()]);
    let usual = bench.off_k(&factors, bench.shift_h)?;
    let changes = others.par_iter().map(|other| {
        let off = other.off_k(&factors, other.shift_h)?;
        Ok(off.iter().zip(&usual).map(|(a, b)| a - b).collect())
    });
    let changes = changes.collect::<Result<Vec<Vec<f64>>, StudyError>>()?;
    Ok(moves(jacobian, &changes).unwrap_or_default())
}

/// The simulated record: under its own weather, or the mean under the years that may have been.
fn usual_series(
    bench: &Bench<'_>,
    others: &[Bench<'_>],
    tuned: &Tuned,
) -> Result<run::Series, StudyError> {
    if others.is_empty() {
        return bench.series(tuned);
    }
    let all = others.par_iter().map(|other| other.series(tuned));
    let all = all.collect::<Result<Vec<_>, StudyError>>()?;
    Ok(run::Series::mean(&all))
}

fn active(verdicts: &[Verdict; Tuned::COUNT]) -> Vec<usize> {
    let fitted = |at: &usize| matches!(verdicts[*at], Verdict::Fitted { .. });
    (0..Tuned::COUNT).filter(fitted).collect()
}

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
        if figure(&bench.job.project.house, at).0 <= 0.0 {
            *verdict = Verdict::Absent;
        } else if question.held.contains(&at) {
            *verdict = Verdict::Held;
        }
    }
    let tried = active(&verdicts);
    if tried.is_empty() {
        return Ok(verdicts);
    }
    let problem = bench.problem(&tried, false, 0.0);
    let slopes = jacobian(&|at: &[f64]| problem.residuals(at), &vec![0.0; tried.len()])?;
    for (column, at) in slopes.column_iter().zip(tried) {
        let change_k = TENTH * column.norm() / (column.len() as f64).sqrt();
        if change_k < UNTOLD_K {
            verdicts[at] = Verdict::Untold { change_k };
        }
    }
    Ok(verdicts)
}
