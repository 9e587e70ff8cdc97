//! Common kinds of glazing, with the source of each figure.

use super::{
    Glazing, INDEX_ACRYLIC, INDEX_GLASS, INDEX_POLYCARBONATE, INDEX_POLYETHYLENE, USUAL_DIRT_SHARE,
    USUAL_FRAME_SHARE, extinction_for, stack,
};

/// Light lost to drops on glass: 3 % at normal incidence without run-off (Pollet & Pieters, box with integrating
/// sphere, abstract read); 3 points hemispherical (Wageningen measuring protocol, abstract read).
const CONDENSATION_LOSS_GLASS: f64 = 0.03;
/// Light lost to drops on film: 22 % on a vertical face without run-off (Pollet & Pieters, abstract read), 15 % on a
/// roof once the anti-drip additive is gone (Geoola et al. 2004, abstract read); the roof's figure is taken.
const CONDENSATION_LOSS_FILM: f64 = 0.15;
/// Light lost to drops on plastic sheet: 9 %, the largest mean of a winter (Stanghellini et al. 2010, read
/// second-hand, covers of several kinds).
const CONDENSATION_LOSS_SHEET: f64 = 0.09;
/// Solar over light transmittance of clear polycarbonate, which is dark beyond 1.6 micrometres and in the
/// ultraviolet. Assumption, from memory of makers' tables.
const SOLAR_OVER_LIGHT_POLYCARBONATE: f64 = 0.97;

/// A common kind of glazing as published: clean, without frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kind {
    /// Name in the project file.
    pub name: &'static str,
    /// What it is, in a few words.
    pub about: &'static str,
    /// Number of sheets one behind the other.
    pub sheets: usize,
    /// Refractive index.
    pub refractive_index: f64,
    /// Transmittance for sunlight at normal incidence, 0 to 1.
    pub transmittance_solar: f64,
    /// Transmittance for photosynthetic light at normal incidence, 0 to 1.
    pub transmittance_par: f64,
    /// Share of the transmitted beam that is scattered, 0 to 1.
    pub haze: f64,
    /// Transmittance for heat rays, 0 to 1.
    pub long_wave_transmittance: f64,
    /// Emissivity for heat rays, 0 to 1.
    pub long_wave_emissivity: f64,
    /// Air to air, both films included, W/(m2 K).
    pub u_w_m2k: f64,
    /// Share of the light lost while wet with drops.
    pub condensation_loss: f64,
    /// Air change of a house all of it, as published, 1/h.
    pub air_change_per_h: f64,
    /// Where the figures come from.
    pub source: &'static str,
}

/// Air change of a new house of glass or rigid sheet, 1/h: middle of 0.75 to 1.5 (ASAE/ASABE EP406.4 and NRAES-33, from
/// memory); a single film as rigid sheet.
pub const RIGID_SHEET_PER_H: f64 = 1.125;
/// Air change of a new house of inflated double film, 1/h: middle of 0.5 to 1.0 (the same, from memory).
const DOUBLE_FILM_PER_H: f64 = 0.75;

/// Air change of a house of a glazing, 1/h; one known by its figures alone is taken for rigid sheet.
pub fn air_change_per_h(glazing: &Glazing) -> f64 {
    let kind = KINDS.iter().find(|kind| kind.name == glazing.name);
    kind.map_or(RIGID_SHEET_PER_H, |kind| kind.air_change_per_h)
}

impl Kind {
    /// The kind as a glazing with the usual frame and dirt.
    pub fn glazing(&self) -> Glazing {
        let clearest = self.transmittance_solar.max(self.transmittance_par);
        let index = stack::index_that_allows(self.sheets, self.refractive_index, clearest);
        Glazing {
            name: self.name.to_owned(),
            sheets: self.sheets,
            refractive_index: index,
            extinction_solar: extinction_for(self.sheets, index, self.transmittance_solar),
            extinction_par: extinction_for(self.sheets, index, self.transmittance_par),
            haze: self.haze,
            long_wave_transmittance: self.long_wave_transmittance,
            long_wave_emissivity: self.long_wave_emissivity,
            u_w_m2k: self.u_w_m2k,
            condensation_loss: self.condensation_loss,
            frame_share: USUAL_FRAME_SHARE,
            dirt_share: USUAL_DIRT_SHARE,
        }
    }
}

/// All common kinds, in the order of a price list: film, sheet, glass.
pub fn kinds() -> &'static [Kind] {
    &KINDS
}

/// Letters and digits of a name, in lower case.
fn plain(name: &str) -> String {
    name.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

/// The kind of a name, spaces, dashes and case apart.
pub(super) fn find(name: &str) -> Option<&'static Kind> {
    let wanted = plain(name);
    KINDS.iter().find(|kind| plain(kind.name) == wanted)
}

const FILM: Kind = Kind {
    name: "film",
    about: "polyethylene film, one layer",
    sheets: 1,
    refractive_index: INDEX_POLYETHYLENE,
    transmittance_solar: 0.87,
    transmittance_par: 0.87,
    haze: 0.2,
    long_wave_transmittance: 0.75,
    long_wave_emissivity: 0.2,
    u_w_m2k: 6.81,
    condensation_loss: CONDENSATION_LOSS_FILM,
    air_change_per_h: RIGID_SHEET_PER_H,
    source: "U: ASAE EP406.4, NRAES-33 (from memory); light 0.85 to 0.90, heat rays 0.7 to 0.8: NRAES-33, Nijskens et al. 1984 (from memory); solar as light, haze, emissivity: assumption",
};

const TWIN_WALL: Kind = Kind {
    name: "twin-wall-8mm",
    about: "polycarbonate twin-wall, 8 mm",
    sheets: 2,
    refractive_index: INDEX_POLYCARBONATE,
    transmittance_solar: 0.80 * SOLAR_OVER_LIGHT_POLYCARBONATE,
    transmittance_par: 0.80,
    haze: 0.1,
    long_wave_transmittance: 0.0,
    long_wave_emissivity: 0.9,
    u_w_m2k: 3.41,
    condensation_loss: CONDENSATION_LOSS_SHEET,
    air_change_per_h: RIGID_SHEET_PER_H,
    source: "U 0.60 Btu/h ft2 F and light 80 %: makers' data sheets (read); solar 0.97 of light, haze, emissivity: assumption",
};

pub(super) const GLASS: Kind = Kind {
    name: "single-glass",
    about: "clear glass, 4 mm",
    sheets: 1,
    refractive_index: INDEX_GLASS,
    transmittance_solar: 0.845,
    transmittance_par: 0.89,
    haze: 0.0,
    long_wave_transmittance: 0.0,
    long_wave_emissivity: 0.84,
    u_w_m2k: 5.8,
    condensation_loss: CONDENSATION_LOSS_GLASS,
    air_change_per_h: RIGID_SHEET_PER_H,
    source: "U 5.8 and solar 0.845: WINDOW 7.3, Lawrence Berkeley National Laboratory, 3.8 mm (read); light 0.88 to 0.90: NRAES-33 (from memory); emissivity 0.84: Rubin 1985, Solar Energy Materials 12:275 (abstract read)",
};

/// Share of a film's heat loss that is left with an infrared additive: 15 to 20 % less over a season (Univ. of Wisconsin
/// Extension, excerpt read), the low end taken.
const HELD_BY_ADDITIVE: f64 = 0.84;

const KINDS: [Kind; 15] = [
    FILM,
    Kind {
        name: "film-infrared",
        about: "polyethylene film with infrared additive, one layer",
        long_wave_transmittance: 0.35,
        long_wave_emissivity: 0.6,
        haze: 0.4,
        u_w_m2k: FILM.u_w_m2k * HELD_BY_ADDITIVE,
        source: "as film; heat rays 0.2 to 0.5: NRAES-33, Nijskens et al. 1984 (from memory); U less 16 %: an additive saves 15 to 20 % of a season's heat (Univ. of Wisconsin Extension, excerpt read); haze, emissivity: assumption",
        ..FILM
    },
    Kind {
        name: "double-film",
        about: "polyethylene film, two layers, inflated",
        sheets: 2,
        transmittance_solar: 0.77,
        transmittance_par: 0.77,
        haze: 0.3,
        long_wave_transmittance: 0.56,
        long_wave_emissivity: 0.25,
        u_w_m2k: 3.97,
        air_change_per_h: DOUBLE_FILM_PER_H,
        source: "U 0.7 Btu/h ft2 F: ASAE EP406.4, NRAES-33 (from memory); light 0.75 to 0.80 (from memory); heat rays 0.75 squared (computed); rest as film",
        ..FILM
    },
    Kind {
        name: "double-film-infrared",
        about: "polyethylene film, two layers, inflated, one with infrared additive",
        sheets: 2,
        transmittance_solar: 0.77,
        transmittance_par: 0.77,
        haze: 0.5,
        long_wave_transmittance: 0.26,
        long_wave_emissivity: 0.6,
        u_w_m2k: 3.97 * HELD_BY_ADDITIVE,
        air_change_per_h: DOUBLE_FILM_PER_H,
        source: "as double-film; heat rays 0.75 x 0.35 (computed); U less 16 %, as film-infrared",
        ..FILM
    },
    Kind {
        name: "twin-wall-4mm",
        about: "polycarbonate twin-wall, 4 mm",
        transmittance_solar: 0.82 * SOLAR_OVER_LIGHT_POLYCARBONATE,
        transmittance_par: 0.82,
        u_w_m2k: 4.09,
        source: "U 0.72 Btu/h ft2 F and light 82 %: makers' data sheets (read); rest as twin-wall-8mm",
        ..TWIN_WALL
    },
    Kind {
        name: "twin-wall-6mm",
        about: "polycarbonate twin-wall, 6 mm",
        u_w_m2k: 3.52,
        source: "U 0.62 Btu/h ft2 F and light 80 %: makers' data sheets (read); rest as twin-wall-8mm",
        ..TWIN_WALL
    },
    TWIN_WALL,
    Kind {
        name: "twin-wall-10mm",
        about: "polycarbonate twin-wall, 10 mm",
        u_w_m2k: 3.18,
        source: "U 0.56 Btu/h ft2 F and light 80 %: makers' data sheets (read); rest as twin-wall-8mm",
        ..TWIN_WALL
    },
    Kind {
        name: "triple-wall-16mm",
        about: "polycarbonate triple-wall, 16 mm",
        sheets: 3,
        transmittance_solar: 0.73 * SOLAR_OVER_LIGHT_POLYCARBONATE,
        transmittance_par: 0.73,
        u_w_m2k: 2.33,
        source: "light 73 %: makers' data sheets (read); U: resistance table of a seller (read, weak); rest as twin-wall-8mm",
        ..TWIN_WALL
    },
    Kind {
        name: "x-wall-16mm",
        about: "polycarbonate triple-wall with X web, 16 mm",
        sheets: 4,
        transmittance_solar: 0.59 * SOLAR_OVER_LIGHT_POLYCARBONATE,
        transmittance_par: 0.59,
        haze: 0.2,
        u_w_m2k: 2.38,
        source: "U 0.42 Btu/h ft2 F and light 59 %: makers' data sheets (read); four sheets stand for three and the web; rest as twin-wall-8mm",
        ..TWIN_WALL
    },
    Kind {
        name: "multi-wall-25mm",
        about: "polycarbonate, five walls, 25 mm",
        sheets: 5,
        transmittance_solar: 0.58 * SOLAR_OVER_LIGHT_POLYCARBONATE,
        transmittance_par: 0.58,
        haze: 0.2,
        u_w_m2k: 1.45,
        source: "U 1.3 to 1.6, light 55 to 62 %: makers' data sheets (from memory); rest as twin-wall-8mm",
        ..TWIN_WALL
    },
    Kind {
        name: "acrylic-twin-wall-16mm",
        about: "acrylic twin-wall, 16 mm",
        refractive_index: INDEX_ACRYLIC,
        transmittance_solar: 0.83,
        transmittance_par: 0.86,
        haze: 0.05,
        u_w_m2k: 2.84,
        source: "U 0.5 Btu/h ft2 F: low end of ASAE EP406.4, NRAES-33 (from memory); light and solar: makers' tables (from memory)",
        ..TWIN_WALL
    },
    GLASS,
    Kind {
        name: "double-glass",
        about: "two panes of clear glass, 4 mm, 12 mm of air",
        sheets: 2,
        transmittance_solar: 0.721,
        transmittance_par: 0.80,
        u_w_m2k: 2.9,
        source: "U 2.9 and solar 0.721: WINDOW 7.3, Lawrence Berkeley National Laboratory, 4/12/4 (read); light: the single pane's twice (computed); emissivity as single-glass",
        ..GLASS
    },
    Kind {
        name: "film-over-glass",
        about: "double film drawn over a glass house",
        sheets: 3,
        transmittance_solar: 0.65,
        transmittance_par: 0.69,
        haze: 0.3,
        u_w_m2k: 2.84,
        condensation_loss: CONDENSATION_LOSS_GLASS,
        source: "U 0.5 Btu/h ft2 F: ASAE EP406.4, NRAES-33 (from memory); light and solar: product of double-film and single-glass (computed)",
        ..GLASS
    },
];
