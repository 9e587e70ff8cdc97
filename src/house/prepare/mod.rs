//! Everything about a building and a weather year that does not depend on the temperatures inside.

mod hour;
mod layout;
mod outer;

pub(super) use hour::{Hour, MOST_PANES, PaneHour, WallHour};
pub(super) use layout::{GlazedFaceShape, Layout};

use layout::{WallOwner, glazed};
use outer::{OuterFace, Outside, outer_side};

use super::film::radiation_w_m2k;
use super::light::{Entering, kept_by_surface};
use super::on_glazing::FaceSun;
use super::wall::OuterSide;
use super::{
    CoverTimes, CurtainTimes, GlazedFace, House, InnerFilm, Make, Schedule, SnowOnGlazing, Surface,
};
use crate::air::{sky_temperature_c, vapour_pressure_kpa};
use crate::calendar::{HOURS_PER_YEAR, month_of_hour};
use crate::site::{UndisturbedGround, Weather};
use crate::solar::SunYear;

/// Pascals per kilopascal.
const PA_PER_KPA: f64 = 1000.0;

/// A year made ready.
pub(super) struct Prepared {
    /// 8760 hours.
    pub hours: Vec<Hour>,
    /// Hours x walls.
    pub walls: Vec<WallHour>,
    /// Hours x kinds of panes.
    pub panes: Vec<PaneHour>,
    /// Light at the bed, mol/m2 an hour, lamp included, glazing dry and free of snow.
    pub light_mol_m2: Vec<f64>,
    /// Hours x glazed faces.
    pub faces: Vec<FaceSun>,
    /// Snow that may lie, mm of water in the hour; empty where none is followed.
    pub snowfall_mm: Vec<f64>,
}

impl Prepared {
    pub fn new(
        house: &House,
        layout: &Layout,
        weather: &Weather,
        sun: &SunYear,
        ground: &UndisturbedGround,
    ) -> Self {
        let mut entering = Entering::new(house, layout, weather, sun);
        let gains: Vec<(Vec<f64>, f64)> = house
            .gains
            .iter()
            .map(|gain| (gain.heat_w.expand(), gain.radiant_share))
            .collect();
        let faces: Vec<OuterFace> = house.surfaces.iter().map(OuterFace::new).collect();
        let mut prepared = Self {
            hours: Vec::with_capacity(HOURS_PER_YEAR),
            walls: Vec::with_capacity(HOURS_PER_YEAR * layout.shapes.len()),
            panes: Vec::with_capacity(HOURS_PER_YEAR * layout.pane_m2.len()),
            light_mol_m2: entering.light_mol_m2.clone(),
            faces: std::mem::take(&mut entering.faces),
            snowfall_mm: match house.snow {
                SnowOnGlazing::None => Vec::new(),
                SnowOnGlazing::Swept | SnowOnGlazing::Left => weather.snowfall_mm.clone(),
            },
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
            let sky_w_m2 = weather.sky_long_wave_w_m2[at];
            let known = hour;
            let outside = Outside::new(&known, &faces, house.outer_film, ground, at, sky_w_m2);
            prepared.add_walls(house, layout, &entering, &outside, &mut hour);
            prepared.add_light_faces(house, layout, &entering, &outside, &mut hour);
            prepared.hours.push(hour);
        }
        prepared
    }

    fn add_walls(
        &mut self,
        house: &House,
        layout: &Layout,
        entering: &Entering,
        outside: &Outside,
        total: &mut Hour,
    ) {
        let by_node = house.inner_film == InnerFilm::RadiantNode;
        for (owner, shape) in layout.owner.iter().zip(&layout.shapes) {
            let wall = match *owner {
                WallOwner::Surface(index) => {
                    let surface = &house.surfaces[index];
                    let from_sun = entering.on_surface(index, outside.at);
                    let mut outer = outer_side(
                        outside,
                        &outside.faces[index],
                        from_sun,
                        outside.faces[index].nominal_u_w_m2k,
                    );
                    if let Some(face) = glazed(surface) {
                        // A curtain's resistance adds up the same wherever it lies.
                        let beyond_m2k_w = shape.outer_m2k_w + outer.film_m2k_w;
                        let (conductance, through) =
                            with_curtain(Some(face), beyond_m2k_w, outside);
                        outer.film_m2k_w = 1.0 / conductance - shape.outer_m2k_w;
                        if by_node && through > 0.0 {
                            see_through(surface, through, outside.hour, total);
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
            self.walls.push(wall);
        }
    }

    /// Adds up the faces without heat capacity, and what beds and vapour see of them.
    fn add_light_faces(
        &mut self,
        house: &House,
        layout: &Layout,
        entering: &Entering,
        outside: &Outside,
        total: &mut Hour,
    ) {
        let mut panes = [PaneHour::default(); MOST_PANES];
        total.faces_by_air = 1.0;
        for face in &layout.light {
            let surface = &house.surfaces[face.surface];
            let from_sun = entering.on_surface(face.surface, outside.at);
            let outer_face = &outside.faces[face.surface];
            let outer = outer_side(outside, outer_face, from_sun, face.u_w_m2k());
            let glass = glazed(surface);
            let fixed = face.inner_m2k_w + face.core_m2k_w + outer.film_m2k_w;
            let (u, through) = with_curtain(glass, fixed, outside);
            // The inner face's own sun flows in through the inner film and out through the rest.
            let by_film = u * face.inner_m2k_w;
            let inner_share = 1.0 - by_film;
            let kept = kept_by_surface(surface, house.floor.is_none(), &outside.hour.sun);
            let conductance = u * surface.area_m2;
            let source = conductance * outer.temp_c;
            total.light_w_k += conductance;
            total.light_w += source;
            total.sun.air_w += kept * inner_share;
            if glass.is_some() {
                total.glazed_w_k += conductance;
                total.glazed_w += source;
            }
            if face.seen {
                let view = surface.area_m2 / layout.view_m2;
                total.faces_by_air -= view * by_film;
                total.faces_known_c += view * by_film * outer.temp_c;
                total.sky_share += view * through * face.sky_view;
                total.outdoor_share += view * through * (1.0 - face.sky_view);
            }
            if let Some(pane) = face.pane {
                let share = surface.area_m2 / layout.pane_m2[pane];
                panes[pane].known_c += share * by_film * outer.temp_c;
                panes[pane].by_air += share * inner_share;
                panes[pane].inward += share * inner_share;
            }
        }
        self.panes.extend(&panes[..layout.pane_m2.len()]);
    }
}

/// Adds the radiant node's passage through a film that lets a share `through` of long-wave pass.
///
/// A U value from air to air was measured with that passage: only the sky's being colder than outdoor air comes on top.
/// A resistance from face to face does not hold it.
fn see_through(surface: &Surface, through: f64, hour: &Hour, total: &mut Hour) {
    let open_m2 = surface.area_m2 * through;
    let sky = 0.5 * (1.0 + surface.tilt_deg.to_radians().cos());
    if matches!(surface.make, Make::AirToAir { .. }) {
        let radiation = radiation_w_m2k(hour.outdoor_c, hour.sky_c);
        total.node_sky_w += open_m2 * sky * radiation * (hour.sky_c - hour.outdoor_c);
    } else {
        total.node_sky_m2 += open_m2 * sky;
        total.node_outdoor_m2 += open_m2 * (1.0 - sky);
    }
}

/// U of a face with its curtain as far as it is drawn, W/m2K, and its long-wave transmittance.
fn with_curtain(glass: Option<&GlazedFace>, fixed_m2k_w: f64, outside: &Outside) -> (f64, f64) {
    let open = 1.0 / fixed_m2k_w;
    let Some(face) = glass else {
        return (open, 0.0);
    };
    let through = face.long_wave_transmittance;
    let Some(curtain) = &face.curtain else {
        return (open, through);
    };
    let drawn = match &curtain.drawn {
        CurtainTimes::Night(months) if months[month_of_hour(outside.at)] => outside.hour.night,
        CurtainTimes::Night(_) => 0.0,
        CurtainTimes::Share(schedule) => schedule.at(outside.at),
    };
    let closed = 1.0 / (fixed_m2k_w + curtain.resistance_m2k_w);
    (
        (1.0 - drawn) * open + drawn * closed,
        through * (1.0 - drawn * (1.0 - curtain.long_wave_transmittance)),
    )
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
