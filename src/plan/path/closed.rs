//! A settled year, which must close on itself.

use super::{
    Arc, NO_ARC, NO_FAMILY, Pair, Path, PathFinder, Start, State, UNREACHED, keep, slot_before,
};

/// Years gone through to learn what it is worth to be in a week after a family.
const YEARS: usize = 2;

/// A way over the turn of the year: what it can earn at most, where it ends, of which family.
#[derive(Clone, Copy, Debug)]
pub(super) struct Promise {
    value: f64,
    /// End of the planting that stands over the turn; none where nothing does.
    end: Option<usize>,
    family: u32,
    /// Whether the promise already knows what comes before the turn.
    near: bool,
}

impl PathFinder {
    /// `best` is a year in hand, to be beaten.
    pub(super) fn best_closed(&mut self, mut best: Path) -> Path {
        self.rise();
        let most = self.promise();
        self.is_begun.fill(false);
        self.thin_out(most - best.value);
        while let Some(at) = self.highest() {
            let promise = self.promises[at];
            // A hair of slack: sums in another order differ in the last bits.
            if promise.value <= best.value * (1.0 + 1e-12) {
                break;
            }
            let path = if promise.near {
                self.promises.swap_remove(at);
                match promise.end {
                    Some(end) => self.over_the_turn(end, promise.family),
                    None => self.within_the_year(promise.family),
                }
            } else {
                self.look_nearer(at)
            };
            if path.value > best.value {
                best = path;
                self.thin_out(most - best.value);
            }
        }
        best
    }

    fn highest(&self) -> Option<usize> {
        let values = self.promises.iter().map(|promise| promise.value);
        let mut best = None;
        for (at, value) in values.enumerate() {
            if best.is_none_or(|(_, most)| value > most) {
                best = Some((at, value));
            }
        }
        best.map(|best| best.0)
    }

    /// Finds the worth of being in a week after a family, for a bed that goes on from year to year and need not
    /// close on itself: a few years are gone through, each from where the last one left off.
    fn rise(&mut self) {
        let weeks = self.weeks;
        self.level.fill([UNREACHED; 2]);
        self.level[0][0].value = 0.0;
        for year in 0..YEARS {
            if year > 0 {
                // What reached into the next year is where this one starts.
                self.level.copy_within(weeks..2 * weeks, 0);
                self.level[weeks..].fill([UNREACHED; 2]);
            }
            for week in 0..weeks {
                let here = self.level[week];
                for state in here {
                    if state.value > f64::NEG_INFINITY {
                        keep(&mut self.level[week + 1], state);
                    }
                }
                let within = &self.arcs[self.first_arc[week]..self.first_arc[week + 1]];
                let over = &self.crossing[self.first_over[week]..self.first_over[week + 1]];
                for arc in within.iter().chain(over) {
                    let repeat = self.may_repeat[arc.family as usize];
                    let before = here[slot_before(&here, arc.family, repeat)].value;
                    if before > f64::NEG_INFINITY {
                        let next = State {
                            value: before + arc.profit,
                            family: arc.family,
                            arc: NO_ARC,
                        };
                        keep(&mut self.level[arc.end as usize], next);
                    }
                }
            }
        }
    }

    /// What a planting falls short of the rise from its start to its end; at least 0 within the year. A year that
    /// holds it earns at most the year's rise less this.
    fn slack(&self, arc: &Arc, end: usize) -> f64 {
        let (here, there) = (&self.level[arc.start as usize], &self.level[end]);
        let repeat = self.may_repeat[arc.family as usize];
        let before = here[slot_before(here, arc.family, repeat)].value;
        let after = there[usize::from(there[0].family != arc.family)].value;
        if before == f64::NEG_INFINITY {
            return f64::INFINITY;
        }
        after - before - arc.profit
    }

    /// What each way over the turn of the year can earn at most; returns the most of all.
    fn promise(&mut self) -> f64 {
        let families = self.may_repeat.len();
        self.promises.clear();
        // The year's rise: from the turn to the next one, along whatever goes over it.
        let (first, last) = (self.level[0], self.level[self.weeks]);
        let idle = if first[0].family == last[0].family {
            (last[0].value - first[0].value).max(last[1].value - first[1].value)
        } else {
            last[0].value - first[1].value
        };
        let over = |arc: &Arc| self.slack(arc, arc.end as usize - self.weeks);
        let mut most = if idle.is_nan() { f64::INFINITY } else { idle };
        let mut least = vec![f64::INFINITY; self.weeks * families];
        for arc in &self.crossing {
            let end = arc.end as usize - self.weeks;
            if end > arc.start as usize {
                continue;
            }
            let slack = over(arc);
            most = most.max(-slack);
            let least = &mut least[end * families + arc.family as usize];
            *least = least.min(slack);
        }
        // All slack is counted from the rise, so what goes over the turn earns the rise less its slack.
        for (place, &slack) in least.iter().enumerate() {
            if slack < f64::INFINITY {
                self.promises.push(Promise {
                    value: -slack,
                    end: Some(place / families),
                    family: (place % families) as u32,
                    near: false,
                });
            }
        }
        self.promises.push(Promise {
            value: idle,
            end: None,
            family: NO_FAMILY,
            near: false,
        });
        most
    }

    /// Drops plantings within the year that no year better by `room` than the best in hand can hold.
    fn thin_out(&mut self, room: f64) {
        let mut kept = 0;
        for week in 0..self.weeks {
            let old = self.first_arc[week]..self.first_arc[week + 1];
            self.first_arc[week] = kept;
            for index in old {
                let arc = self.arcs[index];
                if self.slack(&arc, arc.end as usize) < room {
                    self.arcs[kept] = arc;
                    kept += 1;
                }
            }
        }
        self.first_arc[self.weeks] = kept;
        self.arcs.truncate(kept);
        self.is_begun.fill(false);
    }

    /// Follows a promise with all rules but one: the first planting may be of any family. Where it keeps that
    /// rule too it is the best of its way; otherwise the promise is lowered and kept.
    fn look_nearer(&mut self, at: usize) -> Path {
        let promise = self.promises[at];
        let begin = promise.end.unwrap_or(0);
        if !self.is_begun[begin] {
            self.run(Start::After(begin, NO_FAMILY), self.weeks);
            std::mem::swap(&mut self.states, &mut self.begun[begin]);
            self.is_begun[begin] = true;
            self.lower_promises(begin);
        }
        let Some(end) = promise.end else {
            self.promises.swap_remove(at);
            let path = self.trace_in(&self.begun[0], self.weeks, 0, None);
            if self.closes(&path) {
                return path;
            }
            let families = 0..self.may_repeat.len() as u32;
            self.promises.extend(families.map(|family| Promise {
                value: path.value,
                end: None,
                family,
                near: true,
            }));
            return Path::default();
        };
        let Some((value, index, slot)) = self.last_over(&self.begun[begin], end, promise.family)
        else {
            self.promises.swap_remove(at);
            return Path::default();
        };
        let arc = self.crossing[index];
        let mut path = self.trace_in(&self.begun[begin], arc.start as usize, slot, None);
        path.value = value;
        path.plantings.push(arc.planting as usize);
        if self.closes(&path) {
            self.promises.swap_remove(at);
            return path;
        }
        self.promises[at].value = value;
        self.promises[at].near = true;
        Path::default()
    }

    /// Longest paths from one week bound those from later ones: what they reach less what they had by then.
    fn lower_promises(&mut self, begin: usize) {
        let families = self.may_repeat.len();
        let states = &self.begun[begin];
        self.most_over.fill(f64::NEG_INFINITY);
        for arc in &self.crossing {
            let (start, end) = (arc.start as usize, arc.end as usize - self.weeks);
            if end < begin || end > start {
                continue;
            }
            let repeat = self.may_repeat[arc.family as usize];
            let before = states[start][slot_before(&states[start], arc.family, repeat)].value;
            let had = states[end][usize::from(states[end][0].family != arc.family)].value;
            let most = &mut self.most_over[end * families + arc.family as usize];
            *most = most.max(before + arc.profit - had.max(0.0));
        }
        for promise in &mut self.promises {
            if let Some(end) = promise.end.filter(|&end| end >= begin) {
                let most = self.most_over[end * families + promise.family as usize];
                promise.value = promise.value.min(most);
            }
        }
    }

    /// Whether the last planting of a path may be followed by the first.
    fn closes(&self, path: &Path) -> bool {
        match (path.plantings.first(), path.plantings.last()) {
            (Some(&first), Some(&last)) => {
                let (first, last) = (self.family_of[first], self.family_of[last]);
                first != last || self.may_repeat[first as usize]
            }
            _ => true,
        }
    }

    /// The best last planting, of a family, that stands over the turn and ends in week `end`: (value, place among
    /// the crossing ones, slot of the state before it).
    fn last_over(&self, states: &[Pair], end: usize, family: u32) -> Option<(f64, usize, usize)> {
        let repeat = self.may_repeat[family as usize];
        let mut best: Option<(f64, usize, usize)> = None;
        for (index, arc) in self.crossing.iter().enumerate() {
            let start = arc.start as usize;
            if arc.end as usize - self.weeks != end || arc.family != family || start < end {
                continue;
            }
            let slot = slot_before(&states[start], family, repeat);
            let value = states[start][slot].value + arc.profit;
            if value > best.map_or(f64::NEG_INFINITY, |best| best.0) {
                best = Some((value, index, slot));
            }
        }
        best
    }

    /// Best year in which a planting of `family` stands over the turn and ends in week `end`.
    fn over_the_turn(&mut self, end: usize, family: u32) -> Path {
        self.run(Start::After(end, family), self.weeks);
        let Some((value, index, slot)) = self.last_over(&self.states, end, family) else {
            return Path::default();
        };
        let arc = self.crossing[index];
        let mut path = self.trace(arc.start as usize, slot, None);
        path.value = value;
        path.plantings.push(arc.planting as usize);
        path
    }

    /// Best year with nothing over the turn, whose first planting is of `family`.
    fn within_the_year(&mut self, family: u32) -> Path {
        self.run(Start::With(family), self.weeks);
        let slot = slot_before(
            &self.states[self.weeks],
            family,
            self.may_repeat[family as usize],
        );
        if self.states[self.weeks][slot].value == f64::NEG_INFINITY {
            return Path::default();
        }
        self.trace(self.weeks, slot, Some(family))
    }
}
