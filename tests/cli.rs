//! The command line as a person or a script meets it: the built program, its files, its messages, its exit codes.

#[path = "cli/boxes.rs"]
mod boxes;
#[path = "cli/broken_project.rs"]
mod broken_project;
#[path = "cli/broken_weather.rs"]
mod broken_weather;
#[path = "cli/climate.rs"]
mod climate;
#[path = "cli/common.rs"]
mod common;
#[path = "cli/faults.rs"]
mod faults;
#[cfg(unix)]
#[path = "cli/faults_unix.rs"]
mod faults_unix;
#[path = "cli/money.rs"]
mod money;
#[path = "cli/names.rs"]
mod names;
#[path = "cli/peer.rs"]
mod peer;
#[path = "cli/plan.rs"]
mod plan;
#[path = "cli/plan_stops.rs"]
mod plan_stops;
#[path = "cli/same_bytes.rs"]
mod same_bytes;
#[path = "cli/same_figures.rs"]
mod same_figures;
#[path = "cli/saved_plan.rs"]
mod saved_plan;
#[path = "cli/season.rs"]
mod season;
#[path = "cli/shelf.rs"]
mod shelf;
#[path = "cli/sweep.rs"]
mod sweep;
#[path = "cli/tables.rs"]
mod tables;
#[path = "cli/usage.rs"]
mod usage;
