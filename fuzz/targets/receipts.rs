//! Receipts: good rows are finite, bad ones are named by line.
#![no_main]

use bedyear::value::receipts;

libfuzzer_sys::fuzz_target!(|text: &str| {
    let read = receipts::read(text);
    for row in &read.bought {
        assert!(row.kg.is_finite() && row.paid.is_finite());
    }
    for row in &read.bad {
        assert!(row.line > 0 && !row.what.is_empty());
    }
});
