//! Where the building stands: place, hourly weather (file, normals, weather years), undisturbed ground.

pub mod climates;
mod course;
pub mod epw;
mod fill_from_nearest;
pub mod ground;
mod hours;
mod interpolate;
mod normals;
pub mod places;
pub mod snow;
mod solar_frame;
mod statistics;
pub mod typical;
mod weather;
pub mod years;

use crate::phrase::Phrase;

pub use epw::{EpwFile, WeatherError};
pub use ground::UndisturbedGround;
pub use normals::{
    DesignTemps, GHI_KWH_M2_DAY, HUMIDITY_PCT, Monthly, Normals, NormalsError, SUN_HOURS_DAY,
    Spread, TEMPERATURES_C, WIND_M_S,
};
pub use statistics::Cold;
pub use typical::typical_year;
pub use weather::{Place, TableError, Weather};
pub use years::{Weathers, YearSource, weather_years};

/// A place with its weather and its ground: what the later stages are given.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    pub place: Place,
    /// Where the weather comes from, in one sentence.
    pub source: String,
    /// The usual year: the file's own hours, or the typical year of the normals.
    pub typical: Weather,
    /// The ground that the building does not touch.
    pub ground: UndisturbedGround,
    /// What weather years are made from.
    pub year_source: YearSource,
    /// Design temperatures, where known.
    pub design: Option<DesignTemps>,
    /// What was filled, borrowed or looks wrong, each in one sentence.
    pub notes: Vec<Phrase>,
    /// What an estimated climate rests on; none where the climate is not estimated.
    pub estimated: Option<places::Basis>,
}

impl Site {
    /// A site from a weather file that was read.
    pub fn from_epw(file: EpwFile) -> Self {
        let mut normals = Normals::from_weather(&file.place, &file.weather);
        normals.source = file.data_set.clone();
        normals.design = file.design;
        Self {
            source: file.data_set,
            ground: usual_ground(&file.weather),
            year_source: YearSource::Days {
                normals: Box::new(normals),
                weather: Box::new(file.weather.clone()),
            },
            place: file.place,
            typical: file.weather,
            design: file.design,
            notes: file.warnings.into_iter().map(Phrase::from).collect(),
            estimated: None,
        }
    }

    /// A site from monthly normals; what they lack is borrowed from the nearest of `shelf`.
    ///
    /// `year` fixes the sun's course only.
    pub fn from_normals(
        normals: Normals,
        shelf: &[Normals],
        year: i32,
    ) -> Result<Self, NormalsError> {
        normals.check()?;
        let (normals, notes) = normals.complete(shelf);
        let typical = typical_year(&normals, year);
        Ok(Self {
            place: normals.place.clone(),
            source: normals.source.clone(),
            ground: usual_ground(&typical),
            design: normals.design,
            year_source: YearSource::Normals(Box::new(normals)),
            typical,
            notes: notes.into_iter().map(Phrase::from).collect(),
            estimated: None,
        })
    }

    /// A site whose climate is estimated: its name is marked so wherever it is shown.
    pub fn from_estimate(
        estimate: places::Estimate,
        shelf: &[Normals],
        year: i32,
    ) -> Result<Self, NormalsError> {
        let places::Estimate { normals, basis } = estimate;
        let beside = places::shelf_beside(&normals.place, &normals.monthly_mean_c());
        let mut site = Self::from_normals(normals, shelf, year)?;
        site.notes
            .splice(0..0, basis.sentences().into_iter().chain(beside));
        site.estimated = Some(basis);
        site.name(&site.place.name.clone());
        Ok(site)
    }

    /// Calls the place by another name; an estimated climate stays marked.
    pub fn name(&mut self, name: &str) {
        let mark = self.estimated.as_ref().map_or("", |_| places::ESTIMATED);
        self.place.name = format!("{name}{mark}");
    }

    /// `count` consecutive years of weather (see [`weather_years`]).
    pub fn weather_years(&self, count: usize, seed: u64, year: i32) -> Vec<Weather> {
        weather_years(&self.year_source, count, seed, year)
    }
}

/// The ground under a year of weather where nothing is said of its soil.
fn usual_ground(weather: &Weather) -> UndisturbedGround {
    UndisturbedGround::from_weather(weather, ground::DIFFUSIVITY_CLAY_OR_SILT_M2_DAY)
}
