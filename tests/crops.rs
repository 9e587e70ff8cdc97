//! The crop table and growth against published figures.

#[path = "crops/called.rs"]
mod called;
#[path = "crops/carbon.rs"]
mod carbon;
#[path = "crops/emergence.rs"]
mod emergence;
#[path = "crops/files.rs"]
mod files;
#[path = "crops/growth.rs"]
mod growth;
#[path = "crops/harvest_days.rs"]
mod harvest_days;
#[path = "crops/late_onions.rs"]
mod late_onions;
#[path = "crops/made.rs"]
mod made;
#[path = "crops/monotone.rs"]
mod monotone;
#[path = "crops/observations.rs"]
mod observations;
#[path = "crops/own_house.rs"]
mod own_house;
#[path = "crops/places.rs"]
mod places;
#[path = "crops/planting.rs"]
mod planting;
#[path = "crops/planting_guide.rs"]
mod planting_guide;
#[path = "crops/trade_rules.rs"]
mod trade_rules;
