//! `tune` as a person meets it: a logger's file of the United States, a patch to review, first harvests.

use std::fmt::Write;
use std::path::Path;

use predicates::prelude::*;
use serde_json::Value;

use bedyear::calendar::{DAYS_IN_MONTH, HOURS_PER_DAY};
use bedyear::site::{Place, Weather};
use bedyear::study::{Job, SideFiles, weather_years};

use super::common::{SMALL, arg, bedyear, csv_rows, fits_80_columns, folder_with, json_of};

const TRUTH: f64 = 1.2;

/// Eight weeks from 1 January of the house with a heat loss that is not as described, as a logger would have it.
fn logger_csv(folder: &Path) -> String {
    logger_of(folder, 0..56)
}

/// Some days of the year of the same house.
fn logger_of(folder: &Path, days: std::ops::Range<usize>) -> String {
    let truth = folder.join("truth.toml");
    std::fs::write(&truth, format!("{SMALL}\n[tuned]\nheat_loss = {TRUTH}\n")).unwrap();
    let hours = folder.join("hours.csv");
    bedyear()
        .args([
            "climate",
            arg(&truth),
            "--weather-years",
            "1",
            "--hourly",
            arg(&hours),
        ])
        .assert()
        .success();
    let mut text = String::from("Serial 1234\nDate Time,Inside (°F),Outside (°F),Battery\n");
    for row in csv_rows(&std::fs::read_to_string(&hours).unwrap())
        .iter()
        .skip(days.start * HOURS_PER_DAY)
        .take(days.len() * HOURS_PER_DAY)
    {
        let number = |name: &str| row[name].parse::<f64>().unwrap() * 1.8 + 32.0;
        let (year, rest) = row["date"].split_once('-').unwrap();
        let (month, day) = rest.split_once('-').unwrap();
        let hour: u32 = row["clock_hour"].parse().unwrap();
        let half = if hour < 12 { "AM" } else { "PM" };
        let shown = if hour.is_multiple_of(12) {
            12
        } else {
            hour % 12
        };
        writeln!(
            text,
            "{month}/{day}/{year} {shown}:30 {half},{:.3},{:.3},3.1",
            number("air_c"),
            number("outside_c")
        )
        .unwrap();
    }
    text
}

#[test]
fn a_patch_is_shown_and_written_and_nothing_is_changed() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let logger = folder.path().join("temps.csv");
    let text = logger_csv(folder.path());
    std::fs::write(&logger, &text).unwrap();
    let patch = folder.path().join("patch.toml");
    let args = [
        "tune",
        arg(&path),
        "--logger",
        arg(&logger),
        "--hold",
        "edge_loss",
        "--hold",
        "heavy_mass",
        "--hold",
        "air_change",
        "--patch",
        arg(&patch),
    ];
    let view = json_of(&[&args[..], &["--format", "json"]].concat());
    let factors = view["factors"].as_array().unwrap();
    let of = |name: &str| factors.iter().find(|row| row["factor"] == name).unwrap();
    // Sun and wind of the record are not in the logger, and the program's own are those of another year: the range must
    // hold the truth, the middle be near it. That this is the reason, and the only one, is shown below: with the weather of
    // those very days the loss is found within 3 %.
    let [heat, low, high] =
        ["after", "low", "high"].map(|key| of("heat_loss")[key].as_f64().unwrap());
    assert!((low..=high).contains(&TRUTH), "{low} to {high}");
    assert!((heat / TRUTH - 1.0).abs() < 0.15, "{heat}");
    assert_eq!(of("edge_loss")["state"], "held");
    assert_eq!(of("store_exchange")["state"], "absent");
    // Sun and wind are not the record's own: those of other years are allowed for, and the clock is told by the sun.
    assert!(
        view["clock_behind_h"].as_f64().unwrap().abs() <= 0.25,
        "{}",
        view["clock_behind_h"]
    );
    assert_eq!(view["rows_read"], 56 * 24);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), SMALL);
    // The patch is a piece of the project file, and the tuned project runs.
    let tuned = folder.path().join("tuned.toml");
    let patch = std::fs::read_to_string(&patch).unwrap();
    assert_eq!(patch, view["patch"]["text"].as_str().unwrap());
    std::fs::write(&tuned, format!("{SMALL}\n{patch}")).unwrap();
    bedyear().args(["check", arg(&tuned)]).assert().success();
    let again = json_of(&[
        "tune",
        arg(&tuned),
        "--logger",
        arg(&logger),
        "--format",
        "json",
        "--hold",
        "edge_loss",
        "--hold",
        "heavy_mass",
        "--hold",
        "air_change",
    ]);
    let row = |view: &Value| view["factors"][1].clone();
    let (before, after) = (
        row(&again)["before"].as_f64().unwrap(),
        row(&again)["after"].as_f64().unwrap(),
    );
    assert!(
        (before - heat).abs() < 1e-3 && (after / heat - 1.0).abs() < 0.01,
        "{before} {after}"
    );
}

/// A year of weather in the published layout of weather files, to four places.
fn weather_file(place: &Place, weather: &Weather) -> String {
    let mut text = format!(
        "LOCATION,{},-,-,drawn,000000,{},{},{},{}\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n\
         GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,a year that was drawn\nCOMMENTS 2,\n\
         DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n",
        place.name.replace(',', " "),
        place.latitude_deg,
        place.longitude_deg,
        place.utc_offset_h,
        place.elevation_m,
    );
    let days = DAYS_IN_MONTH
        .iter()
        .enumerate()
        .flat_map(|(month, &days)| (0..days).map(move |day| (month + 1, day + 1)));
    for (at_day, (month, day)) in days.enumerate() {
        for clock in 0..HOURS_PER_DAY {
            let at = at_day * HOURS_PER_DAY + clock;
            let of = |column: &[f64]| column[at];
            let temp_c = of(&weather.temp_air_c);
            writeln!(
                text,
                "{YEAR},{month},{day},{},0,?9,{temp_c:.4},{:.4},{:.4},{:.1},0,0,{:.4},{:.4},{:.4},{:.4},\
                 0,0,0,0,180,{:.4},2,2,20,2000,9,999999999,10,0.1,0,88,0.2,{:.4},1",
                clock + 1,
                temp_c - 5.0,
                of(&weather.relative_humidity_pct),
                of(&weather.pressure_pa),
                of(&weather.sky_long_wave_w_m2),
                of(&weather.ghi_w_m2),
                of(&weather.dni_w_m2),
                of(&weather.dhi_w_m2),
                of(&weather.wind_m_s),
                of(&weather.snowfall_mm),
            )
            .unwrap();
        }
    }
    text
}

const YEAR: i32 = 2027;

/// What a logger finds of the heat loss with the weather of its own year in a file: lower end, middle, upper end.
fn found_with_own_weather(days: std::ops::Range<usize>) -> [f64; 3] {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let logger = folder.path().join("temps.csv");
    std::fs::write(&logger, logger_of(folder.path(), days)).unwrap();
    let mut project = bedyear::file::parse("beds.toml", SMALL).unwrap();
    project.planning.weather_years = 1;
    let job = Job::new(project, &SideFiles::default()).unwrap();
    let weathers = weather_years(&job);
    let lived = &weathers.year(0);
    let weather = folder.path().join("those_days.epw");
    std::fs::write(&weather, weather_file(&job.site.place, lived)).unwrap();
    let view = json_of(&[
        "tune",
        arg(&path),
        "--logger",
        arg(&logger),
        "--weather",
        arg(&weather),
        "--hold",
        "edge_loss",
        "--hold",
        "heavy_mass",
        "--hold",
        "air_change",
        "--format",
        "json",
    ]);
    assert_eq!(view["clock_behind_h"], 0.0);
    let rows = view["factors"].as_array().unwrap();
    let row = rows
        .iter()
        .find(|row| row["factor"] == "heat_loss")
        .unwrap();
    let found = ["low", "after", "high"].map(|key| row[key].as_f64().unwrap());
    println!("{found:.3?}");
    found
}

/// The same house with the weather of its own year in a file, eight weeks from 1 November: the sun is the record's own and
/// so is the autumn before it.
#[test]
fn with_the_weather_of_those_days_the_loss_is_found_within_3_percent() {
    let found = found_with_own_weather(304..360);
    for heat in found {
        assert!((heat / TRUTH - 1.0).abs() < 0.03, "{found:?}");
    }
}

/// Eight weeks from 1 January: the sun is known, the autumn that the soil remembers is not, for a file of the record's own
/// year begins with it. The years that may have gone before widen the range, and stand for the one that did.
#[test]
fn with_an_unknown_autumn_before_it_the_loss_is_found_within_10_percent() {
    let [low, heat, high] = found_with_own_weather(0..56);
    assert!((heat / TRUTH - 1.0).abs() < 0.10, "{heat}");
    assert!(low < TRUTH * 1.02 && high > TRUTH, "{low} to {high}");
}

#[test]
fn a_table_fits_a_terminal_and_names_what_was_guessed() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let logger = folder.path().join("temps.csv");
    // A week less than nothing to go by: every third day is missing.
    let text: String = logger_csv(folder.path())
        .lines()
        .enumerate()
        .filter(|(at, _)| *at < 2 || (at / 24) % 3 != 0)
        .map(|(_, line)| format!("{line}\n"))
        .collect();
    std::fs::write(&logger, text).unwrap();
    let run = bedyear()
        .args(["tune", arg(&path), "--logger", arg(&logger)])
        .assert()
        .success();
    let table = String::from_utf8(run.get_output().stdout.clone()).unwrap();
    fits_80_columns(&table);
    let table = table.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "air inside `Inside (°F)`",
        "air outside `Outside (°F)`",
        "h without a reading",
        "[tuned]",
        "heat_loss",
    ] {
        assert!(table.contains(words), "{words}: {table}");
    }
}

#[test]
fn without_the_weather_of_those_days_nothing_is_fitted() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let logger = folder.path().join("temps.csv");
    std::fs::write(&logger, "time,temp C\n2027-01-01 00:30,5\n").unwrap();
    bedyear()
        .args(["tune", arg(&path), "--logger", arg(&logger)])
        .assert()
        .code(2)
        .stderr(
            predicate::str::contains("--weather").and(predicate::str::contains("--outdoor-column")),
        );
    bedyear().args(["tune", arg(&path)]).assert().code(2);
    std::fs::write(&logger, "nothing\n").unwrap();
    bedyear()
        .args(["tune", arg(&path), "--logger", arg(&logger)])
        .assert()
        .code(2)
        .stderr(predicate::str::contains("temps.csv"));
}

#[test]
fn first_harvests_shift_a_growth_sum_as_a_patch() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let explain = |path: &Path, sow: &str| -> String {
        let view = json_of(&[
            "season",
            arg(path),
            "--explain",
            "spinach",
            "--sow",
            sow,
            "--format",
            "json",
        ]);
        let events = view["events"].as_array().unwrap();
        let ready = events
            .iter()
            .find(|event| event["event"] == "ready to pick");
        ready.unwrap_or_else(|| panic!("{events:?}"))["date"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    let later = |day: &str, days: i64| {
        let day: chrono::NaiveDate = day.parse().unwrap();
        (day + chrono::Duration::days(days)).to_string()
    };
    let sowings = [
        ("2027-03-01", "north"),
        ("2027-03-15", "south"),
        ("2027-09-01", "north"),
    ];
    let mut journal = String::from("date,event,bed,crop,amount,unit,note\n");
    for (sow, bed) in sowings {
        let ready = later(&explain(&path, sow), 8);
        writeln!(
            journal,
            "{sow},sown,{bed},spinach,,,\n{ready},harvested,{bed},spinach,1,kg,"
        )
        .unwrap();
        writeln!(journal, "{ready},cleared,{bed},,,,").unwrap();
    }
    std::fs::write(folder.path().join("beds.journal.csv"), journal).unwrap();
    let own = folder.path().join("own");
    let view = json_of(&[
        "tune",
        arg(&path),
        "--journal",
        "--patch",
        arg(&own),
        "--format",
        "json",
    ]);
    assert_eq!(view["plantings"].as_array().unwrap().len(), 3);
    for planting in view["plantings"].as_array().unwrap() {
        assert!(planting["factor"].as_f64().unwrap() > 1.1, "{planting}");
    }
    let text = std::fs::read_to_string(own.join("spinach.toml")).unwrap();
    assert!(
        text.contains("sum_factor") && text.contains("like = \"spinach\""),
        "{text}"
    );
    // Beside the project it shifts the model's day to the day of picking, about: one factor serves spring, where the last days
    // of growth are long and bright, and autumn, where a per cent more of the sum takes more days.
    let tuned = folder.path().join("tuned.toml");
    std::fs::write(&tuned, format!("{SMALL}\n[folders]\ncrops = \"own\"\n")).unwrap();
    for (sow, _) in sowings {
        let (before, after) = (explain(&path, sow), explain(&tuned, sow));
        let day = |text: &str| text.parse::<chrono::NaiveDate>().unwrap();
        let moved = (day(&after) - day(&before)).num_days();
        assert!((5..=13).contains(&moved), "{sow}: {before} {after}");
    }
    // A file of the person's own is never written over.
    bedyear()
        .args(["tune", arg(&path), "--journal", "--patch", arg(&own)])
        .assert()
        .code(2);
}
