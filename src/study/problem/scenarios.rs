//! The planning problem eaten in several lives at once: gaps and gluts that a search of mean harvests does not see tell there.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::Problem;
use crate::plan::candidate::kg_of;
use crate::plan::fate::{Fate, Planted};
use crate::plan::{Candidate, Food, Harvest, Instance, Target, Wish};

/// Lives, spread over the weather years. (On the example the plan is worth as much with 16, which takes twice the time.)
const LIVES_AT_ONCE: usize = 8;

impl Problem {
    /// What the search weighs, eaten in [`LIVES_AT_ONCE`] lives, each with foods, groups and wishes of its own that weigh their share:
    /// what a plan is worth in it is its mean over these lives. Only candidates of these kinds bear, as much in the mean as they are
    /// expected to; all keep their places. Sets of other numbers are of other lives.
    pub fn in_lives(&self, kinds: &BTreeSet<&str>, set: usize) -> Instance {
        let (instance, lives) = (self.searched(), LIVES_AT_ONCE);
        let share = 1.0 / lives as f64;
        // Foods that nobody can pick are left out.
        let bears = |one: &&Candidate| kinds.contains(one.crop.as_str());
        let grown = instance.candidates.iter().filter(bears);
        let picks = grown.flat_map(|one| &one.harvest).chain(instance.given());
        let foods: BTreeSet<usize> = picks.map(|pick| pick.food).collect();
        let place_in = |life: usize, food: usize| life * foods.len() + foods.range(..food).count();
        let group_in = |life: usize, group: usize| life * instance.groups.len() + group;
        let food_in = |life: usize, one: &Food| Food {
            group: one.group.map(|group| group_in(life, group)),
            price_kg: one.price_kg.iter().map(|price| share * price).collect(),
            ..one.clone()
        };
        let wish_in = |life: usize, one: &Wish| {
            let target = match one.target {
                Target::Food(food) if !foods.contains(&food) => return None,
                Target::Food(food) => Target::Food(place_in(life, food)),
                Target::Group(group) => Target::Group(group_in(life, group)),
            };
            Some(Wish {
                target,
                penalty_kg: share * one.penalty_kg,
                ..one.clone()
            })
        };
        let in_each = |picks: &[Harvest]| -> Vec<Harvest> {
            let in_life = |life: usize| picks.iter().map(move |pick| (life, *pick));
            let all = (0..lives).flat_map(in_life);
            all.map(|(life, pick)| Harvest {
                food: place_in(life, pick.food),
                ..pick
            })
            .collect()
        };
        let mut all = Instance {
            foods: Vec::new(),
            groups: Vec::new(),
            wishes: Vec::new(),
            coming: in_each(&instance.coming),
            ..instance.clone()
        };
        for life in 0..lives {
            let own = foods
                .iter()
                .map(|&food| food_in(life, &instance.foods[food]));
            all.foods.extend(own);
            all.groups.extend_from_slice(&instance.groups);
            let own = instance
                .wishes
                .iter()
                .filter_map(|wish| wish_in(life, wish));
            all.wishes.extend(own);
        }
        for standing in &mut all.standing {
            standing.harvest = in_each(&standing.harvest);
        }
        let bear = |(number, candidate): (usize, &mut Candidate)| {
            let food = candidate.harvest.first().map(|pick| pick.food);
            let Some(food) = food.filter(|_| kinds.contains(candidate.crop.as_str())) else {
                candidate.harvest.clear();
                return;
            };
            // What is picked after an open end is taken as expected.
            let after = candidate.harvest.iter();
            let after = after.filter(|pick| pick.week >= self.instance.weeks);
            let after = in_each(&after.copied().collect::<Vec<_>>());
            let expected_kg: f64 = candidate.harvest.iter().map(|pick| pick.kg).sum();
            let mut picks = Vec::new();
            for life in 0..lives {
                let own = self.picked_in(number, (life, lives), set).into_iter();
                picks.extend(own.map(|(week, kg)| Harvest {
                    week,
                    food: place_in(life, food),
                    kg,
                }));
            }
            let expected_kg = expected_kg - share * after.iter().map(|pick| pick.kg).sum::<f64>();
            let mean_kg = share * picks.iter().map(|pick| pick.kg).sum::<f64>();
            if mean_kg > 0.0 {
                picks
                    .iter_mut()
                    .for_each(|pick| pick.kg *= expected_kg / mean_kg);
            }
            picks.extend(after);
            candidate.harvest = picks;
        };
        all.candidates.par_iter_mut().enumerate().for_each(bear);
        all
    }

    /// The same where all kinds bear.
    pub fn all_in_lives(&self) -> Instance {
        let all = self.instance.candidates.iter();
        self.in_lives(&all.map(|one| one.crop.as_str()).collect(), 0)
    }

    /// What a candidate bears in one of several lives spread over the weather years, in whichever bed: week and kg.
    fn picked_in(
        &self,
        number: usize,
        (life, lives): (usize, usize),
        set: usize,
    ) -> Vec<(usize, f64)> {
        let candidate = &self.instance.candidates[number];
        let outcome = self.outcome(number);
        let fate = |sown: usize| {
            let planted = Planted {
                crop: &candidate.crop,
                way: Some(outcome.way),
                bed: self.places.len(),
                sow_week: outcome.sow_week,
                year: sown,
                draw: set * lives + life,
            };
            Fate::drawn(&self.losses, self.seed, &planted)
        };
        let years = self.weather_years();
        let year = (2 * life + set % 2) * years / (2 * lives);
        let picks = self.picks_in(number, year, fate);
        let area_m2 = self.instance.beds[candidate.bed_class].area_m2;
        picks.into_iter().map(kg_of(area_m2)).collect()
    }
}
