//! The published envelope test boxes and a southern place through the whole program.

use std::path::Path;

use super::common::{SMALL, arg, csv_rows, epw, folder_with, json_of};

/// A tunnel held at 10 °C at Churchill against a two-dimensional ground with a floor balance by radiosity, computed apart
/// from this program: between its bare, dry floor and its floor under leaves and wet film, near the latter. The light on that
/// floor was that under thin leaves, as here.
#[test]
fn soil_under_heated_film_agrees_with_two_dimensions() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/heated-hoop.toml");
    let text = std::fs::read_to_string(file).unwrap();
    let text = text
        .replace("\"Helena\"", "\"Churchill\"")
        .replace("36 F", "10 C")
        .replace("60000 Btu/h", "160000 Btu/h")
        + "\n[floor]\nsoil_water = 0\n[crop]\nleaf_area = 0.85\n";
    let (_folder, path) = folder_with("heated.toml", text);
    let args = [
        "climate",
        arg(&path),
        "--weather-years",
        "12",
        "--format",
        "json",
    ];
    let read = json_of(&args);
    let table: String = include_str!("../reference/house_heated_tunnel_2d.csv")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| format!("{line}\n"))
        .collect();
    for (month, row) in read["months"]
        .as_array()
        .unwrap()
        .iter()
        .zip(csv_rows(&table))
    {
        // The middle of the years: the two-dimensional ground ran in a usual one.
        let root_c = month["root_zone_mean_c_p50"].as_f64().unwrap();
        let [bare, leaves] = ["bare_dry_c", "leaves_wet_c"].map(|c| row[c].parse::<f64>().unwrap());
        let case = format!(
            "month {}: {root_c:.1} against {bare} to {leaves}",
            row["month"]
        );
        println!("{case}");
        assert!(
            root_c > bare - 0.5 && (root_c - leaves).abs() < 2.0,
            "{case}"
        );
    }
}

#[test]
fn every_published_test_box_runs_and_its_heat_balance_closes() {
    let (_folder, weather) = folder_with("made.epw", epw());
    let boxes = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/boxes");
    let mut count = 0;
    for entry in std::fs::read_dir(boxes).unwrap() {
        let path = entry.unwrap().path();
        let read = json_of(&[
            "climate",
            arg(&path),
            "--weather",
            arg(&weather),
            "--weather-years",
            "1",
            "--format",
            "json",
        ]);
        let residual = read["balance_residual"].as_f64().unwrap();
        assert!(residual.abs() < 0.001, "{}: {residual}", path.display());
        count += 1;
    }
    assert!(count >= 6, "{count} test boxes");
}

#[test]
fn in_the_south_july_is_the_coldest_month() {
    let text = SMALL.replacen("helena", "santiago", 1);
    let (_folder, path) = folder_with("beds.toml", text);
    let read = json_of(&["climate", arg(&path), "--format", "json"]);
    let months = read["months"].as_array().unwrap();
    let coldest = |key: &str| {
        let mean = |month: &&serde_json::Value| month[key].as_f64().unwrap();
        months
            .iter()
            .min_by(|a, b| mean(a).total_cmp(&mean(b)))
            .unwrap()["month"]
            .as_u64()
            .unwrap()
    };
    assert_eq!(coldest("outside_mean_c"), 7);
    assert!(
        [6, 7].contains(&coldest("air_mean_c")),
        "{}",
        coldest("air_mean_c")
    );
    assert!([6, 7].contains(&coldest("day_length_h")));
}

/// Text of a test box with replacements, each of which must be found.
fn edited(base: &str, edits: &[(&str, &str)]) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/boxes/{base}.toml"));
    let mut text = std::fs::read_to_string(path).unwrap();
    for (from, to) in edits {
        assert!(text.contains(from), "{base} lacks {from}");
        text = text.replace(from, to);
    }
    text
}

/// The table of the south windows, cut out of a test box's text.
fn without_windows(text: &str) -> (String, String) {
    let from = text.find("[[surface]]\nname = \"south windows\"").unwrap();
    let next = text[from + 1..].find("[[surface]]").unwrap() + from + 1;
    (
        format!("{}{}", &text[..from], &text[next..]),
        text[from..next].to_owned(),
    )
}

/// Windows of 6 m2 east and west in place of those to the south (cases 620, 920), with more keys each.
fn east_and_west(base: &str, more: &str) -> String {
    let (rest, south) = without_windows(&edited(
        base,
        &[
            ("area = \"9.6 m2\"", "area = \"21.6 m2\""),
            ("area = \"16.2 m2\"", "area = \"10.2 m2\""),
        ],
    ));
    let facing = |side: &str| {
        south
            .replace("south windows", &format!("{side} window"))
            .replace("12 m2", "6 m2")
            .replace("facing = \"S\"", &format!("facing = \"{side}\"\n{more}"))
    };
    format!("{rest}\n{}\n{}", facing("E"), facing("W"))
}

/// Yearly heat from the heater and to the cooler, kWh, in the made-up weather; the balance must close.
fn heat_and_cold(text: &str) -> (f64, f64) {
    let (_weather_folder, weather) = folder_with("made.epw", epw());
    let (_folder, path) = folder_with("box.toml", text);
    let read = json_of(&[
        "climate",
        arg(&path),
        "--weather",
        arg(&weather),
        "--weather-years",
        "1",
        "--format",
        "json",
    ]);
    assert!(read["balance_residual"].as_f64().unwrap().abs() < 0.001);
    let flow = |name: &str| {
        let flows = read["heat_flows"].as_array().unwrap();
        let row = flows.iter().find(|row| row["path"] == name);
        row.map_or(0.0, |row| {
            let months = row["kwh"].as_array().unwrap();
            months.iter().map(|kwh| kwh.as_f64().unwrap()).sum::<f64>()
        })
    };
    (flow("heater"), -flow("cooler"))
}

/// The other cases of the series can be said too: overhang, windows east and west, fins, setback, night air, ground of a
/// given temperature. Which way each moves heating and cooling is physics; no published range is asked of this weather.
#[test]
fn the_other_test_boxes_can_be_said() {
    const OVERHANG: &str =
        "width = \"3 m\"\nheight = \"2 m\"\noverhang = \"1 m\"\noverhang_above = \"0.5 m\"\n";
    const FINS: &str = "fins = \"1 m\"\nfins_above = \"0.5 m\"\nfins_below = \"0.2 m\"\n";
    let hours = |night: f64, day: f64, from: usize, to: usize| {
        let hour = |h: usize| if (from..to).contains(&h) { day } else { night };
        format!("{:?}", (0..24).map(hour).collect::<Vec<f64>>())
    };
    for base in ["600", "900"] {
        let of = |text: &str| heat_and_cold(text);
        let (heat, cold) = of(&edited(base, &[]));
        let south = "facing = \"S\"\ntransmittance";
        let under = format!(
            "facing = \"S\"\n{OVERHANG}overhang_beyond = [\"0.5 m\", \"4.5 m\"]\ntransmittance"
        );
        let (heat_610, cold_610) = of(&edited(base, &[(south, &under)]));
        assert!(cold_610 < 0.9 * cold, "{base}: {cold_610} of {cold}");
        assert!(heat_610 > 0.99 * heat, "{base}: {heat_610} of {heat}");
        let (_, cold_620) = of(&east_and_west(base, ""));
        let (_, cold_630) = of(&east_and_west(base, &format!("{OVERHANG}{FINS}")));
        assert!(
            cold_630 < 0.9 * cold_620,
            "{base}: {cold_630} of {cold_620}"
        );
        let set_back = format!("[heater]\nset_point = {}", hours(10.0, 20.0, 7, 23));
        let (heat_640, _) = of(&edited(
            base,
            &[("[heater]\nset_point = \"20 C\"", &set_back)],
        ));
        assert!(heat_640 < 0.97 * heat, "{base}: {heat_640} of {heat}");
        let night_air = format!(
            "[fan]\nflow = \"0.4902 m3/s\"\nfrom = \"18:00\"\nto = \"07:00\"\n\n[cooler]\nset_point = {}",
            hours(60.0, 27.0, 7, 18)
        );
        let never = "[heater]\nset_point = \"-30 C\"";
        let (heat_650, cold_650) = of(&edited(
            base,
            &[
                ("[cooler]\nset_point = \"27 C\"", &night_air),
                ("[heater]\nset_point = \"20 C\"", never),
            ],
        ));
        assert_eq!(heat_650, 0.0);
        assert!(cold_650 < cold, "{base}: {cold_650} of {cold}");
        let given = "behind = \"ground\"\nground_temperature = \"10 C\"";
        let (heat_ground, _) = of(&edited(base, &[("behind = \"sheltered air\"", given)]));
        assert!(
            (heat_ground / heat - 1.0).abs() < 0.1,
            "{base}: {heat_ground} of {heat}"
        );
    }
}

#[test]
fn a_shaded_window_needs_its_size() {
    let text = edited(
        "600",
        &[(
            "facing = \"S\"\ntransmittance",
            "facing = \"S\"\noverhang = \"1 m\"\ntransmittance",
        )],
    );
    let (_folder, path) = folder_with("box.toml", text);
    let done = super::common::bedyear()
        .args(["check", arg(&path)])
        .assert()
        .code(2);
    let said = String::from_utf8(done.get_output().stderr.clone()).unwrap();
    assert!(said.contains("surface[1].width"), "{said}");
}
