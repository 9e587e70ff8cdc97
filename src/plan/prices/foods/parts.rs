//! The plans cut in parts by how many beds a food fills, each with prices of its own: where a food is grown for sure or surely not,
//! its price need not keep it at the edge between both, and the bound of each part is lower. The part of the highest bound is cut
//! on; the bound of all is the highest that is left.

use std::sync::atomic::{AtomicBool, Ordering};

use rayon::prelude::*;

use super::Foods;
use crate::plan::Proof;

/// Steps of a descent in a part on trial, and in one that is taken (tried on invented households of 3 to 8 beds).
const TRIAL_STEPS: u64 = 40;
const PART_STEPS: u64 = 200;
/// A food fills a whole number of beds where the average of the choices is no farther from it.
const WHOLE: f64 = 0.05;
/// A part on trial that lowers nothing counts as if it took off this share of the way to the plan in hand, so that the other part
/// decides.
const NOTHING_GAINED: f64 = 1e-4;

/// How far a bound is lowered.
pub(in super::super::super) struct Lowering<'a> {
    /// Steps over all plans at most, and over parts of them.
    pub steps: u64,
    pub steps_in_parts: u64,
    /// Value of the plan in hand.
    pub target: f64,
    /// Raised from outside to end with what is proven so far.
    pub stop: Option<&'a AtomicBool>,
}

impl Lowering<'_> {
    fn is_done(&self, bound: f64) -> bool {
        bound <= self.target || self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }
}

/// Plans in which each food fills beds within its limits.
#[derive(Clone)]
struct Part {
    /// Fewest and most beds by food.
    beds: Vec<(usize, usize)>,
    bound: f64,
    prices: Vec<f64>,
    /// Beds that each food fills in the average of the choices.
    filled: Vec<f64>,
}

/// Parts and how they were cut.
enum Node {
    Part(Part),
    Cut {
        food: usize,
        beds: usize,
        fewer: usize,
        more: usize,
    },
}

impl Foods<'_> {
    /// The lowest bound found from prices found bed by bed, and its proof.
    pub fn lower(&mut self, prices: &[f64], how: &Lowering) -> (f64, Proof) {
        let start = self.with_rents(prices);
        let any = vec![(0, usize::MAX); self.chains.len()];
        let whole = self.part(start, any, how.steps, how);
        let mut nodes = vec![Node::Part(whole)];
        let mut left = how.steps_in_parts;
        while let Some((at, top)) = highest(&nodes) {
            let cuts = top.cuts();
            let costs = 2 * (TRIAL_STEPS * cuts.len() as u64 + PART_STEPS);
            if how.is_done(top.bound) || cuts.is_empty() || costs > left {
                break;
            }
            left -= costs;
            let top = top.clone();
            let Some((food, beds, parts)) = self.best_cut(&top, &cuts, how) else {
                break;
            };
            let parts: Vec<Part> = parts
                .into_par_iter()
                .map(|part| {
                    let mut own = self.clone();
                    let mut part = own.part(part.prices, part.beds, PART_STEPS, how);
                    part.bound = part.bound.min(top.bound);
                    part
                })
                .collect();
            let fewer = nodes.len();
            nodes.extend(parts.into_iter().map(Node::Part));
            nodes[at] = Node::Cut {
                food,
                beds,
                fewer,
                more: fewer + 1,
            };
        }
        self.proof(&nodes, 0)
    }

    /// A descent from given prices with what each food may fill.
    fn part(
        &mut self,
        prices: Vec<f64>,
        beds: Vec<(usize, usize)>,
        steps: u64,
        how: &Lowering,
    ) -> Part {
        self.hold_to(&beds);
        let mut filled = self.at(&prices).1;
        let mut descent = self.descent(prices);
        for _ in 0..steps {
            if how.is_done(descent.bound) {
                break;
            }
            let mut now = Vec::new();
            let weight = descent.step(how.target, |prices| {
                let (slope, chosen) = self.at(prices);
                now = chosen;
                slope
            });
            for (mean, now) in filled.iter_mut().zip(now) {
                *mean += weight * (now - *mean);
            }
        }
        let (bound, prices) = (descent.bound, descent.best);
        Part {
            beds,
            bound,
            prices,
            filled,
        }
    }

    fn hold_to(&mut self, beds: &[(usize, usize)]) {
        for (chain, beds) in self.chains.iter_mut().zip(beds) {
            chain.beds = *beds;
        }
    }

    /// The cut whose two parts together gain most on trial.
    fn best_cut(
        &self,
        top: &Part,
        cuts: &[(usize, usize)],
        how: &Lowering,
    ) -> Option<(usize, usize, [Part; 2])> {
        let way = top.bound - how.target;
        let gain = |part: &Part| (top.bound - part.bound.max(how.target)).max(NOTHING_GAINED * way);
        let tried: Vec<(f64, usize, usize, [Part; 2])> = cuts
            .par_iter()
            .map(|&(food, most)| {
                let mut own = self.clone();
                let parts = [(top.beds[food].0, most), (most + 1, top.beds[food].1)].map(|held| {
                    let mut beds = top.beds.clone();
                    beds[food] = held;
                    own.part(top.prices.clone(), beds, TRIAL_STEPS, how)
                });
                (gain(&parts[0]) * gain(&parts[1]), food, most, parts)
            })
            .collect();
        // Of equals the first, as `max_by` would take the last.
        let best = tried.into_iter().rev().max_by(|a, b| a.0.total_cmp(&b.0));
        best.map(|(_, food, beds, parts)| (food, beds, parts))
    }

    /// The bound of a node at its best prices, and why.
    fn proof(&mut self, nodes: &[Node], at: usize) -> (f64, Proof) {
        match &nodes[at] {
            Node::Part(part) => {
                self.hold_to(&part.beds);
                let bound = self.at(&part.prices).0.bound;
                let (model, layout) = (self.pricer.model, &self.pricer.layout);
                let rents = part.prices[layout.rents.clone()].chunks(model.weeks);
                let proof = Proof::Foods {
                    prices: layout.publish(model, &part.prices),
                    rents: rents.map(<[f64]>::to_vec).collect(),
                    cuts: self.chains.iter().map(|chain| chain.cut).collect(),
                };
                (bound, proof)
            }
            Node::Cut {
                food,
                beds,
                fewer,
                more,
            } => {
                let (few, fewer) = self.proof(nodes, *fewer);
                let (many, more) = self.proof(nodes, *more);
                let (fewer, more) = (Box::new(fewer), Box::new(more));
                let proof = Proof::Split {
                    food: *food,
                    beds: *beds,
                    fewer,
                    more,
                };
                (few.max(many), proof)
            }
        }
    }
}

/// The part of the highest bound.
fn highest(nodes: &[Node]) -> Option<(usize, &Part)> {
    let parts = nodes
        .iter()
        .enumerate()
        .filter_map(|(at, node)| match node {
            Node::Part(part) => Some((at, part)),
            Node::Cut { .. } => None,
        });
    parts.max_by(|a, b| a.1.bound.total_cmp(&b.1.bound))
}

impl Part {
    /// Foods that are grown in the average of the choices, and beds at which the plans may be cut.
    fn cuts(&self) -> Vec<(usize, usize)> {
        let mut cuts = Vec::new();
        for (food, (&filled, &(least, most))) in self.filled.iter().zip(&self.beds).enumerate() {
            let whole = filled.round();
            let about = if (filled - whole).abs() >= WHOLE {
                [Some(filled.floor() as usize), None]
            } else if whole > 0.0 {
                [Some(whole as usize - 1), Some(whole as usize)]
            } else {
                [None, None]
            };
            let can = |beds: &usize| *beds >= least && *beds < most;
            cuts.extend(
                about
                    .into_iter()
                    .flatten()
                    .filter(can)
                    .map(|beds| (food, beds)),
            );
        }
        cuts
    }
}
