//! Units for people. Machine formats stay SI.

/// Feet in a metre: the international foot is 0.3048 m exactly (NIST Special Publication 811, 2008, appendix B).
const FT_PER_M: f64 = 1.0 / 0.3048;
/// Pounds in a kilogram: the avoirdupois pound is 0.45359237 kg exactly (NIST Special Publication 811, appendix B).
const LB_PER_KG: f64 = 1.0 / 0.453_592_37;
/// Fahrenheit degrees in a kelvin (NIST Special Publication 811, appendix B).
const F_PER_K: f64 = 1.8;
/// Freezing point of water on the Fahrenheit scale, °F.
const FREEZING_F: f64 = 32.0;
/// British thermal units in a joule: 1055.05585262 J each (International Table, NIST Special Publication 811).
const BTU_PER_J: f64 = 1.0 / 1_055.055_852_62;
/// Litres in a US gallon: 3.785411784 L exactly (NIST Special Publication 811, appendix B).
const L_PER_GAL: f64 = 3.785_411_784;
/// Seconds in an hour.
const S_PER_H: f64 = 3600.0;

/// Units for people.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Metric.
    #[default]
    Si,
    /// As used in the United States.
    Us,
}

impl Units {
    /// A temperature given in °C.
    pub fn temperature(self, celsius: f64) -> f64 {
        match self {
            Units::Si => celsius,
            Units::Us => celsius * F_PER_K + FREEZING_F,
        }
    }

    /// Sign of the temperature scale.
    pub fn temperature_unit(self) -> &'static str {
        match self {
            Units::Si => "°C",
            Units::Us => "°F",
        }
    }

    /// An area given in m2.
    pub fn area(self, m2: f64) -> f64 {
        match self {
            Units::Si => m2,
            Units::Us => m2 * FT_PER_M * FT_PER_M,
        }
    }

    /// Sign of the area.
    pub fn area_unit(self) -> &'static str {
        match self {
            Units::Si => "m2",
            Units::Us => "ft2",
        }
    }

    /// A mass given in kg.
    pub fn mass(self, kg: f64) -> f64 {
        match self {
            Units::Si => kg,
            Units::Us => kg * LB_PER_KG,
        }
    }

    /// Sign of the mass.
    pub fn mass_unit(self) -> &'static str {
        match self {
            Units::Si => "kg",
            Units::Us => "lb",
        }
    }

    /// A price given for one kg.
    pub fn price_per_mass(self, per_kg: f64) -> f64 {
        match self {
            Units::Si => per_kg,
            Units::Us => per_kg / LB_PER_KG,
        }
    }

    /// The same for a difference: between two temperatures it has no zero of its own to move.
    pub fn convert_difference(self, value: f64, unit: &str) -> (f64, &str) {
        match (self, unit) {
            (Units::Us, "°C" | "C") => self.convert(value, "K"),
            _ => self.convert(value, unit),
        }
    }

    /// A quantity with the unit it is given in, and the unit people read; unknown units pass unchanged.
    pub fn convert(self, value: f64, unit: &str) -> (f64, &str) {
        if self == Units::Si {
            return (value, unit);
        }
        match unit {
            "°C" | "C" => (self.temperature(value), "°F"),
            "K" => (value * F_PER_K, "F deg"),
            "m" => (value * FT_PER_M, "ft"),
            "m2" => (self.area(value), "ft2"),
            "m3" => (value * FT_PER_M.powi(3), "ft3"),
            "kg" => (self.mass(value), "lb"),
            "L" => (value / L_PER_GAL, "gal"),
            "W" => (value * BTU_PER_J * S_PER_H, "Btu/h"),
            "W/K" => (value * BTU_PER_J * S_PER_H / F_PER_K, "Btu/h/F"),
            "W/m2K" => (
                value * BTU_PER_J * S_PER_H / F_PER_K / (FT_PER_M * FT_PER_M),
                "Btu/h/ft2/F",
            ),
            _ => (value, unit),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Units;

    #[test]
    fn a_difference_of_temperatures_keeps_its_zero() {
        let (value, unit) = Units::Us.convert_difference(5.0, "°C");
        assert!((value - 9.0).abs() < 1e-9 && unit == "F deg");
        assert_eq!(Units::Si.convert_difference(5.0, "°C"), (5.0, "°C"));
        assert_eq!(Units::Us.convert(0.0, "°C"), (32.0, "°F"));
    }

    #[test]
    fn factors_match_the_published_table() {
        // NIST Special Publication 811 (2008), appendix B.8: 1 Btu(IT)/h = 0.2930711 W;
        // 1 Btu(IT)/(h ft2 °F) = 5.678263 W/(m2 K); 1 ft2 = 0.09290304 m2; 1 lb = 0.4535924 kg.
        let cases = [
            (0.293_071_1, "W"),
            (5.678_263, "W/m2K"),
            (0.092_903_04, "m2"),
            (0.453_592_4, "kg"),
        ];
        for (one, unit) in cases {
            let (value, _) = Units::Us.convert(one, unit);
            assert!((value - 1.0).abs() < 1e-6, "{one} {unit} is {value}");
        }
        assert!((Units::Us.temperature(-40.0) + 40.0).abs() < 1e-9);
        assert_eq!(Units::Si.convert(5.0, "kg"), (5.0, "kg"));
    }
}
