//! Files that once made a reader panic, hang or fill the memory, found by the fuzz targets (`fuzz/`) or made by hand:
//! each is read or refused in words.
//!
//! Which reader a file broke is of no account: every reader gets every file.

use std::time::{Duration, Instant};

use bedyear::crops::Table;
use bedyear::file::{self, PROBLEMS_MAX};
use bedyear::journal::{self, Known};
use bedyear::output::ical;
use bedyear::plan::PlanFile;
use bedyear::site::{climates, epw};
use bedyear::tune::logger;
use bedyear::value::receipts;

/// Longest that one reader may take for a file of [`LARGE`] bytes in a build for tests beside others; a reader whose
/// time grows with the square of the length would take hours.
const LONGEST: Duration = Duration::from_secs(60);
/// Bytes of a file of one line again and again.
const LARGE: usize = 1_000_000;

fn read_by_all(name: &str, bytes: &[u8], table: &Table) {
    let text = String::from_utf8_lossy(bytes);
    let timed = |reader: &str, read: &dyn Fn()| {
        let started = Instant::now();
        read();
        let took = started.elapsed();
        assert!(took < LONGEST, "{reader}: {name} took {took:?}");
    };
    timed("project", &|| match file::text_of("any.toml", bytes)
        .and_then(|text| file::parse("any.toml", text))
    {
        Ok(project) => {
            let facts = file::check::facts(&project);
            assert!(
                facts
                    .iter()
                    .all(|fact| fact.amount.is_none_or(f64::is_finite))
            );
            let _ = (
                file::check::warnings(&project),
                file::check::cautions(&project),
            );
        }
        Err(error) => {
            let (drawn, told) = (error.render(false), error.to_string());
            assert!(!drawn.is_empty() && !told.is_empty());
            assert!(error.problems.len() <= PROBLEMS_MAX);
        }
    });
    timed("crop", &|| {
        let _ = table.clone().with_overrides([("any.toml", text.as_ref())]);
    });
    timed("climate", &|| {
        let _ = climates::parse("any.toml", &text);
    });
    timed("weather", &|| {
        let _ = epw::read("any.epw", &text);
    });
    timed("plan", &|| {
        let _ = PlanFile::parse(&text);
    });
    timed("calendar", &|| {
        let _ = ical::read_earlier(&text);
    });
    timed("receipts", &|| {
        for row in receipts::read(&text).bought {
            assert!(row.kg.is_finite() && row.paid.is_finite());
        }
    });
    timed("journal", &|| {
        let known = Known {
            beds: &["north"],
            table,
            currency: "USD",
        };
        let _ = journal::read("any.csv", &text, &known);
    });
    timed("logger", &|| {
        let options = logger::Options {
            wanted: logger::Wanted::default(),
            clock: logger::Clock::Standard,
            utc_offset_h: -7.0,
            order: None,
            fahrenheit: None,
        };
        let _ = logger::read("any.csv", &text, &options);
    });
}

#[test]
fn what_was_found_is_read_or_refused() {
    let table = Table::builtin().unwrap();
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/found");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let bytes = std::fs::read(&path).unwrap();
        read_by_all(&path.display().to_string(), &bytes, &table);
        count += 1;
    }
    assert!(count > 0);
}

/// Head and line of a large file; `#` in the line stands for its number.
const LINES: [(&str, &str); 30] = [
    ("", "\n"),
    ("", ","),
    ("", ";"),
    ("", "\""),
    ("", "'"),
    ("", "["),
    ("x = ", "["),
    ("x = ", "{a="),
    ("x = [", "1,"),
    ("", "[[bed]]\n"),
    ("", "[[bed]]\ncount = 500\narea = 1\n"),
    ("", "[[standing]]\nbed = \"x\"\n"),
    ("", "key# = 1\n"),
    ("", "[table#]\n"),
    ("[site]\n", "k#.k = 1\n"),
    ("", "k"),
    ("", "a."),
    ("", "[a."),
    ("[money]\nwant = [", "\"a\","),
    ("[site]\nhorizon = [", "[1,"),
    ("[sources]\n", "key# = \"x\"\n"),
    ("", "a,\"b\n"),
    ("date,food,kg,paid\n", "2027-01-01,kalle,1,1\n"),
    ("date,food,kg,paid\n", "2027-01-01,\"kale,1,1\n"),
    (
        "date,event,bed,crop,amount,unit,note,id\n",
        "2027-01-01,\"\n",
    ),
    (
        "date,event,bed,crop,amount,unit,note,id\n",
        "2027-01-01,harvested,north,spinnach,1,kg,,\n",
    ),
    ("time,air\n", "2027-01-01 00:00,1\n"),
    ("time,air\n", "2027-01-01 00:00,\"\n"),
    ("BEGIN:VCALENDAR\r\n", "BEGIN:VEVENT\r\n"),
    (
        "version = 2\nstart = 2027-01-01\nweeks = 52\nclosing = \"each-bed\"\n",
        "[[planting]]\n",
    ),
];

#[test]
fn a_large_file_of_one_line_is_read_or_refused_in_time() {
    let table = Table::builtin().unwrap();
    for (head, line) in LINES {
        let mut text = head.to_owned();
        let mut number = 0;
        while text.len() < LARGE {
            text.push_str(&line.replace('#', &number.to_string()));
            number += 1;
        }
        let name = format!("{head:?} {line:?} again and again");
        eprintln!("{name}");
        read_by_all(&name, text.as_bytes(), &table);
    }
}
