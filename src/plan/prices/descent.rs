//! The descent over the prices by which beds and table know of each other.

use super::Pricer;
use crate::plan::model::{Model, Planting, Segment};
use crate::plan::path::Path;
use crate::plan::subgradient::{Scale, Slope, Subgradient};

/// Shares that are held move so much, where a food's price moves by what its first kilogram is worth.
const SHARE_SIZE: f64 = 1.0;
/// With few beds a food's price moves in steps of so many times what its first kilogram is worth, wish included;
/// with many, of what the food alone is worth (both tried on invented households of 3 to 40 beds).
const FOOD_SIZE: f64 = 2.0;
/// Where a planting's largest picking fills less than this share of a week's appetite, holding stretches of revenue
/// and wishes to what each planting could earn alone gains nothing, and finding so many shares takes longer.
const LARGE_SHARE: f64 = 0.3;
/// A row's price moves in steps of this share of what a middling planting earns.
const ROW_SHARE: f64 = 0.3;

impl Pricer<'_> {
    /// A descent from given prices.
    pub fn descent(&mut self, start: Vec<f64>) -> Subgradient {
        let choice = self.choose(&start);
        let (bound, slope) = (choice.bound, choice.slope);
        let scale = self.scale();
        Subgradient::new(start, Slope { bound, slope }, scale, self.model.nothing)
    }

    /// One step of a descent towards `target`, the value of a plan in hand; returns the paths chosen and their weight in the
    /// average.
    pub fn step(&mut self, descent: &mut Subgradient, target: f64) -> (Vec<Path>, f64) {
        let mut paths = Vec::new();
        let weight = descent.step(target, |prices| {
            let choice = self.choose(prices);
            paths = choice.paths;
            Slope {
                bound: choice.bound,
                slope: choice.slope,
            }
        });
        (paths, weight)
    }
}

impl Pricer<'_> {
    /// What makes the prices' slopes comparable.
    pub(super) fn scale(&self) -> Scale {
        let (model, layout) = (self.model, &self.layout);
        let few = fills(model) >= LARGE_SHARE;
        let mut size = layout.zero();
        let mut most = vec![f64::INFINITY; size.len()];
        let table_of = model.table_of_food();
        let worth = |steps: &[Segment]| steps.first().map_or(0.0, |step| step.worth);
        for (source, steps) in model.steps.iter().enumerate() {
            let (food, week) = (source / model.weeks, source % model.weeks);
            let wished = worth(&model.tables[table_of[food]].total[week]);
            size[layout.food.start + source] = if few {
                FOOD_SIZE * (worth(steps) + wished)
            } else {
                worth(steps)
            };
        }
        size[layout.alone.clone()].fill(SHARE_SIZE);
        most[layout.alone.start..layout.granted.end].fill(1.0);
        if few {
            size[layout.stretches.start..layout.granted.end].fill(SHARE_SIZE);
        }
        let ordinary = ROW_SHARE * middling(model);
        let mut weight = vec![(0.0, 0usize); model.rows.len()];
        for &(row, w) in model.plantings.iter().flat_map(|planting| &planting.rows) {
            weight[row] = (weight[row].0 + w.abs(), weight[row].1 + 1);
        }
        // A row's price matters where it moves a planting's profit by a share of what a planting earns.
        for ((row, at), (sum, count)) in model.rows.iter().zip(layout.rows.clone()).zip(weight) {
            most[at] = row.price_max;
            if sum > 0.0 {
                size[at] = ordinary * count as f64 / sum;
            }
        }
        Scale { size, most }
    }
}

/// How much of the first step of a week's appetite a middling planting's largest picking fills.
fn fills(model: &Model) -> f64 {
    let first = |source: usize| {
        model.steps[source]
            .first()
            .map_or(f64::INFINITY, |step| step.kg)
    };
    let largest = |planting: &Planting| {
        let shares = planting
            .items
            .iter()
            .map(|item| item.kg / first(item.source));
        shares.fold(0.0, f64::max)
    };
    middle(model.plantings.iter().map(largest).collect())
}

/// What a middling planting earns by itself.
fn middling(model: &Model) -> f64 {
    let earns = |planting: &Planting| planting.items.iter().map(|item| item.alone).sum::<f64>();
    middle(model.plantings.iter().map(earns).collect())
}

/// The middle one of some figures, 0 where there are none.
fn middle(mut figures: Vec<f64>) -> f64 {
    figures.sort_by(f64::total_cmp);
    figures.get(figures.len() / 2).copied().unwrap_or(0.0)
}
