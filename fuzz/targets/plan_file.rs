//! A saved plan: what is read can be written and read again.
#![no_main]

use bedyear::plan::PlanFile;

libfuzzer_sys::fuzz_target!(|text: &str| {
    match PlanFile::parse(text) {
        Ok(plan) => drop(plan),
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
