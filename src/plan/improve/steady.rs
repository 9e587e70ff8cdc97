//! A former plan kept: as it was where it is as good, mended where it no longer works; else the best plan walked back to it.

use std::collections::BTreeMap;

use super::simple::Found;
use super::{LIMIT_SLACK, Search, best_response::main_food};

/// Times each bed is let loose when a former plan is no longer good enough.
const LOOSENED: usize = 2;

/// What of a former plan is worth how much.
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Floors {
    /// Least value of a plan that counts as equally good.
    pub value: f64,
    /// Least gain for which what stands free between the former plan's plantings is filled.
    pub fill: f64,
    /// Least share of the former plan's bed-weeks that stay where they can; 0 where the best plan is worth leaving it for.
    pub keep: f64,
}

/// What became of a former plan.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Former {
    /// The former plan, its gaps filled where that gains.
    pub mended: Found,
    /// The plan to take: the former one where it is as good as the best; else the best, with as much of the former one as can
    /// be.
    pub taken: Found,
    /// Whether the former one is taken.
    pub kept: bool,
}

impl Search<'_> {
    /// What of a former plan stays beside the best one found: all where it `is_good`, mended.
    pub fn steady(
        &mut self,
        former: &[Vec<usize>],
        best: &Found,
        floors: Floors,
        is_good: impl Fn(&Found) -> bool,
    ) -> Former {
        let mended = self.mended(former, floors.fill);
        if is_good(&mended) {
            return Former {
                taken: mended.clone(),
                mended,
                kept: true,
            };
        }
        if floors.keep > 0.0 {
            // What is settled beforehand stays anyway, and does not count.
            let open = |(own, fixed): (&Vec<usize>, &Vec<usize>)| -> Vec<usize> {
                let own = own.iter().filter(|one| !fixed.contains(one));
                own.copied().collect()
            };
            let former: Vec<Vec<usize>> = former.iter().zip(&self.fixed).map(open).collect();
            return Former {
                taken: self.loosened(&mended, &former, floors),
                mended,
                kept: true,
            };
        }
        let loosened = self.loosened(&mended, former, floors);
        let loosened = Some(loosened).filter(|found| found.value >= floors.value);
        let walked = self.walked_back(former, best, floors.value);
        let kept = |found: &Found| self.shared_weeks(former, &found.beds);
        let taken = match loosened {
            Some(loosened) if kept(&loosened) >= kept(&walked) => loosened,
            _ => walked,
        };
        Former {
            mended,
            taken,
            kept: false,
        }
    }

    /// The former plan with its gaps filled, where that gains at least `fill`; all that can stand of it stays.
    fn mended(&mut self, former: &[Vec<usize>], fill: f64) -> Found {
        self.let_go();
        self.start_over(former);
        let as_it_is = self.in_hand();
        self.locked.clone_from(&self.beds);
        self.until = u64::MAX;
        let all: Vec<usize> = (0..self.beds.len()).collect();
        self.settle(&all);
        let filled = self.in_hand();
        self.let_go();
        if filled.value >= as_it_is.value + fill {
            filled
        } else {
            self.start_over(&as_it_is.beds);
            as_it_is
        }
    }

    /// The former plan with so many beds let loose, those that gain most first, that it is worth at least the floor, or until no
    /// more of it may go.
    fn loosened(&mut self, mended: &Found, former: &[Vec<usize>], floors: Floors) -> Found {
        self.start_over(&mended.beds);
        self.locked.clone_from(&self.beds);
        let mut rounds = LOOSENED * self.beds.len();
        while self.value < floors.value && rounds > 0 && self.loosen(former, floors.keep) {
            rounds -= 1;
        }
        self.let_go();
        self.in_hand()
    }

    /// Lets the bed loose that gains most by it of those by which at least this share of a former plan stays; false where none
    /// gains.
    fn loosen(&mut self, former: &[Vec<usize>], keep: f64) -> bool {
        let keep = keep.min(self.shared_weeks(former, &self.beds));
        let mark = self.mark();
        let mut best: Option<(f64, usize)> = None;
        for bed in 0..self.beds.len() {
            let locked = self.locked[bed].clone();
            self.locked[bed].clone_from(&self.fixed[bed]);
            self.best_response(bed, 0.0, 0.0);
            let gain = self.value - mark.value;
            let stays = keep == 0.0 || self.shared_weeks(former, &self.beds) >= keep;
            if stays && gain > best.map_or(LIMIT_SLACK, |best| best.0) {
                best = Some((gain, bed));
            }
            self.back_to(&mark);
            self.locked[bed] = locked;
        }
        let Some((_, bed)) = best else { return false };
        self.locked[bed].clone_from(&self.fixed[bed]);
        self.best_response(bed, 0.0, 0.0);
        true
    }

    /// The best plan walked back to the former one: its plantings put back food by food, that with the greatest share of
    /// bed-weeks first, then sowing by sowing, what is free filled anew, as long as the value stays at `floor` or above.
    fn walked_back(&mut self, former: &[Vec<usize>], best: &Found, floor: f64) -> Found {
        let aligned = self.aligned(former, &best.beds);
        self.let_go();
        self.start_over(&aligned);
        self.until = u64::MAX;
        let mut foods = BTreeMap::<Option<usize>, Vec<(usize, usize)>>::new();
        for (bed, plantings) in former.iter().enumerate() {
            for &planting in plantings {
                let food = main_food(self.model, planting);
                foods.entry(food).or_default().push((bed, planting));
            }
        }
        let mut left = BTreeMap::<usize, Vec<(usize, usize)>>::new();
        for group in self.by_weeks(foods.into_values().collect()) {
            if !self.put_back(&group, floor) {
                for (bed, planting) in group {
                    left.entry(planting).or_default().push((bed, planting));
                }
            }
        }
        for sowing in self.by_weeks(left.into_values().collect()) {
            self.put_back(&sowing, floor);
        }
        let all: Vec<usize> = (0..self.beds.len()).collect();
        self.settle(&all);
        self.let_go();
        self.in_hand()
    }

    /// Groups of plantings in beds, those that fill most bed-weeks first.
    fn by_weeks(&self, mut groups: Vec<Vec<(usize, usize)>>) -> Vec<Vec<(usize, usize)>> {
        let weeks = |group: &Vec<(usize, usize)>| -> usize {
            let weeks = group.iter();
            weeks.map(|(_, one)| self.model.plantings[*one].weeks).sum()
        };
        groups.sort_by_key(|group| std::cmp::Reverse(weeks(group)));
        groups
    }

    /// Puts plantings back in their beds to stay there and fills what is free around them; false, and all as before, where
    /// they cannot all stand or the plan falls below `floor`.
    fn put_back(&mut self, sowings: &[(usize, usize)], floor: f64) -> bool {
        let mark = self.mark();
        let locked = self.locked.clone();
        let mut touched: Vec<usize> = Vec::new();
        for &(bed, planting) in sowings {
            if !self.locked[bed].contains(&planting) {
                self.locked[bed].push(planting);
                touched.push(bed);
            }
        }
        let crop = |&(_, planting): &(usize, usize)| self.model.plantings[planting].crop;
        let crops: std::collections::BTreeSet<usize> = sowings.iter().map(crop).collect();
        for crop in crops {
            if !self.kind_fits(crop) {
                touched.extend(self.make_room());
            }
        }
        touched.sort_unstable();
        touched.dedup();
        for &bed in &touched {
            self.best_response(bed, 0.0, 0.0);
        }
        self.settle(&touched);
        let stands = |&(bed, planting): &(usize, usize)| self.beds[bed].contains(&planting);
        if self.value >= floor && sowings.iter().all(stands) {
            return true;
        }
        self.back_to(&mark);
        self.locked = locked;
        false
    }

    /// Takes the kind out of the beds that is missed least and need not stay, so that another has room; gives the beds.
    fn make_room(&mut self) -> Vec<usize> {
        let mut stays = self.reserved.clone();
        for &planting in self.locked.iter().flatten() {
            stays[self.model.plantings[planting].crop] = true;
        }
        let mark = self.mark();
        let mut best: Option<(f64, usize)> = None;
        for kind in 0..self.kind_uses.len() {
            if self.kind_uses[kind] > 0 && !stays[kind] {
                self.take_out(kind);
                if best.is_none_or(|best| self.value > best.0) {
                    best = Some((self.value, kind));
                }
                self.back_to(&mark);
            }
        }
        best.map_or_else(Vec::new, |(_, kind)| self.take_out(kind))
    }

    /// A plan with like beds exchanged so that it has as much as can be of another in the same beds.
    fn aligned(&self, like: &[Vec<usize>], plan: &[Vec<usize>]) -> Vec<Vec<usize>> {
        // What is settled beforehand stays in its bed.
        let may =
            |a: usize, b: usize| a == b || self.fixed[a].is_empty() && self.fixed[b].is_empty();
        let mut pairs: Vec<(usize, usize, usize)> = Vec::new();
        for a in 0..plan.len() {
            let like_beds = (0..plan.len()).filter(|&b| self.kind_of[a] == self.kind_of[b]);
            for b in like_beds.filter(|&b| may(a, b)) {
                pairs.push((self.shared(&like[b], &plan[a]), a, b));
            }
        }
        pairs.sort_by_key(|&(weeks, a, b)| (std::cmp::Reverse(weeks), a != b, a, b));
        let mut aligned = vec![Vec::new(); plan.len()];
        let (mut moved, mut taken) = (vec![false; plan.len()], vec![false; plan.len()]);
        for (_, from, to) in pairs {
            if !moved[from] && !taken[to] {
                (moved[from], taken[to]) = (true, true);
                aligned[to].clone_from(&plan[from]);
            }
        }
        aligned
    }

    /// Weeks of a bed's plantings that another list has too.
    fn shared(&self, of: &[usize], with: &[usize]) -> usize {
        let shared = of.iter().filter(|one| with.contains(one));
        shared.map(|&one| self.model.plantings[one].weeks).sum()
    }

    /// Share of a plan's bed-weeks that another has in the same beds.
    pub fn shared_weeks(&self, of: &[Vec<usize>], with: &[Vec<usize>]) -> f64 {
        let pairs = of.iter().zip(with);
        let shared: usize = pairs.map(|(of, with)| self.shared(of, with)).sum();
        let all: usize = of.iter().map(|own| self.shared(own, own)).sum();
        if all > 0 {
            shared as f64 / all as f64
        } else {
            1.0
        }
    }
}
