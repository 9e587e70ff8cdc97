//! Which section's plan follows which in a place, year after year: looked for by exchanging two followers as long as that
//! brings families back later, with kicks out of the first resting point.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::plan::Instance;

/// What two crops in one place at the turn weigh, and a family directly after itself (own choice: never taken in the end).
const CLASH: f64 = 20.0;
/// What each week of two crops in one place weighs, so that the descent finds its way out (own choice).
const OVERLAP_WEEK: f64 = 0.05;
/// What a family back a year too early weighs.
const EARLY: f64 = 1.0;
/// What a section whose plan moves weighs: of two orders that keep the same, the one that moves less (own choice).
const MOVE: f64 = 0.01;
/// Least change of the cost that counts.
const LEAST: f64 = 1e-9;
/// Weeks between those that are looked at for the turn, as sowing days lie by default, and how many of them are looked at
/// closely: where the first look comes out best (own choice).
const WEEK_STEP: usize = 2;
const WEEKS_LOOKED_AT: usize = 6;
/// Kicks at each week, at each that is looked at closely, and after a change at the one in hand; a class of many sections has
/// fewer (own choice).
const FIRST_KICKS: usize = 6;
const KICKS: usize = 60;
const KICKS_AFTER: usize = 12;
/// Exchanges that all kicks at a week may try, about.
const EXCHANGES: usize = 12_000;

/// How the plans of alike sections follow one another.
#[derive(Clone, Debug)]
pub(in super::super) struct Succession {
    /// Week from whose begin on sowing follows the next plan.
    pub week: usize,
    /// For each section's plan, the one that comes in its place the year after; its own where it stays.
    pub next: Vec<usize>,
    /// Families that come back too early, once for each year too early in each section.
    pub early: Vec<usize>,
}

/// Finds how plans of alike sections, given by their plantings, best follow one another.
pub(in super::super) fn succession(instance: &Instance, plans: &[&[usize]]) -> Succession {
    let rules = Rules::of(instance, plans);
    let orders = (0..instance.weeks).step_by(WEEK_STEP);
    let mut orders: Vec<Order> = orders
        .map(|week| Order::of(instance, plans, &rules, week))
        .collect();
    let better = |a: &Order, b: &Order| {
        let cost = a.best_cost.total_cmp(&b.best_cost);
        cost.then(a.week.cmp(&b.week))
    };
    for order in &mut orders {
        order.descend();
        order.kicks(FIRST_KICKS);
    }
    orders.sort_by(better);
    orders.truncate(WEEKS_LOOKED_AT);
    for order in &mut orders {
        order.kicks(KICKS);
    }
    orders.into_iter().min_by(better).map_or_else(
        || Succession {
            week: 0,
            next: Vec::new(),
            early: Vec::new(),
        },
        Order::found,
    )
}

impl Succession {
    /// The same for plans that differ in one: looked for from this one on, at its week.
    pub fn after_change(&self, instance: &Instance, plans: &[&[usize]]) -> Self {
        let rules = Rules::of(instance, plans);
        let mut order = Order::of(instance, plans, &rules, self.week);
        order.begin_with(&self.next);
        order.descend();
        order.kicks(KICKS_AFTER);
        order.found()
    }
}

/// A section's year as seen from the week of the turn.
struct Year {
    /// Weeks after the turn until the crop that stands over it leaves; 0 where none does.
    leaves: usize,
    /// Weeks after the turn until the first new crop comes.
    comes: usize,
    first: Option<usize>,
    last: Option<usize>,
}

impl Year {
    fn seen_from(turn: usize, instance: &Instance, plantings: &[usize]) -> Self {
        let weeks = instance.weeks;
        let after = |week: usize| (week + weeks - turn) % weeks;
        let by_week = |number: &usize| (after(instance.candidates[*number].bed_week), *number);
        let first = plantings.iter().map(by_week).min();
        let last = plantings.iter().map(by_week).max();
        let family = |entry: Option<(usize, usize)>| {
            entry.map(|(_, number)| instance.candidates[number].family)
        };
        let end = |(from, number): (usize, usize)| from + instance.candidates[number].weeks;
        Self {
            leaves: last.map_or(0, end).saturating_sub(weeks),
            comes: first.map_or(weeks, |(from, _)| from),
            first: family(first),
            last: family(last),
        }
    }
}

/// Which plans carry which families that must rest.
struct Rules {
    /// Families of each plan that must rest, with their years.
    of: Vec<Vec<(usize, usize)>>,
    /// Whether a plan carries a family, plan by plan.
    carries: Vec<bool>,
    families: usize,
    /// Plans before one that an exchange behind it touches.
    reach: usize,
}

impl Rules {
    fn of(instance: &Instance, plans: &[&[usize]]) -> Self {
        let families = instance.families.len();
        let mut carries = vec![false; plans.len() * families];
        let of: Vec<Vec<(usize, usize)>> = plans
            .iter()
            .enumerate()
            .map(|(plan, plantings)| {
                let mut own = Vec::new();
                for &planting in *plantings {
                    let family = instance.candidates[planting].family;
                    let gap_years = instance.families[family].gap_years;
                    let carried = &mut carries[plan * families + family];
                    if gap_years > 1 && !std::mem::replace(carried, true) {
                        own.push((family, gap_years));
                    }
                }
                own
            })
            .collect();
        let gaps = of.iter().flatten().map(|(_, gap_years)| gap_years - 1);
        Self {
            reach: gaps.max().unwrap_or(1),
            of,
            carries,
            families,
        }
    }
}

/// An order in the making.
struct Order<'a> {
    rules: &'a Rules,
    /// Week of the turn.
    week: usize,
    /// What it weighs if a plan follows another, row by row.
    weight: Vec<f64>,
    next: Vec<usize>,
    before: Vec<usize>,
    /// What each plan adds, and their sum.
    costs: Vec<f64>,
    cost: f64,
    /// The best order in which nothing clashes.
    best: Vec<usize>,
    best_cost: f64,
    /// Plans that an exchange touches, with what they added before.
    touched: Vec<(usize, f64)>,
}

impl<'a> Order<'a> {
    /// Every plan stays where it is.
    fn of(instance: &Instance, plans: &[&[usize]], rules: &'a Rules, week: usize) -> Self {
        let count = plans.len();
        let years: Vec<Year> = plans
            .iter()
            .map(|plan| Year::seen_from(week, instance, plan))
            .collect();
        let mut weight = Vec::with_capacity(count * count);
        for (at, own) in years.iter().enumerate() {
            for (other, next) in years.iter().enumerate() {
                let again = own.last.is_some_and(|last| {
                    Some(last) == next.first && !instance.families[last].may_follow_itself
                });
                let overlap = own.leaves.saturating_sub(next.comes);
                weight.push(match (at == other, again || overlap > 0) {
                    (true, _) => 0.0,
                    (_, false) => MOVE,
                    (_, true) => CLASH + OVERLAP_WEEK * overlap as f64,
                });
            }
        }
        let stay: Vec<usize> = (0..count).collect();
        let mut order = Self {
            rules,
            week,
            weight,
            next: stay.clone(),
            before: stay.clone(),
            costs: vec![0.0; count],
            cost: 0.0,
            best: stay.clone(),
            best_cost: f64::INFINITY,
            touched: Vec::new(),
        };
        order.begin_with(&stay);
        order.note_best();
        order
    }

    fn begin_with(&mut self, next: &[usize]) {
        self.next.copy_from_slice(next);
        for (plan, &next) in next.iter().enumerate() {
            self.before[next] = plan;
        }
        for plan in 0..next.len() {
            self.costs[plan] = self.cost_of(plan);
        }
        self.cost = self.costs.iter().sum();
    }

    /// Families of a plan that come back too early in its place, once for each year too early.
    fn early(&self, plan: usize) -> impl Iterator<Item = usize> {
        let rules = self.rules;
        rules.of[plan].iter().flat_map(move |&(family, gap_years)| {
            let mut later = plan;
            (1..gap_years).filter_map(move |_| {
                later = self.next[later];
                rules.carries[later * rules.families + family].then_some(family)
            })
        })
    }

    /// What a plan adds: how it is followed, and which of its families come back too early.
    fn cost_of(&self, plan: usize) -> f64 {
        let early = self.early(plan).count() as f64;
        self.weight[plan * self.next.len() + self.next[plan]] + EARLY * early
    }

    fn swap(&mut self, a: usize, b: usize) {
        let (after_a, after_b) = (self.next[a], self.next[b]);
        self.next[a] = after_b;
        self.next[b] = after_a;
        self.before[after_b] = a;
        self.before[after_a] = b;
    }

    /// Marks what depends on what follows these plans.
    fn touch(&mut self, ends: [usize; 2]) {
        for mut at in ends {
            for _ in 0..self.rules.reach {
                if self.touched.iter().all(|(plan, _)| *plan != at) {
                    self.touched.push((at, self.costs[at]));
                }
                at = self.before[at];
            }
        }
    }

    /// Exchanges what follows two plans; gives by how much the cost moves.
    fn exchange(&mut self, a: usize, b: usize) -> f64 {
        self.touched.clear();
        self.touch([a, b]);
        self.swap(a, b);
        self.touch([a, b]);
        let mut change = 0.0;
        for at in 0..self.touched.len() {
            let (plan, before) = self.touched[at];
            self.costs[plan] = self.cost_of(plan);
            change += self.costs[plan] - before;
        }
        self.cost += change;
        change
    }

    /// Takes the last exchange back.
    fn exchange_back(&mut self, (a, b): (usize, usize), change: f64) {
        self.swap(a, b);
        for &(plan, before) in &self.touched {
            self.costs[plan] = before;
        }
        self.cost -= change;
    }

    /// Exchanges as long as that helps.
    fn descend(&mut self) {
        let count = self.next.len();
        loop {
            let mut gained = false;
            for a in 0..count {
                for b in a + 1..count {
                    let change = self.exchange(a, b);
                    if change < -LEAST {
                        gained = true;
                    } else {
                        self.exchange_back((a, b), change);
                    }
                }
            }
            if !gained {
                break;
            }
        }
        self.note_best();
    }

    fn note_best(&mut self) {
        let count = self.next.len();
        let clashes = (0..count).any(|plan| self.weight[plan * count + self.next[plan]] >= CLASH);
        if !clashes && self.cost < self.best_cost - LEAST {
            self.best_cost = self.cost;
            self.best.clone_from(&self.next);
        }
    }

    /// Kicks so often, as long as a family is early.
    fn kicks(&mut self, kicks: usize) {
        let count = self.next.len();
        let mut rng = ChaCha8Rng::seed_from_u64(0);
        for _ in 0..kicks.min(EXCHANGES / (count * count).max(1)) {
            if self.best_cost < EARLY {
                break;
            }
            self.kick(&mut rng);
        }
    }

    /// Exchanges at random, descends, and goes back where that came out worse.
    fn kick(&mut self, rng: &mut ChaCha8Rng) {
        const SWAPS: usize = 3;
        let count = self.next.len();
        if count < 3 {
            return;
        }
        let (next, cost) = (self.next.clone(), self.cost);
        for _ in 0..SWAPS {
            let a = rng.random_range(0..count);
            let b = (a + rng.random_range(1..count)) % count;
            self.exchange(a, b);
        }
        self.descend();
        if self.cost > cost + LEAST {
            self.begin_with(&next);
        }
    }

    /// The best order found.
    fn found(mut self) -> Succession {
        self.next.clone_from(&self.best);
        Succession {
            week: self.week,
            early: (0..self.next.len())
                .flat_map(|plan| self.early(plan))
                .collect(),
            next: self.best,
        }
    }
}
