//! Prices of everything shared and the bound they prove.
//!
//! At given prices no bed knows of another, so demand and each bed choose for themselves; what they earn together
//! is never below the best plan. All prices stand in one list, laid out by [`Layout`]; the slope of the bound over
//! a price is what is there less what is asked for (limit less use for a shared limit), so a positive slope always
//! says that a lower price lowers the bound.

mod demand;
mod descent;
mod foods;
mod rents;

use std::ops::Range;

use super::model::{Model, RowKind};
use super::path::{Path, PathFinder};
use demand::Offer;
pub(super) use foods::{Foods, Lowering};

/// Where each kind of price stands in the list.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    /// Per food and week, currency/kg.
    pub food: Range<usize>,
    /// Per food and week, 0 to 1: share of revenue held to what each planting could earn alone.
    pub alone: Range<usize>,
    /// Per stretch, 0 to 1: the same for what is picked in a stretch of weeks.
    pub stretches: Range<usize>,
    /// Per stretch of eating, 0 to 1: share of what wishes pay held to what each planting could save alone.
    pub granted: Range<usize>,
    /// Per food, 0 to 1: share of its own worth held to its plantings in a row.
    pub pairs: Range<usize>,
    /// Rents per class of beds and week, currency.
    pub rents: Range<usize>,
    /// Per row of the model.
    pub rows: Range<usize>,
}

impl Layout {
    pub fn new(model: &Model) -> Self {
        let sources = model.steps.len();
        let mut end = 0;
        let mut next = |count: usize| {
            let start = end;
            end += count;
            start..end
        };
        Layout {
            food: next(sources),
            alone: next(sources),
            stretches: next(model.stretch_count()),
            granted: next(model.wish_stretch_count()),
            pairs: next(model.keeps.len()),
            rents: next(model.instance.beds.len() * model.weeks),
            rows: next(model.rows.len()),
        }
    }

    /// Prices of nothing.
    pub fn zero(&self) -> Vec<f64> {
        vec![0.0; self.rows.end]
    }

    /// The public form, by kind of price.
    pub fn publish(&self, model: &Model, prices: &[f64]) -> super::Prices {
        let by_food = |flat: &[f64]| flat.chunks(model.weeks).map(<[f64]>::to_vec).collect();
        let rows = |wanted: fn(RowKind) -> bool| {
            let rows = model.rows.iter().zip(&prices[self.rows.clone()]);
            rows.filter(|(row, _)| wanted(row.kind))
                .map(|(_, &price)| price)
                .collect()
        };
        super::Prices {
            food: by_food(&prices[self.food.clone()]),
            alone: by_food(&prices[self.alone.clone()]),
            stretches: prices[self.stretches.clone()].to_vec(),
            granted: prices[self.granted.clone()].to_vec(),
            pairs: prices[self.pairs.clone()].to_vec(),
            labour: rows(|kind| matches!(kind, RowKind::Labour(_))),
            shelf: rows(|kind| matches!(kind, RowKind::Shelf(_))),
            sowings: rows(|kind| matches!(kind, RowKind::Sowings(_))),
            wanted: rows(|kind| matches!(kind, RowKind::Wanted(_))),
            families: rows(|kind| matches!(kind, RowKind::Family(_))),
        }
    }
}

/// What everyone chooses at some prices.
#[derive(Clone, Debug)]
pub(super) struct Choice {
    pub bound: f64,
    /// Slope of the bound over each price.
    pub slope: Vec<f64>,
    /// Best path of each kind of bed.
    pub paths: Vec<Path>,
    /// What each table earns by buying.
    pub tables: Vec<f64>,
}

/// What each planting gives of everything that has a price: one run of (place in the list, amount) a planting.
#[derive(Clone)]
struct Gives {
    first: Vec<u32>,
    at: Vec<u32>,
    amount: Vec<f64>,
}

impl Gives {
    fn new(model: &Model, layout: &Layout) -> Self {
        let mut gives = Gives {
            first: vec![0],
            at: Vec::new(),
            amount: Vec::new(),
        };
        for planting in &model.plantings {
            for item in &planting.items {
                gives.push(layout.food.start + item.source, item.kg);
                gives.push(layout.alone.start + item.source, item.alone);
            }
            for &(stretch, alone) in &planting.stretches {
                gives.push(layout.stretches.start + stretch, alone);
            }
            for &(stretch, saved) in &planting.granted {
                gives.push(layout.granted.start + stretch, saved);
            }
            for &(row, weight) in &planting.rows {
                gives.push(layout.rows.start + row, -weight);
            }
            gives.first.push(gives.at.len() as u32);
        }
        gives
    }

    fn push(&mut self, at: usize, amount: f64) {
        self.at.push(at as u32);
        self.amount.push(amount);
    }

    fn of(&self, planting: usize) -> impl Iterator<Item = (usize, f64)> {
        let run = self.first[planting] as usize..self.first[planting + 1] as usize;
        let amounts = self.amount[run.clone()].iter();
        let places = self.at[run].iter();
        places
            .zip(amounts)
            .map(|(&at, &amount)| (at as usize, amount))
    }
}

/// Evaluates prices.
#[derive(Clone)]
pub(super) struct Pricer<'a> {
    pub model: &'a Model<'a>,
    pub layout: Layout,
    finder: PathFinder,
    gives: Gives,
    profit: Vec<f64>,
    held: Vec<f64>,
    offers: Vec<Offer>,
}

impl<'a> Pricer<'a> {
    pub fn new(model: &'a Model<'a>) -> Self {
        let layout = Layout::new(model);
        Pricer {
            model,
            finder: PathFinder::new(model),
            gives: Gives::new(model, &layout),
            profit: vec![0.0; model.plantings.len()],
            held: Vec::new(),
            offers: Vec::new(),
            layout,
        }
    }

    /// Prices to start from: what the household would pay for the first kilogram, less what plenty takes away.
    pub fn first(&self) -> Vec<f64> {
        let mut prices = self.layout.zero();
        for (price, steps) in prices[self.layout.food.clone()]
            .iter_mut()
            .zip(&self.model.steps)
        {
            *price = 0.5 * steps.first().map_or(0.0, |step| step.worth);
        }
        prices
    }

    /// What each planting earns at these prices.
    pub fn profits(&mut self, prices: &[f64]) -> &[f64] {
        for (number, planting) in self.model.plantings.iter().enumerate() {
            let given = self.gives.of(number);
            let earned: f64 = given.map(|(at, amount)| prices[at] * amount).sum();
            self.profit[number] = earned - planting.cost - planting.effort_share;
        }
        &self.profit
    }

    /// The bound at these prices, and the choices behind it.
    pub fn choose(&mut self, prices: &[f64]) -> Choice {
        let mut choice = self.bought(prices, &vec![true; self.model.tables.len()]);
        self.given(prices, &mut choice);
        self.profits(prices);
        self.grow(&mut choice);
        choice
    }

    /// What the tables that are used buy, with nothing planted.
    fn bought(&mut self, prices: &[f64], used: &[bool]) -> Choice {
        let mut choice = Choice {
            bound: self.model.bound_base(),
            slope: vec![0.0; prices.len()],
            paths: Vec::with_capacity(self.model.kinds.len()),
            tables: Vec::with_capacity(self.model.tables.len()),
        };
        self.hold(prices);
        self.demand(prices, used, &mut choice);
        choice
    }

    /// What is there whatever is chosen: the limits and what stands already.
    fn given(&self, prices: &[f64], choice: &mut Choice) {
        let (model, layout) = (self.model, &self.layout);
        let mut give = |at: usize, amount: f64| {
            choice.slope[at] += amount;
            choice.bound += prices[at] * amount;
        };
        for (row, at) in model.rows.iter().zip(layout.rows.clone()) {
            give(at, row.limit);
        }
        for &(stretch, alone) in &model.given_stretches {
            give(layout.stretches.start + stretch, alone);
        }
        for &(stretch, saved) in &model.given_granted {
            give(layout.granted.start + stretch, saved);
        }
        for item in &model.given {
            give(layout.food.start + item.source, item.kg);
            give(layout.alone.start + item.source, item.alone);
        }
    }

    /// Best path of every kind of bed.
    fn grow(&mut self, choice: &mut Choice) {
        for (number, kind) in self.model.kinds.iter().enumerate() {
            let beds = kind.beds.len() as f64;
            let path = self.finder.best(self.model, number, &self.profit);
            choice.bound += beds * path.value;
            for &planting in &path.plantings {
                for (at, amount) in self.gives.of(planting) {
                    choice.slope[at] += beds * amount;
                }
            }
            choice.paths.push(path);
        }
    }
}
