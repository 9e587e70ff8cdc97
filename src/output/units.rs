//! Units for people. Machine formats stay SI.

use crate::phrase::{Amount, Phrase, Piece};
use crate::plain::fixed;

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
/// Seconds in a minute.
const S_PER_MIN: f64 = 60.0;
/// Inches in a foot, feet in a mile, millimetres in a metre.
const IN_PER_FT: f64 = 12.0;
const FT_PER_MI: f64 = 5280.0;
const M_PER_KM: f64 = 1000.0;
const MM_PER_M: f64 = 1000.0;
/// Sign of thermal resistance.
const US_R: &str = "h ft2 F/Btu";
/// Watts in a kilowatt.
const W_PER_KW: f64 = 1000.0;

pub use crate::file::Units;

impl Units {
    /// A temperature given in °C.
    pub fn temperature(self, celsius: f64) -> f64 {
        self.convert(celsius, "°C").0
    }

    /// Sign of the temperature scale.
    pub fn temperature_unit(self) -> &'static str {
        self.convert(0.0, "°C").1
    }

    /// A mass given in kg.
    pub fn mass(self, kg: f64) -> f64 {
        self.convert(kg, "kg").0
    }

    /// Sign of the mass.
    pub fn mass_unit(self) -> &'static str {
        self.convert(0.0, "kg").1
    }

    /// A price given for one kg.
    pub fn price_per_mass(self, per_kg: f64) -> f64 {
        per_kg / self.mass(1.0)
    }

    /// A quantity with the unit it is given in, and the unit people read; unknown units pass unchanged.
    pub fn convert(self, value: f64, unit: &str) -> (f64, &str) {
        if self == Units::Si {
            // Growers know no kelvins: a difference is in degrees, warmth in degree-days.
            let unit = match unit {
                "K" => "°C",
                "K d" => "°C d",
                "K h" => "°C h",
                unit => unit,
            };
            return (value, unit);
        }
        match unit {
            "°C" | "C" => (value * F_PER_K + FREEZING_F, "°F"),
            "K" => (value * F_PER_K, "°F"),
            "m" => (value * FT_PER_M, "ft"),
            "km" => (value * M_PER_KM * FT_PER_M / FT_PER_MI, "miles"),
            "m2" => (value * FT_PER_M * FT_PER_M, "ft2"),
            "m3" => (value * FT_PER_M.powi(3), "ft3"),
            "kg" => (value * LB_PER_KG, "lb"),
            "L" => (value / L_PER_GAL, "gal"),
            "W" => (value * BTU_PER_J * S_PER_H, "Btu/h"),
            "kW" => self.convert(value * W_PER_KW, "W"),
            "W/K" => (value * BTU_PER_J * S_PER_H / F_PER_K, "Btu/h/F"),
            "J/K" => (value * BTU_PER_J / F_PER_K, "Btu/F"),
            "W/m2K" => (
                value * BTU_PER_J * S_PER_H / F_PER_K / (FT_PER_M * FT_PER_M),
                "Btu/h/ft2/F",
            ),
            "kg/m2" => (value * LB_PER_KG / (FT_PER_M * FT_PER_M), "lb/ft2"),
            "K d" => (value * F_PER_K, "°F d"),
            "K h" => (value * F_PER_K, "°F h"),
            "m2/m2" => (value, "ft2/ft2"),
            "cm" => self.convert(10.0 * value, "mm"),
            "mm" => (value * FT_PER_M * IN_PER_FT / MM_PER_M, "in"),
            "m/s" => (value * FT_PER_M * S_PER_H / FT_PER_MI, "mph"),
            "m3/s" => (value * FT_PER_M.powi(3) * S_PER_MIN, "cfm"),
            "m3/h" => (value * FT_PER_M.powi(3) * S_PER_MIN / S_PER_H, "cfm"),
            "m2K/W" => (
                value * F_PER_K * FT_PER_M * FT_PER_M / (BTU_PER_J * S_PER_H),
                US_R,
            ),
            _ => (value, unit),
        }
    }

    /// A quantity with its unit for people, such as `2.4 m2`.
    pub fn said(self, value: f64, unit: &str, decimals: usize) -> String {
        let (value, unit) = self.convert(value, unit);
        format!("{} {unit}", fixed(value, decimals))
    }

    /// An amount inside a sentence, about as exact as it was given.
    fn say_amount(self, amount: &Amount) -> String {
        let (value, unit) = self.convert(amount.value, amount.unit);
        let factor = self.convert(1.0, amount.unit).0 - self.convert(0.0, amount.unit).0;
        /// A factor of five or more makes a decimal needless, one of a half calls for another (own choice).
        const ROUND_UP: f64 = 0.3;
        let fewer = (factor.abs().log10() + ROUND_UP).floor() as isize;
        let number = fixed(value, (amount.decimals as isize - fewer).max(0) as usize);
        // What was a round figure in metres is none in feet, and the other way round: no noughts to show how exact it is.
        let number = match number.contains('.') && factor != 1.0 {
            true => number
                .trim_end_matches('0')
                .trim_end_matches('.')
                .to_owned(),
            false => number,
        };
        match (amount.bare, unit) {
            (true, _) | (false, "") => number,
            // The trade writes thermal resistance with the letter before the number.
            (false, US_R) => format!("R-{number}"),
            (false, "m2K/W") => format!("RSI {number}"),
            (false, unit) => format!("{number} {unit}"),
        }
    }

    /// A phrase with its amounts in these units.
    pub fn say(self, phrase: &Phrase) -> String {
        let say = |piece: &Piece| match piece {
            Piece::Text(text) => text.clone(),
            Piece::Amount(amount) => self.say_amount(amount),
        };
        phrase.pieces().iter().map(say).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::Units;
    use crate::phrase::{amount, bare, phrase};

    #[test]
    fn a_phrase_is_said_in_the_units_asked_for() {
        let said = phrase![
            "down to ",
            amount(-5.0, "°C", 0),
            ", short by ",
            amount(2.0, "K", 0),
            ", ",
            bare(1.0, "m2", 1),
            " to ",
            amount(2.0, "m2", 1),
            " give ",
            amount(0.5, "kg/m2", 1)
        ];
        assert_eq!(
            Units::Si.say(&said),
            "down to -5 °C, short by 2 °C, 1.0 to 2.0 m2 give 0.5 kg/m2"
        );
        assert_eq!(
            Units::Us.say(&said),
            "down to 23 °F, short by 4 °F, 11 to 22 ft2 give 0.1 lb/ft2"
        );
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
            // The same table: 1 in = 0.0254 m; 1 mi/h = 0.44704 m/s; 1 ft3/min = 4.719474e-4 m3/s;
            // 1 h ft2 °F/Btu = 0.1761102 m2 K/W; 1 lb/ft2 = 4.882428 kg/m2.
            (25.4, "mm"),
            (0.447_04, "m/s"),
            (4.719_474e-4, "m3/s"),
            (1.699_010_8, "m3/h"),
            (0.176_110_2, "m2K/W"),
            (4.882_428, "kg/m2"),
        ];
        for (one, unit) in cases {
            let (value, _) = Units::Us.convert(one, unit);
            assert!((value - 1.0).abs() < 1e-6, "{one} {unit} is {value}");
        }
        assert!((Units::Us.temperature(-40.0) + 40.0).abs() < 1e-9);
        assert_eq!(Units::Si.convert(5.0, "kg"), (5.0, "kg"));
    }
}
