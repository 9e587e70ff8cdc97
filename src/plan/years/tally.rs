//! What an order of the patches costs, and the descent that exchanges them.

use crate::plan::Instance;

/// What a patch that cannot move on weighs (own choice).
const STAYS: f64 = 4.0;
/// What a family back a year too early weighs (own choice).
const EARLY: f64 = 1.0;
/// What one more sowing in one more bed weighs (own choice).
const SPLIT: f64 = 1.5;
/// What each week of two crops in one place weighs, and a family directly after itself, in a patch that stays because of
/// it: little, so that the descent finds its way to patches that can move (own choice).
const NEARLY: f64 = 0.05;
/// Rounds of exchanges at most.
const ROUNDS: usize = 12;

/// A patch's year as seen from a turn week.
#[derive(Clone, Debug)]
pub(super) struct Year {
    /// Weeks after the turn until the crop that stands over it leaves; 0 where none does.
    leaves: usize,
    /// Weeks after the turn until the first new crop comes.
    comes: usize,
    first: Option<usize>,
    last: Option<usize>,
    families: Vec<usize>,
    plantings: Vec<usize>,
}

impl Year {
    /// The year of a patch with these plantings, seen from week `turn`.
    pub fn seen_from(turn: usize, instance: &Instance, plantings: &[usize]) -> Self {
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
        Self {
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
}

/// Beds of equal patches; patch `bed * slots + slot`.
pub(super) struct Board<'a> {
    pub instance: &'a Instance,
    pub beds: usize,
    pub slots: usize,
    /// Do plans move on from bed to bed?
    pub moves: bool,
}

/// An order of the patches and what it costs, kept up as patches are exchanged. What stands in the way of moving on and
/// what comes back early are summed patch by patch in whole numbers, so that an exchange looks at its own beds alone.
pub(super) struct Tally<'a> {
    board: &'a Board<'a>,
    years: &'a [Year],
    /// For each patch, whose year it carries.
    pub order: Vec<usize>,
    /// Sowings of each year, numbered from 0.
    sowings: Vec<Vec<usize>>,
    /// How many patches of each bed carry each sowing.
    sown: Vec<Vec<usize>>,
    /// Weeks of two crops in one place, and families directly after themselves, if this patch moves on.
    in_the_way: Vec<usize>,
    /// Families back too early in this patch, counted for each year too early.
    early: Vec<usize>,
    /// Different sowings in each bed, summed.
    different_sowings: usize,
    /// Sums over the beds, by slot.
    in_the_way_sum: Vec<usize>,
    early_sum: Vec<usize>,
    /// Years over which a bed looks back at the beds before it.
    reach: usize,
}

impl<'a> Tally<'a> {
    pub fn new(board: &'a Board<'a>, years: &'a [Year]) -> Self {
        let families = years.iter().flat_map(|year| &year.families);
        let gap = |family: &usize| board.instance.families[*family].gap_years;
        let mut numbers: Vec<usize> = years
            .iter()
            .flat_map(|year| year.plantings.iter().copied())
            .collect();
        numbers.sort_unstable();
        numbers.dedup();
        let numbered = |year: &Year| {
            let number = |planting: &usize| numbers.partition_point(|other| other < planting);
            year.plantings.iter().map(number).collect()
        };
        let mut tally = Self {
            board,
            years,
            order: (0..years.len()).collect(),
            sowings: years.iter().map(numbered).collect(),
            sown: vec![vec![0; numbers.len()]; board.beds],
            in_the_way: vec![0; years.len()],
            early: vec![0; years.len()],
            different_sowings: 0,
            in_the_way_sum: vec![0; board.slots],
            early_sum: vec![0; board.slots],
            reach: families.map(gap).max().unwrap_or(0).max(2),
        };
        for spot in 0..years.len() {
            tally.put(spot);
            tally.look_back(spot);
        }
        tally
    }

    /// Exchanges two patches.
    fn exchange(&mut self, a: usize, b: usize) {
        self.take(a);
        self.take(b);
        self.order.swap(a, b);
        self.put(a);
        self.put(b);
        self.look_back(a);
        self.look_back(b);
    }

    fn take(&mut self, spot: usize) {
        let bed = &mut self.sown[spot / self.board.slots];
        for &sowing in &self.sowings[self.order[spot]] {
            bed[sowing] -= 1;
            self.different_sowings -= usize::from(bed[sowing] == 0);
        }
    }

    fn put(&mut self, spot: usize) {
        let bed = &mut self.sown[spot / self.board.slots];
        for &sowing in &self.sowings[self.order[spot]] {
            self.different_sowings += usize::from(bed[sowing] == 0);
            bed[sowing] += 1;
        }
    }

    /// Counts anew what a patch has a part in: its own bed, and those that carry its year later.
    fn look_back(&mut self, spot: usize) {
        if !self.board.moves {
            return;
        }
        let (bed, slot) = (spot / self.board.slots, spot % self.board.slots);
        for later in 0..self.reach {
            let bed = (bed + later) % self.board.beds;
            let spot = bed * self.board.slots + slot;
            let (in_the_way, early) = (
                self.stands_in_the_way(bed, slot),
                self.back_early(bed, slot),
            );
            self.in_the_way_sum[slot] += in_the_way;
            self.in_the_way_sum[slot] -= self.in_the_way[spot];
            self.in_the_way[spot] = in_the_way;
            self.early_sum[slot] += early;
            self.early_sum[slot] -= self.early[spot];
            self.early[spot] = early;
        }
    }

    /// The year that a bed's patch carries, counted round the beds.
    fn year_at(&self, bed: usize, slot: usize) -> &'a Year {
        &self.years[self.order[(bed % self.board.beds) * self.board.slots + slot]]
    }

    /// A place that carries a bed's year carries that of the bed before it next.
    fn stands_in_the_way(&self, bed: usize, slot: usize) -> usize {
        let own = self.year_at(bed, slot);
        let next = self.year_at(bed + self.board.beds - 1, slot);
        let again = match (own.last, next.first) {
            (Some(last), Some(first)) => {
                last == first && !self.board.instance.families[last].may_follow_itself
            }
            _ => false,
        };
        own.leaves.saturating_sub(next.comes) + usize::from(again)
    }

    fn back_early(&self, bed: usize, slot: usize) -> usize {
        let back = |family: &usize| {
            let gap = self.board.instance.families[*family].gap_years;
            let too_early = |years_on: &usize| {
                let later = self.year_at(bed + self.board.beds * gap - years_on, slot);
                later.families.contains(family)
            };
            (1..gap).filter(too_early).count()
        };
        self.year_at(bed, slot).families.iter().map(back).sum()
    }

    /// Can this patch of the beds move on?
    pub fn moves_on(&self, slot: usize) -> bool {
        self.board.moves && self.in_the_way_sum[slot] == 0
    }

    fn cost(&self) -> f64 {
        let mut cost = SPLIT * self.different_sowings as f64;
        if self.board.moves {
            for slot in 0..self.board.slots {
                cost += if self.moves_on(slot) {
                    EARLY * self.early_sum[slot] as f64
                } else {
                    let in_the_way = self.in_the_way_sum[slot] as f64;
                    (STAYS + NEARLY * in_the_way) * self.board.beds as f64
                };
            }
        }
        cost
    }

    /// Exchanges patches that are not `fixed` as long as that helps; gives what the order found costs.
    pub fn descend(&mut self, fixed: &[bool]) -> f64 {
        let free: Vec<usize> = (0..self.order.len()).filter(|&at| !fixed[at]).collect();
        let mut cost = self.cost();
        for _ in 0..ROUNDS {
            let before = cost;
            for (place, &a) in free.iter().enumerate() {
                for &b in &free[place + 1..] {
                    self.exchange(a, b);
                    let changed = self.cost();
                    if changed < cost {
                        cost = changed;
                    } else {
                        self.exchange(a, b);
                    }
                }
            }
            if cost >= before {
                break;
            }
        }
        cost
    }
}
