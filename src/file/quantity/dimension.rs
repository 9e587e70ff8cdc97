//! What quantities measure.

use super::unit::{DIMENSIONS, Unit};

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // each name says itself; `name()` is the text for people
pub enum Dimension {
    Length,
    Area,
    Volume,
    Resistance,
    Transmittance,
    Conductivity,
    Density,
    SpecificHeat,
    ArealHeatCapacity,
    VolumetricHeatCapacity,
    HeatCapacity,
    LeafArea,
    Temperature,
    TemperatureDifference,
    Power,
    Flow,
    AirChange,
    Mass,
    Speed,
    Share,
    Angle,
    Azimuth,
    Latitude,
    Longitude,
    UtcOffset,
    ClockHour,
    Hours,
    Years,
    PhotonFlux,
    SunEnergy,
    PerEnergy,
    PerVolume,
    PerMass,
    PerTime,
    PerArea,
}

impl Dimension {
    /// Its units.
    pub fn units(self) -> &'static [Unit] {
        DIMENSIONS
            .iter()
            .find(|(dimension, _)| *dimension == self)
            .map_or(&[], |(_, units)| units)
    }

    /// May a value be a chain of pieces, such as `24 ft 6 in`?
    pub(super) fn chains(self) -> bool {
        matches!(self, Self::Length | Self::Mass | Self::Hours)
    }

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Area => "area",
            Self::Volume => "volume",
            Self::Resistance => "thermal resistance (R)",
            Self::Transmittance => "thermal transmittance (U)",
            Self::Conductivity => "thermal conductivity",
            Self::Density => "density",
            Self::SpecificHeat => "specific heat",
            Self::ArealHeatCapacity => "heat capacity per area",
            Self::VolumetricHeatCapacity => "heat capacity per volume",
            Self::HeatCapacity => "heat capacity",
            Self::LeafArea => "leaf area per area",
            Self::Temperature => "temperature",
            Self::TemperatureDifference => "temperature difference",
            Self::Power => "power",
            Self::Flow => "air flow",
            Self::AirChange => "air change",
            Self::Mass => "mass",
            Self::Speed => "speed",
            Self::Share => "share",
            Self::Angle => "angle",
            Self::Azimuth => "direction",
            Self::Latitude => "latitude",
            Self::Longitude => "longitude",
            Self::UtcOffset => "time zone",
            Self::ClockHour => "time of day",
            Self::Hours => "duration in hours",
            Self::Years => "span of years",
            Self::PhotonFlux => "photon flux",
            Self::SunEnergy => "daily sun energy",
            Self::PerEnergy => "price of energy",
            Self::PerVolume => "price per volume",
            Self::PerMass => "price per mass",
            Self::PerTime => "money over time",
            Self::PerArea => "money per area",
        }
    }

    /// The name with its article.
    pub fn article(self) -> String {
        let name = self.name();
        let article = if name.starts_with(['a', 'e', 'i', 'o']) {
            "an"
        } else {
            "a"
        };
        format!("{article} {name}")
    }

    /// The SI unit in which a bare number is taken.
    pub fn si_name(self) -> &'static str {
        match self {
            Self::Share => "1 (0.85 is 85 %)",
            Self::Azimuth => "degrees clockwise from north",
            Self::Latitude => "degrees, north positive",
            Self::Longitude => "degrees, east positive",
            Self::UtcOffset => "h ahead of UTC",
            Self::ClockHour => "h",
            Self::Temperature => "C",
            Self::SunEnergy => "kWh/m2",
            _ => self.example_unit(),
        }
    }

    /// The unit to show in an example.
    pub fn example_unit(self) -> &'static str {
        self.units()
            .first()
            .and_then(|unit| unit.names.first())
            .copied()
            .unwrap_or("")
    }

    /// The units that fit, as a message lists them.
    pub fn fitting_units(self) -> String {
        match self {
            Self::Resistance => return "R-28 (US), RSI 4.9, m2K/W, h ft2 F/Btu".to_owned(),
            Self::Azimuth => {
                return "degrees clockwise from north (180 is south), or a compass word such as SSW"
                    .to_owned();
            }
            Self::Latitude => return "degrees with N or S, such as 46.6 N".to_owned(),
            Self::Longitude => return "degrees with E or W, such as 112 W".to_owned(),
            Self::UtcOffset => return "UTC-7, UTC+5:30, h".to_owned(),
            Self::ClockHour => return "a time such as 18:00, h".to_owned(),
            _ => {}
        }
        let names: Vec<_> = self
            .units()
            .iter()
            .filter_map(|unit| unit.names.first().copied())
            .collect();
        names.join(", ")
    }

    /// The unit of this dimension whose name is nearest to what was written.
    pub(super) fn nearest_unit(self, written: &str) -> Option<&'static str> {
        let names = self
            .units()
            .iter()
            .flat_map(|unit| unit.names.iter().copied())
            .filter(|name| name.len() > 1);
        crate::suggest::nearest(written, names)
    }
}
