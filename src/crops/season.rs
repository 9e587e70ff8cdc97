//! Crops against months.

use super::loss::lacking;
use super::{Cause, Crop, Growth, Habit, Loss, Prepared, Sowing, Way, grow_years, in_bed_on_time};
use crate::calendar::{MONTH_HEADS, WEEKS_PER_YEAR, first_day_of_week, month_of_day};
use crate::profile::quantile;
use crate::words::worded;
use std::collections::BTreeMap;

worded! {
    /// What can be done with a crop in a month; the one that says most stands first.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
    #[serde(rename_all = "lowercase")]
    pub enum State {
        /// Something can be picked.
        "pick" => Pick,
        /// Can be sown or set out.
        "sow" => Sow,
        /// Stands ready and can be picked, but hardly grows.
        "stand" => Stand,
        /// A young crop grows.
        "grow" => Grow,
        /// Not at all.
        "no" => No,
    }
}

/// One crop in one month.
#[derive(Clone, Debug, PartialEq)]
pub struct MonthState {
    /// The state that says most: pick (or stand), else sow, grow, no.
    pub state: State,
    /// A sowing (in bed or tray) of this month comes to harvest in at least half of the years, and gets there: within
    /// twice the bed days of its best season (bulbs and perennials, which wait by nature, at any time).
    pub sow: bool,
    /// Something is picked this month in at least half of the years.
    pub pick: bool,
    /// Why a sowing in the middle of this month fails, if it does in more than half of the years: the commonest cause, with
    /// the medians of its day, what was met, what was needed and by how much it fell short.
    pub refusal: Option<Loss>,
}

/// One crop through the year.
#[derive(Clone, Debug, PartialEq)]
pub struct CropMonths {
    /// Crop id.
    pub crop: String,
    /// January to December.
    pub months: Vec<MonthState>,
}

/// All crops through the year in the best of the bed climates given.
#[derive(Clone, Debug, PartialEq)]
pub struct Season {
    /// In order of crop id.
    pub crops: Vec<CropMonths>,
}

/// Months in a model year.
const MONTHS: usize = MONTH_HEADS.len();
/// Share of the years in which a thing must hold to be said of a month.
const HALF: f64 = 0.5;

impl CropMonths {
    /// One crop against every month in one bed climate: every week and way of sowing is followed through all years.
    pub fn of(crop: &Crop, prepared: &Prepared) -> Self {
        Self {
            crop: crop.id.clone(),
            months: months(crop, prepared),
        }
    }

    /// How much of the year it is picked and sown: months of picking count twice.
    pub fn score(&self) -> usize {
        let months = self.months.iter();
        let score = |month: &MonthState| 2 * usize::from(month.pick) + usize::from(month.sow);
        months.map(score).sum()
    }
}

/// One crop against every month, in the best of the bed climates prepared, the first of equals; none without one.
pub fn crop_months(crop: &Crop, beds: &[Prepared]) -> Option<CropMonths> {
    let in_beds = beds.iter().map(|prepared| CropMonths::of(crop, prepared));
    in_beds.reduce(|best, next| {
        if next.score() > best.score() {
            next
        } else {
            best
        }
    })
}

/// What one sowing does over the years.
struct Outcome {
    sowing: Sowing,
    growths: Vec<Growth>,
    /// Share of years in which it comes through.
    share: f64,
    /// Share of years in which it does, does not stand still on the way and did not wait for a warm bed.
    prompt: f64,
}

/// One crop in one bed climate, January to December.
fn months(crop: &Crop, prepared: &Prepared) -> Vec<MonthState> {
    let mut seen = [[false; MONTHS]; 3];
    let mut sow = [false; MONTHS];
    // Of each month the sowing that fails least, the first of equals: the others' growth is not kept.
    let mut least: [Option<Outcome>; MONTHS] = Default::default();
    let weeks = 0..WEEKS_PER_YEAR;
    for (week, way) in weeks.flat_map(|week| crop.ways.iter().map(move |&way| (week, way))) {
        let outcome = outcome(crop, prepared, first_day_of_week(week), way);
        if outcome.share >= HALF {
            for (flags, marks) in seen.iter_mut().zip(marks(crop, prepared, &outcome)) {
                for (flag, share) in flags.iter_mut().zip(marks) {
                    *flag |= share >= HALF;
                }
            }
        }
        let month = month_of_day(outcome.sowing.day);
        sow[month] |= outcome.prompt >= HALF;
        let kept = &mut least[month];
        if kept.as_ref().is_none_or(|kept| outcome.share > kept.share) {
            *kept = Some(outcome);
        }
    }
    let [picks, stands, grows] = seen;
    let months = (0..MONTHS).map(|month| {
        let state = match (picks[month], stands[month], sow[month], grows[month]) {
            (true, false, _, _) => State::Pick,
            (_, true, _, _) => State::Stand,
            (_, _, true, _) => State::Sow,
            (_, _, _, true) => State::Grow,
            _ => State::No,
        };
        let least = least[month].as_ref().filter(|_| !sow[month]);
        MonthState {
            state,
            sow: sow[month],
            pick: picks[month],
            refusal: least.and_then(|least| refusal(crop, prepared, least)),
        }
    });
    months.collect()
}

fn outcome(crop: &Crop, prepared: &Prepared, day: usize, way: Way) -> Outcome {
    let sowing = Sowing { day, way };
    let growths = grow_years(crop, prepared, 0..prepared.years, sowing);
    let least_kg_m2 = super::least_kg_m2(crop, &growths);
    let share_of = |holds: &dyn Fn(&Growth) -> bool| {
        let count = growths.iter().filter(|growth| holds(growth)).count();
        count as f64 / prepared.years.max(1) as f64
    };
    Outcome {
        sowing,
        share: share_of(&|growth| growth.kg_m2() >= least_kg_m2),
        prompt: share_of(&|growth| {
            growth.kg_m2() >= least_kg_m2
                && is_prompt(crop, prepared, growth)
                && in_bed_on_time(crop, sowing, growth)
        }),
        growths,
    }
}

/// A sowing that takes more than so many times the bed days of its best season stands still on the way, in the dark or
/// in the cold (own choice; spinach and lettuce sown from late September to 7 October came ready shortly before
/// Christmas, about twice their days: High Mowing Seeds, northern Vermont, read).
const PROMPT_TIMES: f64 = 2.0;

/// True if a planting came ready without a long standstill.
fn is_prompt(crop: &Crop, prepared: &Prepared, growth: &Growth) -> bool {
    // Bulbs wait for their day length, and a perennial for its second year, wherever they grow.
    if crop.bulbing.is_some() || crop.perennial {
        return true;
    }
    let best_days = match growth.transplant_day {
        Some(_) => prepared.of_way(Way::Tray).days[1],
        None => prepared.of_way(Way::Direct).days[1] + prepared.best_emergence_days,
    };
    growth
        .ready_day
        .is_some_and(|ready| (ready - growth.bed_from_day) as f64 <= PROMPT_TIMES * best_days)
}

/// A ready crop that makes less than this share of its best growth in a month stands (own choice, no source).
const STANDSTILL_SHARE: f64 = 0.1;

/// A month with less than this share of a whole crop, a cut or a full week of fruit is no month of picking (own choice,
/// no source).
const LEAST_MONTH_SHARE: f64 = 0.1;

/// Shares of the years in which a sowing is picked, stands still when ready, or grows young, in each month.
fn marks(crop: &Crop, prepared: &Prepared, outcome: &Outcome) -> [[f64; MONTHS]; 3] {
    let mut counts = [[0.0; MONTHS]; 3];
    let one = 1.0 / outcome.growths.len().max(1) as f64;
    for (year, growth) in outcome.growths.iter().enumerate() {
        let mut flags = [[false; MONTHS]; 3];
        let mut kg_m2 = [0.0; MONTHS];
        for harvest in &growth.harvests {
            kg_m2[month_of_day(harvest.day)] += harvest.kg_m2;
        }
        for (flag, kg_m2) in flags[0].iter_mut().zip(kg_m2) {
            *flag = kg_m2 >= LEAST_MONTH_SHARE * crop.yields.kg_m2.low;
        }
        let ready = growth.ready_day.unwrap_or(growth.clear_day);
        let mut paces = [(0.0, 0.0); MONTHS];
        for day in growth.bed_from_day..growth.clear_day {
            let month = month_of_day(day);
            if day < ready {
                flags[2][month] = true;
            } else if crop.habit != Habit::Fruit {
                paces[month].0 += prepared.pace(year, day);
                paces[month].1 += 1.0;
            }
        }
        for (flag, (pace, days)) in flags[1].iter_mut().zip(paces) {
            *flag = days > 0.0 && pace < STANDSTILL_SHARE * days;
        }
        for (count, flag) in counts.iter_mut().flatten().zip(flags.iter().flatten()) {
            *count += if *flag { one } else { 0.0 };
        }
    }
    counts
}

/// The cause that comes most often, the first of equals.
fn commonest(causes: impl Iterator<Item = Cause>) -> Option<Cause> {
    let mut counts: BTreeMap<Cause, usize> = BTreeMap::new();
    causes.for_each(|cause| *counts.entry(cause).or_default() += 1);
    let often = counts.into_iter().rev().max_by_key(|(_, count)| *count);
    often.map(|(cause, _)| cause)
}

/// Why the sowings of a month fail or stand still: the commonest cause of the one that does so least.
fn refusal(crop: &Crop, prepared: &Prepared, best: &Outcome) -> Option<Loss> {
    let standstill = |year: usize, growth: &Growth| {
        let ready = growth
            .ready_day
            .filter(|_| !is_prompt(crop, prepared, growth))?;
        Some(lacking(crop, prepared, year, growth.bed_from_day, ready))
    };
    let growths = best.growths.iter().enumerate();
    let losses: Vec<_> = growths
        .filter_map(|(year, growth)| growth.loss.or_else(|| standstill(year, growth)))
        .collect();
    let cause = commonest(losses.iter().map(|loss| loss.cause))?;
    let of_cause = || losses.iter().filter(|loss| loss.cause == cause);
    let median = |figure: fn(&Loss) -> f64| {
        let mut values: Vec<f64> = of_cause().map(figure).collect();
        values.sort_by(f64::total_cmp);
        quantile(&values, 0.5)
    };
    Some(Loss {
        day: median(|loss| loss.day as f64)?.round() as usize,
        found: median(|loss| loss.found)?,
        needed: median(|loss| loss.needed)?,
        margin: median(|loss| loss.margin)?,
        ..*of_cause().next()?
    })
}
