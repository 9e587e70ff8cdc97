//! Journals: good rows are sound, bad ones are named by line, and a row that is added is read back.
#![no_main]

use std::sync::LazyLock;

use bedyear::crops::Table;
use bedyear::journal::{Addition, Draft, Known, addition, read};

static TABLE: LazyLock<Table> = LazyLock::new(|| Table::builtin().expect("the built-in crops can be read"));

libfuzzer_sys::fuzz_target!(|text: &str| {
    let known = Known {
        beds: &["north"],
        table: &TABLE,
        currency: "USD",
    };
    let before = read("journal.csv", text, &known);
    for row in &before.bad {
        assert!(row.line > 0 && row.column > 0 && !row.what.is_empty());
    }
    let draft = Draft {
        date: "2027-03-01".to_owned(),
        event: "harvested".to_owned(),
        bed: "north".to_owned(),
        crop: "spinach".to_owned(),
        amount: "1.25 kg".to_owned(),
        ..Draft::default()
    };
    let entry = draft.check(&known, None, false).expect("a good row");
    if let Ok(Addition::Append { bytes, .. }) = addition(text, &entry, &known, true) {
        let more = text.to_owned() + std::str::from_utf8(&bytes).expect("text");
        assert!(more.starts_with(text));
        let _ = read("journal.csv", &more, &known);
    }
});
