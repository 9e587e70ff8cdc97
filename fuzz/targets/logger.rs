//! Loggers' files: readings are finite and in order of time, or the file is refused with a reason.
#![no_main]

use bedyear::tune::logger::{Clock, Options, Wanted, read};

libfuzzer_sys::fuzz_target!(|text: &str| {
    let options = Options {
        wanted: Wanted::default(),
        clock: Clock::Standard,
        utc_offset_h: -7.0,
        order: None,
        fahrenheit: None,
    };
    match read("temps.csv", text, &options) {
        Ok(record) => {
            assert!(record.readings.iter().all(|r| r.air_c.is_none_or(f64::is_finite)));
            assert!(record.readings.windows(2).all(|pair| pair[0].at <= pair[1].at));
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
