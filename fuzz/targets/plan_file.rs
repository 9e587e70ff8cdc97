//! A saved plan: what is read can be written and read again.
#![no_main]

use bedyear::plan::PlanFile;

libfuzzer_sys::fuzz_target!(|text: &str| {
    match PlanFile::parse(text) {
        Ok(plan) => {
            let written = plan.to_toml().expect("what was read can be written");
            let again = PlanFile::parse(&written).expect("what was written can be read");
            // By their words: a figure that is not a number differs from itself.
            assert_eq!(format!("{plan:?}"), format!("{again:?}"));
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
