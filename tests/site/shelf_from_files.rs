//! Computes the climate files of the shelf anew from weather files.
//!
//! `EPW_FOLDER=folder CLIMATES_OUT=folder cargo nextest run --test site --run-ignored only shelf_from_files`.

use std::path::PathBuf;

use bedyear::site::{Cold, DesignTemps, Normals, epw};

/// File name's start, name on the shelf, name to show, data set and years.
const PLACES: [(&str, &str, &str, &str, &str); 12] = [
    (
        "BEL_VLG_Uccle",
        "uccle",
        "Uccle, Belgium",
        "TMYx by Climate.OneBuilding.Org from NOAA NCEI ISD and ERA5",
        "typical year of 2007-2021",
    ),
    (
        "CAN_BC_Prince.George",
        "prince-george",
        "Prince George, British Columbia",
        "CWEC by Environment Canada and the National Research Council",
        "typical year",
    ),
    (
        "CAN_MB_Churchill",
        "churchill",
        "Churchill, Manitoba",
        "CWEC by Environment Canada and the National Research Council",
        "typical year",
    ),
    (
        "CAN_YT_Whitehorse",
        "whitehorse",
        "Whitehorse, Yukon",
        "CWEC by Environment Canada and the National Research Council",
        "typical year",
    ),
    (
        "CHL_Santiago",
        "santiago",
        "Santiago, Chile",
        "TMYx by Climate.OneBuilding.Org from NOAA NCEI ISD and ERA5",
        "typical year of 2004-2018",
    ),
    (
        "USA_AK_Fairbanks",
        "fairbanks",
        "Fairbanks, Alaska",
        "TMY3 by NREL, US Department of Energy",
        "typical year of 1973-2005",
    ),
    (
        "USA_CO_Golden",
        "golden",
        "Golden, Colorado",
        "TMY3 by NREL, US Department of Energy",
        "typical year of 1973-2005",
    ),
    (
        "USA_FL_Miami",
        "miami",
        "Miami, Florida",
        "TMY3 by NREL, US Department of Energy",
        "typical year of 1973-2005",
    ),
    (
        "USA_IL_Chicago",
        "chicago",
        "Chicago, Illinois",
        "TMY3 by NREL, US Department of Energy",
        "typical year of 1973-2005",
    ),
    (
        "USA_MA_Boston",
        "boston",
        "Boston, Massachusetts",
        "TMY3 by NREL, US Department of Energy",
        "typical year of 1973-2005",
    ),
    (
        "USA_MT_Helena",
        "helena",
        "Helena, Montana",
        "TMY3 by NREL, US Department of Energy",
        "typical year of 1973-2005",
    ),
    (
        "USA_WA_Seattle",
        "seattle",
        "Seattle, Washington",
        "TMY3 by NREL, US Department of Energy",
        "typical year of 1973-2005",
    ),
];

#[test]
#[ignore = "needs the weather files and writes climate files"]
fn shelf_from_files() {
    let folder = PathBuf::from(std::env::var("EPW_FOLDER").unwrap());
    let out = PathBuf::from(std::env::var("CLIMATES_OUT").unwrap());
    for (start, shelf_name, name, data_set, years) in PLACES {
        let path = std::fs::read_dir(&folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .find(|path| {
                path.file_name()
                    .unwrap()
                    .to_str()
                    .unwrap()
                    .starts_with(start)
            })
            .unwrap();
        let file = path.file_name().unwrap().to_str().unwrap();
        let epw = epw::read(file, &std::fs::read_to_string(&path).unwrap()).unwrap();
        let mut normals = Normals::from_weather(&epw.place, &epw.weather);
        normals.place.name = name.to_owned();
        normals.source = format!("computed from the hours of {file} ({data_set})");
        normals.years = years.to_owned();
        let cold = Cold::of(std::slice::from_ref(&epw.weather)).unwrap();
        normals.design = epw.design.map(|design| DesignTemps {
            hours_99_6_c: Some(cold.hours_99_6_c),
            hours_min_c: Some(cold.yearly_min_mean_c),
            ..design
        });
        let head = [
            format!("{name}: monthly climate, computed from one typical year of hours, {data_set}."),
            "Means and spread of each month by itself; design temperatures as the weather file's header states them, beside the same of its hours."
                .to_owned(),
        ];
        std::fs::write(
            out.join(format!("{shelf_name}.toml")),
            super::climate_text::write(&normals, &head),
        )
        .unwrap();
    }
}
