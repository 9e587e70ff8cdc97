//! Everything about a building and a weather year that does not depend on the temperatures inside.

mod hour;
mod layout;
mod outer;

use std::ops::Range;

pub(super) use hour::{Hour, MOST_PANES, PaneHour, WallHour};
pub(super) use layout::{GlazedFaceShape, Layout};

use layout::{WallOwner, glazed};
use outer::{OuterFace, Outside, outer_side};

use super::bed::leaf_view;
use super::film::radiation_w_m2k;
use super::light::{Entering, Openings, kept_by_surface};
use super::on_glazing::FaceSun;
use super::pipes::{Exchange, exchange};
use super::soil::Meshes;
use super::stage::density;
use super::vapour::vapour_kpa;
use super::wall::OuterSide;
use super::{FLOOR_PARTS_MAX, GlazedFace, House, InnerFilm, Make, Schedule, Surface};
use crate::air::sky_temperature_c;
use crate::calendar::{HOURS_PER_DAY, SECONDS_PER_HOUR, month_of_hour};
use crate::site::{UndisturbedGround, Weather};
use crate::solar::SunYear;
use crate::sun::bed_light::PHOTONS_MOL_MJ;

/// Pascals per kilopascal.
const PA_PER_KPA: f64 = 1000.0;

/// What the hours of a year are made from.
#[derive(Clone, Copy)]
pub(super) struct Year<'a> {
    pub frame: &'a Frame<'a>,
    pub weather: &'a Weather,
    pub sun: &'a SunYear,
    pub ground: &'a UndisturbedGround,
}

/// All of a building that does not change from year to year.
pub(super) struct Frame<'a> {
    pub house: &'a House,
    pub layout: Layout,
    pub mesh: Option<Meshes>,
    pub exchange: Option<Exchange>,
    /// Mean pressure of the air, kPa.
    pub pressure_kpa: f64,
    /// Areas of the floor's parts, m2; the bare middle first.
    pub floor_m2: [f64; FLOOR_PARTS_MAX],
    /// Share of the long-wave view upward from the soil that leaves fill, by month.
    pub leaf_view: [f64; 12],
    /// Number of parts of the floor that are followed; none without a floor.
    pub beds: usize,
    openings: Openings,
    /// One a surface.
    outer: Vec<OuterFace>,
}

impl<'a> Frame<'a> {
    pub fn new(house: &'a House, ground: &UndisturbedGround, weather: &Weather) -> Self {
        /// Temperature at which the store's air is weighed, °C.
        const STORE_AIR_C: f64 = 15.0;
        let hours = weather.pressure_pa.len().max(1) as f64;
        let pressure_kpa = weather.pressure_pa.iter().sum::<f64>() / hours / PA_PER_KPA;
        let layout = Layout::new(house);
        let (floor, store) = (house.floor.as_ref(), house.store.as_ref());
        let depths = store.map_or(&[][..], |store| &store.depths_m);
        let mut floor_m2 = [0.0; FLOOR_PARTS_MAX];
        for (area_m2, part) in floor_m2[1..].iter_mut().zip(&house.parts) {
            *area_m2 = part.area_m2;
        }
        let whole_m2 = floor.map_or(0.0, |floor| floor.area_m2);
        floor_m2[0] = (whole_m2 - floor_m2.iter().sum::<f64>()).max(0.0);
        let faces = house.surfaces.iter().zip(&layout.series);
        let outer = faces.map(|(surface, series)| OuterFace::new(surface, series));
        Self {
            house,
            mesh: floor.map(|floor| Meshes::new(floor, &house.parts, depths, ground)),
            exchange: store.zip(floor).map(|(store, floor)| {
                let density = density(STORE_AIR_C, pressure_kpa);
                exchange(store, &floor.soil, floor.area_m2, density)
            }),
            pressure_kpa,
            floor_m2,
            leaf_view: (layout.share.canopies).map(|canopy| leaf_view(canopy.leaf_area)),
            beds: floor.map_or(0, |_| 1 + house.parts.len()),
            openings: Openings::new(house, &layout),
            outer: outer.collect(),
            layout,
        }
    }
}

/// A day made ready.
pub(super) struct Prepared {
    pub hours: Vec<Hour>,
    /// Hours x walls.
    pub walls: Vec<WallHour>,
    /// Hours x kinds of panes.
    pub panes: Vec<PaneHour>,
    /// Light at the bed, mol/m2 an hour, lamp included, glazing dry and free of snow.
    pub light_mol_m2: Vec<f64>,
    /// Hours x glazed faces.
    pub faces: Vec<FaceSun>,
    entering: Entering,
}

/// Light from the room beside in the hours of a day, W.
pub(super) type Received = [f64; HOURS_PER_DAY];
/// No light from a room beside.
pub(super) const NONE_RECEIVED: Received = [0.0; HOURS_PER_DAY];

/// Where what an hour at a place has `count` of stands.
pub(super) fn at_place(place: usize, count: usize) -> Range<usize> {
    place * count..(place + 1) * count
}

impl Prepared {
    /// Room for a day.
    pub fn new(frame: &Frame) -> Self {
        let layout = &frame.layout;
        Self {
            hours: vec![Hour::default(); HOURS_PER_DAY],
            walls: vec![WallHour::default(); HOURS_PER_DAY * layout.shapes.len()],
            panes: vec![PaneHour::default(); HOURS_PER_DAY * layout.pane_m2.len()],
            light_mol_m2: vec![0.0; HOURS_PER_DAY],
            faces: vec![FaceSun::default(); HOURS_PER_DAY * layout.glazed.len()],
            entering: Entering::new(&frame.openings),
        }
    }

    /// Place of an hour of the day that is held.
    pub fn place(at: usize) -> usize {
        at % HOURS_PER_DAY
    }

    /// What stands at a place: the hour, its walls and its panes.
    pub fn at(
        &mut self,
        layout: &Layout,
        place: usize,
    ) -> (&mut Hour, &mut [WallHour], &mut [PaneHour]) {
        (
            &mut self.hours[place],
            &mut self.walls[at_place(place, layout.shapes.len())],
            &mut self.panes[at_place(place, layout.pane_m2.len())],
        )
    }

    /// Makes a day of the year ready; `received` is the light that comes from the room beside, W.
    pub fn turn_to(&mut self, year: &Year, day: usize, received: &Received) {
        for clock in 0..HOURS_PER_DAY {
            self.prepare(year, day * HOURS_PER_DAY + clock, clock, received);
        }
    }

    /// Light that passes on to the room beside, W.
    pub fn passed(&self) -> Received {
        std::array::from_fn(|place| self.hours[place].sun.passed_w)
    }

    fn prepare(&mut self, year: &Year, at: usize, place: usize, received: &Received) {
        let (house, layout) = (year.frame.house, &year.frame.layout);
        let month = month_of_hour(at);
        let faces = at_place(place, layout.glazed.len());
        year.frame.openings.hour(
            year.weather,
            year.sun,
            at,
            &mut self.entering,
            &mut self.faces[faces],
        );
        let entering = &self.entering;
        self.light_mol_m2[place] = entering.light_mol_m2;
        let mut hour = weather_hour(year.weather, year.sun, at);
        let mut diffuse = entering.diffuse;
        if received[place] > 0.0 {
            let on_floor_w = layout.share.receive(&mut diffuse, received[place]);
            let mj_m2 = on_floor_w * SECONDS_PER_HOUR / 1e6 / layout.share.floor_m2.max(1.0);
            self.light_mol_m2[place] += mj_m2 * PHOTONS_MOL_MJ;
        }
        hour.sun = layout.share.hour(&entering.beam, &diffuse, month);
        for gain in &house.gains {
            let heat_w = gain.heat_w.at(at);
            hour.gain_radiant_w += heat_w * gain.radiant_share;
            hour.gain_air_w += heat_w * (1.0 - gain.radiant_share);
        }
        set_points(house, &mut hour, at);
        if let Some(lamp) = &house.lamp {
            let on = lamp.on.at(at);
            hour.lamp_w = lamp.power_w * on;
            self.light_mol_m2[place] += lamp.ppfd_umol_m2_s * on * 3600.0 / 1e6;
        }
        let sky_w_m2 = year.weather.sky_long_wave_w_m2[at];
        let given = hour;
        let outside = Outside::new(&given, house.outer_film, year.ground, at, sky_w_m2);
        self.add_walls(year, &outside, place, &mut hour);
        self.add_light_faces(year, &outside, place, &mut hour);
        self.hours[place] = hour;
    }

    fn add_walls(&mut self, year: &Year, outside: &Outside, place: usize, total: &mut Hour) {
        let (house, layout) = (year.frame.house, &year.frame.layout);
        let by_node = house.inner_film == InnerFilm::RadiantNode;
        let walls = &mut self.walls[at_place(place, layout.shapes.len())];
        for ((owner, shape), wall) in layout.owner.iter().zip(&layout.shapes).zip(walls) {
            *wall = match *owner {
                WallOwner::Surface(index) => {
                    let surface = &house.surfaces[index];
                    let outer_face = &year.frame.outer[index];
                    let from_sun = self.entering.on_surface_w_m2[index];
                    let mut outer = outer_side(outside, outer_face, from_sun);
                    let glass = glazed(surface);
                    if glass.is_some() {
                        // A curtain's resistance adds up the same wherever it lies.
                        let beyond_m2k_w = shape.outer_m2k_w + outer.film_m2k_w;
                        let (conductance, left) =
                            curtained(glass, beyond_m2k_w, drawn(glass, outside));
                        outer.film_m2k_w = 1.0 / conductance - shape.outer_m2k_w;
                        let through = transmittance(glass) * left;
                        if by_node && through > 0.0 {
                            see_through(surface, through, outside, total);
                        }
                    }
                    WallHour {
                        outer,
                        sun_w: kept_by_surface(surface, house.floor.is_none(), &outside.hour.sun),
                    }
                }
                WallOwner::Heavy(share) => WallHour {
                    outer: OuterSide::default(),
                    sun_w: share * outside.hour.sun.heavy_w,
                },
            };
        }
    }

    /// Adds up the faces without heat capacity, and what beds and vapour see of them.
    fn add_light_faces(&mut self, year: &Year, outside: &Outside, place: usize, total: &mut Hour) {
        let (house, layout) = (year.frame.house, &year.frame.layout);
        let panes = &mut self.panes[at_place(place, layout.pane_m2.len())];
        panes.fill(PaneHour::default());
        total.faces_by_air = 1.0;
        for face in &layout.light {
            let surface = &house.surfaces[face.surface];
            let from_sun = self.entering.on_surface_w_m2[face.surface];
            let outer_face = &year.frame.outer[face.surface];
            let series = &layout.series[face.surface];
            let outer = outer_side(outside, outer_face, from_sun);
            let glass = glazed(surface);
            let fixed_m2k_w = series.inner_m2k_w + series.core_m2k_w + outer.film_m2k_w;
            let (u, left) = curtained(glass, fixed_m2k_w, drawn(glass, outside));
            let through = transmittance(glass) * left;
            // The inner face's own sun flows in through the inner film and out through the rest.
            let by_film = u * series.inner_m2k_w;
            let inner_share = 1.0 - by_film;
            let kept = kept_by_surface(surface, house.floor.is_none(), &outside.hour.sun);
            // What passes straight through goes to outdoors at air temperature; the sky's being colder is the beds' own.
            let passing = series.through_w_m2k * left;
            let conductance = (u + passing) * surface.area_m2;
            let source = (u * outer.temp_c + passing * outside.hour.outdoor_c) * surface.area_m2;
            total.light_w_k += conductance;
            total.light_w += source;
            total.sun.air_w += kept * inner_share;
            if glass.is_some() {
                total.glazed_w_k += conductance;
                total.glazed_w += source;
            }
            if face.seen {
                let view = face.view;
                total.faces_by_air -= view * by_film;
                total.faces_known_c += view * by_film * outer.temp_c;
                total.sky_share += view * through * face.sky_view;
                total.outdoor_share += view * through * (1.0 - face.sky_view);
            }
            if let Some(pane) = face.pane {
                let share = layout.pane_share[face.surface];
                panes[pane].known_c += share * by_film * outer.temp_c;
                panes[pane].by_air += share * inner_share;
            }
        }
    }
}

/// Adds the radiant node's passage through a film that lets a share `through` of long-wave pass.
///
/// A U value from air to air was measured with that passage: only the sky's being colder than outdoor air comes on top.
/// A resistance from face to face does not hold it.
fn see_through(surface: &Surface, through: f64, outside: &Outside, total: &mut Hour) {
    let open_m2 = surface.area_m2 * through;
    let sky = 0.5 * (1.0 + surface.tilt_deg.to_radians().cos());
    if matches!(surface.make, Make::AirToAir { .. }) {
        let (outdoor_c, sky_c) = (outside.hour.outdoor_c, outside.hour.sky_c);
        let radiation = radiation_w_m2k(outdoor_c, sky_c);
        total.node_sky_w += open_m2 * sky * radiation * (sky_c - outdoor_c);
    } else {
        total.node_sky_m2 += open_m2 * sky;
        total.node_outdoor_m2 += open_m2 * (1.0 - sky);
    }
}

/// How far the curtain of a face is drawn, 0 to 1.
fn drawn(glass: Option<&GlazedFace>, outside: &Outside) -> f64 {
    let curtain = glass.and_then(|face| face.curtain.as_ref());
    match curtain {
        Some(curtain) if curtain.drawn[outside.month] => outside.hour.night,
        _ => 0.0,
    }
}

/// U of a face with its curtain drawn so far, W/m2K, and the share of its long-wave that the curtain leaves.
fn curtained(glass: Option<&GlazedFace>, fixed_m2k_w: f64, drawn: f64) -> (f64, f64) {
    let open = 1.0 / fixed_m2k_w;
    let Some(curtain) = glass.and_then(|face| face.curtain.as_ref()) else {
        return (open, 1.0);
    };
    let closed = 1.0 / (fixed_m2k_w + curtain.resistance_m2k_w);
    let left = 1.0 - drawn * (1.0 - curtain.long_wave_transmittance);
    ((1.0 - drawn) * open + drawn * closed, left)
}

/// Long-wave that a face lets through with its curtain away.
fn transmittance(glass: Option<&GlazedFace>) -> f64 {
    glass.map_or(0.0, |face| face.long_wave_transmittance)
}

fn weather_hour(weather: &Weather, sun: &SunYear, at: usize) -> Hour {
    let outdoor_c = weather.temp_air_c[at];
    Hour {
        outdoor_c,
        outdoor_kpa: vapour_kpa(outdoor_c, weather.relative_humidity_pct[at]),
        pressure_kpa: weather.pressure_pa[at] / PA_PER_KPA,
        wind_m_s: weather.wind_m_s[at],
        sky_c: sky_temperature_c(weather.sky_long_wave_w_m2[at]),
        night: sun.hours.get(at).map_or(0.0, |hour| 1.0 - hour.up_share),
        ..Hour::default()
    }
}

fn set_points(house: &House, hour: &mut Hour, at: usize) {
    let of = |schedule: Option<&Schedule>, absent: f64| schedule.map_or(absent, |s| s.at(at));
    let air = &house.air;
    hour.heater_set_c = of(
        house.heater.as_ref().map(|h| &h.set_point_c),
        f64::NEG_INFINITY,
    );
    hour.cooler_set_c = of(house.cooler.as_ref().map(|c| &c.set_point_c), f64::INFINITY);
    hour.vent_set_c = of(air.vents.as_ref().map(|v| &v.set_point_c), f64::INFINITY);
    hour.charge_above_c = of(
        house.store.as_ref().map(|s| &s.charge_above_c),
        f64::INFINITY,
    );
    hour.draw_below_c = of(
        house.store.as_ref().map(|s| &s.draw_below_c),
        f64::NEG_INFINITY,
    );
    hour.fan_m3_s = of(air.scheduled_fan.as_ref().map(|f| &f.flow_m3_s), 0.0);
    hour.leak_per_h =
        air.infiltration.constant_per_h.at(at) + air.infiltration.per_wind_s_m_h * hour.wind_m_s;
}
