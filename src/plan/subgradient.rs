//! Lowers the bound: the volume algorithm, a subgradient method that steps along a running average of the choices
//! made. The weight of the newest choice is the one that makes the average shortest, under a ceiling that falls
//! while the bound hardly moves; without that fall the bound comes to rest a few percent too high.
//!
//! # References
//! Barahona and Anbil (2000), *The volume algorithm: producing primal solutions with a subgradient method*,
//! Mathematical Programming 87. Polyak (1969) for the length of a step.

/// Ceiling on the weight of the newest choice at first, and at last.
const FIRST_WEIGHT: f64 = 0.2;
const LAST_WEIGHT: f64 = 1e-3;
/// Share of that ceiling taken where the newest choice points the same way as the average.
const LEAST_WEIGHT: f64 = 0.1;
/// Steps after which the ceiling is halved, unless the bound fell by [`BRISK`] of itself in them.
const WATCH_STEPS: usize = 50;
const BRISK: f64 = 0.01;
/// At rest is a bound of which no larger share than this came off in the steps last watched. Where the ceiling has
/// fallen below the second figure by then, the descent begins anew with the third.
const AT_REST: f64 = 2e-5;
const COOLED_WEIGHT: f64 = 4e-3;
const ANEW_WEIGHT: f64 = 0.02;
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

/// Lowers the bound step by step; can be paused and taken up again.
#[derive(Clone)]
pub(super) struct Subgradient {
    /// Best prices so far and the bound they prove.
    pub best: Vec<f64>,
    pub bound: f64,
    /// Running average of the choices' slopes.
    mean: Vec<f64>,
    scale: Scale,
    /// Value of eating nothing: bounds are measured from it.
    nothing: f64,
    step: f64,
    stalled: usize,
    weight: f64,
    steps: usize,
    watched_bound: f64,
    /// Share of the bound that the last steps watched took off.
    fall: f64,
}

/// What makes the prices' slopes comparable: what each moves by, and the most it can be.
#[derive(Clone, Debug)]
pub(super) struct Scale {
    pub size: Vec<f64>,
    pub most: Vec<f64>,
}

/// The bound at some prices, and its slope over each of them.
#[derive(Clone, Debug)]
pub(super) struct Slope {
    pub bound: f64,
    pub slope: Vec<f64>,
}

/// Scalar products of the average and the newest choice.
#[derive(Default)]
struct Products {
    mean: f64,
    mixed: f64,
    new: f64,
}

impl Subgradient {
    /// Starts from given prices, at which the bound is as given.
    pub fn new(start: Vec<f64>, at: Slope, scale: Scale, nothing: f64) -> Self {
        Subgradient {
            best: start,
            bound: at.bound,
            watched_bound: f64::INFINITY,
            fall: f64::INFINITY,
            mean: at.slope,
            scale,
            nothing,
            step: FIRST_STEP,
            stalled: 0,
            weight: FIRST_WEIGHT,
            steps: 0,
        }
    }

    /// One step towards `target`, the value of a plan in hand; returns the weight of the new choice in the average.
    pub fn step(&mut self, target: f64, at: impl FnOnce(&[f64]) -> Slope) -> f64 {
        let prices = self.moved(target);
        let Slope { bound, slope } = at(&prices);
        let products = self.products(&slope);
        let weight = products
            .shortest()
            .map_or(LEAST_WEIGHT * self.weight, |weight| weight.min(self.weight));
        for (mean, new) in self.mean.iter_mut().zip(&slope) {
            *mean += weight * (new - *mean);
        }
        self.note(bound, prices, products.mixed >= 0.0);
        weight
    }

    /// Whether the bound hardly fell of late.
    fn is_at_rest(&self) -> bool {
        self.fall < AT_REST
    }

    /// Keeps what is better and sets the length of the next step.
    fn note(&mut self, bound: f64, prices: Vec<f64>, same_way: bool) {
        let gain = self.bound - bound;
        if gain > GAIN * self.bound.abs() {
            self.stalled = 0;
        }
        if gain > 0.0 {
            self.bound = bound;
            self.best = prices;
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
            self.fall = (self.watched_bound - self.bound) / self.bound.abs();
            if self.is_at_rest() && self.weight <= COOLED_WEIGHT {
                // Rest may be short of the lowest bound: a bolder start from there finds out.
                self.weight = ANEW_WEIGHT;
                self.step = FIRST_STEP;
            } else if self.fall < BRISK {
                self.weight = (self.weight * 0.5).max(LAST_WEIGHT);
            }
            self.watched_bound = self.bound;
        }
    }

    /// Prices a step along the average's slope.
    fn moved(&self, target: f64) -> Vec<f64> {
        let Scale { size, most } = &self.scale;
        let mut square = 0.0;
        for (at, &slope) in self.mean.iter().enumerate() {
            // A slope that only pushes a price past its end does not count.
            let price = self.best[at];
            let stuck = (slope > 0.0 && price <= 0.0) || (slope < 0.0 && price >= most[at]);
            if !stuck {
                square += (slope * size[at]).powi(2);
            }
        }
        let rise = (self.bound - self.nothing).abs();
        let distance = (self.bound - target).clamp(NEAREST * rise, FARTHEST * rise);
        let length = if square > 0.0 {
            self.step * distance / square
        } else {
            0.0
        };
        let moved = |at: usize| {
            let price = self.best[at] - length * size[at] * size[at] * self.mean[at];
            price.clamp(0.0, most[at])
        };
        (0..self.best.len()).map(moved).collect()
    }

    /// Where both slopes only push a price of 0 below it, they do not count.
    fn products(&self, new: &[f64]) -> Products {
        let mut sum = Products::default();
        for (at, (&mean, &new)) in self.mean.iter().zip(new).enumerate() {
            if self.best[at] > 0.0 || mean < 0.0 || new < 0.0 {
                let square = self.scale.size[at] * self.scale.size[at];
                sum.mean += mean * mean * square;
                sum.mixed += mean * new * square;
                sum.new += new * new * square;
            }
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
