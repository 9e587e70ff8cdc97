//! A climate file of the person's own.
#![no_main]

use bedyear::site::climates;

libfuzzer_sys::fuzz_target!(|text: &str| {
    if let Err(error) = climates::parse("any.toml", text) {
        assert!(!error.to_string().is_empty());
    }
});
