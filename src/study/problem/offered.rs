//! Sowings that a plan may hold: those that come through often enough, and those asked for; why there is none of a crop; and which
//! weather years are hard winters, by what the beds bear in them.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::{Asked, Origin, Problem, foods, gardening, horizon};
use crate::calendar::{
    WEEKS_PER_YEAR, date_of_day, day_of_date, first_day_of_week, month_of_day, week_of_day,
};
use crate::crops::{Crop, Way};
use crate::file::Winter;
use crate::plan::candidate::{
    Climates, Demands, Outcome, Winters, candidates, outcome_of, outcomes, shift,
};
use crate::plan::planfile::weeks_in_bed;
use crate::plan::{Closing, Instance};
use crate::study::{ClimateStudy, Job, StudyError};

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
    let crops: Vec<Crop> = problem.crops.clone();
    let crops: Vec<&Crop> = crops.iter().collect();
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
        let has_bed = |climate| own.instance.beds.iter().any(|bed| bed.climate == climate);
        let on_a_day = |way, sow, bed| gardening::on_a_day(job, way, (sow, bed));
        let (own_set, demands) = (&climates.sets[set], Demands::default());
        let mut sown = outcomes(&crops, own_set, &demands, has_bed, on_a_day, kept);
        sown.extend(problem.demanded(job, own_set, &sown));
        found.push((set, sown));
    }
    if job.project.planning.winter == Winter::Hard {
        let southern = job.site.place.latitude_deg < 0.0;
        let all = found.iter().flat_map(|(_, list)| list);
        problem.winters = Some(hard_winters(all, southern));
        problem.note(format!(
            "planned for the hard winters: the mean of the {:.0} % of the weather years whose winters bear least",
            100.0 * HARD_SHARE
        ));
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
            let drawn = 0..outcome.years.count() * OFFER_DRAWS;
            let drawn = drawn.map(|at| (at / OFFER_DRAWS, at % OFFER_DRAWS));
            drawn
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
            let last = instance.date_of_week(instance.weeks.saturating_sub(1));
            (last.year() - instance.start.year() + 1).max(1) as usize
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
    let week = week_of_day(day_of_date(asked.sow));
    let calendar_year = match problem.instance.closing {
        Closing::EachBed => Ok(0),
        Closing::Open => usize::try_from(asked.sow.year() - start.year()),
    };
    let Ok(calendar_year) = calendar_year else {
        return Ok(());
    };
    let on_horizon = week as isize + shift(&problem.instance, calendar_year as isize);
    let on_horizon = usize::try_from(on_horizon).ok();
    let Some(sow_week) = on_horizon.and_then(|week| problem.instance.week_index(week)) else {
        return Ok(());
    };
    let weeks_of = |tray_weeks: usize| weeks_in_bed(asked.sow, asked.clear?, tray_weeks);
    let there = problem.instance.candidates.iter().any(|candidate| {
        candidate.crop == asked.crop
            && candidate.sow_week == sow_week
            && (candidate.tray_weeks > 0) == (asked.way == Way::Tray)
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
        let food = foods::food_place(self, &crop);
        let family = foods::family_place(job, &mut self.instance, &crop);
        let outlay = foods::outlay(job, &self.household, &crop, outcome.way)?;
        let kg_m2 = self.expected_kg_m2(&outcome);
        let place = self.outcomes.len();
        for calendar_year in years {
            let calendar_year = calendar_year as isize;
            let (sown, places) = ((&outcome, calendar_year), (food, family));
            let found = candidates(&self.instance, sown, &crop, places, &kg_m2, &outlay);
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
                    calendar_year,
                    sown: None,
                });
            }
        }
        self.outcomes.push(outcome);
        Ok(())
    }
}

/// Share of the weather years whose winters count as hard.
const HARD_SHARE: f64 = 0.2;
/// First week of a winter's own twelve months in the north: July.
const FIRST_WEEK_NORTH: usize = 26;

/// The fifth of the weather years whose winters bear least: the mean over all sowings of what is picked from October to
/// March (from April to September in the south).
fn hard_winters<'o>(
    outcomes: impl Iterator<Item = &'o Outcome> + Clone,
    southern: bool,
) -> Winters {
    let first = outcomes.clone().next();
    let years = first.map_or(1, |outcome| outcome.years.count());
    let mut winters = Winters {
        first_week: if southern { 0 } else { FIRST_WEEK_NORTH },
        chosen: vec![false; years],
    };
    let mut kg = vec![0.0; years];
    for outcome in outcomes {
        for (year, picks) in outcome.years.iter().enumerate() {
            for (week, kg_m2) in picks {
                if in_cold_half(week, southern) {
                    kg[winters.year_of(year, week)] += kg_m2;
                }
            }
        }
    }
    let mut order: Vec<usize> = (0..years).collect();
    order.sort_by(|a, b| kg[*a].total_cmp(&kg[*b]).then(a.cmp(b)));
    let count = ((HARD_SHARE * years as f64).round() as usize).max(1);
    for year in order.into_iter().take(count) {
        winters.chosen[year] = true;
    }
    winters
}

fn in_cold_half(week: usize, southern: bool) -> bool {
    /// April and September, months from 0.
    const WARM_HALF: std::ops::RangeInclusive<usize> = 3..=8;
    let month = month_of_day(first_day_of_week(week % WEEKS_PER_YEAR));
    WARM_HALF.contains(&month) == southern
}

/// A crop of which a plan has no sowing to choose from.
#[derive(Clone, Debug, PartialEq)]
pub struct NotOffered {
    /// Name of the crop.
    pub crop: String,
    pub why: WhyNot,
}

/// Why a plan has no sowing of a crop to choose from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhyNot {
    /// The household neither buys nor wishes for it, or refuses it.
    NotEaten,
    /// No section of a bed has room for one plant.
    NoRoom,
    /// No sowing of any week comes to harvest.
    NoHarvest,
    /// It comes through too seldom, at the surest sowing too.
    Unsure(Surest),
    /// It comes through, but not on the household's days, or not while the plan lasts.
    NotThen(Surest),
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surest {
    /// About when it is sown.
    pub sow: NaiveDate,
    pub way: Way,
    /// Share of the weather years in which it comes through, 0 to 1, and the share that a plan asks for.
    pub by_weather: (f64, f64),
    /// The same with what is lost beside the weather.
    pub in_all: (f64, f64),
}

/// Share by which a sowing of a demanded crop may come through less often than the surest (own choice).
const NEARLY_AS_SURE: f64 = 0.1;

impl Problem {
    /// Why a plan has no sowing of a crop to choose from; nothing where it has one.
    pub fn why_not_offered(
        &self,
        job: &Job,
        climate: &ClimateStudy,
        crop: &Crop,
    ) -> Result<Option<NotOffered>, StudyError> {
        let mut candidates = self.instance.candidates.iter();
        if candidates.any(|candidate| candidate.crop == crop.id) {
            return Ok(None);
        }
        let known = self.crops.iter().position(|known| known.id == crop.id);
        let mut beds = self.instance.beds.iter();
        let has_room = beds.any(|bed| gardening::has_room(crop, bed.area_m2));
        let enough = |(share, asked): (f64, f64)| share >= asked;
        let why = match known {
            None => WhyNot::NotEaten,
            Some(_) if !has_room => WhyNot::NoRoom,
            Some(known) => match self.surest(job, climate, (known, crop))? {
                None => WhyNot::NoHarvest,
                Some(surest) if enough(surest.by_weather) && enough(surest.in_all) => {
                    WhyNot::NotThen(surest)
                }
                Some(surest) => WhyNot::Unsure(surest),
            },
        };
        let crop = crop.name.clone();
        Ok(Some(NotOffered { crop, why }))
    }

    /// Every sowing of a crop that ever comes through in some bed of the file, with the share of the years in which it does, all
    /// losses counted.
    fn every_sowing(&self, (known, crop): (usize, &Crop), set: &Climates) -> Vec<(Outcome, f64)> {
        let anything = Demands {
            survival_min: 0.0,
            ..Demands::default()
        };
        let asked = |_, _, _| true;
        let has_bed = |at: usize| self.instance.beds.iter().any(|bed| bed.climate == at);
        let found = outcomes(&[crop], set, &anything, has_bed, asked, |all| all).into_iter();
        let found = found.filter(|found| found.survival > 0.0);
        let mut luck = Luck::default();
        let with_luck = |mut found: Outcome| {
            found.crop = known;
            let in_all = luck.in_all(self, &found);
            (found, in_all)
        };
        found.map(with_luck).collect()
    }

    /// The surest sowings, on days of work, of each crop that the person demands and of which none is sure enough otherwise.
    pub(super) fn demanded(&self, job: &Job, set: &Climates, sown: &[Outcome]) -> Vec<Outcome> {
        let mut all = Vec::new();
        for must in &job.project.household.gardening.must {
            let kinds = || {
                let kinds = self.crops.iter().enumerate();
                kinds.filter(|(_, crop)| gardening::is_meant(&self.market, crop, must))
            };
            let is_sown = |at: usize| sown.iter().any(|outcome| outcome.crop == at);
            if kinds().any(|(at, _)| is_sown(at)) {
                continue;
            }
            let on_a_day = |(outcome, _): &(Outcome, f64)| {
                gardening::on_a_day(job, outcome.way, (outcome.sow_week, outcome.bed_week))
            };
            let tried = kinds().flat_map(|kind| self.every_sowing(kind, set));
            let mut tried: Vec<(Outcome, f64)> = tried.filter(on_a_day).collect();
            let best = tried.iter().map(|(_, in_all)| *in_all).fold(0.0, f64::max);
            tried.retain(|(_, in_all)| *in_all >= best - NEARLY_AS_SURE && *in_all > 0.0);
            all.extend(tried.into_iter().map(|(outcome, _)| outcome));
        }
        all
    }

    /// The sowing of a crop that comes through most often; none where none ever does.
    fn surest(
        &self,
        job: &Job,
        climate: &ClimateStudy,
        (known, crop): (usize, &Crop),
    ) -> Result<Option<Surest>, StudyError> {
        let horizon = horizon::horizon(job)?;
        let climates = horizon::climates(job, climate, &horizon)?;
        let Some(set) = climates.sets.first() else {
            return Ok(None);
        };
        let tried = self.every_sowing((known, crop), set);
        let tried = tried.into_iter().map(|(found, in_all)| Surest {
            sow: date_of_day(horizon.start.year(), first_day_of_week(found.sow_week)),
            way: found.way,
            by_weather: (found.survival, Demands::default().survival_min),
            in_all: (in_all, IN_ALL_LEAST),
        });
        let order = |one: &Surest| (one.in_all.0, one.by_weather.0);
        let best = tried.reduce(|best, next| match order(&next) > order(&best) {
            true => next,
            false => best,
        });
        Ok(best.filter(|best| best.by_weather.0 > 0.0))
    }
}
