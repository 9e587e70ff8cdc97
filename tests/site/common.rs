//! What the tests of the site share: reference tables, a weather file written from a typical year.

use std::fmt::Write;

use bedyear::calendar::{DAYS_IN_MONTH, HOURS_PER_DAY};
use bedyear::site::{self, Normals, Weather};

/// Rows of a reference table as header and fields.
pub fn table(text: &str) -> Vec<csv::StringRecord> {
    csv::Reader::from_reader(text.as_bytes())
        .records()
        .map(Result::unwrap)
        .collect()
}

/// A field as a number.
pub fn number(row: &csv::StringRecord, field: usize) -> f64 {
    row[field].parse().unwrap()
}

/// A climate of the shelf.
pub fn shelf(name: &str) -> Normals {
    site::climates::get(name).unwrap().unwrap()
}

/// A weather file of the published layout with the hours of a table.
pub fn epw_text(weather: &Weather) -> String {
    let mut text = String::from(
        "LOCATION,Somewhere,MT,USA,made,000000,46.60,-111.97,-7.0,1167.0\n\
         DESIGN CONDITIONS,1,made,,Heating,12,-26.3,-22.3,-30.4,0.3,Extremes,10.9,9.2,8.2,24.8,-29.8,36.8,4.9,1.6,-33.3,38\n\
         TYPICAL/EXTREME PERIODS,0\n\
         GROUND TEMPERATURES,1,.5,,,,-3.39,-4.42,-2.59,0.28,7.78,13.56,17.47,18.65,16.63,12.14,6.13,0.56\n\
         HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,made for a test\nCOMMENTS 2,\n\
         DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n",
    );
    let mut hour = 0;
    for (month, &days) in DAYS_IN_MONTH.iter().enumerate() {
        for day in 0..days {
            for clock in 0..HOURS_PER_DAY {
                writeln!(
                    text,
                    "{},{},{},{},0,?9?9,{:.1},99.9,{:.0},{:.0},0,0,{:.0},{:.2},{:.2},{:.2},0,0,0,0,0,{:.1},5,5,16.1,2440,9,999999999,60,0.04,0,88,999,999,99",
                    1980 + month,
                    month + 1,
                    day + 1,
                    clock + 1,
                    weather.temp_air_c[hour],
                    weather.relative_humidity_pct[hour],
                    weather.pressure_pa[hour],
                    weather.sky_long_wave_w_m2[hour],
                    weather.ghi_w_m2[hour],
                    weather.dni_w_m2[hour],
                    weather.dhi_w_m2[hour],
                    weather.wind_m_s[hour],
                )
                .unwrap();
                hour += 1;
            }
        }
    }
    text
}

/// The same file with one field (from 1) of one line (from 1) changed.
pub fn with_field(text: &str, line: usize, field: usize, value: &str) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut fields: Vec<&str> = lines[line - 1].split(',').collect();
    fields[field - 1] = value;
    lines[line - 1] = fields.join(",");
    lines.join("\n") + "\n"
}
