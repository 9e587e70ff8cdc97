//! Questions a grower asks of one project: a sowing followed by hand, measures, failures, buildings compared.

#[path = "questions/compare.rs"]
mod compare;
#[path = "questions/explain.rs"]
mod explain;
#[path = "questions/frontier.rs"]
mod frontier;
#[path = "questions/habit.rs"]
mod habit;
#[path = "questions/heater.rs"]
mod heater;
#[path = "questions/horizon.rs"]
mod horizon;
#[path = "questions/lives.rs"]
mod lives;
#[path = "questions/outage.rs"]
mod outage;
#[path = "questions/shortfalls.rs"]
mod shortfalls;
#[path = "questions/towns.rs"]
mod towns;
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

/// A hill to the south that the file names darkens the beds in December and hardly in June.
#[test]
fn a_skyline_in_the_file_takes_light() {
    let hill = "[site]\nhorizon = [[90, 0], [120, 25], [240, 25], [270, 0]]\n";
    let text = HOUSE.replacen("[site]\n", hill, 1);
    assert_ne!(text, HOUSE);
    let light = |text: &str| {
        let mut project = bedyear::file::parse("hill.toml", text).unwrap();
        project.planning.weather_years = 0;
        let job = Job::new(project, &SideFiles::default()).unwrap();
        simulated(&job).run.settled.light_mol_m2_h
    };
    let (open, hill) = (light(HOUSE), light(&text));
    let sum = |light: &[f64], from: usize| light[from..from + 720].iter().sum::<f64>();
    // The noon sun of Helena stands at 20 degrees in December, at 67 in June.
    assert!(sum(&hill, 8016) < 0.6 * sum(&open, 8016));
    assert!(sum(&hill, 3624) > 0.85 * sum(&open, 3624));
}

/// A newer change gives up the older work: every study looks up before its next year, and says that nobody waits for it.
#[test]
fn work_that_nobody_waits_for_ends() {
    use bedyear::study::{StudyError, season, weather_years, why};
    let mut job = job(2);
    let (weathers, climate) = (weather_years(&job), simulated(&job));
    let flag = std::sync::Arc::new(std::sync::atomic::AtomicBool::new(true));
    job.given_up = Some(flag.clone());
    let given_up = |found: Option<StudyError>| matches!(found, Some(StudyError::GivenUp));
    let house = &job.project.house;
    assert!(given_up(
        bedyear::study::climate(&job, house, &weathers).err()
    ));
    assert!(given_up(
        bedyear::study::heater(&job, &climate.years, &weathers).err()
    ));
    assert!(given_up(
        season(&job, climate.tried(), &weathers, None).err()
    ));
    assert!(given_up(why(&job, &climate, &weathers).err()));
    flag.store(false, std::sync::atomic::Ordering::Relaxed);
    assert!(bedyear::study::heater(&job, &climate.years, &weathers).is_ok());
}
