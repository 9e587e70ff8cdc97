//! The bound's search tree: where prices alone leave a gap, plans are split by how many of a set of plantings
//! they hold, and each side gets prices of its own.

use super::Proof;
use super::columns::Columns;
use super::model::Model;
use super::path::Path;
use super::prices::{Pricer, Split};
use super::subgradient::Subgradient;

/// Steps of descent before the whole problem is split, which must have come to rest.
const ROOT_STEPS: usize = 1500;
/// Steps of descent in each part before it is split again.
const NODE_STEPS: usize = 120;
/// Parts kept at most; beyond it only prices are improved.
const NODES_MAX: usize = 800;
/// Relative slack with which a part counts as settled.
const SETTLED: f64 = 1e-10;

struct Node {
    splits: Vec<Split>,
    descent: Subgradient,
    /// Running mean of how many beds carry each planting.
    count: Vec<f64>,
    steps: usize,
    children: Option<(usize, usize)>,
    /// Cannot be split: nothing in it is undecided.
    whole: bool,
}

/// All parts of the problem and what is proven of each.
pub(super) struct BranchAndBound<'a> {
    model: &'a Model<'a>,
    pricer: Pricer<'a>,
    nodes: Vec<Node>,
    /// Years that the whole problem's bound mixes.
    columns: Columns,
    pub steps: u64,
}

impl<'a> BranchAndBound<'a> {
    /// The whole problem, unsplit.
    pub fn new(model: &'a Model<'a>) -> Self {
        let mut pricer = Pricer::new(model);
        let first = pricer.first();
        let descent = pricer.descent(first, &[]);
        let count = vec![0.0; model.plantings.len()];
        let root = Node {
            splits: Vec::new(),
            descent,
            count,
            steps: 0,
            children: None,
            whole: false,
        };
        BranchAndBound {
            model,
            pricer,
            nodes: vec![root],
            columns: Columns::new(model.kinds.len()),
            steps: 0,
        }
    }

    /// No plan is worth more than this, or than the plan in hand.
    pub fn bound(&self) -> f64 {
        self.leaves()
            .map(|node| node.descent.bound)
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Profit of each planting at the prices of the part that is open widest.
    pub fn guide(&mut self) -> Vec<f64> {
        let Some(at) = self.widest(f64::NEG_INFINITY) else {
            return Vec::new();
        };
        let node = &self.nodes[at];
        self.pricer
            .profits(&node.descent.best, &node.splits)
            .to_vec()
    }

    /// Years that the whole problem's bound mixes.
    pub fn columns(&self) -> &Columns {
        &self.columns
    }

    /// Prices of the whole problem, in the order of the list.
    pub fn root(&self) -> &[f64] {
        &self.nodes[0].descent.best
    }

    fn publish(&self, node: &Node) -> super::Prices {
        self.pricer.layout.publish(self.model, &node.descent.best)
    }

    /// Prices of the whole problem.
    pub fn root_prices(&self) -> super::Prices {
        self.publish(&self.nodes[0])
    }

    /// Lowers the bound for a counted number of steps, given the value of a plan in hand. False when every part
    /// is settled.
    pub fn run(&mut self, steps: u64, value: f64) -> bool {
        let until = self.steps + steps;
        while self.steps < until {
            let Some(at) = self.widest(value + SETTLED * value.abs()) else {
                return false;
            };
            let limit = if at == 0 { ROOT_STEPS } else { NODE_STEPS };
            let node = &self.nodes[at];
            let at_rest = at > 0 || node.descent.is_at_rest();
            if node.steps >= limit && at_rest && !node.whole && self.nodes.len() + 2 <= NODES_MAX {
                self.split(at, value);
                continue;
            }
            self.steps += 1;
            let node = &mut self.nodes[at];
            node.steps += 1;
            let (paths, weight) = self.pricer.step(&mut node.descent, &node.splits, value);
            tally(self.model, &mut node.count, &paths, weight);
            if at == 0 {
                self.columns.add(paths, weight);
            }
        }
        true
    }

    /// The proof of the bound.
    pub fn proof(&self) -> Proof {
        self.proof_of(0)
    }

    fn proof_of(&self, at: usize) -> Proof {
        let node = &self.nodes[at];
        let Some((fewer, more)) = node.children else {
            return Proof::Leaf(self.publish(node));
        };
        let split = &self.nodes[fewer].splits[node.splits.len()];
        Proof::Split {
            plantings: split.plantings.clone(),
            at_most: split.limit.max(0.0) as usize,
            fewer: Box::new(self.proof_of(fewer)),
            more: Box::new(self.proof_of(more)),
        }
    }

    fn leaves(&self) -> impl Iterator<Item = &Node> {
        self.nodes.iter().filter(|node| node.children.is_none())
    }

    /// The open part with the highest bound above `value`.
    fn widest(&self, value: f64) -> Option<usize> {
        let mut best: Option<(usize, f64)> = None;
        for (at, node) in self.nodes.iter().enumerate() {
            let bound = node.descent.bound;
            if node.children.is_none() && bound > value && best.is_none_or(|best| bound > best.1) {
                best = Some((at, bound));
            }
        }
        best.map(|best| best.0)
    }

    fn split(&mut self, at: usize, value: f64) {
        let Some((plantings, count)) = undecided(self.model, &self.nodes[at].count) else {
            self.nodes[at].whole = true;
            return;
        };
        let at_most = count.floor();
        let mut sides = Vec::new();
        for (sign, limit) in [(1.0, at_most), (-1.0, at_most + 1.0)] {
            let node = &self.nodes[at];
            let mut splits = node.splits.clone();
            splits.push(Split {
                plantings: plantings.clone(),
                sign,
                limit,
            });
            let descent = self.pricer.child(&node.descent, &splits);
            let count = node.count.clone();
            self.nodes.push(Node {
                splits,
                descent,
                count,
                steps: 0,
                children: None,
                whole: false,
            });
            let new = self.nodes.len() - 1;
            sides.push(new);
            // A first look at both sides, so that the choice of the next part to work on is a fair one.
            for _ in 0..NODE_STEPS / 4 {
                let node = &mut self.nodes[new];
                if node.descent.bound <= value {
                    break;
                }
                self.steps += 1;
                node.steps += 1;
                let (paths, weight) = self.pricer.step(&mut node.descent, &node.splits, value);
                tally(self.model, &mut node.count, &paths, weight);
            }
        }
        self.nodes[at].children = Some((sides[0], sides[1]));
    }
}

fn tally(model: &Model, count: &mut [f64], paths: &[Path], weight: f64) {
    for one in count.iter_mut() {
        *one *= 1.0 - weight;
    }
    for (kind, path) in model.kinds.iter().zip(paths) {
        for &planting in &path.plantings {
            count[planting] += weight * kind.beds.len() as f64;
        }
    }
}

/// The set of plantings whose number is least decided: all of a crop, or of a crop in a window of weeks, the
/// window halved until it tells.
fn undecided(model: &Model, count: &[f64]) -> Option<(Vec<usize>, f64)> {
    let mut by_crop: std::collections::BTreeMap<&str, Vec<usize>> =
        std::collections::BTreeMap::new();
    for (number, candidate) in model.instance.candidates.iter().enumerate() {
        by_crop.entry(&candidate.crop).or_default().push(number);
    }
    let mut best: Option<(f64, Vec<usize>, f64)> = None;
    for mut plantings in by_crop.into_values() {
        plantings.sort_by_key(|&p| (model.plantings[p].start, p));
        let mut windows = vec![(plantings, 0)];
        while let Some((window, depth)) = windows.pop() {
            let sum: f64 = window.iter().map(|&p| count[p]).sum();
            let open = (sum - sum.round()).abs();
            // Wide windows decide more: a narrow one must be clearly less decided to be taken.
            let score = open * 0.85f64.powi(depth);
            if open > 0.02 && best.as_ref().is_none_or(|best| score > best.0) {
                best = Some((score, window.clone(), sum));
            }
            if window.len() > 1 && sum > 0.02 {
                let right = window[window.len() / 2..].to_vec();
                let left = window[..window.len() / 2].to_vec();
                windows.push((right, depth + 1));
                windows.push((left, depth + 1));
            }
        }
    }
    best.map(|(_, window, sum)| (window, sum))
}
