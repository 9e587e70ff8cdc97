//! Sowings that a plan may hold: those that come through often enough, and those asked for.

use std::collections::BTreeMap;

use chrono::Datelike;

use super::{Asked, Origin, Problem, foods, gardening, horizon, winters};
use crate::calendar::{day_of_date, week_of_day};
use crate::crops::{Crop, Way};
use crate::file::Winter;
use crate::plan::candidate::{Demands, Outcome, candidates, outcome_of, outcomes, shift};
use crate::plan::planfile::weeks_in_bed;
use crate::plan::{Closing, Instance};
use crate::study::{Job, StudyError};

/// Every sowing that comes through often enough in some calendar year of the horizon, and those asked for.
pub(super) fn add_candidates(
    job: &Job,
    climates: &horizon::YearClimates,
    problem: &mut Problem,
    asked: &[Asked],
) -> Result<(), StudyError> {
    let years = calendar_years(&problem.instance);
    let first = problem.instance.start.year();
    let set_of = |year: usize| climates.set_of(first + year as i32);
    let refs: Vec<Crop> = problem.crops.clone();
    let refs: Vec<&Crop> = refs.iter().collect();
    let mut found: Vec<(usize, Vec<Outcome>)> = Vec::new();
    for set in 0..climates.sets.len() {
        if !(0..years).any(|year| set_of(year) == set) {
            continue;
        }
        let own: &Problem = problem;
        let kept = |all: Vec<Outcome>| {
            let mut luck = Luck::default();
            let mut through = |outcome: &Outcome| luck.in_all(own, outcome) >= IN_ALL_LEAST;
            let sown = all.into_iter().filter(|outcome| through(outcome)).collect();
            // Cleared early, some no longer come through.
            gardening::with_early_ends(gardening::not_caught_up(sown), through)
        };
        let mut sown = outcomes(
            &refs,
            &climates.sets[set],
            &Demands::default(),
            |climate| {
                own.instance
                    .beds
                    .iter()
                    .any(|class| class.climate == climate)
            },
            |way, sow_week, bed_week| gardening::on_a_day(job, way, (sow_week, bed_week)),
            kept,
        );
        sown.extend(problem.demanded(job, &climates.sets[set], &sown));
        found.push((set, sown));
    }
    if job.project.planning.winter == Winter::Hard {
        let southern = job.site.place.latitude_deg < 0.0;
        let all = found.iter().flat_map(|(_, list)| list);
        problem.winters = Some(winters::hard_winters(all, southern));
        problem.notes.push(format!(
            "planned for the hard winters: the mean of the {:.0} % of the simulated years whose winters bear least",
            100.0 * winters::HARD_SHARE
        ).into());
    }
    for (set, list) in found {
        for outcome in list {
            let of_set = (0..years).filter(|year| set_of(*year) == set);
            problem.add(job, outcome, of_set.collect(), false)?;
        }
    }
    for one in asked {
        add_asked(job, climates, problem, one)?;
    }
    Ok(())
}

/// Least share of the years in which a sowing that a plan may hold comes through, losses beside the weather counted (own
/// choice: what fails in more than one year of three is none to count on). What it cost the
/// example while usual losses still failed a planting: 199 to 216 USD replaced with it (five amounts of search), 203 with 0.6, 252 with
/// 0.5; since they do not, 254 with it, the others not tried anew.
pub(super) const IN_ALL_LEAST: f64 = 2.0 / 3.0;
/// Fates drawn in each year for that: with 30 years the share is sure to some 3 points, and of thousands of sowings few pass by
/// luck.
const OFFER_DRAWS: usize = 8;

/// What is left beside the weather of a crop's sowings, drawn once for each way and week: it hangs neither on the bed's climate nor
/// on the day of clearing.
#[derive(Default)]
pub(super) struct Luck {
    left: BTreeMap<(Way, usize), Vec<f64>>,
}

impl Luck {
    /// Share of the years in which a sowing comes through, all losses counted.
    pub(super) fn in_all(&mut self, problem: &Problem, outcome: &Outcome) -> f64 {
        let drawn = || {
            let years = 0..outcome.years.count();
            let draws = years.flat_map(|year| (0..OFFER_DRAWS).map(move |draw| (year, draw)));
            draws
                .map(|drawn| problem.fate(0, outcome, drawn).left)
                .collect()
        };
        let sown = (outcome.way, outcome.sow_week);
        let left: &Vec<f64> = self.left.entry(sown).or_insert_with(drawn);
        let of = |year, draw| left[year * OFFER_DRAWS + draw];
        outcome.through().in_all(OFFER_DRAWS, of)
    }
}

/// Calendar years that an open horizon touches; 1 for a settled year.
fn calendar_years(instance: &Instance) -> usize {
    match instance.closing {
        Closing::EachBed => 1,
        Closing::Open => {
            let last = instance
                .date_of_week(instance.weeks.saturating_sub(1))
                .year();
            (last - instance.start.year() + 1).max(1) as usize
        }
    }
}

/// Adds a sowing that a person asks about, unless it is among the candidates.
fn add_asked(
    job: &Job,
    climates: &horizon::YearClimates,
    problem: &mut Problem,
    asked: &Asked,
) -> Result<(), StudyError> {
    let Some(crop) = problem.crops.iter().position(|crop| crop.id == asked.crop) else {
        return Ok(());
    };
    let start = problem.instance.start;
    let (calendar_year, week) = match problem.instance.closing {
        Closing::EachBed => (0, week_of_day(day_of_date(asked.sow))),
        Closing::Open => {
            let Ok(year) = usize::try_from(asked.sow.year() - start.year()) else {
                return Ok(());
            };
            (year, week_of_day(day_of_date(asked.sow)))
        }
    };
    let shift = shift(&problem.instance, calendar_year as isize);
    let Some(sow_week) = usize::try_from(week as isize + shift)
        .ok()
        .and_then(|week| problem.instance.week_index(week))
    else {
        return Ok(());
    };
    let weeks_of = |tray_weeks: usize| weeks_in_bed(asked.sow, asked.clear?, tray_weeks);
    let there = problem.instance.candidates.iter().any(|candidate| {
        candidate.crop == asked.crop
            && candidate.sow_week == sow_week
            && (candidate.tray_weeks > 0) == (asked.way == crate::crops::Way::Tray)
            && problem.instance.beds[candidate.bed_class].climate == asked.climate
            && weeks_of(candidate.tray_weeks).is_none_or(|weeks| weeks >= candidate.weeks)
    });
    if there {
        return Ok(());
    }
    let set = &climates.sets[climates.set_of(start.year() + calendar_year as i32)];
    let kind = problem.crops[crop].clone();
    if let Some(mut outcome) = outcome_of((crop, &kind), set, asked.climate, (asked.way, week)) {
        // Cleared early, it bears until then.
        let weeks = weeks_of(outcome.bed_week - outcome.sow_week);
        if let Some(weeks) = weeks.filter(|weeks| *weeks < outcome.weeks) {
            gardening::clear_after(&mut outcome, weeks);
        }
        problem.add(job, outcome, vec![calendar_year], true)?;
    }
    Ok(())
}

impl Problem {
    /// Adds an outcome with its candidates; one that bears nothing on the horizon only when `empty_too`.
    fn add(
        &mut self,
        job: &Job,
        outcome: Outcome,
        years: Vec<usize>,
        empty_too: bool,
    ) -> Result<(), StudyError> {
        let crop = self.crops[outcome.crop].clone();
        let food = foods::food_place(&mut self.instance, &self.market, &crop, self.cellar_c);
        let family = foods::family_place(job, &mut self.instance, &crop);
        let outlay = foods::outlay(job, &self.household, &crop, outcome.way)?;
        let kg_m2 = self.expected_kg_m2(&outcome);
        let place = self.outcomes.len();
        for calendar_year in years {
            let found = candidates(
                &self.instance,
                (&outcome, calendar_year as isize),
                &crop,
                (food, family),
                &kg_m2,
                &outlay,
            );
            for mut candidate in found {
                if !empty_too {
                    gardening::pick_what_is_worth_it(job, &self.instance, &crop, &mut candidate);
                    if candidate.harvest.is_empty() {
                        continue;
                    }
                }
                self.instance.candidates.push(candidate);
                self.origins.push(Origin {
                    outcome: place,
                    calendar_year: calendar_year as isize,
                    sown: None,
                });
            }
        }
        self.outcomes.push(outcome);
        Ok(())
    }
}
