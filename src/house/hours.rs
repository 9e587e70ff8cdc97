//! Hours one after the other, each in one step: ten-minute steps moved the coldest hours of a plain and of a full house at
//! Helena and Fairbanks by 0.04 to 0.23 K and their root zones by 0.03 K at most.

use super::on_glazing::Left;
use super::prepare::{Frame, Hour, NONE_RECEIVED, Prepared, Received, WallHour, Year, at_place};
use super::stage::{Boundary, Carried, Flows, Passage, State, step_both};
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
    pub(super) year: Year<'a>,
    pub(super) state: State<N>,
    prepared: Prepared,
}

impl<'a, const N: usize> Space<'a, N> {
    pub fn new(year: Year<'a>, state: State<N>) -> Self {
        Self {
            prepared: Prepared::new(year.frame),
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

    /// The house, then the room beside it.
    fn spaces(&mut self) -> impl Iterator<Item = &mut Space<'a, N>> {
        let room = self.beside.as_mut().map(|(_, room)| room);
        std::iter::once(&mut self.house).chain(room)
    }

    /// Turns to other weather.
    pub fn under(&mut self, weather: &'a Weather) {
        self.spaces().for_each(|space| space.year.weather = weather);
    }

    /// The state of everything as plain figures, in the place of an older state of this building.
    pub fn save(&mut self, state: &mut HouseState) {
        let rooms = self.spaces().count();
        state.figures.resize_with(rooms, Vec::new);
        for (space, figures) in self.spaces().zip(&mut state.figures) {
            space.save(figures);
        }
    }

    /// Largest difference of any wall's or soil layer's temperature to a saved state, K.
    pub fn drift_k(&mut self, saved: &HouseState) -> f64 {
        let rooms = self.spaces().zip(&saved.figures);
        let drifts = rooms.map(|(space, figures)| space.drift_k(figures));
        drifts.fold(0.0, f64::max)
    }

    /// Moves the soil on to where years like the one since `begun` lead.
    pub fn settle_ahead(&mut self, begun: &HouseState) {
        for (space, figures) in self.spaces().zip(&begun.figures) {
            space.settle_ahead(figures);
        }
    }

    /// Takes over a saved state; false if it belongs to another building.
    pub fn load(&mut self, saved: &HouseState) -> bool {
        self.spaces().count() == saved.figures.len()
            && (self.spaces().zip(&saved.figures)).all(|(space, figures)| space.load(figures))
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
        if !self.house.year.frame.layout.passes_light_on() {
            self.house.turn_to(day, &NONE_RECEIVED);
            return;
        }
        let from_room = room.prepared.passed();
        self.house.turn_to(day, &from_room);
        let from_house = self.house.prepared.passed();
        room.turn_to(day, &from_house);
    }

    fn hour(&mut self, at: usize, mut written: Option<&mut HouseYear>) -> Result<(), HouseError> {
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
        if let Some((_, room, lived)) = &mut beside {
            let of_room = written.as_deref_mut();
            room.end_hour(lived, of_room.and_then(|year| year.beside.as_deref_mut()))?;
        }
        self.house.end_hour(&lived, written)
    }
}

impl<const N: usize> Space<'_, N> {
    fn turn_to(&mut self, day: usize, received: &Received) {
        self.prepared.turn_to(&self.year, day, received);
        let Some(mesh) = &self.year.frame.mesh else {
            return;
        };
        // A day's ground is that of its noon.
        for (index, column) in self.state.columns.iter_mut().enumerate() {
            column.turn_day(mesh.of(index), day as f64 + 0.5);
        }
    }

    fn begin_hour(&mut self, at: usize) -> Lived {
        let layout = &self.year.frame.layout;
        let place = Prepared::place(at);
        let own = &self.prepared.hours[place];
        let covered = begin_covers(&self.year, &mut self.state, at);
        let faces = &self.prepared.faces[at_place(place, layout.glazed.len())];
        let house_c = self.state.room.air_c;
        let snow_mm = match self.year.frame.house.snow {
            SnowOnGlazing::None => 0.0,
            _ => self.year.weather.snowfall_mm[at],
        };
        let left = self
            .state
            .on_glazing
            .begin_hour(layout, (own, faces, snow_mm), at, house_c);
        Lived {
            at,
            left,
            covered,
            mean: Flows::default(),
        }
    }

    /// The boundary of an hour, with what it acts on.
    fn boundary(&mut self, lived: &Lived) -> (&Frame<'_>, &mut State<N>, Boundary<'_>) {
        // An hour is lived once: it can be dimmed where it stands.
        let layout = &self.year.frame.layout;
        let (hour, walls, panes) = self.prepared.at(layout, Prepared::place(lived.at));
        dim(hour, walls, &lived.left);
        let boundary = Boundary {
            hour,
            walls,
            panes,
            month: month_of_hour(lived.at),
            covered: lived.covered,
        };
        (self.year.frame, &mut self.state, boundary)
    }

    fn end_hour(
        &mut self,
        lived: &Lived,
        written: Option<&mut HouseYear>,
    ) -> Result<(), HouseError> {
        let Lived { at, mean, left, .. } = lived;
        let (at, layout) = (*at, &self.year.frame.layout);
        let place = Prepared::place(at);
        let own = &self.prepared.hours[place];
        if !(AIR_C.contains(&mean.air_c) && mean.stored_j.is_finite()) {
            return Err(HouseError::NotFinite { hour: at });
        }
        let panes = &self.prepared.panes[at_place(place, layout.pane_m2.len())];
        let drops = &mut self.state.on_glazing;
        drops.end_hour(
            layout,
            panes,
            (mean.air_c, mean.vapour_kpa),
            own.pressure_kpa,
        );
        if let Some(year) = written {
            // What is lost is summed face by face: of all light lost, rounding may leave less than none.
            let light = (self.prepared.light_mol_m2[place] - left.light_lost_mol_m2).max(0.0);
            year.write_columns(at, mean, own.sun.entering_w, light);
            year.count(at, mean);
            let parts = year.parts.iter_mut().zip(&self.year.frame.house.parts);
            for (index, (written, part)) in (1..).zip(parts) {
                let on = lived.covered[index];
                let cover = part.cover.as_ref().filter(|_| on);
                let passes = cover.map_or(1.0, |cover| cover.solar_transmittance);
                written.write_columns(at, mean, index, light * passes, on);
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
    for (index, part) in (1..).zip(&year.frame.house.parts) {
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
