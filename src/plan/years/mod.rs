//! The years that follow: each year the beds' plans move on by one bed, so that a family comes back to a place later.
//!
//! [`arrange`] chooses which patch of a class carries which year, so that the move works and gaps are kept as well as
//! the beds allow; [`follow`] walks through the years place by place and says what is not kept.

mod arrange;
mod tally;

use std::collections::BTreeMap;

use super::{BedSections, Closing, Instance, Plan};

pub use arrange::{arrange, arrange_around};

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
    /// Patches in which it is too short.
    pub patches: usize,
}

/// How plans move on from bed to bed each year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turn {
    /// Week from whose begin on sowing follows the plan of the bed before.
    pub week: usize,
    /// For each ring of like beds, for each patch within a bed, whether it moves: where the old year's crop would stand
    /// in the way of the new one it stays.
    pub moving: Vec<Vec<bool>>,
}

/// What becomes of a plan over the years.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct YearsOn {
    /// How plans move on; none where nothing does.
    pub turn: Option<Turn>,
    /// Patches of all beds that move on.
    pub moving: usize,
    /// Patches in which two crops stand at once at the turn, or a family follows itself that may not: none where the
    /// turn comes from [`arrange`].
    pub clashes: usize,
    /// Families that come back too early, by name.
    pub short: Vec<ShortGap>,
    /// Patches of all beds.
    pub patches: usize,
}

/// Beds of one class and size, between which plans can move: indices into the places.
pub fn rings(instance: &Instance, places: &[BedSections]) -> Vec<Vec<usize>> {
    let mut rings: Vec<Vec<usize>> = Vec::new();
    for (number, place) in places.iter().enumerate() {
        if place.class >= instance.beds.len() {
            continue;
        }
        let alike = |ring: &&mut Vec<usize>| {
            ring.first().is_some_and(|&other| {
                let other = &places[other];
                other.class == place.class && other.count == place.count
            })
        };
        match rings.iter_mut().find(alike) {
            Some(ring) => ring.push(number),
            None => rings.push(vec![number]),
        }
    }
    rings
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

/// Follows a plan through the years, place by place. In a settled year the plans move on by one bed at the turn
/// (as [`arrange`] gives it); an open horizon is looked at as it stands.
pub fn follow(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    turn: Option<&Turn>,
) -> YearsOn {
    let mut found = YearsOn {
        turn: turn.cloned(),
        moving: 0,
        clashes: 0,
        short: Vec::new(),
        patches: instance.bed_count(),
    };
    let mut short: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    let longest = instance
        .families
        .iter()
        .map(|family| family.gap_years)
        .max();
    for (number, ring) in rings(instance, places).into_iter().enumerate() {
        let years = ring.len() + longest.unwrap_or(0) + 1;
        for (at, &place) in ring.iter().enumerate() {
            for slot in 0..places[place].count {
                let moves = |turn: &&Turn| {
                    let of_ring = turn.moving.get(number);
                    of_ring.and_then(|slots| slots.get(slot)) == Some(&true)
                };
                let stays = match turn.filter(moves) {
                    None => once(instance, places, plan, (place, slot)),
                    Some(turn) => {
                        found.moving += 1;
                        course(
                            instance,
                            places,
                            plan,
                            &ring,
                            (at, slot),
                            (turn.week, years),
                        )
                    }
                };
                judge(instance, &stays, &mut found, &mut short);
            }
        }
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

/// What one patch carries, as the plan says: once over an open horizon, twice over in a settled year that stays.
fn once(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    (place, slot): (usize, usize),
) -> Vec<Stay> {
    let (class, bed) = (places[place].class, places[place].first + slot);
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

/// What one patch carries over the years when plans move on by one bed each year at the turn.
fn course(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    ring: &[usize],
    (at, slot): (usize, usize),
    (turn, years): (usize, usize),
) -> Vec<Stay> {
    let mut stays = Vec::new();
    for year in 0..years {
        // A whole number of rounds keeps the subtraction from going below nought.
        let source = (at + years * ring.len() - year) % ring.len();
        let place = &places[ring[source]];
        for candidate in carried(instance, plan, place.class, place.first + slot) {
            let late = usize::from(candidate.bed_week < turn);
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
    stays
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

/// Counts what one patch does not keep.
fn judge(
    instance: &Instance,
    stays: &[Stay],
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
