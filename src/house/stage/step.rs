//! What both stages of a step share: the air, leaks, vents, beds of the hour; and what a stage adds up over walls, beds and
//! air before the room is solved.

use super::{Across, AirState, BedHour, Boundary, Frame, State, Step, density};
use crate::air::{WATER_TO_AIR_MOLE_MASS, latent_heat_vaporization_j_kg};
use crate::calendar::SECONDS_PER_HOUR;
use crate::house::affine::{AIR, Affine, NUMBER, RADIANT, VAPOUR};
use crate::house::bed::Bed;
use crate::house::film::{WIND_AT_BUILDING, kelvin, radiation_w_m2k};
use crate::house::prepare::Hour;
use crate::house::scheme::STAGE_S;
use crate::house::vapour::SPECIFIC_HEAT_AIR_J_KGK;
use crate::house::wall::FaceHeat;
use crate::house::{FLOOR_PARTS_MAX, House, VentKind};

/// Discharge coefficient of openings by stack effect (ASHRAE Fundamentals, ventilation chapter; from memory).
const STACK_DISCHARGE: f64 = 0.65;
/// Effectiveness of openings in oblique wind (same source: 0.25 to 0.35).
const WIND_EFFECTIVENESS: f64 = 0.30;
/// m/s2.
pub(super) const GRAVITY_M_S2: f64 = 9.81;

impl<'a> Step<'a> {
    pub(super) fn new<const N: usize>(
        frame: &'a Frame<'a>,
        at: &'a Boundary<'a>,
        state: &State<N>,
    ) -> Self {
        let hour = at.hour;
        let house = frame.house;
        let room = &state.room;
        let density = density(room.air_c, hour.pressure_kpa);
        let volume = house.air.volume_m3;
        let difference_k = (room.air_c - hour.outdoor_c).abs();
        let leak_per_h =
            hour.leak_per_h + house.air.infiltration.per_root_k_h * difference_k.sqrt();
        Self {
            frame,
            at,
            density,
            latent: latent_heat_vaporization_j_kg(room.air_c),
            leak: leak_per_h * volume * density / SECONDS_PER_HOUR,
            leak_per_h,
            fan: hour.fan_m3_s * density,
            vent_most: vent_most_m3_s(house, hour, difference_k, room.air_c) * density,
            bed_hours: bed_hours(frame, at, density),
            radiation: radiation_w_m2k(room.radiant_c, room.radiant_c),
            node_w_k: [
                hour.node_sky_m2 * radiation_w_m2k(room.radiant_c, hour.sky_c),
                hour.node_outdoor_m2 * radiation_w_m2k(room.radiant_c, hour.outdoor_c),
            ],
            known: AirState {
                air_c: room.air_c,
                vapour_kpa: room.vapour_kpa,
            },
            fresh: true,
            store_c: std::array::from_fn(|bed| state.beds.get(bed).map_or(0.0, |bed| bed.store_c)),
            vapour_per_kpa: WATER_TO_AIR_MOLE_MASS / hour.pressure_kpa,
            air_j_k: volume * density * SPECIFIC_HEAT_AIR_J_KGK + house.air.light_capacity_j_k,
            vapour_kg_kpa: volume * density * (WATER_TO_AIR_MOLE_MASS / hour.pressure_kpa),
            across: Across::default(),
        }
    }

    /// Heat and vapour of the air itself, leaks, light faces, gains.
    #[inline(always)]
    pub(super) fn add_air<const N: usize>(&self, sums: &mut Sums<N>) {
        let hour = self.at.hour;
        let held = self.air_j_k / STAGE_S;
        let damp = self.vapour_kg_kpa / STAGE_S;
        let leak_heat = self.leak * SPECIFIC_HEAT_AIR_J_KGK;
        let leak_vapour = self.leak * self.vapour_per_kpa;
        let (heat, vapour) = (&mut sums.heat, &mut sums.vapour);
        let parts = self.frame.floor_m2.iter().zip(&self.bed_hours);
        let room_sun: f64 = parts
            .take(self.frame.beds)
            .map(|(area, bed)| area * bed.room_sun)
            .sum();
        heat.0[NUMBER] += held * self.known.air_c
            + leak_heat * hour.outdoor_c
            + hour.light_w
            + hour.gain_air_w
            + hour.lamp_w
            + hour.sun.air_w
            + hour.sun.collector_w
            + room_sun
            + self.scheduled_fan_w();
        heat.0[AIR] -= held + leak_heat + hour.light_w_k;
        vapour.0[NUMBER] += damp * self.known.vapour_kpa + leak_vapour * hour.outdoor_kpa;
        vapour.0[VAPOUR] -= damp + leak_vapour;
        let across = &self.across;
        let passing_vapour = across.damp_kg_s * self.vapour_per_kpa;
        heat.0[NUMBER] += across.heat_w + across.fan_w;
        vapour.0[NUMBER] += passing_vapour * across.vapour_kpa;
        vapour.0[VAPOUR] -= passing_vapour;
        let gain = hour.gain_radiant_w;
        if N > RADIANT {
            let [sky, outdoor] = self.node_w_k;
            let through = hour.node_sky_w + sky * hour.sky_c + outdoor * hour.outdoor_c;
            sums.radiant.0[NUMBER] += gain + through;
            sums.radiant.0[RADIANT] -= sky + outdoor;
        } else {
            heat.0[NUMBER] += gain;
        }
    }

    /// Long-wave that the radiant node gains through glazing from sky and surroundings, W.
    pub(super) fn through_glazing_w(&self, radiant_c: f64) -> f64 {
        let hour = self.at.hour;
        let [sky, outdoor] = self.node_w_k;
        hour.node_sky_w + sky * (hour.sky_c - radiant_c) + outdoor * (hour.outdoor_c - radiant_c)
    }

    pub(super) fn scheduled_fan_w(&self) -> f64 {
        let power = self.frame.house.air.scheduled_fan.as_ref();
        power.map_or(0.0, |fan| fan.power_w_per_m3_s * self.at.hour.fan_m3_s)
    }

    pub(super) fn vent_fan_w(&self, vent_kg_s: f64) -> f64 {
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
        Some(VentKind::AirChanges { max_per_h }) => {
            max_per_h * house.air.volume_m3 / SECONDS_PER_HOUR
        }
        Some(VentKind::Fan { flow_m3_s, .. }) => flow_m3_s,
        Some(VentKind::Natural { area_m2, height_m }) => {
            let stack = STACK_DISCHARGE
                * area_m2
                // Twice the height to the neutral level, which lies half way between equal openings.
                * (GRAVITY_M_S2 * height_m * difference_k / kelvin(air_c))
                    .max(0.0)
                    .sqrt();
            let wind = WIND_EFFECTIVENESS * area_m2 * WIND_AT_BUILDING * hour.wind_m_s;
            (stack * stack + wind * wind).sqrt()
        }
    }
}

fn bed_hours(frame: &Frame, at: &Boundary, density: f64) -> [BedHour; FLOOR_PARTS_MAX] {
    let mut beds = [BedHour::default(); FLOOR_PARTS_MAX];
    let Some(floor) = &frame.house.floor else {
        return beds;
    };
    let canopy = &frame.layout.share.canopies[at.month];
    let light = at.hour.sun.floor_w_m2;
    let bare = BedHour {
        leaf_area: canopy.leaf_area,
        leaf_view: frame.leaf_view[at.month],
        transpires: frame.house.canopy.transpires,
        leaf_sun: canopy.leaf * light,
        soil_sun: canopy.soil * light,
        wet_share: floor.wet_share,
        pressure_kpa: at.hour.pressure_kpa,
        density,
        ..BedHour::default()
    };
    for (index, bed) in beds.iter_mut().enumerate().take(frame.beds) {
        *bed = bare;
        if at.covered[index] {
            let [leaf, soil, sheet, room] = frame.layout.covered[index][at.month];
            bed.leaf_sun = leaf * light;
            bed.soil_sun = soil * light;
            bed.sheet_sun = sheet * light;
            bed.room_sun = room * light;
        }
    }
    beds
}

/// Sums over the room, affine in air, vapour and radiant node.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums<const N: usize> {
    /// Heat to the air, W.
    pub heat: Affine<N>,
    /// Heat to the radiant node, W.
    pub radiant: Affine<N>,
    /// Vapour to the air, kg/s.
    pub vapour: Affine<N>,
}

/// A bed as the store sees it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Pipes<const N: usize> {
    pub area_m2: f64,
    /// Temperature round the pipes without the store's heat, °C, and its growth with that heat, K per W/m2.
    pub store: Affine<N>,
    pub own: f64,
    /// What the store's heat sends up again to the air, to the radiant node (W/W) and as vapour (kg/s per W).
    pub to_air: f64,
    pub to_radiant: f64,
    pub evaporation: f64,
}

impl<const N: usize> Sums<N> {
    /// Adds an inner face.
    #[inline(always)]
    pub fn add_face(&mut self, face: &FaceHeat) {
        let places = [NUMBER, AIR, RADIANT];
        let used = if N > RADIANT { 3 } else { 2 };
        for (&place, part) in places.iter().zip(face.to_air).take(used) {
            self.heat.0[place] += part;
        }
        if N > RADIANT {
            for (place, part) in places.into_iter().zip(face.to_radiant) {
                self.radiant.0[place] += part;
            }
        }
    }

    /// Adds a bed with its store at rest. Gives how heat to the air, to the radiant node and vapour grow with the store's
    /// heat.
    #[inline(always)]
    pub fn add_bed(&mut self, bed: &Bed<N>, area_m2: f64) -> [f64; 3] {
        let (to_air, air_by_store) = bed.open(&bed.to_air);
        let (evaporation, evaporation_by_store) = bed.open(&bed.evaporation);
        self.heat.add(area_m2, &to_air);
        self.vapour.add(area_m2, &evaporation);
        let mut radiant_by_store = 0.0;
        if N > RADIANT {
            let (to_radiant, by_store) = bed.open(&bed.to_radiant);
            self.radiant.add(area_m2, &to_radiant);
            radiant_by_store = by_store;
        }
        [air_by_store, radiant_by_store, evaporation_by_store]
    }

    /// Takes the radiant node out: its temperature, affine in air and vapour.
    pub fn take_out_radiant(&mut self) -> Affine<N> {
        let own = self.radiant.0[RADIANT];
        self.radiant.0[RADIANT] = 0.0;
        let solved = self.radiant.times(-1.0 / own);
        self.heat.substitute(RADIANT, &solved);
        self.vapour.substitute(RADIANT, &solved);
        solved
    }
}
