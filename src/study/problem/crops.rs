//! Which crops are worth a look: what the household eats, and of like sowings the better ones.

use super::Asked;
use crate::crops::Crop;
use crate::phrase::{Phrase, amount, phrase};
use crate::study::Job;
use crate::value::{self, Market};

/// The wishes that are above what the household usually buys, one sentence each.
pub fn wishes_beyond(job: &Job, market: &Market) -> Vec<Phrase> {
    let mut notes = Vec::new();
    for wish in &job.project.household.wishes {
        let usual = match value::food::find_group(&wish.food) {
            Some(group) => market
                .groups
                .iter()
                .find(|line| line.group == group.id)
                .map_or(0.0, |line| line.appetite_kg_week),
            None => market
                .food(&wish.food)
                .map_or(0.0, |line| line.bought_kg_week),
        };
        if wish.kg_per_week > usual {
            notes.push(phrase![
                format!("the target `{}` is above the ", wish.text),
                amount(usual, "kg", 2),
                " a week that such a household buys; what is eaten beyond that replaces nothing and stands in a total of its own"
            ]);
        }
    }
    notes
}

/// Crops whose food the household would eat and that bring something: a price, or a wish; and crops asked about.
pub fn wanted_crops(job: &Job, market: &Market, asked: &[Asked]) -> Vec<Crop> {
    let wished =
        |crop: &Crop, line: &value::FoodLine| {
            job.project.household.wishes.iter().any(|wish| {
                wish.food == crop.id || wish.food == line.food || wish.food == line.group
            })
        };
    job.table
        .iter()
        .filter(|crop| {
            let eaten = market.line_of(crop).is_some_and(|line| {
                let priced = line.price_per_kg.iter().any(|price| *price > 0.0);
                (line.appetite_kg_week > 0.0 && priced) || wished(crop, line)
            });
            eaten || asked.iter().any(|one| one.crop == crop.id)
        })
        .cloned()
        .collect()
}
