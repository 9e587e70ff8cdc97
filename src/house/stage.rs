//! One step of the whole building: two implicit stages of second order.
//!
//! The scheme is the stiffly accurate, L-stable, singly diagonally implicit Runge-Kutta rule of two stages (Alexander
//! 1977, SIAM J. Numer. Anal. 14:1006-1021; from memory), gamma = 1 - 1/sqrt(2):
//!
//! ```text
//! stage 1: (H1 - H0) / (gamma h) = f(H1)
//! stage 2: (H  - H0 - (1 - gamma)/gamma (H1 - H0)) / (gamma h) = f(H)
//! H - H0 = h ((1 - gamma) f(H1) + gamma f(H))
//! ```
//!
//! Both stages are one implicit solve with the same matrix, so the factors are kept. H is heat, so freezing soil is
//! conserved to the last bit; means over a step weigh the stages by 1 - gamma and gamma.

use super::affine::{AIR, Affine, RADIANT, Room, STORE, VAPOUR};
use super::bed::{Above, Bed, BedFlows, BedHour, Sheet};
use super::film::{radiation_w_m2k, room_convection_w_m2k};
use super::pipes::{Exchange, exchange};
use super::prepare::{Hour, Layout, PaneHour, WallHour};
use super::soil::{Column, Mesh};
use super::vapour::{SPECIFIC_HEAT_AIR_J_KGK, Saturation};
use super::wall::Wall;
use super::zone::{AirState, Zone, root};
use super::{House, InnerFilm, VentKind};
use crate::air::{WATER_TO_AIR_MOLE_MASS, latent_heat_vaporization_j_kg};

/// 1 - 1/sqrt(2).
pub(super) const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// (1 - gamma) / gamma.
const EXTRAPOLATE: f64 = (1.0 - GAMMA) / GAMMA;
/// Weights of the two stages in a step.
const WEIGHTS: [f64; 2] = [1.0 - GAMMA, GAMMA];
/// Rounds until the phases of all soil layers stand still.
const PHASE_ROUNDS: usize = 12;
/// How near the store's duty lands on the set point, K.
const DUTY_K: f64 = 1e-6;
/// Discharge coefficient of openings by stack effect (ASHRAE Fundamentals, ventilation chapter; from memory).
const STACK_DISCHARGE: f64 = 0.65;
/// Effectiveness of openings in oblique wind (same source: 0.25 to 0.35).
const WIND_EFFECTIVENESS: f64 = 0.30;
/// m/s2.
const GRAVITY_M_S2: f64 = 9.81;
/// Gas constant of dry air, kJ/kgK.
const GAS_KJ_KGK: f64 = crate::air::GAS_CONSTANT_DRY_AIR_J_KG_K / 1000.0;
/// Seconds in an hour.
const HOUR_S: f64 = 3600.0;

/// Means over a step.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Flows {
    pub air_c: f64,
    pub vapour_kpa: f64,
    pub leaf_c: [f64; 2],
    pub bed_air_c: [f64; 2],
    pub bed_kpa: [f64; 2],
    pub root_c: [f64; 2],
    pub face_c: f64,
    pub store_c: f64,
    pub sun_w: f64,
    pub gains_w: f64,
    pub lamp_w: f64,
    pub fan_heat_w: f64,
    pub fan_w: f64,
    pub heater_w: f64,
    pub cooler_w: f64,
    pub unmet_w: f64,
    pub glazing_w: f64,
    pub sky_w: f64,
    pub walls_w: f64,
    pub leaks_w: f64,
    pub vents_w: f64,
    pub ground_w: f64,
    pub latent_w: f64,
    pub floor_w: f64,
    pub store_w: f64,
    pub duty: f64,
    pub vent_m3_s: f64,
    pub leak_per_h: f64,
    pub condensation_kg_s: f64,
    pub evaporation_kg_s: f64,
    pub covered: f64,
    /// Heat gained by all nodes, J (a sum, not a mean).
    pub stored_j: f64,
}

impl Flows {
    /// Adds a step that is `share` of the time.
    pub fn add(&mut self, step: &Self, share: f64) {
        let stored_j = self.stored_j + step.stored_j;
        for bed in 0..2 {
            self.leaf_c[bed] += share * step.leaf_c[bed];
            self.bed_air_c[bed] += share * step.bed_air_c[bed];
            self.bed_kpa[bed] += share * step.bed_kpa[bed];
            self.root_c[bed] += share * step.root_c[bed];
        }
        let mut step = *step;
        self.condensation_kg_s += share * step.condensation_kg_s;
        self.evaporation_kg_s += share * step.evaporation_kg_s;
        for (own, more) in self.means().into_iter().zip(step.means()) {
            *own += share * *more;
        }
        self.stored_j = stored_j;
    }

    fn means(&mut self) -> [&mut f64; 25] {
        [
            &mut self.air_c,
            &mut self.vapour_kpa,
            &mut self.face_c,
            &mut self.store_c,
            &mut self.sun_w,
            &mut self.gains_w,
            &mut self.lamp_w,
            &mut self.fan_heat_w,
            &mut self.fan_w,
            &mut self.heater_w,
            &mut self.cooler_w,
            &mut self.unmet_w,
            &mut self.glazing_w,
            &mut self.sky_w,
            &mut self.walls_w,
            &mut self.leaks_w,
            &mut self.vents_w,
            &mut self.ground_w,
            &mut self.latent_w,
            &mut self.floor_w,
            &mut self.store_w,
            &mut self.duty,
            &mut self.vent_m3_s,
            &mut self.leak_per_h,
            &mut self.covered,
        ]
    }
}

/// Parts of a building that do not change from year to year.
pub(super) struct Frame<'a> {
    pub house: &'a House,
    pub layout: &'a Layout,
    pub mesh: Option<&'a Mesh>,
    pub exchange: Option<Exchange>,
    pub sheet: Option<Sheet>,
    /// Floor without and with cover, m2.
    pub floor_m2: [f64; 2],
}

impl<'a> Frame<'a> {
    pub fn new(
        house: &'a House,
        layout: &'a Layout,
        mesh: Option<&'a Mesh>,
        pressure_kpa: f64,
    ) -> Self {
        /// Temperature at which the store's air is weighed, °C.
        const STORE_AIR_C: f64 = 15.0;
        let floor_m2 = house.floor.as_ref().map_or(0.0, |floor| floor.area_m2);
        let covered = house
            .cover
            .as_ref()
            .map_or(0.0, |cover| cover.area_m2.min(floor_m2));
        let exchange = match (&house.store, &house.floor) {
            (Some(store), Some(floor)) => Some(exchange(
                store,
                &floor.soil,
                floor.area_m2,
                density(STORE_AIR_C, pressure_kpa),
            )),
            _ => None,
        };
        let sheet = house.cover.as_ref().map(|cover| Sheet {
            area_ratio: cover.area_ratio,
            resistance: cover.resistance_m2k_w,
            transmittance: cover.long_wave_transmittance,
            emissivity: cover.emissivity,
            air_flow: cover.air_flow_m3_s_m2,
        });
        Self {
            house,
            layout,
            mesh,
            exchange,
            sheet,
            floor_m2: [floor_m2 - covered, covered],
        }
    }

    /// Number of beds that are followed: none, bare, bare and covered.
    pub fn beds(&self) -> usize {
        match (self.mesh, self.sheet) {
            (None, _) => 0,
            (Some(_), None) => 1,
            (Some(_), Some(_)) => 2,
        }
    }
}

/// Everything that changes in time.
#[derive(Clone, Debug)]
pub(super) struct State {
    pub room: Room,
    pub walls: Vec<Wall>,
    pub columns: Vec<Column>,
    /// Bare and covered; those that are not followed stand still.
    pub beds: [Bed; 2],
    /// Is a cover on that is laid by the house's evening temperature?
    pub cover_latched: bool,
}

/// One hour's boundary.
pub(super) struct Boundary<'a> {
    pub hour: &'a Hour,
    pub walls: &'a [WallHour],
    pub panes: &'a [PaneHour],
    pub month: usize,
    pub covered: bool,
    /// Photons are not counted here.
    pub step_s: f64,
}

/// Density of dry air, kg/m3.
fn density(air_c: f64, pressure_kpa: f64) -> f64 {
    pressure_kpa / (GAS_KJ_KGK * super::film::kelvin(air_c))
}

/// Things of a step that both stages share.
struct Step<'a> {
    frame: &'a Frame<'a>,
    at: &'a Boundary<'a>,
    dt_s: f64,
    density: f64,
    latent: f64,
    leak: f64,
    leak_per_h: f64,
    fan: f64,
    vent_most: f64,
    above: Above,
    bed_hours: [BedHour; 2],
    radiation: f64,
    known: AirState,
    /// Is this the step's first solve, so that films are taken anew?
    fresh: bool,
    /// Saturation at the pipes' walls, kPa.
    pipe_kpa: [f64; 2],
    air_j_k: f64,
    vapour_kg_kpa: f64,
}

/// What a stage found.
struct Found {
    state: AirState,
    vent: f64,
    heater_w: f64,
    cooler_w: f64,
    unmet_w: f64,
    duty: f64,
    charging: bool,
    loop_w: Affine,
    pipe_water: Affine,
    zone: Zone,
}

impl State {
    /// Moves the building on by one step.
    pub fn step(&mut self, frame: &Frame, at: &Boundary) -> Flows {
        for wall in &mut self.walls {
            wall.begin();
        }
        for column in &mut self.columns {
            column.begin();
        }
        let start = self.room;
        let mut step = Step::new(frame, at, self);
        let mut flows = Flows::default();
        self.stage(&mut step, &mut flows, WEIGHTS[0]);
        for wall in &mut self.walls {
            wall.extrapolate(EXTRAPOLATE);
        }
        for column in &mut self.columns {
            column.extrapolate(EXTRAPOLATE);
        }
        step.known = AirState {
            air_c: start.air_c + EXTRAPOLATE * (self.room.air_c - start.air_c),
            vapour_kpa: start.vapour_kpa + EXTRAPOLATE * (self.room.vapour_kpa - start.vapour_kpa),
        };
        self.stage(&mut step, &mut flows, WEIGHTS[1]);
        flows.stored_j = step.air_j_k * (self.room.air_c - start.air_c)
            + self
                .walls
                .iter()
                .zip(&frame.layout.shapes)
                .map(|(wall, shape)| wall.gained(shape))
                .sum::<f64>()
            + self
                .columns
                .iter()
                .zip(frame.floor_m2)
                .map(|(column, area)| area * column.gained())
                .sum::<f64>();
        flows
    }

    fn stage(&mut self, step: &mut Step, flows: &mut Flows, weight: f64) {
        let (to_air, to_radiant) = self.reduce_walls(step);
        for round in 1..=PHASE_ROUNDS {
            let found = self.solve(step, to_air, to_radiant);
            step.fresh = false;
            let mut settled = true;
            if let Some(mesh) = step.frame.mesh {
                for (bed, column) in self.beds.iter().zip(&mut self.columns) {
                    let face = bed.face_at(&self.room);
                    let source = bed.source_at(&self.room);
                    let last = round == PHASE_ROUNDS;
                    settled &= column.settle(mesh, step.dt_s, face, source, last);
                }
            }
            if settled {
                self.account(step, &found, flows, weight);
                return;
            }
        }
    }

    fn reduce_walls(&mut self, step: &Step) -> (Affine, Affine) {
        let mut to_air = Affine::default();
        let mut to_radiant = Affine::default();
        let radiant_node = step.above.radiant_node;
        let layout = step.frame.layout;
        for (index, wall) in self.walls.iter_mut().enumerate() {
            let shape = &layout.shapes[index];
            let outside = &step.at.walls[index];
            let (convection, radiation) = if radiant_node {
                (
                    shape.area_m2
                        * room_convection_w_m2k(shape.tilt_deg, wall.face_c - self.room.air_c),
                    layout.radiant_m2[index] * step.radiation,
                )
            } else {
                (shape.area_m2 * shape.film_w_m2k, 0.0)
            };
            let (air, radiant) = wall.reduce(
                shape,
                step.dt_s,
                outside.outer,
                outside.sun_w,
                convection,
                radiation,
            );
            to_air.add(1.0, &air);
            to_radiant.add(1.0, &radiant);
        }
        (to_air, to_radiant)
    }

    /// Reduces the beds and solves the room with its controls.
    fn solve(&mut self, step: &Step, to_air: Affine, to_radiant: Affine) -> Found {
        let frame = step.frame;
        if let Some(mesh) = frame.mesh {
            for (index, column) in self.columns.iter_mut().enumerate() {
                let port = column.reduce(mesh, step.dt_s);
                let sheet = frame
                    .sheet
                    .as_ref()
                    .filter(|_| index == 1 && step.at.covered);
                let hour = &step.bed_hours[index];
                let bed = &mut self.beds[index];
                if step.fresh || !bed.stands_on(&port) {
                    bed.reduce(hour, &step.above, sheet, &port, &self.room);
                } else {
                    bed.set_ground(&port);
                }
            }
        }
        let mut controls = Controls::new(step, to_air, to_radiant, &mut self.beds, self.room);
        let found = controls.run();
        self.room = controls.room;
        found
    }

    /// Adds what a stage did to the means of the step.
    fn account(&mut self, step: &Step, found: &Found, flows: &mut Flows, weight: f64) {
        let hour = step.at.hour;
        let frame = step.frame;
        let room = self.room;
        let (mut walls, mut glazing) = (0.0, 0.0);
        let mut sun = hour.sun.air_w + hour.sun.collector_w;
        for (index, wall) in self.walls.iter_mut().enumerate() {
            let outside = &step.at.walls[index];
            let flow = wall.finish(&frame.layout.shapes[index], outside.outer.temp_c, &room);
            if frame.layout.wall_glazed[index] {
                glazing += flow;
            } else {
                walls += flow;
            }
            sun += outside.sun_w;
        }
        let sweat = found.zone.sweat(found.state, step.latent);
        let light_glazed = hour.glazed_w - hour.glazed_w_k * room.air_c;
        let light = hour.light_w - hour.light_w_k * room.air_c;
        flows.glazing_w += weight * (glazing + light_glazed - sweat.outward_w);
        flows.walls_w += weight * (walls + light - light_glazed);
        self.account_beds(step, flows, weight, &mut sun);
        flows.sun_w += weight * sun;
        let exchanged = found.loop_w.at(&room);
        let pipe_water = found.pipe_water.at(&room);
        flows.store_w -= weight * exchanged;
        flows.latent_w += weight * (sweat.heat_w + pipe_water * step.latent);
        flows.condensation_kg_s += weight * (sweat.water_kg_s + pipe_water);
        let fans = step.scheduled_fan_w();
        let store_fan = frame.house.store.as_ref().map_or(0.0, |store| store.fan_w) * found.duty;
        flows.fan_heat_w += weight * (fans + store_fan);
        flows.fan_w += weight * (fans + store_fan + step.vent_fan_w(found.vent));
        flows.duty += weight
            * if found.charging {
                found.duty
            } else {
                -found.duty
            };
        flows.air_c += weight * room.air_c;
        flows.vapour_kpa += weight * room.vapour_kpa;
        flows.gains_w += weight * (hour.gain_air_w + hour.gain_radiant_w);
        flows.lamp_w += weight * hour.lamp_w;
        flows.heater_w += weight * found.heater_w;
        flows.cooler_w += weight * found.cooler_w;
        flows.unmet_w += weight * found.unmet_w;
        flows.leaks_w += weight * found.zone.brought_w(step.leak, room.air_c);
        flows.vents_w += weight * found.zone.brought_w(step.fan + found.vent, room.air_c);
        flows.vent_m3_s += weight * found.vent / step.density;
        flows.leak_per_h += weight * step.leak_per_h;
    }

    fn account_beds(&mut self, step: &Step, flows: &mut Flows, weight: f64, sun: &mut f64) {
        let frame = step.frame;
        let Some(mesh) = frame.mesh else {
            for bed in 0..2 {
                flows.leaf_c[bed] += weight * self.room.air_c;
                flows.bed_air_c[bed] += weight * self.room.air_c;
                flows.bed_kpa[bed] += weight * self.room.vapour_kpa;
                flows.root_c[bed] += weight * self.room.air_c;
            }
            flows.face_c += weight * self.room.air_c;
            flows.store_c += weight * self.room.air_c;
            return;
        };
        let floor_m2 = (frame.floor_m2[0] + frame.floor_m2[1]).max(f64::MIN_POSITIVE);
        for (index, column) in self.columns.iter().enumerate() {
            let area = frame.floor_m2[index];
            let bed = &mut self.beds[index];
            let done: BedFlows = bed.finish(&self.room);
            let hour = &step.bed_hours[index];
            *sun += area * (hour.leaf_sun + hour.soil_sun + hour.sheet_sun + hour.room_sun);
            flows.sky_w += weight * area * done.sky_w;
            flows.latent_w -= weight * area * done.latent_w;
            flows.evaporation_kg_s += weight * area * done.evaporation_kg_s;
            flows.ground_w += weight * area * column.side_flow(mesh);
            flows.floor_w -= weight * area * mesh.up[0] * (bed.face_c - column.temp_c[0]);
            flows.leaf_c[index] += weight * bed.leaf_c;
            flows.bed_air_c[index] += weight * bed.air_c;
            flows.bed_kpa[index] += weight * bed.vapour_kpa;
            flows.root_c[index] += weight * mesh.root_c(&column.temp_c);
            flows.store_c += weight * area / floor_m2 * bed.store_at(&self.room);
        }
        flows.face_c += weight * self.beds[0].face_c;
        flows.covered += weight * if step.at.covered { 1.0 } else { 0.0 };
    }
}

impl<'a> Step<'a> {
    fn new(frame: &'a Frame<'a>, at: &'a Boundary<'a>, state: &State) -> Self {
        let hour = at.hour;
        let house = frame.house;
        let room = &state.room;
        let density = density(room.air_c, hour.pressure_kpa);
        let volume = house.air.volume_m3;
        let difference_k = (room.air_c - hour.outdoor_c).abs();
        let leak_per_h =
            hour.leak_per_h + house.air.infiltration.per_root_k_h * difference_k.sqrt();
        let radiant_node = house.inner_film == InnerFilm::RadiantNode;
        let above = Above {
            faces_known_c: hour.faces_known_c,
            faces_by_air: hour.faces_by_air,
            sky_share: hour.sky_share,
            outdoor_share: hour.outdoor_share,
            sky_c: hour.sky_c,
            outdoor_c: hour.outdoor_c,
            radiant_node,
        };
        Self {
            frame,
            at,
            dt_s: GAMMA * at.step_s,
            density,
            latent: latent_heat_vaporization_j_kg(room.air_c),
            leak: leak_per_h * volume * density / HOUR_S,
            leak_per_h,
            fan: hour.fan_m3_s * density,
            vent_most: vent_most_m3_s(house, hour, difference_k, room.air_c) * density,
            above,
            bed_hours: bed_hours(frame, at, density),
            radiation: radiation_w_m2k(room.radiant_c, room.radiant_c),
            known: AirState {
                air_c: room.air_c,
                vapour_kpa: room.vapour_kpa,
            },
            fresh: true,
            pipe_kpa: match frame.exchange {
                Some(_) => {
                    [0, 1].map(|bed: usize| Saturation::at(state.beds[bed].store_at(room)).kpa)
                }
                None => [0.0; 2],
            },
            air_j_k: volume * density * SPECIFIC_HEAT_AIR_J_KGK + house.air.light_capacity_j_k,
            vapour_kg_kpa: volume * density * WATER_TO_AIR_MOLE_MASS / hour.pressure_kpa,
        }
    }

    /// Heat and vapour of the air itself, leaks, light faces, gains.
    fn add_air(&self, heat: &mut Affine, vapour: &mut Affine) {
        let hour = self.at.hour;
        let held = self.air_j_k / self.dt_s;
        let damp = self.vapour_kg_kpa / self.dt_s;
        let leak_heat = self.leak * SPECIFIC_HEAT_AIR_J_KGK;
        let leak_vapour = self.leak * WATER_TO_AIR_MOLE_MASS / hour.pressure_kpa;
        let room_sun = self.frame.floor_m2[1] * self.bed_hours[1].room_sun;
        heat.0[0] += held * self.known.air_c
            + leak_heat * hour.outdoor_c
            + hour.light_w
            + hour.gain_air_w
            + hour.lamp_w
            + hour.sun.air_w
            + hour.sun.collector_w
            + room_sun
            + self.scheduled_fan_w();
        heat.0[AIR] -= held + leak_heat + hour.light_w_k;
        vapour.0[0] += damp * self.known.vapour_kpa + leak_vapour * hour.outdoor_kpa;
        vapour.0[VAPOUR] -= damp + leak_vapour;
    }

    fn scheduled_fan_w(&self) -> f64 {
        let power = self.frame.house.air.scheduled_fan.as_ref();
        power.map_or(0.0, |fan| fan.power_w_per_m3_s * self.at.hour.fan_m3_s)
    }

    fn vent_fan_w(&self, vent_kg_s: f64) -> f64 {
        match self.frame.house.air.vents.as_ref().map(|vents| vents.kind) {
            Some(VentKind::Fan { power_w, .. }) if self.vent_most > 0.0 => {
                power_w * vent_kg_s / self.vent_most
            }
            _ => 0.0,
        }
    }
}

/// Largest flow of the vents, m3/s.
fn vent_most_m3_s(house: &House, hour: &Hour, difference_k: f64, air_c: f64) -> f64 {
    match house.air.vents.as_ref().map(|vents| vents.kind) {
        None => 0.0,
        Some(VentKind::AirChanges { max_per_h }) => max_per_h * house.air.volume_m3 / HOUR_S,
        Some(VentKind::Fan { flow_m3_s, .. }) => flow_m3_s,
        Some(VentKind::Natural { area_m2, height_m }) => {
            let stack = STACK_DISCHARGE
                * area_m2
                * (2.0 * GRAVITY_M_S2 * height_m * difference_k / super::film::kelvin(air_c))
                    .max(0.0)
                    .sqrt();
            let wind = WIND_EFFECTIVENESS * area_m2 * hour.wind_m_s;
            stack.hypot(wind)
        }
    }
}

fn bed_hours(frame: &Frame, at: &Boundary, density: f64) -> [BedHour; 2] {
    let Some(floor) = &frame.house.floor else {
        return [BedHour::default(); 2];
    };
    let canopy = &frame.layout.canopies[at.month];
    let light = at.hour.sun.floor_w_m2;
    let bare = BedHour {
        leaf_area: canopy.leaf_area,
        transpires: frame.house.canopy.transpires,
        leaf_sun: canopy.leaf * light,
        soil_sun: canopy.soil * light,
        sheet_sun: 0.0,
        room_sun: 0.0,
        wet_share: floor.wet_share,
        pressure_kpa: at.hour.pressure_kpa,
        density,
    };
    if !at.covered {
        return [bare; 2];
    }
    let [leaf, soil, sheet, room] = frame.layout.covered[at.month];
    let covered = BedHour {
        leaf_sun: leaf * light,
        soil_sun: soil * light,
        sheet_sun: sheet * light,
        room_sun: room * light,
        ..bare
    };
    [bare, covered]
}

/// The controls of a stage, solved with the room.
struct Controls<'a> {
    step: &'a Step<'a>,
    /// Heat to the air and to the radiant node, vapour, without beds and store.
    heat: Affine,
    radiant: Affine,
    vapour: Affine,
    beds: &'a mut [Bed; 2],
    room: Room,
    by_radiant: Option<Affine>,
    loop_w: Affine,
    pipe_water: Affine,
}

impl<'a> Controls<'a> {
    fn new(
        step: &'a Step<'a>,
        mut heat: Affine,
        mut radiant: Affine,
        beds: &'a mut [Bed; 2],
        room: Room,
    ) -> Self {
        let mut vapour = Affine::default();
        step.add_air(&mut heat, &mut vapour);
        let gain = step.at.hour.gain_radiant_w;
        if step.above.radiant_node {
            radiant.0[0] += gain;
        } else {
            heat.0[0] += gain;
        }
        Self {
            step,
            heat,
            radiant,
            vapour,
            beds,
            room,
            by_radiant: None,
            loop_w: Affine::default(),
            pipe_water: Affine::default(),
        }
    }

    /// The room's equations with the store's fan on for `duty` of the time.
    fn zone(&mut self, duty: f64, charging: bool) -> Zone {
        let step = self.step;
        let hour = step.at.hour;
        let (mut heat, mut radiant, mut vapour) = (self.heat, self.radiant, self.vapour);
        self.loop_w = Affine::default();
        self.pipe_water = Affine::default();
        if duty > 0.0 {
            heat.0[0] += self.run_store(duty, charging);
        } else {
            for bed in self.beds.iter_mut() {
                bed.set_source(&Affine::default());
            }
        }
        for (bed, area) in self.beds.iter().zip(step.frame.floor_m2) {
            if area > 0.0 {
                bed.add_to(&mut heat, area, &bed.to_air);
                bed.add_to(&mut radiant, area, &bed.to_radiant);
                bed.add_to(&mut vapour, area, &bed.evaporation);
            }
        }
        heat.add(-1.0, &self.loop_w);
        vapour.add(-1.0, &self.pipe_water);
        self.by_radiant = None;
        if step.above.radiant_node {
            let own = radiant.0[RADIANT];
            radiant.0[RADIANT] = 0.0;
            let solved = radiant.times(-1.0 / own);
            heat.substitute(RADIANT, &solved);
            vapour.substitute(RADIANT, &solved);
            self.by_radiant = Some(solved);
        }
        let mut zone = Zone::new(hour.outdoor_c, hour.outdoor_kpa, hour.pressure_kpa);
        zone.heat = heat;
        zone.vapour = vapour;
        for (pane, &area) in step.at.panes.iter().zip(&step.frame.layout.pane_m2) {
            zone.add_pane(pane, area, self.room.air_c, step.latent);
        }
        zone
    }

    /// Puts the store's heat into the beds; gives the fan's own heat, W.
    fn run_store(&mut self, duty: f64, charging: bool) -> f64 {
        let step = self.step;
        let (Some(exchange), Some(store)) = (step.frame.exchange, &step.frame.house.store) else {
            return 0.0;
        };
        let floor_m2 = step.frame.floor_m2[0] + step.frame.floor_m2[1];
        let collected = step
            .frame
            .house
            .collector
            .map_or(0.0, |c| c.effectiveness * step.at.hour.sun.collector_w);
        let lift_k =
            store.fan_w / exchange.capacity_flow_w_k + collected / exchange.capacity_flow_w_k;
        let conductance = duty * exchange.effectiveness * exchange.capacity_flow_w_k / floor_m2;
        let moist =
            duty * exchange.effectiveness * exchange.mass_flow_kg_s * WATER_TO_AIR_MOLE_MASS
                / step.at.hour.pressure_kpa
                / floor_m2;
        for (index, bed) in self.beds.iter_mut().enumerate().take(step.frame.beds()) {
            let area = step.frame.floor_m2[index];
            // Pipes that are colder than the dew point dry the air; taken at the latest temperatures.
            let store = bed.store();
            let saturated = step.pipe_kpa[index];
            let wet = charging && self.room.vapour_kpa > saturated;
            let mut water = Affine::default();
            if wet {
                water.0[0] = -moist * saturated;
                water.0[VAPOUR] = moist;
            }
            let mut driving = Affine::number(lift_k);
            driving.0[AIR] = 1.0;
            driving.add(-1.0, &store);
            let own = -driving.0[STORE];
            driving.0[STORE] = 0.0;
            let mut source = driving.times(conductance);
            source.add(step.latent, &water);
            let source = source.times(1.0 / (1.0 + conductance * own));
            let mut sensible = source;
            sensible.add(-step.latent, &water);
            bed.set_source(&source);
            self.loop_w.add(area, &sensible);
            self.pipe_water.add(area, &water);
        }
        duty * store.fan_w
    }

    /// Mean temperature round the pipes with the air at a state, °C.
    fn store_c(&self, state: AirState) -> f64 {
        let room = self.room_at(state);
        let areas = self.step.frame.floor_m2;
        let total = areas[0] + areas[1];
        self.beds
            .iter()
            .zip(areas)
            .map(|(bed, area)| bed.store().at(&room) * area / total)
            .sum()
    }

    fn room_at(&self, state: AirState) -> Room {
        let mut room = Room {
            air_c: state.air_c,
            vapour_kpa: state.vapour_kpa,
            radiant_c: state.air_c,
            ..Room::default()
        };
        if let Some(solved) = &self.by_radiant {
            room.radiant_c = solved.at(&room);
        }
        room
    }

    /// Share of the time that the store's fan must run, and whether it charges.
    fn duty(&mut self, free: AirState) -> (f64, bool) {
        let step = self.step;
        if step.frame.exchange.is_none() {
            return (0.0, false);
        }
        let hour = step.at.hour;
        let store_c = self.store_c(free);
        let charging = free.air_c > hour.charge_above_c && free.air_c > store_c;
        let drawing = free.air_c < hour.draw_below_c && free.air_c < store_c;
        if !charging && !drawing {
            return (0.0, false);
        }
        let (set_c, sign) = if charging {
            (hour.charge_above_c, 1.0)
        } else {
            (hour.draw_below_c, -1.0)
        };
        let mut excess =
            |duty: f64| sign * (self.zone(duty, charging).solve(step.fan, 0.0).air_c - set_c);
        let at_full = excess(1.0);
        if at_full >= 0.0 {
            return (1.0, charging);
        }
        let at_none = sign * (free.air_c - set_c);
        (
            root(0.0, at_none, 1.0, at_full, DUTY_K, &mut excess),
            charging,
        )
    }

    /// Store fan, vents, cooler or heater, in that order.
    fn run(&mut self) -> Found {
        let step = self.step;
        let hour = step.at.hour;
        let mut zone = self.zone(0.0, false);
        let mut state = zone.solve(step.fan, 0.0);
        let (duty, charging) = self.duty(state);
        if duty > 0.0 {
            zone = self.zone(duty, charging);
            state = zone.solve(step.fan, 0.0);
        }
        let mut flow = step.fan;
        if state.air_c > hour.vent_set_c && hour.outdoor_c < state.air_c {
            flow = zone
                .flow_to_hold(hour.vent_set_c, step.fan + step.vent_most)
                .clamp(step.fan, step.fan + step.vent_most);
            state = zone.solve(flow, 0.0);
        }
        if let Some(limit) = step
            .frame
            .house
            .air
            .vents
            .as_ref()
            .and_then(|v| v.humidity_pct)
        {
            flow = zone.flow_for_humidity(limit, 0.0, flow, step.fan + step.vent_most);
            state = zone.solve(flow, 0.0);
        }
        let mut found = Found {
            state,
            vent: flow - step.fan,
            heater_w: 0.0,
            cooler_w: 0.0,
            unmet_w: 0.0,
            duty,
            charging,
            loop_w: self.loop_w,
            pipe_water: self.pipe_water,
            zone,
        };
        if let (Some(heater), true) = (
            &step.frame.house.heater,
            found.state.air_c < hour.heater_set_c,
        ) {
            let (asked, held) = found.zone.power_to_hold(hour.heater_set_c, flow);
            found.heater_w = asked.min(heater.capacity_w).max(0.0);
            found.unmet_w = (asked - found.heater_w).max(0.0);
            found.state = if found.heater_w < asked {
                found.zone.solve(flow, found.heater_w)
            } else {
                held
            };
        } else if let (Some(cooler), true) = (
            &step.frame.house.cooler,
            found.state.air_c > hour.cooler_set_c,
        ) {
            let (asked, held) = found.zone.power_to_hold(hour.cooler_set_c, flow);
            found.cooler_w = (-asked).min(cooler.capacity_w).max(0.0);
            found.state = if found.cooler_w < -asked {
                found.zone.solve(flow, -found.cooler_w)
            } else {
                held
            };
        }
        self.room = self.room_at(found.state);
        found
    }
}
