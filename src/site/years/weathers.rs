//! Consecutive weather years of which only the first are held in memory.

use std::borrow::Cow;
use std::sync::Arc;

use rayon::prelude::*;

use super::{Maker, YearSource};
use crate::site::weather::Weather;

/// Weather years that are held; a later one is made whenever it is asked for, the same each time (own choice: 21 MB).
const HELD: usize = 30;
/// More years than this are all made when they are asked for: by then the memory is wanted for what is kept of them.
const HELD_OF_AT_MOST: usize = 120;

/// Consecutive weather years.
#[derive(Clone, Debug, Default)]
pub struct Weathers {
    held: Vec<Weather>,
    later: Option<Arc<Maker>>,
    count: usize,
    ground_reflectance: Option<f64>,
}

impl Weathers {
    /// The years of [`super::weather_years`], over ground of another reflectance where one is given (0 to 1).
    pub fn new(
        source: &YearSource,
        count: usize,
        (seed, year): (u64, i32),
        ground_reflectance: Option<f64>,
    ) -> Self {
        let mut years = Self {
            held: Vec::new(),
            later: None,
            count,
            ground_reflectance,
        };
        if count == 0 {
            return years;
        }
        let maker = Maker::new(source, count, seed, year);
        let held = if count > HELD_OF_AT_MOST { 0 } else { HELD };
        let first = (0..count.min(held)).into_par_iter();
        years.held = first.map(|index| years.made(&maker, index)).collect();
        years.later = (count > HELD).then(|| Arc::new(maker));
        years
    }

    /// How many.
    pub fn len(&self) -> usize {
        self.count
    }

    /// True if there are none.
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// A year, from 0; years past the last go round. Where there are none, a year without hours.
    pub fn year(&self, index: usize) -> Cow<'_, Weather> {
        let index = index % self.count.max(1);
        match (self.held.get(index), &self.later) {
            (Some(held), _) => Cow::Borrowed(held),
            (None, Some(maker)) => Cow::Owned(self.made(maker, index)),
            (None, None) => Cow::Owned(Weather::with_capacity(0)),
        }
    }

    /// Some of them by their places.
    pub fn some(&self, places: impl IntoIterator<Item = usize>) -> Self {
        let years = places.into_iter().map(|index| self.year(index));
        years.map(Cow::into_owned).collect::<Vec<Weather>>().into()
    }

    /// The first so many of them.
    pub fn first(&self, count: usize) -> Self {
        let count = self.count.min(count);
        if count <= HELD {
            return self.some(0..count);
        }
        Self {
            count,
            ..self.clone()
        }
    }

    fn made(&self, maker: &Maker, index: usize) -> Weather {
        let mut year = maker.year(index);
        if let Some(reflectance) = self.ground_reflectance {
            year.ground_reflectance.fill(reflectance);
        }
        year
    }
}

impl From<Vec<Weather>> for Weathers {
    fn from(held: Vec<Weather>) -> Self {
        Self {
            count: held.len(),
            held,
            ..Self::default()
        }
    }
}
