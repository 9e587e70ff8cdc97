//! The bound food by food: beds let at rents, each food's plantings in a row, counted again from the instance.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::bound::{profit, shape, shared_worth};
use super::demand;
use crate::plan::{Candidate, Closing, Instance, Prices};

/// The bound that prices, rents and the week of each food's cut prove for plans in which each food fills beds within limits.
pub(super) fn foods_bound(
    instance: &Instance,
    prices: &Prices,
    rents: &[Vec<f64>],
    cuts: &[usize],
    beds: &[(usize, usize)],
) -> Result<f64, &'static str> {
    shape(instance, prices)?;
    let fits = rents.len() == instance.beds.len()
        && rents
            .iter()
            .all(|of_class| of_class.len() == instance.weeks)
        && rents.iter().flatten().all(|rent| *rent >= 0.0)
        && cuts.len() == instance.foods.len();
    if !fits {
        return Err("the rents do not fit the instance");
    }
    let mut bound = shared_worth(instance, prices);
    for (class, kind) in instance.beds.iter().enumerate() {
        for week in 0..instance.weeks {
            let taken = instance.standing.iter();
            let taken = taken
                .filter(|one| one.bed_class == class && one.free_week > week)
                .count();
            bound += (kind.count - taken) as f64 * rents[class][week];
        }
    }
    let own = |food: usize| -> Result<(f64, f64), &'static str> {
        let own = Own::new(instance, food, beds[food]);
        let given = prices.pairs[food] * own.given_worth;
        Ok((given, own.best_row(prices, rents, cuts[food])?))
    };
    let rows: Result<Vec<_>, _> = (0..instance.foods.len()).into_par_iter().map(own).collect();
    let mut grown = Vec::new();
    for (given, row) in rows? {
        bound += given;
        grown.push(row - instance.effort.kind);
    }
    let (groups, foods) = demand::worth_at(instance, prices);
    let open = instance.given().next().is_some();
    if open {
        bound += groups.iter().chain(&foods).sum::<f64>();
    }
    // The first food of a table that is grown is worth what the table buys, too; foods that must be grown come first.
    let mut gains = Vec::new();
    let mut must_be = 0;
    let mut table = |members: Vec<usize>, bought: f64| {
        let (must, may): (Vec<usize>, Vec<usize>) =
            members.into_iter().partition(|&food| beds[food].0 > 0);
        let gain_of_table = if open { 0.0 } else { bought };
        let mut own: Vec<f64> = may.iter().map(|&food| grown[food]).collect();
        own.sort_by(|a, b| b.total_cmp(a));
        if !must.is_empty() {
            bound += gain_of_table + must.iter().map(|&food| grown[food]).sum::<f64>();
            must_be += must.len();
        } else if let Some(first) = own.first_mut() {
            *first += gain_of_table;
        }
        gains.extend(own);
    };
    for food in 0..instance.foods.len() {
        if instance.foods[food].group.is_none() {
            table(vec![food], foods[food]);
        }
    }
    for (group, bought) in groups.iter().enumerate() {
        let members = (0..instance.foods.len()).filter(|&f| instance.foods[f].group == Some(group));
        table(members.collect(), *bought);
    }
    gains.retain(|gain| *gain > 0.0);
    gains.sort_by(|a, b| b.total_cmp(a));
    let most = instance.limits.kinds.unwrap_or(usize::MAX);
    let most = most.saturating_sub(must_be);
    Ok(bound + gains.into_iter().take(most).sum::<f64>())
}

/// A food by itself: its plantings, its steps of worth.
struct Own<'a> {
    instance: &'a Instance,
    plantings: Vec<(usize, &'a Candidate)>,
    given: Vec<f64>,
    given_worth: f64,
    /// Week, kilograms, worth of each: the dearest first.
    parts: Vec<(usize, f64, f64)>,
    keeps: usize,
    food: usize,
    /// Fewest and most beds that its plantings fill.
    beds: (usize, usize),
}

/// So many beds of a planting, with what they earn but for the share of the food's own worth.
struct Beds {
    planting: usize,
    beds: usize,
    profit: f64,
    alone: f64,
    alone_one: f64,
}

impl<'a> Own<'a> {
    fn new(instance: &'a Instance, food: usize, beds: (usize, usize)) -> Self {
        let mut parts = Vec::new();
        for week in 0..instance.weeks {
            let group = instance.foods[food].group;
            let mut room = group.map_or(f64::INFINITY, |group| {
                instance.group_appetite_kg(group, week)
            });
            for (kg, worth) in demand::steps(instance, food, week) {
                parts.push((week, kg.min(room), worth));
                room = (room - kg).max(0.0);
            }
        }
        parts.retain(|part| part.1 > 0.0 && part.2 > 0.0);
        parts.sort_by(|a, b| b.2.total_cmp(&a.2));
        let of_food = |candidate: &Candidate| {
            let mut picked = candidate.harvest.iter().filter(|pick| pick.kg > 0.0);
            picked.any(|pick| pick.food == food)
        };
        let mut given = vec![0.0; instance.weeks];
        for pick in instance.given().filter(|pick| pick.food == food) {
            given[pick.week] += pick.kg;
        }
        let all = instance.candidates.iter().enumerate();
        let mut own = Own {
            instance,
            plantings: all.filter(|(_, one)| of_food(one)).collect(),
            given,
            given_worth: 0.0,
            parts,
            keeps: instance.foods[food].keeps_weeks.min(instance.weeks - 1),
            food,
            beds,
        };
        own.given_worth = own.worth(&[]);
        own
    }

    /// Worth of the best eating of what is given and of so many beds of some plantings.
    fn worth(&self, beds: &[(usize, usize)]) -> f64 {
        let mut picked = self.given.clone();
        for &(planting, beds) in beds {
            for pick in &self.instance.candidates[planting].harvest {
                picked[pick.week] += pick.kg * beds as f64;
            }
        }
        // Round and round a settled year: no run of weeks may eat more than is picked in it and in the weeks that keep into it.
        let weeks = self.instance.weeks;
        let round = self.instance.closing == Closing::EachBed;
        // The third of four years has all that can touch it on both sides.
        let (rounds, skipped) = if round { (4, 2 * weeks) } else { (1, 0) };
        let mut picked_before = vec![0.0];
        for week in 0..rounds * weeks {
            picked_before.push(picked_before[week] + picked[week % weeks]);
        }
        let mut left: f64 = picked.iter().sum();
        let mut eaten_before = vec![0.0; rounds * weeks + 1];
        let mut worth = 0.0;
        for &(week, kg, each) in &self.parts {
            if left <= 0.0 {
                break;
            }
            let week = week + skipped;
            let window = week.saturating_sub(self.keeps);
            if picked_before[week + 1] - picked_before[window] <= 0.0 {
                continue;
            }
            let last = if round { week + weeks } else { weeks };
            let ends = (week..last).map(|end| picked_before[end + 1] - eaten_before[end + 1]);
            let end = ends.fold(f64::INFINITY, f64::min);
            let first = if round { week + 1 - weeks } else { 0 };
            let begins = (first..=week)
                .map(|begin| picked_before[begin.saturating_sub(self.keeps)] - eaten_before[begin]);
            let begin = begins.fold(f64::NEG_INFINITY, f64::max);
            let kg = kg.min(left).min(end - begin);
            if kg <= 0.0 {
                continue;
            }
            worth += kg * each;
            left -= kg;
            for year in 0..rounds {
                let from = week % weeks + year * weeks;
                for before in &mut eaten_before[from + 1..] {
                    *before += kg;
                }
            }
        }
        worth - self.given_worth
    }

    /// The most that a row of plantings earns, each held to what it adds after the one before it.
    fn best_row(
        &self,
        prices: &Prices,
        rents: &[Vec<f64>],
        cut: usize,
    ) -> Result<f64, &'static str> {
        let share = prices.pairs[self.food];
        let row = self.in_order(prices, rents, cut)?;
        let (least, most) = self.beds;
        let most = self.beds_most().unwrap_or(usize::MAX).min(most);
        // Without a most, beds beyond the least are not told apart.
        let limited = most < usize::MAX;
        let levels = if limited { most } else { least } + 1;
        let level = |filled: usize, beds: usize| {
            if limited {
                filled + beds
            } else {
                (filled + beds).min(least)
            }
        };
        let mut pairs = BTreeMap::new();
        // By the last planting of a row and the beds it fills in all: what it earns.
        let mut earned = vec![vec![f64::NEG_INFINITY; levels]; row.len()];
        let mut best = if least > 0 { f64::NEG_INFINITY } else { 0.0 };
        for to in 0..row.len() {
            let then = &row[to];
            if then.beds > most {
                continue;
            }
            earned[to][level(0, then.beds)] = then.profit + share * then.alone;
            for from in 0..to {
                let first = &row[from];
                if first.planting == then.planting {
                    continue;
                }
                let together = *pairs
                    .entry((first.planting, then.planting))
                    .or_insert_with(|| self.together(first, then));
                let adds =
                    (together - first.alone_one + then.alone - then.alone_one).min(then.alone);
                for filled in 0..levels {
                    let to_level = level(filled, then.beds);
                    if earned[from][filled] == f64::NEG_INFINITY || to_level >= levels {
                        continue;
                    }
                    let value = earned[from][filled] + then.profit + share * adds;
                    earned[to][to_level] = earned[to][to_level].max(value);
                }
            }
            let enough = earned[to].iter().copied().skip(least);
            best = enough.fold(best, f64::max);
        }
        Ok(best)
    }

    /// Worth of one bed of each of two plantings together.
    fn together(&self, a: &Beds, b: &Beds) -> f64 {
        let reach = |planting: usize| {
            let mut weeks = vec![false; self.instance.weeks];
            for pick in &self.instance.candidates[planting].harvest {
                let kept = pick.week..=pick.week + self.keeps;
                let kept = kept.filter_map(|week| self.instance.week_index(week));
                kept.for_each(|week| weeks[week] = true);
            }
            weeks
        };
        let (first, then) = (reach(a.planting), reach(b.planting));
        if first.iter().zip(&then).any(|(a, b)| *a && *b) {
            self.worth(&[(a.planting, 1), (b.planting, 1)])
        } else {
            a.alone_one + b.alone_one
        }
    }

    /// Plantings that can pay by themselves, by their first picking after the cut.
    fn in_order(
        &self,
        prices: &Prices,
        rents: &[Vec<f64>],
        cut: usize,
    ) -> Result<Vec<Beds>, &'static str> {
        let (share, effort) = (prices.pairs[self.food], self.instance.effort.planting);
        let weeks = self.instance.weeks;
        let mut row = Vec::new();
        for &(planting, candidate) in &self.plantings {
            if candidate.harvest.iter().any(|pick| pick.food != self.food) {
                return Err("a planting feeds several foods: they cannot be taken one by one");
            }
            let stands = candidate.bed_week..candidate.bed_week + candidate.weeks;
            let stands = stands.filter_map(|week| self.instance.week_index(week));
            let rent: f64 = stands.map(|week| rents[candidate.bed_class][week]).sum();
            let share_of_effort = effort / self.beds_of(candidate).0 as f64;
            let each = profit(self.instance, prices, planting) + share_of_effort - rent;
            let most = self.beds_of(candidate).1 as f64;
            let picked = candidate.harvest.iter().map(|pick| pick.kg);
            let dearest = self.parts.first().map_or(0.0, |part| part.2);
            let pays = most * (each + share * dearest * picked.sum::<f64>()) > effort;
            if !pays && self.beds.0 == 0 {
                // Not even if every kilogram were worth as much as the first.
                continue;
            }
            let alone_one = self.worth(&[(planting, 1)]);
            let mut before = 0.0;
            for beds in 1..=self.beds_of(candidate).1 {
                let alone = self.worth(&[(planting, beds)]);
                if beds > self.beds.0.max(1) && each + share * (alone - before) <= 0.0 {
                    break;
                }
                before = alone;
                let profit = each * beds as f64 - effort;
                if profit + share * alone > 0.0 || self.beds.0 > 0 {
                    row.push(Beds {
                        planting,
                        beds,
                        profit,
                        alone,
                        alone_one,
                    });
                }
            }
        }
        let first = |one: &Beds| {
            let picks = self.instance.candidates[one.planting].harvest.iter();
            let picks = picks.filter(|pick| pick.kg > 0.0);
            picks
                .map(|pick| (pick.week + weeks - cut % weeks) % weeks)
                .min()
        };
        row.sort_by_key(|one| (first(one), one.planting, one.beds));
        Ok(row)
    }

    /// Beds that a planting may fill: as its size allows, and as family limits leave.
    fn beds_of(&self, candidate: &Candidate) -> (usize, usize) {
        let count = self.instance.beds[candidate.bed_class].count;
        let most = candidate.beds_most.clamp(1, count);
        let limits = self.instance.limits.families.iter();
        let limits = limits.filter(|limit| limit.counts(candidate));
        let left = limits.map(|limit| limit.plantings).fold(most, usize::min);
        (most, left)
    }

    /// Beds that all plantings of the food may fill by family limits; none where some have no limit.
    fn beds_most(&self) -> Option<usize> {
        let limits = &self.instance.limits.families;
        let counts = |at: usize, one: &Candidate| limits[at].counts(one);
        let limited = |one: &Candidate| (0..limits.len()).any(|at| counts(at, one));
        if !self.plantings.iter().all(|(_, one)| limited(one)) {
            return None;
        }
        let of_food = |at: &usize| self.plantings.iter().any(|(_, one)| counts(*at, one));
        Some(
            (0..limits.len())
                .filter(of_food)
                .map(|at| limits[at].plantings)
                .sum(),
        )
    }
}
