//! What food costs the household, from the study to the view.

use super::value::asked;
use crate::output::view::{FoodPriceView, Note, PricesView};
use crate::value::{FoodLine, Household, Market};

/// Prices by food and month, with their sources.
pub fn prices(place: &str, household: &Household, market: &Market) -> PricesView {
    let assumed = market
        .assumptions
        .iter()
        .map(|text| Note::plain(text.clone()));
    let asked = asked(market).map(Note::warning);
    PricesView {
        place: place.to_owned(),
        currency: market.currency.code().to_owned(),
        price_year: market.price_year,
        foreign_prices: super::value::foreign_prices(market),
        kitchen_loss: household.kitchen_loss,
        eaten_at_home: household.eaten_at_home,
        foods: market.foods.iter().map(food).collect(),
        notes: asked.into_iter().chain(assumed).collect(),
    }
}

fn food(line: &FoodLine) -> FoodPriceView {
    let priced = line.price_per_kg.iter().any(|price| *price > 0.0);
    FoodPriceView {
        food: line.food.clone(),
        name: line.name.clone(),
        price_per_kg: priced.then_some(line.price_per_kg),
        price_source: line.price_basis.source.clone(),
        price_source_year: line.price_basis.year,
        price_mark: line.price_basis.mark.clone(),
        bought_kg_week: line.bought_kg_week,
        bought_source: line.appetite_basis.source.clone(),
        edible_share: line.edible_share,
    }
}
