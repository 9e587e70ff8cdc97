//! How cold years of weather get, in the two figures that design conditions state.

use super::Weather;

/// Hours of every thousand that are colder than the 99.6 % design temperature.
const COLDER_PER_MILLE: usize = 4;

/// Cold of one or more years.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cold {
    /// Air temperature exceeded in 99.6 % of the hours, °C.
    pub hours_99_6_c: f64,
    /// Mean of the yearly coldest hours, °C.
    pub yearly_min_mean_c: f64,
}

impl Cold {
    /// Cold of some years; nothing without hours.
    pub fn of(years: &[Weather]) -> Option<Self> {
        let mut hours: Vec<f64> = years
            .iter()
            .flat_map(|year| year.temp_air_c.iter().copied())
            .collect();
        hours.sort_by(f64::total_cmp);
        let hours_99_6_c = *hours.get(hours.len() * COLDER_PER_MILLE / 1000)?;
        let minima = years.iter().map(|year| {
            year.temp_air_c
                .iter()
                .copied()
                .fold(f64::INFINITY, f64::min)
        });
        Some(Self {
            hours_99_6_c,
            yearly_min_mean_c: minima.sum::<f64>() / years.len() as f64,
        })
    }
}
