//! The two tables that a climate is estimated from: mean temperature at stations, the rest on a grid of one degree.

use std::sync::OnceLock;

use super::towns::spot;
use super::unpack::Reader;
use crate::site::normals::Monthly;

static STATIONS: &[u8] = include_bytes!("../../../climates/tables/stations.bin");
static FIELDS: &[u8] = include_bytes!("../../../climates/tables/fields.bin");

/// A station's means.
#[derive(Clone, Debug)]
pub struct Station {
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive.
    pub longitude_deg: f64,
    /// Height above sea level, m.
    pub elevation_m: f64,
    /// Mean temperature of each month, °C.
    pub temp_mean_c: Monthly,
}

/// Means of a cell of the grid, or between cells.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Field {
    /// The months of each field.
    pub months: [Monthly; 7],
    /// Mean height of the ground for some 150 km around, m.
    pub ground_m: f64,
}

/// Place among the fields of the global horizontal irradiance, kWh/m2/day.
pub const GHI_KWH_M2_DAY: usize = 0;
/// Of the range of a day's thermometer, K.
pub const RANGE_K: usize = 1;
/// Of the mean temperature less dew point, K.
pub const DEW_DEPRESSION_K: usize = 2;
/// Of the standard deviation of the daily maximum about the mean of many years, K.
pub const MAX_SD_K: usize = 3;
/// Of the same of the daily minimum, K.
pub const MIN_SD_K: usize = 4;
/// Of the wind, m/s; 0 where it is not known.
pub const WIND_M_S: usize = 5;
/// Of the mean temperature at sea level that the map leads one to expect, °C (`climates/tables/trend.py`).
pub const TREND_C: usize = 6;

/// South edge of the grid, degrees; rows and columns of one degree.
const FIRST_LATITUDE: i32 = -64;
const ROWS: usize = 137;
const COLUMNS: usize = 360;
/// Parts of a cell: height, then seven fields of twelve months.
const PARTS: usize = 85;
/// What one step of each field stands for, in its unit.
const STEPS: [f64; 7] = [0.02, 0.2, 0.2, 0.2, 0.2, 0.1, 0.2];
/// What one step of the height stands for, m.
const GROUND_STEP_M: f64 = 10.0;

/// All stations.
pub fn stations() -> &'static [Station] {
    static READ: OnceLock<Vec<Station>> = OnceLock::new();
    READ.get_or_init(|| {
        let mut reader = Reader::open(STATIONS);
        let count = usize::try_from(reader.number()).unwrap_or(0);
        let place: [Vec<i32>; 4] = std::array::from_fn(|_| reader.column(count));
        let months: [Vec<i32>; 12] = std::array::from_fn(|_| reader.column(count));
        (0..count)
            .map(|station| {
                let mut tenths = 0;
                Station {
                    latitude_deg: f64::from(place[0][station]) / 100.0,
                    longitude_deg: f64::from(place[1][station]) / 100.0,
                    elevation_m: f64::from(place[2][station]),
                    temp_mean_c: std::array::from_fn(|month| {
                        tenths += months[month][station];
                        f64::from(tenths) / 10.0
                    }),
                }
            })
            .collect()
    })
}

#[derive(Debug)]
struct Grid {
    /// Number of the cell at each place of the grid, from 1; 0 where there is none.
    number: Vec<usize>,
    cells: Vec<Field>,
}

fn grid() -> &'static Grid {
    static READ: OnceLock<Grid> = OnceLock::new();
    READ.get_or_init(|| {
        let mut reader = Reader::open(FIELDS);
        let mut count = 0;
        let number: Vec<usize> = (0..ROWS * COLUMNS)
            .map(|_| {
                let there = reader.byte() == 1;
                count += usize::from(there);
                if there { count } else { 0 }
            })
            .collect();
        let mut cells = vec![Field::default(); count];
        let mut coded = vec![0; ROWS * COLUMNS];
        for part in 0..PARTS {
            for at in (0..ROWS * COLUMNS).filter(|&at| number[at] > 0) {
                let (row, column) = (at / COLUMNS, at % COLUMNS);
                let there = |at: usize| (number[at] > 0).then(|| coded[at]);
                let west = (column > 0).then(|| there(at - 1)).flatten();
                let south = (row > 0).then(|| there(at - COLUMNS)).flatten();
                let corner = (row > 0 && column > 0)
                    .then(|| there(at - COLUMNS - 1))
                    .flatten();
                let expected = match (west, south, corner) {
                    (Some(west), Some(south), Some(corner)) => {
                        (west + south - corner).clamp(west.min(south), west.max(south))
                    }
                    (Some(near), _, _) | (None, Some(near), _) => near,
                    (None, None, _) => 0,
                };
                coded[at] = expected + reader.number();
                let cell = &mut cells[number[at] - 1];
                match part.checked_sub(1) {
                    None => cell.ground_m = f64::from(coded[at]) * GROUND_STEP_M,
                    Some(field) => {
                        let value = f64::from(coded[at]) * STEPS[field / 12];
                        cell.months[field / 12][field % 12] = value;
                    }
                }
            }
        }
        Grid { number, cells }
    })
}

impl Grid {
    fn cell(&self, row: i32, column: i32) -> Option<&Field> {
        let row = usize::try_from(row).ok().filter(|row| *row < ROWS)?;
        let column = usize::try_from(column.rem_euclid(COLUMNS as i32)).ok()?;
        self.cells
            .get(self.number.get(row * COLUMNS + column)?.checked_sub(1)?)
    }
}

/// The fields at a spot, between the middles of the four cells around it, as far as they are there; nothing off the grid.
pub fn field_at(latitude_deg: f64, longitude_deg: f64) -> Option<Field> {
    /// Weight of a cell that touches the spot's own by an edge only.
    const LEAST: f64 = 1e-9;
    let grid = grid();
    let (y, x) = (
        latitude_deg - f64::from(FIRST_LATITUDE) - 0.5,
        longitude_deg + 180.0 - 0.5,
    );
    let (row, column) = (y.floor(), x.floor());
    let (mut sum, mut weight, mut windy) = (Field::default(), 0.0, 0.0);
    for (up, right) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
        let Some(cell) = grid.cell(row as i32 + up, column as i32 + right) else {
            continue;
        };
        let share = (1.0 - (y - row - f64::from(up)).abs())
            * (1.0 - (x - column - f64::from(right)).abs())
            + LEAST;
        weight += share;
        let has_wind = cell.months[WIND_M_S][0] > 0.0;
        windy += if has_wind { share } else { 0.0 };
        sum.ground_m += share * cell.ground_m;
        let totals = sum.months.iter_mut().flatten();
        for (total, value) in totals.zip(cell.months.iter().flatten()) {
            *total += share * value;
        }
    }
    if weight <= 0.0 {
        return None;
    }
    sum.ground_m /= weight;
    for (field, months) in sum.months.iter_mut().enumerate() {
        let over = if field == WIND_M_S {
            f64::max(windy, LEAST)
        } else {
            weight
        };
        months.iter_mut().for_each(|value| *value /= over);
    }
    Some(sum)
}

/// The nearest stations to a spot with their distances, km, nearest first; those nearer than `left_out_km` are passed over.
pub fn nearest_stations(
    latitude_deg: f64,
    longitude_deg: f64,
    count: usize,
    left_out_km: f64,
) -> Vec<(f64, &'static Station)> {
    let here = spot(latitude_deg, longitude_deg);
    let far = stations().iter().map(|station| {
        let there = spot(station.latitude_deg, station.longitude_deg);
        (here.distance_km(&there), station)
    });
    nearest_of(far.filter(|(km, _)| *km >= left_out_km).collect(), count)
}

/// The nearest of some things with their distances, nearest first.
pub(super) fn nearest_of<T>(mut far: Vec<(f64, T)>, count: usize) -> Vec<(f64, T)> {
    let order = |a: &(f64, T), b: &(f64, T)| a.0.total_cmp(&b.0);
    if far.len() > count {
        far.select_nth_unstable_by(count, order);
        far.truncate(count);
    }
    far.sort_by(order);
    far
}
