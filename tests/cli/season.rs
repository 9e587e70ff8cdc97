//! `season`: its JSON contract, its CSV, its look.

use super::common::{SMALL, arg, csv_rows, folder_with, json_of, output_of};

const STATES: [&str; 5] = ["pick", "sow", "stand", "grow", "no"];

#[test]
fn json_has_every_promised_field() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let read = json_of(&[
        "season",
        arg(&path),
        "--weather-years",
        "2",
        "--format",
        "json",
    ]);
    let crops = read["crops"].as_array().unwrap();
    assert!(crops.len() > 10, "{} crops", crops.len());
    let mut roofs = 0;
    for crop in crops {
        let name = crop["crop"].as_str().unwrap();
        let months = crop["months"].as_array().unwrap();
        assert_eq!(months.len(), 12, "{name}");
        for month in months {
            let state = month["state"].as_str().unwrap();
            assert!(STATES.contains(&state), "{name}: {state}");
            let object = month.as_object().unwrap();
            for key in ["cause", "margin", "margin_unit"] {
                assert!(object.contains_key(key), "{name}: {key}");
            }
            assert_eq!(month["margin"].is_f64(), month["margin_unit"].is_string());
            if state == "no" {
                assert!(month["cause"].is_string(), "{name}: a no without a reason");
            }
        }
        for roof in ["as_is", "heated", "tunnel", "outdoors"] {
            let months_in = &crop["months_in"][roof];
            if months_in.is_null() {
                continue;
            }
            roofs += 1;
            let at = |key: &str| months_in[key].as_f64().unwrap();
            assert!(0.0 <= at("p10") && at("p10") <= at("p50"), "{name}");
            assert!(at("p50") <= at("p90") && at("p90") <= 12.0, "{name}");
        }
    }
    assert!(roofs >= 4, "no crop has months in");
}

#[test]
fn csv_and_table_hold_every_crop_in_every_month() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let base = ["season", arg(&path), "--weather-years", "1", "--format"];
    let rows = csv_rows(&output_of(&[&base[..], &["csv"]].concat()));
    assert_eq!(rows.len() % 12, 0);
    assert!(
        rows.iter()
            .all(|row| STATES.contains(&row["state"].as_str()))
    );
    assert!(rows[0].contains_key("margin_unit"));
    for units in ["si", "us"] {
        let table = output_of(&[&base[..], &["table", "--units", units, "--all"]].concat());
        assert!(table.contains("Jan") || table.contains(" J "), "{table}");
    }
}

/// A sowing in trays meets the bed weeks later: what it meets there has its day, so that January may fall less short than December.
#[test]
fn a_cold_root_zone_is_said_with_its_day() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let read = json_of(&["season", arg(&path), "--format", "json", "tomato_cherry"]);
    let months = read["crops"][0]["months"].as_array().unwrap();
    let causes = months.iter().filter_map(|month| month["cause"].as_str());
    let cold: Vec<&str> = causes
        .filter(|cause| cause.starts_with("root zone too cold"))
        .collect();
    assert!(!cold.is_empty(), "{months:?}");
    for cause in cold {
        let day = cause.split(" it needs in the bed on ").nth(1);
        assert!(
            day.is_some_and(|day| day.split(' ').count() == 2),
            "{cause}"
        );
    }
}
