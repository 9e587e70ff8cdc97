//! Figures that cannot be worked with are refused by name.

use super::shapes::{full, tunnel};
use super::sky;
use bedyear::house::*;

fn refused(house: &House) -> String {
    let sky = sky::still(0.0);
    match simulate(
        house,
        &sky.weather,
        &sky.sun,
        &sky.ground,
        &RunOptions::default(),
    ) {
        Ok(_) => panic!("accepted"),
        Err(error) => error.to_string(),
    }
}

#[test]
fn bad_figures_are_named() {
    let mut house = tunnel();
    house.surfaces[0].area_m2 = -3.0;
    assert_eq!(refused(&house), "area of south low is -3, must be above 0");
    let mut house = tunnel();
    house.air.volume_m3 = f64::NAN;
    assert_eq!(refused(&house), "volume of the air is NaN, must be above 0");
    let mut house = tunnel();
    house.surfaces.clear();
    assert_eq!(refused(&house), "the list of surfaces has no entry");
    let mut house = full();
    house.floor = None;
    assert_eq!(refused(&house), "the store needs a floor on the ground");
    let mut house = full();
    if let Some(store) = &mut house.store {
        store.depths_m = vec![9.0];
    }
    assert_eq!(
        refused(&house),
        "depth of the store is 9, must lie in the soil column"
    );
    let mut house = full();
    house.sun_shares.air = 0.95;
    assert_eq!(
        refused(&house),
        "share of heavy and light things together of the sun that enters is 1.05, must be 0 to 1"
    );
    let mut house = full();
    if let Some(heater) = &mut house.heater {
        heater.set_point_c = Schedule::Hourly(vec![5.0; 100]);
    }
    assert_eq!(
        refused(&house),
        "the number of hours in set point of the heater is 100, must be 8760"
    );
}

#[test]
fn a_short_weather_column_is_refused() {
    let mut sky = sky::still(0.0);
    sky.weather.wind_m_s.pop();
    let run = simulate(
        &tunnel(),
        &sky.weather,
        &sky.sun,
        &sky.ground,
        &RunOptions::default(),
    );
    assert!(matches!(run, Err(HouseError::Weather(_))));
}
