//! An hourly weather file, as the command line reads it: letters that cannot be told are no reason to refuse it.
#![no_main]

use bedyear::site::epw;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    if let Err(error) = epw::read("any.epw", &String::from_utf8_lossy(bytes)) {
        assert!(!error.to_string().is_empty());
    }
});
