//! The climate of a spot from the stations around it and the grid, with the error to expect.

use super::tables::{Field, field_at, nearest_stations};
use crate::air;
use crate::phrase::{Phrase, amount, bare, phrase};
use crate::site::normals::{Monthly, Normals, Spread};
use crate::site::weather::Place;

/// Latitudes between which the tables reach, degrees.
pub const LATITUDES_DEG: (f64, f64) = (-65.0, 72.0);
/// Stations that a mean is taken from.
const STATIONS: usize = 10;
/// Distance at which nearness stops to count, km (own choice).
const NEAR_KM: f64 = 3.0;
/// Without a station this near no climate is estimated, km: beyond it the mean is off by 2.5 K and more (own check against
/// 2,500 spots of an independent climate model, see climates/tables/README.md).
pub const STATION_WITHIN_KM: f64 = 300.0;
/// Fall of the mean temperature with height, K/m, mean of the year (from memory: 5 to 6 K/km over land).
const LAPSE_K_M: f64 = 0.0055;
/// So much more in the local midsummer, less in midwinter, K/m (from memory).
const LAPSE_SEASON_K_M: f64 = 0.0010;
/// A day's range of hourly values over that of a thermometer that keeps extremes: mean of twelve weather files, which scatter
/// from 0.73 to 1.02.
const HOURLY_RANGE: f64 = 0.835;
/// Correlation of a day's maximum and minimum about the season's mean (own assumption).
const MAX_MIN_CORRELATION: f64 = 0.65;
/// Standard deviation of a month's mean from year to year over that of its days within the month, as the weather years take it
/// (own assumption): the tables' spread is about the mean of many years and holds both.
const YEAR_TO_YEAR_SHARE: f64 = 0.57;
/// Correlation of neighbouring days' temperature (own figure: mean of twelve weather files, all months alike).
const TEMP_LAG1: f64 = 0.65;
/// Spread of the daily clearness (own figure, as above).
const CLEARNESS_SD: f64 = 0.15;
/// Wind where no station tells it, m/s: mean of the stations of the United States.
pub const USUAL_WIND_M_S: f64 = 3.7;
/// Humidity stays between these, %.
const HUMIDITY_PCT: (f64, f64) = (15.0, 98.0);

/// Error of half a day's range, K: 1.36 K of a thermometer's range where blocks of the grid were left out.
const HALF_RANGE_ERROR_K: f64 = 0.57;
/// Error of a month's sunlight against twelve weather files.
const SUN_ERROR_KWH_M2_DAY: f64 = 0.2;
/// Error of a month's humidity against twelve weather files, points of %.
const HUMIDITY_ERROR_PCT: f64 = 5.2;
/// Error of a month's wind, m/s, with stations and without.
const WIND_ERROR_M_S: (f64, f64) = (0.6, 1.0);

/// A spot whose climate is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive.
    pub longitude_deg: f64,
    /// Height above sea level, m; that of the stations around where it is not known.
    pub elevation_m: Option<f64>,
}

/// What an estimate rests on and how far it may be off.
#[derive(Clone, Debug, PartialEq)]
pub struct Basis {
    /// Distance of the nearest station, km.
    pub nearest_station_km: f64,
    /// Distance of the furthest of the ten, km.
    pub furthest_station_km: f64,
    /// Heights of the lowest and the highest of the ten, m.
    pub stations_between_m: (f64, f64),
    /// Was the height given?
    pub elevation_known: bool,
    /// Height taken, m.
    pub elevation_m: f64,
    /// Expected error of a month's mean temperature, K.
    pub mean_error_k: f64,
    /// Expected error of a month's mean maximum or minimum, K.
    pub extreme_error_k: f64,
    /// Expected error of a month's sunlight, kWh/m2/day.
    pub sun_error_kwh_m2_day: f64,
    /// Expected error of a month's humidity, points of %.
    pub humidity_error_pct: f64,
    /// Expected error of a month's wind, m/s.
    pub wind_error_m_s: f64,
    /// Is the wind that of stations, rather than one figure for the whole earth?
    pub wind_known: bool,
    /// The coldest hours outdoors may be so much colder or milder than the weather years', K: wide enough for nine places in
    /// ten.
    pub coldest_hour_error_k: f64,
}

/// An estimated climate.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The months; the place has no name and its clock is the sun's.
    pub normals: Normals,
    /// What they rest on.
    pub basis: Basis,
}

/// Why no climate can be estimated.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum EstimateError {
    /// The spot lies off the tables.
    #[error(
        "no climate can be estimated there: the tables reach from {:.0} S to {:.0} N, over land",
        -LATITUDES_DEG.0, LATITUDES_DEG.1
    )]
    OffTheTables,
    /// No station is near enough.
    #[error(
        "no climate can be estimated there: the nearest station on file is {km:.0} km away, and beyond {STATION_WITHIN_KM:.0} km \
         a month's mean would be off by more than 2.5 K"
    )]
    NoStation {
        /// Distance of the nearest station, km.
        km: f64,
    },
}

/// Estimates the climate of a spot; stations nearer than `left_out_km` are passed over (0 but for checks).
///
/// # Errors
/// [`EstimateError`] off the tables and far from any station.
pub fn estimate(spot: &Spot, left_out_km: f64) -> Result<Estimate, EstimateError> {
    let (latitude_deg, longitude_deg) = (spot.latitude_deg, spot.longitude_deg);
    if !(LATITUDES_DEG.0..=LATITUDES_DEG.1).contains(&latitude_deg) {
        return Err(EstimateError::OffTheTables);
    }
    let field = field_at(latitude_deg, longitude_deg).ok_or(EstimateError::OffTheTables)?;
    let near = nearest_stations(latitude_deg, longitude_deg, STATIONS, left_out_km);
    let nearest_station_km = near.first().map_or(f64::INFINITY, |(km, _)| *km);
    if nearest_station_km > STATION_WITHIN_KM {
        return Err(EstimateError::NoStation {
            km: nearest_station_km,
        });
    }
    let weights: Vec<f64> = near
        .iter()
        .map(|(km, _)| 1.0 / (km * km + NEAR_KM * NEAR_KM))
        .collect();
    let total: f64 = weights.iter().sum();
    let weighted = |of: &dyn Fn(usize) -> f64| -> f64 {
        (0..near.len()).map(|at| weights[at] * of(at)).sum::<f64>() / total
    };
    let stations_m = weighted(&|at| near[at].1.elevation_m);
    let elevation_m = spot.elevation_m.unwrap_or_else(|| stations_m.round());
    let temp_mean_c: Monthly = std::array::from_fn(|month| {
        let lapse = lapse_k_m(month, latitude_deg < 0.0);
        weighted(&|at| {
            let station = near[at].1;
            station.temp_mean_c[month] + lapse * (station.elevation_m - elevation_m)
        })
    });
    let heights = near.iter().map(|(_, station)| station.elevation_m);
    let relief_m = weighted(&|at| (near[at].1.elevation_m - stations_m).powi(2)).sqrt();
    let wind_known = field.wind_m_s[0] > 0.0;
    let stations_between_m = (
        heights.clone().fold(f64::INFINITY, f64::min),
        heights.fold(f64::NEG_INFINITY, f64::max),
    );
    let elevation_known = spot.elevation_m.is_some();
    let mean_error_k = mean_error_k(nearest_station_km, relief_m, elevation_known);
    let basis = Basis {
        nearest_station_km,
        furthest_station_km: near.last().map_or(f64::INFINITY, |(km, _)| *km),
        stations_between_m,
        elevation_known,
        elevation_m,
        mean_error_k,
        extreme_error_k: mean_error_k.hypot(HALF_RANGE_ERROR_K),
        sun_error_kwh_m2_day: SUN_ERROR_KWH_M2_DAY,
        humidity_error_pct: HUMIDITY_ERROR_PCT,
        wind_error_m_s: if wind_known {
            WIND_ERROR_M_S.0
        } else {
            WIND_ERROR_M_S.1
        },
        wind_known,
        coldest_hour_error_k: coldest_hour_error_k(mean_error_k, &temp_mean_c),
    };
    let place = Place {
        name: String::new(),
        latitude_deg,
        longitude_deg,
        elevation_m,
        utc_offset_h: (longitude_deg / 15.0).round(),
    };
    Ok(Estimate {
        normals: normals(place, temp_mean_c, &field),
        basis,
    })
}

/// How far the yearly coldest hour of the weather years may be off, K: more where a month may be off more, and where winters are
/// cold enough for air to lie in valleys.
///
/// Set so that the yearly coldest hours stated in the headers of the weather files of the shelf's places, their own stations
/// left out, lie within it; these files were seen before.
fn coldest_hour_error_k(mean_error_k: f64, temp_mean_c: &Monthly) -> f64 {
    const LEAST_K: f64 = 2.5;
    const OF_MONTHS: f64 = 2.5;
    const OF_FROST: f64 = 0.45;
    let coldest_c = temp_mean_c.iter().copied().fold(f64::INFINITY, f64::min);
    LEAST_K + OF_MONTHS * mean_error_k + OF_FROST * (-coldest_c).max(0.0)
}

/// Fall of temperature with height in a month, K/m.
fn lapse_k_m(month: usize, southern: bool) -> f64 {
    /// Month of the northern midsummer, from 0.
    const JULY: f64 = 6.0;
    let season = (std::f64::consts::TAU * (month as f64 - JULY) / 12.0).cos();
    LAPSE_K_M + LAPSE_SEASON_K_M * if southern { -season } else { season }
}

fn normals(place: Place, temp_mean_c: Monthly, field: &Field) -> Normals {
    let half_range = field.range_k.map(|range| range * HOURLY_RANGE / 2.0);
    let month = |of: &dyn Fn(usize) -> f64| -> Monthly { std::array::from_fn(of) };
    let humidity = |at: usize| {
        let dew_c = temp_mean_c[at] - field.dew_depression_k[at];
        let share = air::saturation_vapour_pressure_kpa(dew_c)
            / air::saturation_vapour_pressure_kpa(temp_mean_c[at]);
        (100.0 * share).clamp(HUMIDITY_PCT.0, HUMIDITY_PCT.1)
    };
    let within_month = (1.0 + YEAR_TO_YEAR_SHARE * YEAR_TO_YEAR_SHARE).sqrt();
    let spread_k = |at: usize| {
        let (high, low) = (field.max_sd_k[at], field.min_sd_k[at]);
        let of_mean =
            0.5 * (high * high + low * low + 2.0 * MAX_MIN_CORRELATION * high * low).sqrt();
        of_mean / within_month
    };
    Normals {
        source: "estimated from stations around and a grid of one degree (climates/LICENCES.md)"
            .to_owned(),
        years: "means of 1983-2019, by table".to_owned(),
        temp_max_c: month(&|at| temp_mean_c[at] + half_range[at]),
        temp_min_c: month(&|at| temp_mean_c[at] - half_range[at]),
        temp_mean_c: Some(temp_mean_c),
        ghi_kwh_m2_day: Some(field.ghi_kwh_m2_day),
        sun_hours_day: None,
        wind_m_s: Some(if field.wind_m_s[0] > 0.0 {
            field.wind_m_s
        } else {
            [USUAL_WIND_M_S; 12]
        }),
        relative_humidity_pct: Some(month(&humidity)),
        place,
        spread: Some(Spread {
            temp_daily_sd_k: month(&spread_k),
            temp_daily_lag1: [TEMP_LAG1; 12],
            clearness_daily_sd: [CLEARNESS_SD; 12],
            clearness_daily_lag1: None,
            temp_clearness_correlation: None,
            range_clearness_correlation: None,
            range_daily_cv: None,
            coldest_possible_c: None,
        }),
        design: None,
    }
}

/// Expected error of a month's mean, K, from the distance of the nearest station and how much the heights around differ.
///
/// Fitted to the mean absolute error at 2,500 spots poleward of 35 degrees against an independent climate model: 0.76 K with a
/// station within 30 km, 0.92 at 60 to 100, 1.38 at 150 to 200, 1.65 at 200 to 300; where the heights around differ by 200 to
/// 400 m 1.2 K with the height known and 1.7 without, by more 1.7 and 3.2.
fn mean_error_k(nearest_km: f64, relief_m: f64, elevation_known: bool) -> f64 {
    const BASE_K: f64 = 0.55;
    const K_PER_KM: f64 = 0.0045;
    const RELIEF_KNOWN_K_M: f64 = 0.002;
    const RELIEF_UNKNOWN_K_M: f64 = 0.0045;
    let relief = if elevation_known {
        RELIEF_KNOWN_K_M
    } else {
        RELIEF_UNKNOWN_K_M
    };
    (BASE_K + K_PER_KM * nearest_km).hypot(relief * relief_m)
}

/// Without the height, the stations around may differ in height by so much, m, before it is asked for (own choice).
const HEIGHTS_APART_M: f64 = 300.0;
/// Without the height, the nearest station may be so far, km, before it is asked for (own choice).
const HEIGHT_WITHIN_KM: f64 = 30.0;

impl Basis {
    /// Should the height be asked for?
    pub fn asks_elevation(&self) -> bool {
        let (low, high) = self.stations_between_m;
        !self.elevation_known
            && (high - low > HEIGHTS_APART_M || self.nearest_station_km > HEIGHT_WITHIN_KM)
    }

    /// Why the height counts, in one sentence.
    pub fn on_elevation(&self) -> String {
        let (low, high) = self.stations_between_m;
        format!(
            "the stations around lie at {low:.0} to {high:.0} m, the nearest {:.0} km away; each 100 m off moves the air by {:.1} K",
            self.nearest_station_km,
            100.0 * LAPSE_K_M
        )
    }

    /// Stands behind the name of a place, wherever it is shown: that its climate is estimated, from how far, how surely.
    pub fn mark(&self) -> String {
        /// Fahrenheit degrees in a kelvin.
        const F_PER_K: f64 = 1.8;
        format!(
            " (estimated climate: nearest station {:.0} km away, months within {:.1} K or {:.0} °F)",
            self.nearest_station_km,
            self.mean_error_k,
            (self.mean_error_k * F_PER_K).max(1.0)
        )
    }

    /// What the estimate rests on and how far it may be off, one sentence each.
    pub fn sentences(&self) -> Vec<Phrase> {
        let wind = if self.wind_known {
            Phrase::default()
        } else {
            phrase![
                ", as no station tells it here: ",
                amount(USUAL_WIND_M_S, "m/s", 1),
                " all year"
            ]
        };
        vec![
            phrase![
                "the climate is estimated from ten stations ",
                bare(self.nearest_station_km, "km", 0),
                " to ",
                amount(self.furthest_station_km, "km", 0),
                " away and a grid of one degree; expected error of a month: mean temperature ",
                amount(self.mean_error_k, "K", 1),
                ", mean daily maximum and minimum ",
                amount(self.extreme_error_k, "K", 1),
                ", sunlight ",
                amount(self.sun_error_kwh_m2_day, "kWh/m2", 1),
                " a day, humidity ",
                amount(self.humidity_error_pct, "points", 0),
                ", wind ",
                amount(self.wind_error_m_s, "m/s", 1),
                wind
            ],
            phrase![
                "the coldest hours outdoors may be ",
                amount(self.coldest_hour_error_k, "K", 0),
                " colder or milder than shown; a valley floor, where cold air gathers, is rather colder"
            ],
        ]
    }
}
