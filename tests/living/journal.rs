//! The journal read: by hand, from spreadsheets, broken.

use std::fmt::Write;

use bedyear::crops::Table;
use bedyear::journal::{Amount, Event, Journal, Known, read};

const BEDS: [&str; 2] = ["north", "south 1"];

fn journal(text: &str) -> Journal {
    let table = Table::builtin().unwrap();
    let known = Known {
        beds: &BEDS,
        table: &table,
        currency: "USD",
    };
    read("journal.csv", text, &known)
}

#[test]
fn two_thousand_rows_of_which_fifty_are_broken() {
    let broken = [
        "2027-02-30,harvested,north,spinach,1,kg,,",
        "2027-03-01,havested,north,spinach,1,kg,,",
        "2027-03-01,harvested,nroth,spinach,1,kg,,",
        "2027-03-01,harvested,north,spinash,1,kg,,",
        "2027-03-01,harvested,north,spinach,some,kg,,",
        "2027-03-01,harvested,north,spinach,1,kWh,,",
        "2027-03-01,harvested,north,spinach,-1,kg,,",
        "2027-03-01,harvested,north,spinach,,,,",
        "2027-03-01,note,north,spinach,,,\"open",
        "2027-03-01,harvested,north,spinach,1,kg,,12ab",
    ];
    let mut text = String::from("date,event,bed,crop,amount,unit,note,id\r\n");
    let mut expected = Vec::new();
    for at in 0..2000_usize {
        if at % 40 == 17 {
            expected.push(at + 2);
            text.push_str(broken[(at / 40) % broken.len()]);
        } else {
            let day = at % 28 + 1;
            write!(
                text,
                "2027-03-{day:02},harvested,north,spinach,{}.25,kg,\"row {at}, \"\"fine\"\"\",",
                at % 9
            )
            .unwrap();
        }
        text.push_str("\r\n");
    }
    let read = journal(&text);
    assert_eq!(read.entries.len(), 1950);
    let named: Vec<usize> = read.bad.iter().map(|row| row.line).collect();
    assert_eq!(named, expected);
    for row in &read.bad {
        assert!(
            row.to_string()
                .starts_with(&format!("journal.csv:{}:", row.line)),
            "{row}"
        );
    }
    assert!(
        read.bad[2].what.contains("did you mean `north`"),
        "{}",
        read.bad[2].what
    );
    assert_eq!(read.bad[2].column, 22);
}

#[test]
fn spreadsheets_of_other_countries_are_read() {
    // Semicolons, decimal commas, day first, byte order mark, a column of one's own, columns in another order.
    let text = "\u{feff}event;date;crop;bed;weather;amount;unit;cause\r\n\
                harvested;31.03.2027;Spinach;South 1;rain;1,25;kg;\r\n\
                sown;4.3.2027;spinach;north;;20;ft2;\r\n\
                lost;05/04/2027;spinach;north;;;;slugs\r\n\
                bought;2027-04-06;;;;12,50;;seed\r\n\
                bought;2027-04-06;;;;\"$7,5\";;pots\r\n";
    let read = journal(text);
    assert_eq!(read.bad, []);
    let events: Vec<Event> = read.entries.iter().map(|entry| entry.event).collect();
    assert_eq!(
        events,
        [
            Event::Sown,
            Event::Harvested,
            Event::Lost,
            Event::Bought,
            Event::Bought
        ]
    );
    assert_eq!(read.entries[1].amount, Some(Amount::Kg(1.25)));
    assert_eq!(read.entries[1].bed.as_deref(), Some("south 1"));
    assert_eq!(read.entries[2].date.to_string(), "2027-04-05");
    assert_eq!(read.entries[2].note, "slugs");
    // 1 ft = 0.3048 m exactly (NIST Special Publication 811).
    let Some(Amount::M2(m2)) = read.entries[0].amount else {
        panic!("{:?}", read.entries[0]);
    };
    assert!((m2 - 20.0 * 0.3048 * 0.3048).abs() < 1e-12);
    assert_eq!(read.entries[3].amount, Some(Amount::Money(12.5)));
}

#[test]
fn dates_that_can_be_two_days_are_asked_for() {
    let read = journal(
        "date,event,bed,crop,amount,unit,note\n04/03/2027,note,,,,,x\n05/03/2027,note,,,,,x\n",
    );
    assert_eq!((read.entries.len(), read.bad.len()), (0, 2));
    assert!(read.bad[0].what.contains("2027-04-03") && read.bad[0].what.contains("2027-03-04"));
    let read = journal(
        "date,event,bed,crop,amount,unit,note\n04/03/2027,note,,,,,x\n15/03/2027,note,,,,,x\n",
    );
    assert_eq!((read.entries.len(), read.bad.len()), (2, 0));
}

#[test]
fn a_text_that_is_no_journal_is_said_to_be_none() {
    assert_eq!(journal("").bad, []);
    assert_eq!(journal("\u{feff}date,event\n").entries, []);
    let read = journal("a,b,c\n1,2,3\n");
    assert_eq!((read.entries.len(), read.bad.len()), (0, 1));
    assert!(read.bad[0].what.contains("no column `date`"));
    // Without heads the columns are the usual ones.
    assert_eq!(journal("2027-03-01,note,,,,,by hand\n").entries.len(), 1);
}
