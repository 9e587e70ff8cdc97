//! Money: prices, households, the year's account, payback and water, against published figures and by hand.

#[path = "value/answer.rs"]
mod answer;
#[path = "value/budget.rs"]
mod budget;
#[path = "value/finance.rs"]
mod finance;
#[path = "value/receipts.rs"]
mod receipts;
#[path = "value/water.rs"]
mod water;
#[path = "value/year.rs"]
mod year;
