//! A saved plan: what is read can be written and read again, and means a plan of a house or is refused in words.
#![no_main]

#[path = "../../tests/plan/synthetic.rs"]
mod synthetic;

use std::sync::LazyLock;

use bedyear::plan::planfile::places;
use bedyear::plan::{Instance, Place, PlanFile};

static HOUSE: LazyLock<(Instance, Vec<Place>)> = LazyLock::new(|| {
    let house = synthetic::house(3, 6, 7);
    let places = places(&house);
    (house, places)
});

libfuzzer_sys::fuzz_target!(|text: &str| {
    match PlanFile::parse(text) {
        Ok(plan) => {
            let written = plan.to_toml().expect("what was read can be written");
            let again = PlanFile::parse(&written).expect("what was written can be read");
            // By their words: a figure that is not a number differs from itself.
            assert_eq!(format!("{plan:?}"), format!("{again:?}"));
            let (house, places) = &*HOUSE;
            if let Err(error) = plan.resolve(house, places) {
                assert!(!error.to_string().is_empty());
            }
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
