//! Which section carries which year, and how the plans of sections move on.
//!
//! Sections of a class are alike, so any exchange leaves the plan's worth as it is: like sowings are put side by side. How
//! plans move on does not depend on where they lie.

use std::cmp::Reverse;

use super::succession::succession;
use super::tally::Tally;
use super::{Section, Turn, like_classes, sections_of};
use crate::plan::{BedPlan, BedSections, Closing, Instance, Plan, Standing};

/// Puts equal plantings side by side and looks for how the plans of sections can move on year by year; gives the plan and
/// how it moves on. Without `exchange` the sections stay as they are.
pub fn arrange(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    exchange: bool,
) -> (Plan, Vec<Turn>) {
    arrange_around(instance, places, plan, (exchange, None))
}

/// The same where the sections of `held` that carry something keep all that stands in them.
pub fn arrange_around(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    (exchange, held): (bool, Option<&Plan>),
) -> (Plan, Vec<Turn>) {
    let arranged = if exchange {
        laid_out(instance, places, plan, held)
    } else {
        plan.clone()
    };
    let mut turns = Vec::new();
    if instance.closing == Closing::EachBed {
        for classes in like_classes(instance) {
            let spots = spots(places, plan, &sections_of(places, &classes));
            turns.extend(turns_of(instance, &spots, &arranged));
        }
    }
    (arranged, turns)
}

/// A plan with equal plantings side by side; the sections of `held` that carry something keep all that stands in them.
pub fn laid_out(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    held: Option<&Plan>,
) -> Plan {
    let mut laid = plan.clone();
    for class in 0..instance.beds.len() {
        let spots = spots(places, plan, &sections_of(places, &[class]));
        side_by_side(instance, &spots, held, &mut laid);
    }
    laid
}

/// Sections with their places in the plan.
fn spots(places: &[BedSections], plan: &Plan, sections: &[Section]) -> Vec<(Section, usize)> {
    let spot = |section: &Section| {
        let place = &places[section.place];
        let is = |one: &BedPlan| one.class == place.class && one.bed == place.first + section.slot;
        Some((*section, plan.beds.iter().position(is)?))
    };
    sections.iter().filter_map(spot).collect()
}

/// Exchanges sections of a class so that equal plantings come to lie in one bed; what stands or is held stays.
fn side_by_side(
    instance: &Instance,
    spots: &[(Section, usize)],
    held: Option<&Plan>,
    plan: &mut Plan,
) {
    let mut own: Vec<Vec<usize>> = spots
        .iter()
        .map(|&(_, spot)| plan.beds[spot].plantings.clone())
        .collect();
    let fixed: Vec<bool> = spots
        .iter()
        .map(|&(_, spot)| is_taken(instance, &plan.beds[spot]) || is_held(held, spot))
        .collect();
    in_order(instance, &fixed, &mut own);
    let own: Vec<&[usize]> = own.iter().map(Vec::as_slice).collect();
    let bed_of: Vec<usize> = spots.iter().map(|(section, _)| section.place).collect();
    let mut tally = Tally::new(&bed_of, &own);
    tally.descend(&fixed);
    for (&(_, spot), &from) in spots.iter().zip(&tally.order) {
        plan.beds[spot].plantings = own[from].to_vec();
    }
}

/// Puts the years of sections that are not fixed in order of what stands longest in them, so that much the same plan comes to lie
/// in much the same places.
fn in_order(instance: &Instance, fixed: &[bool], years: &mut [Vec<usize>]) {
    let longest = |year: &Vec<usize>| {
        let mut stays: Vec<_> = year.iter().map(|&one| &instance.candidates[one]).collect();
        stays.sort_by_key(|stay| (Reverse(stay.weeks), &stay.crop, stay.bed_week));
        let stays = stays.into_iter();
        stays
            .map(|stay| (stay.crop.as_str(), stay.bed_week))
            .collect::<Vec<_>>()
    };
    let free = || (0..fixed.len()).filter(|&at| !fixed[at]);
    let mut ordered: Vec<Vec<usize>> = free().map(|at| years[at].clone()).collect();
    ordered.sort_by(|a, b| longest(a).cmp(&longest(b)));
    for (at, year) in free().zip(ordered) {
        years[at] = year;
    }
}

/// Rounds in which the plans of these sections move on.
fn turns_of(instance: &Instance, spots: &[(Section, usize)], plan: &Plan) -> Vec<Turn> {
    let (sections, years): (Vec<Section>, Vec<&[usize]>) = spots
        .iter()
        .map(|&(section, spot)| (section, plan.beds[spot].plantings.as_slice()))
        .unzip();
    let found = succession(instance, &years);
    let mut seen = vec![false; sections.len()];
    let mut turns = Vec::new();
    for first in 0..sections.len() {
        let mut round = Vec::new();
        let mut at = first;
        while !std::mem::replace(&mut seen[at], true) {
            round.push(sections[at]);
            at = found.next[at];
        }
        if round.len() > 1 {
            // A section takes over the plan that comes next in its place: told from giver to taker, the first stays first.
            round[1..].reverse();
            turns.push(Turn {
                week: found.week,
                round,
            });
        }
    }
    turns
}

/// Does something stay there that is held out of the search?
fn is_held(held: Option<&Plan>, spot: usize) -> bool {
    let held = held.and_then(|held| held.beds.get(spot));
    held.is_some_and(|one| !one.plantings.is_empty())
}

/// Does something stand there at the start?
fn is_taken(instance: &Instance, one: &BedPlan) -> bool {
    let is = |standing: &Standing| standing.bed_class == one.class && standing.bed == one.bed;
    instance.standing.iter().any(is)
}
