//! Faces without heat capacity whose outer films no wind changes: sums over all of them that last until a curtain moves.

use super::layout::{Layout, glazed};
use super::outer::{OuterFace, Outside};
use super::{Hour, MOST_PANES, PaneHour, curtained, drawn, transmittance};
use crate::house::light::{Entering, is_lit_as_floor};
use crate::house::{Behind, House, OuterFilm};

/// Sums over the faces and what each of them does with the sun.
pub(super) struct Still {
    /// Do the sums stand for this building: no wind at the films, nothing but outdoor air and sky behind the faces?
    pub applies: bool,
    drawn: Vec<f64>,
    known: bool,
    faces: Vec<Face>,
    sums: Sums,
}

/// A face's answers to the sun.
#[derive(Clone, Copy, Debug, Default)]
struct Face {
    surface: usize,
    /// Rise of the equivalent outdoor temperature with the sun, K per W/m2.
    by_sun: f64,
    conductance_w_k: f64,
    is_glazed: bool,
    known_by_outer: f64,
    pane: Option<(usize, f64)>,
    /// Area that gives the sun on its inner face to the air, m2.
    inner_m2: f64,
    inner_as_floor: bool,
}

/// What all faces do together: numbers, and growth with the equivalent outdoor temperature and with the sky's heat.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    w_k: f64,
    w_by_sky: f64,
    glazed_w_k: f64,
    glazed_w_by_sky: f64,
    by_air: f64,
    known_by_outer: f64,
    known_by_sky: f64,
    sky_share: f64,
    outdoor_share: f64,
    panes: [PaneSums; MOST_PANES],
}

#[derive(Clone, Copy, Debug, Default)]
struct PaneSums {
    by_outer: f64,
    by_sky: f64,
    by_air: f64,
}

impl Still {
    pub fn new(house: &House, layout: &Layout) -> Self {
        let outdoors = |surface: usize| {
            matches!(
                house.surfaces[surface].behind,
                Behind::Outdoor | Behind::ShelteredAir
            )
        };
        Self {
            applies: house.outer_film == OuterFilm::Standard
                && layout.light.iter().all(|face| outdoors(face.surface)),
            drawn: vec![0.0; layout.light.len()],
            known: false,
            faces: vec![Face::default(); layout.light.len()],
            sums: Sums::default(),
        }
    }

    /// Adds an hour of all faces to its boundary, and fills its panes.
    pub fn add(
        &mut self,
        (house, layout, outer): (&House, &Layout, &[OuterFace]),
        entering: &Entering,
        outside: &Outside,
        total: &mut Hour,
        panes: &mut [PaneHour],
    ) {
        let mut moved = !self.known;
        for (known, face) in self.drawn.iter_mut().zip(&layout.light) {
            let now = drawn(glazed(&house.surfaces[face.surface]), outside);
            moved |= now != *known;
            *known = now;
        }
        if moved {
            self.sum(house, layout, outer);
        }
        let (sums, outdoor_c, sky_w_m2) = (&self.sums, outside.hour.outdoor_c, outside.sky_w_m2);
        total.light_w_k += sums.w_k;
        total.light_w += sums.w_k * outdoor_c + sums.w_by_sky * sky_w_m2;
        total.glazed_w_k += sums.glazed_w_k;
        total.glazed_w += sums.glazed_w_k * outdoor_c + sums.glazed_w_by_sky * sky_w_m2;
        total.faces_by_air = sums.by_air;
        total.faces_known_c += sums.known_by_outer * outdoor_c + sums.known_by_sky * sky_w_m2;
        total.sky_share += sums.sky_share;
        total.outdoor_share += sums.outdoor_share;
        for (pane, sums) in panes.iter_mut().zip(&sums.panes) {
            *pane = PaneHour {
                known_c: sums.by_outer * outdoor_c + sums.by_sky * sky_w_m2,
                by_air: sums.by_air,
            };
        }
        if !entering.dark {
            self.add_sun(entering, outside, total, panes);
        }
    }

    fn add_sun(
        &self,
        entering: &Entering,
        outside: &Outside,
        total: &mut Hour,
        panes: &mut [PaneHour],
    ) {
        let inner_w_m2 = outside.hour.sun.wall_first_w_m2 + outside.hour.sun.even_w_m2;
        for face in &self.faces {
            let warmer_k = face.by_sun * entering.on_surface_w_m2[face.surface];
            let source = face.conductance_w_k * warmer_k;
            total.light_w += source;
            if face.is_glazed {
                total.glazed_w += source;
            }
            total.faces_known_c += face.known_by_outer * warmer_k;
            if let Some((pane, by_outer)) = face.pane {
                panes[pane].known_c += by_outer * warmer_k;
            }
            let light = if face.inner_as_floor {
                outside.hour.sun.floor_w_m2
            } else {
                inner_w_m2
            };
            total.sun.air_w += face.inner_m2 * light;
        }
    }

    fn sum(&mut self, house: &House, layout: &Layout, outer: &[OuterFace]) {
        self.known = true;
        let mut sums = Sums {
            by_air: 1.0,
            ..Sums::default()
        };
        for ((face, kept), &drawn) in layout.light.iter().zip(&mut self.faces).zip(&self.drawn) {
            let surface = &house.surfaces[face.surface];
            let outer = &outer[face.surface];
            let glass = glazed(surface);
            let (u, left) = curtained(glass, outer.nominal_m2k_w, drawn);
            let through = transmittance(glass) * left;
            // The inner face's own sun flows in through the inner film and out through the rest.
            let by_film = u * layout.series[face.surface].inner_m2k_w;
            let conductance = u * surface.area_m2;
            let (by_sky, by_sun) = outer.still_k();
            sums.w_k += conductance;
            sums.w_by_sky += conductance * by_sky;
            if glass.is_some() {
                sums.glazed_w_k += conductance;
                sums.glazed_w_by_sky += conductance * by_sky;
            }
            let known_by_outer = if face.seen { face.view * by_film } else { 0.0 };
            if face.seen {
                sums.by_air -= known_by_outer;
                sums.known_by_outer += known_by_outer;
                sums.known_by_sky += known_by_outer * by_sky;
                sums.sky_share += face.view * through * face.sky_view;
                sums.outdoor_share += face.view * through * (1.0 - face.sky_view);
            }
            let share = layout.pane_share[face.surface];
            if let Some(pane) = face.pane {
                let pane = &mut sums.panes[pane];
                pane.by_outer += share * by_film;
                pane.by_sky += share * by_film * by_sky;
                pane.by_air += share * (1.0 - by_film);
            }
            *kept = Face {
                surface: face.surface,
                by_sun,
                conductance_w_k: conductance,
                is_glazed: glass.is_some(),
                known_by_outer,
                pane: face.pane.map(|pane| (pane, share * by_film)),
                inner_m2: if glass.is_some() {
                    0.0
                } else {
                    surface.area_m2 * surface.absorptance_inside * (1.0 - by_film)
                },
                inner_as_floor: is_lit_as_floor(surface, house.floor.is_none()),
            };
        }
        self.sums = sums;
    }
}
