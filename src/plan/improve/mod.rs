//! Better plans: take beds out, give each its exact best answer to what the others leave, repeat.
//!
//! One bed's answer is the same longest path that the bound uses, at the worth of what is not eaten yet. Rounds
//! of answers end in a plan that no single bed can improve; two to four beds are then kicked out and refilled at
//! noisy worths, and a slightly worse plan is sometimes kept, less and less often (annealing).

mod ask;
mod best_response;
mod rest;
mod simple;
mod steady;

pub(super) use simple::Found;
pub(super) use steady::Floors;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::columns::Columns;
use super::eat::{FoodAllocation, Stock};
use super::instance::Effort;
use super::model::Model;
use super::path::PathFinder;
use super::{BedPlan, Plan};
use best_response::Openings;
use simple::Mark;

/// Slack on shared limits for sums in another order.
const LIMIT_SLACK: f64 = 1e-9;
/// Share of a bed's value that annealing may give up at first.
const FIRST_HEAT: f64 = 0.015;
/// Answers until annealing has cooled down and starts anew.
const COOLING_ANSWERS: f64 = 1500.0;

/// A plan in the making with everything that depends on it kept up to date.
pub(super) struct Search<'a> {
    model: &'a Model<'a>,
    allocation: FoodAllocation<'a>,
    /// Food in stock to go back to: of the best answer so far, of the bed empty, and from before a kick.
    kept: Stock,
    empty: Stock,
    before_kick: Stock,
    finder: PathFinder,
    rng: ChaCha8Rng,
    /// Kind of every bed.
    kind_of: Vec<usize>,
    beds: Vec<Vec<usize>>,
    used: Vec<f64>,
    sowing_beds: Vec<u32>,
    sowings_in_week: Vec<usize>,
    /// Beds that carry each planting, and plantings of each kind of crop.
    uses: Vec<usize>,
    kind_uses: Vec<usize>,
    /// What the household's time weighs.
    effort: Effort,
    /// Kinds of crop that may be planted, those that must have room, and how many there may be.
    allowed: Vec<bool>,
    reserved: Vec<bool>,
    kinds_most: usize,
    /// Kinds that have room for the bed at hand.
    room: Vec<bool>,
    /// Plantings that are left out of the question.
    banned: Vec<bool>,
    /// Per bed: plantings that stay whatever comes, for now and for good.
    locked: Vec<Vec<usize>>,
    fixed: Vec<Vec<usize>>,
    value: f64,
    best: Vec<Vec<usize>>,
    best_value: f64,
    gains: Vec<f64>,
    openings: Openings,
    /// Profits at the bound's prices, to look ahead of the beds that are still empty.
    guide: Vec<f64>,
    /// Years that the bound mixes.
    columns: Columns,
    answers: u64,
    /// Answers at which the round ends.
    until: u64,
    rounds: u64,
}

impl<'a> Search<'a> {
    /// An empty plan.
    pub fn new(model: &'a Model<'a>, seed: u64) -> Self {
        let mut allocation = FoodAllocation::new(model);
        for item in &model.given {
            allocation.add(item.source, item.kg);
        }
        let kind_of: Vec<usize> = model
            .kinds
            .iter()
            .enumerate()
            .flat_map(|(number, kind)| kind.beds.iter().map(move |_| number))
            .collect();
        let value = model.nothing + allocation.stock.worth;
        Search {
            kept: Stock::default(),
            empty: Stock::default(),
            before_kick: Stock::default(),
            allocation,
            finder: PathFinder::new(model),
            rng: ChaCha8Rng::seed_from_u64(seed),
            beds: vec![Vec::new(); kind_of.len()],
            best: vec![Vec::new(); kind_of.len()],
            used: vec![0.0; model.rows.len()],
            sowing_beds: vec![0; model.sowings],
            uses: vec![0; model.plantings.len()],
            kind_uses: vec![0; model.crops.len()],
            effort: model.instance.effort,
            allowed: vec![true; model.crops.len()],
            reserved: reserved(model),
            kinds_most: usize::MAX,
            room: Vec::new(),
            banned: vec![false; model.plantings.len()],
            locked: vec![Vec::new(); kind_of.len()],
            fixed: vec![Vec::new(); kind_of.len()],
            kind_of,
            sowings_in_week: vec![0; model.weeks],
            value,
            best_value: value,
            gains: vec![0.0; model.plantings.len()],
            openings: Openings::new(model),
            guide: Vec::new(),
            columns: Columns::default(),
            answers: 0,
            until: 0,
            rounds: 0,
            model,
        }
    }

    /// Another search of the same problem with the same knowledge and draws of its own, and nothing in its beds but what is
    /// settled beforehand.
    pub fn another(&self, seed: u64) -> Self {
        let mut other = Self::new(self.model, seed);
        other.fix(&self.fixed);
        other.guide.clone_from(&self.guide);
        other.columns.clone_from(&self.columns);
        other
    }

    /// A search of the same beds and candidates in another measure, with what is settled beforehand.
    pub fn beside<'b>(&self, model: &'b Model<'b>, seed: u64) -> Search<'b> {
        let mut other = Search::new(model, seed);
        other.fix(&self.fixed);
        other
    }

    /// A plan as plantings of every bed, kinds in order.
    pub fn beds_of(&self, plan: &Plan) -> Vec<Vec<usize>> {
        let kinds = self.model.kinds.iter();
        let all = kinds.flat_map(|kind| kind.beds.iter().map(move |&bed| (kind.class, bed)));
        all.map(|(class, bed)| {
            let is = |one: &&BedPlan| one.class == class && one.bed == bed;
            let one = plan.beds.iter().find(is);
            one.map_or_else(Vec::new, |one| one.plantings.clone())
        })
        .collect()
    }

    /// Takes over a plan in place of the empty one.
    pub fn begin_with(&mut self, beds: &[Vec<usize>]) {
        self.set(beds);
        self.note_best();
    }

    /// Plantings that are settled beforehand stay in their beds, and their kinds in the plan.
    pub fn fix(&mut self, beds: &[Vec<usize>]) {
        self.fixed.clone_from_slice(beds);
        self.set(beds);
        // What cannot stand there is not held.
        self.fixed.clone_from(&self.beds);
        for &planting in self.fixed.iter().flatten() {
            self.reserved[self.model.plantings[planting].crop] = true;
        }
        self.let_go();
        if !self.is_free() {
            self.take_for_best();
        }
    }

    /// Does all that is settled beforehand stand in the plan in hand?
    fn holds_fixed(&self) -> bool {
        let beds = self.fixed.iter().zip(&self.beds);
        beds.into_iter()
            .all(|(fixed, bed)| fixed.iter().all(|one| bed.contains(one)))
    }

    /// Nothing stays any more but what is settled beforehand.
    fn let_go(&mut self) {
        self.locked.clone_from(&self.fixed);
        self.banned.fill(false);
    }

    /// The problem.
    pub fn model(&self) -> &'a Model<'a> {
        self.model
    }

    /// Value of the best plan so far.
    pub fn best_value(&self) -> f64 {
        self.best_value
    }

    /// Takes profits at the bound's newest prices, and the years that it mixes.
    pub fn learn(&mut self, profits: &[f64], columns: &Columns) {
        self.guide.clear();
        self.guide.extend_from_slice(profits);
        self.columns.clone_from(columns);
    }

    /// Makes a plan of the years that the bound mixes, and settles it; the better plan stays in hand.
    fn draw_plan(&mut self) {
        let before = (self.beds.clone(), self.value);
        for bed in 0..self.beds.len() {
            self.clear(bed);
        }
        let shift = self.rng.random_range(0.0..1.0);
        let columns = std::mem::take(&mut self.columns);
        let mut bed = 0;
        for (kind, beds) in self.model.kinds.iter().enumerate() {
            for plantings in columns.spread(kind, beds.beds.len(), shift) {
                self.put(bed, plantings);
                bed += 1;
            }
        }
        self.columns = columns;
        let all: Vec<usize> = (0..self.beds.len()).collect();
        self.settle(&all);
        self.note_best();
        if self.value < before.1 || !self.holds_fixed() {
            all.iter().for_each(|&bed| drop(self.clear(bed)));
            for (bed, plantings) in before.0.iter().enumerate() {
                self.put(bed, plantings);
            }
        }
    }

    /// Puts plantings in an empty bed, leaving out what shared limits forbid.
    fn put(&mut self, bed: usize, plantings: &[usize]) {
        for &planting in plantings {
            if self.fits(bed, planting) {
                self.place(planting);
                self.beds[bed].push(planting);
            }
        }
        if self.beds[bed].len() < plantings.len() {
            self.mend_rotation(bed);
        }
    }

    /// Searches for a counted number of bed answers.
    pub fn run(&mut self, answers: u64) {
        if self.beds.is_empty() {
            return;
        }
        self.until = self.answers + answers;
        if self.beds.iter().all(Vec::is_empty) {
            self.fill_all();
        } else if self.rounds % 2 == 1 && !self.columns.is_empty() && self.is_free() {
            self.draw_plan();
        }
        self.rounds += 1;
        while self.answers < self.until {
            self.kick();
        }
    }

    /// First plan: fill every bed with an eye on the prices, then settle.
    fn fill_all(&mut self) {
        for bed in 0..self.beds.len() {
            self.best_response(bed, 0.5, 0.0);
        }
        let all: Vec<usize> = (0..self.beds.len()).collect();
        self.settle(&all);
        self.note_best();
    }

    /// Takes some beds out, refills them at noisy worths, settles; keeps the result or goes back.
    fn kick(&mut self) {
        let count = self.beds.len();
        let most = count.min(4);
        let mut banned = None;
        let weighed = self.effort != Effort::default();
        let chosen = match if weighed {
            self.rng.random_range(0..6)
        } else {
            5
        } {
            0 | 1 => self.beds_of_a_planting(most),
            2 if self.kinds_most < usize::MAX => {
                banned = self.kind_to_ban();
                match banned {
                    Some(kind) => self.beds_of_kind(kind),
                    None => self.random_beds(most),
                }
            }
            _ => self.random_beds(most),
        };
        if let Some(kind) = banned {
            self.allowed[kind] = false;
        }
        let out = chosen.len();
        let before: Vec<Vec<usize>> = chosen.iter().map(|&bed| self.beds[bed].clone()).collect();
        let value_before = self.value;
        self.before_kick.copy(&self.allocation.stock);
        for &bed in &chosen {
            self.clear(bed);
        }
        let noise = [0.05, 0.15, 0.4][self.rng.random_range(0..3)];
        let ahead = [0.0, 0.3, 0.6][self.rng.random_range(0..3)];
        let drawn = !self.columns.is_empty() && self.rng.random_range(0..2) == 0 && self.is_free();
        for (at, &bed) in chosen.iter().enumerate() {
            let last = at + 1 == out;
            if drawn && !last {
                let draw = self.rng.random_range(0.0..1.0);
                let plantings = self.columns.draw(self.kind_of[bed], draw).to_vec();
                self.put(bed, &plantings);
                continue;
            }
            self.best_response(bed, if last { 0.0 } else { ahead }, noise);
        }
        self.settle(&chosen);
        if let Some(kind) = banned {
            self.allowed[kind] = true;
        }
        let cooled = (self.answers as f64 / COOLING_ANSWERS).fract();
        let heat = FIRST_HEAT * (1.0 - cooled).powi(2) * self.best_value.abs() / count as f64;
        let draw: f64 = self.rng.random_range(0.0..1.0);
        if self.value < value_before + heat * draw.max(1e-300).ln() {
            for (&bed, plantings) in chosen.iter().zip(before) {
                let mine = std::mem::take(&mut self.beds[bed]);
                mine.into_iter().for_each(|planting| self.uncount(planting));
                plantings.iter().for_each(|&planting| self.count(planting));
                self.beds[bed] = plantings;
            }
            self.allocation.stock.copy(&self.before_kick);
            self.value = value_before;
        } else if self.value > self.best_value + LIMIT_SLACK {
            // Only a plan worth having is settled over all beds.
            let all: Vec<usize> = (0..count).collect();
            self.settle(&all);
        }
        self.note_best();
    }

    fn random_beds(&mut self, most: usize) -> Vec<usize> {
        let count = self.beds.len();
        let out = self.rng.random_range(2.min(most)..=most);
        let mut chosen: Vec<usize> = (0..count).collect();
        for at in 0..out {
            let other = self.rng.random_range(at..count);
            chosen.swap(at, other);
        }
        chosen.truncate(out);
        chosen
    }

    /// Beds that carry one of the plan's plantings, and one more.
    fn beds_of_a_planting(&mut self, most: usize) -> Vec<usize> {
        let mut chosen = self.random_beds(1);
        let first = &self.beds[chosen[0]];
        if first.is_empty() {
            return self.random_beds(most);
        }
        let planting = first[self.rng.random_range(0..first.len())];
        let carries = |&bed: &usize| bed != chosen[0] && self.beds[bed].contains(&planting);
        let others: Vec<usize> = (0..self.beds.len()).filter(carries).collect();
        chosen.extend(others.into_iter().take(most.saturating_sub(2)));
        let more = self.rng.random_range(0..self.beds.len());
        if !chosen.contains(&more) {
            chosen.push(more);
        }
        chosen
    }

    /// A kind of the plan that need not be there, so that another can take its place.
    fn kind_to_ban(&mut self) -> Option<usize> {
        let kinds: Vec<usize> = (0..self.kind_uses.len())
            .filter(|&kind| self.kind_uses[kind] > 0 && !self.reserved[kind])
            .collect();
        if kinds.is_empty() || !self.is_free() {
            return None;
        }
        Some(kinds[self.rng.random_range(0..kinds.len())])
    }

    fn beds_of_kind(&self, kind: usize) -> Vec<usize> {
        let of_kind = |&planting: &usize| self.model.plantings[planting].crop == kind;
        let beds = 0..self.beds.len();
        beds.filter(|&bed| self.beds[bed].iter().any(of_kind))
            .collect()
    }

    /// Whether nothing has to stay.
    fn is_free(&self) -> bool {
        self.locked.iter().all(Vec::is_empty)
    }

    /// Lets each of these beds answer until none gains any more, or the round ends.
    fn settle(&mut self, beds: &[usize]) {
        let mut quiet = 0;
        let mut at = 0;
        while quiet < beds.len() && at < beds.len() * 12 && self.answers < self.until {
            let bed = beds[at % beds.len()];
            let before = self.value;
            self.best_response(bed, 0.0, 0.0);
            quiet = if self.value > before + LIMIT_SLACK {
                0
            } else {
                quiet + 1
            };
            at += 1;
        }
    }

    /// The whole plan in place of the one in hand.
    fn set(&mut self, beds: &[Vec<usize>]) {
        for bed in 0..self.beds.len() {
            self.clear(bed);
        }
        for (bed, plantings) in beds.iter().enumerate() {
            self.put(bed, plantings);
        }
    }

    fn note_best(&mut self) {
        if self.value > self.best_value + LIMIT_SLACK && self.holds_fixed() {
            self.best_value = self.value;
            self.best.clone_from(&self.beds);
        }
    }
}

/// Kinds that must have room in the plan, because they are wanted.
fn reserved(model: &Model) -> Vec<bool> {
    let wanted = &model.instance.wanted;
    let is = |crop: &&str| wanted.iter().any(|one| one.crop == **crop);
    model.crops.iter().map(is).collect()
}

/// Exact value of a plan, built up afresh.
pub(super) fn value_of(model: &Model, beds: &[Vec<usize>]) -> f64 {
    let mut search = Search::new(model, 0);
    for &planting in beds.iter().flatten() {
        search.place(planting);
    }
    search.value
}
