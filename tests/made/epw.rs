//! A made-up weather file.

use std::fmt::Write;

use bedyear::calendar::{DAYS_IN_MONTH, DAYS_PER_YEAR, HOURS_PER_DAY};

/// Latitude of the made-up place, degrees; its clock keeps solar time.
const LATITUDE_DEG: f64 = 40.0;

/// A year of weather in the published layout from simple formulas: a cosine over the year and one over the day for
/// the air, a clear sky that lets 700 W/m2 of beam through, steady wind and humidity. Stamps and sun agree.
pub fn epw() -> String {
    let mut text = String::from(
        "LOCATION,Made-up plain,-,-,formulas,000000,40.0,-105.0,-7.0,1600.0\n\
         DESIGN CONDITIONS,0\n\
         TYPICAL/EXTREME PERIODS,0\n\
         GROUND TEMPERATURES,0\n\
         HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\n\
         COMMENTS 1,made for a test\n\
         COMMENTS 2,\n\
         DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n",
    );
    let mut day_of_year = 0;
    for (month, &days) in DAYS_IN_MONTH.iter().enumerate() {
        for day in 0..days {
            for clock in 0..HOURS_PER_DAY {
                epw_row(&mut text, (month + 1, day + 1, clock + 1), day_of_year);
            }
            day_of_year += 1;
        }
    }
    text
}

fn epw_row(text: &mut String, (month, day, hour): (usize, usize, usize), day_of_year: usize) {
    const BEAM_W_M2: f64 = 700.0;
    const DIFFUSE_W_M2: f64 = 80.0;
    let circle = std::f64::consts::TAU;
    let season = circle * (day_of_year as f64 - 19.0) / DAYS_PER_YEAR as f64;
    let solar_hour = hour as f64 - 0.5;
    let temp_c = 8.0 - 13.0 * season.cos() - 7.0 * (circle * (solar_hour - 3.0) / 24.0).cos();
    let declination = (-23.45_f64).to_radians()
        * (circle * (day_of_year as f64 + 10.0) / DAYS_PER_YEAR as f64).cos();
    let latitude = LATITUDE_DEG.to_radians();
    let angle = (circle * (solar_hour - 12.0) / 24.0).cos();
    let cos_zenith =
        latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * angle;
    let (beam, diffuse) = if cos_zenith > 0.0 {
        (BEAM_W_M2, DIFFUSE_W_M2)
    } else {
        (0.0, 0.0)
    };
    let global = beam * cos_zenith.max(0.0) + diffuse;
    writeln!(
        text,
        "2001,{month},{day},{hour},0,?9,{temp_c:.1},{:.1},50,83500,0,0,290,{global:.0},{beam:.0},{diffuse:.0},\
         0,0,0,0,180,3.0,2,2,20,2000,9,999999999,10,0.1,0,88,0.2,0,0",
        temp_c - 10.0
    )
    .unwrap();
}
