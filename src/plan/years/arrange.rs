//! Which patch carries which year: like sowings side by side, and an order in which the beds can move on.
//!
//! Patches of a class are alike, so any exchange leaves the plan's worth as it is. The order is found by exchanging
//! two patches as long as that helps (a plain descent: the figures below weigh what a grower minds).

use super::{Turn, rings};
use crate::plan::{BedPlan, Closing, Instance, Place, Plan, Standing};

/// What a patch that cannot move on weighs (own choice).
const STAYS: f64 = 4.0;
/// What a family back a year too early weighs (own choice).
const EARLY: f64 = 1.0;
/// What one more sowing in one more bed weighs (own choice).
const SPLIT: f64 = 1.5;
/// What each week of two crops in one place weighs, and a family directly after itself, in a patch that stays because of
/// it: little, so that the descent finds its way to patches that can move (own choice).
const NEARLY: f64 = 0.05;
/// Weeks tried for the turn: those over which the fewest crops stand.
const TURNS: usize = 6;
/// Rounds of exchanges at most.
const ROUNDS: usize = 12;

/// A patch's year as seen from a turn week.
#[derive(Clone, Debug)]
struct Year {
    /// Weeks after the turn until the crop that stands over it leaves; 0 where none does.
    leaves: usize,
    /// Weeks after the turn until the first new crop comes.
    comes: usize,
    first: Option<usize>,
    last: Option<usize>,
    families: Vec<usize>,
    plantings: Vec<usize>,
}

/// Puts equal plantings side by side and orders the patches so that plans can move on from bed to bed; gives the plan
/// and how it moves on (none where there is nothing to move on to). Without `exchange` the patches stay as they are.
pub fn arrange(
    instance: &Instance,
    places: &[Place],
    plan: &Plan,
    exchange: bool,
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
    places: &'a [Place],
    rings: &'a [Vec<usize>],
    week: usize,
    moves: bool,
    exchange: bool,
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
                .map(|&spot| year(self.instance, &plan.beds[spot].plantings, self.week))
                .collect();
            let board = Board {
                instance: self.instance,
                beds: ring.len(),
                slots: spots.len() / ring.len().max(1),
                moves: self.moves && ring.len() > 1,
            };
            let fixed = spots
                .iter()
                .map(|&spot| !self.exchange || self.is_taken(&plan.beds[spot]))
                .collect::<Vec<bool>>();
            let (cost, order) = board.descend(&years, &fixed);
            total += cost;
            for (spot, &from) in spots.iter().zip(&order) {
                arranged.beds[*spot]
                    .plantings
                    .clone_from(&plan.beds[spots[from]].plantings);
            }
            let slots = 0..board.slots;
            moving.push(
                slots
                    .map(|slot| board.moves && board.in_the_way(&years, &order, slot) == 0.0)
                    .collect(),
            );
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

    /// Does something stand there at the start?
    fn is_taken(&self, one: &BedPlan) -> bool {
        let is = |standing: &Standing| standing.bed_class == one.class && standing.bed == one.bed;
        self.instance.standing.iter().any(is)
    }
}

fn year(instance: &Instance, plantings: &[usize], turn: usize) -> Year {
    let weeks = instance.weeks;
    let after = |week: usize| (week + weeks - turn) % weeks;
    let mut order: Vec<(usize, usize)> = plantings
        .iter()
        .map(|&number| (after(instance.candidates[number].bed_week), number))
        .collect();
    order.sort_unstable();
    let family = |entry: Option<&(usize, usize)>| {
        entry.map(|(_, number)| instance.candidates[*number].family)
    };
    let end = |(from, number): &(usize, usize)| from + instance.candidates[*number].weeks;
    Year {
        leaves: order.last().map_or(0, end).saturating_sub(weeks),
        comes: order.first().map_or(weeks, |(from, _)| *from),
        first: family(order.first()),
        last: family(order.last()),
        families: order
            .iter()
            .map(|(_, number)| instance.candidates[*number].family)
            .collect(),
        plantings: plantings.to_vec(),
    }
}

/// Beds of equal patches; patch `bed * slots + slot`.
struct Board<'a> {
    instance: &'a Instance,
    beds: usize,
    slots: usize,
    moves: bool,
}

impl Board<'_> {
    /// Exchanges patches as long as that helps.
    fn descend(&self, years: &[Year], fixed: &[bool]) -> (f64, Vec<usize>) {
        let mut order: Vec<usize> = (0..years.len()).collect();
        let mut cost = self.cost(years, &order);
        for _ in 0..ROUNDS {
            let before = cost;
            for a in 0..order.len() {
                for b in a + 1..order.len() {
                    if fixed[a] || fixed[b] {
                        continue;
                    }
                    order.swap(a, b);
                    let changed = self.cost(years, &order);
                    if changed < cost {
                        cost = changed;
                    } else {
                        order.swap(a, b);
                    }
                }
            }
            if cost >= before {
                break;
            }
        }
        (cost, order)
    }

    fn cost(&self, years: &[Year], order: &[usize]) -> f64 {
        let mut cost = 0.0;
        for bed in 0..self.beds {
            let mut sown: Vec<usize> = (0..self.slots)
                .flat_map(|slot| &years[order[bed * self.slots + slot]].plantings)
                .copied()
                .collect();
            sown.sort_unstable();
            sown.dedup();
            cost += SPLIT * sown.len() as f64;
        }
        if self.moves {
            for slot in 0..self.slots {
                let in_the_way = self.in_the_way(years, order, slot);
                cost += if in_the_way > 0.0 {
                    (STAYS + NEARLY * in_the_way) * self.beds as f64
                } else {
                    EARLY * self.early(years, order, slot)
                };
            }
        }
        cost
    }

    /// The year that a bed's patch carries, counted round the beds.
    fn at<'y>(&self, years: &'y [Year], order: &[usize], bed: usize, slot: usize) -> &'y Year {
        &years[order[(bed % self.beds) * self.slots + slot]]
    }

    /// Weeks of two crops in one place, and families directly after themselves, if this patch of the beds moves on. A
    /// place that carries a bed's year carries that of the bed before it next.
    fn in_the_way(&self, years: &[Year], order: &[usize], slot: usize) -> f64 {
        let mut sum = 0.0;
        for bed in 0..self.beds {
            let own = self.at(years, order, bed, slot);
            let next = self.at(years, order, bed + self.beds - 1, slot);
            sum += own.leaves.saturating_sub(next.comes) as f64;
            if let (Some(last), Some(first)) = (own.last, next.first) {
                let again = last == first && !self.instance.families[last].may_follow_itself;
                sum += f64::from(u8::from(again));
            }
        }
        sum
    }

    /// Families back too early, counted for each year too early.
    fn early(&self, years: &[Year], order: &[usize], slot: usize) -> f64 {
        let mut sum = 0.0;
        for bed in 0..self.beds {
            for &family in &self.at(years, order, bed, slot).families {
                let gap = self.instance.families[family].gap_years;
                for years_on in 1..gap {
                    let later = self.at(years, order, bed + self.beds * gap - years_on, slot);
                    sum += f64::from(u8::from(later.families.contains(&family)));
                }
            }
        }
        sum
    }
}
