//! Hours one after the other, each in one step: ten-minute steps moved the coldest hours of a plain and of a full house at
//! Helena and Fairbanks by 0.04 to 0.23 K and their root zones by 0.03 K at most.

use super::on_glazing::Left;
use super::prepare::{Hour, NONE_RECEIVED, Prepared, Received, WallHour, Year, at_place};
use super::stage::{Boundary, Carried, Flows, Frame, Passage, State, step_both};
use super::{Beside, FLOOR_PARTS_MAX, HouseError, HouseState, HouseYear, SnowOnGlazing};
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, month_of_hour};
use crate::site::Weather;

/// Air temperatures, °C, that a building can be simulated at; beyond them its figures do not belong together.
const AIR_C: std::ops::RangeInclusive<f64> = -150.0..=500.0;

/// A house, and the room beside it where there is one, on the way through time. Nothing is set aside in memory while hours
/// go by.
pub(super) struct Runner<'a, const N: usize> {
    house: Space<'a, N>,
    beside: Option<(&'a Beside, Space<'a, N>)>,
    carried: Carried,
}

/// A building with all that its hours need.
pub(super) struct Space<'a, const N: usize> {
    frame: Frame<'a>,
    year: Year<'a>,
    state: State<N>,
    prepared: Prepared,
}

impl<'a, const N: usize> Space<'a, N> {
    pub fn new(frame: Frame<'a>, year: Year<'a>, state: State<N>) -> Self {
        Self {
            prepared: Prepared::new(year.house, year.fabric),
            frame,
            year,
            state,
        }
    }
}

/// What a building's glazing leaves of an hour, and what it did.
struct Lived {
    at: usize,
    left: Left,
    covered: [bool; FLOOR_PARTS_MAX],
    entering_w: f64,
    pressure_kpa: f64,
    mean: Flows,
}

impl<'a, const N: usize> Runner<'a, N> {
    pub fn new(house: Space<'a, N>, beside: Option<(&'a Beside, Space<'a, N>)>) -> Self {
        Self {
            house,
            beside,
            carried: Carried::default(),
        }
    }

    /// Turns to other weather.
    pub fn under(&mut self, weather: &'a Weather) {
        self.house.year.weather = weather;
        if let Some((_, room)) = &mut self.beside {
            room.year.weather = weather;
        }
    }

    /// The state of everything as plain figures.
    pub fn save(&self) -> HouseState {
        let mut state = HouseState::default();
        self.save_into(&mut state);
        state
    }

    /// The same in the place of an older state of this building.
    pub fn save_into(&self, state: &mut HouseState) {
        self.house.state.save_into(self.house.frame.mesh, state);
        if let Some((_, room)) = &self.beside {
            let own = state.beside.get_or_insert_with(Box::default);
            room.state.save_into(room.frame.mesh, own);
        }
    }

    /// Largest difference of any wall's or soil layer's temperature to a saved state, K.
    pub fn drift_k(&self, saved: &HouseState) -> f64 {
        let own = self.house.state.drift_k(self.house.frame.mesh, saved);
        match (&self.beside, &saved.beside) {
            (Some((_, room)), Some(saved)) => own.max(room.state.drift_k(room.frame.mesh, saved)),
            _ => own,
        }
    }

    /// Moves the soil on to where years like the one since `begun` lead.
    pub fn settle_ahead(&mut self, begun: &HouseState) {
        self.house.state.settle_ahead(self.house.frame.mesh, begun);
        if let (Some((_, room)), Some(begun)) = (&mut self.beside, &begun.beside) {
            room.state.settle_ahead(room.frame.mesh, begun);
        }
    }

    /// Takes over a saved state; false if it belongs to another building.
    pub fn load(&mut self, saved: &HouseState) -> bool {
        self.house.state.load(self.house.frame.mesh, saved)
            && match (&mut self.beside, &saved.beside) {
                (Some((_, room)), Some(saved)) => room.state.load(room.frame.mesh, saved),
                (None, None) => true,
                _ => false,
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

    /// Makes a day ready. Light that passes between the two does so once each way: what the room sends on is in what the house
    /// sends back.
    fn turn_to(&mut self, day: usize) {
        let Some((_, room)) = &mut self.beside else {
            self.house.turn_to(day, &NONE_RECEIVED);
            return;
        };
        room.turn_to(day, &NONE_RECEIVED);
        if !self.house.year.fabric.layout.passes_light_on() {
            self.house.turn_to(day, &NONE_RECEIVED);
            return;
        }
        let from_room = room.prepared.passed();
        self.house.turn_to(day, &from_room);
        let from_house = self.house.prepared.passed();
        room.turn_to(day, &from_house);
    }

    fn hour(&mut self, at: usize, written: Option<&mut HouseYear>) -> Result<(), HouseError> {
        let mut lived = self.house.begin_hour(at);
        let mut beside = self.beside.as_mut().map(|(beside, room)| {
            let lived = room.begin_hour(at);
            (Passage::at(beside, at), room, lived)
        });
        let (frame, state, boundary) = self.house.boundary(&lived);
        match &mut beside {
            None => state.step(frame, &boundary, &mut lived.mean),
            Some((passage, room, room_lived)) => {
                let (room_frame, room_state, room_at) = room.boundary(room_lived);
                step_both(
                    (state, frame, &boundary, &mut lived.mean),
                    (room_state, room_frame, &room_at, &mut room_lived.mean),
                    passage,
                    &mut self.carried,
                );
            }
        }
        let (mut own, mut of_room) = (None, None);
        if let Some(year) = written {
            // The room's year is taken out while both are written.
            of_room = year.beside.take();
            own = Some(year);
        }
        if let Some((_, room, lived)) = &mut beside {
            room.end_hour(lived, of_room.as_deref_mut())?;
        }
        self.house.end_hour(&lived, own.as_deref_mut())?;
        if let Some(year) = own {
            year.beside = of_room;
        }
        Ok(())
    }
}

impl<const N: usize> Space<'_, N> {
    fn turn_to(&mut self, day: usize, received: &Received) {
        self.prepared.turn_to(&self.year, day, received);
        let Some(mesh) = self.frame.mesh else {
            return;
        };
        // A day's ground is that of its noon.
        for (index, column) in self.state.columns.iter_mut().enumerate() {
            column.turn_day(mesh.of(index), day as f64 + 0.5);
        }
    }

    fn begin_hour(&mut self, at: usize) -> Lived {
        let layout = &self.year.fabric.layout;
        let place = Prepared::place(at);
        let own = &self.prepared.hours[place];
        let covered = begin_covers(&self.year, &mut self.state, at);
        let faces = &self.prepared.faces[at_place(place, layout.glazed.len())];
        let house_c = self.state.room.air_c;
        let snow_mm = match self.year.house.snow {
            SnowOnGlazing::None => 0.0,
            _ => self.year.weather.snowfall_mm[at],
        };
        let left = self
            .state
            .on_glazing
            .begin_hour(layout, (own, faces, snow_mm), at, house_c);
        Lived {
            at,
            entering_w: own.sun.entering_w * left.sun_share,
            pressure_kpa: own.pressure_kpa,
            left,
            covered,
            mean: Flows::default(),
        }
    }

    /// The boundary of an hour, with what it acts on.
    fn boundary(&mut self, lived: &Lived) -> (&Frame<'_>, &mut State<N>, Boundary<'_>) {
        // An hour is lived once: it can be dimmed where it stands.
        let layout = &self.year.fabric.layout;
        let (hour, walls, panes) = self.prepared.at(layout, Prepared::place(lived.at));
        dim(hour, walls, &lived.left);
        let boundary = Boundary {
            hour,
            walls,
            panes,
            month: month_of_hour(lived.at),
            covered: lived.covered,
        };
        (&self.frame, &mut self.state, boundary)
    }

    fn end_hour(
        &mut self,
        lived: &Lived,
        written: Option<&mut HouseYear>,
    ) -> Result<(), HouseError> {
        let Lived { at, mean, left, .. } = lived;
        let (at, layout) = (*at, &self.year.fabric.layout);
        let place = Prepared::place(at);
        if !(AIR_C.contains(&mean.air_c) && mean.stored_j.is_finite()) {
            return Err(HouseError::NotFinite { hour: at });
        }
        let panes = self.prepared.at(layout, place).2;
        let drops = &mut self.state.on_glazing;
        drops.end_hour(
            layout,
            panes,
            (mean.air_c, mean.vapour_kpa),
            lived.pressure_kpa,
        );
        if let Some(year) = written {
            // What is lost is summed face by face: of all light lost, rounding may leave less than none.
            let light = (self.prepared.light_mol_m2[place] - left.light_lost_mol_m2).max(0.0);
            year.write(at, mean, lived.entering_w, light);
            let parts = year.parts.iter_mut().zip(&self.frame.house.parts);
            for ((written, part), on) in parts.zip(&lived.covered[1..]) {
                let cover = part.cover.as_ref().filter(|_| *on);
                let passes = cover.map_or(1.0, |cover| cover.solar_transmittance);
                written.light_mol_m2_h[at] = light * passes;
                written.on[at] = f64::from(u8::from(*on));
            }
        }
        Ok(())
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
