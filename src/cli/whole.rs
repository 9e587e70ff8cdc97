//! Runs the stages one after the other for the verbs that need them all, with progress on standard error.

use std::io::IsTerminal;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::file::{Simple, Winter};
use crate::journal::Journal;
use crate::output::build;
use crate::output::view::{ClimateView, ReportView, YearKind};
use crate::plan::{PlanFile, Progress, SolveOptions};
use crate::site::Weathers;
use crate::study::{
    self, ClimateStudy, HeatAsked, Job, PlanCheck, PlanStudy, ReplanStudy, SeasonStudy, SecondPass,
    StudyError,
};
use chrono::NaiveDate;
use indicatif::{ProgressBar, ProgressStyle};

use super::common::within;
use super::failure::{Failure, say};
use super::load::{InputKind, printable, read_earlier};

/// How long and how near the plan is searched for.
#[derive(clap::Args, Clone, Debug)]
pub struct Search {
    /// Plan from this day on (YYYY-MM-DD, or `today` by this machine's clock) with the beds as they are, in place of a
    /// year that closes on itself
    #[arg(long, value_name = "DAY", value_parser = super::common::day_or_today)]
    from: Option<NaiveDate>,
    /// Months that a plan from a day on covers
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=24))]
    months: Option<u16>,
    /// Plan for the mean of all winters, or for the fifth that bear least
    #[arg(long, value_enum)]
    winter: Option<Winter>,
    /// Take a saved plan in place of a search (see `plan --save`)
    #[arg(long, value_name = "PLAN.toml")]
    pub plan: Option<std::path::PathBuf>,
    /// Keep to a former plan (`plan --save`) while no other gains 1 % of its food's worth, and mend it where it no longer works
    #[arg(long, value_name = "PLAN.toml", conflicts_with = "plan")]
    near: Option<std::path::PathBuf>,
    /// Take the best plan found, however good the former one is
    #[arg(long)]
    anew: bool,
    /// Most kinds of crop in the plan
    #[arg(long, value_name = "N", value_parser = kinds)]
    kinds: Option<u16>,
    /// How simple: few is at most 5 kinds of crop, usual 8, "most food" as many as pay for the time they take
    #[arg(long, value_enum, conflicts_with = "kinds")]
    simple: Option<Simple>,
    /// Stop when the plan is proven within this share of the best, in percent
    #[arg(long, value_name = "PERCENT", default_value_t = 1.0, value_parser = within(0.0..=100.0, "a number from 0 to 100"), allow_hyphen_values = true)]
    gap: f64,
    /// Stop after this much counted work (the same on every machine)
    #[arg(long, value_name = "STEPS")]
    work: Option<u64>,
    /// Stop after so many seconds; the plan may then differ from run to run
    #[arg(long, value_name = "SECONDS", value_parser = seconds)]
    seconds: Option<f64>,
}

/// A search, and whether climate and plan are made once more on the plan's own leaves.
#[derive(clap::Args, Clone, Debug)]
pub struct Passes {
    #[command(flatten)]
    pub search: Search,
    /// Once more with the leaves of the plan: their area, which shades and breathes, takes the place of `crop.leaf_area`,
    /// the building is simulated anew and the plan made on that climate
    #[arg(long, conflicts_with = "from")]
    second_pass: bool,
}

/// How many kinds a plan may have.
fn kinds(text: &str) -> Result<u16, String> {
    let found = text.trim().parse().ok();
    found.filter(|kinds| (1..=1000).contains(kinds)).ok_or_else(|| {
        "a number of kinds from 1 to 1000 belongs there; few, usual and most-food go with --simple".to_owned()
    })
}

impl Search {
    /// Sets over the project what the command line says of the plan.
    ///
    /// # Errors
    /// [`Failure::Input`] for a length without a start.
    pub fn set_over(&self, job: &mut Job) -> Result<(), Failure> {
        let planning = &mut job.project.planning;
        if let Some(from) = self.from {
            planning.from = Some(from);
        }
        if let Some(months) = self.months {
            if planning.from.is_none() {
                return Err(Failure::input(
                    "error: --months says how long a plan from a day on is; add --from YYYY-MM-DD",
                ));
            }
            planning.months = usize::from(months);
        }
        planning.winter = self.winter.unwrap_or(planning.winter);
        let gardening = &mut job.project.household.gardening;
        if let Some(kinds) = self.kinds {
            gardening.kinds = Some(usize::from(kinds));
        }
        if let Some(simple) = self.simple {
            gardening.kinds = None;
            gardening.simple = simple;
        }
        if let Some(path) = &self.near {
            job.former = Some(plan_file(path)?);
        }
        if let Some(path) = &self.plan {
            job.adopt(&plan_file(path)?);
        }
        job.anew = self.anew;
        Ok(())
    }
}

/// Reads a plan file.
pub fn plan_file(path: &Path) -> Result<PlanFile, Failure> {
    let text = read_earlier(path, InputKind::Plan)?;
    PlanFile::parse(&text).map_err(|error| {
        let line = error.line(&text);
        Failure::input(format!("error: {}:{line}: {error}", printable(path)))
    })
}

/// What is wrong with a plan file once it is held against the project, with its line.
pub fn plan_file_wrong(path: &Path, error: &StudyError) -> Failure {
    let line = match (error, read_earlier(path, InputKind::Plan)) {
        (StudyError::PlanFile(error), Ok(text)) => format!(":{}", error.line(&text)),
        _ => String::new(),
    };
    Failure::input(format!("error: {}{line}: {error}", printable(path)))
}

fn seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if value > 0.0 && value.is_finite() => Ok(value),
        _ => Err("a number of seconds above 0 belongs there".to_owned()),
    }
}

/// Raised by Ctrl-C while a plan is searched for.
static STOP: AtomicBool = AtomicBool::new(false);

/// What is being done while the season is worked out.
const CROPS_AGAINST_MONTHS: &str = "setting every crop against every month";

/// Climate, with its weather years.
pub fn climate(job: &Job) -> Result<(ClimateStudy, Weathers), Failure> {
    let (weathers, climate) = told(&simulating(job), || study::climate_of_years(job))?;
    Ok((climate, weathers))
}

/// The year inside as it is shown, with what the heater does to it, and every hour of it.
pub fn climate_shown(job: &Job, kind: YearKind) -> Result<(ClimateView, ClimateStudy), Failure> {
    let (_, climate, heater) = told(&simulating(job), || study::climate_and_heater(job))?;
    let view = build::climate(job, &climate, kind, heater.as_ref());
    Ok((view, climate))
}

fn simulating(job: &Job) -> String {
    let years = job.project.planning.weather_years;
    format!("simulating the house hour by hour over {years} years")
}

/// Says on a terminal what is being done while it lasts.
pub fn told<T>(what: &str, work: impl FnOnce() -> T) -> T {
    /// Milliseconds between two turns of the sign that shows that it goes on.
    const TURN_MS: u64 = 120;
    let bar = bar("{spinner} {msg}");
    bar.set_message(what.to_owned());
    bar.enable_steady_tick(std::time::Duration::from_millis(TURN_MS));
    let done = work();
    bar.finish_and_clear();
    done
}

/// Crops against months with the climate, and the heat that is asked for in the comparison of roofs.
pub fn climate_and_season(
    job: &Job,
    heat: Option<HeatAsked>,
) -> Result<(Weathers, ClimateStudy, SeasonStudy), Failure> {
    let doing = format!("{}, {CROPS_AGAINST_MONTHS}", simulating(job));
    let found = told(&doing, || study::climate_and_season(job, heat));
    Ok(found?)
}

/// The plan; Ctrl-C ends the search with the best plan so far.
pub fn plan(job: &Job, climate: &ClimateStudy, search: &Search) -> Result<PlanStudy, Failure> {
    plan_beside(job, climate, search, "plan")
}

/// The plan; `made` names it and what is made at the same time, so that its seconds are not taken for the plan's alone.
fn plan_beside(
    job: &Job,
    climate: &ClimateStudy,
    search: &Search,
    made: &str,
) -> Result<PlanStudy, Failure> {
    if let Some(path) = &search.plan {
        return saved_plan(job, climate, path);
    }
    searched(search, made, |options| study::plan(job, climate, options))
}

/// Climate and plan; where asked for, both once more on the plan's own leaves.
pub fn passes(
    job: &Job,
    weathers: &Weathers,
    climate: ClimateStudy,
    passes: &Passes,
) -> Result<(ClimateStudy, PlanStudy), Failure> {
    let first = plan(job, &climate, &passes.search)?;
    if !passes.second_pass {
        return Ok((climate, first));
    }
    let Some(leaf_area) = study::own_leaf_area(job, &first) else {
        return Err(Failure::input(
            "error: --second-pass takes the leaves of a whole year, and this plan runs from a day on; leave out `planning.from` or --second-pass",
        ));
    };
    let house = study::house_with_leaves(job, &leaf_area);
    let anew = study::climate(job, &house, weathers)?;
    let mut second = plan(job, &anew, &passes.search)?;
    let compared = SecondPass::between(job, (&climate, &first), leaf_area, (&anew, &second));
    second.second_pass = Some(compared);
    Ok((anew, second))
}

/// A plan made anew from the journal, near to the one agreed to; Ctrl-C ends the search with the best so far.
pub fn replan(
    job: &Job,
    climate: &ClimateStudy,
    search: &Search,
    journal: &Journal,
    agreed: Option<&PlanFile>,
) -> Result<ReplanStudy, Failure> {
    searched(search, "plan", |options| {
        study::replan(job, climate, journal, agreed, options)
    })
}

/// A plan by hand, beside the best of the same simplicity; the inner error is what the file says wrongly.
pub fn checked(
    job: &Job,
    climate: &ClimateStudy,
    search: &Search,
    file: &PlanFile,
) -> Result<Result<PlanCheck, StudyError>, Failure> {
    searched(search, "the best plan of the same simplicity", |options| {
        Ok(study::check_plan(job, climate, file, options))
    })
}

/// What a search finds, with its progress; `made` is what its seconds are told of.
fn searched<T>(
    search: &Search,
    made: &str,
    find: impl FnOnce(&SolveOptions) -> Result<T, StudyError>,
) -> Result<T, Failure> {
    // A second handler cannot be set; the first one does the same.
    let _ = ctrlc::set_handler(|| STOP.store(true, Ordering::Relaxed));
    let bar = bar("planning the beds {bar:30} {msg}");
    let tell = |progress: Progress| {
        bar.set_length(progress.work_limit);
        bar.set_position(progress.work);
        bar.set_message(format!(
            "worth {:.0}, at most {:.0} possible",
            progress.value, progress.bound
        ));
    };
    let usual = SolveOptions::default();
    let options = SolveOptions {
        gap: search.gap / 100.0,
        work_limit: search.work.unwrap_or(usual.work_limit),
        seconds: search.seconds,
        frontier: true,
        stop: Some(&STOP),
        progress: Some(&tell),
        ..usual
    };
    let started = std::time::Instant::now();
    let plan = find(&options).map_err(Failure::from);
    bar.finish_and_clear();
    if plan.is_ok() {
        let seconds = started.elapsed().as_secs_f64();
        say(&format!("{made} made in {seconds:.1} s"));
    }
    plan
}

/// A plan that was saved, as it does in this project.
fn saved_plan(job: &Job, climate: &ClimateStudy, path: &Path) -> Result<PlanStudy, Failure> {
    let file = plan_file(path)?;
    let plan = study::plan_from_file(job, climate, &file)
        .map_err(|error| plan_file_wrong(path, &error))?;
    for remark in &plan.found.remarks {
        say(&format!("warning: {}: {remark}", printable(path)));
    }
    Ok(plan)
}

/// Everything that the report shows.
pub fn report_view(job: &Job, asked: &Passes) -> Result<ReportView, Failure> {
    let (climate, weathers) = climate(job)?;
    let seen = |climate: &ClimateStudy| {
        let season = || study::season(job, climate.tried(), &weathers, None);
        let season = told(CROPS_AGAINST_MONTHS, season)?;
        let heater = study::heater(job, &climate.years, &weathers)?;
        let inside = build::climate(job, climate, YearKind::Settled, heater.as_ref());
        let tried = study::try_measures(job, &weathers)?;
        Ok::<_, Failure>((tried, (inside, build::season(job, &season))))
    };
    let (climate, seen, plan) = if asked.second_pass {
        let (climate, plan) = passes(job, &weathers, climate, asked)?;
        let seen = seen(&climate)?;
        (climate, seen, plan)
    } else {
        // Neither knows of the other, and the plan has stretches in which it keeps one core busy only.
        let made = "plan and season, side by side,";
        let plan = || plan_beside(job, &climate, &asked.search, made);
        let (seen, plan) = rayon::join(|| seen(&climate), plan);
        (climate, seen?, plan?)
    };
    let (tried, (inside, season)) = seen;
    let shortfalls = || {
        told("trying what would close the largest shortfalls", || {
            study::shortfalls(job, &climate, &tried, &plan)
        })
    };
    let money = || {
        let value = study::value(job, &climate, &plan)?;
        let planned = build::plan(job, &climate, &plan);
        Ok::<_, Failure>((build::value(job, &plan, &value), planned))
    };
    let (shortfalls, money) = rayon::join(shortfalls, money);
    let (value, mut planned) = money?;
    build::add_measures(&mut planned, &shortfalls?);
    Ok(build::report(job, inside, season, planned, value))
}

/// A progress bar on a terminal, nothing when piped.
pub fn bar(template: &str) -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let style =
        ProgressStyle::with_template(template).unwrap_or_else(|_| ProgressStyle::default_bar());
    ProgressBar::new(1).with_style(style)
}
