//! From growth to candidates: every crop, week and way of sowing that comes through often enough.

use rayon::prelude::*;

use super::picks::YearPicks;
use super::{Candidate, Closing, Harvest, Instance};
use crate::calendar::{DAYS_PER_WEEK, DAYS_PER_YEAR, WEEKS_PER_YEAR, first_day_of_week};
use crate::crops::{
    BedDays, Crop, Growth, Prepared, Sowing, Through, Way, grow_years, in_bed_on_time, least_kg_m2,
};
use crate::profile::quantile;

/// What is picked in a week of an area, kg, from what is picked of a square metre.
pub fn kg_of(area_m2: f64) -> impl Fn((usize, f64)) -> (usize, f64) {
    move |(week, kg_m2)| (week, kg_m2 * area_m2)
}

/// What counts as coming through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Demands {
    /// Least share of the weather years in which a planting comes through, 0 to 1.
    pub survival_min: f64,
    /// Share of the weather years in which the bed is free by the week given, 0 to 1.
    pub free_share: f64,
    /// Least share of the weather years in which the plants of a tray need not wait more than a week for the bed, 0 to 1: a date
    /// for setting out is one that usually holds.
    pub on_time_min: f64,
}

impl Default for Demands {
    /// Four years in five come through; in four of five the bed is free in time; in every second the date of setting out holds
    /// (own choice, no source).
    fn default() -> Self {
        Self {
            survival_min: 0.8,
            free_share: 0.8,
            on_time_min: 0.5,
        }
    }
}

/// One sowing in one kind of bed, followed through every weather year.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Place of the crop in the list given.
    pub crop: usize,
    /// Kind of bed climate: place in the list given.
    pub climate: usize,
    /// In the bed or in a tray.
    pub way: Way,
    /// Week of sowing, 0 to 51.
    pub sow_week: usize,
    /// First week in the bed, counted on from `sow_week`'s year (may pass 51).
    pub bed_week: usize,
    /// Weeks the bed is taken.
    pub weeks: usize,
    /// Share of the weather years in which it comes through (see [`crate::crops::COMES_THROUGH`]).
    pub survival: f64,
    /// Least that it gives in a year in which it comes through, kg/m2.
    pub least_kg_m2: f64,
    /// Weekly pickings of every year, bed time only.
    pub years: YearPicks,
}

impl Outcome {
    /// Mean picking of each week over the years, kg/m2, in order of weeks.
    pub fn mean_kg_m2(&self) -> Vec<(usize, f64)> {
        let mut weeks = std::collections::BTreeMap::new();
        for (week, kg_m2) in self.years.all() {
            *weeks.entry(week).or_insert(0.0) += kg_m2 / self.years.count() as f64;
        }
        weeks.into_iter().collect()
    }

    /// The measure of coming through, of what is picked before the bed is given away.
    pub fn through(&self) -> Through {
        let years = self.years.iter();
        let sums = years.map(|picks| picks.map(|(_, kg_m2)| kg_m2).sum());
        Through {
            least_kg_m2: self.least_kg_m2,
            kg_m2: sums.collect(),
        }
    }

    /// First and last week of picking in the middle year, of those in which it bears.
    pub fn middle_weeks(&self) -> Option<(usize, usize)> {
        let middle = |mut weeks: Vec<usize>| {
            weeks.sort_unstable();
            weeks.get(weeks.len() / 2).copied()
        };
        let years = || self.years.iter();
        let first = years().filter_map(|mut picks| Some(picks.next()?.0));
        let last = years().filter_map(|mut picks| Some(picks.next_back()?.0));
        middle(first.collect()).zip(middle(last.collect()))
    }

    /// Mean picking of each week over some winters only, kg/m2, in order of weeks. No winters give nothing.
    pub fn mean_kg_m2_in(&self, winters: &Winters) -> Vec<(usize, f64)> {
        let mut weeks = std::collections::BTreeMap::new();
        for (year, picks) in self.years.iter().enumerate() {
            for (week, kg_m2) in picks {
                if winters.holds(year, week) {
                    *weeks.entry(week).or_insert(0.0) += kg_m2 / winters.count() as f64;
                }
            }
        }
        weeks.into_iter().collect()
    }
}

/// Some winters of the weather years. The winter of year `y` lies in the middle of the 52 weeks that begin
/// `first_week` weeks after 1 January of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Winters {
    /// First week that belongs to a year's own winter: 26 (July) in the north, 0 in the south.
    pub first_week: usize,
    /// For each weather year, whether its winter is one of them.
    pub chosen: Vec<bool>,
}

impl Winters {
    /// Which weather year's winter a week counted from 1 January of weather year `year` belongs to; years go round.
    pub fn year_of(&self, year: usize, week: usize) -> usize {
        let years = self.chosen.len().max(1);
        // One round more keeps the subtraction from going below nought.
        let passed = (years + year) * WEEKS_PER_YEAR + week - self.first_week;
        (passed / WEEKS_PER_YEAR) % years
    }

    fn holds(&self, year: usize, week: usize) -> bool {
        self.chosen
            .get(self.year_of(year, week))
            .copied()
            .unwrap_or(false)
    }

    fn count(&self) -> usize {
        self.chosen.iter().filter(|chosen| **chosen).count()
    }
}

/// The bed climates that sowings of one calendar year meet.
#[derive(Clone, Debug)]
pub struct Climates {
    /// Kinds of bed climate.
    pub kinds: Vec<BedDays>,
    /// Weather year `y` is year `y * stride` of each kind; the years between follow it, where they are not weather
    /// years of their own.
    pub stride: usize,
}

/// Follows every crop, week and way of sowing that is `asked` for (way, week of sowing, first week in the bed) through every
/// year of every climate that is `lived_in` by a bed. Of what comes through that is kept which `kept` chooses among the outcomes of one crop: most are
/// not, and all of all crops at once would take much memory.
///
/// The order is that of crops, climates, ways, weeks, whatever the number of threads.
pub fn outcomes(
    crops: &[&Crop],
    climates: &Climates,
    demands: &Demands,
    lived_in: impl Fn(usize) -> bool + Sync,
    asked: impl Fn(Way, usize, usize) -> bool + Sync,
    kept: impl Fn(Vec<Outcome>) -> Vec<Outcome> + Sync,
) -> Vec<Outcome> {
    let numbers = (0..crops.len()).into_par_iter();
    let of_crop = |crop: usize| {
        let mut found = Vec::new();
        let kinds = climates.kinds.iter().enumerate();
        for (climate, days) in kinds.filter(|(climate, _)| lived_in(*climate)) {
            let kind = crops[crop];
            let prepared = Prepared::new(kind, days);
            let sown = kind.ways.iter().flat_map(|&way| {
                let weeks = (0..WEEKS_PER_YEAR).map(move |week| (way, week));
                weeks.filter(|&(way, week)| asked(way, week, bed_week(kind, way, week)))
            });
            found.extend(sown.filter_map(|sown| {
                let growths = growths(kind, &prepared, climates.stride, sown);
                outcome(kind, (crop, climate), sown, &growths, demands)
            }));
        }
        kept(found)
    };
    numbers.flat_map_iter(of_crop).collect()
}

/// First week in the bed of a sowing, counted on from its year.
fn bed_week(crop: &Crop, way: Way, sow_week: usize) -> usize {
    let in_tray_days = match way {
        Way::Tray => crop.tray_days(),
        Way::Direct => 0,
    };
    week_from_year_start(first_day_of_week(sow_week) + in_tray_days)
}

/// One sowing through every weather year, whether it comes through or not.
///
/// `crop` and `climate` are the places that the outcome is given in the lists of crops and of climates.
pub fn outcome_of(
    (crop, kind): (usize, &Crop),
    climates: &Climates,
    climate: usize,
    (way, sow_week): (Way, usize),
) -> Option<Outcome> {
    let prepared = Prepared::new(kind, climates.kinds.get(climate)?);
    let growths = growths(kind, &prepared, climates.stride, (way, sow_week));
    let anything = Demands {
        survival_min: 0.0,
        on_time_min: 0.0,
        ..Demands::default()
    };
    outcome(kind, (crop, climate), (way, sow_week), &growths, &anything)
}

fn growths(
    crop: &Crop,
    prepared: &Prepared,
    stride: usize,
    (way, sow_week): (Way, usize),
) -> Vec<Growth> {
    let sowing = Sowing {
        day: first_day_of_week(sow_week),
        way,
    };
    let years = 0..prepared.years / stride.max(1);
    grow_years(crop, prepared, years.map(|year| year * stride), sowing)
}

fn outcome(
    crop: &Crop,
    (crop_at, climate): (usize, usize),
    (way, sow_week): (Way, usize),
    growths: &[Growth],
    demands: &Demands,
) -> Option<Outcome> {
    let least_kg_m2 = least_kg_m2(crop, growths);
    let through = |growth: &&Growth| growth.kg_m2() >= least_kg_m2;
    let come_through = growths.iter().filter(through).count();
    let share = |count: usize| count as f64 / growths.len().max(1) as f64;
    let too_few = |count: usize| {
        share(count) < demands.survival_min || (count == 0 && demands.survival_min > 0.0)
    };
    if too_few(come_through) {
        return None;
    }
    let sowing = Sowing {
        day: first_day_of_week(sow_week),
        way,
    };
    // The bed is kept free from its date on while a cold spring holds the plants up.
    let on_time = growths
        .iter()
        .filter(|growth| in_bed_on_time(crop, sowing, growth));
    if share(on_time.count()) < demands.on_time_min {
        return None;
    }
    let bed_week = bed_week(crop, way, sow_week);
    // A sowing that never comes through holds its bed until it is given up.
    let mut clear: Vec<f64> = growths
        .iter()
        .filter(|growth| come_through == 0 || through(growth))
        .map(|growth| growth.clear_day as f64)
        .collect();
    clear.sort_by(f64::total_cmp);
    let clear_day = quantile(&clear, demands.free_share)?.ceil() as usize;
    let weeks = (week_from_year_start(clear_day.saturating_sub(1)) + 1)
        .saturating_sub(bed_week)
        .clamp(1, WEEKS_PER_YEAR);
    let mut found = Outcome {
        crop: crop_at,
        climate,
        way,
        sow_week,
        bed_week,
        weeks,
        survival: 0.0,
        least_kg_m2,
        years: YearPicks::of(
            growths
                .iter()
                .map(|growth| weekly(growth, bed_week + weeks)),
        ),
    };
    // What would be picked after the bed is given away does not count.
    found.survival = found.through().by_weather();
    (found.survival >= demands.survival_min).then_some(found)
}

/// Pickings by week, those after the bed is given away left out.
fn weekly(growth: &Growth, end_week: usize) -> impl Iterator<Item = (usize, f64)> {
    let picked = growth.harvests.iter();
    let weeks = picked.map(|harvest| (week_from_year_start(harvest.day), harvest.kg_m2));
    weeks.filter(move |(week, _)| *week < end_week)
}

/// Planning week counted on from 1 January of a year: the 365th day belongs to the 52nd week.
pub fn week_from_year_start(day: usize) -> usize {
    let in_year = (day % DAYS_PER_YEAR) / DAYS_PER_WEEK;
    (day / DAYS_PER_YEAR) * WEEKS_PER_YEAR + in_year.min(WEEKS_PER_YEAR - 1)
}

/// What a candidate costs and takes beside its bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlay {
    /// Seed, trays, compost, money per m2 of bed.
    pub cost_m2: f64,
    /// Work to sow or set out, hours per m2 of bed.
    pub sow_h_m2: f64,
    /// Work to pick, hours per kg.
    pub pick_h_kg: f64,
    /// Shelf that its trays take, m2 per m2 of bed.
    pub shelf_m2_m2: f64,
}

/// Where on the horizon an outcome's sowing falls: so many weeks later than its own count from 1 January.
///
/// In a settled year that is none. On an open horizon it is one figure for each calendar year; `calendar_year` counts
/// from 0 for the year in which the horizon begins, below it for one before.
pub fn shift(instance: &Instance, calendar_year: isize) -> isize {
    match instance.closing {
        Closing::EachBed => 0,
        Closing::Open => {
            let start = crate::calendar::week_of_day(crate::calendar::day_of_date(instance.start));
            calendar_year * WEEKS_PER_YEAR as isize - start as isize
        }
    }
}

/// Candidates of an outcome: one for each bed class with its climate, sown in one calendar year of the horizon (0 in a
/// settled year); none where the sowing lies outside it.
///
/// `kg_m2` is the weekly harvest that is planned for; `food` and `family` are places in the instance's lists.
pub fn candidates(
    instance: &Instance,
    (outcome, calendar_year): (&Outcome, isize),
    crop: &Crop,
    (food, family): (usize, usize),
    kg_m2: &[(usize, f64)],
    outlay: &Outlay,
) -> Vec<Candidate> {
    let shift = shift(instance, calendar_year);
    let place = |week: usize| instance.week_index((week as isize + shift).try_into().ok()?);
    let Some(sow_week) = place(outcome.sow_week) else {
        return Vec::new();
    };
    let classes = instance
        .beds
        .iter()
        .enumerate()
        .filter(|(_, class)| class.climate == outcome.climate)
        .filter(|(_, class)| holds_a_plant(crop, class.area_m2));
    let on_class = |(bed_class, _)| {
        let in_bed = in_bed(
            instance,
            (outcome, shift),
            crop,
            (food, family),
            (kg_m2, outlay),
            bed_class,
        )?;
        let area_m2 = instance.beds[bed_class].area_m2;
        Some(Candidate {
            sow_week,
            tray_weeks: outcome.bed_week - outcome.sow_week,
            cost: outlay.cost_m2 * area_m2,
            labour: work(instance, sow_week, area_m2, outlay, &in_bed.harvest),
            ..in_bed
        })
    };
    classes.filter_map(on_class).collect()
}

/// The candidate of an outcome that was sown before the horizon begins and stands in trays for some beds of a class; none where
/// its plants would be set out outside the horizon. Its seed is paid; what is left of the work is setting out and picking.
pub fn begun(
    instance: &Instance,
    (outcome, calendar_year): (&Outcome, isize),
    crop: &Crop,
    (food, family): (usize, usize),
    (kg_m2, outlay): (&[(usize, f64)], &Outlay),
    (bed_class, beds): (usize, Vec<usize>),
) -> Option<Candidate> {
    let shift = shift(instance, calendar_year);
    let outlook = (kg_m2, outlay);
    let in_bed = in_bed(
        instance,
        (outcome, shift),
        crop,
        (food, family),
        outlook,
        bed_class,
    )?;
    let area_m2 = instance.beds[bed_class].area_m2;
    Some(Candidate {
        // Plants that are set out in the first week were in their trays until then.
        tray_weeks: in_bed.bed_week.max(1),
        labour: work(instance, in_bed.bed_week, area_m2, outlay, &in_bed.harvest),
        beds_most: beds.len(),
        begun: beds,
        ..in_bed
    })
}

/// An outcome in a class of beds as if it came there for nothing, so many weeks later than it counts; none where it would come
/// outside the horizon.
fn in_bed(
    instance: &Instance,
    (outcome, shift): (&Outcome, isize),
    crop: &Crop,
    (food, family): (usize, usize),
    (kg_m2, outlay): (&[(usize, f64)], &Outlay),
    bed_class: usize,
) -> Option<Candidate> {
    let place = |week: usize| instance.week_index((week as isize + shift).try_into().ok()?);
    let class = &instance.beds[bed_class];
    let picks = kg_m2.iter().copied().map(kg_of(class.area_m2));
    let pick = |(week, kg)| {
        let week = place(week)?;
        Some(Harvest { week, food, kg })
    };
    Some(Candidate {
        crop: crop.id.clone(),
        family,
        bed_class,
        sow_week: 0,
        tray_weeks: 0,
        bed_week: place(outcome.bed_week)?,
        weeks: outcome.weeks,
        cover: outcome.climate > 0,
        harvest: picks.filter_map(pick).collect(),
        survival: outcome.survival,
        cost: 0.0,
        labour: Vec::new(),
        shelf_m2: outlay.shelf_m2_m2 * class.area_m2,
        beds_most: class.count,
        begun: Vec::new(),
    })
}

/// A patch that is so much too small for a plant still takes it (own choice: plants lean over a path).
const PLANT_LEANS: f64 = 0.1;

/// True if a patch holds at least one whole plant: half a zucchini is none.
fn holds_a_plant(crop: &Crop, area_m2: f64) -> bool {
    area_m2 * crop.spacing.plants_per_m2 >= 1.0 - PLANT_LEANS
}

fn work(
    instance: &Instance,
    sow_week: usize,
    area_m2: f64,
    outlay: &Outlay,
    harvest: &[Harvest],
) -> Vec<super::Labour> {
    let mut hours = std::collections::BTreeMap::new();
    *hours.entry(sow_week).or_insert(0.0) += outlay.sow_h_m2 * area_m2;
    for pick in harvest {
        *hours.entry(pick.week).or_insert(0.0) += outlay.pick_h_kg * pick.kg;
    }
    hours
        .into_iter()
        .filter(|(week, _)| *week < instance.weeks)
        .map(|(week, hours)| super::Labour { week, hours })
        .collect()
}
