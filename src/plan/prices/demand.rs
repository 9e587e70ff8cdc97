//! What the household buys at given prices.

use super::{Choice, Pricer};

/// A step of the household's appetite, with the week of picking that leaves most of its worth.
#[derive(Clone)]
pub(super) struct Offer {
    reward: f64,
    kg: f64,
    source: usize,
    worth: f64,
}

impl Pricer<'_> {
    /// Share of each source's revenue that is held, over all stretches it lies in.
    pub(super) fn hold(&mut self, prices: &[f64]) {
        let layout = &self.layout;
        self.held.clear();
        self.held.extend_from_slice(&prices[layout.alone.clone()]);
        for (source, held) in self.held.iter_mut().enumerate() {
            *held += prices[layout.pairs.start + source / self.model.weeks];
            for stretch in self.model.stretches_at(source) {
                *held += prices[layout.stretches.start + stretch];
            }
            *held = held.min(1.0);
        }
    }

    /// What is bought, table by table and week by week, and its slopes.
    pub(super) fn demand(&mut self, prices: &[f64], used: &[bool], choice: &mut Choice) {
        let model = self.model;
        for (table, used) in model.tables.iter().zip(used) {
            if !used {
                choice.tables.push(0.0);
                continue;
            }
            let before = choice.bound;
            for week in 0..model.weeks {
                self.offers.clear();
                for &food in &table.foods {
                    self.offer(prices, food, week);
                }
                if table.foods.len() > 1 {
                    self.offers.sort_by(|a, b| b.reward.total_cmp(&a.reward));
                }
                let wish_stretches = table
                    .group
                    .map(|group| model.wish_stretches_at(group, week))
                    .into_iter()
                    .flatten()
                    .map(|stretch| self.layout.granted.start + stretch);
                let held: f64 = wish_stretches.clone().map(|at| prices[at]).sum();
                let paid = self.fill(choice, &table.total[week], (1.0 - held).max(0.0));
                for at in wish_stretches {
                    choice.slope[at] -= paid;
                }
            }
            choice.tables.push(choice.bound - before);
        }
        // What demand pays counts for the stretches of weeks that it is picked in, too.
        for source in 0..model.steps.len() {
            let paid = choice.slope[self.layout.alone.start + source];
            choice.slope[self.layout.pairs.start + source / model.weeks] += paid;
            for stretch in model.stretches_at(source).filter(|_| paid != 0.0) {
                choice.slope[self.layout.stretches.start + stretch] += paid;
            }
        }
    }

    /// Fills what a table may eat in a week with the offers at hand, best first; `free` is the share of what wishes
    /// add that is not held. Returns what wishes pay.
    fn fill(&self, choice: &mut Choice, total: &[crate::plan::model::Segment], free: f64) -> f64 {
        let layout = &self.layout;
        let mut paid = 0.0;
        let mut total = total.iter();
        let (mut extra, mut room) = total
            .next()
            .map_or((0.0, 0.0), |segment| (segment.worth, segment.kg));
        for offer in &self.offers {
            let mut left = offer.kg;
            while left > 0.0 {
                if room <= 0.0 {
                    let Some(segment) = total.next() else { break };
                    (extra, room) = (segment.worth, segment.kg);
                    continue;
                }
                let gain = offer.reward + free * extra;
                if gain <= 0.0 {
                    break;
                }
                let kg = left.min(room);
                choice.bound += kg * gain;
                paid += kg * extra;
                choice.slope[layout.food.start + offer.source] -= kg;
                choice.slope[layout.alone.start + offer.source] -= kg * offer.worth;
                left -= kg;
                room -= kg;
            }
        }
        paid
    }

    /// One food's steps in one week, each from the week of picking that leaves most.
    fn offer(&mut self, prices: &[f64], food: usize, week: usize) {
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
                let price = prices[self.layout.food.start + source];
                let reward = (1.0 - self.held[source]) * step.worth - price;
                if reward > best.0 {
                    best = (reward, source);
                }
            }
            self.offers.push(Offer {
                reward: best.0,
                kg: step.kg,
                source: best.1,
                worth: step.worth,
            });
        }
    }
}
