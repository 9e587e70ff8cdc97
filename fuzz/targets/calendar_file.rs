//! A calendar written before, which a new one takes back in part.
#![no_main]

use bedyear::output::ical;

libfuzzer_sys::fuzz_target!(|text: &str| {
    match ical::read_earlier(text) {
        Ok(entries) => drop(entries),
        Err(why) => assert!(!why.is_empty()),
    }
});
