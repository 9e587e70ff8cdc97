//! Places: their months, where these come from and how far they may be off; weather years beside the design temperatures that
//! handbooks and weather files state.

use rayon::prelude::*;

use super::StudyError;
use super::job::on_the_shelf;
use crate::phrase::Phrase;
use crate::site::places::{self, Basis, Chosen, Spot, Town};
use crate::site::{Cold, Normals, YearSource, weather_years};

/// Towns named near a spot.
const TOWNS: usize = 5;

/// A place's months.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceStudy {
    /// The months; the place's name is marked where they are estimated.
    pub normals: Normals,
    /// What an estimate rests on; none for a place of the shelf.
    pub estimated: Option<Basis>,
    /// What to know of them, one sentence each.
    pub notes: Vec<Phrase>,
    /// Towns near, nearest first, with their distance, km.
    pub towns: Vec<(f64, Town)>,
}

/// The months of a place of the shelf or a town.
///
/// # Errors
/// [`StudyError::Place`] for a name that is not known or that several have, [`StudyError::Estimate`] where no climate can be
/// estimated.
pub fn place(written: &str, elevation_m: Option<f64>) -> Result<PlaceStudy, StudyError> {
    match places::choose(written) {
        Chosen::Shelf(name) => Ok(PlaceStudy {
            normals: on_the_shelf(name)?,
            estimated: None,
            notes: Vec::new(),
            towns: Vec::new(),
        }),
        Chosen::Town(town, _) => {
            let spot = Spot {
                latitude_deg: town.latitude_deg,
                longitude_deg: town.longitude_deg,
                elevation_m,
            };
            estimated(&spot, town.shown(), town.utc_offset_h(), Vec::new())
        }
        Chosen::Unclear { wrong, right } => Err(StudyError::Place { wrong, right }),
    }
}

/// The months of a spot, with the towns near.
///
/// # Errors
/// [`StudyError::Estimate`] where no climate can be estimated.
pub fn spot(name: &str, spot: &Spot) -> Result<PlaceStudy, StudyError> {
    let (latitude_deg, longitude_deg) = (spot.latitude_deg, spot.longitude_deg);
    let (utc_offset_h, _) = places::clock_at(latitude_deg, longitude_deg);
    let towns = places::near(latitude_deg, longitude_deg, TOWNS)
        .into_iter()
        .map(|town| (town.distance_km(latitude_deg, longitude_deg), town));
    estimated(spot, name.to_owned(), utc_offset_h, towns.collect())
}

fn estimated(
    spot: &Spot,
    name: String,
    utc_offset_h: f64,
    towns: Vec<(f64, Town)>,
) -> Result<PlaceStudy, StudyError> {
    let places::Estimate { mut normals, basis } = places::estimate(spot, 0.0)?;
    let beside = places::shelf_beside(&normals.place, &normals.monthly_mean_c());
    let height = basis.on_elevation();
    let height = height.map(|why| Phrase::from(format!("height: {why}")));
    let notes = basis.sentences().into_iter().chain(height).chain(beside);
    normals.place.name = format!("{name}{}", places::ESTIMATED);
    normals.place.utc_offset_h = utc_offset_h;
    Ok(PlaceStudy {
        notes: notes.collect(),
        estimated: Some(basis),
        normals,
        towns,
    })
}

/// Difference up to which nothing is explained, K.
pub const EXPLAINED_FROM_K: f64 = 3.0;

/// One design figure of a place three times: stated, of the hours that its months come from, of the weather years.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DesignFigure {
    /// As stated, °C.
    pub stated_c: Option<f64>,
    /// Of the hours that the months were computed from, °C.
    pub hours_c: Option<f64>,
    /// Of the weather years, °C.
    pub years_c: f64,
}

/// Why weather years and stated figure differ by more than [`EXPLAINED_FROM_K`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DesignReason {
    /// The hours that the months come from differ from the stated figure the same way, by so many K.
    Hours(f64),
    /// These hours agree with the stated figure: it is the weather years that differ from them, by so many K.
    Years(f64),
    /// No such hours are known.
    Unknown,
}

impl DesignFigure {
    /// Weather years less stated figure, K.
    pub fn difference_k(&self) -> Option<f64> {
        Some(self.years_c - self.stated_c?)
    }

    /// Why the two differ; nothing where they agree or nothing is stated.
    pub fn reason(&self) -> Option<DesignReason> {
        let difference = self.difference_k()?;
        if difference.abs() <= EXPLAINED_FROM_K {
            return None;
        }
        let Some(hours_c) = self.hours_c else {
            return Some(DesignReason::Unknown);
        };
        let (of_hours, of_years) = (hours_c - self.stated_c?, self.years_c - hours_c);
        let by_hours = of_hours * difference > 0.0 && of_hours.abs() >= of_years.abs();
        Some(match by_hours {
            true => DesignReason::Hours(of_hours),
            false => DesignReason::Years(of_years),
        })
    }
}

/// A place's cold in weather years beside its design temperatures.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignStudy {
    /// Identifier of the place.
    pub place: String,
    /// Air temperature exceeded in 99.6 % of the hours.
    pub hours_99_6: DesignFigure,
    /// Mean of the yearly coldest hours.
    pub yearly_min: DesignFigure,
}

/// Weather years of places beside their design temperatures, in the order given.
pub fn design(shelf: &[(String, Normals)], years: usize, seed: u64, year: i32) -> Vec<DesignStudy> {
    let all: Vec<Normals> = shelf.iter().map(|(_, normals)| normals.clone()).collect();
    shelf
        .par_iter()
        .filter_map(|(place, normals)| {
            let (whole, _) = normals.clone().complete(&all);
            let source = YearSource::Normals(Box::new(whole));
            let cold = Cold::of(&weather_years(&source, years, seed, year))?;
            let stated = normals.design;
            let figure = |stated_c, hours_c, years_c| DesignFigure {
                stated_c,
                hours_c,
                years_c,
            };
            let hours_c = stated.and_then(|design| design.hours_99_6_c);
            let heating_c = stated.map(|design| design.heating_99_6_c);
            let coldest_c = stated.and_then(|design| design.hours_min_c);
            let mean_c = stated.and_then(|design| design.yearly_min_mean_c);
            Some(DesignStudy {
                place: place.clone(),
                hours_99_6: figure(heating_c, hours_c, cold.hours_99_6_c),
                yearly_min: figure(mean_c, coldest_c, cold.yearly_min_mean_c),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(stated: f64, hours: f64, years: f64) -> DesignFigure {
        DesignFigure {
            stated_c: Some(stated),
            hours_c: Some(hours),
            years_c: years,
        }
    }

    #[test]
    fn a_difference_has_its_reason_where_it_arises() {
        assert_eq!(figure(-20.0, -18.0, -17.5).reason(), None);
        let mild = figure(-26.0, -20.0, -20.5).reason();
        assert_eq!(mild, Some(DesignReason::Hours(6.0)));
        let deep = figure(-3.0, -3.5, -7.0).reason();
        assert_eq!(deep, Some(DesignReason::Years(-3.5)));
        let unknown = DesignFigure {
            hours_c: None,
            ..figure(-3.0, 0.0, -7.0)
        };
        assert_eq!(unknown.reason(), Some(DesignReason::Unknown));
    }
}
