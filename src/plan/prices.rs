//! Prices of everything shared, the bound they prove, and how they are improved.
//!
//! At given prices no bed knows of another, so demand and each bed choose for themselves; what they earn together
//! is never below the best plan. The prices that make it smallest are sought by the volume algorithm: a
//! subgradient method that steps along a running average of the choices made.
//!
//! # References
//! Barahona and Anbil (2000), *The volume algorithm: producing primal solutions with a subgradient method*,
//! Mathematical Programming 87. Polyak (1969) for the length of a step.

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
    /// Use less limit, per row and split.
    pub rows: Vec<f64>,
    /// Best path of each kind of bed.
    pub paths: Vec<Path>,
}

/// Evaluates prices.
pub(super) struct Pricer<'a> {
    model: &'a Model<'a>,
    finder: PathFinder,
    profit: Vec<f64>,
    offers: Vec<(f64, f64, usize, f64)>,
}

impl<'a> Pricer<'a> {
    pub fn new(model: &'a Model<'a>) -> Self {
        let profit = vec![0.0; model.plantings.len()];
        Pricer {
            model,
            finder: PathFinder::new(model),
            profit,
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
        self.demand(duals, &mut choice);
        for lump in &model.given {
            choice.bound +=
                duals.food[lump.source] * lump.kg + duals.alone[lump.source] * lump.alone;
            choice.food[lump.source] += lump.kg;
            choice.alone[lump.source] += lump.alone;
        }
        self.profits(duals, splits);
        for kind in &model.kinds {
            let beds = kind.beds.len() as f64;
            let path = self.finder.best(model, kind, &self.profit);
            choice.bound += beds * path.value;
            for &number in &path.plantings {
                let planting = &model.plantings[number];
                for lump in &planting.lumps {
                    choice.food[lump.source] += beds * lump.kg;
                    choice.alone[lump.source] += beds * lump.alone;
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
                        if reward + extra <= 0.0 {
                            break;
                        }
                        let kg = left.min(room);
                        choice.bound += kg * (reward + extra);
                        choice.food[source] -= kg;
                        choice.alone[source] -= kg * worth;
                        left -= kg;
                        room -= kg;
                    }
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
                let reward = (1.0 - duals.alone[source]) * step.worth - duals.food[source];
                if reward > best.0 {
                    best = (reward, source);
                }
            }
            self.offers.push((best.0, step.kg, best.1, step.worth));
        }
    }
}

/// Sizes that make the prices' slopes comparable.
#[derive(Clone, Debug)]
struct Scale {
    food: Vec<f64>,
    rows: Vec<f64>,
}

/// Lowers the bound step by step; can be paused and taken up again.
#[derive(Clone)]
pub(super) struct Descent {
    /// Best prices so far and the bound they prove.
    pub best: Duals,
    pub bound: f64,
    /// Running average of the choices.
    mean: Option<Choice>,
    scale: Scale,
    step: f64,
    stalled: usize,
}

/// Weight of the newest choice in the running average (Barahona and Anbil use 0.1 and less).
const AVERAGE_WEIGHT: f64 = 0.1;
/// Share of the distance to the target taken at first (Polyak's factor, 0 to 2).
const FIRST_STEP: f64 = 0.6;
/// Steps without gain before the step is shortened.
const PATIENCE: usize = 12;

impl Descent {
    /// Starts from given prices.
    pub fn new(pricer: &mut Pricer, start: Duals, splits: &[Split]) -> Self {
        let choice = pricer.choose(&start, splits);
        let scale = Scale::new(pricer.model, splits.len());
        Descent {
            best: start,
            bound: choice.bound,
            mean: Some(choice),
            scale,
            step: FIRST_STEP,
            stalled: 0,
        }
    }

    /// Takes up from a parent node, whose prices get a zero for one more split.
    pub fn child(&self, pricer: &mut Pricer, splits: &[Split]) -> Self {
        let mut start = self.best.clone();
        start
            .rows
            .resize(pricer.model.rows.len() + splits.len(), 0.0);
        Descent::new(pricer, start, splits)
    }

    /// One step towards `target`, the value of a plan in hand; returns the paths chosen.
    pub fn step(&mut self, pricer: &mut Pricer, splits: &[Split], target: f64) -> Vec<Path> {
        let Some(mut mean) = self.mean.take() else {
            return Vec::new();
        };
        let duals = self.moved(pricer.model, &mean, target);
        let choice = pricer.choose(&duals, splits);
        mean.blend(&choice, AVERAGE_WEIGHT);
        let paths = choice.paths;
        self.mean = Some(mean);
        let gain = self.bound - choice.bound;
        if gain > 0.0 {
            self.bound = choice.bound;
            self.best = duals;
        }
        if gain > 1e-5 * self.bound.abs() {
            self.stalled = 0;
            self.step = (self.step * 1.1).min(1.5);
        } else {
            self.stalled += 1;
            if self.stalled >= PATIENCE {
                self.stalled = 0;
                self.step = (self.step * 0.7).max(1e-4);
            }
        }
        paths
    }

    fn moved(&self, model: &Model, mean: &Choice, target: f64) -> Duals {
        let scale = &self.scale;
        let mut square = 0.0;
        let at = &self.best;
        // A slope that only pushes a price past its end does not count.
        let useful = |price: f64, slope: f64, max: f64| {
            !(slope > 0.0 && price <= 0.0) && !(slope < 0.0 && price >= max)
        };
        for (source, &size) in scale.food.iter().enumerate() {
            if useful(at.food[source], mean.food[source], f64::INFINITY) {
                square += (mean.food[source] * size).powi(2);
            }
            if useful(at.alone[source], mean.alone[source], 1.0) {
                square += mean.alone[source].powi(2);
            }
        }
        for (row, &size) in scale.rows.iter().enumerate() {
            square += (mean.rows[row] * size).powi(2);
        }
        let distance = (self.bound - target).max(1e-4 * self.bound.abs());
        let length = if square > 0.0 {
            self.step * distance / square
        } else {
            0.0
        };
        let mut duals = at.clone();
        for (source, &size) in scale.food.iter().enumerate() {
            let food = &mut duals.food[source];
            *food = (*food - length * size * size * mean.food[source]).max(0.0);
            let alone = &mut duals.alone[source];
            *alone = (*alone - length * mean.alone[source]).clamp(0.0, 1.0);
        }
        for (row, &size) in scale.rows.iter().enumerate() {
            let max = model
                .rows
                .get(row)
                .map_or(f64::INFINITY, |row| row.price_max);
            let price = &mut duals.rows[row];
            *price = (*price + length * size * size * mean.rows[row]).clamp(0.0, max);
        }
        duals
    }
}

impl Choice {
    fn blend(&mut self, new: &Choice, weight: f64) {
        let mix = |old: &mut [f64], new: &[f64]| {
            for (old, new) in old.iter_mut().zip(new) {
                *old += weight * (new - *old);
            }
        };
        mix(&mut self.food, &new.food);
        mix(&mut self.alone, &new.alone);
        mix(&mut self.rows, &new.rows);
    }
}

impl Scale {
    fn new(model: &Model, splits: usize) -> Self {
        let worth =
            |steps: &Vec<super::model::Segment>| steps.first().map_or(0.0, |step| step.worth);
        let food = model.steps.iter().map(worth).collect();
        let earns = |p: &super::model::Planting| p.lumps.iter().map(|lump| lump.alone).sum::<f64>();
        let mut earned: Vec<f64> = model.plantings.iter().map(earns).collect();
        earned.sort_by(f64::total_cmp);
        let middle = earned.get(earned.len() / 2).copied().unwrap_or(0.0);
        let mut weight = vec![(0.0, 0usize); model.rows.len()];
        for &(row, w) in model.plantings.iter().flat_map(|planting| &planting.rows) {
            weight[row] = (weight[row].0 + w.abs(), weight[row].1 + 1);
        }
        // A row's price matters where it moves a planting's profit by a share of what a planting earns.
        let size = |(sum, count): (f64, usize)| {
            if sum > 0.0 {
                0.3 * middle * count as f64 / sum
            } else {
                0.0
            }
        };
        let mut rows: Vec<f64> = weight.into_iter().map(size).collect();
        rows.resize(rows.len() + splits, 0.3 * middle);
        Scale { food, rows }
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
