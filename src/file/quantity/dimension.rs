//! What quantities measure, and the units in which people write them.

use crate::calendar::SECONDS_PER_HOUR;

// Exact by definition (international yard and pound, 1959; BIPM, The International System of Units, 9th ed.):
const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = 0.0254;
const POUND_KG: f64 = 0.453_592_37;
const GALLON_US_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
const FAHRENHEIT_K: f64 = 5.0 / 9.0;
const MILE_M: f64 = 5280.0 * FOOT_M;
/// British thermal unit, International Table, J (NIST SP 811, appendix B).
const BTU_J: f64 = 1_055.055_852_62;
const KWH_J: f64 = 1000.0 * SECONDS_PER_HOUR;
const BTU_H_W: f64 = BTU_J / SECONDS_PER_HOUR;
/// Thermal resistance of one US `R` (h ft2 °F/Btu), m2K/W.
pub const US_R: f64 = FOOT_M * FOOT_M * FAHRENHEIT_K / BTU_H_W;
/// Mechanical horsepower, W (550 foot-pounds-force a second, exact from the foot, the pound and standard gravity).
const HORSEPOWER_W: f64 = 550.0 * FOOT_M * POUND_KG * 9.806_65;
const DAYS_PER_YEAR: f64 = 365.0;
const MONTHS_PER_YEAR: f64 = 12.0;
/// A cord of stacked wood, m3 (128 cubic feet, by definition).
const CORD_M3: f64 = 128.0 * FOOT_M * FOOT_M * FOOT_M;

/// A unit: its names and how it becomes SI.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// Names, the one to show first.
    pub names: &'static [&'static str],
    factor: f64,
    offset: f64,
}

impl Unit {
    /// The value in the SI unit of its dimension.
    pub fn to_si(&self, number: f64) -> f64 {
        number * self.factor + self.offset
    }

    /// Is it the SI unit, or a power of ten of it?
    pub fn is_metric(&self) -> bool {
        let magnitude = self.factor.log10();
        (magnitude - magnitude.round()).abs() < 1e-9
    }

    /// Is this the unit of that name?
    pub(super) fn is(&self, name: &Normal) -> bool {
        self.names.iter().any(|own| Normal::of(own) == *name)
    }
}

/// A unit's name without what writers leave out or put in: blanks, brackets, dots, raised digits, degree signs.
#[derive(Debug, PartialEq)]
pub(super) struct Normal(String);

impl Normal {
    pub(super) fn of(written: &str) -> Self {
        let spelled = written.replace('²', "2").replace('³', "3");
        let spelled = spelled.replace(" per ", "/").replace("sq ", "sq");
        let plain = spelled.chars().filter(|c| !" ()·*^°.".contains(*c));
        Self(plain.collect())
    }
}

const fn unit(names: &'static [&'static str], factor: f64) -> Unit {
    shifted(names, factor, 0.0)
}

const fn shifted(names: &'static [&'static str], factor: f64, offset: f64) -> Unit {
    Unit {
        names,
        factor,
        offset,
    }
}

const ANGLES: &[Unit] = &[
    unit(&["deg", "degrees", ""], 1.0),
    unit(&["rad"], 180.0 / std::f64::consts::PI),
];
const HOURS: &[Unit] = &[
    unit(&["h", "hours", "hour"], 1.0),
    unit(&["min", "minutes"], 1.0 / 60.0),
];

/// Declares the dimensions: each with what it is called and its units. The first unit is the one of a bare number, save where
/// [`Dimension::si_name`] says otherwise.
macro_rules! dimensions {
    ($($dimension:ident: $name:literal, $units:expr;)+) => {
        /// What a quantity measures.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        #[allow(missing_docs)] // each name says itself; `name()` is the text for people
        pub enum Dimension { $($dimension,)+ }

        impl Dimension {
            pub(super) const ALL: &[Self] = &[$(Self::$dimension,)+];

            /// What it is called.
            pub fn name(self) -> &'static str {
                match self { $(Self::$dimension => $name,)+ }
            }

            pub fn units(self) -> &'static [Unit] {
                match self { $(Self::$dimension => const { $units },)+ }
            }
        }
    };
}

dimensions! {
    Length: "length", &[
        unit(&["m", "metre", "metres", "meter", "meters"], 1.0),
        unit(&["cm"], 0.01),
        unit(&["mm"], 0.001),
        unit(&["ft", "foot", "feet", "'"], FOOT_M),
        unit(&["in", "inch", "inches", "\""], INCH_M),
        unit(&["yd", "yard", "yards"], 3.0 * FOOT_M),
        unit(&["km"], 1000.0),
    ];
    Area: "area", &[
        unit(&["m2", "sqm", "square metres", "square meters"], 1.0),
        unit(&["ft2", "sqft", "square feet"], FOOT_M * FOOT_M),
        unit(&["cm2"], 1e-4),
        unit(&["yd2", "sqyd"], 9.0 * FOOT_M * FOOT_M),
    ];
    Volume: "volume", &[
        unit(&["m3", "cubic metres", "cubic meters"], 1.0),
        unit(&["L", "l", "litre", "litres", "liter", "liters"], 0.001),
        unit(&["gal", "US gal", "gallon", "gallons"], GALLON_US_M3),
        unit(&["ft3", "cu ft", "cubic feet"], FOOT_M * FOOT_M * FOOT_M),
    ];
    Resistance: "thermal resistance (R)", &[
        unit(&["m2K/W", "m2C/W"], 1.0),
        unit(&["h ft2 F/Btu", "ft2 F h/Btu", "hr ft2 F/Btu", "ft2 h F/Btu"], US_R),
    ];
    Transmittance: "thermal transmittance (U)", &[
        unit(&["W/m2K", "W/m2/K", "W/Km2", "W/m2C"], 1.0),
        unit(&["Btu/h ft2 F", "Btu/ft2 h F", "Btu/hr ft2 F", "BTU/h ft2 F", "Btu/h/ft2/F"], 1.0 / US_R),
    ];
    Conductivity: "thermal conductivity", &[
        unit(&["W/mK", "W/m/K", "W/mC"], 1.0),
        unit(&["Btu/h ft F", "Btu/hr ft F"], FOOT_M / US_R),
        unit(&["Btu in/h ft2 F", "Btu in/hr ft2 F"], INCH_M / US_R),
    ];
    Density: "density", &[
        unit(&["kg/m3"], 1.0),
        unit(&["lb/ft3"], POUND_KG / (FOOT_M * FOOT_M * FOOT_M)),
        unit(&["g/cm3"], 1000.0),
    ];
    SpecificHeat: "specific heat", &[
        unit(&["J/kgK", "J/kg/K"], 1.0),
        unit(&["kJ/kgK", "kJ/kg/K"], 1000.0),
        unit(&["Btu/lb F", "Btu/lb/F"], BTU_J / (POUND_KG * FAHRENHEIT_K)),
    ];
    ArealHeatCapacity: "heat capacity per area", &[
        unit(&["J/m2K", "J/m2/K"], 1.0),
        unit(&["kJ/m2K", "kJ/m2/K"], 1000.0),
        unit(&["Btu/ft2 F", "Btu/ft2/F"], BTU_J / (FOOT_M * FOOT_M * FAHRENHEIT_K)),
    ];
    VolumetricHeatCapacity: "heat capacity per volume", &[
        unit(&["J/m3K"], 1.0),
        unit(&["kJ/m3K"], 1000.0),
        unit(&["MJ/m3K"], 1e6),
        unit(&["Btu/ft3 F"], BTU_J / (FOOT_M * FOOT_M * FOOT_M * FAHRENHEIT_K)),
    ];
    HeatCapacity: "heat capacity", &[
        unit(&["J/K"], 1.0),
        unit(&["kJ/K"], 1000.0),
        unit(&["MJ/K"], 1e6),
        unit(&["kWh/K"], KWH_J),
        unit(&["Btu/F"], BTU_J / FAHRENHEIT_K),
    ];
    LeafArea: "leaf area per area", &[unit(&["m2/m2"], 1.0)];
    Temperature: "temperature", &[
        unit(&["C", "degC", "deg C", "Celsius"], 1.0),
        shifted(&["F", "degF", "deg F", "Fahrenheit"], FAHRENHEIT_K, -32.0 * FAHRENHEIT_K),
        shifted(&["K"], 1.0, -273.15),
    ];
    TemperatureDifference: "temperature difference", &[
        unit(&["K", "C", "degC", "deg C"], 1.0),
        unit(&["F", "degF", "deg F"], FAHRENHEIT_K),
    ];
    Power: "power", &[
        unit(&["W", "watt", "watts"], 1.0),
        unit(&["kW"], 1000.0),
        unit(&["Btu/h", "Btu/hr", "BTU/h", "BTU/hr", "BTUH", "Btuh"], BTU_H_W),
        unit(&["hp"], HORSEPOWER_W),
        unit(&["MW"], 1e6),
    ];
    Flow: "air flow", &[
        unit(&["m3/s"], 1.0),
        unit(&["m3/h", "m3/hr"], 1.0 / SECONDS_PER_HOUR),
        unit(&["L/s", "l/s"], 0.001),
        unit(&["cfm", "CFM", "ft3/min", "cu ft/min"], FOOT_M * FOOT_M * FOOT_M / 60.0),
    ];
    AirChange: "air change", &[unit(&["1/h", "/h", "ach", "ACH", "air changes/h", "air changes an hour", "h-1"], 1.0)];
    Mass: "mass", &[
        unit(&["kg"], 1.0),
        unit(&["g"], 0.001),
        unit(&["lb", "lbs", "pound", "pounds"], POUND_KG),
        unit(&["oz", "ounce", "ounces"], POUND_KG / 16.0),
        unit(&["t"], 1000.0),
    ];
    Speed: "speed", &[
        unit(&["m/s"], 1.0),
        unit(&["km/h"], 1000.0 / SECONDS_PER_HOUR),
        unit(&["mph"], MILE_M / SECONDS_PER_HOUR),
        unit(&["kn", "knots"], 1852.0 / SECONDS_PER_HOUR),
    ];
    Share: "share", &[unit(&["%", "percent", "pct"], 0.01)];
    Angle: "angle", ANGLES;
    Azimuth: "direction", ANGLES;
    Latitude: "latitude", ANGLES;
    Longitude: "longitude", ANGLES;
    UtcOffset: "time zone", &[unit(&["h", "hours", "hour"], 1.0)];
    ClockHour: "time of day", HOURS;
    Hours: "duration in hours", HOURS;
    Years: "span of years", &[
        unit(&["years", "year", "a", "y", "yr"], 1.0),
        unit(&["months", "month"], 1.0 / MONTHS_PER_YEAR),
        unit(&["days", "day"], 1.0 / DAYS_PER_YEAR),
    ];
    PhotonFlux: "photon flux", &[unit(&["umol/m2s", "umol/m2/s", "µmol/m2s", "µmol/m2/s", "μmol/m2s"], 1.0)];
    SunEnergy: "daily sun energy", &[
        unit(&["kWh/m2", "kWh/m2 day", "kWh/m2/day", "kWh/m2 a day"], 1.0),
        unit(&["MJ/m2", "MJ/m2 day", "MJ/m2/day", "MJ/m2 a day"], 1e6 / KWH_J),
        unit(&["W/m2"], 0.024),
    ];
    PerEnergy: "price of energy", &[
        unit(&["/kWh"], 1.0),
        unit(&["/MWh"], 0.001),
        unit(&["/MJ"], KWH_J / 1e6),
        unit(&["/GJ"], KWH_J / 1e9),
        // US therm: 100 000 Btu(59 °F); the International Table Btu differs in the fifth digit.
        unit(&["/therm"], KWH_J / (1e5 * BTU_J)),
        unit(&["/MMBtu", "/million Btu"], KWH_J / (1e6 * BTU_J)),
    ];
    PerVolume: "price per volume", &[
        unit(&["/m3"], 1.0),
        unit(&["/L", "/l", "/litre", "/liter"], 1000.0),
        unit(&["/gal", "/US gal", "/gallon"], 1.0 / GALLON_US_M3),
        unit(&["/1000 gal", "/kgal"], 0.001 / GALLON_US_M3),
        unit(&["/100 ft3", "/ccf", "/CCF"], 0.01 / (FOOT_M * FOOT_M * FOOT_M)),
        unit(&["/1000 ft3", "/mcf", "/MCF"], 0.001 / (FOOT_M * FOOT_M * FOOT_M)),
        unit(&["/ft3", "/cu ft"], 1.0 / (FOOT_M * FOOT_M * FOOT_M)),
        unit(&["/yd3", "/cu yd"], 1.0 / (27.0 * FOOT_M * FOOT_M * FOOT_M)),
        unit(&["/cord"], 1.0 / CORD_M3),
    ];
    PerMass: "price per mass", &[
        unit(&["/kg", "a kg"], 1.0),
        unit(&["/lb", "a lb", "/pound"], 1.0 / POUND_KG),
        unit(&["/100 g"], 10.0),
        unit(&["/oz"], 16.0 / POUND_KG),
        unit(&["/t"], 0.001),
        unit(&["/short ton", "/ton"], 1.0 / (2000.0 * POUND_KG)),
    ];
    PerTime: "money over time", &[
        unit(&["/year", "a year", "/a", "/yr", "yearly"], 1.0),
        unit(&["/month", "a month", "/mo", "monthly"], MONTHS_PER_YEAR),
        unit(&["/week", "a week", "/wk", "weekly"], DAYS_PER_YEAR / 7.0),
    ];
    PerArea: "money per area", &[
        unit(&["/m2", "a m2"], 1.0),
        unit(&["/ft2", "/sq ft"], 1.0 / (FOOT_M * FOOT_M)),
    ];
}

impl Dimension {
    /// May a value be a chain of pieces, such as `24 ft 6 in`?
    pub(super) fn chains(self) -> bool {
        matches!(self, Self::Length | Self::Mass | Self::Hours)
    }

    /// The name with its article.
    pub fn article(self) -> String {
        let name = self.name();
        match name.starts_with(['a', 'e', 'i', 'o']) {
            true => format!("an {name}"),
            false => format!("a {name}"),
        }
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
        self.units()[0].names[0]
    }

    /// The units that fit, as a message lists them.
    pub fn fitting_units(self) -> String {
        let said = match self {
            Self::Resistance => "R-28 (US), RSI 4.9, m2K/W, h ft2 F/Btu",
            Self::Azimuth => {
                "degrees clockwise from north (180 is south), or a compass word such as SSW"
            }
            Self::Latitude => "degrees with N or S, such as 46.6 N",
            Self::Longitude => "degrees with E or W, such as 112 W",
            Self::UtcOffset => "UTC-7, UTC+5:30, h",
            Self::ClockHour => "a time such as 18:00, h",
            _ => {
                let names: Vec<_> = self.units().iter().map(|unit| unit.names[0]).collect();
                return names.join(", ");
            }
        };
        said.to_owned()
    }

    /// The unit of this dimension whose name is nearest to what was written.
    pub(super) fn nearest_unit(self, written: &str) -> Option<&'static str> {
        let names = self.units().iter().flat_map(|unit| unit.names);
        let long = names.copied().filter(|name| name.len() > 1);
        crate::suggest::nearest(written, long)
    }
}
