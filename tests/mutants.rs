//! Files changed within their grammar, thousands of them: each is read or refused in words, and what `check` accepts every
//! later stage runs.
//!
//! The number of inputs is fixed, and the same number gives the same file. `BEDYEAR_MUTANTS=1000000` tries a million (on two
//! cores some hours); `BEDYEAR_WHOLE=5000` lets so many projects run through all stages. DEVELOPERS.md says what was found so.

#[path = "mutants/grammar.rs"]
mod grammar;
#[path = "made/epw.rs"]
mod made_epw;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicUsize, Ordering};

use bedyear::crops::Table;
use bedyear::file::{self, PROBLEMS_MAX};
use bedyear::journal::{self, Known};
use bedyear::output::view::YearKind;
use bedyear::output::{build, ical};
use bedyear::plan::{PlanFile, SolveOptions};
use bedyear::site::{climates, epw};
use bedyear::study::{self, Job, SideFiles, StudyError};
use bedyear::tune::logger;
use bedyear::value::receipts;
use grammar::{Grammar, mutant};
use rayon::prelude::*;

/// Inputs where nothing else is asked for: about half a minute on two cores.
const INPUTS: u64 = 12_000;
/// Projects that run through all stages where nothing else is asked for: about half a minute.
const WHOLE: u64 = 40;

/// A number from the environment.
fn asked(name: &str, usual: u64) -> u64 {
    std::env::var(name)
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(usual)
}

/// A project quick to simulate and to plan.
const SMALL: &str = include_str!("mutants/small.toml");

const CALENDAR: &str = include_str!("../fuzz/seeds/calendar_file/beds.ics");

fn projects() -> Vec<String> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all = vec![SMALL.to_owned()];
    for folder in ["examples", "tests/file/keys", "fuzz/seeds/project"] {
        let mut paths: Vec<_> = std::fs::read_dir(root.join(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
            .collect();
        paths.sort();
        all.extend(
            paths
                .iter()
                .map(|path| std::fs::read_to_string(path).unwrap()),
        );
    }
    all
}

/// Everything a file can be, and the reader of its kind.
struct Sources {
    projects: Vec<String>,
    table: Table,
    crops: Vec<String>,
    climates: Vec<&'static str>,
    epw: String,
}

impl Sources {
    fn new() -> Self {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let crop = |name: &str| std::fs::read_to_string(root.join(name)).unwrap();
        Self {
            projects: projects(),
            table: Table::builtin().unwrap(),
            crops: [
                "crops/kale.toml",
                "crops/tomato_cherry.toml",
                "crops/potato.toml",
            ]
            .map(crop)
            .to_vec(),
            climates: climates::names()
                .into_iter()
                .filter_map(climates::text)
                .collect(),
            epw: made_epw::epw(),
        }
    }

    /// Makes one file and has it read; the text comes back for what went wrong.
    fn try_one(&self, number: u64) -> (String, Result<(), String>) {
        let at = number as usize / 9;
        let pick = |all: &[String]| all[at % all.len()].clone();
        let (seed, grammar) = match number % 9 {
            0 | 1 => (pick(&self.projects), Grammar::Project),
            2 => (pick(&self.crops), Grammar::Keys),
            3 => (
                self.climates[at % self.climates.len()].to_owned(),
                Grammar::Keys,
            ),
            4 => (
                include_str!("../fuzz/seeds/plan_file/plan.toml").to_owned(),
                Grammar::Keys,
            ),
            5 => (
                include_str!("../fuzz/seeds/receipts/paid.csv").to_owned(),
                Grammar::Rows,
            ),
            6 => (
                include_str!("../fuzz/seeds/journal/commas.csv").to_owned(),
                Grammar::Rows,
            ),
            7 => (
                include_str!("../fuzz/seeds/logger/celsius.csv").to_owned(),
                Grammar::Rows,
            ),
            // A whole year of weather is long; every tenth of this turn.
            _ if at.is_multiple_of(10) => (self.epw.clone(), Grammar::Rows),
            _ => (CALENDAR.to_owned(), Grammar::Properties),
        };
        let text = mutant(&seed, grammar, number);
        let read = catch_unwind(AssertUnwindSafe(|| self.read(number % 9, &text)));
        (text, read.unwrap_or_else(|_| Err("a panic".to_owned())))
    }

    fn read(&self, kind: u64, text: &str) -> Result<(), String> {
        let said = |words: String| {
            if words.trim().is_empty() {
                Err("refused without a word".to_owned())
            } else {
                Ok(())
            }
        };
        match kind {
            0 | 1 => match file::parse("any.toml", text) {
                Ok(project) => {
                    let _ = (
                        file::check::warnings(&project),
                        file::check::cautions(&project),
                    );
                    let facts = file::check::facts(&project);
                    let mut amounts = facts.iter().filter_map(|fact| fact.amount);
                    match amounts.all(f64::is_finite) {
                        true => Ok(()),
                        false => Err("a fact that is no number".to_owned()),
                    }
                }
                Err(error) if error.problems.is_empty() || error.problems.len() > PROBLEMS_MAX => {
                    Err(format!("{} problems", error.problems.len()))
                }
                Err(error) => said(error.to_string()).and(said(error.render(false))),
            },
            2 => match self.table.clone().with_overrides([("any.toml", text)]) {
                Ok(_) => Ok(()),
                Err(error) if error.problems[0].line > 0 => said(error.to_string()),
                Err(_) => Err("no line".to_owned()),
            },
            3 => match climates::parse("any.toml", text) {
                Ok(_) => Ok(()),
                Err(error) if error.to_string().starts_with("any.toml:") => Ok(()),
                Err(error) => Err(format!("no file and line: {error}")),
            },
            4 => match PlanFile::parse(text) {
                Ok(_) => Ok(()),
                Err(error) if error.line(text) > 0 => said(error.to_string()),
                Err(_) => Err("no line".to_owned()),
            },
            5 => {
                let read = receipts::read(text);
                let finite = read
                    .bought
                    .iter()
                    .all(|row| row.kg.is_finite() && row.paid.is_finite());
                finite
                    .then_some(())
                    .ok_or_else(|| "an amount that is no number".to_owned())
            }
            6 => {
                let known = Known {
                    beds: &["north"],
                    table: &self.table,
                    currency: "USD",
                };
                drop(journal::read("any.csv", text, &known));
                Ok(())
            }
            7 => {
                let options = logger::Options {
                    wanted: logger::Wanted::default(),
                    clock: logger::Clock::Standard,
                    utc_offset_h: -7.0,
                    order: None,
                    fahrenheit: None,
                };
                logger::read("any.csv", text, &options)
                    .map(drop)
                    .or_else(|error| said(error.to_string()))
            }
            _ if text.contains("LOCATION") || !text.contains("VCALENDAR") => {
                epw::read("any.epw", text)
                    .map(drop)
                    .or_else(|error| said(error.to_string()))
            }
            _ => match ical::read_earlier(text) {
                Ok(_) => Ok(()),
                Err(error)
                    if error
                        .split(':')
                        .next()
                        .is_some_and(|line| line.parse::<usize>().is_ok()) =>
                {
                    Ok(())
                }
                Err(error) => Err(format!("no line: {error}")),
            },
        }
    }
}

#[test]
fn every_changed_file_is_read_or_refused_in_words() {
    let sources = Sources::new();
    let wrong: Vec<String> = (0..asked("BEDYEAR_MUTANTS", INPUTS))
        .into_par_iter()
        .filter_map(|number| {
            let (text, read) = sources.try_one(number);
            let why = read.err()?;
            let shown: String = text.chars().take(4000).collect();
            Some(format!("input {number}: {why}\n{shown}"))
        })
        .collect();
    assert!(
        wrong.is_empty(),
        "{} inputs; the first: {}",
        wrong.len(),
        wrong[0]
    );
}

/// Most sections of a garden that the test plans: larger ones are as right and take longer.
const SECTIONS_MAX: usize = 60;

/// A changed project as `check` opens it; none where it is refused, or large.
fn accepted(text: &str) -> Option<Job> {
    let mut project = file::parse("any.toml", text).ok()?;
    // Where the file leaves them open a bed has two to six.
    let sections = project.household.gardening.sections.unwrap_or(6);
    let per_bed = |bed: &file::Bed| match bed.patch_m2 {
        Some(patch_m2) => (bed.area_m2 / patch_m2).ceil() as usize,
        None => sections,
    };
    if project.beds.iter().map(per_bed).sum::<usize>() > SECTIONS_MAX {
        return None;
    }
    project.planning.weather_years = project.planning.weather_years.min(2);
    Job::new(project, &SideFiles::default()).ok()
}

/// Every stage with an accepted project; failed work is told, and no refusal.
fn through_all_stages(job: &Job) -> Result<(), String> {
    let stage = |name: &'static str| move |error: StudyError| (name, Box::new(error));
    let run = || -> Result<(), (&'static str, Box<StudyError>)> {
        let weathers = study::weather_years(job);
        let climate =
            study::climate(job, &job.project.house, &weathers).map_err(stage("climate"))?;
        let heater = study::heater(job, &climate.years, &weathers).map_err(stage("heater"))?;
        build::climate(job, &climate, YearKind::Settled, heater.as_ref());
        let season =
            study::season(job, climate.tried(), &weathers, None).map_err(stage("season"))?;
        build::season(job, &season);
        let options = SolveOptions {
            work_limit: 200,
            ..SolveOptions::default()
        };
        let plan = study::plan(job, &climate, &options).map_err(stage("plan"))?;
        let view = build::plan(job, &climate, &plan);
        ical::render(&view, &[], ical::CalendarStyle::default());
        let value = study::value(job, &climate, &plan).map_err(stage("value"))?;
        build::value(job, &plan, &value);
        Ok(())
    };
    match run() {
        Err((stage, error)) if error.is_input() => {
            Err(format!("{stage} refuses what `check` accepts: {error}"))
        }
        _ => Ok(()),
    }
}

#[test]
fn what_check_accepts_every_verb_runs() {
    /// Changed files tried until one is accepted.
    const TRIES: u64 = 25;
    let projects = projects();
    let (wanted, ran) = (asked("BEDYEAR_WHOLE", WHOLE), AtomicUsize::new(0));
    let wrong: Vec<String> = (0..wanted)
        .into_par_iter()
        .filter_map(|number| {
            // The small project in most turns; the others are what people write.
            let of_people = number.is_multiple_of(4);
            let which = if of_people {
                number as usize / 4 % projects.len()
            } else {
                0
            };
            let (text, opened) = (0..TRIES).find_map(|at| {
                let text = mutant(
                    &projects[which],
                    Grammar::Project,
                    1_000_000_000 + TRIES * number + at,
                );
                let opened = catch_unwind(AssertUnwindSafe(|| accepted(&text)));
                match opened {
                    Ok(job) => job.map(|job| (text, Ok(job))),
                    Err(_) => Some((text, Err("a panic".to_owned()))),
                }
            })?;
            ran.fetch_add(1, Ordering::Relaxed);
            let done = opened.and_then(|job| {
                catch_unwind(AssertUnwindSafe(|| through_all_stages(&job)))
                    .unwrap_or_else(|_| Err("a panic".to_owned()))
            });
            Some(format!("project {number}: {}\n{text}", done.err()?))
        })
        .collect();
    let ran = ran.into_inner();
    println!("{ran} projects were accepted and ran through all stages");
    for why in wrong.iter().filter_map(|wrong| wrong.lines().next()) {
        println!("{why}");
    }
    assert!(
        wrong.is_empty(),
        "{} projects; the first: {}",
        wrong.len(),
        wrong[0]
    );
    assert!(
        ran * 2 > wanted as usize,
        "{ran} of {wanted}: too few to say anything"
    );
}
