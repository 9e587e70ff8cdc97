//! Loggers' files of all kinds.

use bedyear::tune::logger::{Clock, Options, Record, Wanted, read};

fn options() -> Options {
    Options {
        wanted: Wanted::default(),
        clock: Clock::Standard,
        utc_offset_h: -7.0,
        order: None,
        fahrenheit: None,
    }
}

fn record(text: &str) -> Record {
    read("temps.csv", text, &options()).unwrap()
}

fn air(record: &Record) -> Vec<f64> {
    record
        .readings
        .iter()
        .filter_map(|reading| reading.air_c)
        .collect()
}

#[test]
fn a_file_of_the_united_states() {
    let text = "\"Plot: greenhouse\"\n\"#\",\"Date Time\",\"Inside (°F)\",\"Outside (°F)\",\"RH (%)\"\n\
                1,01/31/27 02:00:00 PM,50.0,23.0,80\n";
    // A year of two figures is refused rather than guessed.
    assert!(read("temps.csv", text, &options()).is_err());
    let text = text.replace("/27", "/2027").replace(
        "80\n",
        "80\n2,01/31/2027 02:30:00 PM,68.0,23.0,81\n3,01/31/2027 05:00:00 PM,41.0,14.0,81\n",
    );
    let record = record(&text);
    assert!(record.fahrenheit);
    let found = air(&record);
    assert!(
        (found[0] - 15.0).abs() < 1e-9 && (found[1] - 5.0).abs() < 1e-9,
        "{found:?}"
    );
    assert_eq!(record.gaps.len(), 1);
    assert_eq!(
        (record.gaps[0].hours, record.gaps[0].from.to_string()),
        (2, "2027-01-31 15:00:00".to_owned())
    );
    assert_eq!(record.readings[0].at.to_string(), "2027-01-31 14:15:00");
}

#[test]
fn a_file_of_the_continent() {
    let text = "Datum;Uhrzeit;Innen °C;Außen °C;Boden °C\n31.01.2027;14:00;10,5;-3,25;8\n31.01.2027;15:00;11,5;-3;8,1\n";
    let record = record(text);
    assert_eq!(air(&record), [10.5, 11.5]);
    assert_eq!(record.readings[0].outdoor_c, Some(-3.25));
    assert_eq!(record.readings[1].root_zone_c, Some(8.1));
    assert!(!record.fahrenheit);
}

#[test]
fn utc_stamps_are_brought_to_local_standard_time() {
    let record = record("time,temp_c\n2027-01-31T21:30:00Z,5\n2027-01-31T22:30:00Z,6\n");
    assert_eq!(record.readings[0].at.to_string(), "2027-01-31 14:30:00");
    let utc = Options {
        clock: Clock::Utc,
        ..options()
    };
    let record = read("temps.csv", "time,temp_c\n2027-01-31 21:30,5\n", &utc).unwrap();
    assert_eq!(record.readings[0].at.to_string(), "2027-01-31 14:30:00");
}

#[test]
fn broken_readings_are_named_and_left_out() {
    let record = record(
        "time,temp (C)\n2027-01-31 14:00,5\n2027-01-31 15:00,-127\n2027-01-31 16:00,n/a\nlater,5\n2027-01-31 17:00,6\n",
    );
    assert_eq!(air(&record), [5.0, 6.0]);
    let lines: Vec<usize> = record.bad.iter().map(|(line, _)| *line).collect();
    assert_eq!(lines, [3, 4, 5]);
}

#[test]
fn what_cannot_be_told_is_asked_for() {
    for (text, asks) in [
        ("time,temp\n1/2/2027 14:00,5\n3/4/2027 14:00,5\n", "--dates"),
        ("time,temp 1,temp 2\n2027-01-02 14:00,5,6\n", "--air-column"),
        (
            "time,temp\n2027-01-02 14:00,65\n2027-01-02 15:00,66\n",
            "--scale",
        ),
        ("hello\n", "logger"),
        ("", "logger"),
    ] {
        let error = read("temps.csv", text, &options()).unwrap_err().to_string();
        assert!(
            error.starts_with("temps.csv") && error.contains(asks),
            "{error}"
        );
    }
}
