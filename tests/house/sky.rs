//! Weather for the tests: a shelf place, plain made-up skies.

use bedyear::calendar::HOURS_PER_YEAR;
use bedyear::house::{House, HouseError, HouseRun, HouseYear, simulate_each};
use bedyear::site::{UndisturbedGround, Weather, Weathers, climates, typical_year};
use bedyear::solar::{SunYear, sun_year};

/// Year whose sun the tests use.
pub const YEAR: i32 = 2026;

/// A place with weather, sun and ground.
pub struct Sky {
    pub weather: Weather,
    pub sun: SunYear,
    pub ground: UndisturbedGround,
}

/// The typical year of a shelf place.
pub fn shelf(name: &str) -> Sky {
    let normals = climates::get(name).expect("on the shelf").expect("valid");
    let (normals, _) = normals.complete(&climates::shelf());
    let weather = typical_year(&normals, YEAR);
    let place = &normals.place;
    Sky {
        sun: sun_year(
            place.latitude_deg,
            place.longitude_deg,
            place.utc_offset_h,
            YEAR,
        ),
        ground: UndisturbedGround::from_weather(
            &weather,
            bedyear::site::ground::DIFFUSIVITY_CLAY_OR_SILT_M2_DAY,
        ),
        weather,
    }
}

/// Weather years with all their hours.
#[allow(dead_code)]
pub fn simulate_years(
    house: &House,
    weathers: &[Weather],
    sky: (&SunYear, &UndisturbedGround),
    run: &HouseRun,
) -> Result<Vec<HouseYear>, HouseError> {
    let weathers = Weathers::from(weathers.to_vec());
    simulate_each(house, &weathers, sky, run, |_, year| Ok(year.clone()))
}

/// Air of one temperature, black sky of the same temperature, no sun, no wind.
pub fn still(temp_c: f64) -> Sky {
    let column = |value: f64| vec![value; HOURS_PER_YEAR];
    let black = 5.670_374e-8 * (temp_c + 273.15_f64).powi(4);
    Sky {
        weather: Weather {
            temp_air_c: column(temp_c),
            relative_humidity_pct: column(50.0),
            wind_m_s: column(0.0),
            ghi_w_m2: column(0.0),
            dni_w_m2: column(0.0),
            dhi_w_m2: column(0.0),
            sky_long_wave_w_m2: column(black),
            pressure_pa: column(101_325.0),
            ground_reflectance: column(0.2),
            snowfall_mm: column(0.0),
        },
        sun: sun_year(45.0, 0.0, 0.0, YEAR),
        ground: UndisturbedGround {
            mean_c: temp_c,
            amplitude_k: 0.0,
            coldest_day: 20.0,
            diffusivity_m2_day: 0.0432,
        },
    }
}
