//! The project file: any bytes are understood or refused in words.
#![no_main]

use bedyear::file::{self, check};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    match file::text_of("any.toml", bytes).and_then(|text| file::parse("any.toml", text)) {
        Ok(project) => {
            let understood = check::understood(&project);
            assert!(understood.faces_w_k.is_finite());
        }
        Err(error) => assert!(!error.render(false).is_empty()),
    }
});
