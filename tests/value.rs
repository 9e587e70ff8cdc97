//! Money: prices, households, the year's account, payback and water, against published figures and by hand.

#[path = "value/budget.rs"]
mod budget;
#[path = "value/finance.rs"]
mod finance;
#[path = "value/year.rs"]
mod year;
