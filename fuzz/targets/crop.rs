//! A crop file of the person's own beside the built-in ones.
#![no_main]

use std::sync::LazyLock;

use bedyear::crops::Table;

static BUILT_IN: LazyLock<Table> = LazyLock::new(|| Table::builtin().expect("the built-in crops can be read"));

libfuzzer_sys::fuzz_target!(|text: &str| {
    if let Err(error) = BUILT_IN.clone().with_overrides([("any.toml", text)]) {
        assert!(!error.to_string().is_empty());
    }
});
