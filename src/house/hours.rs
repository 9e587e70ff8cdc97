//! Hours one after the other.

use super::on_glazing::Left;
use super::prepare::{Fabric, Hour, PaneHour, Prepared, WallHour, Year};
use super::stage::{Boundary, Flows, Frame, State};
use super::{FLOOR_PARTS_MAX, HouseError, HouseYear, SnowOnGlazing};
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, SECONDS_PER_HOUR, month_of_hour};

/// Air temperatures, °C, that a building can be simulated at; beyond them its figures do not belong together.
const AIR_C: std::ops::RangeInclusive<f64> = -150.0..=500.0;

/// A building on its way through time. Nothing is set aside in memory while hours go by.
pub(super) struct Runner<'a, const N: usize> {
    pub frame: Frame<'a>,
    pub year: Year<'a>,
    pub state: State<N>,
    prepared: Prepared,
    between: Between,
    steps_per_hour: usize,
}

impl<'a, const N: usize> Runner<'a, N> {
    pub fn new(frame: Frame<'a>, year: Year<'a>, state: State<N>, steps_per_hour: usize) -> Self {
        Self {
            prepared: Prepared::new(year.house, year.fabric),
            between: Between::new(year.fabric),
            frame,
            year,
            state,
            steps_per_hour,
        }
    }

    /// Runs hours (beyond the year they wrap round) and writes them into `written`, where given.
    pub fn run(
        &mut self,
        hours: std::ops::Range<usize>,
        mut written: Option<&mut HouseYear>,
    ) -> Result<(), HouseError> {
        let mut day = usize::MAX;
        for hour in hours {
            let at = hour % HOURS_PER_YEAR;
            if at / HOURS_PER_DAY != day {
                day = at / HOURS_PER_DAY;
                self.turn_to(day);
            }
            self.hour(at, written.as_deref_mut())?;
        }
        Ok(())
    }

    fn turn_to(&mut self, day: usize) {
        self.prepared
            .turn_to(&self.year, day, self.steps_per_hour > 1);
        let Some(mesh) = self.frame.mesh else {
            return;
        };
        // A day's ground is that of its noon.
        for (index, column) in self.state.columns.iter_mut().enumerate() {
            column.turn_day(mesh.of(index), day as f64 + 0.5);
        }
    }

    fn hour(&mut self, at: usize, written: Option<&mut HouseYear>) -> Result<(), HouseError> {
        let (frame, layout) = (&self.frame, &self.year.fabric.layout);
        let place = Prepared::place(at);
        let own = &self.prepared.hours[place];
        let covered = begin_covers(&self.year, &mut self.state, at);
        let count = layout.glazed.len();
        let faces = &self.prepared.faces[place * count..(place + 1) * count];
        let house_c = self.state.room.air_c;
        let snow_mm = snow_mm(&self.year, at);
        let left = self
            .state
            .on_glazing
            .begin_hour(layout, (own, faces, snow_mm), at, house_c);
        let entering_w = own.sun.entering_w * left.sun_share;
        let pressure_kpa = own.pressure_kpa;
        let mut mean = Flows::default();
        let steps = self.steps_per_hour;
        let (month, step_s) = (month_of_hour(at), SECONDS_PER_HOUR / steps as f64);
        for step in 0..steps {
            let (hour, walls, panes) = if steps == 1 {
                // An hour is lived once: it can be dimmed where it stands.
                self.prepared.at(layout, place)
            } else {
                let middle = (step as f64 + 0.5) / steps as f64 - 0.5;
                self.between.place(&self.prepared, place, middle);
                let between = &mut self.between;
                (
                    &mut between.hour,
                    &mut between.walls[..],
                    &mut between.panes[..],
                )
            };
            dim(hour, walls, &left);
            let boundary = Boundary {
                hour,
                walls,
                panes,
                month,
                covered,
                step_s,
                share: 1.0 / steps as f64,
            };
            self.state.step(frame, &boundary, &mut mean);
        }
        if !(AIR_C.contains(&mean.air_c) && mean.stored_j.is_finite()) {
            return Err(HouseError::NotFinite { hour: at });
        }
        let panes = if steps == 1 {
            self.prepared.at(layout, place).2
        } else {
            &mut self.between.panes[..]
        };
        let drops = &mut self.state.on_glazing;
        drops.end_hour(panes, mean.air_c, mean.vapour_kpa, pressure_kpa);
        if let Some(year) = written {
            // What is lost is summed face by face: of all light lost, rounding may leave less than none.
            let light = (self.prepared.light_mol_m2[place] - left.light_lost_mol_m2).max(0.0);
            year.write(at, &mean, entering_w, light);
            let parts = year.parts.iter_mut().zip(&frame.house.parts);
            for ((written, part), on) in parts.zip(&covered[1..]) {
                let cover = part.cover.as_ref().filter(|_| *on);
                let passes = cover.map_or(1.0, |cover| cover.solar_transmittance);
                written.light_mol_m2_h[at] = light * passes;
                written.on[at] = f64::from(u8::from(*on));
            }
        }
        Ok(())
    }
}

/// Snow that may lie, mm of water in the hour.
fn snow_mm(year: &Year, at: usize) -> f64 {
    match year.house.snow {
        SnowOnGlazing::None => 0.0,
        SnowOnGlazing::Swept | SnowOnGlazing::Left => {
            year.weather.snowfall_mm.get(at).copied().unwrap_or(0.0)
        }
    }
}

/// Lays and lifts the covers at the beginning of an hour; says which parts of the floor lie under theirs.
fn begin_covers<const N: usize>(
    year: &Year,
    state: &mut State<N>,
    at: usize,
) -> [bool; FLOOR_PARTS_MAX] {
    let mut covered = [false; FLOOR_PARTS_MAX];
    for (index, part) in (1..).zip(&year.house.parts) {
        let (Some(cover), Some(bed)) = (&part.cover, state.beds.get(index)) else {
            continue;
        };
        let temps_c = (state.room.air_c, bed.face_c);
        state.laid[index].begin_hour(&cover.on, year.sun, at, temps_c);
        covered[index] = state.laid[index].on;
    }
    covered
}

/// Takes away what drops and snow on the glazing do.
fn dim(hour: &mut Hour, walls: &mut [WallHour], left: &Left) {
    hour.sky_share *= left.long_wave_share;
    hour.outdoor_share *= left.long_wave_share;
    hour.node_sky_m2 *= left.long_wave_share;
    hour.node_outdoor_m2 *= left.long_wave_share;
    hour.node_sky_w *= left.long_wave_share;
    hour.light_w -= left.sheet_lost_w;
    hour.glazed_w -= left.sheet_lost_w;
    if left.sun_share < 1.0 {
        hour.sun.scale(left.sun_share);
        for wall in walls {
            wall.sun_w *= left.sun_share;
        }
    }
}

/// Boundary conditions between the middles of the hours.
struct Between {
    hour: Hour,
    walls: Vec<WallHour>,
    panes: Vec<PaneHour>,
}

impl Between {
    fn new(fabric: &Fabric) -> Self {
        Self {
            hour: Hour::default(),
            walls: vec![WallHour::default(); fabric.layout.shapes.len()],
            panes: vec![PaneHour::default(); fabric.layout.pane_m2.len()],
        }
    }

    /// Takes the hour at `place`, moved by `shift` of an hour from its middle towards its neighbour.
    fn place(&mut self, prepared: &Prepared, place: usize, shift: f64) {
        let (walls, panes) = (self.walls.len(), self.panes.len());
        self.hour = prepared.hours[place];
        self.walls
            .copy_from_slice(&prepared.walls[place * walls..(place + 1) * walls]);
        self.panes
            .copy_from_slice(&prepared.panes[place * panes..(place + 1) * panes]);
        let other = if shift < 0.0 { place - 1 } else { place + 1 };
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
