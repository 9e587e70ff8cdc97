//! The years that follow: each year the plans of like sections move on, so that a family comes back to a place later.
//!
//! [`arrange`] chooses which section of a class carries which year, and which takes over whose plan, so that the move works
//! and gaps are kept as well as the beds allow; [`follow`] walks through the years place by place and says what is not kept.

mod arrange;
mod succession;
mod tally;

use std::collections::BTreeMap;

use super::{BedSections, Closing, Instance, Plan};

pub use arrange::{arrange, arrange_around, laid_out};
pub(super) use succession::{Succession, succession};

/// Weeks of a year in a settled plan.
const WEEKS_PER_YEAR: usize = crate::calendar::WEEKS_PER_YEAR;

/// A family that comes back to a place too early.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShortGap {
    /// Family.
    pub family: String,
    /// Years asked for between two times in a place.
    pub asked_years: usize,
    /// Least number of years kept; 0 within the year.
    pub kept_years: usize,
    /// Sections in which it is too short, of a plan that repeats in each year.
    pub patches: usize,
}

/// A section of a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Section {
    /// Index into the places.
    pub place: usize,
    /// Section of the bed, from 0.
    pub slot: usize,
}

/// A round of sections whose plans move on each year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turn {
    /// Week from whose begin on sowing follows the other section's plan.
    pub week: usize,
    /// Each takes over the plan of the one before it, the first that of the last.
    pub round: Vec<Section>,
}

/// What becomes of a plan over the years.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct YearsOn {
    /// How plans move on; none where nothing does.
    pub turns: Vec<Turn>,
    /// Sections in which two crops stand at once at the turn, or a family follows itself that may not: none where the
    /// turns come from [`arrange`].
    pub clashes: usize,
    /// Families that come back too early, by name.
    pub short: Vec<ShortGap>,
    /// Sections of all beds.
    pub patches: usize,
}

/// How much larger than another a section may be that takes over its plan (own choice: what it then gives is nearly that).
const LIKE_AREA: f64 = 1.25;

/// Classes of beds between whose sections plans can move: of one climate, and nearly as large.
pub fn like_classes(instance: &Instance) -> Vec<Vec<usize>> {
    let mut like: Vec<Vec<usize>> = Vec::new();
    for (class, own) in instance.beds.iter().enumerate() {
        let is_like = |group: &&mut Vec<usize>| {
            let other = &instance.beds[group[0]];
            let (least, most) = (
                own.area_m2.min(other.area_m2),
                own.area_m2.max(other.area_m2),
            );
            own.climate == other.climate && most <= LIKE_AREA * least
        };
        match like.iter_mut().find(is_like) {
            Some(group) => group.push(class),
            None => like.push(vec![class]),
        }
    }
    like
}

/// Sections of beds of these classes.
fn sections_of(places: &[BedSections], classes: &[usize]) -> Vec<Section> {
    let places = places.iter().enumerate();
    places
        .filter(|(_, place)| classes.contains(&place.class))
        .flat_map(|(number, place)| {
            (0..place.count).map(move |slot| Section {
                place: number,
                slot,
            })
        })
        .collect()
}

/// A planting in the course of years: weeks counted on, and the family.
#[derive(Clone, Copy, Debug)]
struct Stay {
    from: usize,
    to: usize,
    family: usize,
    /// Which year's plan it belongs to.
    year: usize,
}

/// Follows a plan through the years, place by place. In a settled year the plans move on at the turn (as [`arrange`] gives
/// it); an open horizon is looked at as it stands.
pub fn follow(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    turns: Vec<Turn>,
) -> YearsOn {
    let mut found = YearsOn {
        turns,
        clashes: 0,
        short: Vec::new(),
        patches: instance.bed_count(),
    };
    let mut short: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    let classes: Vec<usize> = (0..instance.beds.len()).collect();
    for section in sections_of(places, &classes) {
        let moves = found.turns.iter().find_map(|turn| {
            let at = turn.round.iter().position(|one| *one == section)?;
            Some((turn, at))
        });
        let (stays, year) = match moves {
            None => (once(instance, places, plan, section), 1),
            Some((turn, at)) => course(instance, places, plan, (turn, at)),
        };
        judge(instance, (&stays, year), &mut found, &mut short);
    }
    found.short = short
        .into_iter()
        .map(|(family, (kept_years, patches))| ShortGap {
            family: instance.families[family].name.clone(),
            asked_years: instance.families[family].gap_years,
            kept_years,
            patches,
        })
        .collect();
    found
}

/// What one section carries, as the plan says: once over an open horizon, twice over in a settled year that stays.
fn once(instance: &Instance, places: &[BedSections], plan: &Plan, section: Section) -> Vec<Stay> {
    let place = &places[section.place];
    let (class, bed) = (place.class, place.first + section.slot);
    let standing = instance
        .standing
        .iter()
        .filter(|standing| standing.bed_class == class && standing.bed == bed)
        .map(|standing| Stay {
            from: 0,
            to: standing.free_week,
            family: standing.family,
            year: 0,
        });
    let mut stays: Vec<Stay> = standing.collect();
    let rounds = match instance.closing {
        Closing::Open => 1,
        Closing::EachBed => 2,
    };
    for round in 0..rounds {
        for candidate in carried(instance, plan, class, bed) {
            let from = candidate.bed_week + round * instance.weeks;
            stays.push(Stay {
                from,
                to: from + candidate.weeks,
                family: candidate.family,
                year: from / WEEKS_PER_YEAR,
            });
        }
    }
    stays.sort_by_key(|stay| (stay.from, stay.to));
    stays
}

/// What one section carries over the years when the plans of its round move on each year at the turn, and the last year.
fn course(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    (turn, at): (&Turn, usize),
) -> (Vec<Stay>, usize) {
    let longest = instance.families.iter().map(|family| family.gap_years);
    let (round, years) = (
        turn.round.len(),
        turn.round.len() + longest.max().unwrap_or(0) + 1,
    );
    let mut stays = Vec::new();
    for year in 0..years {
        // A whole number of rounds keeps the subtraction from going below nought.
        let source = turn.round[(at + years * round - year) % round];
        let place = &places[source.place];
        for candidate in carried(instance, plan, place.class, place.first + source.slot) {
            let late = usize::from(candidate.bed_week < turn.week);
            let from = (year + late) * WEEKS_PER_YEAR + candidate.bed_week;
            stays.push(Stay {
                from,
                to: from + candidate.weeks,
                family: candidate.family,
                year,
            });
        }
    }
    stays.sort_by_key(|stay| (stay.from, stay.to));
    (stays, years - 1)
}

fn carried<'a>(
    instance: &'a Instance,
    plan: &'a Plan,
    class: usize,
    bed: usize,
) -> impl Iterator<Item = &'a super::Candidate> {
    plan.beds
        .iter()
        .filter(move |one| one.class == class && one.bed == bed)
        .flat_map(|one| &one.plantings)
        .filter_map(|&number| instance.candidates.get(number))
}

/// Counts what one section does not keep: of a plan that repeats in one of its years, as in each.
fn judge(
    instance: &Instance,
    (stays, year): (&[Stay], usize),
    found: &mut YearsOn,
    short: &mut BTreeMap<usize, (usize, usize)>,
) {
    let wrong = |pair: &[Stay]| {
        let again = pair[0].family == pair[1].family
            && !instance.families[pair[0].family].may_follow_itself;
        pair[0].year != pair[1].year && (pair[0].to > pair[1].from || again)
    };
    if instance.closing == Closing::EachBed {
        found.clashes += usize::from(stays.windows(2).any(wrong));
    }
    for (family, rule) in instance.families.iter().enumerate() {
        if rule.gap_years < 2 {
            continue;
        }
        let of_family: Vec<&Stay> = stays.iter().filter(|stay| stay.family == family).collect();
        let kept = of_family
            .windows(2)
            .filter(|pair| instance.closing == Closing::Open || pair[1].year == year)
            .map(|pair| match instance.closing {
                Closing::EachBed => pair[1].year - pair[0].year,
                Closing::Open => pair[1].from.saturating_sub(pair[0].to) / WEEKS_PER_YEAR,
            })
            .min();
        if let Some(kept) = kept.filter(|kept| *kept < rule.gap_years) {
            let entry = short.entry(family).or_insert((kept, 0));
            entry.0 = entry.0.min(kept);
            entry.1 += 1;
        }
    }
}
