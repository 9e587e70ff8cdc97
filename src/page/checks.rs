//! What the page keeps, and what it asks for anew.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use chrono::NaiveDate;

use super::answers::Need;
use super::ask::{Ask, Ready, ready};
use super::desk::Desk;
use super::disk::{Beside, Disk};
use crate::file::{self, Edit, Project};
use crate::output::units::Units;
use crate::study::SideFiles;

/// A project that lies on no disk.
struct NoDisk;

impl Disk for NoDisk {
    fn name(&self) -> String {
        "test.toml".into()
    }
    fn project(&self) -> Result<Option<String>, String> {
        Ok(None)
    }
    fn write_project(&self, _: &str) -> Result<(), String> {
        Err("there is no disk".into())
    }
    fn side_files(&self, _: &Project) -> Result<SideFiles, String> {
        Ok(SideFiles::default())
    }
    fn beside(&self, _: Beside) -> Result<Option<String>, String> {
        Ok(None)
    }
    fn write_beside(&self, _: Beside, _: Option<&str>) -> Result<(), String> {
        Ok(())
    }
    fn journal(&self) -> Result<String, String> {
        Ok(String::new())
    }
    fn add_to_journal(
        &self,
        _: &mut dyn FnMut(&str) -> Result<Vec<u8>, String>,
    ) -> Result<(), String> {
        Err("there is no disk".into())
    }
    fn today(&self) -> NaiveDate {
        NaiveDate::default()
    }
}

fn with(keys: &[(&str, &str)]) -> Ready {
    let mut edit = Edit::new(&file::starter(&file::StarterOptions::default())).unwrap();
    edit.write("year.weather_years", "2").unwrap();
    for (path, value) in keys {
        edit.write(path, value).unwrap();
    }
    ready(&edit.text(), &NoDisk)
        .map_err(|unfit| unfit.problems)
        .unwrap()
}

#[test]
fn only_what_changes_the_house_simulates_it_anew() {
    let mut ask = Ask::default();
    let years = 2;
    let first = ask.climate(&with(&[]), years).unwrap();
    for keys in [
        ("money.groceries", "1000 USD/month"),
        ("household.want", "2 kg salad greens a week"),
        ("household.kinds", "6"),
    ] {
        let same = ask.climate(&with(&[keys]), years).unwrap();
        assert!(
            Arc::ptr_eq(&first, &same),
            "{keys:?} simulated the house anew"
        );
    }
    assert_eq!(ask.simulated, 1);
    for keys in [
        ("building.glazing", "double-film"),
        ("heater.set_point", "4 C"),
        ("site.place", "fairbanks"),
    ] {
        let other = ask.climate(&with(&[keys]), years).unwrap();
        assert!(!Arc::ptr_eq(&first, &other), "{keys:?} changed nothing");
    }
    assert_eq!(ask.simulated, 4);
    // A step back finds what was known.
    assert!(Arc::ptr_eq(
        &first,
        &ask.climate(&with(&[]), years).unwrap()
    ));
    assert!(ask.known_climate(&with(&[])).is_some());
    assert_eq!(ask.simulated, 4);
}

#[test]
fn work_that_nobody_waits_for_is_given_up() {
    let mut ask = Ask::default();
    let known = with(&[]);
    let climate = ask.climate(&known, 2).unwrap();
    let mut job = (*known.job).clone();
    job.given_up = Some(Arc::new(AtomicBool::new(true)));
    let given_up = Ready {
        job: Arc::new(job),
        side: known.side.clone(),
    };
    assert!(ask.season(&given_up, &climate).is_err());
    assert!(ask.why(&given_up, &climate).is_err());
    assert!(!ask.knows_season(&known), "what was given up is not kept");
    assert!(ask.season(&known, &climate).is_ok());
    assert!(ask.knows_season(&known));
}

/// A field that is left by the enter key sends its value twice; what is given up on its way is worked out again.
#[test]
fn the_same_value_sent_twice_and_work_given_up_end_in_the_answer() {
    let desk = Desk::open(Box::new(NoDisk), Units::Si).unwrap();
    desk.set("year.weather_years", "2");
    let is_answered = || {
        let inner = desk.lock();
        let climate = &inner.answers.climate;
        (climate.is_fresh(inner.draft.revision) && inner.needs.is_empty())
            .then(|| climate.error.clone())
    };
    let wait = |until: &dyn Fn() -> bool| {
        while !until() {
            std::thread::yield_now();
        }
    };
    let errors = std::thread::scope(|scope| {
        scope.spawn(|| super::work::run(&desk));
        let answer = |disturb: &dyn Fn()| {
            desk.want(&[Need::Climate]);
            wait(&|| !desk.tick.borrow().doing.is_empty() || is_answered().is_some());
            disturb();
            wait(&|| is_answered().is_some());
            is_answered().flatten()
        };
        desk.set("curtain.resistance", "R-2");
        let twice = answer(&|| desk.set("curtain.resistance", "R-2"));
        desk.set("curtain.resistance", "R-1");
        let given_up = answer(&|| desk.given_up.store(true, Ordering::Relaxed));
        desk.end();
        [twice, given_up]
    });
    assert_eq!(errors, [None, None]);
}

#[test]
fn a_broken_text_says_what_is_wrong_and_what_would_be_right() {
    let text = file::starter(&file::StarterOptions::default());
    let unfit = ready(&text.replace("\"11 m\"", "\"long\""), &NoDisk)
        .err()
        .unwrap();
    assert!(
        unfit.problems.iter().any(|one| one.contains("long")),
        "{unfit:?}"
    );
}
