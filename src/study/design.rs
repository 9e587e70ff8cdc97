//! Weather years beside the design temperatures that handbooks and weather files state.

use rayon::prelude::*;

use crate::site::{Cold, Normals, YearSource, weather_years};

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
        if of_hours * difference > 0.0 && of_hours.abs() >= of_years.abs() {
            Some(DesignReason::Hours(of_hours))
        } else {
            Some(DesignReason::Years(of_years))
        }
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
            Some(DesignStudy {
                place: place.clone(),
                hours_99_6: DesignFigure {
                    stated_c: stated.map(|design| design.heating_99_6_c),
                    hours_c: stated.and_then(|design| design.hours_99_6_c),
                    years_c: cold.hours_99_6_c,
                },
                yearly_min: DesignFigure {
                    stated_c: stated.and_then(|design| design.yearly_min_mean_c),
                    hours_c: stated.and_then(|design| design.hours_min_c),
                    years_c: cold.yearly_min_mean_c,
                },
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
