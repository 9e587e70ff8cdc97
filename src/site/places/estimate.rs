//! The climate of a spot from the stations around it and the grid, with the error to expect.

use super::tables::{
    DEW_DEPRESSION_K, Field, GHI_KWH_M2_DAY, MAX_SD_K, MIN_SD_K, RANGE_K, Station, TREND_C,
    WIND_M_S, field_at, nearest_stations,
};
use super::towns::heights_near;
use crate::air;
use crate::numbers::lowest;
use crate::phrase::{Phrase, amount, bare, phrase};
use crate::site::normals::{Monthly, Normals, Spread};
use crate::site::weather::Place;

/// Latitudes between which the tables reach, degrees.
pub const LATITUDES_DEG: (f64, f64) = (-65.0, 72.0);
/// Stations that a mean is taken from.
const STATIONS: usize = 10;
/// Distance at which nearness stops to count, km (own choice).
const NEAR_KM: f64 = 3.0;
/// What stations stand above or below the trend of the map counts half where their weights come to that of one station so far
/// away, km: with it blocks of stations left out came out best (tried 200, 500, 1000 and without; climates/tables/README.md).
const FADE_KM: f64 = 500.0;
/// Towns whose heights, beside those of the stations, tell the height of a spot.
const TOWNS: usize = 10;
/// A spot this near to a town lies at the town's height, km (own choice).
const IN_TOWN_KM: f64 = 1.0;
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
/// Error of a month's humidity, points of %: against twelve weather files; and where no station tells the dew point, from its
/// 1.61 K where blocks of the grid were left out.
const HUMIDITY_ERROR_PCT: (f64, f64) = (5.2, 6.5);
/// Further than this from a station its dew point says little, km (own choice).
const DEW_WITHIN_KM: f64 = 300.0;
/// Error of a month's wind, m/s, with stations and without.
const WIND_ERROR_M_S: (f64, f64) = (0.6, 1.0);

/// A spot whose climate is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive.
    pub longitude_deg: f64,
    /// Height above sea level, m; that of the town, or of the towns and stations around, where it is not known.
    pub elevation_m: Option<f64>,
}

/// Where the height of a spot comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HeightFrom {
    /// The person.
    Person,
    /// The list of towns.
    Town,
    /// Towns and stations around: the lowest and the highest of them, m, and the distance of the nearest, km.
    Around {
        /// Lowest and highest, m.
        between_m: (f64, f64),
        /// Distance of the nearest, km.
        nearest_km: f64,
    },
}

/// What an estimate rests on and how far it may be off.
#[derive(Clone, Debug, PartialEq)]
pub struct Basis {
    /// Distance of the nearest station, km.
    pub nearest_station_km: f64,
    /// Distance of the furthest of the ten, km.
    pub furthest_station_km: f64,
    /// Where the height comes from.
    pub height_from: HeightFrom,
    /// Height taken, m.
    pub elevation_m: f64,
    /// Expected error of a month's mean temperature, K.
    pub mean_error_k: f64,
    /// Expected error of a month's mean maximum or minimum, K.
    pub extreme_error_k: f64,
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
}

/// Estimates the climate of a spot; stations nearer than `left_out_km` are passed over (0 but for checks).
///
/// # Errors
/// [`EstimateError`] off the tables.
pub fn estimate(spot: &Spot, left_out_km: f64) -> Result<Estimate, EstimateError> {
    let (latitude_deg, longitude_deg) = (spot.latitude_deg, spot.longitude_deg);
    if !(LATITUDES_DEG.0..=LATITUDES_DEG.1).contains(&latitude_deg) {
        return Err(EstimateError::OffTheTables);
    }
    let field = field_at(latitude_deg, longitude_deg).ok_or(EstimateError::OffTheTables)?;
    let near = nearest_stations(latitude_deg, longitude_deg, STATIONS, left_out_km);
    let nearest_station_km = near.first().map_or(f64::INFINITY, |(km, _)| *km);
    let heights_m: Vec<(f64, f64)> = (near.iter())
        .map(|(km, station)| (*km, station.elevation_m))
        .collect();
    let (elevation_m, height_from, height_spread_m) = height(spot, &heights_m);
    let temp_mean_c = temp_mean_c(spot, &field, elevation_m, &near);
    let (_, relief_m) = mean_and_spread(&heights_m);
    let wind_known = field.months[WIND_M_S][0] > 0.0;
    let below_m = (field.ground_m - elevation_m).max(0.0);
    let mean_error_k = mean_error_k(nearest_station_km, relief_m, below_m, height_spread_m);
    let of = |known: bool, (with, without): (f64, f64)| if known { with } else { without };
    let basis = Basis {
        nearest_station_km,
        furthest_station_km: near.last().map_or(f64::INFINITY, |(km, _)| *km),
        height_from,
        elevation_m,
        mean_error_k,
        extreme_error_k: mean_error_k.hypot(HALF_RANGE_ERROR_K),
        humidity_error_pct: of(nearest_station_km <= DEW_WITHIN_KM, HUMIDITY_ERROR_PCT),
        wind_error_m_s: of(wind_known, WIND_ERROR_M_S),
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

/// Weight of what lies so far away.
fn nearness(km: f64) -> f64 {
    1.0 / (km * km + NEAR_KM * NEAR_KM)
}

/// Mean of values at distances, km, the nearer the weightier, and how far the values lie about it.
fn mean_and_spread(values: &[(f64, f64)]) -> (f64, f64) {
    let total: f64 = values.iter().map(|(km, _)| nearness(*km)).sum();
    let mean = |of: &dyn Fn(f64) -> f64| {
        values
            .iter()
            .map(|(km, value)| nearness(*km) * of(*value))
            .sum::<f64>()
            / total
    };
    let middle = mean(&|value| value);
    (middle, mean(&|value| (value - middle).powi(2)).sqrt())
}

/// Height of a spot, m, where it comes from, and how far those that it comes from differ, m.
fn height(spot: &Spot, of_stations_m: &[(f64, f64)]) -> (f64, HeightFrom, f64) {
    if let Some(elevation_m) = spot.elevation_m {
        return (elevation_m, HeightFrom::Person, 0.0);
    }
    let mut heights = heights_near(spot.latitude_deg, spot.longitude_deg, TOWNS);
    if let Some((_, elevation_m)) = heights.first().filter(|(km, _)| *km <= IN_TOWN_KM) {
        return (*elevation_m, HeightFrom::Town, 0.0);
    }
    heights.extend(of_stations_m);
    let (mean_m, spread_m) = mean_and_spread(&heights);
    let least =
        |of: &dyn Fn(&(f64, f64)) -> f64| heights.iter().map(of).fold(f64::INFINITY, f64::min);
    let from = HeightFrom::Around {
        between_m: (least(&|(_, m)| *m), -least(&|(_, m)| -m)),
        nearest_km: least(&|(km, _)| *km),
    };
    (mean_m.round(), from, spread_m)
}

/// Mean temperature of the months: the trend of the map, and what the stations around stand above or below it, each brought to
/// sea level; the further they lie the less they say.
fn temp_mean_c(spot: &Spot, field: &Field, elevation_m: f64, near: &[(f64, &Station)]) -> Monthly {
    let southern = |latitude_deg: f64| latitude_deg < 0.0;
    let mut above_k = [0.0; 12];
    let mut total = FADE_KM.powi(-2);
    for (km, station) in near {
        // A station on an island off the grid has no trend to stand above.
        let Some(there) = field_at(station.latitude_deg, station.longitude_deg) else {
            continue;
        };
        total += nearness(*km);
        for (month, above_k) in above_k.iter_mut().enumerate() {
            let fall_k = lapse_k_m(month, southern(station.latitude_deg)) * station.elevation_m;
            *above_k += nearness(*km)
                * (station.temp_mean_c[month] + fall_k - there.months[TREND_C][month]);
        }
    }
    std::array::from_fn(|month| {
        let fall_k = lapse_k_m(month, southern(spot.latitude_deg)) * elevation_m;
        field.months[TREND_C][month] + above_k[month] / total - fall_k
    })
}

/// How far the yearly coldest hour of the weather years may be off, K: more where a month may be off more, and where winters are
/// cold enough for air to lie in valleys.
///
/// Set so that the yearly coldest hours stated in the headers of the weather files of ten of the shelf's places, their own
/// stations left out, lie within it; these files were seen before. Churchill and Santiago, 270 and 1,650 km from any other
/// station, were tried afterwards.
fn coldest_hour_error_k(mean_error_k: f64, temp_mean_c: &Monthly) -> f64 {
    const LEAST_K: f64 = 2.5;
    const OF_MONTHS: f64 = 2.5;
    const OF_FROST: f64 = 0.45;
    let frost_k = (-lowest(temp_mean_c)).max(0.0);
    LEAST_K + OF_MONTHS * mean_error_k + OF_FROST * frost_k
}

/// Fall of temperature with height in a month, K/m.
fn lapse_k_m(month: usize, southern: bool) -> f64 {
    /// Month of the northern midsummer, from 0.
    const JULY: f64 = 6.0;
    let season = (std::f64::consts::TAU * (month as f64 - JULY) / 12.0).cos();
    LAPSE_K_M + LAPSE_SEASON_K_M * if southern { -season } else { season }
}

fn normals(place: Place, temp_mean_c: Monthly, field: &Field) -> Normals {
    let half_range = field.months[RANGE_K].map(|range| range * HOURLY_RANGE / 2.0);
    let month = |of: &dyn Fn(usize) -> f64| -> Monthly { std::array::from_fn(of) };
    let humidity = |at: usize| {
        let dew_c = temp_mean_c[at] - field.months[DEW_DEPRESSION_K][at];
        let share = air::saturation_vapour_pressure_kpa(dew_c)
            / air::saturation_vapour_pressure_kpa(temp_mean_c[at]);
        (100.0 * share).clamp(HUMIDITY_PCT.0, HUMIDITY_PCT.1)
    };
    let within_month = (1.0 + YEAR_TO_YEAR_SHARE * YEAR_TO_YEAR_SHARE).sqrt();
    let spread_k = |at: usize| {
        let (high, low) = (field.months[MAX_SD_K][at], field.months[MIN_SD_K][at]);
        let of_mean =
            0.5 * (high * high + low * low + 2.0 * MAX_MIN_CORRELATION * high * low).sqrt();
        of_mean / within_month
    };
    Normals {
        source: "estimated from stations and a grid of one degree (climates/LICENCES.md)"
            .to_owned(),
        years: "means of 1983-2019, by table".to_owned(),
        temp_max_c: month(&|at| temp_mean_c[at] + half_range[at]),
        temp_min_c: month(&|at| temp_mean_c[at] - half_range[at]),
        temp_mean_c: Some(temp_mean_c),
        ghi_kwh_m2_day: Some(field.months[GHI_KWH_M2_DAY]),
        wind_m_s: Some(if field.months[WIND_M_S][0] > 0.0 {
            field.months[WIND_M_S]
        } else {
            [USUAL_WIND_M_S; 12]
        }),
        relative_humidity_pct: Some(month(&humidity)),
        place,
        spread: Some(Spread {
            temp_daily_sd_k: month(&spread_k),
            temp_daily_lag1: [TEMP_LAG1; 12],
            clearness_daily_sd: [CLEARNESS_SD; 12],
            ..Spread::default()
        }),
        ..Normals::default()
    }
}

/// Expected error of a month's mean, K, from the distance of the nearest station, how far the heights of the stations around
/// differ, how far the spot lies below the ground around, and how far the heights differ that one not known is taken from, m.
///
/// Fitted to the mean absolute error at 3,100 spots against an independent climate model (climates/tables/README.md): where the
/// stations' heights differ by less than 150 m 0.7 K with one within 60 km, 0.8 at 100 to 250, 1.1 at 300 to 600, 1.5 to 2.4
/// beyond; where by 400 m and more 1.3 to 1.5 K up to 250 km, 1.8 to 2.1 beyond; 1,000 m and more below the ground around 2.5 K
/// with a station within 300 km, 4.7 without.
fn mean_error_k(nearest_km: f64, relief_m: f64, below_m: f64, height_spread_m: f64) -> f64 {
    const NEAR_K: f64 = 0.7;
    const FAR_K: f64 = 1.5;
    const GROWS_OVER_KM: f64 = 900.0;
    const RELIEF_K_M: f64 = 0.0015;
    const BELOW_NEAR_K_M: f64 = 0.0015;
    const BELOW_FAR_K_M: f64 = 0.0015;
    const HEIGHT_K_M: f64 = 0.0045;
    let far = 1.0 - (-nearest_km / GROWS_OVER_KM).exp();
    (NEAR_K + FAR_K * far)
        .hypot(RELIEF_K_M * relief_m)
        .hypot((BELOW_NEAR_K_M + BELOW_FAR_K_M * far) * below_m)
        .hypot(HEIGHT_K_M * height_spread_m)
}

/// Miles in a kilometre.
const MILES_PER_KM: f64 = 0.621_371;
/// Heights around may differ by so much, m, before that of the spot is asked for (own choice).
const HEIGHTS_APART_M: f64 = 300.0;
/// The nearest height may be so far, km, before that of the spot is asked for (own choice).
const HEIGHT_WITHIN_KM: f64 = 30.0;

impl Basis {
    /// Should the height be asked for?
    pub fn asks_elevation(&self) -> bool {
        matches!(
            self.height_from,
            HeightFrom::Around { between_m: (low, high), nearest_km }
                if high - low > HEIGHTS_APART_M || nearest_km > HEIGHT_WITHIN_KM
        )
    }

    /// Where the height comes from, and why it counts, in one sentence; nothing where the person gave it.
    pub fn on_elevation(&self) -> Option<String> {
        /// Feet in a metre.
        const FT_PER_M: f64 = 3.281;
        let from = match self.height_from {
            HeightFrom::Person => return None,
            HeightFrom::Town => "that of the town, from the list of towns".to_owned(),
            HeightFrom::Around {
                between_m: (low, high),
                nearest_km,
            } => format!(
                "towns and stations around lie at {low:.0} to {high:.0} m ({:.0} to {:.0} ft), the nearest {nearest_km:.0} km ({:.1} \
                 miles) away",
                low * FT_PER_M,
                high * FT_PER_M,
                nearest_km * MILES_PER_KM
            ),
        };
        Some(format!(
            "{from}; 100 m (330 ft) higher is 0.55 °C (1 °F) colder"
        ))
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
                " away and a map of sun, land, sea and height; expected error of a month: mean temperature ",
                amount(self.mean_error_k, "K", 1),
                ", mean daily maximum and minimum ",
                amount(self.extreme_error_k, "K", 1),
                ", sunlight ",
                amount(SUN_ERROR_KWH_M2_DAY, "kWh/m2", 1),
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
