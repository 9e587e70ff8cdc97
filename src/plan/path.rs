//! One bed's best succession at given profits: a longest path over (week, last family).
//!
//! For every week the best two values with different last families are enough: whatever comes next can follow
//! one of them. In a settled year the succession must close on itself; the planting that stands over the turn of
//! the year (its end and its family) is tried in turn, best promise first, until no other can do better.

use super::model::{BedKind, Model};

const NO_FAMILY: usize = usize::MAX;
const NO_ARC: usize = usize::MAX;
/// Stands for the slot of an empty bed.
const EMPTY: usize = usize::MAX;

/// A bed's succession and what it earns.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Path {
    pub value: f64,
    /// Indices into the model's plantings, by start.
    pub plantings: Vec<usize>,
}

#[derive(Clone, Copy, Debug)]
struct Arc {
    start: usize,
    end: usize,
    family: usize,
    profit: f64,
    planting: usize,
}

#[derive(Clone, Copy, Debug)]
struct State {
    value: f64,
    family: usize,
    /// Arc that led here, and the state it started from.
    arc: usize,
    from: (usize, usize),
}

const UNREACHED: State = State {
    value: f64::NEG_INFINITY,
    family: NO_FAMILY,
    arc: NO_ARC,
    from: (0, 0),
};

/// The best succession for one kind of bed; keeps its work space between calls.
pub(super) struct PathFinder {
    weeks: usize,
    cyclic: bool,
    may_repeat: Vec<bool>,
    /// Arcs that end within the horizon, by start; and those that run over the turn of the year.
    arcs: Vec<Arc>,
    first_arc: Vec<usize>,
    crossing: Vec<Arc>,
    states: Vec<[State; 2]>,
    /// Best value at (week, length, family) so far: only the best planting of each is kept.
    best_of: Vec<(f64, usize)>,
    touched: Vec<usize>,
    families: usize,
}

impl PathFinder {
    pub fn new(model: &Model) -> Self {
        let families = model.instance.families.len();
        PathFinder {
            weeks: model.weeks,
            cyclic: model.cyclic,
            may_repeat: model.may_repeat.clone(),
            arcs: Vec::new(),
            first_arc: vec![0; model.weeks + 2],
            crossing: Vec::new(),
            states: vec![[UNREACHED; 2]; model.weeks + 1],
            best_of: vec![(0.0, NO_ARC); (model.weeks + 1) * families],
            touched: Vec::new(),
            families,
        }
    }

    /// The best succession at these profits (per planting of the model).
    pub fn best(&mut self, model: &Model, kind: &BedKind, profit: &[f64]) -> Path {
        self.collect(model, kind, profit);
        if !self.cyclic {
            let family = kind.family.unwrap_or(NO_FAMILY);
            self.run(kind.free_week.min(self.weeks), family, None);
            return self.trace(self.weeks, 0, self.states[self.weeks][0].value);
        }
        self.best_closed()
    }

    /// Keeps the best planting of each start, end and family; losers are never in a best path.
    fn collect(&mut self, model: &Model, kind: &BedKind, profit: &[f64]) {
        self.arcs.clear();
        self.crossing.clear();
        let mut at = 0;
        for week in 0..self.weeks {
            self.first_arc[week] = self.arcs.len();
            while let Some(&planting) = kind
                .plantings
                .get(at)
                .filter(|&&p| model.plantings[p].start == week)
            {
                at += 1;
                let profit = profit[planting];
                // One that costs more than it earns may still be worth it: it parts two of the same family.
                if profit == f64::NEG_INFINITY {
                    continue;
                }
                let one = &model.plantings[planting];
                let weeks = if self.cyclic {
                    one.weeks
                } else {
                    one.weeks.min(self.weeks - week)
                };
                let key = weeks * self.families + one.family;
                let best = &mut self.best_of[key];
                if best.1 == NO_ARC {
                    self.touched.push(key);
                }
                if best.1 == NO_ARC || profit > best.0 {
                    *best = (profit, planting);
                }
            }
            // By family and length: a longer stay must earn more than every shorter one.
            self.touched
                .sort_unstable_by_key(|key| (key % self.families, key / self.families));
            let (mut family, mut most) = (NO_FAMILY, f64::NEG_INFINITY);
            for key in self.touched.drain(..) {
                let (profit, planting) = std::mem::replace(&mut self.best_of[key], (0.0, NO_ARC));
                if key % self.families != family {
                    (family, most) = (key % self.families, f64::NEG_INFINITY);
                }
                if profit <= most {
                    continue;
                }
                most = profit;
                let end = week + key / self.families;
                let arc = Arc {
                    start: week,
                    end,
                    family,
                    profit,
                    planting,
                };
                if end > self.weeks {
                    self.crossing.push(arc);
                } else {
                    self.arcs.push(arc);
                }
            }
        }
        self.first_arc[self.weeks] = self.arcs.len();
    }

    /// Longest paths from one week on; with `first`, the first planting must be of that family.
    fn run(&mut self, from: usize, family: usize, first: Option<usize>) {
        for state in &mut self.states[from..] {
            *state = [UNREACHED; 2];
        }
        if first.is_none() {
            self.states[from][0] = State {
                value: 0.0,
                family,
                arc: NO_ARC,
                from: (from, 0),
            };
        }
        for week in from..self.weeks {
            let here = self.states[week];
            for state in here {
                if state.value > f64::NEG_INFINITY {
                    keep(&mut self.states[week + 1], state);
                }
            }
            for index in self.first_arc[week]..self.first_arc[week + 1] {
                let arc = self.arcs[index];
                let repeat = self.may_repeat[arc.family];
                if first == Some(arc.family) {
                    // An empty bed is no state of its own here: it would crowd out one that is needed.
                    let next = State {
                        value: arc.profit,
                        family: arc.family,
                        arc: index,
                        from: (week, EMPTY),
                    };
                    keep(&mut self.states[arc.end], next);
                }
                for (slot, state) in here.iter().enumerate() {
                    if state.value == f64::NEG_INFINITY || (state.family == arc.family && !repeat) {
                        continue;
                    }
                    let next = State {
                        value: state.value + arc.profit,
                        family: arc.family,
                        arc: index,
                        from: (week, slot),
                    };
                    keep(&mut self.states[arc.end], next);
                    break;
                }
            }
        }
    }

    fn trace(&self, week: usize, slot: usize, value: f64) -> Path {
        let mut plantings = Vec::new();
        let mut state = self.states[week][slot];
        while state.arc != NO_ARC {
            plantings.push(self.arcs[state.arc].planting);
            if state.from.1 == EMPTY {
                break;
            }
            state = self.states[state.from.0][state.from.1];
        }
        plantings.reverse();
        Path { value, plantings }
    }

    fn best_closed(&mut self) -> Path {
        let promises = self.promises();
        let mut best = Path::default();
        for (promise, over_end, family) in promises {
            // A hair of slack: sums in another order differ in the last bits.
            if promise <= best.value * (1.0 + 1e-12) {
                break;
            }
            let path = match over_end {
                Some(end) => self.over_the_turn(end, family),
                None => self.within_the_year(family),
            };
            if path.value > best.value {
                best = path;
            }
        }
        best
    }

    /// What each way over the turn of the year can earn at most: (value, end of the planting that stands over
    /// it, family). Family order is free in these bounds, so lengths obey the triangle rule.
    fn promises(&self) -> Vec<(f64, Option<usize>, usize)> {
        let mut reach = vec![0.0f64; self.weeks + 1];
        for week in 0..self.weeks {
            reach[week + 1] = reach[week + 1].max(reach[week]);
            for arc in &self.arcs[self.first_arc[week]..self.first_arc[week + 1]] {
                reach[arc.end] = reach[arc.end].max(reach[week] + arc.profit);
            }
        }
        let mut promises: Vec<(f64, Option<usize>, usize)> = Vec::new();
        let mut slot_of = vec![NO_ARC; self.weeks * self.families];
        for arc in &self.crossing {
            let end = arc.end - self.weeks;
            let promise = if end > arc.start {
                continue;
            } else {
                arc.profit + (reach[arc.start] - reach[end]).max(0.0)
            };
            let slot = &mut slot_of[end * self.families + arc.family];
            if *slot == NO_ARC {
                *slot = promises.len();
                promises.push((promise, Some(end), arc.family));
            } else {
                let known = &mut promises[*slot];
                known.0 = known.0.max(promise);
            }
        }
        promises.extend((0..self.families).map(|family| (reach[self.weeks], None, family)));
        promises.sort_by(|a, b| b.0.total_cmp(&a.0));
        promises
    }

    /// Best year in which a planting of `family` stands over the turn and ends in week `end`.
    fn over_the_turn(&mut self, end: usize, family: usize) -> Path {
        self.run(end, family, None);
        let repeat = self.may_repeat[family];
        let mut best: Option<(f64, usize, usize, usize)> = None;
        for (index, arc) in self.crossing.iter().enumerate() {
            if arc.end - self.weeks != end || arc.family != family || arc.start < end {
                continue;
            }
            for (slot, state) in self.states[arc.start].iter().enumerate() {
                if state.value > f64::NEG_INFINITY && (repeat || state.family != family) {
                    let value = state.value + arc.profit;
                    if best.is_none_or(|best| value > best.0) {
                        best = Some((value, index, arc.start, slot));
                    }
                    break;
                }
            }
        }
        let Some((value, index, week, slot)) = best else {
            return Path::default();
        };
        let mut path = self.trace(week, slot, value);
        path.plantings.push(self.crossing[index].planting);
        path
    }

    /// Best year with nothing over the turn, whose first planting is of `family`.
    fn within_the_year(&mut self, family: usize) -> Path {
        self.run(0, NO_FAMILY, Some(family));
        let repeat = self.may_repeat[family];
        let end = self.states[self.weeks];
        let fits =
            |state: &State| state.value > f64::NEG_INFINITY && (repeat || state.family != family);
        match end.iter().position(fits) {
            Some(slot) => self.trace(self.weeks, slot, end[slot].value),
            None => Path::default(),
        }
    }
}

/// Keeps the best two states with different last families, the better first.
fn keep(states: &mut [State; 2], new: State) {
    if new.value > states[0].value {
        if new.family != states[0].family {
            states[1] = states[0];
        }
        states[0] = new;
    } else if new.family != states[0].family && new.value > states[1].value {
        states[1] = new;
    }
}
