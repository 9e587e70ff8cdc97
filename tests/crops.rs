#[path = "crops/made.rs"]
mod made;
#[path = "crops/probe.rs"]
mod probe;
