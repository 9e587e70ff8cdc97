//! Pipes in the soil: how much of the difference between air and soil they take up.

use super::vapour::SPECIFIC_HEAT_AIR_J_KGK;
use super::{PipeStore, Soil};

/// Conductivity of air at 15 °C, W/mK (handbook, from memory).
const AIR_CONDUCTIVITY_W_MK: f64 = 0.0253;
/// Dynamic viscosity of air at 15 °C, Pa s (handbook, from memory).
const AIR_VISCOSITY_PA_S: f64 = 1.79e-5;
/// Prandtl number of air (handbook, from memory).
const AIR_PRANDTL: f64 = 0.71;
/// Nusselt number of laminar flow at constant wall temperature (textbook).
const LAMINAR_NUSSELT: f64 = 3.66;
/// Reynolds number up to which flow is laminar.
const LAMINAR_REYNOLDS: f64 = 2300.0;
/// Reynolds number from which Gnielinski's formula holds without blending (Gnielinski 2013, from memory).
const TURBULENT_REYNOLDS: f64 = 4000.0;

/// Reynolds number of a mass flow through a round pipe.
pub fn reynolds(mass_flow_kg_s: f64, diameter_m: f64) -> f64 {
    4.0 * mass_flow_kg_s / (std::f64::consts::PI * diameter_m * AIR_VISCOSITY_PA_S)
}

/// Nusselt number of air in a smooth pipe.
///
/// Laminar 3.66; from Re 4000 Gnielinski's (f/8) (Re - 1000) Pr / (1 + 12.7 sqrt(f/8) (Pr^(2/3) - 1)) with
/// f = (0.79 ln Re - 1.64)^-2; linear between.
///
/// # Source
/// Gnielinski (1976), Int. Chem. Eng. 16:359-368; friction by Petukhov (1970); blending Gnielinski (2013). From memory.
pub fn nusselt(reynolds: f64) -> f64 {
    let turbulent = |re: f64| {
        let friction = (0.79 * re.ln() - 1.64).powi(-2);
        let eighth = friction / 8.0;
        eighth * (re - 1000.0) * AIR_PRANDTL
            / (1.0 + 12.7 * eighth.sqrt() * (AIR_PRANDTL.powf(2.0 / 3.0) - 1.0))
    };
    if reynolds <= LAMINAR_REYNOLDS {
        LAMINAR_NUSSELT
    } else if reynolds >= TURBULENT_REYNOLDS {
        turbulent(reynolds)
    } else {
        let share = (reynolds - LAMINAR_REYNOLDS) / (TURBULENT_REYNOLDS - LAMINAR_REYNOLDS);
        LAMINAR_NUSSELT + share * (turbulent(TURBULENT_REYNOLDS) - LAMINAR_NUSSELT)
    }
}

/// Effectiveness of a pipe whose wall side has one temperature: 1 - exp(-NTU).
pub fn effectiveness(transfer_units: f64) -> f64 {
    -(-transfer_units).exp_m1()
}

/// What a store's pipes do at full fan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exchange {
    /// Effectiveness between the air that enters and the soil layer's mean.
    pub effectiveness: f64,
    /// Heat capacity flow of the air, W/K.
    pub capacity_flow_w_k: f64,
    pub mass_flow_kg_s: f64,
}

/// Exchange of a store at full fan, with air of `density_kg_m3`, under a floor of `floor_m2`.
///
/// The film in the pipe (see [`nusselt`]) stands in series with the soil round it. The layer's mean temperature is that
/// of a cylinder of soil: its resistance from wall to mean is (ln(r2/r1) - 3/4) / (2 pi lambda), r1 the pipe's radius,
/// r2 that of the cylinder which holds one pipe's share of a layer one pipe spacing thick: r2 = s / sqrt(pi), s the
/// spacing. (Steady flow into a heat-storing cylinder, Carslaw & Jaeger; from memory.) Never below a quarter of the
/// same formula's logarithm, so that close pipes keep a resistance.
pub fn exchange(store: &PipeStore, soil: &Soil, floor_m2: f64, density_kg_m3: f64) -> Exchange {
    let pipes = store.pipes.max(1) as f64;
    let mass_flow = store.flow_m3_s * density_kg_m3;
    let capacity_flow = mass_flow * SPECIFIC_HEAT_AIR_J_KGK;
    let film = nusselt(reynolds(mass_flow / pipes, store.diameter_m)) * AIR_CONDUCTIVITY_W_MK
        / store.diameter_m;
    let layers = store.depths_m.len().max(1) as f64;
    let spacing = floor_m2 * layers / (pipes * store.length_m);
    let ratio = spacing / std::f64::consts::PI.sqrt() / (0.5 * store.diameter_m);
    let log = ratio.max(1.0).ln();
    let soil_mk_w =
        (log - 0.75).max(0.25 * log) / (2.0 * std::f64::consts::PI * soil.conductivity_w_mk);
    let film_mk_w = 1.0 / (film * std::f64::consts::PI * store.diameter_m);
    let conductance = pipes * store.length_m / (film_mk_w + soil_mk_w);
    Exchange {
        effectiveness: effectiveness(conductance / capacity_flow),
        capacity_flow_w_k: capacity_flow,
        mass_flow_kg_s: mass_flow,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Air at Re 10 000: some 30 in textbooks' worked examples (from memory).
    #[test]
    fn the_tube_coefficient_is_the_textbooks() {
        assert!(
            (nusselt(10_000.0) - 30.0).abs() < 1.5,
            "{}",
            nusselt(10_000.0)
        );
    }
}
