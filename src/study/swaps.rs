//! What else could be in a plan, tried: a planting's second best, a kind left out or taken in, single changes that gain.

use std::collections::BTreeMap;

use super::frontier::Lives;
use super::planning::PlanStudy;
use super::problem::{NotOffered, Problem};
use super::{ClimateStudy, Job, StudyError};
use crate::calendar::short_date;
use crate::plan::{Instead, Plan, Questions};

/// One change of a plan, tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Swap {
    /// What is asked about: a planting, a kind; empty for a change that gains.
    pub of: String,
    /// What goes out of the beds, in words.
    pub out: Vec<String>,
    /// What comes in its place, in words.
    pub put: Vec<String>,
    /// What the plan is then worth more (negative: less) as it is lived: in the middle weather year, less what the targets miss and
    /// the household's time.
    pub value: f64,
    /// The same of the middle weather year alone.
    pub median: f64,
}

/// Why a bed carries what it carries, or a crop is in a plan or not.
#[derive(Clone, Debug, PartialEq)]
pub struct WhyPlanted {
    /// What else could be there, tried.
    pub swaps: Vec<Swap>,
    /// Crops of which there is nothing to try.
    pub not_offered: Vec<NotOffered>,
}

/// What a question about a plan is about.
enum About {
    /// A bed of the file, by number.
    Bed(usize),
    /// Kinds of crop, by id.
    Kinds(Vec<String>),
}

/// Why a bed carries what it carries, or why a crop is in the plan or not: what the second best would have been, and what it
/// loses. Each is tried with the rest of the plan as it is.
///
/// # Errors
/// [`StudyError::Unknown`] for a name that neither a bed nor a crop has.
pub fn why_planted(
    job: &Job,
    climate: &ClimateStudy,
    study: &PlanStudy,
    question: &str,
) -> Result<WhyPlanted, StudyError> {
    let problem = &study.problem;
    let lives = problem.all_in_lives();
    let questions = Questions::new(&lives, &study.found.plan);
    let lives = Lives::new(problem, None);
    let swap = |of: String, instead: Instead| swap((study, &lives), of, &instead);
    match about(job, question)? {
        About::Bed(bed) => {
            let of_bed = study
                .plantings
                .iter()
                .filter(|planting| planting.bed == bed);
            let answers = of_bed.map(|planting| {
                let of = format!(
                    "{} sown {}",
                    problem.crop_name(planting.candidate),
                    short_date(planting.sow)
                );
                swap(of, questions.without_planting(planting.candidate))
            });
            Ok(WhyPlanted {
                swaps: answers.collect::<Result<_, _>>()?,
                not_offered: Vec::new(),
            })
        }
        About::Kinds(kinds) => {
            let planted = |crop: &String| {
                let mut all = study.plantings.iter();
                all.any(|planting| study.candidate(planting).crop == **crop)
            };
            let mut swaps = Vec::new();
            let mut not_offered = Vec::new();
            for crop in kinds.iter().filter_map(|crop| job.table.get(crop)) {
                let name = crop.name.to_lowercase();
                let (instead, of) = if planted(&crop.id) {
                    (questions.without_kind(&crop.id), format!("{name} left out"))
                } else {
                    (questions.with_kind(&crop.id), format!("{name} taken in"))
                };
                match instead {
                    Some(instead) => swaps.push(swap(of, instead)?),
                    None => not_offered.extend(problem.why_not_offered(job, climate, crop)?),
                }
            }
            Ok(WhyPlanted { swaps, not_offered })
        }
    }
}

/// Changes shown of a plan by hand.
const GAINS: usize = 3;

/// The three single changes that gain most, each tried.
///
/// # Errors
/// [`StudyError`] for an instance that is not valid.
pub fn gains(study: &PlanStudy) -> Result<Vec<Swap>, StudyError> {
    let problem = &study.problem;
    let all = problem.all_in_lives();
    let found = Questions::new(&all, &study.found.plan).gains();
    let lives = Lives::new(problem, None);
    let mut swaps: Vec<Swap> = Vec::new();
    for instead in found {
        let swap = swap((study, &lives), String::new(), &instead)?;
        let alike = |known: &Swap| known.out == swap.out && known.put == swap.put;
        if swap.value > 0.0 && !swaps.iter().any(alike) {
            swaps.push(swap);
        }
    }
    swaps.sort_by(|a, b| b.value.total_cmp(&a.value));
    swaps.truncate(GAINS);
    Ok(swaps)
}

fn swap(
    (study, lives): (&PlanStudy, &Lives),
    of: String,
    instead: &Instead,
) -> Result<Swap, StudyError> {
    let problem = &study.problem;
    let (out, put) = differences(problem, &study.found.plan, &instead.plan);
    let (before, after) = (lives.of(&study.found.plan)?, lives.of(&instead.plan)?);
    Ok(Swap {
        of,
        out,
        put,
        value: after.worth - before.worth,
        median: after.median - before.median,
    })
}

/// Plantings of one plan that another has not, and the other way round: crop, day and beds.
fn differences(problem: &Problem, from: &Plan, to: &Plan) -> (Vec<String>, Vec<String>) {
    let counted = |plan: &Plan| {
        let mut counts = BTreeMap::<(usize, usize), usize>::new();
        for one in &plan.beds {
            let place = problem.places.iter().position(|place| place.holds(one));
            for &candidate in &one.plantings {
                *counts.entry((candidate, place.unwrap_or(0))).or_default() += 1;
            }
        }
        counts
    };
    let (before, after) = (counted(from), counted(to));
    let more = |a: &BTreeMap<(usize, usize), usize>, b: &BTreeMap<(usize, usize), usize>| {
        let mut by_sowing = BTreeMap::<usize, Vec<String>>::new();
        for (&(candidate, place), &count) in a {
            if count > b.get(&(candidate, place)).copied().unwrap_or(0) {
                let beds = by_sowing.entry(candidate).or_default();
                beds.push(problem.places[place].name.clone());
            }
        }
        let words = by_sowing.into_iter().map(|(candidate, beds)| {
            let sow = problem
                .instance
                .work_date(problem.instance.candidates[candidate].sow_week);
            format!(
                "{} sown {} in {}",
                problem.crop_name(candidate),
                short_date(sow),
                beds.join(", ")
            )
        });
        words.collect::<Vec<String>>()
    };
    (more(&before, &after), more(&after, &before))
}

fn about(job: &Job, question: &str) -> Result<About, StudyError> {
    let name = question.trim();
    let beds = &job.project.beds;
    let is = |name: &str| {
        beds.iter()
            .position(|bed| bed.name.eq_ignore_ascii_case(name))
    };
    if let Some(bed) = is(name).or_else(|| is(name.strip_prefix("bed ")?)) {
        return Ok(About::Bed(bed));
    }
    let kinds: Vec<String> = job
        .table
        .kinds_of(name)
        .iter()
        .map(|crop| crop.id.clone())
        .collect();
    if kinds.is_empty() {
        let names = beds.iter().map(|bed| bed.name.as_str());
        return Err(StudyError::Unknown {
            what: "bed or crop",
            name: name.to_owned(),
            near: crate::suggest::nearest(name, names)
                .or_else(|| job.table.nearest(name))
                .map(str::to_owned),
        });
    }
    Ok(About::Kinds(kinds))
}
