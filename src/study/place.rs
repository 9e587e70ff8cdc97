//! One place: its months, where they come from and how far they may be off.

use super::StudyError;
use super::job::on_the_shelf;
use crate::phrase::Phrase;
use crate::site::Normals;
use crate::site::places::{self, Basis, Chosen, Spot, Town};

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
    let height = basis
        .on_elevation()
        .map(|why| Phrase::from(format!("height: {why}")));
    normals.place.name = format!("{name}{}", places::ESTIMATED);
    normals.place.utc_offset_h = utc_offset_h;
    Ok(PlaceStudy {
        notes: basis
            .sentences()
            .into_iter()
            .chain(height)
            .chain(beside)
            .collect(),
        estimated: Some(basis),
        normals,
        towns,
    })
}
