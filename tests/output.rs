//! What people and machines read, on a year that nobody measured.

#[path = "output/fixture/mod.rs"]
mod fixture;

#[path = "output/calendar.rs"]
mod calendar;
#[path = "output/machine.rs"]
mod machine;
#[path = "output/page.rs"]
mod page;
#[path = "output/people.rs"]
mod people;
