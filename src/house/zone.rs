//! The room's two equations, heat and vapour, and the controls that are solved with them.
//!
//! Beds, walls and store are taken out first (each affine in air temperature and vapour pressure), so that what is left
//! are two equations with kinks where panes begin to sweat. Controls are unknowns of the same equations: where a set
//! point binds, the air stands at it and the equations give the flow, the duty or the power that holds it there.

use super::affine::{AIR, Affine, VAPOUR};
use super::prepare::{MOST_PANES, PaneHour};
use super::vapour::{SPECIFIC_HEAT_AIR_J_KGK, Saturation};

/// Rounds to find which panes sweat.
const PANE_ROUNDS: usize = 6;
/// Rounds of a bracketed root search; it ends earlier at [`ROOT_K`].
const ROOT_ROUNDS: usize = 40;
/// How near to the set point a root search lands, K (or kPa).
const ROOT_K: f64 = 1e-7;

/// Number, by air temperature, by vapour pressure; the fourth place is empty, so that lines are read as they are written, in
/// whole registers.
type Line = [f64; 4];

/// A pane in one stage: water it takes = conductance (e - known - by_air T) where positive.
#[derive(Clone, Copy, Debug, Default)]
struct PaneTerm {
    known_kpa: f64,
    by_air: f64,
    /// Water it takes, kg/s, and its heat that flows into the room, W.
    water: Line,
    heat: Line,
    heat_inward: f64,
}

/// Which kinds of panes sweat.
pub(super) type Sweats = [bool; MOST_PANES];

/// The room's equations in one stage.
#[derive(Debug, Default)]
pub(super) struct Zone {
    /// Heat to the air, W: number, by air temperature, by vapour pressure; without vents and heater.
    heat: Line,
    /// Vapour to the air, kg/s, likewise.
    vapour: Line,
    panes: [PaneTerm; MOST_PANES],
    pane_count: usize,
    /// Which panes sweat, as last found; where it is right from the start, one round is enough.
    pub sweats: Sweats,
    /// Vapour in a kg of outdoor air per kPa, kg.
    carried_vapour: f64,
    outdoor_c: f64,
    outdoor_kpa: f64,
}

/// What panes took, a stage's result.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sweat {
    pub water_kg_s: f64,
    /// Heat set free, W.
    pub heat_w: f64,
    /// The part of it that leaves outward, W.
    pub outward_w: f64,
}

/// Air temperature and vapour pressure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct AirState {
    pub air_c: f64,
    pub vapour_kpa: f64,
}

impl Zone {
    /// `carried_vapour`: vapour in a kg of air per kPa, kg.
    pub fn new(outdoor_c: f64, outdoor_kpa: f64, carried_vapour: f64, sweats: Sweats) -> Self {
        Self {
            sweats,
            carried_vapour,
            outdoor_c,
            outdoor_kpa,
            ..Self::default()
        }
    }

    /// Takes heat and vapour to the air, affine in air temperature and vapour pressure.
    #[inline(always)]
    pub fn set_sums<const N: usize>(&mut self, heat: &Affine<N>, vapour: &Affine<N>) {
        self.heat = [heat.0[0], heat.0[AIR], heat.0[VAPOUR], 0.0];
        self.vapour = [vapour.0[0], vapour.0[AIR], vapour.0[VAPOUR], 0.0];
    }

    /// Adds a kind of pane whose convection takes `conductance_w_k`; vapour goes to it by the same way (Lewis number 1); saturation at its face is taken as the tangent at air temperature `air_c`.
    #[inline(always)]
    pub fn add_pane(&mut self, pane: &PaneHour, conductance_w_k: f64, air_c: f64, latent: f64) {
        let face_c = pane.known_c + pane.by_air * air_c;
        let at = Saturation::at(face_c);
        let conductance = conductance_w_k / SPECIFIC_HEAT_AIR_J_KGK * self.carried_vapour;
        let known_kpa = at.kpa + at.slope * (pane.known_c - face_c);
        let by_air = at.slope * pane.by_air;
        let water = [
            -conductance * known_kpa,
            -conductance * by_air,
            conductance,
            0.0,
        ];
        let heat_inward = latent * pane.by_air;
        self.panes[self.pane_count] = PaneTerm {
            known_kpa,
            by_air,
            water,
            heat: water.map(|part| heat_inward * part),
            heat_inward,
        };
        self.pane_count += 1;
    }

    /// The panes that sweat, as last found.
    fn sweating(&self) -> impl Iterator<Item = &PaneTerm> {
        let panes = self.panes.iter().take(self.pane_count);
        let sweating = panes.zip(&self.sweats).filter(|(_, sweats)| **sweats);
        sweating.map(|(pane, _)| pane)
    }

    /// Marks which panes sweat in a state; true if that is new.
    #[inline(always)]
    fn mark(&mut self, state: AirState) -> bool {
        let mut changed = false;
        let panes = self.panes.iter().take(self.pane_count);
        for (pane, known) in panes.zip(&mut self.sweats) {
            let sweats = state.vapour_kpa > pane.known_kpa + pane.by_air * state.air_c;
            changed |= sweats != *known;
            *known = sweats;
        }
        changed
    }

    /// Equations with the present panes: heat = h0 + h1 T + h2 e, vapour = v0 + v1 T + v2 e.
    #[inline(always)]
    fn sums(&self) -> (Line, Line) {
        let mut heat = self.heat;
        let mut vapour = self.vapour;
        for pane in self.sweating() {
            for place in 0..4 {
                heat[place] += pane.heat[place];
                vapour[place] -= pane.water[place];
            }
        }
        (heat, vapour)
    }

    /// The state with `flow` kg/s of outdoor air and `power_w` of heat.
    #[inline(always)]
    pub fn solve(&mut self, flow: f64, power_w: f64) -> AirState {
        let mut state = AirState {
            air_c: self.outdoor_c,
            vapour_kpa: self.outdoor_kpa,
        };
        for _ in 0..PANE_ROUNDS {
            let (mut h, mut v) = self.sums();
            let (heat, vapour) = (flow * SPECIFIC_HEAT_AIR_J_KGK, flow * self.carried_vapour);
            h[0] += heat * self.outdoor_c + power_w;
            h[1] -= heat;
            v[0] += vapour * self.outdoor_kpa;
            v[2] -= vapour;
            let inverse = 1.0 / (h[1] * v[2] - h[2] * v[1]);
            state = AirState {
                air_c: (h[2] * v[0] - h[0] * v[2]) * inverse,
                vapour_kpa: (h[0] * v[1] - h[1] * v[0]) * inverse,
            };
            if !self.mark(state) {
                break;
            }
        }
        state
    }

    /// By how much a watt more would warm the air with `flow` kg/s of outdoor air, K/W.
    pub fn k_per_w(&self, flow: f64) -> f64 {
        let (h, v) = self.sums();
        let (by_air, by_vapour) = (
            h[1] - flow * SPECIFIC_HEAT_AIR_J_KGK,
            v[2] - flow * self.carried_vapour,
        );
        -by_vapour / (by_air * by_vapour - h[2] * v[1])
    }

    /// Vapour pressure at a held air temperature with `flow` kg/s of outdoor air.
    fn vapour_at(&mut self, air_c: f64, flow: f64) -> f64 {
        let mut kpa = self.outdoor_kpa;
        for _ in 0..PANE_ROUNDS {
            let (_, v) = self.sums();
            let vapour = flow * self.carried_vapour;
            kpa = (v[0] + v[1] * air_c + vapour * self.outdoor_kpa) / (vapour - v[2]);
            if !self.mark(AirState {
                air_c,
                vapour_kpa: kpa,
            }) {
                break;
            }
        }
        kpa
    }

    /// Heat left over at a held state, W, with `flow` of outdoor air: positive must be taken away.
    fn surplus(&self, state: AirState, flow: f64) -> f64 {
        let (h, _) = self.sums();
        h[0] + h[1] * state.air_c + h[2] * state.vapour_kpa
            - flow * SPECIFIC_HEAT_AIR_J_KGK * (state.air_c - self.outdoor_c)
    }

    /// Power, W, that holds the air at `air_c` with `flow` of outdoor air (negative: to be taken away), and the vapour
    /// pressure that goes with it.
    pub fn power_to_hold(&mut self, air_c: f64, flow: f64) -> (f64, AirState) {
        let state = AirState {
            air_c,
            vapour_kpa: self.vapour_at(air_c, flow),
        };
        (-self.surplus(state, flow), state)
    }

    /// Outdoor air, kg/s, that holds the air at `air_c`; infinite where outdoor air is not colder than that or not even
    /// `most` is enough.
    ///
    /// Heat fixes the flow for each vapour pressure, and vapour the other way round: together a quadratic equation for the
    /// vapour pressure while the same panes sweat. Where that does not settle, the flow at which both agree is bracketed.
    pub fn flow_to_hold(&mut self, air_c: f64, most: f64) -> f64 {
        let drop_k = air_c - self.outdoor_c;
        if drop_k <= 0.0 {
            return f64::INFINITY;
        }
        match self.flow_in_closed_form(air_c, drop_k) {
            Some(flow) if flow < most => flow,
            Some(_) => f64::INFINITY,
            None => self.flow_by_search(air_c, drop_k, most),
        }
    }

    /// The flow for panes that go on sweating or not; none where the equations have no such answer.
    fn flow_in_closed_form(&mut self, air_c: f64, drop_k: f64) -> Option<f64> {
        let per_flow = SPECIFIC_HEAT_AIR_J_KGK * drop_k;
        for _ in 0..PANE_ROUNDS {
            let (h, v) = self.sums();
            // flow = (heat + h2 e) / per_flow; vapour + v2 e + flow carried_vapour (outdoor - e) = 0.
            let (heat, vapour) = (h[0] + h[1] * air_c, v[0] + v[1] * air_c);
            let share = self.carried_vapour / per_flow;
            let square = -share * h[2];
            let line = v[2] + share * (h[2] * self.outdoor_kpa - heat);
            let number = vapour + share * heat * self.outdoor_kpa;
            let inner = line * line - 4.0 * square * number;
            if !(inner >= 0.0) {
                return None;
            }
            // The root that stays when vapour carries no heat (h2 = 0).
            let vapour_kpa = -2.0 * number / (line + inner.sqrt().copysign(line));
            let flow = (heat + h[2] * vapour_kpa) / per_flow;
            if !(flow >= 0.0 && vapour_kpa >= 0.0) {
                return None;
            }
            if !self.mark(AirState { air_c, vapour_kpa }) {
                return Some(flow);
            }
        }
        None
    }

    fn flow_by_search(&mut self, air_c: f64, drop_k: f64, most: f64) -> f64 {
        let mut excess = |flow: f64| {
            let vapour_kpa = self.vapour_at(air_c, flow);
            self.surplus(AirState { air_c, vapour_kpa }, flow) / (SPECIFIC_HEAT_AIR_J_KGK * drop_k)
        };
        let at_most = excess(most);
        if at_most >= 0.0 {
            return f64::INFINITY;
        }
        let at_none = excess(0.0);
        // Excess falls with the flow, one to one but for the vapour.
        root(0.0, at_none, most, at_most, ROOT_K * 1e-3, &mut excess)
    }

    /// The state with `flow` kg/s of outdoor air and a heater of `most_w` that holds `hold_c`.
    fn heated(&mut self, flow: f64, (hold_c, most_w): (f64, f64)) -> AirState {
        let free = self.solve(flow, 0.0);
        if free.air_c >= hold_c {
            return free;
        }
        let (asked_w, held) = self.power_to_hold(hold_c, flow);
        if asked_w <= most_w {
            held
        } else {
            self.solve(flow, most_w)
        }
    }

    /// Flow, kg/s between `least` and `most`, at which relative humidity falls to `humidity_pct` while a `heater` (set
    /// point, °C, and greatest power, W) holds what it can.
    pub fn flow_for_humidity(
        &mut self,
        humidity_pct: f64,
        heater: (f64, f64),
        least: f64,
        most: f64,
    ) -> f64 {
        let mut excess = |flow: f64| {
            let state = self.heated(flow, heater);
            state.vapour_kpa - 0.01 * humidity_pct * Saturation::at(state.air_c).kpa
        };
        let at_least = excess(least);
        if at_least <= 0.0 {
            return least;
        }
        let at_most = excess(most);
        if at_most >= at_least {
            // Outdoor air makes it no drier.
            return least;
        }
        if at_most >= 0.0 {
            return most;
        }
        root(least, at_least, most, at_most, ROOT_K, &mut excess)
    }

    /// What panes take in a state.
    #[inline(always)]
    pub fn sweat(&self, state: AirState, latent: f64) -> Sweat {
        let mut sweat = Sweat::default();
        for pane in self.sweating() {
            let [number, by_air, by_vapour, _] = pane.water;
            let water = number + by_air * state.air_c + by_vapour * state.vapour_kpa;
            sweat.water_kg_s += water;
            sweat.heat_w += water * latent;
            sweat.outward_w += water * (latent - pane.heat_inward);
        }
        sweat
    }

    /// Heat that `flow` of outdoor air brings, W.
    pub fn brought_w(&self, flow: f64, air_c: f64) -> f64 {
        flow * SPECIFIC_HEAT_AIR_J_KGK * (self.outdoor_c - air_c)
    }
}

/// Root of a function that changes sign between two points (Illinois rule: regula falsi that halves the weight of an
/// end which stays).
pub(super) fn root(
    mut low: f64,
    mut at_low: f64,
    mut high: f64,
    mut at_high: f64,
    near: f64,
    function: &mut impl FnMut(f64) -> f64,
) -> f64 {
    if at_low == 0.0 {
        return low;
    }
    let mut side = 0;
    let mut middle = low;
    for _ in 0..ROOT_ROUNDS {
        middle = (low * at_high - high * at_low) / (at_high - at_low);
        let at = function(middle);
        if at.abs() <= near {
            return middle;
        }
        if (at > 0.0) == (at_high > 0.0) {
            (high, at_high) = (middle, at);
            if side == 1 {
                at_low *= 0.5;
            }
            side = 1;
        } else {
            (low, at_low) = (middle, at);
            if side == -1 {
                at_high *= 0.5;
            }
            side = -1;
        }
    }
    middle
}
