//! Weather files: as published, with gaps, off in time, broken.

use bedyear::site::epw;
use bedyear::site::{Weather, typical_year};

use super::common::{epw_text, shelf, with_field};

const FILE: &str = "somewhere.epw";
/// Line of the first row.
const FIRST: usize = 9;

fn sample() -> (Weather, String) {
    let weather = typical_year(&shelf("helena"), 2025);
    let text = epw_text(&weather);
    (weather, text)
}

fn refused(text: &str) -> String {
    epw::read(FILE, text).unwrap_err().to_string()
}

#[test]
fn hours_come_back() {
    let (weather, text) = sample();
    let file = epw::read(FILE, &text).unwrap();
    assert!(file.warnings.is_empty(), "{:?}", file.warnings);
    assert_eq!(file.place.name, "Somewhere, MT, USA");
    assert_eq!(file.place.elevation_m, 1167.0);
    let design = file.design.unwrap();
    assert_eq!((design.heating_99_6_c, design.heating_99_c), (-26.3, -22.3));
    assert_eq!(design.yearly_min_mean_c, Some(-29.8));
    assert_eq!(design.yearly_min_sd_k, Some(4.9));
    for hour in 0..8760 {
        assert!((file.weather.temp_air_c[hour] - weather.temp_air_c[hour]).abs() < 0.051);
        assert!((file.weather.ghi_w_m2[hour] - weather.ghi_w_m2[hour]).abs() < 0.01);
    }
    file.weather.check().unwrap();
}

#[test]
fn line_ends_byte_order_mark_and_minute_60_make_no_difference() {
    let (_, text) = sample();
    let plain = epw::read(FILE, &text).unwrap();
    let other = format!(
        "\u{feff}{}",
        text.replace(",0,?9?9,", ",60,?9?9,").replace('\n', "\r\n")
    );
    assert_eq!(epw::read(FILE, &other).unwrap(), plain);
}

#[test]
fn leap_day_is_dropped_and_said() {
    let (_, text) = sample();
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let after = 8 + 59 * 24;
    let leap: Vec<String> = lines[after - 24..after]
        .iter()
        .map(|line| line.replacen(",2,28,", ",2,29,", 1))
        .collect();
    lines.splice(after..after, leap);
    let file = epw::read(FILE, &lines.join("\n")).unwrap();
    assert_eq!(file.warnings.len(), 1);
    assert!(file.warnings[0].contains("29 February"));
}

#[test]
fn short_gaps_are_filled_and_named() {
    let (_, text) = sample();
    let text = with_field(&text, FIRST + 5, 7, "99.9");
    let text = with_field(&text, FIRST + 30, 22, "999");
    let file = epw::read(FILE, &text).unwrap();
    assert_eq!(file.warnings.len(), 2);
    assert!(file.warnings[0].starts_with("somewhere.epw:14: column 7 (dry bulb temperature, C)"));
    assert!(file.warnings[1].starts_with("somewhere.epw:39: column 22 (wind speed, m/s)"));
    let temps = &file.weather.temp_air_c;
    assert!((temps[5] - (temps[4] + temps[6]) / 2.0).abs() < 1e-9);
}

#[test]
fn missing_pressure_and_long_wave_are_made() {
    let (weather, text) = sample();
    let mut other = text;
    for line in FIRST..FIRST + 24 {
        other = with_field(&other, line, 10, "999999");
        other = with_field(&other, line, 13, "9999");
    }
    let file = epw::read(FILE, &other).unwrap();
    assert_eq!(file.warnings.len(), 2, "{:?}", file.warnings);
    for hour in 0..24 {
        assert!((file.weather.pressure_pa[hour] - weather.pressure_pa[hour]).abs() < 1.0);
        let off = file.weather.sky_long_wave_w_m2[hour] - weather.sky_long_wave_w_m2[hour];
        assert!(off.abs() < 40.0, "{off}");
    }
}

#[test]
fn missing_beam_is_split_from_global() {
    let (weather, text) = sample();
    let mut other = text;
    let noon = FIRST + 180 * 24 + 12;
    other = with_field(&other, noon, 15, "9999");
    other = with_field(&other, noon, 16, "9999");
    let file = epw::read(FILE, &other).unwrap();
    let hour = noon - FIRST;
    assert!((file.weather.dni_w_m2[hour] - weather.dni_w_m2[hour]).abs() < 2.0);
    assert_eq!(file.warnings.len(), 1);
}

#[test]
fn solar_stamps_off_by_an_hour_are_noticed() {
    let (mut weather, _) = sample();
    for column in [
        &mut weather.ghi_w_m2,
        &mut weather.dni_w_m2,
        &mut weather.dhi_w_m2,
    ] {
        column.rotate_left(1);
    }
    let file = epw::read(FILE, &epw_text(&weather)).unwrap();
    assert_eq!(file.warnings.len(), 1, "{:?}", file.warnings);
    assert!(
        file.warnings[0].contains("60 min later"),
        "{}",
        file.warnings[0]
    );
}

/// A clock of half hours is read as such; taken for the full hour it shows as half an hour off.
#[test]
fn a_clock_of_half_hours() {
    let mut normals = shelf("helena");
    normals.place.utc_offset_h = -7.5;
    let text = epw_text(&typical_year(&normals, 2025));
    let half = text.replacen(",-7.0,", ",-7.5,", 1);
    let file = epw::read(FILE, &half).unwrap();
    assert_eq!(file.place.utc_offset_h, -7.5);
    assert!(file.warnings.is_empty(), "{:?}", file.warnings);
    let full = epw::read(FILE, &text).unwrap();
    assert_eq!(full.warnings.len(), 1, "{:?}", full.warnings);
    assert!(full.warnings[0].contains("30 min"), "{:?}", full.warnings);
}

#[test]
fn broken_files_say_what_and_where() {
    let (_, text) = sample();
    let cases = [
        (
            String::new(),
            "somewhere.epw:1: the file is empty; an EPW file has 8 header lines and 8760 hourly rows",
        ),
        ("\0\u{1}garbage".to_owned(), "header line 1 starts with"),
        (
            "LOCATION,a,b\n".to_owned(),
            "the file ends before the header line DESIGN CONDITIONS",
        ),
        (
            text.lines().take(5000).collect::<Vec<_>>().join("\n"),
            "somewhere.epw:5000: the file ends after 4992 hourly rows",
        ),
        (text[..text.len() / 2].to_owned(), "cut short"),
        (
            with_field(&text, 1, 7, "north"),
            "somewhere.epw:1: field 7 (latitude, degrees) is `north`",
        ),
        (
            with_field(&text, 100, 7, "cold"),
            "somewhere.epw:100: column 7 (dry bulb temperature, C): `cold` is not a number; a number from -90 to 70 belongs there, or the missing code 99.9",
        ),
        (
            with_field(&text, 100, 9, "-5"),
            "column 9 (relative humidity, %): -5 is out of range",
        ),
        (with_field(&text, 100, 4, "7"), "column 4 (hour)"),
        (
            with_field(&text, 100, 14, "nan"),
            "column 14 (global horizontal radiation, Wh/m2): `nan` is not a number",
        ),
        (with_field(&text, 8, 3, "4"), "4 records an hour"),
        (
            text.replacen("1980,1,1,1,", "1980,2,1,1,", 1),
            "column 2 (month)",
        ),
    ];
    for (text, part) in &cases {
        let message = refused(text);
        assert!(message.contains(part), "{message}\nlacks: {part}");
    }
}

#[test]
fn long_gaps_are_refused_with_their_first_line() {
    let (_, mut text) = sample();
    for line in 200..220 {
        text = with_field(&text, line, 7, "99.9");
    }
    let error = epw::read(FILE, &text).unwrap_err();
    assert_eq!(error.line, 200);
    assert_eq!(error.cell.unwrap().number, 7);
    assert!(
        error
            .to_string()
            .contains("missing in 20 rows in succession")
    );
}
