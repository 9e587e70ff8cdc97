//! Lowers the bound: the volume algorithm, a subgradient method that steps along a running average of the choices
//! made. The weight of the newest choice is the one that makes the average shortest, under a ceiling that falls
//! while the bound hardly moves; without that fall the bound comes to rest a few percent too high.
//!
//! # References
//! Barahona and Anbil (2000), *The volume algorithm: producing primal solutions with a subgradient method*,
//! Mathematical Programming 87. Polyak (1969) for the length of a step.

use super::model::{Model, Planting, Segment};
use super::path::Path;
use super::prices::{Choice, Duals, Pricer, Split};

/// Ceiling on the weight of the newest choice at first, and at last.
const FIRST_WEIGHT: f64 = 0.2;
const LAST_WEIGHT: f64 = 1e-3;
/// Share of that ceiling taken where the newest choice points the same way as the average.
const LEAST_WEIGHT: f64 = 0.1;
/// Steps after which the ceiling is halved, unless the bound fell by [`BRISK`] of itself in them.
const WATCH_STEPS: usize = 50;
const BRISK: f64 = 0.01;
/// Share of the distance to the target taken at first and at most (Polyak's factor, 0 to 2).
const FIRST_STEP: f64 = 0.6;
const LONGEST_STEP: f64 = 2.0;
/// Factors on the step after a gain, and after [`PATIENCE`] steps without one.
const LONGER: f64 = 1.1;
const SHORTER: f64 = 0.7;
const PATIENCE: usize = 20;
/// A gain of this share of the bound counts as one.
const GAIN: f64 = 1e-5;
/// The distance to the target is taken as at least and at most these shares of what the bound allows to earn: a
/// poor plan is no target, steps towards it would overshoot.
const NEAREST: f64 = 1e-4;
const FARTHEST: f64 = 0.4;
/// Shares that are held move so much, where a food's price moves by what its first kilogram is worth.
const SHARE_SIZE: f64 = 1.0;
/// With few beds a food's price moves in steps of so many times what its first kilogram is worth, wish included;
/// with many, of what the food alone is worth (both tried on invented households of 3 to 40 beds).
const FOOD_SIZE: f64 = 2.0;
/// With more beds than this a planting is a small part of what is eaten: holding stretches of revenue and wishes to
/// what each could earn alone then gains nothing, and finding so many shares takes longer.
const FEW_BEDS: usize = 36;
/// A row's price moves in steps of this share of what a middling planting earns.
const ROW_SHARE: f64 = 0.3;

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
    weight: f64,
    steps: usize,
    watched_bound: f64,
}

/// Sizes that make the prices' slopes comparable.
#[derive(Clone, Debug)]
struct Scale {
    food: Vec<f64>,
    rows: Vec<f64>,
    /// Whether shares of stretches are sought at all.
    stretches: bool,
}

/// Scalar products of the average and the newest choice.
#[derive(Default)]
struct Products {
    mean: f64,
    mixed: f64,
    new: f64,
}

impl Descent {
    /// Starts from given prices.
    pub fn new(pricer: &mut Pricer, start: Duals, splits: &[Split]) -> Self {
        let choice = pricer.choose(&start, splits);
        let scale = Scale::new(pricer.model, splits.len());
        Descent {
            best: start,
            bound: choice.bound,
            watched_bound: f64::INFINITY,
            mean: Some(choice),
            scale,
            step: FIRST_STEP,
            stalled: 0,
            weight: FIRST_WEIGHT,
            steps: 0,
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

    /// One step towards `target`, the value of a plan in hand; returns the paths chosen and their weight in the
    /// average.
    pub fn step(&mut self, pricer: &mut Pricer, splits: &[Split], target: f64) -> (Vec<Path>, f64) {
        let Some(mut mean) = self.mean.take() else {
            return (Vec::new(), 0.0);
        };
        let duals = self.moved(pricer.model, &mean, target);
        let choice = pricer.choose(&duals, splits);
        let products = self.products(&mean, &choice);
        let weight = products
            .shortest()
            .map_or(LEAST_WEIGHT * self.weight, |weight| weight.min(self.weight));
        mean.blend(&choice, weight);
        self.mean = Some(mean);
        self.note(choice.bound, duals, products.mixed >= 0.0);
        (choice.paths, weight)
    }

    /// Keeps what is better and sets the length of the next step.
    fn note(&mut self, bound: f64, duals: Duals, same_way: bool) {
        let gain = self.bound - bound;
        if gain > GAIN * self.bound.abs() {
            self.stalled = 0;
        }
        if gain > 0.0 {
            self.bound = bound;
            self.best = duals;
            if same_way {
                self.step = (self.step * LONGER).min(LONGEST_STEP);
            }
        } else {
            self.stalled += 1;
            if self.stalled >= PATIENCE {
                self.stalled = 0;
                self.step = (self.step * SHORTER).max(1e-4);
            }
        }
        self.steps += 1;
        if self.steps.is_multiple_of(WATCH_STEPS) {
            if self.watched_bound - self.bound < BRISK * self.bound.abs() {
                self.weight = (self.weight * 0.5).max(LAST_WEIGHT);
            }
            self.watched_bound = self.bound;
        }
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
                square += (SHARE_SIZE * mean.alone[source]).powi(2);
            }
        }
        let shares = at.stretches.iter().zip(&mean.stretches);
        let shares = shares.chain(at.granted.iter().zip(&mean.granted));
        for (&price, &slope) in shares.filter(|_| scale.stretches) {
            if useful(price, slope, 1.0) {
                square += (SHARE_SIZE * slope).powi(2);
            }
        }
        for (row, &size) in scale.rows.iter().enumerate() {
            square += (mean.rows[row] * size).powi(2);
        }
        let rise = (self.bound - model.nothing).abs();
        let distance = (self.bound - target).clamp(NEAREST * rise, FARTHEST * rise);
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
            *alone =
                (*alone - length * SHARE_SIZE * SHARE_SIZE * mean.alone[source]).clamp(0.0, 1.0);
        }
        let shares = duals.stretches.iter_mut().zip(&mean.stretches);
        let shares = shares.chain(duals.granted.iter_mut().zip(&mean.granted));
        for (price, slope) in shares.filter(|_| self.scale.stretches) {
            *price = (*price - length * SHARE_SIZE * SHARE_SIZE * slope).clamp(0.0, 1.0);
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

    /// Where both slopes only push a price of 0 below it, they do not count.
    fn products(&self, mean: &Choice, new: &Choice) -> Products {
        let mut sum = Products::default();
        let mut add = |price: f64, mean: f64, new: f64, size: f64| {
            if price > 0.0 || mean < 0.0 || new < 0.0 {
                sum.mean += mean * mean * size * size;
                sum.mixed += mean * new * size * size;
                sum.new += new * new * size * size;
            }
        };
        for (at, &size) in self.scale.food.iter().enumerate() {
            add(self.best.food[at], mean.food[at], new.food[at], size);
            add(
                self.best.alone[at],
                mean.alone[at],
                new.alone[at],
                SHARE_SIZE,
            );
        }
        // Prices of 0 that never move are left out where stretches are not sought.
        let (stretches, granted) = if self.scale.stretches {
            (&self.best.stretches[..], &self.best.granted[..])
        } else {
            (&[][..], &[][..])
        };
        for (at, &price) in stretches.iter().enumerate() {
            add(price, mean.stretches[at], new.stretches[at], SHARE_SIZE);
        }
        for (at, &price) in granted.iter().enumerate() {
            add(price, mean.granted[at], new.granted[at], SHARE_SIZE);
        }
        for (at, &size) in self.scale.rows.iter().enumerate() {
            add(self.best.rows[at], -mean.rows[at], -new.rows[at], size);
        }
        sum
    }
}

impl Products {
    /// Weight of the newest choice that makes the average shortest; none where it should not move towards it.
    fn shortest(&self) -> Option<f64> {
        let weight = (self.mean - self.mixed) / (self.mean - 2.0 * self.mixed + self.new);
        (weight > 0.0).then_some(weight)
    }
}

impl Scale {
    fn new(model: &Model, splits: usize) -> Self {
        let few = model.instance.bed_count() <= FEW_BEDS;
        let table_of = model.table_of_food();
        let worth = |steps: &[Segment]| steps.first().map_or(0.0, |step| step.worth);
        let size = |(source, steps): (usize, &Vec<Segment>)| {
            let (food, week) = (source / model.weeks, source % model.weeks);
            if few {
                FOOD_SIZE * (worth(steps) + worth(&model.tables[table_of[food]].total[week]))
            } else {
                worth(steps)
            }
        };
        let food = model.steps.iter().enumerate().map(size).collect();
        let earns = |p: &Planting| p.lumps.iter().map(|lump| lump.alone).sum::<f64>();
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
                ROW_SHARE * middle * count as f64 / sum
            } else {
                0.0
            }
        };
        let mut rows: Vec<f64> = weight.into_iter().map(size).collect();
        rows.resize(rows.len() + splits, ROW_SHARE * middle);
        Scale {
            food,
            rows,
            stretches: few,
        }
    }
}
