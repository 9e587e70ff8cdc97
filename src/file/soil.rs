//! Soils by name, with what heat knows of them.

use crate::house::Soil;

/// A soil of the trade.
struct Named {
    name: &'static str,
    soil: Soil,
}

const fn named(
    name: &'static str,
    conductivity_w_mk: f64,
    heat_capacity_j_m3k: f64,
    water_m3_m3: f64,
) -> Named {
    Named {
        name,
        soil: Soil {
            conductivity_w_mk,
            heat_capacity_j_m3k,
            water_m3_m3,
        },
    }
}

/// Conductivity, heat capacity and water of each soil.
///
/// # Source
/// Sand, clay and peat: de Vries (1963), Smits et al. (2010), O'Donnell et al. (2009) as tabulated by Moene & van
/// Dam, Transport in the Atmosphere-Vegetation-Soil Continuum (read). Loam: mean of sand and clay at the same water
/// content (assumption). The three ground kinds of design: ISO 13370 (from memory), their water an assumption.
const SOILS: [Named; 12] = [
    named("moist loam", 1.5, 2.2e6, 0.20),
    named("moist sand", 2.1, 2.12e6, 0.20),
    named("wet sand", 2.5, 2.96e6, 0.40),
    named("dry sand", 0.24, 1.28e6, 0.0),
    named("moist clay", 0.9, 2.27e6, 0.20),
    named("wet clay", 1.4, 3.1e6, 0.40),
    named("dry clay", 0.15, 1.43e6, 0.0),
    named("moist peat", 0.27, 2.13e6, 0.45),
    named("wet peat", 0.50, 4.01e6, 0.60),
    named("clay or silt", 1.5, 3.0e6, 0.30),
    named("sand or gravel", 2.0, 2.0e6, 0.15),
    named("rock", 3.5, 2.0e6, 0.0),
];

/// Names of the soils.
pub const NAMES: &[&str] = &{
    let mut names = [""; SOILS.len()];
    let mut at = 0;
    while at < SOILS.len() {
        names[at] = SOILS[at].name;
        at += 1;
    }
    names
};

/// The soil of a name; moist loam for any other.
pub fn find(name: &str) -> Soil {
    SOILS
        .iter()
        .find(|soil| soil.name == name)
        .map_or(SOILS[0].soil, |soil| soil.soil)
}
