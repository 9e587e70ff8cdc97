//! The project file: what it can say, what it says of broken ones.

#[path = "file/agree.rs"]
mod agree;
#[path = "file/broken.rs"]
mod broken;
#[path = "file/check.rs"]
mod check;
#[path = "file/examples.rs"]
mod examples;
#[path = "file/fuzz_words.rs"]
mod fuzz_words;
#[path = "file/house.rs"]
mod house;
#[path = "file/money.rs"]
mod money;
#[path = "file/never_panics.rs"]
mod never_panics;
#[path = "file/places.rs"]
mod places;
#[path = "file/quantities.rs"]
mod quantities;
#[path = "file/thin.rs"]
mod thin;
