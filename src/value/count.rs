//! What of a week's food counts as eaten in place of buying, group by group.

use super::Market;

/// One group in one week.
pub(super) struct GroupWeek {
    /// Foods of the group in the order of the market.
    pub foods: Vec<Counted>,
    /// What is still bought: food of the market and kg.
    room: Vec<(usize, f64)>,
}

/// What of a food counts in a week.
pub(super) struct Counted {
    /// Food of the market.
    pub line: usize,
    /// In place of the same food, kg.
    pub own_kg: f64,
    /// In place of other foods of the group, kg.
    pub stand_in_kg: f64,
}

impl GroupWeek {
    /// Splits `eaten` (kg by food of the market) into what replaces the same food and what stands in for others; what
    /// is beyond the appetite is in neither.
    pub fn count(market: &Market, group: &str, eaten: &[f64]) -> Self {
        let members = || {
            market
                .foods
                .iter()
                .enumerate()
                .filter(|(_, line)| line.group == group)
        };
        let own = |at: usize, bought: f64| eaten.get(at).map_or(0.0, |kg| kg.min(bought));
        let room: Vec<(usize, f64)> = members()
            .map(|(at, line)| (at, line.bought_kg_week - own(at, line.bought_kg_week)))
            .collect();
        let mut foods: Vec<Counted> = members()
            .map(|(at, line)| {
                let own_kg = own(at, line.bought_kg_week);
                let wanted = own(at, line.appetite_kg_week) - own_kg;
                Counted {
                    line: at,
                    own_kg,
                    stand_in_kg: wanted.max(0.0),
                }
            })
            .collect();
        let wanted: f64 = foods.iter().map(|food| food.stand_in_kg).sum();
        let free: f64 = room.iter().map(|(_, kg)| kg).sum();
        if wanted > free {
            foods
                .iter_mut()
                .for_each(|food| food.stand_in_kg *= free / wanted);
        }
        Self { foods, room }
    }

    /// What the counted food would have cost in a month (0 to 11).
    pub fn value(&self, market: &Market, food: &Counted, month: usize) -> f64 {
        let price = |line: usize| {
            market
                .foods
                .get(line)
                .map_or(0.0, |line| line.price_per_kg[month])
        };
        let kg: f64 = self.room.iter().map(|(_, kg)| kg).sum();
        let money: f64 = self.room.iter().map(|(line, kg)| kg * price(*line)).sum();
        let replaced = if kg > 0.0 { money / kg } else { 0.0 };
        food.own_kg * price(food.line) + food.stand_in_kg * replaced.min(price(food.line))
    }
}
