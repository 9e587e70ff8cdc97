//! A year of hours, written down.

use super::on_glazing::Left;
use super::prepare::{Hour, PaneHour, Prepared, WallHour, cover_on};
use super::stage::{Boundary, Flows, Frame, State};
use super::{CoverTimes, CoveredYear, HeatFlows, HouseError, HouseYear};
use crate::air::relative_humidity_pct;
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, month_of_hour};

/// Seconds in an hour.
const HOUR_S: f64 = 3600.0;
/// W over an hour to kWh.
const KWH_PER_W_H: f64 = 1e-3;
/// J to kWh.
const KWH_PER_J: f64 = 1.0 / 3.6e6;
/// Largest share of the throughput that may be missing from a run's heat balance.
pub(super) const BALANCE_ALLOWED: f64 = 1e-3;
/// Throughput below which the balance is judged by this much heat instead, kWh.
const LEAST_THROUGHPUT_KWH: f64 = 1.0;

impl HouseYear {
    /// A year of empty hours.
    pub(super) fn blank(covered: bool) -> Self {
        let column = || vec![0.0; HOURS_PER_YEAR];
        Self {
            air_c: column(),
            leaf_c: column(),
            root_zone_c: column(),
            floor_surface_c: column(),
            store_c: column(),
            relative_humidity_pct: column(),
            light_mol_m2_h: column(),
            sun_entering_w: column(),
            heater_w: column(),
            cooler_w: column(),
            unmet_w: column(),
            fan_w: column(),
            lamp_w: column(),
            store_duty: column(),
            store_heat_w: column(),
            vent_m3_s: column(),
            infiltration_per_h: column(),
            condensation_kg: column(),
            evaporation_kg: column(),
            covered: covered.then(|| CoveredYear {
                air_c: column(),
                leaf_c: column(),
                root_zone_c: column(),
                relative_humidity_pct: column(),
                light_mol_m2_h: column(),
                on: column(),
            }),
            months: vec![HeatFlows::default(); 12],
            year: HeatFlows::default(),
            balance_residual: 0.0,
        }
    }

    /// Sums the months and judges the balance.
    pub(super) fn close(&mut self) -> Result<(), HouseError> {
        let mut year = HeatFlows::default();
        let mut worst: f64 = 0.0;
        for month in &self.months {
            year.add(month);
        }
        let whole = year.throughput_kwh().max(LEAST_THROUGHPUT_KWH);
        for sums in self.months.iter().chain([&year]) {
            let missing = (sums.net_kwh() - sums.stored_kwh).abs();
            let moved = sums.throughput_kwh().max(whole / 12.0 * 0.01);
            worst = worst.max(missing / moved);
        }
        self.year = year;
        self.balance_residual = worst;
        if worst.is_nan() || worst > BALANCE_ALLOWED {
            return Err(HouseError::Balance {
                residual_pct: 100.0 * worst,
                allowed_pct: 100.0 * BALANCE_ALLOWED,
            });
        }
        Ok(())
    }

    fn write(&mut self, at: usize, flows: &Flows, entering_w: f64, light: f64) {
        let stated = |kpa: f64, temp_c: f64| relative_humidity_pct(temp_c, kpa).clamp(0.0, 100.0);
        self.air_c[at] = flows.air_c;
        self.leaf_c[at] = flows.leaf_c[0];
        self.root_zone_c[at] = flows.root_c[0];
        self.floor_surface_c[at] = flows.face_c;
        self.store_c[at] = flows.store_c;
        self.relative_humidity_pct[at] = stated(flows.vapour_kpa, flows.air_c);
        self.light_mol_m2_h[at] = light;
        self.sun_entering_w[at] = entering_w;
        self.heater_w[at] = flows.heater_w;
        self.cooler_w[at] = flows.cooler_w;
        self.unmet_w[at] = flows.unmet_w;
        self.fan_w[at] = flows.fan_w;
        self.lamp_w[at] = flows.lamp_w;
        self.store_duty[at] = flows.duty;
        self.store_heat_w[at] = -flows.store_w;
        self.vent_m3_s[at] = flows.vent_m3_s;
        self.infiltration_per_h[at] = flows.leak_per_h;
        self.condensation_kg[at] = flows.condensation_kg_s * HOUR_S;
        self.evaporation_kg[at] = flows.evaporation_kg_s * HOUR_S;
        if let Some(covered) = &mut self.covered {
            covered.air_c[at] = flows.bed_air_c[1];
            covered.leaf_c[at] = flows.leaf_c[1];
            covered.root_zone_c[at] = flows.root_c[1];
            covered.relative_humidity_pct[at] = stated(flows.bed_kpa[1], flows.bed_air_c[1]);
            covered.on[at] = flows.covered;
        }
        self.months[month_of_hour(at)].count(flows);
    }
}

impl HeatFlows {
    fn add(&mut self, other: &Self) {
        let pairs = self.parts_mut().into_iter().zip(other.parts());
        for (sum, part) in pairs {
            *sum += part;
        }
    }

    fn count(&mut self, flows: &Flows) {
        let hour = [
            flows.sun_w,
            flows.gains_w,
            flows.lamp_w,
            flows.fan_heat_w,
            flows.heater_w,
            -flows.cooler_w,
            flows.glazing_w,
            flows.sky_w,
            flows.walls_w,
            flows.leaks_w,
            flows.vents_w,
            flows.ground_w,
            flows.latent_w,
            flows.floor_w,
            flows.store_w,
        ];
        for (sum, part) in self.parts_mut().into_iter().zip(hour) {
            *sum += part * KWH_PER_W_H;
        }
        self.stored_kwh += flows.stored_j * KWH_PER_J;
    }

    fn parts_mut(&mut self) -> [&mut f64; 16] {
        [
            &mut self.sun_kwh,
            &mut self.gains_kwh,
            &mut self.lamp_kwh,
            &mut self.fan_kwh,
            &mut self.heater_kwh,
            &mut self.cooler_kwh,
            &mut self.glazing_kwh,
            &mut self.sky_through_glazing_kwh,
            &mut self.walls_kwh,
            &mut self.air_change_kwh,
            &mut self.vents_kwh,
            &mut self.ground_kwh,
            &mut self.latent_kwh,
            &mut self.floor_kwh,
            &mut self.store_kwh,
            &mut self.stored_kwh,
        ]
    }

    fn parts(&self) -> [f64; 16] {
        let mut copy = *self;
        copy.parts_mut().map(|part| *part)
    }
}

/// Runs hours `from` to `to` (beyond the year they wrap round) and writes them into `year`, where given.
pub(super) fn run_hours(
    frame: &Frame,
    prepared: &Prepared,
    state: &mut State,
    hours: std::ops::Range<usize>,
    steps_per_hour: usize,
    mut year: Option<&mut HouseYear>,
) -> Result<(), HouseError> {
    let mut between = Between::new(frame);
    let mut ground_day = usize::MAX;
    for hour in hours {
        let at = hour % HOURS_PER_YEAR;
        if at / HOURS_PER_DAY != ground_day {
            ground_day = at / HOURS_PER_DAY;
            turn_ground(frame, state, at);
        }
        let own = &prepared.hours[at];
        let covered = is_covered(frame, state, own, at);
        let house_c = state.room.air_c;
        let left = state
            .on_glazing
            .begin_hour(frame.layout, prepared, at, house_c);
        let mut mean = Flows::default();
        for step in 0..steps_per_hour {
            let middle = (step as f64 + 0.5) / steps_per_hour as f64 - 0.5;
            between.place(frame, prepared, at, middle, steps_per_hour);
            between.dim(&left);
            let boundary = Boundary {
                hour: &between.hour,
                walls: &between.walls,
                panes: &between.panes,
                month: month_of_hour(at),
                covered,
                step_s: HOUR_S / steps_per_hour as f64,
            };
            let flows = state.step(frame, &boundary);
            if steps_per_hour == 1 {
                mean = flows;
            } else {
                mean.add(&flows, 1.0 / steps_per_hour as f64);
            }
        }
        if !(mean.air_c.is_finite() && mean.stored_j.is_finite()) {
            return Err(HouseError::NotFinite { hour: at });
        }
        state.on_glazing.end_hour(
            &between.panes,
            mean.air_c,
            mean.vapour_kpa,
            own.pressure_kpa,
        );
        if let Some(year) = year.as_deref_mut() {
            // What is lost is summed face by face: of all light lost, rounding may leave less than none.
            let light = (prepared.light_mol_m2[at] - left.light_lost_mol_m2).max(0.0);
            year.write(at, &mean, own.sun.entering_w * left.sun_share, light);
            if let (Some(covers), Some(cover)) = (&mut year.covered, &frame.house.cover) {
                let passes = if covered {
                    cover.solar_transmittance
                } else {
                    1.0
                };
                covers.light_mol_m2_h[at] = light * passes;
            }
        }
    }
    Ok(())
}

fn turn_ground(frame: &Frame, state: &mut State, at: usize) {
    let Some(mesh) = frame.mesh else {
        return;
    };
    // A day's ground is that of its noon.
    let day = (at / HOURS_PER_DAY) as f64 + 0.5;
    for column in &mut state.columns {
        column.turn_day(mesh, day);
    }
}

fn is_covered(frame: &Frame, state: &mut State, hour: &Hour, at: usize) -> bool {
    let Some(cover) = &frame.house.cover else {
        return false;
    };
    let known = cover_on(&cover.on, hour, at);
    if let Some(known) = known {
        state.cover_latched = known;
    } else if let (CoverTimes::NightsHouseBelow(temp_c), false) = (&cover.on, state.cover_latched) {
        // Once laid it stays until morning.
        state.cover_latched = state.room.air_c < *temp_c;
    }
    state.cover_latched
}

/// Boundary conditions between the middles of the hours.
struct Between {
    hour: Hour,
    walls: Vec<WallHour>,
    panes: Vec<PaneHour>,
}

impl Between {
    fn new(frame: &Frame) -> Self {
        Self {
            hour: Hour::default(),
            walls: vec![WallHour::default(); frame.layout.shapes.len()],
            panes: vec![PaneHour::default(); frame.layout.pane_m2.len()],
        }
    }

    /// Takes away what drops and snow on the glazing do.
    fn dim(&mut self, left: &Left) {
        let hour = &mut self.hour;
        hour.sky_share *= left.long_wave_share;
        hour.outdoor_share *= left.long_wave_share;
        hour.light_w -= left.sheet_lost_w;
        hour.glazed_w -= left.sheet_lost_w;
        if left.sun_share < 1.0 {
            hour.sun.scale(left.sun_share);
            for wall in &mut self.walls {
                wall.sun_w *= left.sun_share;
            }
        }
    }

    /// Takes the hour `at`, moved by `shift` of an hour from its middle towards its neighbour.
    fn place(&mut self, frame: &Frame, prepared: &Prepared, at: usize, shift: f64, steps: usize) {
        let walls = frame.layout.shapes.len();
        let panes = frame.layout.pane_m2.len();
        self.hour = prepared.hours[at];
        self.walls
            .copy_from_slice(&prepared.walls[at * walls..(at + 1) * walls]);
        self.panes
            .copy_from_slice(&prepared.panes[at * panes..(at + 1) * panes]);
        if steps == 1 {
            return;
        }
        let other = if shift < 0.0 {
            (at + HOURS_PER_YEAR - 1) % HOURS_PER_YEAR
        } else {
            (at + 1) % HOURS_PER_YEAR
        };
        let share = shift.abs();
        self.hour.lean(&prepared.hours[other], share);
        for (own, next) in self.walls.iter_mut().zip(&prepared.walls[other * walls..]) {
            own.lean(next, share);
        }
        for (own, next) in self.panes.iter_mut().zip(&prepared.panes[other * panes..]) {
            own.lean(next, share);
        }
    }
}
