//! A plan as a file: read in place of a search, changed or not, and written to be kept.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, NaiveDate};

use super::planning::{Found, PlanStudy, Planting, lay_out, median_of, short_of};
use super::problem::{Asked, Problem, problem};
use super::{ClimateStudy, Job, StudyError};
use crate::calendar::{DAYS_PER_WEEK, years_later};
use crate::crops::Way;
use crate::file::Standing;
use crate::phrase::Phrase;
use crate::plan::assess::{Saved, SearchSaw, assess, to_grams};
use crate::plan::gaps::{Gap, Looked};
use crate::plan::planfile::{FilePlanting, FileSection, FileStanding, FileTurn};
use crate::plan::years::{Section, arrange};
use crate::plan::{Plan, PlanFile, PlanFileError, Questions, gap, schedule};

/// A loss below this is none, in the market's currency: half of what is shown.
const AS_GOOD_MONEY: f64 = 0.5;

impl Found {
    pub(super) fn from_file(problem: &Problem, file: &PlanFile) -> Result<Self, StudyError> {
        let plan = file.resolve(&problem.instance, &problem.places)?;
        let assessment = assess(problem.searched(), &plan);
        let saved = file.saved.as_ref();
        let bound = saved
            .and_then(|saved| saved.search.bound)
            .map_or(f64::INFINITY, |bound| bound.max(assessment.value));
        let broken = broken_rules(problem, &plan).into_iter();
        let remarks = broken.map(|rule| rule_broken(&rule));
        let simplicity = problem.instance.simplicity(&plan);
        let bare_beds = schedule::bare_beds(problem.searched());
        Ok(Self {
            gap_of_kinds: None,
            bound_of_kinds: None,
            former: None,
            simplicity,
            effort: problem.instance.effort.of(simplicity),
            value: assessment.value,
            searched: assessment.value,
            bound,
            gap: gap(assessment.value, bound, bare_beds),
            stopped: false,
            remarks: remarks.collect(),
            plan,
        })
    }
}

/// A broken rule as a remark on a plan.
pub fn rule_broken(rule: &str) -> Phrase {
    format!("a rule is broken: {rule}").into()
}

/// Rules that a plan breaks, in words: the one measure of every answer.
pub(super) fn broken_rules(problem: &Problem, plan: &Plan) -> Vec<String> {
    let faults = assess(problem.searched(), plan).faults;
    let words = faults.iter().map(|fault| problem.in_words(plan, fault));
    words.collect()
}

/// Takes a saved plan, changed by hand or not, in place of a search.
///
/// # Errors
/// [`StudyError`] as [`super::plan`], or for a file whose beds or sowings do not exist here.
pub fn plan_from_file(
    job: &Job,
    climate: &ClimateStudy,
    file: &PlanFile,
) -> Result<PlanStudy, StudyError> {
    let (job, problem) = problem_of(job, climate, file)?;
    let mut found = Found::from_file(&problem, file)?;
    found.remarks.extend(not_eaten(&job, &problem, file));
    let (_, turns) = arrange(&problem.instance, &problem.places, &found.plan, false);
    let mut study = lay_out(problem, found, turns)?;
    study.keep_days(file);
    Ok(study)
}

/// A plan as it is lived where it is only held against another.
pub(super) struct LivedPlan {
    pub(super) problem: Problem,
    /// Eaten per food and week, mean of the years, kg.
    pub(super) eaten_kg: Vec<Vec<f64>>,
    /// Those shortfalls alone that share a week with some asked after: which sowing would close one is tried by eating.
    pub(super) gaps: Vec<Gap>,
}

/// Lives a saved plan through the years of a climate.
pub(super) fn lived_from_file(
    job: &Job,
    climate: &ClimateStudy,
    file: &PlanFile,
    asked: &[Looked],
) -> Result<LivedPlan, StudyError> {
    let (_, problem) = problem_of(job, climate, file)?;
    let plan = file.resolve(&problem.instance, &problem.places)?;
    let (replay, _, gaps) = short_of(&problem, &plan, Some(asked))?;
    Ok(LivedPlan {
        problem,
        eaten_kg: replay.eaten_kg,
        gaps,
    })
}

/// The problem that a saved plan answers, and the job with what the file has in trays.
fn problem_of(
    job: &Job,
    climate: &ClimateStudy,
    file: &PlanFile,
) -> Result<(Job, Problem), StudyError> {
    for (at, planting) in file.plantings.iter().enumerate() {
        if job.table.get(&planting.crop).is_none() {
            return Err(StudyError::PlanFile(PlanFileError::Crop {
                number: at + 1,
                crop: planting.crop.clone(),
                near: job.table.nearest(&planting.crop).map(str::to_owned),
            }));
        }
    }
    let job = with_begun(job, file);
    let problem = problem(&job, climate, &asked(&job, file))?;
    Ok((job, problem))
}

/// Crops of a file that the household does not eat, in words.
fn not_eaten(job: &Job, problem: &Problem, file: &PlanFile) -> Vec<Phrase> {
    let crops: BTreeSet<&str> = file.plantings.iter().map(|one| one.crop.as_str()).collect();
    let eaten = |crop: &crate::crops::Crop| {
        let line = problem.market.line_of(crop);
        line.is_some_and(|line| line.appetite_kg_week > 0.0)
    };
    let crops = crops.into_iter().filter_map(|crop| job.table.get(crop));
    let words = crops.filter(|crop| !eaten(crop)).map(|crop| {
        let name = crop.name.to_lowercase();
        format!("the household does not eat {name}, or refuses it: nothing of it counts").into()
    });
    words.collect()
}

/// The plan changed into that of a file, on the sowings that its own problem knows: nothing is grown anew.
pub fn changed(plan: &PlanStudy, file: &PlanFile) -> Result<PlanStudy, StudyError> {
    let problem = plan.problem.clone();
    let found = Found::from_file(&problem, file)?;
    let (_, turns) = arrange(&problem.instance, &problem.places, &found.plan, false);
    lay_out(problem, found, turns)
}

/// The job with what a file has in trays on its first day, unless the project tells of it.
fn with_begun(job: &Job, file: &PlanFile) -> Job {
    let mut job = job.clone();
    for planting in file.plantings.iter().filter(|one| file.is_begun(one)) {
        let beds = &mut job.project.beds;
        let Some(bed) = beds.iter_mut().find(|bed| bed.name == planting.bed) else {
            continue;
        };
        let known = |one: &Standing| {
            let apart = (one.since - planting.in_bed()).num_days().abs();
            one.crop == planting.crop && one.set_out == Some(true) && apart < DAYS_PER_WEEK as i64
        };
        if bed.standing.iter().any(known) {
            continue;
        }
        let share = planting
            .area_m2
            .map_or(1.0, |area_m2| area_m2 / bed.area_m2);
        bed.standing.push(Standing {
            crop: planting.crop.clone(),
            since: planting.in_bed(),
            set_out: Some(true),
            sown: Some(planting.sow),
            share: share.min(1.0),
            sections: planting.patches.clone(),
            clear: planting.clear,
        });
    }
    job
}

/// The sowings of a file, as questions to growth.
fn asked(job: &Job, file: &PlanFile) -> Vec<Asked> {
    let plantings = file.plantings.iter().filter(|one| !file.is_begun(one));
    plantings
        .filter_map(|one| asked_in_bed(job, &one.bed, (&one.crop, one.tray, one.sow, one.clear)))
        .collect()
}

/// A sowing (crop, in a tray, day) in a bed of the project, as a question to growth; none for a bed that is not there.
pub(super) fn asked_in_bed(
    job: &Job,
    bed: &str,
    (crop, tray, sow, clear): (&str, bool, NaiveDate, Option<NaiveDate>),
) -> Option<Asked> {
    let beds = &job.project.beds;
    let bed = beds.iter().find(|own| own.name == bed)?;
    Some(Asked {
        crop: crop.to_owned(),
        climate: bed.climate,
        way: if tray { Way::Tray } else { Way::Direct },
        sow,
        clear,
    })
}

impl PlanStudy {
    /// The plan as a file to keep, to change by hand and to read again: the days as they are shown, and why each planting is
    /// there.
    pub fn file(&self) -> PlanFile {
        let reasons = self.reasons();
        self.file_with(&reasons)
    }

    /// The same without why each planting is there, which takes work to find.
    pub fn bare_file(&self) -> PlanFile {
        self.file_with(&BTreeMap::new())
    }

    fn file_with(&self, reasons: &BTreeMap<usize, String>) -> PlanFile {
        let problem = &self.problem;
        let mut file = PlanFile::new(&problem.instance, &problem.places, &self.found.plan);
        file.saved = Some(self.saved());
        let standing = problem.standing.iter().map(|one| FileStanding {
            bed: problem.places[one.bed].name.clone(),
            sections: one.patches.iter().map(|patch| patch + 1).collect(),
            crop: one.crop.id.clone(),
            since: one.since,
            set_out: one.set_out,
            area_m2: to_grams(one.area_m2),
            clear: problem.instance.date_of_week(one.free_week),
        });
        file.standing = standing.collect();
        file.turns = self.turns();
        for planting in &mut file.plantings {
            let mut plantings = self.plantings.iter();
            if let Some(shown) = plantings.find(|shown| self.is_shown(shown, planting)) {
                planting.sow = shown.sow;
                planting.transplant = shown.transplant;
                planting.clear = Some(shown.clear);
                planting.why = reasons.get(&shown.candidate).cloned();
            }
        }
        file
    }

    /// How its sections move on.
    fn turns(&self) -> Vec<FileTurn> {
        let places = &self.problem.places;
        let section = |one: &Section| FileSection {
            bed: places[one.place].name.clone(),
            section: one.slot + 1,
        };
        let turns = self.years_on.turns.iter().map(|turn| FileTurn {
            round: turn.round.iter().map(section).collect(),
            week: turn.week,
        });
        turns.collect()
    }

    /// What the plan gives, lived week by week, to be held against it later.
    pub(super) fn saved(&self) -> Saved {
        let instance = &self.problem.instance;
        let foods = instance.foods.iter().zip(&self.replay.eaten_kg);
        let eaten = foods.map(|(food, weeks)| (food.id.clone(), to_grams(weeks.iter().sum())));
        Saved {
            replaced: self.replay.replaced.p50,
            beyond: self.replay.beyond.p50,
            costs: schedule::outlay(instance, &self.found.plan),
            eaten_kg: eaten.filter(|(_, kg)| *kg > 0.0).collect(),
            search: self.search_saw(),
        }
    }

    /// The search's own measure of it; where it counted on what a former plan brings after an open end, without that.
    fn search_saw(&self) -> SearchSaw {
        let searched = self.problem.searched();
        if searched.coming.is_empty() {
            return SearchSaw {
                value: self.found.value,
                bound: Some(self.found.bound).filter(|bound| bound.is_finite()),
            };
        }
        let mut alone = searched.clone();
        alone.coming.clear();
        SearchSaw {
            value: assess(&alone, &self.found.plan).value,
            bound: None,
        }
    }

    /// Is a planting of a file this one as it is shown?
    fn is_shown(&self, shown: &Planting, written: &FilePlanting) -> bool {
        let week = |day| self.problem.instance.week_of_date(day);
        self.problem.places[shown.bed].name == written.bed
            && self.candidate(shown).crop == written.crop
            && shown.transplant.is_some() == written.tray
            && match self.candidate(shown).is_to_sow() {
                true => week(shown.sow) == week(written.sow),
                false => shown.transplant == written.transplant,
            }
    }

    /// Keeps the days of sowing that a file writes, whatever day of the week they are.
    fn keep_days(&mut self, file: &PlanFile) {
        for at in 0..self.plantings.len() {
            let shown = &self.plantings[at];
            let to_sow = self.candidate(shown).is_to_sow();
            let mut written = file.plantings.iter().filter(|one| !file.is_begun(one));
            let written = written.find(|one| to_sow && self.is_shown(shown, one));
            let Some(written) = written else { continue };
            let (sow, clear) = (written.sow, written.clear);
            let shown = &mut self.plantings[at];
            // A day near the one worked out is the person's own way of saying the same; a plan that repeats says it in any year.
            let near = |day: &NaiveDate, shown: NaiveDate| {
                (*day - shown).num_days().abs() < DAYS_PER_WEEK as i64
            };
            let same_year = years_later(sow, shown.sow.year() - sow.year());
            let sow = [sow, same_year]
                .into_iter()
                .find(|day| near(day, shown.sow));
            shown.sow = sow.unwrap_or(shown.sow);
            shown.clear = clear
                .filter(|day| near(day, shown.clear))
                .unwrap_or(shown.clear);
        }
    }

    /// Why each planting of the plan is there, by candidate: what the middle weather year loses without it, refilled with the
    /// second best.
    fn reasons(&self) -> BTreeMap<usize, String> {
        let lives = self.problem.all_in_lives();
        let questions = Questions::new(&lives, &self.found.plan);
        let code = self.problem.market.currency.code();
        let candidates: BTreeSet<usize> = self.plantings.iter().map(|one| one.candidate).collect();
        let reason = |candidate: usize| {
            let instead = questions.without_planting(candidate).plan;
            let loses = self.replay.value.p50 - median_of(&self.problem, &instead).ok()?;
            let words = if loses < AS_GOOD_MONEY {
                "the next best in its place would be as good".to_owned()
            } else {
                format!("with the next best in its place the middle year loses {loses:.0} {code}")
            };
            Some((candidate, words))
        };
        candidates.into_iter().filter_map(reason).collect()
    }
}
