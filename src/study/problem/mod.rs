//! The planning problem of a project: its beds in whole-row patches, its demand, its wishes, what could be sown.

mod begun;
mod beyond;
mod foods;
mod gardening;
mod horizon;
mod lived;
mod offered;
mod scenarios;
mod standing;

use crate::phrase::{Phrase, amount, phrase};
use chrono::NaiveDate;

use super::{ClimateStudy, Job, StudyError};
use crate::calendar::{WEEKS_PER_YEAR, day_of_date, week_of_day};
use crate::crops::Crop;
use crate::plan::candidate::{Outcome, Winters, shift};
use crate::plan::fate::{Fate, Losses};
use crate::plan::{BedClass, BedSections, Closing, Group, Instance, Limits};
use crate::value::{self, Market};

pub use foods::keeps_weeks;
pub(super) use horizon::horizon;
pub use offered::{NotOffered, Surest, WhyNot};
pub use standing::StandingCrop;
pub(super) use standing::known_crop;

/// Shelf that one seed tray takes, m2 (0.28 m x 0.54 m; common practice, no source).
const TRAY_M2: f64 = 0.151;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Origin {
    pub outcome: usize,
    /// Calendar year of its sowing, from 0 for the year in which the horizon begins, below it for one before; 0 in a settled year.
    pub calendar_year: isize,
    /// Day on which it was sown in its trays, where that was before the horizon begins.
    pub sown: Option<NaiveDate>,
}

/// A sowing that a person asks about, whether it comes through or not.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    pub crop: String,
    /// Kind of bed climate.
    pub climate: usize,
    pub way: crate::crops::Way,
    pub sow: NaiveDate,
    /// Day on which the bed is to be free, where that is said.
    pub clear: Option<NaiveDate>,
}

/// The planning problem with what it was made from.
#[derive(Clone, Debug)]
pub struct Problem {
    /// The instance: the horizon that is asked for and shown.
    pub instance: Instance,
    /// The same with the year after an open end, which the search weighs too (see [`Problem::searched`]).
    searched: Option<Instance>,
    /// For each candidate of the instance, where it comes from.
    pub origins: Vec<Origin>,
    /// What became of every crop, week and way of sowing.
    pub outcomes: Vec<Outcome>,
    /// Crops, in the order that `outcomes` counts.
    pub crops: Vec<Crop>,
    /// For each bed of the file, its patches.
    pub places: Vec<BedSections>,
    /// What already stands in the beds.
    pub standing: Vec<StandingCrop>,
    /// The demand, with what was asked for beyond it.
    pub market: Market,
    /// The household behind the demand.
    pub household: value::Household,
    /// Temperature at which food is kept, °C; none where each food has its best.
    pub cellar_c: Option<f64>,
    /// Winters that the plan is made for, where not for all.
    pub winters: Option<Winters>,
    /// What is lost beside the weather.
    pub losses: Losses,
    pub seed: u64,
    /// Assumptions made on the way, one sentence each.
    pub notes: Vec<Phrase>,
    /// What the household asks for and cannot have, one sentence each.
    pub warnings: Vec<Phrase>,
}

/// Planning week of the calendar (0 to 51) of a week of the horizon.
pub fn calendar_week(instance: &Instance, week: usize) -> usize {
    (week_of_day(day_of_date(instance.start)) + week) % WEEKS_PER_YEAR
}

/// Assembles a project's planning problem; `asked` sowings are among its candidates, come what may.
///
/// # Errors
/// [`StudyError`] for a household that cannot be priced, a start before the building is finished, or beds that cannot
/// be as the file says.
pub fn problem(job: &Job, climate: &ClimateStudy, asked: &[Asked]) -> Result<Problem, StudyError> {
    let horizon = horizon::horizon(job)?;
    let climates = horizon::climates(job, climate, &horizon)?;
    let household = job.household();
    let market = value::market(&household)?;
    let mut notes = foods::wishes_beyond(job, &market);
    let kinds = climates.sets[0].kinds.len();
    let (beds, places) = bed_classes(job, kinds);
    let own = &job.project.household;
    let group = |group: &value::GroupLine| Group {
        name: group.name.clone(),
        appetite_kg_week: group.appetite_kg_week,
    };
    let instance = Instance {
        start: horizon.start,
        weeks: match horizon.closing {
            Closing::Open => horizon.weeks + beyond::WEEKS_AFTER,
            Closing::EachBed => horizon.weeks,
        },
        closing: horizon.closing,
        beds,
        families: Vec::new(),
        foods: Vec::new(),
        groups: market.groups.iter().map(group).collect(),
        candidates: Vec::new(),
        wishes: Vec::new(),
        wanted: Vec::new(),
        standing: Vec::new(),
        coming: Vec::new(),
        limits: Limits {
            sowings_week: own
                .sowings_per_week
                .map(|limit| limit.floor().max(0.0) as usize),
            labour_h_week: own.hours_per_week,
            shelf_m2: own.trays.map(|trays| trays * TRAY_M2),
            kinds: own.gardening.kinds_most(),
            families: Vec::new(),
        },
        effort: gardening::effort(job, &household)?,
        work_day: Some(own.gardening.weekday()),
    };
    if let Some((finished, after)) = climates.first_year {
        notes.push(format!(
            "the building is finished on {finished}: until {after} its ground is that of the first year"
        ).into());
    }
    let mut problem = Problem {
        instance,
        searched: None,
        origins: Vec::new(),
        outcomes: Vec::new(),
        crops: foods::wanted_crops(job, &market, asked),
        places,
        standing: Vec::new(),
        market,
        household,
        cellar_c: standing::project_cellar_c(job),
        winters: None,
        losses: job.project.losses.clone(),
        seed: job.project.planning.seed,
        notes,
        warnings: Vec::new(),
    };
    if climate.grown().len() < climate.years.len() {
        problem.note(format!(
            "the plan is made for and lived in the first {} of the {} weather years",
            climate.grown().len(),
            climate.years.len()
        ));
    }
    problem.note_losses();
    problem.note_cellar();
    offered::add_candidates(job, &climates, &mut problem, asked)?;
    standing::add_standing(job, &climates, &mut problem)?;
    for wish in &job.project.shopping.wishes {
        foods::add_wish(&mut problem, wish, own.wish_beyond);
    }
    gardening::add_must(job, &mut problem);
    gardening::limit_families(job, &mut problem, horizon.weeks);
    problem.instance.limit_beds();
    beyond::end_after(&mut problem, horizon.weeks);
    Ok(problem)
}

impl Problem {
    /// Tells of an assumption.
    fn note(&mut self, words: impl Into<Phrase>) {
        self.notes.push(words.into());
    }

    fn note_losses(&mut self) {
        let losses = self.losses.clone();
        let share = |share: f64| format!("{:.0} %", 100.0 * share);
        self.note(format!(
            "beside the weather is lost, on average and drawn anew for each planting and year: {} of a stand from seed, {} of plants set out, {} of the crop to pests and disease, {} in the kitchen, and {} of plantings as a whole (`[losses]` in the file); beside that a planting may take {} more or fewer days and give {} more or less than growth here says (standard deviation, `[growth]`)",
            share(losses.sown),
            share(losses.set_out),
            share(losses.field),
            share(losses.kitchen),
            share(losses.whole),
            share(losses.days_spread),
            share(losses.yield_spread)
        ));
    }

    fn note_cellar(&mut self) {
        self.notes.push(match self.cellar_c {
            Some(cellar_c) => phrase![
                "food is kept at ",
                amount(cellar_c, "°C", 1),
                format!("; above its best temperature it keeps shorter ({} times for each ", foods::AGEING_PER_10_K),
                amount(foods::TEN_K, "K", 0),
                ")"
            ],
            None => "food that keeps is stored at its best temperature, such as in a refrigerator (another temperature: `[cellar]` in the file)".into(),
        });
    }

    /// Weekly harvest of a sowing that is planned for, kg/m2: the mean of the weather years planned for, less what is lost
    /// beside the weather on average.
    pub fn expected_kg_m2(&self, outcome: &Outcome) -> Vec<(usize, f64)> {
        let crop = &self.crops[outcome.crop].id;
        let left = self.losses.mean_left(crop, Some(outcome.way));
        let by_weather = match &self.winters {
            Some(winters) => outcome.mean_kg_m2_in(winters),
            None => outcome.mean_kg_m2(),
        };
        let weeks = by_weather.into_iter();
        weeks.map(|(week, kg_m2)| (week, kg_m2 * left)).collect()
    }

    /// Least picking of a food in a week that is worth going for, kg a section.
    pub fn least_picking_kg(&self, food: usize) -> f64 {
        gardening::least_picking_kg(&self.instance, food)
    }

    pub fn outcome(&self, candidate: usize) -> &Outcome {
        &self.outcomes[self.origins[candidate].outcome]
    }

    pub fn weather_years(&self) -> usize {
        let first = self.outcomes.first();
        first.map_or(1, |outcome| outcome.years.count())
    }

    /// What a candidate bears in a weather year: weeks of the horizon and kg/m2, of which `left` says what share is left
    /// by the weather year of sowing. Calendar years of an open horizon live through consecutive weather years; a settled
    /// year holds what was sown in it and, past the turn, the year before.
    pub fn picks_in(
        &self,
        candidate: usize,
        weather_year: usize,
        fate: impl Fn(usize) -> Fate,
    ) -> Vec<(usize, f64)> {
        let origin = self.origins[candidate];
        let outcome = &self.outcomes[origin.outcome];
        let years = outcome.years.count();
        let in_bed = (outcome.bed_week, outcome.weeks);
        let of_year = |sown: usize| fate(sown).picks(outcome.years.year(sown), in_bed);
        match self.instance.closing {
            Closing::Open => {
                let shift = shift(&self.instance, origin.calendar_year);
                let sown = weather_year as isize + origin.calendar_year;
                let sown = sown.rem_euclid(years as isize) as usize;
                let on = |(week, kg_m2): (usize, f64)| {
                    let week = usize::try_from(week as isize + shift).ok()?;
                    Some((self.instance.week_index(week)?, kg_m2))
                };
                of_year(sown).filter_map(on).collect()
            }
            Closing::EachBed => (0..=1)
                .flat_map(|turn| {
                    let sown = (weather_year + years - turn % years) % years;
                    of_year(sown)
                        .filter(move |(week, _)| week / WEEKS_PER_YEAR == turn)
                        .map(move |(week, kg_m2)| (week % WEEKS_PER_YEAR, kg_m2))
                })
                .collect(),
        }
    }
}

/// Beds as equal patches; beds of the same patch size and cover share a class.
fn bed_classes(job: &Job, climates: usize) -> (Vec<BedClass>, Vec<BedSections>) {
    let mut classes: Vec<BedClass> = Vec::new();
    let mut places = Vec::new();
    for bed in &job.project.beds {
        let count = match bed.patch_m2 {
            Some(patch_m2) => (bed.area_m2 / patch_m2).round() as usize,
            None => sections(job, bed.area_m2),
        }
        .max(1);
        let area_m2 = bed.area_m2 / count as f64;
        let climate = Some(bed.climate).filter(|own| *own < climates).unwrap_or(0);
        let same = |class: &BedClass| class.climate == climate && class.area_m2 == area_m2;
        let known = classes.iter().position(same);
        let class = known.unwrap_or_else(|| {
            classes.push(BedClass {
                name: bed.name.clone(),
                count: 0,
                area_m2,
                climate,
            });
            classes.len() - 1
        });
        if classes[class].count > 0 {
            classes[class].name = format!("{} + {}", classes[class].name, bed.name);
        }
        places.push(BedSections {
            name: bed.name.clone(),
            class,
            first: classes[class].count,
            count,
        });
        classes[class].count += count;
    }
    (classes, places)
}

/// Sections of a bed of which neither the bed nor the household says how many: halves, but none larger than the household eats of
/// at a time.
fn sections(job: &Job, area_m2: f64) -> usize {
    let household = &job.project.household;
    let eaters = job.project.shopping.eaters.len() as f64;
    let most_m2 = SECTION_M2.max(SECTION_M2_EATER * eaters);
    let usual = (area_m2 / most_m2).ceil() as usize;
    let asked = household.gardening.sections;
    asked.unwrap_or(usual.clamp(2, USUAL_SECTIONS_MAX))
}

/// A section is no larger than this, m2, nor than so much for each eater, m2: more of one salad than a family eats while it is
/// good (own choice).
const SECTION_M2: f64 = 2.5;
const SECTION_M2_EATER: f64 = 0.6;
/// Most sections of a bed where the file does not ask for more (own choice: the plan stays one that can be read).
const USUAL_SECTIONS_MAX: usize = 6;
