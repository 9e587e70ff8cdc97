//! Which patch carries which year: like sowings side by side, and an order in which the beds can move on.
//!
//! Patches of a class are alike, so any exchange leaves the plan's worth as it is. The order is found by exchanging
//! two patches as long as that helps (a plain descent: the figures below weigh what a grower minds).

use super::tally::{Board, Tally, Year};
use super::{Turn, rings};
use crate::plan::{BedPlan, BedSections, Closing, Instance, Plan, Standing};

/// Weeks tried for the turn: those over which the fewest crops stand.
const TURNS: usize = 6;

/// Puts equal plantings side by side and orders the patches so that plans can move on from bed to bed; gives the plan
/// and how it moves on (none where there is nothing to move on to). Without `exchange` the patches stay as they are.
pub fn arrange(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    exchange: bool,
) -> (Plan, Option<Turn>) {
    arrange_around(instance, places, plan, (exchange, None))
}

/// The same where the patches of `held` that carry something keep all that stands in them.
pub fn arrange_around(
    instance: &Instance,
    places: &[BedSections],
    plan: &Plan,
    (exchange, held): (bool, Option<&Plan>),
) -> (Plan, Option<Turn>) {
    let rings = rings(instance, places);
    let moves = instance.closing == Closing::EachBed && rings.iter().any(|ring| ring.len() > 1);
    let turns = if moves {
        turns(instance, plan)
    } else {
        vec![0]
    };
    let mut best: Option<(f64, Plan, Turn)> = None;
    for week in turns {
        let task = Task {
            instance,
            places,
            rings: &rings,
            week,
            moves,
            exchange,
            held,
        };
        let (cost, arranged, turn) = task.arranged(plan);
        if best.as_ref().is_none_or(|(least, _, _)| cost < *least) {
            best = Some((cost, arranged, turn));
        }
    }
    match best {
        Some((_, plan, turn)) => (plan, moves.then_some(turn)),
        None => (plan.clone(), None),
    }
}

/// The weeks over whose begin the fewest crops stand.
fn turns(instance: &Instance, plan: &Plan) -> Vec<usize> {
    let mut over = vec![0; instance.weeks];
    for &planting in plan.beds.iter().flat_map(|one| &one.plantings) {
        let candidate = &instance.candidates[planting];
        for week in candidate.bed_week + 1..candidate.bed_week + candidate.weeks {
            over[week % instance.weeks] += 1;
        }
    }
    let mut weeks: Vec<usize> = (0..instance.weeks).collect();
    weeks.sort_by_key(|week| (over[*week], *week));
    weeks.truncate(TURNS);
    weeks
}

/// One way to turn, to be tried.
struct Task<'a> {
    instance: &'a Instance,
    places: &'a [BedSections],
    rings: &'a [Vec<usize>],
    week: usize,
    moves: bool,
    exchange: bool,
    held: Option<&'a Plan>,
}

impl Task<'_> {
    fn arranged(&self, plan: &Plan) -> (f64, Plan, Turn) {
        let mut arranged = plan.clone();
        let mut total = 0.0;
        let mut moving = Vec::new();
        for ring in self.rings {
            let spots: Vec<usize> = self.spots(ring, plan);
            let years: Vec<Year> = spots
                .iter()
                .map(|&spot| Year::seen_from(self.week, self.instance, &plan.beds[spot].plantings))
                .collect();
            let board = Board {
                instance: self.instance,
                beds: ring.len(),
                slots: spots.len() / ring.len().max(1),
                moves: self.moves && ring.len() > 1,
            };
            let fixed = spots
                .iter()
                .map(|&spot| {
                    !self.exchange || self.is_taken(&plan.beds[spot]) || self.is_held(spot)
                })
                .collect::<Vec<bool>>();
            let mut tally = Tally::new(&board, &years);
            total += tally.descend(&fixed);
            for (spot, &from) in spots.iter().zip(&tally.order) {
                arranged.beds[*spot]
                    .plantings
                    .clone_from(&plan.beds[spots[from]].plantings);
            }
            moving.push((0..board.slots).map(|slot| tally.moves_on(slot)).collect());
        }
        let turn = Turn {
            week: self.week,
            moving,
        };
        (total, arranged, turn)
    }

    /// Places in the plan of the patches of a ring, bed by bed.
    fn spots(&self, ring: &[usize], plan: &Plan) -> Vec<usize> {
        ring.iter()
            .map(|&place| &self.places[place])
            .flat_map(|place| {
                (place.first..place.first + place.count).filter_map(|bed| {
                    let is = |one: &BedPlan| one.class == place.class && one.bed == bed;
                    plan.beds.iter().position(is)
                })
            })
            .collect()
    }

    /// Does something stay there that is held out of the search?
    fn is_held(&self, spot: usize) -> bool {
        let held = self.held.and_then(|held| held.beds.get(spot));
        held.is_some_and(|one| !one.plantings.is_empty())
    }

    /// Does something stand there at the start?
    fn is_taken(&self, one: &BedPlan) -> bool {
        let is = |standing: &Standing| standing.bed_class == one.class && standing.bed == one.bed;
        self.instance.standing.iter().any(is)
    }
}
