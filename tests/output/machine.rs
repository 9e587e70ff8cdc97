//! CSV, JSON and Parquet, read back by something else.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use bedyear::output::ical::CalendarStyle;
use bedyear::output::tables::{self};
use bedyear::output::tasks::tasks;
use bedyear::output::{csv_out, ical, json, parquet_out, write};

use crate::fixture;

#[test]
fn json_keeps_the_contract() {
    let climate: serde_json::Value =
        serde_json::from_str(&json::to_string(&fixture::climate()).unwrap()).unwrap();
    assert_eq!(climate["year_kind"], "settled");
    assert_eq!(climate["months"].as_array().unwrap().len(), 12);
    let temperatures = [
        "air_mean_c",
        "air_min_c",
        "air_max_c",
        "root_zone_mean_c",
        "root_zone_min_c",
        "store_mean_c",
    ];
    for key in temperatures {
        for ending in ["", "_p10", "_p50", "_p90"] {
            assert!(
                climate["months"][0][format!("{key}{ending}")].is_f64(),
                "{key}{ending}"
            );
        }
    }
    for key in ["light_mol_m2_day", "day_length_h", "heater_kwh", "fan_kwh"] {
        assert!(climate["months"][11][key].is_f64(), "{key}");
    }
    assert!(climate["balance_residual"].is_f64());

    let season: serde_json::Value =
        serde_json::from_str(&json::to_string(&fixture::season()).unwrap()).unwrap();
    let tomato = &season["crops"][3];
    assert_eq!(tomato["months"][0]["state"], "no");
    assert_eq!(tomato["months"][0]["margin_unit"], "K");
    for roof in ["as_is", "heated", "tunnel", "outdoors"] {
        assert!(tomato["months_in"][roof]["p50"].is_f64(), "{roof}");
    }

    let plan: serde_json::Value =
        serde_json::from_str(&json::to_string(&fixture::plan()).unwrap()).unwrap();
    for key in ["value", "bound", "gap", "replayed_value_p50"] {
        assert!(plan[key].is_f64(), "{key}");
    }
    let planting = &plan["plantings"][1];
    for key in [
        "bed",
        "crop",
        "sow",
        "transplant",
        "first_harvest",
        "last_harvest",
    ] {
        assert!(planting[key].is_string(), "{key}");
    }
    for key in ["area_m2", "survival", "harvest_kg"] {
        assert!(planting[key].is_f64(), "{key}");
    }
    assert!(plan["weeks"][0]["food_kg"].is_f64());
    assert_eq!(plan["gaps"][0]["from"], "2027-01-04");

    let value: serde_json::Value =
        serde_json::from_str(&json::to_string(&fixture::value()).unwrap()).unwrap();
    let keys = [
        "grown_kg",
        "eaten_kg",
        "kept_kg",
        "surplus_kg",
        "value",
        "cost",
        "net",
        "budget",
        "share",
    ];
    for key in keys {
        assert!(value["months"][0][key].is_f64(), "{key}");
        assert!(value["year"][key].is_f64(), "{key}");
    }
    for key in ["ceiling", "share_of_produce", "share_of_groceries"] {
        assert!(value[key].is_f64(), "{key}");
    }
}

#[test]
fn a_spread_that_was_not_computed_is_left_out() {
    let mut climate = fixture::climate();
    climate.months[0].air_mean_c.spread = None;
    climate.months[0].store_mean_c = None;
    climate.months[0].light_mol_m2_day.value = f64::NAN;
    let text = json::to_string(&climate).unwrap();
    let read: serde_json::Value = serde_json::from_str(&text).unwrap();
    let january = read["months"][0].as_object().unwrap();
    assert!(!january.contains_key("air_mean_c_p10"));
    assert!(january["store_mean_c"].is_null());
    assert!(january["light_mol_m2_day"].is_null());
}

#[test]
fn csv_and_json_have_the_same_columns() {
    let row = fixture::climate().months[0].clone();
    let read: serde_json::Value = serde_json::to_value(&row).unwrap();
    let keys: BTreeSet<String> = read.as_object().unwrap().keys().cloned().collect();
    let text = csv_out::to_string(&[row]).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heads: BTreeSet<String> = reader.headers().unwrap().iter().map(String::from).collect();
    assert_eq!(keys, heads);
}

#[test]
fn csv_comes_back_and_no_text_is_a_formula() {
    let mut plan = fixture::plan();
    let nasty = ["=HYPERLINK(\"x\")", "+1", "-1", "@sum", " =1", "＝1"];
    for (planting, name) in plan.plantings.iter_mut().zip(nasty) {
        planting.row.bed = name.to_string();
    }
    plan.gaps[0].cause = "a,\"b\"\r\n\u{1b}[2Jc".into();
    let text = csv_out::to_string(&plan.planting_rows()).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), plan.plantings.len());
    for (row, name) in rows.iter().zip(nasty) {
        assert_eq!(row[0], format!("'{name}"));
    }
    let gaps = csv_out::to_string(&plan.gaps).unwrap();
    let mut reader = csv::Reader::from_reader(gaps.as_bytes());
    let first = reader.records().next().unwrap().unwrap();
    assert_eq!(&first[4], "a,\"b\"   [2Jc");
    assert!(text.ends_with("\r\n") && text.starts_with("bed,crop,"));
}

#[test]
fn every_column_is_explained_and_every_table_in_the_dictionary() {
    let dictionary = tables::dictionary(None);
    for table in tables::of_report(&fixture::report()) {
        let explained: Vec<&str> = dictionary
            .iter()
            .filter(|entry| entry.table == table.name)
            .map(|entry| entry.column.as_str())
            .collect();
        let names: Vec<&str> = table
            .columns
            .iter()
            .map(|column| column.name.as_str())
            .collect();
        assert_eq!(explained, names);
        // The made-up season has no winter crops.
        assert!(
            !table.rows.is_empty() || table.name == "latest",
            "{}",
            table.name
        );
    }
    for entry in &dictionary {
        let name = format!("{}.{}", entry.table, entry.column);
        assert!(!entry.meaning.is_empty(), "{name}");
        let is_rate = entry.unit.contains('/');
        let carries = [
            ("_c", "°C"),
            ("_kg", "kg"),
            ("_kwh", "kWh"),
            ("_m2", "m2"),
            ("_pct", "%"),
        ];
        for (ending, unit) in carries {
            if entry.column.ends_with(ending) && !is_rate {
                assert_eq!(entry.unit, unit, "{name}");
            }
        }
    }
}

#[test]
fn parquet_comes_back() {
    use parquet::file::reader::{FileReader, SerializedFileReader};
    let mut rows = fixture::plan().planting_rows();
    rows[0].clear = None;
    let bytes = parquet_out::to_bytes(&rows).unwrap();
    assert_eq!(bytes, parquet_out::to_bytes(&rows).unwrap());
    let reader = SerializedFileReader::new(bytes::Bytes::from(bytes)).unwrap();
    let rows_read: Vec<BTreeMap<String, String>> = reader
        .get_row_iter(None)
        .unwrap()
        .map(|row| {
            let row = row.unwrap();
            row.get_column_iter()
                .map(|(name, field)| (name.clone(), field.to_string()))
                .collect()
        })
        .collect();
    assert_eq!(rows_read.len(), rows.len());
    assert_eq!(rows_read[2]["bed"], "\"South, by the door\"");
    assert!(
        rows_read[2]["sow"].starts_with("2027-03-08"),
        "{}",
        rows_read[2]["sow"]
    );
    assert_eq!(rows_read[2]["harvest_kg"], "14.0");
    assert_eq!(rows_read[0]["clear"], "null");
}

#[test]
fn parquet_says_units_and_currency_of_its_columns() {
    use parquet::file::reader::{FileReader, SerializedFileReader};
    let view = fixture::value();
    let table = tables::DataTable::of("value_months", &view.months);
    let bytes = parquet_out::table_bytes(&table, Some("CHF")).unwrap();
    let reader = SerializedFileReader::new(bytes::Bytes::from(bytes)).unwrap();
    let held = reader
        .metadata()
        .file_metadata()
        .key_value_metadata()
        .unwrap();
    let of = |key: &str| {
        held.iter()
            .find(|pair| pair.key == key)
            .and_then(|pair| pair.value.clone())
    };
    assert_eq!(of("currency").as_deref(), Some("CHF"));
    assert_eq!(of("unit:cost").as_deref(), Some("CHF"));
    assert_eq!(of("unit:work_h").as_deref(), Some("h"));
    assert!(of("meaning:cost").unwrap().contains("costs"));
    // Every money column and every spread has its unit and says which of the years it is.
    let dictionary = tables::dictionary(Some("CHF"));
    let unit = |column: &str| dictionary.iter().find(|row| row.column == column).unwrap();
    assert_eq!(unit("harvest_p10").unit, "kg");
    assert!(
        unit("harvest_p10")
            .meaning
            .contains("one weather year in ten lies below")
    );
    assert_eq!(unit("cost_per_kg").unit, "CHF/kg");
    for row in &dictionary {
        assert!(
            !row.unit.contains("money") && !row.unit.contains("currency"),
            "{row:?}"
        );
    }
}

/// Files for readers of other makers, in the folder of the test run.
fn files() -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("readers");
    std::fs::create_dir_all(&folder).unwrap();
    let plan = fixture::plan();
    let rows: Vec<_> = tasks(&plan).into_iter().map(|task| task.row).collect();
    let style = CalendarStyle {
        reminder_hour: Some(18),
        ..CalendarStyle::default()
    };
    write::atomic(
        &folder.join("calendar.ics"),
        ical::render(&plan, &[], style).as_bytes(),
    )
    .unwrap();
    write::atomic(
        &folder.join("calendar.csv"),
        csv_out::to_string(&rows).unwrap().as_bytes(),
    )
    .unwrap();
    write::atomic(
        &folder.join("tasks.parquet"),
        &parquet_out::to_bytes(&rows).unwrap(),
    )
    .unwrap();
    write::atomic(
        &folder.join("plan.json"),
        json::to_string(&plan).unwrap().as_bytes(),
    )
    .unwrap();
    folder
}

#[test]
fn readers_of_other_makers_find_every_task_once() {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/output/read_back.py");
    match std::process::Command::new("python3")
        .arg(script)
        .arg(files())
        .output()
    {
        Ok(run) => {
            let text = String::from_utf8_lossy(&run.stdout).into_owned()
                + &String::from_utf8_lossy(&run.stderr);
            println!("{text}");
            assert!(run.status.success(), "{text}");
        }
        Err(error) => println!("SKIPPED read-back by Python: {error}"),
    }
}
