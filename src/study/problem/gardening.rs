//! How the household wants to garden, in the planning problem: its time, its days, what a picking is worth, what rests.

use std::collections::{BTreeMap, BTreeSet};

use super::{Problem, calendar_week, standing};
use crate::calendar::{WEEKS_PER_YEAR, days_of_week, first_day_of_week};
use crate::crops::{Crop, Way};
use crate::file::Rotation;
use crate::plan::candidate::Outcome;
use crate::plan::years::like_classes;
use crate::plan::{Candidate, Closing, Effort, FamilyLimit, Food, Instance, Step, Wanted};
use crate::study::{Job, StudyError};
use crate::value::{self, Household, Market};

/// What a planting, a kind of crop and a day of sowing weigh in US dollars, where the file does not say (own choice: some
/// minutes each at a gardener's own price; no source).
const EFFORT_USD: [f64; 3] = [2.0, 5.0, 0.0];
/// Least picking of a week that is worth going for, kg a section (own choice, no source) ...
const LEAST_PICKING_KG: f64 = 0.1;
/// ... or this share of what the household eats of it in a week, where that is less (own choice).
const LEAST_PICKING_SHARE: f64 = 0.5;
/// What a plan loses where a crop that must be there is not, as a share of what the household could replace in a year: more
/// than any crop is worth (own choice).
const MUST_SHARE: f64 = 1.0;

/// What the household's time weighs, in its currency.
///
/// # Errors
/// [`StudyError`] for a currency without a rate.
pub fn effort(job: &Job, household: &Household) -> Result<Effort, StudyError> {
    let given = job.project.household.gardening.effort;
    let per_usd = value::per_usd(household)?;
    let weigh = |at: usize| given[at].unwrap_or(EFFORT_USD[at] * per_usd);
    Ok(Effort {
        planting: weigh(0),
        kind: weigh(1),
        sowing_week: weigh(2),
    })
}

/// Whether a sowing falls into a week in which the household sows, and nothing of it into a time away.
pub fn on_a_day(job: &Job, way: Way, (sow_week, bed_week): (usize, usize)) -> bool {
    let gardening = &job.project.household.gardening;
    sow_week.is_multiple_of(gardening.sow_every_weeks)
        && !away(job, sow_week)
        && !(way == Way::Tray && away(job, bed_week))
}

/// Is the household away in some part of a week?
fn away(job: &Job, week: usize) -> bool {
    let week = week % WEEKS_PER_YEAR;
    let (day, days) = (first_day_of_week(week), days_of_week(week));
    let mut away = job.project.household.gardening.away.iter();
    away.any(|away| away.touches(day, days))
}

/// Share of its harvest by any week that a later sowing must have borne to have caught up with an earlier one (own choice:
/// more is not seen in a garden).
const CAUGHT_UP_SHARE: f64 = 0.97;

/// Leaves out sowings that a later one of the same crop, in the same way and kind of bed, catches up with: what is sown into
/// the dark and overtaken in spring only holds its bed, or its tray, for longer.
pub fn not_caught_up(outcomes: Vec<Outcome>) -> Vec<Outcome> {
    let means: Vec<Vec<(usize, f64)>> = outcomes.iter().map(Outcome::mean_kg_m2).collect();
    let caught = |early: usize| {
        let mut others = 0..outcomes.len();
        others.any(|late| {
            let (a, b) = (&outcomes[early], &outcomes[late]);
            let catches = |turn| catches_up((a, &means[early]), (b, &means[late]), turn);
            early != late
                && (a.crop, a.climate, a.way) == (b.crop, b.climate, b.way)
                && b.survival >= a.survival
                && [0, WEEKS_PER_YEAR].into_iter().any(catches)
        })
    };
    let keep: Vec<bool> = (0..outcomes.len()).map(|at| !caught(at)).collect();
    let kept = outcomes.into_iter().zip(keep).filter(|(_, keep)| *keep);
    kept.map(|(outcome, _)| outcome).collect()
}

/// Share of a sowing's harvest after which it may be cleared for the next crop, and the least weeks that this must free (own
/// choices: what is left then is the thin end of it).
const EARLY_SHARE: f64 = 0.7;
const EARLY_WEEKS: usize = 4;

/// Adds to sowings that bear for long one that is cleared early, so that the next crop can gain by it, where it still comes
/// `through`.
pub fn with_early_ends(
    outcomes: Vec<Outcome>,
    mut through: impl FnMut(&Outcome) -> bool,
) -> Vec<Outcome> {
    let mut all = Vec::with_capacity(2 * outcomes.len());
    for outcome in outcomes {
        let mean = outcome.mean_kg_m2();
        let total: f64 = mean.iter().map(|(_, kg_m2)| kg_m2).sum();
        let mut sum = 0.0;
        let last = mean.iter().find(|(_, kg_m2)| {
            sum += kg_m2;
            sum >= EARLY_SHARE * total
        });
        let weeks = last.map_or(outcome.weeks, |(week, _)| {
            (week + 1).saturating_sub(outcome.bed_week).max(1)
        });
        let early = (weeks + EARLY_WEEKS <= outcome.weeks).then(|| {
            let mut early = outcome.clone();
            clear_after(&mut early, weeks);
            early
        });
        all.push(outcome);
        all.extend(early.filter(&mut through));
    }
    all
}

/// Clears a sowing after so many weeks in the bed: it bears until then.
pub fn clear_after(outcome: &mut Outcome, weeks: usize) {
    let borne = |outcome: &Outcome| -> f64 {
        let mean = outcome.mean_kg_m2();
        mean.iter().map(|(_, kg_m2)| kg_m2).sum()
    };
    let before = borne(outcome);
    outcome.weeks = weeks;
    let end = outcome.bed_week + weeks;
    outcome.years = outcome.years.before(end);
    // What counts as coming through is less by as much as is left standing.
    if before > 0.0 {
        outcome.least_kg_m2 *= borne(outcome) / before;
    }
}

/// Does a sowing made later, so many weeks on in the count, bear as much by every week and leave no later?
fn catches_up(
    (early, borne): (&Outcome, &[(usize, f64)]),
    (late, later): (&Outcome, &[(usize, f64)]),
    turn: usize,
) -> bool {
    let begins_later =
        late.sow_week + turn > early.sow_week && late.bed_week + turn >= early.bed_week;
    let ends = |outcome: &Outcome, turn: usize| outcome.bed_week + outcome.weeks + turn;
    if !begins_later || ends(late, turn) > ends(early, 0) {
        return false;
    }
    let by = |weeks: &[(usize, f64)], turn: usize, end: usize| -> f64 {
        let until = weeks.iter().filter(|(week, _)| week + turn <= end);
        until.map(|(_, kg_m2)| kg_m2).sum()
    };
    borne
        .iter()
        .all(|(week, _)| by(later, turn, *week) >= CAUGHT_UP_SHARE * by(borne, 0, *week))
}

/// Leaves out pickings in a time away and those too small to go for; all of them where not one plant fits.
pub fn pick_what_is_worth_it(
    job: &Job,
    instance: &Instance,
    crop: &Crop,
    candidate: &mut Candidate,
) {
    let area_m2 = instance.beds[candidate.bed_class].area_m2;
    if !has_room(crop, area_m2) {
        candidate.harvest.clear();
    }
    candidate.harvest.retain(|pick| {
        let away = away(job, calendar_week(instance, pick.week));
        !away && pick.kg >= least_picking_kg(instance, pick.food)
    });
}

/// Does one plant of a crop have room in a section?
pub fn has_room(crop: &Crop, area_m2: f64) -> bool {
    crop.spacing.plants_per_m2 * area_m2 >= 1.0
}

/// Least picking of a food in a week that is worth going for, kg a section.
pub fn least_picking_kg(instance: &Instance, food: usize) -> f64 {
    let appetite = instance.foods[food].appetite.iter();
    let appetite_kg: f64 = appetite.map(|step| step.kg_week).sum();
    LEAST_PICKING_KG.min(LEAST_PICKING_SHARE * appetite_kg)
}

/// Is a crop meant by a name: its own, that of its food or of its group of foods?
pub fn is_meant(market: &Market, crop: &Crop, name: &str) -> bool {
    let line = market.line_of(crop);
    crop.id == name || line.is_some_and(|line| line.food == name || line.group == name)
}

/// Crops that must be there: of several for a food the one that can be sown most often.
pub fn add_must(job: &Job, problem: &mut Problem) {
    for must in &job.project.household.gardening.must {
        let is = |crop: &Crop| is_meant(&problem.market, crop, must);
        let mut times = BTreeMap::<&str, usize>::new();
        for (candidate, origin) in problem.instance.candidates.iter().zip(&problem.origins) {
            if is(&problem.crops[problem.outcomes[origin.outcome].crop]) {
                *times.entry(&candidate.crop).or_default() += 1;
            }
        }
        let most = times.iter().max_by_key(|(_, times)| **times);
        let Some(crop) = most.map(|(crop, _)| (*crop).to_owned()) else {
            let words = format!(
                "`{must}` must be in the plan, and there is no sowing of it to choose from; `plan --why {must}` says why"
            );
            problem.warnings.push(words.into());
            continue;
        };
        let ceiling: f64 = problem.instance.foods.iter().map(ceiling).sum();
        problem.instance.wanted.push(Wanted {
            crop,
            plantings: 1,
            penalty: MUST_SHARE * ceiling,
        });
    }
}

/// What a food could replace at most over the horizon.
fn ceiling(food: &Food) -> f64 {
    let step = |step: &Step, price: &f64| step.kg_week * step.worth * price;
    let week = |price| {
        food.appetite
            .iter()
            .map(|one| step(one, price))
            .sum::<f64>()
    };
    food.price_kg.iter().map(week).sum()
}

/// So few plantings of each family in so many weeks that its places can rest, as plans move on from bed to bed each year.
pub fn limit_families(job: &Job, problem: &mut Problem, weeks: usize) {
    if job.project.household.gardening.rotation != Rotation::Years {
        return;
    }
    let like = like_classes(&problem.instance);
    let before = came_before(job, problem);
    let instance = &mut problem.instance;
    let years = weeks.div_ceil(WEEKS_PER_YEAR);
    for family in 0..instance.families.len() {
        let gap = instance.families[family].gap_years;
        if gap < 2 {
            continue;
        }
        for bed_classes in &like {
            let sections = bed_classes.iter().map(|class| instance.beds[*class].count);
            let sections: usize = sections.sum();
            // So many sections at once that the others have rested.
            let plantings = (sections / gap).max(1);
            let mut limit = |plantings, before| {
                instance.limits.families.push(FamilyLimit {
                    bed_classes: bed_classes.clone(),
                    family,
                    plantings,
                    before,
                });
            };
            limit(years * plantings, None);
            let is =
                |one: &CameBefore| one.family == family && bed_classes.contains(&one.bed_class);
            let here = || before.iter().filter(|one| is(one));
            let ends: BTreeSet<usize> = here().map(|one| one.year_ends).collect();
            // In the year that begins with one of them are those that came later, and what is still to come.
            for end in ends {
                let later = here().filter(|one| one.year_ends >= end);
                let taken: usize = later.map(|one| one.sections).sum();
                limit(plantings.saturating_sub(taken), Some(end));
            }
        }
    }
}

/// What came into a bed in the year before an open horizon begins.
struct CameBefore {
    family: usize,
    bed_class: usize,
    sections: usize,
    /// Week of the horizon with which a year since then is over, at least 1.
    year_ends: usize,
}

fn came_before(job: &Job, problem: &Problem) -> Vec<CameBefore> {
    let instance = &problem.instance;
    let mut found = Vec::new();
    if instance.closing == Closing::EachBed {
        return found;
    }
    let start = instance.start;
    for (bed, place) in problem.places.iter().enumerate() {
        let standing = job.project.beds[bed].standing.iter();
        let gone = job.gone.iter().filter(|(at, _)| *at == bed);
        for one in standing.chain(gone.map(|(_, one)| one)) {
            let family = job.table.get(&one.crop).and_then(|crop| {
                let mut families = instance.families.iter();
                families.position(|family| family.name == crop.rotation_group)
            });
            let passed =
                standing::week_of_date(start).saturating_sub(standing::week_of_date(one.since));
            let (Some(family), false) = (family, one.in_tray_on(start)) else {
                continue;
            };
            if passed < WEEKS_PER_YEAR {
                found.push(CameBefore {
                    family,
                    bed_class: place.class,
                    sections: standing::sections_of(one, place),
                    year_ends: WEEKS_PER_YEAR - passed,
                });
            }
        }
    }
    found
}
