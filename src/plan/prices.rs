//! Prices of everything shared and the bound they prove.
//!
//! At given prices no bed knows of another, so demand and each bed choose for themselves; what they earn together
//! is never below the best plan.

use super::model::{Model, RowKind};
use super::path::{Path, PathFinder};

/// A rule of the search tree: this many of these plantings at most (`sign` 1), or at least (`sign` -1).
#[derive(Clone, Debug)]
pub(super) struct Split {
    pub plantings: Vec<usize>,
    pub sign: f64,
    pub limit: f64,
}

/// Prices as flat lists.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Duals {
    /// Per food and week, currency/kg.
    pub food: Vec<f64>,
    /// Per food and week, 0 to 1: share of revenue held to what each planting could earn alone.
    pub alone: Vec<f64>,
    /// Per stretch, 0 to 1: the same for what is picked in a stretch of weeks.
    pub stretches: Vec<f64>,
    /// Per stretch of eating, 0 to 1: share of what wishes pay held to what each planting could save alone.
    pub granted: Vec<f64>,
    /// Per row of the model, then per split.
    pub rows: Vec<f64>,
}

impl Duals {
    /// Prices of nothing.
    pub fn zero(model: &Model, splits: usize) -> Self {
        let sources = model.steps.len();
        Duals {
            food: vec![0.0; sources],
            alone: vec![0.0; sources],
            stretches: vec![0.0; model.stretch_count()],
            granted: vec![0.0; model.wish_stretch_count()],
            rows: vec![0.0; model.rows.len() + splits],
        }
    }

    /// The public form, by kind of price.
    pub fn publish(&self, model: &Model) -> super::Prices {
        let by_food = |flat: &[f64]| flat.chunks(model.weeks).map(<[f64]>::to_vec).collect();
        let rows = |wanted: fn(RowKind) -> bool| {
            let rows = model.rows.iter().zip(&self.rows);
            rows.filter(|(row, _)| wanted(row.kind))
                .map(|(_, &price)| price)
                .collect()
        };
        super::Prices {
            food: by_food(&self.food),
            alone: by_food(&self.alone),
            stretches: self.stretches.clone(),
            granted: self.granted.clone(),
            labour: rows(|kind| matches!(kind, RowKind::Labour(_))),
            shelf: rows(|kind| matches!(kind, RowKind::Shelf(_))),
            sowings: rows(|kind| matches!(kind, RowKind::Sowings(_))),
            wanted: rows(|kind| matches!(kind, RowKind::Wanted(_))),
            splits: self.rows[model.rows.len()..].to_vec(),
        }
    }
}

/// What everyone chooses at some prices: totals that the prices' slopes are made of.
#[derive(Clone, Debug)]
pub(super) struct Choice {
    pub bound: f64,
    /// Kilograms grown less kilograms demanded, per food and week.
    pub food: Vec<f64>,
    /// What plantings could earn alone less what demand pays, per food and week.
    pub alone: Vec<f64>,
    /// The same per stretch.
    pub stretches: Vec<f64>,
    /// What plantings could save of wishes alone less what wishes pay, per stretch of eating.
    pub granted: Vec<f64>,
    /// Use less limit, per row and split.
    pub rows: Vec<f64>,
    /// Best path of each kind of bed.
    pub paths: Vec<Path>,
}

/// Evaluates prices.
pub(super) struct Pricer<'a> {
    pub model: &'a Model<'a>,
    finder: PathFinder,
    profit: Vec<f64>,
    held: Vec<f64>,
    offers: Vec<(f64, f64, usize, f64)>,
}

impl<'a> Pricer<'a> {
    pub fn new(model: &'a Model<'a>) -> Self {
        let profit = vec![0.0; model.plantings.len()];
        Pricer {
            model,
            finder: PathFinder::new(model),
            profit,
            held: Vec::new(),
            offers: Vec::new(),
        }
    }

    /// What each planting earns at these prices.
    pub fn profits(&mut self, duals: &Duals, splits: &[Split]) -> &[f64] {
        for (profit, planting) in self.profit.iter_mut().zip(&self.model.plantings) {
            let mut sum = -planting.cost;
            for lump in &planting.lumps {
                sum += duals.food[lump.source] * lump.kg + duals.alone[lump.source] * lump.alone;
            }
            for &(stretch, alone) in &planting.stretches {
                sum += duals.stretches[stretch] * alone;
            }
            for &(stretch, saved) in &planting.granted {
                sum += duals.granted[stretch] * saved;
            }
            for &(row, weight) in &planting.rows {
                sum -= duals.rows[row] * weight;
            }
            *profit = sum;
        }
        let prices = &duals.rows[self.model.rows.len()..];
        for (split, price) in splits.iter().zip(prices) {
            for &planting in &split.plantings {
                self.profit[planting] -= price * split.sign;
            }
        }
        &self.profit
    }

    /// The bound at these prices, and the choices behind it.
    pub fn choose(&mut self, duals: &Duals, splits: &[Split]) -> Choice {
        let model = self.model;
        let sources = model.steps.len();
        let mut choice = Choice {
            bound: model.bound_base(),
            food: vec![0.0; sources],
            alone: vec![0.0; sources],
            stretches: vec![0.0; duals.stretches.len()],
            granted: vec![0.0; duals.granted.len()],
            rows: Vec::with_capacity(duals.rows.len()),
            paths: Vec::with_capacity(model.kinds.len()),
        };
        choice.rows.extend(model.rows.iter().map(|row| -row.limit));
        choice
            .rows
            .extend(splits.iter().map(|split| -split.limit * split.sign));
        choice.bound -= choice
            .rows
            .iter()
            .zip(&duals.rows)
            .map(|(slope, price)| slope * price)
            .sum::<f64>();
        self.hold(duals);
        self.demand(duals, &mut choice);
        for source in 0..sources {
            for stretch in model.stretches_at(source) {
                choice.stretches[stretch] += choice.alone[source];
            }
        }
        for &(stretch, alone) in &model.given_stretches {
            choice.bound += duals.stretches[stretch] * alone;
            choice.stretches[stretch] += alone;
        }
        for &(stretch, saved) in &model.given_granted {
            choice.bound += duals.granted[stretch] * saved;
            choice.granted[stretch] += saved;
        }
        for lump in &model.given {
            choice.bound +=
                duals.food[lump.source] * lump.kg + duals.alone[lump.source] * lump.alone;
            choice.food[lump.source] += lump.kg;
            choice.alone[lump.source] += lump.alone;
        }
        self.profits(duals, splits);
        for (number, kind) in model.kinds.iter().enumerate() {
            let beds = kind.beds.len() as f64;
            let path = self.finder.best(model, number, &self.profit);
            choice.bound += beds * path.value;
            for &number in &path.plantings {
                let planting = &model.plantings[number];
                for lump in &planting.lumps {
                    choice.food[lump.source] += beds * lump.kg;
                    choice.alone[lump.source] += beds * lump.alone;
                }
                for &(stretch, alone) in &planting.stretches {
                    choice.stretches[stretch] += beds * alone;
                }
                for &(stretch, saved) in &planting.granted {
                    choice.granted[stretch] += beds * saved;
                }
                for &(row, weight) in &planting.rows {
                    choice.rows[row] += beds * weight;
                }
                for (at, split) in splits.iter().enumerate() {
                    if split.plantings.contains(&number) {
                        choice.rows[model.rows.len() + at] += beds * split.sign;
                    }
                }
            }
            choice.paths.push(path);
        }
        choice
    }

    /// Share of each source's revenue that is held, over all stretches it lies in.
    fn hold(&mut self, duals: &Duals) {
        self.held.clone_from(&duals.alone);
        for (source, held) in self.held.iter_mut().enumerate() {
            for stretch in self.model.stretches_at(source) {
                *held += duals.stretches[stretch];
            }
            *held = held.min(1.0);
        }
    }

    /// What the household buys at these prices, table by table and week by week.
    fn demand(&mut self, duals: &Duals, choice: &mut Choice) {
        let model = self.model;
        for table in &model.tables {
            for week in 0..model.weeks {
                self.offers.clear();
                for &food in &table.foods {
                    self.offer(duals, food, week);
                }
                if table.foods.len() > 1 {
                    self.offers.sort_by(|a, b| b.0.total_cmp(&a.0));
                }
                let wish_stretches = table
                    .group
                    .map(|group| model.wish_stretches_at(group, week));
                let free = wish_stretches.clone().map_or(1.0, |stretches| {
                    (1.0 - stretches.map(|at| duals.granted[at]).sum::<f64>()).max(0.0)
                });
                let mut paid = 0.0;
                let mut total = table.total[week].iter();
                let (mut extra, mut room) = total
                    .next()
                    .map_or((0.0, 0.0), |segment| (segment.worth, segment.kg));
                for &(reward, kg, source, worth) in &self.offers {
                    let mut left = kg;
                    while left > 0.0 {
                        if room <= 0.0 {
                            let Some(segment) = total.next() else { break };
                            (extra, room) = (segment.worth, segment.kg);
                            continue;
                        }
                        let gain = reward + free * extra;
                        if gain <= 0.0 {
                            break;
                        }
                        let kg = left.min(room);
                        choice.bound += kg * gain;
                        paid += kg * extra;
                        choice.food[source] -= kg;
                        choice.alone[source] -= kg * worth;
                        left -= kg;
                        room -= kg;
                    }
                }
                for stretch in wish_stretches.into_iter().flatten() {
                    choice.granted[stretch] -= paid;
                }
            }
        }
    }

    /// One food's steps in one week, each from the week of picking that leaves most.
    fn offer(&mut self, duals: &Duals, food: usize, week: usize) {
        let model = self.model;
        let weeks = model.weeks;
        let keeps = if model.cyclic {
            model.keeps[food]
        } else {
            model.keeps[food].min(week)
        };
        for step in &model.steps[food * weeks + week] {
            let mut best = (f64::NEG_INFINITY, 0);
            for back in 0..=keeps {
                let picked = if back > week {
                    week + weeks - back
                } else {
                    week - back
                };
                let source = food * weeks + picked;
                let reward = (1.0 - self.held[source]) * step.worth - duals.food[source];
                if reward > best.0 {
                    best = (reward, source);
                }
            }
            self.offers.push((best.0, step.kg, best.1, step.worth));
        }
    }
}

/// Prices to start from: what the household would pay for the first kilogram, less what plenty takes away.
pub(super) fn first_prices(model: &Model) -> Duals {
    let mut duals = Duals::zero(model, 0);
    for (price, steps) in duals.food.iter_mut().zip(&model.steps) {
        *price = 0.5 * steps.first().map_or(0.0, |step| step.worth);
    }
    duals
}

impl Choice {
    /// Moves this choice towards another by a share of the way.
    pub fn blend(&mut self, new: &Choice, weight: f64) {
        let mix = |old: &mut [f64], new: &[f64]| {
            for (old, new) in old.iter_mut().zip(new) {
                *old += weight * (new - *old);
            }
        };
        mix(&mut self.food, &new.food);
        mix(&mut self.alone, &new.alone);
        mix(&mut self.stretches, &new.stretches);
        mix(&mut self.granted, &new.granted);
        mix(&mut self.rows, &new.rows);
    }
}
