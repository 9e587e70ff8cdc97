//! The bound that printed prices prove.

use super::{demand, longest, stretches};
use crate::plan::{Instance, Prices, Proof};

/// The bound that a proof gives; `way` holds the splits above, as (plantings, sign, limit).
pub(super) fn bound_of(
    instance: &Instance,
    proof: &Proof,
    way: &mut Vec<(Vec<usize>, f64, f64)>,
) -> Result<f64, &'static str> {
    match proof {
        Proof::Leaf(prices) => leaf_bound(instance, prices, way),
        Proof::Rents { prices, rents } if way.is_empty() => rents_bound(instance, prices, rents),
        Proof::Rents { .. } => Err("rents prove the whole problem only"),
        Proof::Split {
            plantings,
            at_most,
            fewer,
            more,
        } => {
            if plantings
                .iter()
                .any(|&planting| planting >= instance.candidates.len())
            {
                return Err("a split names a planting that does not exist");
            }
            way.push((plantings.clone(), 1.0, *at_most as f64));
            let fewer = bound_of(instance, fewer, way)?;
            way.pop();
            way.push((plantings.clone(), -1.0, -(*at_most as f64 + 1.0)));
            let more = bound_of(instance, more, way)?;
            way.pop();
            Ok(fewer.max(more))
        }
    }
}

fn leaf_bound(
    instance: &Instance,
    prices: &Prices,
    way: &[(Vec<usize>, f64, f64)],
) -> Result<f64, &'static str> {
    shape(instance, prices, way.len())?;
    let (groups, foods) = demand::worth_at(instance, prices);
    let mut bound = shared_worth(instance, prices);
    bound += groups.iter().chain(&foods).sum::<f64>();
    for ((_, _, limit), price) in way.iter().zip(&prices.splits) {
        bound += price * limit;
    }
    let profits: Vec<f64> = (0..instance.candidates.len())
        .map(|planting| profit(instance, prices, way, planting))
        .collect();
    for (class, kind) in instance.beds.iter().enumerate() {
        for (start, family, count) in longest::starts(instance, class, kind.count) {
            bound += count as f64 * longest::best_bed(instance, class, start, family, &profits);
        }
    }
    Ok(bound)
}

/// What is there whatever is planted: wishes missed, limits at their prices, what stands.
fn shared_worth(instance: &Instance, prices: &Prices) -> f64 {
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

/// The bound of tables that choose for themselves, beds let at rents.
fn rents_bound(
    instance: &Instance,
    prices: &Prices,
    rents: &[Vec<f64>],
) -> Result<f64, &'static str> {
    shape(instance, prices, 0)?;
    let fits = rents.len() == instance.beds.len()
        && rents
            .iter()
            .all(|of_class| of_class.len() == instance.weeks)
        && rents.iter().flatten().all(|rent| *rent >= 0.0);
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
    let (groups, foods) = demand::worth_at(instance, prices);
    let mut tables: Vec<f64> = foods.into_iter().chain(groups).collect();
    let table = |food: usize| match instance.foods[food].group {
        Some(group) => instance.foods.len() + group,
        None => food,
    };
    let mut mixed = vec![false; tables.len()];
    let mut of_crop = std::collections::BTreeMap::<&str, std::collections::BTreeSet<usize>>::new();
    for (number, candidate) in instance.candidates.iter().enumerate() {
        let weeks = candidate.bed_week..candidate.bed_week + candidate.weeks;
        let weeks = weeks.filter_map(|week| instance.week_index(week));
        let rent: f64 = weeks.map(|week| rents[candidate.bed_class][week]).sum();
        let beds = instance.beds[candidate.bed_class].count;
        let most = candidate.beds_most.clamp(1, beds) as f64;
        let over = most * (profit(instance, prices, &[], number) - rent).max(0.0);
        let picked = candidate.harvest.iter().filter(|pick| pick.kg > 0.0);
        let own: std::collections::BTreeSet<usize> = picked.map(|pick| table(pick.food)).collect();
        match own.first() {
            Some(table) if own.len() == 1 => tables[*table] += over,
            _ => bound += over,
        }
        of_crop.entry(&candidate.crop).or_default().extend(own);
    }
    // A kind that feeds several tables comes once for them all: its tables are counted as they are.
    for own in of_crop.values().filter(|own| own.len() > 1) {
        own.iter().for_each(|table| mixed[*table] = true);
    }
    if instance.given().next().is_some() {
        return Ok(bound + tables.iter().sum::<f64>());
    }
    // A table that is used has a kind of crop at least.
    let mut used = Vec::new();
    for (worth, mixed) in tables.into_iter().zip(mixed) {
        if mixed {
            bound += worth;
        } else {
            used.push((worth - instance.effort.kind).max(0.0));
        }
    }
    used.sort_by(|a, b| b.total_cmp(a));
    let most = instance.limits.kinds.unwrap_or(usize::MAX);
    Ok(bound + used.into_iter().take(most).sum::<f64>())
}

/// What a planting earns at the prices.
fn profit(
    instance: &Instance,
    prices: &Prices,
    way: &[(Vec<usize>, f64, f64)],
    planting: usize,
) -> f64 {
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
    if !prices.sowings.is_empty() {
        // One sowing job fills all beds at most.
        profit -= prices.sowings[candidate.sow_week] / instance.bed_count() as f64;
    }
    for (wanted, price) in instance.wanted.iter().zip(&prices.wanted) {
        if wanted.crop == candidate.crop {
            profit += price;
        }
    }
    for ((plantings, sign, _), price) in way.iter().zip(&prices.splits) {
        if plantings.contains(&planting) {
            profit -= sign * price;
        }
    }
    profit
}

/// Prices must fit the instance and lie in their ranges, or they prove nothing.
fn shape(instance: &Instance, prices: &Prices, splits: usize) -> Result<(), &'static str> {
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
        && prices.wanted.len() == instance.wanted.len()
        && prices.families.len() == instance.limits.families.len()
        && prices.splits.len() == splits;
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
            .all(|share| (0.0..=1.0).contains(share))
        && [
            &prices.labour,
            &prices.shelf,
            &prices.sowings,
            &prices.families,
            &prices.splits,
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
