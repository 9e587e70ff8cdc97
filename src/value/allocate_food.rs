//! Weekly harvests at the table: what is eaten, what is kept, what is too much. The one model of eating: week by week,
//! from what is there, without knowing what comes.

use super::{FoodFlow, Market, price_of_week};
use crate::calendar::WEEKS_PER_YEAR;
use std::collections::VecDeque;

/// Weekly harvest of one food.
#[derive(Clone, Debug, PartialEq)]
pub struct Harvest {
    /// Food id or alias.
    pub food: String,
    /// kg as sold by week of the course.
    pub kg: Vec<f64>,
    /// Full weeks it keeps after the week of picking; 0 is eaten fresh or lost.
    pub keeps_weeks: usize,
}

/// The weeks over which is eaten.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Course {
    /// Number of weeks, at least 1.
    pub weeks: usize,
    /// Planning week of the calendar (0 to 51) in which they begin.
    pub first_week: usize,
    /// Does it close on itself, so that what is put by at its end is eaten at its beginning? Else it begins with
    /// nothing put by.
    pub repeats: bool,
}

impl Course {
    /// A settled calendar year.
    pub const SETTLED_YEAR: Course = Course {
        weeks: WEEKS_PER_YEAR,
        first_week: 0,
        repeats: true,
    };

    /// A calendar year that begins with nothing put by, such as one that was lived through.
    pub const FROM_EMPTY: Course = Course {
        repeats: false,
        ..Course::SETTLED_YEAR
    };

    /// Planning week of the calendar of one of its weeks.
    pub fn calendar_week(&self, week: usize) -> usize {
        (self.first_week + week) % WEEKS_PER_YEAR
    }
}

/// Rounds before the one that counts, so that what is kept over the turn of a settled year has settled.
const ROUNDS_TO_SETTLE: usize = 2;

/// Longest keeping that is told apart, weeks: one year, after which the next harvest is there.
const KEEPS_MAX_WEEKS: usize = WEEKS_PER_YEAR;

/// Food put by: kg by the week of picking, oldest first.
struct Store {
    line: Option<usize>,
    keeps_weeks: usize,
    lots: VecDeque<(usize, f64)>,
}

/// Shares out weekly harvests at the table, each week from what is there:
///
/// 1. what the household buys of each food, oldest lots before fresh ones;
/// 2. what would spoil this week then stands in for what is still bought of its group, dearest first, up to the appetite
///    of food and group;
/// 3. what was wished for this week beyond that is eaten too: of a food from its oldest lots, of a group from what
///    spoils first;
/// 4. the rest is kept as long as it keeps, then it is surplus.
///
/// Every food comes back in the order given; one that the market does not know is all surplus.
pub fn allocate_food_over(market: &Market, harvests: &[Harvest], course: &Course) -> Vec<FoodFlow> {
    let store = |harvest: &Harvest| Store {
        line: market.place(&harvest.food),
        keeps_weeks: harvest.keeps_weeks.min(KEEPS_MAX_WEEKS),
        lots: VecDeque::new(),
    };
    let nothing = || vec![0.0; course.weeks];
    let flow = |harvest: &Harvest| FoodFlow {
        food: harvest.food.clone(),
        harvested_kg: harvest.kg.clone(),
        eaten_kg: nothing(),
        kept_kg: nothing(),
        surplus_kg: nothing(),
    };
    let stores: Vec<Store> = harvests.iter().map(store).collect();
    let mut of_line = vec![Vec::new(); market.foods.len()];
    for (at, store) in stores.iter().enumerate() {
        if let Some(line) = store.line {
            of_line[line].push(at);
        }
    }
    let groups = market.groups.iter();
    let mut table = Table {
        market,
        course,
        stores,
        of_line,
        members: groups.map(|line| market.members(&line.group)).collect(),
        flows: harvests.iter().map(flow).collect(),
    };
    let rounds = if course.repeats {
        ROUNDS_TO_SETTLE + 1
    } else {
        1
    };
    for now in 0..rounds * course.weeks {
        table.week(now);
    }
    table.flows
}

/// Like [`allocate_food_over`] for a settled calendar year.
pub fn allocate_food(market: &Market, harvests: &[Harvest]) -> Vec<FoodFlow> {
    allocate_food_over(market, harvests, &Course::SETTLED_YEAR)
}

/// The table of a household with what lies in store.
struct Table<'a> {
    market: &'a Market,
    course: &'a Course,
    stores: Vec<Store>,
    /// Stores of each food of the market, in their order.
    of_line: Vec<Vec<usize>>,
    /// Foods of each group.
    members: Vec<Vec<usize>>,
    flows: Vec<FoodFlow>,
}

impl Table<'_> {
    /// One week; later rounds overwrite the weeks of earlier ones.
    fn week(&mut self, now: usize) {
        let week = now % self.course.weeks;
        for (store, flow) in self.stores.iter_mut().zip(&mut self.flows) {
            flow.eaten_kg[week] = 0.0;
            if flow.harvested_kg[week] > 0.0 {
                store.lots.push_back((now, flow.harvested_kg[week]));
            }
        }
        let mut eaten = vec![0.0; self.market.foods.len()];
        for at in 0..self.market.foods.len() {
            eaten[at] += self.eat(now, at, self.market.foods[at].bought_kg_week, false);
        }
        for group in 0..self.market.groups.len() {
            self.stand_in(now, group, &mut eaten);
        }
        self.wishes(now, &mut eaten);
        for (store, flow) in self.stores.iter_mut().zip(&mut self.flows) {
            let spoils = |picked: usize| picked + store.keeps_weeks <= now;
            let spoilt = store.lots.iter().filter(|(picked, _)| spoils(*picked));
            flow.surplus_kg[week] = spoilt.map(|(_, kg)| kg).sum();
            store
                .lots
                .retain(|(picked, kg)| !spoils(*picked) && *kg > 0.0);
            let fresh = store.lots.back().filter(|(picked, _)| *picked == now);
            flow.kept_kg[week] = fresh.map_or(0.0, |(_, kg)| *kg);
        }
    }

    /// Lets food that spoils this week stand in for the rest of its group, dearest first.
    fn stand_in(&mut self, now: usize, group: usize, eaten: &mut [f64]) {
        let line = &self.market.groups[group];
        let spoils = |at: &usize| self.first_to_spoil(*at).is_some_and(|spoils| spoils <= now);
        if !self.members[group].iter().any(spoils) {
            return;
        }
        let mut order = self.members[group].clone();
        let taken: f64 = order.iter().map(|at| eaten[*at]).sum();
        let mut room = (line.appetite_kg_week - taken).max(0.0);
        if room <= 0.0 {
            return;
        }
        let week = self.course.calendar_week(now % self.course.weeks);
        let price = |at: &usize| price_of_week(&self.market.foods[*at].price_per_kg, week);
        order.sort_by(|a, b| price(b).total_cmp(&price(a)).then(a.cmp(b)));
        for at in order {
            let more = (self.market.foods[at].appetite_kg_week - eaten[at]).clamp(0.0, room);
            let ate = self.eat(now, at, more, true);
            eaten[at] += ate;
            room -= ate;
        }
    }

    /// Eats what was wished for beyond what is on the table already.
    fn wishes(&mut self, now: usize, eaten: &mut [f64]) {
        let week = self.course.calendar_week(now % self.course.weeks);
        for wish in &self.market.wishes {
            let mut left = wish.kg_week[week] - self.market.on_table(wish.of, eaten);
            if left <= 0.0 {
                continue;
            }
            let members = self.market.wished(wish.of);
            while left > 0.0 {
                // What spoils first; the dearer of equals would be no better, as all of it is beyond the shopping list.
                let first = |at: &usize| self.first_to_spoil(*at).map(|spoils| (spoils, *at));
                let Some((_, at)) = members.iter().filter_map(first).min() else {
                    break;
                };
                let ate = self.eat_oldest(now, at, left);
                eaten[at] += ate;
                left -= ate;
            }
        }
    }

    /// Week in which the lot of a food that spoils first does so; none where nothing of it is there.
    fn first_to_spoil(&self, at: usize) -> Option<usize> {
        let of_food = self.of_line[at].iter().map(|store| &self.stores[*store]);
        of_food
            .flat_map(|store| {
                let there = store.lots.iter().filter(|(_, kg)| *kg > 0.0);
                there.map(|(picked, _)| picked + store.keeps_weeks)
            })
            .min()
    }

    /// Eats of the lot that spoils first, `most` at most, kg.
    fn eat_oldest(&mut self, now: usize, at: usize, most: f64) -> f64 {
        let first = self.first_to_spoil(at);
        let spoils = |store: &Store, picked: usize| Some(picked + store.keeps_weeks) == first;
        self.take(now, at, most, spoils)
    }

    /// Eats of a food, oldest lots first, `most` at most; only from lots that spoil this week where asked. Gives kg.
    fn eat(&mut self, now: usize, at: usize, most: f64, spoiling: bool) -> f64 {
        self.take(now, at, most, |store, picked| {
            !spoiling || picked + store.keeps_weeks <= now
        })
    }

    fn take(
        &mut self,
        now: usize,
        at: usize,
        most: f64,
        from: impl Fn(&Store, usize) -> bool,
    ) -> f64 {
        let week = now % self.course.weeks;
        let mut left = most;
        for &number in &self.of_line[at] {
            if left <= 0.0 {
                break;
            }
            let (store, flow) = (&mut self.stores[number], &mut self.flows[number]);
            let mut lots = std::mem::take(&mut store.lots);
            for (picked, kg) in &mut lots {
                if from(store, *picked) {
                    let taken = kg.min(left);
                    *kg -= taken;
                    left -= taken;
                    flow.eaten_kg[week] += taken;
                }
            }
            store.lots = lots;
        }
        most - left
    }
}
