//! Kinds of covers, with the source of each figure. A new kind is one entry here: the words that a bed's cover may be are taken
//! from here.

/// A kind of cover as it is sold and laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoverKind {
    /// Name in the project file.
    pub name: &'static str,
    /// What it is, in a few words.
    pub about: &'static str,
    /// Cover area per floor area: 1 lying flat.
    pub area_ratio: f64,
    /// Height of the air under it, m.
    pub height: Figure,
    /// Share of sunlight let through, 0 to 1.
    pub light: Figure,
    /// Share of long-wave radiation let through in a cold night, 0 to 1.
    pub long_wave: Figure,
    /// Share of long-wave radiation that it takes up and gives off, 0 to 1.
    pub emissivity: f64,
    /// Does vapour pass through its openings (a curtain of nonwoven fabric keeps less heat than film over evaporating soil:
    /// Mihara & Hayashi 1979, abstract read)?
    pub porous: bool,
    /// Air that passes through and under it, changes of the air under it, 1/h.
    pub air_change: Figure,
}

/// A figure and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// In the unit of its field.
    pub value: f64,
    /// Where it comes from.
    pub source: &'static str,
}

const fn figure(value: f64, source: &'static str) -> Figure {
    Figure { value, source }
}

/// Low hoops or wires: usual height.
const ON_WIRES: Figure = figure(
    0.2,
    "mean under low wires 0.3 m high; common practice, no source",
);
/// Area of a sheet on wires 0.3 m high over a bed 1.2 m wide: a parabola's arc, 1 + 8/3 (height / width)^2 (textbook).
const WIRES_AREA_RATIO: f64 = 1.15;
const FABRIC_AIR: &str = "own estimate: some 3000 l/s a m2 at 200 Pa through a light fabric, less through a denser one (makers' tables, from memory), under the 0.05 Pa that 5 K over 0.2 m raise, in through one half and out through the other";
/// In a frost night a fabric is wet or frosted, so that its fibres stop long-wave and its openings let it through: with
/// fibres of 20 micrometres laid at random, exp(-mass / (density x 20e-6 m x pi/4)), density 910 kg/m3 (computed). A tenth
/// is thrown back (assumption). The size of the lift (4 to 7 K) was known when these figures were set.
const FABRIC_LONG_WAVE: &str = "the openings between its wet or frosted fibres of 20 micrometres (computed); dry 0.4 to 0.7 (from memory, weak)";

/// All kinds, the commonest first.
pub const KINDS: &[CoverKind] = &[
    CoverKind {
        name: "row cover",
        about: "spun fabric of 17 to 19 g/m2 on low wires",
        area_ratio: WIRES_AREA_RATIO,
        height: ON_WIRES,
        light: figure(0.85, "17 to 19 g/m2: 0.85 to 0.90 (makers, read)"),
        long_wave: figure(0.28, FABRIC_LONG_WAVE),
        emissivity: 0.62,
        porous: true,
        air_change: figure(6.0, FABRIC_AIR),
    },
    CoverKind {
        name: "medium row cover",
        about: "spun fabric of 30 g/m2 on low wires",
        area_ratio: WIRES_AREA_RATIO,
        height: ON_WIRES,
        light: figure(0.70, "30 g/m2 (makers, from memory)"),
        long_wave: figure(0.12, FABRIC_LONG_WAVE),
        emissivity: 0.78,
        porous: true,
        air_change: figure(4.0, FABRIC_AIR),
    },
    CoverKind {
        name: "heavy row cover",
        about: "frost blanket of 50 g/m2 on low wires",
        area_ratio: WIRES_AREA_RATIO,
        height: ON_WIRES,
        light: figure(0.50, "50 g/m2 (makers, from memory)"),
        long_wave: figure(0.03, FABRIC_LONG_WAVE),
        emissivity: 0.87,
        porous: true,
        air_change: figure(3.0, FABRIC_AIR),
    },
    CoverKind {
        name: "inner tunnel",
        about: "clear film over hoops",
        area_ratio: 1.45,
        height: figure(
            0.4,
            "mean under hoops 0.5 m high; common practice, no source",
        ),
        light: figure(
            0.87,
            "new single film (NRAES-33; Nijskens et al. 1984; from memory)",
        ),
        long_wave: figure(
            0.05,
            "wet inside in a cold night: nearly 0 (Savage 1980, abstract read); dry 0.7 to 0.8 (from memory)",
        ),
        emissivity: 0.85,
        porous: false,
        air_change: figure(1.0, "closed film, weighted at the ground; own estimate"),
    },
];

/// Names of the kinds.
pub const NAMES: [&str; KINDS.len()] = {
    let mut names = [""; KINDS.len()];
    let mut at = 0;
    while at < KINDS.len() {
        names[at] = KINDS[at].name;
        at += 1;
    }
    names
};

/// A kind by its name.
pub fn kind(name: &str) -> Option<&'static CoverKind> {
    KINDS.iter().find(|kind| kind.name == name)
}
