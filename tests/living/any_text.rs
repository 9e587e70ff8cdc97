//! Any text at all: no panic, nothing lost of what stands, every row accounted for.

use bedyear::crops::Table;
use bedyear::journal::{Addition, Draft, Known, addition, read};
use bedyear::tune::logger::{self, Clock, Options, Wanted};
use proptest::prelude::*;

const BEDS: [&str; 1] = ["north"];

fn table() -> &'static Table {
    static TABLE: std::sync::OnceLock<Table> = std::sync::OnceLock::new();
    TABLE.get_or_init(|| Table::builtin().unwrap())
}

fn known() -> Known<'static> {
    Known {
        beds: &BEDS,
        table: table(),
        currency: "USD",
    }
}

/// Lines as journals have them, whole and broken, mixed with anything.
fn journal_text() -> impl Strategy<Value = String> {
    let line = prop_oneof![
        Just("2027-03-01,harvested,north,spinach,1.5,kg,fine,".to_owned()),
        Just("2027-03-02,sown,north,\"spinach\",2,m2,\"a, \"\"b\"\"\",".to_owned()),
        Just("2027-03-03,note,,,,,\"open".to_owned()),
        Just("31.3.2027;harvested;north;spinach;1,5;kg;;".to_owned()),
        "[ -~äß\u{feff}\t]{0,40}",
    ];
    let end = prop_oneof![Just("\n"), Just("\r\n"), Just("")];
    (any::<bool>(), prop::collection::vec((line, end), 0..12)).prop_map(|(headed, lines)| {
        let head = if headed {
            "date,event,bed,crop,amount,unit,note,id\n"
        } else {
            ""
        };
        lines
            .into_iter()
            .fold(head.to_owned(), |text, (line, end)| text + &line + end)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn a_row_added_is_read_back_and_what_stood_still_stands(text in journal_text(), note in "[ -~]{0,20}") {
        let draft = Draft {
            date: "2027-04-01".to_owned(),
            event: "harvested".to_owned(),
            bed: "north".to_owned(),
            crop: "spinach".to_owned(),
            amount: "1.25 kg".to_owned(),
            note,
            ..Draft::default()
        };
        let entry = draft.check(&known(), None, false).unwrap();
        let before = read("journal.csv", &text, &known());
        let Ok(Addition::Append { bytes, line }) = addition(&text, &entry, &known(), false) else {
            return Ok(());
        };
        let more = text.clone() + std::str::from_utf8(&bytes).unwrap();
        let after = read("journal.csv", &more, &known());
        prop_assert!(after.entries.len() > before.entries.len(), "{more:?}");
        prop_assert!(after.entries.iter().any(|found| found.line == line && found.amount == entry.amount), "{more:?}");
        // Asked again, it is there.
        prop_assert!(matches!(addition(&more, &entry, &known(), false), Ok(Addition::Present { .. })), "{more:?}");
    }

    #[test]
    fn any_logger_is_read_or_refused(text in "(time,temp C\n)?([0-9./: T,;-]{0,30}\n){0,6}") {
        let options = Options {
            wanted: Wanted::default(),
            clock: Clock::Utc,
            utc_offset_h: 5.5,
            order: None,
            fahrenheit: None,
        };
        match logger::read("temps.csv", &text, &options) {
            Ok(record) => prop_assert!(record.readings.windows(2).all(|pair| pair[0].at <= pair[1].at)),
            Err(error) => prop_assert!(error.to_string().starts_with("temps.csv")),
        }
    }
}
