//! One food's best plantings in a row: each adds no more than it would after the one before it alone.
//!
//! What a set of plantings is worth falls off with each of them (it is a flow whose ends are worth less and less), so a planting
//! adds to all those picked before it at most what it adds to the last of them. In order of their first pickings they make a
//! longest path, and no set of them earns more than that. A planting's own time is paid in full for as many beds as it fills,
//! and no more beds are filled than family limits leave. Where a fewest is asked for, plantings that do not pay may fill them.

use super::eating::{Eating, slots};
use crate::plan::model::{Model, RowKind};

/// A planting of a food.
#[derive(Clone)]
struct One {
    planting: usize,
    /// Week and kilograms of one bed.
    picks: Vec<(usize, f64)>,
    /// Weeks in which it can be eaten.
    reach: [u64; 3],
    most: usize,
    /// Worth of one bed, of two and so on, where nothing else is picked but what is given.
    alone: Vec<f64>,
}

/// A food with all its plantings.
#[derive(Clone)]
pub(super) struct Chain {
    pub food: usize,
    /// Worth of what is there whatever is planted.
    pub given_worth: f64,
    ones: Vec<One>,
    given: Vec<f64>,
    eating: Eating,
    /// Worth of two plantings together, one bed each; not a number where it is not known yet.
    pairs: Vec<f64>,
    /// Beds at most that family limits leave; none where some plantings have no limit.
    beds_most: Option<usize>,
    /// Fewest and most beds that its plantings fill together.
    pub beds: (usize, usize),
    /// Week from which on plantings are in order.
    pub cut: usize,
}

/// So many beds of a planting.
#[derive(Clone, Copy)]
struct Item {
    one: usize,
    beds: usize,
    /// What it earns but for its share of what the food is worth in itself.
    profit: f64,
}

/// The best row of plantings.
#[derive(Default)]
pub(super) struct Row {
    pub value: f64,
    /// Planting and beds.
    pub plantings: Vec<(usize, usize)>,
    /// What they are worth in themselves, each after the one before.
    pub worth: f64,
}

impl Chain {
    pub fn new(model: &Model, food: usize, plantings: &[usize]) -> Self {
        let weeks = model.weeks;
        let total = &model.tables[model.table_of_food()[food]].total;
        let mut given = vec![0.0; weeks];
        for item in model
            .given
            .iter()
            .filter(|item| item.source / weeks == food)
        {
            given[item.source % weeks] += item.kg;
        }
        let mut limits = std::collections::BTreeSet::new();
        let mut limited = true;
        let mut ones = Vec::with_capacity(plantings.len());
        for &planting in plantings {
            let one = &model.plantings[planting];
            let family = |row: &&(usize, f64)| matches!(model.rows[row.0].kind, RowKind::Family(_));
            let own = one.rows.iter().filter(family).map(|row| row.0);
            let own: Vec<usize> = own.collect();
            limited &= !own.is_empty();
            limits.extend(own.iter().copied());
            let most = own.iter().map(|&row| model.rows[row].limit as usize);
            let mut reach = [0u64; 3];
            for item in &one.items {
                for week in model.window(food, item.source % weeks) {
                    reach[week / 64] |= 1 << (week % 64);
                }
            }
            let picks = one.items.iter().map(|item| (item.source % weeks, item.kg));
            ones.push(One {
                planting,
                picks: picks.collect(),
                reach,
                most: most.fold(one.most, usize::min),
                alone: Vec::new(),
            });
        }
        let beds: usize = limits
            .iter()
            .map(|&row| model.rows[row].limit as usize)
            .sum();
        let eating = Eating {
            slots: slots(model, food, total),
            weeks,
            keeps: model.keeps[food],
            cyclic: model.cyclic,
        };
        Chain {
            food,
            given_worth: eating.worth(&given),
            pairs: vec![f64::NAN; ones.len() * ones.len()],
            beds_most: limited.then_some(beds),
            beds: (0, usize::MAX),
            cut: 0,
            ones,
            given,
            eating,
        }
    }

    fn worth(&self, beds: &[(usize, usize)]) -> f64 {
        let mut picked = self.given.clone();
        for &(one, beds) in beds {
            for &(week, kg) in &self.ones[one].picks {
                picked[week] += kg * beds as f64;
            }
        }
        self.eating.worth(&picked) - self.given_worth
    }

    /// What one bed of a planting adds to one bed of another.
    fn after(&mut self, first: usize, then: usize) -> f64 {
        let (a, b) = (&self.ones[first].reach, &self.ones[then].reach);
        if a.iter().zip(b).all(|(a, b)| a & b == 0) {
            return self.ones[then].alone[0];
        }
        let at = first.min(then) * self.ones.len() + first.max(then);
        if self.pairs[at].is_nan() {
            self.pairs[at] = self.worth(&[(first, 1), (then, 1)]);
        }
        self.pairs[at] - self.ones[first].alone[0]
    }

    /// The best row at these profits of one bed of each planting of the model, with so much of its own worth; a planting takes
    /// `effort` of the household's time.
    pub fn best(&mut self, profit: &[f64], share: f64, effort: f64) -> Row {
        let items = self.items(profit, share, effort);
        let count = items.len();
        let (least, most) = self.beds;
        let most = self.beds_most.unwrap_or(usize::MAX).min(most);
        // Beds still left where there is a most, beds still wanted else; which of them may be left over.
        let limited = most < usize::MAX;
        let all = if limited { most } else { least };
        let over = if limited {
            most.saturating_sub(least)
        } else {
            0
        };
        let levels = all + 1;
        let after = |left: usize, beds: usize| {
            if limited {
                left.checked_sub(beds)
            } else {
                Some(left.saturating_sub(beds))
            }
        };
        // By item and level: what can follow, and which item does.
        let ends = |left: usize| if left > over { f64::NEG_INFINITY } else { 0.0 };
        let mut ahead: Vec<(f64, u32)> = (0..count * levels)
            .map(|at| (ends(at % levels), u32::MAX))
            .collect();
        for from in (0..count).rev() {
            for to in from + 1..count {
                if items[to].one == items[from].one {
                    continue;
                }
                let step = items[to].profit + share * self.step(&items[from], &items[to]);
                for left in 0..levels {
                    let Some(then) = after(left, items[to].beds) else {
                        continue;
                    };
                    let value = step + ahead[to * levels + then].0;
                    let best = &mut ahead[from * levels + left];
                    if value > best.0 {
                        *best = (value, to as u32);
                    }
                }
            }
        }
        let mut first: (f64, Option<usize>) = (ends(all), None);
        for (at, item) in items.iter().enumerate() {
            let Some(then) = after(all, item.beds) else {
                continue;
            };
            let own = self.ones[item.one].alone[item.beds - 1];
            let value = item.profit + share * own + ahead[at * levels + then].0;
            if value > first.0 {
                first = (value, Some(at));
            }
        }
        let mut row = Row {
            value: first.0,
            ..Row::default()
        };
        let (mut at, mut left, mut before) = (first.1, all, None::<usize>);
        while let Some(now) = at {
            let item = &items[now];
            row.worth += match before {
                Some(before) => self.step(&items[before], item),
                None => self.ones[item.one].alone[item.beds - 1],
            };
            row.plantings
                .push((self.ones[item.one].planting, item.beds));
            left = after(left, item.beds).unwrap_or(0);
            before = Some(now);
            let next = ahead[now * levels + left].1;
            at = (next != u32::MAX).then_some(next as usize);
        }
        row
    }

    /// What an item adds after another, at most.
    fn step(&mut self, from: &Item, to: &Item) -> f64 {
        let one = self.after(from.one, to.one);
        let alone = &self.ones[to.one].alone;
        (one + alone[to.beds - 1] - alone[0]).min(alone[to.beds - 1])
    }

    /// Plantings that pay by themselves, all of them where beds must be filled, in order of picking round the year from where least is picked on.
    fn items(&mut self, profit: &[f64], share: f64, effort: f64) -> Vec<Item> {
        let weeks = self.eating.weeks;
        let mut items = Vec::new();
        for at in 0..self.ones.len() {
            let each = profit[self.ones[at].planting];
            let mut before = 0.0;
            for beds in 1..=self.ones[at].most {
                if self.ones[at].alone.len() < beds {
                    let worth = self.worth(&[(at, beds)]);
                    self.ones[at].alone.push(worth);
                }
                let own = self.ones[at].alone[beds - 1];
                if beds > self.beds.0.max(1) && share * (own - before) + each <= 0.0 {
                    break;
                }
                before = own;
                let profit = each * beds as f64 - effort;
                if profit + share * own > 0.0 || self.beds.0 > 0 {
                    items.push(Item {
                        one: at,
                        beds,
                        profit,
                    });
                }
            }
        }
        let mut there = vec![0usize; weeks];
        for item in &items {
            let reach = &self.ones[item.one].reach;
            for (week, there) in there.iter_mut().enumerate() {
                *there += (reach[week / 64] >> (week % 64) & 1) as usize;
            }
        }
        if self.eating.cyclic {
            self.cut = (0..weeks).min_by_key(|&week| there[week]).unwrap_or(0);
        }
        let first = |item: &Item| {
            let picks = self.ones[item.one].picks.iter();
            picks.map(|pick| (pick.0 + weeks - self.cut) % weeks).min()
        };
        items.sort_by_key(|item| (first(item), item.one, item.beds));
        items
    }
}
