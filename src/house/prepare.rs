//! Everything about a building and a weather year that does not depend on the temperatures inside.

use super::film::{
    OUTER_FILM_M2K_W, inner_film_m2k_w, kelvin, outer_convection_w_m2k, radiation_w_m2k, sky_share,
};
use super::light::{Canopy, Entering, SunHour, SunShare, covered_shares, kept_by_surface};
use super::wall::{OuterSide, WallShape, split_air_to_air};
use super::{
    Behind, CoverTimes, CurtainTimes, GlazedFace, House, InnerFilm, Make, OuterFilm, Schedule,
    Surface, SurfaceKind,
};
use crate::air::{STEFAN_BOLTZMANN_W_M2K4, sky_temperature_c, vapour_pressure_kpa};
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, month_of_hour};
use crate::site::{UndisturbedGround, Weather};
use crate::solar::SunYear;

/// Radiation coefficient of still outer faces is added to this convection, W/m2K (ISO 6946 at no wind).
const SHELTERED_CONVECTION_W_M2K: f64 = 4.0;
/// Most kinds of panes told apart for condensation.
pub(super) const MOST_PANES: usize = 6;
/// Pascals per kilopascal.
const PA_PER_KPA: f64 = 1000.0;

/// One hour of boundary conditions.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Hour {
    /// Outdoor air, °C.
    pub outdoor_c: f64,
    /// Outdoor vapour pressure, kPa.
    pub outdoor_kpa: f64,
    /// Air pressure, kPa.
    pub pressure_kpa: f64,
    /// Wind, m/s.
    pub wind_m_s: f64,
    /// Sky, °C.
    pub sky_c: f64,
    /// Faces without heat capacity: conductance to outdoors, W/K.
    pub light_w_k: f64,
    /// The same times their equivalent outdoor temperature, W.
    pub light_w: f64,
    /// The part of them that is glazed, W/K.
    pub glazed_w_k: f64,
    /// W.
    pub glazed_w: f64,
    /// Temperature of the inner faces that beds see = known + by_air x air, °C.
    pub faces_known_c: f64,
    /// K/K.
    pub faces_by_air: f64,
    /// Share of a bed's view that is sky through glazing.
    pub sky_share: f64,
    /// Share of a bed's view that is surroundings through glazing.
    pub outdoor_share: f64,
    /// Sun.
    pub sun: SunHour,
    /// Gains to the air and by radiation, lamps, W.
    pub gain_air_w: f64,
    /// W.
    pub gain_radiant_w: f64,
    /// W.
    pub lamp_w: f64,
    /// Constant and windy leaks, 1/h.
    pub leak_per_h: f64,
    /// Scheduled fan, m3/s.
    pub fan_m3_s: f64,
    /// Set points, °C; infinite where there is none.
    pub heater_set_c: f64,
    /// °C.
    pub cooler_set_c: f64,
    /// °C.
    pub vent_set_c: f64,
    /// °C.
    pub charge_above_c: f64,
    /// °C.
    pub draw_below_c: f64,
    /// Share of the hour that is night.
    pub night: f64,
}

/// A kind of pane in one hour: temperature of its inner face = known + by_air x air.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct PaneHour {
    /// °C.
    pub known_c: f64,
    /// K/K.
    pub by_air: f64,
    /// Share of heat set free at the inner face that flows into the room.
    pub inward: f64,
}

/// A wall's outside and sun in one hour.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct WallHour {
    /// Outer side.
    pub outer: OuterSide,
    /// Sun on the inner face, W.
    pub sun_w: f64,
}

/// A year made ready.
pub(super) struct Prepared {
    /// 8760 hours.
    pub hours: Vec<Hour>,
    /// Hours x walls.
    pub walls: Vec<WallHour>,
    /// Hours x kinds of panes.
    pub panes: Vec<PaneHour>,
    /// Light at the bed, mol/m2 an hour, lamp included.
    pub light_mol_m2: Vec<f64>,
}

/// What of a building does not depend on the weather.
pub(super) struct Layout {
    /// Walls with their surface index (none: heavy thing).
    pub shapes: Vec<WallShape>,
    /// Is the wall glazed?
    pub wall_glazed: Vec<bool>,
    owner: Vec<WallOwner>,
    light: Vec<LightFace>,
    /// Area of each kind of pane, m2.
    pub pane_m2: Vec<f64>,
    /// Canopy shares by month.
    pub canopies: [Canopy; 12],
    /// Leaf, soil, sheet, room: covered beds' shares of the sun on the floor, by month.
    pub covered: [[f64; 4]; 12],
    share: SunShare,
    view_m2: f64,
    /// Carroll's factors of the radiant node times area, m2, one a wall.
    pub radiant_m2: Vec<f64>,
}

#[derive(Clone, Copy, Debug)]
enum WallOwner {
    Surface(usize),
    Heavy(f64),
}

/// A face without heat capacity that is joined to the air.
#[derive(Clone, Debug)]
struct LightFace {
    surface: usize,
    inner_m2k_w: f64,
    core_m2k_w: f64,
    outer_m2k_w: f64,
    pane: Option<usize>,
    seen: bool,
}

fn glazed(surface: &Surface) -> Option<&GlazedFace> {
    match &surface.kind {
        SurfaceKind::Glazed(face) => Some(face),
        SurfaceKind::Opaque { .. } => None,
    }
}

impl Layout {
    pub fn new(house: &House) -> Self {
        let share = SunShare::new(house);
        let mut canopies = [Canopy::default(); 12];
        let mut covered = [[0.0; 4]; 12];
        for month in 0..12 {
            canopies[month] = share.canopy(month);
            if let Some(cover) = &house.cover {
                covered[month] = covered_shares(&canopies[month], cover.solar_transmittance);
            }
        }
        let mut layout = Self {
            shapes: Vec::new(),
            wall_glazed: Vec::new(),
            owner: Vec::new(),
            light: Vec::new(),
            pane_m2: Vec::new(),
            canopies,
            covered,
            share,
            view_m2: house
                .surfaces
                .iter()
                .filter(|s| !super::light::is_floor(s))
                .map(|s| s.area_m2)
                .sum::<f64>()
                .max(1e-6),
            radiant_m2: Vec::new(),
        };
        let mut pane_keys: Vec<(f64, f64, bool)> = Vec::new();
        for (index, surface) in house.surfaces.iter().enumerate() {
            let shape = WallShape::of_surface(surface);
            let stays_light = house.inner_film == InnerFilm::ToAir
                && shape.capacity.is_empty()
                && shape.has_outside;
            if stays_light {
                let face = layout.light_face(index, surface, &mut pane_keys);
                layout.light.push(face);
            } else {
                layout.wall_glazed.push(glazed(surface).is_some());
                layout.shapes.push(shape);
                layout.owner.push(WallOwner::Surface(index));
            }
        }
        for node in &house.heavy {
            layout.shapes.push(WallShape::of_heavy(node));
            layout.wall_glazed.push(false);
            layout.owner.push(WallOwner::Heavy(node.sun_share));
        }
        let floor_m2 = house.floor.as_ref().map_or(0.0, |floor| floor.area_m2);
        layout.radiant_m2 = radiant_areas(&layout.shapes, floor_m2);
        layout
    }

    fn light_face(
        &mut self,
        index: usize,
        surface: &Surface,
        pane_keys: &mut Vec<(f64, f64, bool)>,
    ) -> LightFace {
        let film = inner_film_m2k_w(surface.tilt_deg);
        let (inner, core, outer) = match &surface.make {
            Make::AirToAir { u_w_m2k, .. } => split_air_to_air(*u_w_m2k, film),
            _ => (
                film,
                WallShape::of_surface(surface).outer_m2k_w,
                OUTER_FILM_M2K_W,
            ),
        };
        let pane = glazed(surface).map(|face| {
            let key = (inner, core, face.curtain.is_some());
            let known = pane_keys.iter().position(|k| *k == key);
            let at = known.unwrap_or_else(|| {
                if pane_keys.len() < MOST_PANES {
                    pane_keys.push(key);
                    self.pane_m2.push(0.0);
                }
                pane_keys.len() - 1
            });
            self.pane_m2[at] += surface.area_m2;
            at
        });
        LightFace {
            surface: index,
            inner_m2k_w: inner,
            core_m2k_w: core,
            outer_m2k_w: outer,
            pane,
            seen: !super::light::is_floor(surface),
        }
    }
}

/// Areas weighted by Carroll's factors and emissivity: conductance of each face to the radiant node is this times the
/// radiation coefficient. The floor on the ground counts as one more face.
///
/// # Source
/// Carroll (1980), the mean radiant temperature method: F = 1 / (1 - A F / sum(A F)); from memory.
fn radiant_areas(shapes: &[WallShape], floor_m2: f64) -> Vec<f64> {
    /// Rounds until the factors stand still.
    const ROUNDS: usize = 200;
    let areas: Vec<f64> = shapes
        .iter()
        .map(|shape| shape.area_m2)
        .chain((floor_m2 > 0.0).then_some(floor_m2))
        .collect();
    let mut factors = vec![1.0; areas.len()];
    for _ in 0..ROUNDS {
        let sum: f64 = areas.iter().zip(&factors).map(|(a, f)| a * f).sum();
        for (factor, area) in factors.iter_mut().zip(&areas) {
            // Half steps: the plain rule swings when one face is half the room.
            let share = (area * *factor / sum).min(0.9);
            *factor = 0.5 * (*factor + 1.0 / (1.0 - share));
        }
    }
    shapes
        .iter()
        .zip(&factors)
        .map(|(shape, factor)| {
            let emissivity = shape.emissivity.max(1e-3);
            shape.area_m2 / (1.0 / factor + (1.0 - emissivity) / emissivity)
        })
        .collect()
}

impl Prepared {
    pub fn new(
        house: &House,
        layout: &Layout,
        weather: &Weather,
        sun: &SunYear,
        ground: &UndisturbedGround,
    ) -> Self {
        let entering = Entering::new(house, weather, sun);
        let gains: Vec<(Vec<f64>, f64)> = house
            .gains
            .iter()
            .map(|gain| (gain.heat_w.expand(), gain.radiant_share))
            .collect();
        let mut prepared = Self {
            hours: Vec::with_capacity(HOURS_PER_YEAR),
            walls: Vec::with_capacity(HOURS_PER_YEAR * layout.shapes.len()),
            panes: Vec::with_capacity(HOURS_PER_YEAR * layout.pane_m2.len()),
            light_mol_m2: entering.light_mol_m2.clone(),
        };
        for at in 0..HOURS_PER_YEAR {
            let mut hour = weather_hour(weather, sun, at);
            hour.sun = layout.share.hour(
                entering.beam_w[at],
                entering.diffuse_w[at],
                entering.beam_to_floor[at],
                month_of_hour(at),
            );
            for (heat, radiant) in &gains {
                hour.gain_radiant_w += heat[at] * radiant;
                hour.gain_air_w += heat[at] * (1.0 - radiant);
            }
            set_points(house, &mut hour, at);
            if let Some(lamp) = &house.lamp {
                let on = lamp.on.at(at);
                hour.lamp_w = lamp.power_w * on;
                prepared.light_mol_m2[at] += lamp.ppfd_umol_m2_s * on * 3600.0 / 1e6;
            }
            prepared.add_faces(house, layout, weather, &entering, ground, &mut hour, at);
            prepared.hours.push(hour);
        }
        prepared
    }

    #[allow(clippy::too_many_arguments)]
    fn add_faces(
        &mut self,
        house: &House,
        layout: &Layout,
        weather: &Weather,
        entering: &Entering,
        ground: &UndisturbedGround,
        hour: &mut Hour,
        at: usize,
    ) {
        let sky_w_m2 = weather.sky_long_wave_w_m2[at];
        let outside = |index: usize, u_w_m2k: f64| {
            let surface = &house.surfaces[index];
            let from_sun = entering.on_surface[index].get(at).copied().unwrap_or(0.0);
            outer_side(
                house, surface, hour, sky_w_m2, from_sun, u_w_m2k, ground, at,
            )
        };
        for owner in &layout.owner {
            let wall = match *owner {
                WallOwner::Surface(index) => {
                    let surface = &house.surfaces[index];
                    let u = nominal_u(surface);
                    WallHour {
                        outer: outside(index, u),
                        sun_w: kept_by_surface(surface, house.floor.is_none(), &hour.sun),
                    }
                }
                WallOwner::Heavy(share) => WallHour {
                    outer: OuterSide::default(),
                    sun_w: share * hour.sun.heavy_w,
                },
            };
            self.walls.push(wall);
        }
        let mut panes = [PaneHour::default(); MOST_PANES];
        let mut sums = [0.0; MOST_PANES];
        let mut total = *hour;
        total.faces_by_air = 1.0;
        for face in &layout.light {
            let surface = &house.surfaces[face.surface];
            let outer = outside(
                face.surface,
                1.0 / (face.inner_m2k_w + face.core_m2k_w + face.outer_m2k_w),
            );
            let fixed = face.inner_m2k_w + face.core_m2k_w + outer.film_m2k_w;
            let mut u = 1.0 / fixed;
            let glass = glazed(surface);
            let mut through = glass.map_or(0.0, |g| g.long_wave_transmittance);
            if let Some(curtain) = glass.and_then(|g| g.curtain.as_ref()) {
                let drawn = match &curtain.drawn {
                    CurtainTimes::Night(months) => {
                        if months[month_of_hour(at)] {
                            hour.night
                        } else {
                            0.0
                        }
                    }
                    CurtainTimes::Share(schedule) => schedule.at(at).clamp(0.0, 1.0),
                };
                u = (1.0 - drawn) * u + drawn / (fixed + curtain.resistance_m2k_w);
                through *= 1.0 - drawn * (1.0 - curtain.long_wave_transmittance);
            }
            // The inner face's own sun flows in through the inner film and out through the rest.
            let kept = kept_by_surface(surface, house.floor.is_none(), &hour.sun);
            let conductance = u * surface.area_m2;
            let source = conductance * outer.temp_c;
            let inner_share = 1.0 - u * face.inner_m2k_w;
            total.light_w_k += conductance;
            total.light_w += source;
            total.sun.air_w += kept * inner_share;
            if glass.is_some() {
                total.glazed_w_k += conductance;
                total.glazed_w += source;
            }
            if face.seen {
                let view = surface.area_m2 / layout.view_m2;
                let by_film = u * face.inner_m2k_w;
                total.faces_by_air -= view * by_film;
                total.faces_known_c += view * by_film * outer.temp_c;
                let sky = 0.5 * (1.0 + surface.tilt_deg.to_radians().cos());
                total.sky_share += view * through * sky;
                total.outdoor_share += view * through * (1.0 - sky);
            }
            if let Some(pane) = face.pane {
                let by_film = u * face.inner_m2k_w;
                sums[pane] += surface.area_m2;
                panes[pane].known_c += surface.area_m2 * by_film * outer.temp_c;
                panes[pane].by_air += surface.area_m2 * (1.0 - by_film);
                panes[pane].inward += surface.area_m2 * inner_share;
            }
        }
        *hour = total;
        for (pane, sum) in panes.iter_mut().zip(sums).take(layout.pane_m2.len()) {
            pane.known_c /= sum;
            pane.by_air /= sum;
            pane.inward /= sum;
            self.panes.push(*pane);
        }
    }
}

/// U of a surface with standard films, W/m2K; only used to turn heat from glazing's sheets into a temperature.
fn nominal_u(surface: &Surface) -> f64 {
    let film = inner_film_m2k_w(surface.tilt_deg);
    match &surface.make {
        Make::AirToAir { u_w_m2k, .. } => *u_w_m2k,
        Make::FaceToFace {
            resistance_m2k_w, ..
        } => 1.0 / (film + resistance_m2k_w + OUTER_FILM_M2K_W),
        Make::Layers(layers) => {
            let core: f64 = layers
                .iter()
                .map(|l| l.thickness_m / l.conductivity_w_mk)
                .sum();
            1.0 / (film + core + OUTER_FILM_M2K_W)
        }
    }
}

fn weather_hour(weather: &Weather, sun: &SunYear, at: usize) -> Hour {
    let outdoor_c = weather.temp_air_c[at];
    Hour {
        outdoor_c,
        outdoor_kpa: vapour_pressure_kpa(outdoor_c, weather.relative_humidity_pct[at]),
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

/// Equivalent outdoor temperature and outer film of a surface.
#[allow(clippy::too_many_arguments)]
fn outer_side(
    house: &House,
    surface: &Surface,
    hour: &Hour,
    sky_w_m2: f64,
    from_sun_w_m2: f64,
    u_w_m2k: f64,
    ground: &UndisturbedGround,
    at: usize,
) -> OuterSide {
    let (emissivity, is_glazed) = match &surface.kind {
        SurfaceKind::Opaque {
            emissivity_outside, ..
        } => (*emissivity_outside, false),
        SurfaceKind::Glazed(face) => (face.emissivity_outside, true),
    };
    let standard = match &surface.make {
        Make::AirToAir { u_w_m2k, .. } => {
            split_air_to_air(*u_w_m2k, inner_film_m2k_w(surface.tilt_deg)).2
        }
        _ => OUTER_FILM_M2K_W,
    };
    let radiation = emissivity * radiation_w_m2k(hour.outdoor_c, hour.outdoor_c);
    match surface.behind {
        Behind::Nothing => OuterSide::default(),
        Behind::Ground { depth_mm } => OuterSide {
            temp_c: ground.temp_c(
                f64::from(depth_mm) / 1000.0,
                (at as f64 + 0.5) / HOURS_PER_DAY as f64,
            ),
            film_m2k_w: 0.0,
        },
        Behind::ShelteredAir => OuterSide {
            temp_c: hour.outdoor_c,
            film_m2k_w: match house.outer_film {
                OuterFilm::Standard => standard,
                OuterFilm::Wind => 1.0 / (SHELTERED_CONVECTION_W_M2K + radiation),
            },
        },
        Behind::Outdoor => {
            let film = match house.outer_film {
                OuterFilm::Standard => standard,
                OuterFilm::Wind => 1.0 / (outer_convection_w_m2k(hour.wind_m_s) + radiation),
            };
            let black = STEFAN_BOLTZMANN_W_M2K4 * kelvin(hour.outdoor_c).powi(4);
            let sky = emissivity * sky_share(surface.tilt_deg) * (sky_w_m2 - black);
            let sun_k = if is_glazed {
                // Heat that flows in from the sheets, however the films share it.
                from_sun_w_m2 / u_w_m2k
            } else {
                from_sun_w_m2 * film
            };
            OuterSide {
                temp_c: hour.outdoor_c + sky * film + sun_k,
                film_m2k_w: film,
            }
        }
    }
}

/// Is the cover on in this hour, as far as that can be known beforehand? None: it depends on the house's air.
pub(super) fn cover_on(times: &CoverTimes, hour: &Hour, at: usize) -> Option<bool> {
    /// Share of night from which an hour counts as night.
    const NIGHT: f64 = 0.5;
    match times {
        CoverTimes::Months(months) => Some(months[month_of_hour(at)]),
        CoverTimes::Nights(months) => Some(months[month_of_hour(at)] && hour.night >= NIGHT),
        CoverTimes::OutdoorBelow(temp_c) => Some(hour.outdoor_c < *temp_c),
        CoverTimes::NightsHouseBelow(_) => (hour.night < NIGHT).then_some(false),
    }
}

fn lean(own: &mut f64, other: f64, share: f64) {
    *own += share * (other - *own);
}

impl Hour {
    /// Moves weather, sun and what follows from them towards another hour; set points and gains stay.
    pub fn lean(&mut self, other: &Self, share: f64) {
        let pairs = [
            (&mut self.outdoor_c, other.outdoor_c),
            (&mut self.outdoor_kpa, other.outdoor_kpa),
            (&mut self.pressure_kpa, other.pressure_kpa),
            (&mut self.wind_m_s, other.wind_m_s),
            (&mut self.sky_c, other.sky_c),
            (&mut self.light_w_k, other.light_w_k),
            (&mut self.light_w, other.light_w),
            (&mut self.glazed_w_k, other.glazed_w_k),
            (&mut self.glazed_w, other.glazed_w),
            (&mut self.faces_known_c, other.faces_known_c),
            (&mut self.faces_by_air, other.faces_by_air),
            (&mut self.sky_share, other.sky_share),
            (&mut self.outdoor_share, other.outdoor_share),
            (&mut self.leak_per_h, other.leak_per_h),
            (&mut self.sun.entering_w, other.sun.entering_w),
            (&mut self.sun.air_w, other.sun.air_w),
            (&mut self.sun.collector_w, other.sun.collector_w),
            (&mut self.sun.wall_first_w_m2, other.sun.wall_first_w_m2),
            (&mut self.sun.even_w_m2, other.sun.even_w_m2),
            (&mut self.sun.heavy_w, other.sun.heavy_w),
            (&mut self.sun.floor_w_m2, other.sun.floor_w_m2),
        ];
        for (own, other) in pairs {
            lean(own, other, share);
        }
    }
}

impl WallHour {
    /// Moves towards another hour.
    pub fn lean(&mut self, other: &Self, share: f64) {
        lean(&mut self.outer.temp_c, other.outer.temp_c, share);
        lean(&mut self.outer.film_m2k_w, other.outer.film_m2k_w, share);
        lean(&mut self.sun_w, other.sun_w, share);
    }
}

impl PaneHour {
    /// Moves towards another hour.
    pub fn lean(&mut self, other: &Self, share: f64) {
        lean(&mut self.known_c, other.known_c, share);
        lean(&mut self.by_air, other.by_air, share);
        lean(&mut self.inward, other.inward, share);
    }
}
