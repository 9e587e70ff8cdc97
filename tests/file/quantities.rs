//! Quantities as people write them, against conversion factors that are exact by definition (international yard and
//! pound of 1959; NIST SP 811, appendix B) unless a line says otherwise.

use bedyear::file::quantity::{Dimension, QuantityError, parse, parse_amount, parse_price};

#[test]
fn quantities_come_out_in_si() {
    use Dimension::*;
    // text, dimension, expected, tolerance
    let table: &[(&str, Dimension, f64, f64)] = &[
        ("7.3 m", Length, 7.3, 1e-12),
        ("7.3m", Length, 7.3, 1e-12),
        ("24 ft", Length, 7.3152, 1e-12),
        ("24 ft 6 in", Length, 7.4676, 1e-12),
        ("24'6\"", Length, 7.4676, 1e-12),
        ("-1 ft 6 in", Length, -0.4572, 1e-12),
        ("150 mm", Length, 0.15, 1e-12),
        ("1e2 cm", Length, 1.0, 1e-12),
        ("100 sq ft", Area, 9.290_304, 1e-9),
        ("100 ft²", Area, 9.290_304, 1e-9),
        ("210 gal", Volume, 0.794_936_474_64, 1e-12), // 3.785411784 L a gallon
        ("800 L", Volume, 0.8, 1e-12),
        ("R-28", Resistance, 28.0 * 0.176_110_183_7, 1e-8), // 1 h ft2 F/Btu = 0.1761102 m2K/W (NIST SP 811)
        ("r28", Resistance, 28.0 * 0.176_110_183_7, 1e-8),
        ("R 28", Resistance, 28.0 * 0.176_110_183_7, 1e-8),
        ("RSI 4.9", Resistance, 4.9, 1e-12),
        ("RSI-4.9", Resistance, 4.9, 1e-12),
        ("4.9 m2K/W", Resistance, 4.9, 1e-12),
        ("0.9 W/m2K", Transmittance, 0.9, 1e-12),
        ("0.9 W/(m²·K)", Transmittance, 0.9, 1e-12),
        ("1 Btu/(h ft2 °F)", Transmittance, 5.678_263, 1e-6), // NIST SP 811
        ("5 C", Temperature, 5.0, 1e-12),
        ("-5 °C", Temperature, -5.0, 1e-12),
        ("41 F", Temperature, 5.0, 1e-12),
        ("-40 °F", Temperature, -40.0, 1e-9),
        ("300 K", Temperature, 26.85, 1e-9),
        ("9 F", TemperatureDifference, 5.0, 1e-12),
        ("1703.16 m3/h", Flow, 0.473_1, 1e-12),
        ("1000 cfm", Flow, 0.471_947_443_2, 1e-9), // 28.316846592 L a cubic foot
        ("472 L/s", Flow, 0.472, 1e-12),
        ("5 kW", Power, 5000.0, 1e-9),
        ("60000 Btu/h", Power, 17_584.264, 1e-3), // 0.29307107 W (NIST SP 811)
        ("0.5 ach", AirChange, 0.5, 1e-12),
        ("0.5 1/h", AirChange, 0.5, 1e-12),
        ("2 lb 8 oz", Mass, 1.133_980_925, 1e-9),
        ("15 mph", Speed, 6.7056, 1e-9),
        ("85 %", Share, 0.85, 1e-12),
        ("0.85", Share, 0.85, 1e-12),
        ("SSW", Azimuth, 202.5, 1e-12),
        ("south-west", Azimuth, 225.0, 1e-12),
        ("200 deg", Azimuth, 200.0, 1e-12),
        ("46.6 N", Latitude, 46.6, 1e-12),
        ("33.4° S", Latitude, -33.4, 1e-12),
        ("112 W", Longitude, -112.0, 1e-12),
        ("UTC-7", UtcOffset, -7.0, 1e-12),
        ("UTC+5:30", UtcOffset, 5.5, 1e-12),
        ("18:30", ClockHour, 18.5, 1e-12),
        ("6 months", Years, 0.5, 1e-12),
        ("18 MJ/m2", SunEnergy, 5.0, 1e-12),
        ("1 lb/ft3", Density, 16.018_463, 1e-6), // NIST SP 811
        ("1 Btu/lb F", SpecificHeat, 4186.8, 1e-6), // International Table, by definition
        ("1 Btu in/h ft2 F", Conductivity, 0.144_227_9, 1e-7), // NIST SP 811
    ];
    for (text, dimension, expected, tolerance) in table {
        match parse(text, *dimension) {
            Ok(got) => assert!(
                (got - expected).abs() <= *tolerance,
                "{text}: {got}, expected {expected}"
            ),
            Err(error) => panic!("{text}: {error}"),
        }
    }
}

#[test]
fn money_needs_the_files_currency() {
    let price = |text, dimension| parse_price(text, dimension, "USD");
    assert!((price("0.13 USD/kWh", Dimension::PerEnergy).unwrap() - 0.13).abs() < 1e-12);
    assert!((price("$0.13/kWh", Dimension::PerEnergy).unwrap() - 0.13).abs() < 1e-12);
    assert!((price("2.11 USD/gal", Dimension::PerVolume).unwrap() - 557.4).abs() < 0.1);
    assert!((price("3 a lb", Dimension::PerMass).unwrap() - 6.613_868).abs() < 1e-6);
    assert!((price("1000 USD a month", Dimension::PerTime).unwrap() - 12_000.0).abs() < 1e-9);
    assert!((parse_amount("26000 USD", "USD").unwrap() - 26_000.0).abs() < 1e-9);
    assert!(matches!(
        price("0.13 EUR/kWh", Dimension::PerEnergy),
        Err(QuantityError::WrongCurrency { .. })
    ));
    assert!(matches!(
        price("£0.13/kWh", Dimension::PerEnergy),
        Err(QuantityError::WrongCurrency { .. })
    ));
    assert!(matches!(
        price("0.13 USD", Dimension::PerEnergy),
        Err(QuantityError::NoUnit { .. })
    ));
    assert!(matches!(
        parse_amount("26,000 USD", "USD"),
        Err(QuantityError::Comma { .. })
    ));
}

#[test]
fn wrong_quantities_say_which_units_fit() {
    let cases = [
        (
            "24 ft2",
            Dimension::Length,
            "`ft2` is a unit of area, not of length",
            "m, cm, mm, ft",
        ),
        ("24", Dimension::Length, "`24` has no unit", "24 m"),
        (
            "24 fet",
            Dimension::Length,
            "`fet` is no unit",
            "did you mean `feet`?",
        ),
        ("4,5 m", Dimension::Length, "comma", "m, cm"),
        (
            "",
            Dimension::Area,
            "empty text where an area belongs",
            "m2",
        ),
        (
            "wide",
            Dimension::Length,
            "`wide` does not begin with a number",
            "m, cm",
        ),
        (
            "R-20",
            Dimension::Transmittance,
            "`R` is a unit of thermal resistance (R)",
            "W/m2K",
        ),
        (
            "20 W",
            Dimension::Temperature,
            "`W` is a unit of power",
            "C, F, K",
        ),
        ("1e999 m", Dimension::Length, "no finite number", "m, cm"),
        (
            "inf m",
            Dimension::Length,
            "does not begin with a number",
            "m, cm",
        ),
    ];
    for (text, dimension, wrong, right) in cases {
        let error = parse(text, dimension).expect_err(text);
        assert!(error.to_string().contains(wrong), "{text}: {error}");
        assert!(
            error.right(dimension).contains(right),
            "{text}: {}",
            error.right(dimension)
        );
    }
}
