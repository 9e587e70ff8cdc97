//! What the page keeps, and what it asks for anew.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use chrono::NaiveDate;

use super::answers::{Answer, Need};
use super::ask::Ask;
use super::desk::Desk;
use super::disk::{Beside, Disk, Ready, ready};
use crate::file::{self, Edit, Project};
use crate::output::units::Units;
use crate::plan::SolveOptions;
use crate::plan::planfile::FilePlanting;
use crate::study::{self, SideFiles};

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
    ready(&edit.text(), &NoDisk).unwrap()
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
    let problems = ready(&text.replace("\"11 m\"", "\"long\""), &NoDisk)
        .err()
        .unwrap();
    assert!(
        problems.iter().any(|one| one.contains("long")),
        "{problems:?}"
    );
}

/// What is locked stays where it is, and what the page says of the new plan is what `plan --check` says of its file.
#[test]
fn locked_sowings_are_warned_of_as_the_plan_file_is() {
    let (mut ask, known) = (Ask::default(), with(&[]));
    let climate = ask.climate(&known, 2).unwrap();
    let options = SolveOptions::default();
    let first = ask.search(&known, &climate, (options, None, None)).unwrap();
    let mut file = first.file.clone();
    let beds: Vec<String> = known
        .job
        .project
        .beds
        .iter()
        .map(|bed| bed.name.clone())
        .take(2)
        .collect();
    file.plantings.retain(|one| !beds.contains(&one.bed));
    for bed in &beds {
        let crops = study::crops_for(&first.study, bed);
        let strawberries = crops.iter().filter(|one| one.0.starts_with("strawberry"));
        let found = strawberries.flat_map(|(crop, _, tray)| {
            let found = study::openings(&first.study, &file, (bed, crop, *tray), 4, None);
            found.into_iter().map(move |one| (one, crop, *tray))
        });
        let widest = found.max_by_key(|(one, ..)| one.patches.len()).unwrap();
        let (opening, crop, tray) = widest;
        let when = (opening.sow, tray);
        let new = FilePlanting::asked(bed, &opening.patches, crop, when);
        file.plantings.push(new);
    }
    let (by_hand, effect) = Ask::try_plan(&known, &climate, &first, (&file, false)).unwrap();
    assert_eq!(effect.broken, Vec::<String>::new());
    let mut held = by_hand.file.clone();
    held.plantings.retain(|one| beds.contains(&one.bed));
    assert_eq!(held.plantings.len(), 2);
    let locked = Some(held.clone());
    let new = ask
        .search(&known, &climate, (options, None, locked))
        .unwrap();
    let place = |one: &FilePlanting| (super::plan::key_of(one), one.patches.clone());
    let there: Vec<_> = new.file.plantings.iter().map(place).collect();
    for one in &held.plantings {
        assert!(
            there.contains(&place(one)),
            "{:?} is gone: {there:?}",
            place(one)
        );
    }
    let said = Ask::hold_against(&known, &new, &first.file);
    let read = study::plan_from_file(&known.job, &climate.study, &new.file).unwrap();
    assert_eq!(new.study.found.remarks, read.found.remarks);
    assert_eq!(said.broken, Vec::<String>::new());
}
