//! The hours of Golden, Colorado: what is read of its typical year (TMY3 724666, NREL), kept beside the tests.
//!
//! `tests/weather/NOTICE.md` says where the data come from and on which terms they are passed on. The table holds whole
//! numbers, column by column; the file is written anew from the original, byte for byte, by
//! `EPW_FOLDER=folder cargo test --test house golden_from_the_file -- --ignored`.

use std::fmt::Write;
use std::sync::Arc;

use super::sky::{self, Sky};
use bedyear::calendar::{DAYS_IN_MONTH, HOURS_PER_DAY};
use bedyear::site::{UndisturbedGround, epw, ground};
use bedyear::solar::sun_year;
use parquet::basic::{Compression, Encoding};
use parquet::column::reader::ColumnReader;
use parquet::data_type::Int32Type;
use parquet::file::properties::{WriterProperties, WriterVersion};
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::parser::parse_message_type;

/// Columns kept: name, number in the published layout (from 1), parts in a unit.
const COLUMNS: [(&str, usize, f64); 9] = [
    ("temp_air_tenth_c", 7, 10.0),
    ("dew_point_tenth_c", 8, 10.0),
    ("relative_humidity_pct", 9, 1.0),
    ("pressure_pa", 10, 1.0),
    ("sky_long_wave_w_m2", 13, 1.0),
    ("ghi_w_m2", 14, 1.0),
    ("dni_w_m2", 15, 1.0),
    ("dhi_w_m2", 16, 1.0),
    ("wind_tenth_m_s", 22, 10.0),
];
const TABLE: &[u8] = include_bytes!("../weather/golden_tmy3.parquet");
const NAME: &str = "USA_CO_Golden-NREL.724666_TMY3.epw";

/// The hourly year of Golden, Colorado.
pub fn hours() -> Sky {
    let read = epw::read("golden", &epw_text()).expect("a whole weather file");
    let place = &read.place;
    Sky {
        sun: sun_year(
            place.latitude_deg,
            place.longitude_deg,
            place.utc_offset_h,
            sky::YEAR,
        ),
        ground: UndisturbedGround::from_weather(
            &read.weather,
            ground::DIFFUSIVITY_CLAY_OR_SILT_M2_DAY,
        ),
        weather: read.weather,
    }
}

/// The year as a weather file of the published layout; columns that are not read are empty or missing.
fn epw_text() -> String {
    let reader = SerializedFileReader::new(bytes::Bytes::from_static(TABLE)).expect("a table");
    let group = reader.get_row_group(0).expect("one group");
    let columns: Vec<Vec<i32>> = (0..COLUMNS.len())
        .map(|index| {
            let mut values = Vec::new();
            let ColumnReader::Int32ColumnReader(mut column) =
                group.get_column_reader(index).expect("a column")
            else {
                panic!("column {index} holds no whole numbers");
            };
            column
                .read_records(usize::MAX, None, None, &mut values)
                .expect("whole");
            values
        })
        .collect();
    let mut text = String::from(
        "LOCATION,Golden,CO,USA,TMY3,724666,39.74,-105.18,-7.0,1829.0\n\
         DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\n\
         HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,TMY3 by NREL\nCOMMENTS 2,\n\
         DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n",
    );
    let mut row = 0;
    for (month, &days) in DAYS_IN_MONTH.iter().enumerate() {
        for day in 1..=days {
            for clock in 1..=HOURS_PER_DAY {
                let value = |index: usize| f64::from(columns[index][row]) / COLUMNS[index].2;
                let [air, dew, rh, pa, sky, ghi, dni, dhi, wind] = std::array::from_fn(value);
                writeln!(
                    text,
                    "1999,{},{day},{clock},0,-,{air},{dew},{rh},{pa},0,0,{sky},{ghi},{dni},{dhi},0,0,0,0,0,{wind}",
                    month + 1
                )
                .expect("memory");
                row += 1;
            }
        }
    }
    text
}

#[test]
#[ignore = "writes the table anew; needs the original file"]
fn golden_from_the_file() {
    let folder = std::env::var("EPW_FOLDER").expect("EPW_FOLDER names the folder of the file");
    let text = std::fs::read_to_string(std::path::Path::new(&folder).join(NAME)).expect("readable");
    let rows: Vec<Vec<&str>> = text
        .lines()
        .skip(8)
        .map(|line| line.split(',').collect())
        .collect();
    let fields: String = COLUMNS
        .iter()
        .map(|(name, ..)| format!("required int32 {name}; "))
        .collect();
    let schema = parse_message_type(&format!("message golden {{ {fields} }}")).expect("a schema");
    let properties = WriterProperties::builder()
        .set_compression(Compression::SNAPPY)
        .set_writer_version(WriterVersion::PARQUET_2_0)
        .set_dictionary_enabled(false)
        .set_encoding(Encoding::DELTA_BINARY_PACKED)
        .set_created_by("bedyear tests".into())
        .build();
    let mut bytes = Vec::new();
    let mut writer =
        SerializedFileWriter::new(&mut bytes, Arc::new(schema), Arc::new(properties)).unwrap();
    let mut group = writer.next_row_group().unwrap();
    for (_, number, parts) in COLUMNS {
        let values: Vec<i32> = rows
            .iter()
            .map(|row| (row[number - 1].parse::<f64>().unwrap() * parts).round() as i32)
            .collect();
        let mut column = group.next_column().unwrap().unwrap();
        column
            .typed::<Int32Type>()
            .write_batch(&values, None, None)
            .unwrap();
        column.close().unwrap();
    }
    group.close().unwrap();
    writer.close().unwrap();
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/weather/golden_tmy3.parquet"
    );
    std::fs::write(path, &bytes).unwrap();
    println!("{} bytes", bytes.len());
}
