//! An hourly weather file, as the command line reads it: letters that cannot be told are no reason to refuse it.
//!
//! Bytes that begin with `!` stand for a slip in a whole file: three bytes say where, one how much is cut out there, the
//! rest is put in its place. Without this no made-up file would ever have all of a year's rows.
#![no_main]

#[path = "../../tests/made/epw.rs"]
mod made_epw;

use std::sync::LazyLock;

use bedyear::site::epw;

static WHOLE: LazyLock<Vec<u8>> = LazyLock::new(|| made_epw::epw().into_bytes());
/// How much one byte may cut out at most, as a multiple of it.
const CUT: usize = 3;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let slip = match bytes {
        [b'!', a, b, c, cut, put @ ..] => {
            let at = usize::from(*a) << 16 | usize::from(*b) << 8 | usize::from(*c);
            let start = at % WHOLE.len();
            let end = (start + CUT * usize::from(*cut)).min(WHOLE.len());
            [&WHOLE[..start], put, &WHOLE[end..]].concat()
        }
        _ => bytes.to_vec(),
    };
    if let Err(error) = epw::read("any.epw", &String::from_utf8_lossy(&slip)) {
        assert!(!error.to_string().is_empty());
    }
});
