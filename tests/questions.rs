//! Questions a grower asks of one project: a sowing followed by hand, measures, failures, buildings compared.

#[path = "questions/compare.rs"]
mod compare;
#[path = "questions/explain.rs"]
mod explain;
#[path = "questions/outage.rs"]
mod outage;
#[path = "questions/why.rs"]
mod why;

use bedyear::study::{ClimateStudy, Job, SideFiles, climate, weather_years};

/// An insulated house at Helena with a cover over one bed, as a person would describe it.
const HOUSE: &str = include_str!("../examples/helena.toml");

/// The built-in example made ready, with a few weather years.
fn job(weather_years: usize) -> Job {
    let mut project = bedyear::file::parse("helena.toml", HOUSE).unwrap();
    project.planning.weather_years = weather_years;
    Job::new(project, &SideFiles::default()).unwrap()
}

fn simulated(job: &Job) -> ClimateStudy {
    climate(job, &job.project.house, &weather_years(job)).unwrap()
}
