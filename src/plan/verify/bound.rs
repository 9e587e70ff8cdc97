//! The bound that printed prices prove.

use super::foods::foods_bound;
use super::{demand, longest, stretches};
use crate::plan::{Instance, Prices, Proof};

/// The bound that a proof gives.
pub(super) fn bound_of(instance: &Instance, proof: &Proof) -> Result<f64, &'static str> {
    bound_within(instance, proof, vec![(0, usize::MAX); instance.foods.len()])
}

/// The same for plans in which each food fills so many beds at least and at most. A bound of all plans bounds these.
fn bound_within(
    instance: &Instance,
    proof: &Proof,
    mut within: Vec<(usize, usize)>,
) -> Result<f64, &'static str> {
    match proof {
        Proof::Beds(prices) => bound_of_beds(instance, prices),
        Proof::Foods {
            prices,
            rents,
            cuts,
        } => foods_bound(instance, prices, rents, cuts, &within),
        Proof::Split {
            food,
            beds,
            fewer,
            more,
        } => {
            let Some(&(least, most)) = within.get(*food) else {
                return Err("a food that is not there is split by its beds");
            };
            let mut part = |held: (usize, usize), proof: &Proof| {
                within[*food] = held;
                bound_within(instance, proof, within.clone())
            };
            let few = part((least, most.min(*beds)), fewer)?;
            Ok(few.max(part((least.max(beds.saturating_add(1)), most), more)?))
        }
    }
}

fn bound_of_beds(instance: &Instance, prices: &Prices) -> Result<f64, &'static str> {
    shape(instance, prices)?;
    if prices.pairs.iter().any(|share| *share > 0.0) {
        return Err("plantings in a row are no part of a bed's own choice");
    }
    let (groups, foods) = demand::worth_at(instance, prices);
    let mut bound = shared_worth(instance, prices);
    bound += groups.iter().chain(&foods).sum::<f64>();
    let profits: Vec<f64> = (0..instance.candidates.len())
        .map(|planting| profit(instance, prices, planting))
        .collect();
    for (class, kind) in instance.beds.iter().enumerate() {
        for (start, family, count) in longest::starts(instance, class, kind.count) {
            bound += count as f64 * longest::best_bed(instance, class, start, family, &profits);
        }
    }
    Ok(bound)
}

/// What is there whatever is planted: wishes missed, limits at their prices, what stands.
pub(super) fn shared_worth(instance: &Instance, prices: &Prices) -> f64 {
    let mut bound = 0.0;
    for wish in &instance.wishes {
        bound -= wish.penalty_kg * wish.kg_week.iter().sum::<f64>();
    }
    let limits = &instance.limits;
    bound += limits.labour_h_week.unwrap_or(0.0) * prices.labour.iter().sum::<f64>();
    bound += limits.shelf_m2.unwrap_or(0.0) * prices.shelf.iter().sum::<f64>();
    bound += limits.sowings_week.unwrap_or(0) as f64 * prices.sowings.iter().sum::<f64>();
    for (wanted, price) in instance.wanted.iter().zip(&prices.wanted) {
        bound -= price * wanted.plantings as f64;
    }
    for (limit, price) in instance.limits.families.iter().zip(&prices.families) {
        bound += price * limit.plantings as f64;
    }
    let given: Vec<_> = instance.given().copied().collect();
    bound += stretches::harvest_worth(instance, prices, &given);
    bound
}

/// What a planting earns at the prices.
pub(super) fn profit(instance: &Instance, prices: &Prices, planting: usize) -> f64 {
    let candidate = &instance.candidates[planting];
    let mut profit =
        stretches::harvest_worth(instance, prices, &candidate.harvest) - candidate.cost;
    // A planting's effort comes once for all beds that it may fill.
    let beds = instance.beds[candidate.bed_class].count;
    profit -= instance.effort.planting / candidate.beds_most.clamp(1, beds) as f64;
    for (limit, price) in instance.limits.families.iter().zip(&prices.families) {
        if limit.counts(candidate) {
            profit -= price;
        }
    }
    if !prices.labour.is_empty() {
        profit -= candidate
            .labour
            .iter()
            .map(|work| work.hours * prices.labour[work.week])
            .sum::<f64>();
    }
    if !prices.shelf.is_empty() {
        let weeks = candidate.tray_week_list(instance);
        profit -= weeks
            .into_iter()
            .map(|week| candidate.shelf_m2 * prices.shelf[week])
            .sum::<f64>();
    }
    if !prices.sowings.is_empty() && candidate.begun.is_empty() {
        // One sowing job fills all beds at most.
        profit -= prices.sowings[candidate.sow_week] / instance.bed_count() as f64;
    }
    for (wanted, price) in instance.wanted.iter().zip(&prices.wanted) {
        if wanted.crop == candidate.crop {
            profit += price;
        }
    }
    profit
}

/// Prices must fit the instance and lie in their ranges, or they prove nothing.
pub(super) fn shape(instance: &Instance, prices: &Prices) -> Result<(), &'static str> {
    let weeks = instance.weeks;
    let by_food = |list: &Vec<Vec<f64>>| {
        list.len() == instance.foods.len() && list.iter().all(|l| l.len() == weeks)
    };
    let weekly = |list: &Vec<f64>, limited: bool| list.len() == if limited { weeks } else { 0 };
    let fits = by_food(&prices.food)
        && by_food(&prices.alone)
        && (prices.stretches.len(), prices.granted.len()) == stretches::counts(instance)
        && weekly(&prices.labour, instance.limits.labour_h_week.is_some())
        && weekly(&prices.shelf, instance.limits.shelf_m2.is_some())
        && weekly(&prices.sowings, instance.limits.sowings_week.is_some())
        && prices.pairs.len() == instance.foods.len()
        && prices.wanted.len() == instance.wanted.len()
        && prices.families.len() == instance.limits.families.len();
    if !fits {
        return Err("the prices do not fit the instance");
    }
    let wanted = prices.wanted.iter().zip(&instance.wanted);
    let in_range = prices.food.iter().flatten().all(|&price| price >= 0.0)
        && prices
            .alone
            .iter()
            .flatten()
            .chain(&prices.stretches)
            .chain(&prices.granted)
            .chain(&prices.pairs)
            .all(|share| (0.0..=1.0).contains(share))
        && [
            &prices.labour,
            &prices.shelf,
            &prices.sowings,
            &prices.families,
        ]
        .iter()
        .all(|list| list.iter().all(|&price| price >= 0.0))
        && wanted
            .into_iter()
            .all(|(&price, wanted)| (0.0..=wanted.penalty).contains(&price));
    if in_range {
        Ok(())
    } else {
        Err("a price is outside its range")
    }
}
