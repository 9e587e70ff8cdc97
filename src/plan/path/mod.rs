//! One bed's best succession at given profits: a longest path over (week, last family).
//!
//! For every week the best two values with different last families are enough: whatever comes next can follow
//! one of them. In a settled year the succession must close on itself; the planting that stands over the turn of
//! the year (its end and its family) is tried in turn, best promise first, until no other can do better. What it can promise
//! comes from a bed that goes on from year to year without closing.

mod closed;

use super::model::{BedKind, Model};
use closed::Promise;

const NO_FAMILY: u32 = u32::MAX;
const NO_ARC: u32 = u32::MAX;

/// A bed's succession and what it earns.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Path {
    pub value: f64,
    /// Indices into the model's plantings, by start.
    pub plantings: Vec<usize>,
}

/// Plantings of one kind of bed that start, last and belong alike; only the best of them is ever in a best path.
#[derive(Clone, Debug)]
struct Alike {
    start: u32,
    end: u32,
    family: u32,
    members: std::ops::Range<u32>,
}

/// The kind's plantings in groups, by start, family and length.
#[derive(Clone, Debug, Default)]
struct Network {
    groups: Vec<Alike>,
    members: Vec<u32>,
}

#[derive(Clone, Copy, Debug)]
struct Arc {
    profit: f64,
    start: u32,
    end: u32,
    family: u32,
    planting: u32,
}

#[derive(Clone, Copy, Debug)]
struct State {
    value: f64,
    family: u32,
    /// Arc that led here.
    arc: u32,
}

const UNREACHED: State = State {
    value: f64::NEG_INFINITY,
    family: NO_FAMILY,
    arc: NO_ARC,
};

/// The best two states of a week, of different families.
type Pair = [State; 2];

/// How a succession begins.
#[derive(Clone, Copy, Debug)]
enum Start {
    /// Free from this week on, after this family.
    After(usize, u32),
    /// Empty at first; the first planting is of this family.
    With(u32),
}

/// The best succession for one kind of bed; keeps its work space between calls.
#[derive(Clone)]
pub(super) struct PathFinder {
    weeks: usize,
    cyclic: bool,
    may_repeat: Vec<bool>,
    networks: Vec<Network>,
    /// Arcs that end within the horizon, by start; and those that run over the turn of the year.
    arcs: Vec<Arc>,
    first_arc: Vec<usize>,
    crossing: Vec<Arc>,
    first_over: Vec<usize>,
    family_of: Vec<u32>,
    states: Vec<Pair>,
    /// States after years without end: what it is worth to be in a week after a family.
    level: Vec<Pair>,
    /// States of successions that begin in a week after no family, where they are known.
    begun: Vec<Vec<Pair>>,
    is_begun: Vec<bool>,
    promises: Vec<Promise>,
    /// Per end and family of a planting over the turn.
    most_over: Vec<f64>,
    /// Per kind: the best year of the last call, a good one to begin with.
    last: Vec<Vec<usize>>,
}

impl PathFinder {
    pub fn new(model: &Model) -> Self {
        let pairs = vec![[UNREACHED; 2]; model.weeks + 1];
        PathFinder {
            weeks: model.weeks,
            cyclic: model.cyclic,
            may_repeat: model.may_repeat.clone(),
            networks: model
                .kinds
                .iter()
                .map(|kind| network(model, kind))
                .collect(),
            arcs: Vec::new(),
            first_arc: vec![0; model.weeks + 1],
            crossing: Vec::new(),
            first_over: vec![0; model.weeks + 1],
            family_of: model
                .plantings
                .iter()
                .map(|one| one.family as u32)
                .collect(),
            begun: vec![pairs.clone(); model.weeks],
            is_begun: vec![false; model.weeks],
            states: pairs,
            level: vec![[UNREACHED; 2]; 2 * model.weeks + 1],
            promises: Vec::new(),
            most_over: vec![0.0; model.weeks * model.may_repeat.len()],
            last: vec![Vec::new(); model.kinds.len()],
        }
    }

    /// The best succession for a kind of bed (by number) at these profits (per planting of the model).
    pub fn best(&mut self, model: &Model, kind: usize, profit: &[f64]) -> Path {
        self.collect(kind, profit);
        if self.cyclic {
            let last = std::mem::take(&mut self.last[kind]);
            let value = last.iter().map(|&planting| profit[planting]).sum();
            let known = if value > 0.0 {
                Path {
                    value,
                    plantings: last,
                }
            } else {
                Path::default()
            };
            let alone = self.alone_in_its_bed(&model.once[model.kinds[kind].class]);
            let known = if alone.value > known.value {
                alone
            } else {
                known
            };
            let path = self.best_closed(known);
            self.last[kind].clone_from(&path.plantings);
            return path;
        }
        let kind = &model.kinds[kind];
        let family = kind.family.map_or(NO_FAMILY, |family| family as u32);
        self.run(
            Start::After(kind.free_week.min(self.weeks), family),
            self.weeks,
        );
        self.trace(self.weeks, 0, None)
    }

    /// The best year of one planting of a family that moves on to another bed when the year turns: it does not follow itself.
    fn alone_in_its_bed(&self, moves_on: &[bool]) -> Path {
        let mut best = Path::default();
        for arc in self.arcs.iter().chain(&self.crossing) {
            if arc.profit > best.value && moves_on[arc.family as usize] {
                best = Path {
                    value: arc.profit,
                    plantings: vec![arc.planting as usize],
                };
            }
        }
        best
    }

    /// Keeps the best planting of each start, end and family; losers are never in a best path, nor is a longer
    /// stay that earns no more than a shorter one.
    fn collect(&mut self, kind: usize, profit: &[f64]) {
        self.arcs.clear();
        self.crossing.clear();
        let network = &self.networks[kind];
        let mut week = 0;
        let (mut place, mut most) = ((0, NO_FAMILY), f64::NEG_INFINITY);
        for group in &network.groups {
            while week <= group.start as usize {
                self.first_arc[week] = self.arcs.len();
                self.first_over[week] = self.crossing.len();
                week += 1;
            }
            if place != (group.start, group.family) {
                (place, most) = ((group.start, group.family), f64::NEG_INFINITY);
            }
            let mut best = (f64::NEG_INFINITY, 0);
            for &planting in
                &network.members[group.members.start as usize..group.members.end as usize]
            {
                let profit = profit[planting as usize];
                if profit > best.0 {
                    best = (profit, planting);
                }
            }
            // One that costs more than it earns may still be worth it: it parts two of the same family.
            if best.0 <= most {
                continue;
            }
            most = best.0;
            let arc = Arc {
                profit: best.0,
                start: group.start,
                end: group.end,
                family: group.family,
                planting: best.1,
            };
            if group.end as usize > self.weeks {
                self.crossing.push(arc);
            } else {
                self.arcs.push(arc);
            }
        }
        while week <= self.weeks {
            self.first_arc[week] = self.arcs.len();
            self.first_over[week] = self.crossing.len();
            week += 1;
        }
    }

    /// Longest paths up to a week.
    fn run(&mut self, start: Start, until: usize) {
        let (from, family) = match start {
            Start::After(week, family) => (week, family),
            Start::With(_) => (0, NO_FAMILY),
        };
        let states = &mut self.states;
        states[from..].fill([UNREACHED; 2]);
        let first = match start {
            Start::After(..) => {
                states[from][0] = State {
                    value: 0.0,
                    family,
                    arc: NO_ARC,
                };
                NO_FAMILY
            }
            Start::With(first) => first,
        };
        for week in from..until {
            let here = states[week];
            for state in here {
                if state.value > f64::NEG_INFINITY {
                    keep(&mut states[week + 1], state);
                }
            }
            for index in self.first_arc[week]..self.first_arc[week + 1] {
                let arc = self.arcs[index];
                let slot = slot_before(&here, arc.family, self.may_repeat[arc.family as usize]);
                let mut value = here[slot].value + arc.profit;
                if first == arc.family {
                    // An empty bed is no state of its own here: it would crowd out one that is needed.
                    value = value.max(arc.profit);
                }
                if value > f64::NEG_INFINITY {
                    let next = State {
                        value,
                        family: arc.family,
                        arc: index as u32,
                    };
                    keep(&mut states[arc.end as usize], next);
                }
            }
        }
    }

    /// The path that led to a state; `first` is the family that opened an empty bed.
    fn trace(&self, week: usize, slot: usize, first: Option<u32>) -> Path {
        self.trace_in(&self.states, week, slot, first)
    }

    fn trace_in(&self, states: &[Pair], week: usize, slot: usize, first: Option<u32>) -> Path {
        let mut state = states[week][slot];
        let value = state.value;
        let mut plantings = Vec::new();
        while state.arc != NO_ARC {
            let arc = &self.arcs[state.arc as usize];
            plantings.push(arc.planting as usize);
            if first == Some(arc.family) && state.value == arc.profit {
                break;
            }
            let here = &states[arc.start as usize];
            let repeat = self.may_repeat[arc.family as usize];
            state = here[slot_before(here, arc.family, repeat)];
        }
        plantings.reverse();
        Path { value, plantings }
    }
}

fn network(model: &Model, kind: &BedKind) -> Network {
    let end_of = |planting: usize| {
        let one = &model.plantings[planting];
        let end = one.start + one.weeks;
        if model.cyclic {
            end
        } else {
            end.min(model.weeks)
        }
    };
    let mut members = kind.plantings.clone();
    members.sort_by_key(|&p| {
        let one = &model.plantings[p];
        (one.start, one.family, end_of(p), p)
    });
    let mut groups: Vec<Alike> = Vec::new();
    for (at, &planting) in members.iter().enumerate() {
        let one = &model.plantings[planting];
        let (start, end, family) = (one.start as u32, end_of(planting) as u32, one.family as u32);
        let at = at as u32;
        match groups.last_mut() {
            Some(last) if (last.start, last.end, last.family) == (start, end, family) => {
                last.members.end = at + 1;
            }
            _ => groups.push(Alike {
                start,
                end,
                family,
                members: at..at + 1,
            }),
        }
    }
    Network {
        groups,
        members: members
            .into_iter()
            .map(|planting| planting as u32)
            .collect(),
    }
}

/// The better of a week's two states that a family may follow.
#[inline]
fn slot_before(pair: &Pair, family: u32, repeat: bool) -> usize {
    usize::from(pair[0].family == family && !repeat)
}

/// Keeps the best two states with different last families, the better first.
#[inline]
fn keep(states: &mut Pair, new: State) {
    if new.value > states[0].value {
        if new.family != states[0].family {
            states[1] = states[0];
        }
        states[0] = new;
    } else if new.family != states[0].family && new.value > states[1].value {
        states[1] = new;
    }
}
