//! What of a building does not depend on the weather.

use super::MOST_PANES;
use crate::house::film::inner_convection_w_m2k;
use crate::house::light::{SunShare, covered_shares};
use crate::house::wall::{Series, WallShape};
use crate::house::{
    Behind, FloorPart, GlazedFace, House, InnerFilm, OuterFilm, SnowOnGlazing, Surface, SurfaceKind,
};

/// What of a building does not depend on the weather.
#[derive(Default)]
pub(crate) struct Layout {
    /// Walls with their surface index (none: heavy thing).
    pub shapes: Vec<WallShape>,
    pub wall_glazed: Vec<bool>,
    /// Walls to the room beside, by their places among the walls.
    pub shared: Vec<usize>,
    pub(super) owner: Vec<WallOwner>,
    pub(super) light: Vec<LightFace>,
    /// Area of each kind of pane, m2.
    pub pane_m2: Vec<f64>,
    /// Convection at the inner face of each kind, W/m2K.
    pub pane_w_m2k: Vec<f64>,
    /// Leaf, soil, sheet, room: shares of the sun on the floor that beds under their covers take, by part of the floor and
    /// month.
    pub covered: Vec<[[f64; 4]; 12]>,
    pub share: SunShare,
    view_m2: f64,
    /// How heat passes each surface.
    pub(super) series: Vec<Series>,
    /// Share of each surface in its kind of pane; 0 for those that are none.
    pub(super) pane_share: Vec<f64>,
    /// Carroll's factors of the radiant node times area, m2, one a wall.
    pub radiant_m2: Vec<f64>,
    /// Glazed faces outdoors, in the order of the surfaces.
    pub glazed: Vec<GlazedFaceShape>,
    /// Long-wave let through wet over that let through dry, all glazing together.
    pub wet_long_wave_share: f64,
    /// What becomes of snow.
    pub snow: SnowOnGlazing,
}

/// A glazed face as drops and snow see it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct GlazedFaceShape {
    /// Its kind of pane; none for a face that is a wall of its own, on which no drops are followed.
    pub pane: Option<usize>,
    pub tilt_deg: f64,
    /// Share of the light lost while it is wet.
    pub condensation_loss: f64,
    /// From the room's air to the outer face, m2K/W.
    pub inside_m2k_w: f64,
    /// From the outer face through snow to the outdoor air, m2K/W.
    pub under_snow_m2k_w: f64,
}

/// Resistance of a thin cover of snow, m2K/W: 3 cm of fresh snow at 0.1 W/mK (handbook range 0.05 to 0.2, from memory).
const SNOW_M2K_W: f64 = 0.3;

#[derive(Clone, Copy, Debug)]
pub(super) enum WallOwner {
    Surface(usize),
    Heavy(f64),
}

/// A face without heat capacity that is joined to the air.
#[derive(Clone, Debug)]
pub(super) struct LightFace {
    pub(super) surface: usize,
    pub(super) pane: Option<usize>,
    pub(super) seen: bool,
    /// Share of what a bed sees above itself.
    pub(super) view: f64,
    /// Share of the hemisphere before it that is sky.
    pub(super) sky_view: f64,
}

pub(super) fn glazed(surface: &Surface) -> Option<&GlazedFace> {
    match &surface.kind {
        SurfaceKind::Glazed(face) => Some(face),
        SurfaceKind::Opaque { .. } => None,
    }
}

impl Layout {
    pub fn new(house: &House) -> Self {
        let share = SunShare::new(house);
        let light_of =
            |part: &FloorPart| part.cover.as_ref().map_or(1.0, |c| c.solar_transmittance);
        let lights = std::iter::once(1.0).chain(house.parts.iter().map(light_of));
        let covered = lights
            .map(|light| (share.canopies).map(|canopy| covered_shares(&canopy, light)))
            .collect();
        let mut layout = Self {
            covered,
            share,
            view_m2: house
                .surfaces
                .iter()
                .filter(|s| !crate::house::light::is_floor(s))
                .map(|s| s.area_m2)
                .sum::<f64>()
                .max(1e-6),
            pane_share: vec![0.0; house.surfaces.len()],
            wet_long_wave_share: wet_long_wave_share(house),
            snow: house.snow,
            ..Self::default()
        };
        let mut pane_keys: Vec<(f64, f64, bool)> = Vec::new();
        for (index, surface) in house.surfaces.iter().enumerate() {
            let mut shape = WallShape::of_surface(surface);
            if surface.behind == Behind::Beside {
                shape.shared = Some(layout.shared.len());
                layout.shared.push(layout.shapes.len());
            }
            let stays_light = house.inner_film == InnerFilm::ToAir
                && shape.capacity.is_empty()
                && shape.has_outside
                && shape.shared.is_none();
            let film = if stays_light {
                house.outer_film
            } else {
                OuterFilm::Standard
            };
            let series = Series::of_surface(surface, film);
            let mut pane = None;
            if stays_light {
                let face = layout.light_face(index, surface, &series, &mut pane_keys);
                pane = face.pane;
                layout.light.push(face);
            }
            layout.add_glazed(surface, &series, pane);
            layout.series.push(series);
            if !stays_light {
                layout.wall_glazed.push(glazed(surface).is_some());
                layout.shapes.push(shape);
                layout.owner.push(WallOwner::Surface(index));
            }
        }
        for face in &layout.light {
            if let Some(pane) = face.pane {
                let area_m2 = house.surfaces[face.surface].area_m2;
                layout.pane_share[face.surface] = area_m2 / layout.pane_m2[pane];
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

    /// Does glazing pass light on to the room beside?
    pub fn passes_light_on(&self) -> bool {
        self.share.between_m2 > 0.0
    }

    fn add_glazed(&mut self, surface: &Surface, series: &Series, pane: Option<usize>) {
        let (Some(face), Behind::Outdoor) = (glazed(surface), &surface.behind) else {
            return;
        };
        self.glazed.push(GlazedFaceShape {
            pane,
            tilt_deg: surface.tilt_deg,
            condensation_loss: face.glazing.condensation_loss,
            inside_m2k_w: series.inner_m2k_w + series.core_m2k_w,
            under_snow_m2k_w: series.outer_m2k_w + SNOW_M2K_W,
        });
    }

    fn light_face(
        &mut self,
        index: usize,
        surface: &Surface,
        series: &Series,
        pane_keys: &mut Vec<(f64, f64, bool)>,
    ) -> LightFace {
        let pane = glazed(surface).map(|face| {
            let key = (
                series.inner_m2k_w,
                series.core_m2k_w,
                face.curtain.is_some(),
            );
            let known = pane_keys.iter().position(|k| *k == key);
            let at = known.unwrap_or_else(|| {
                if pane_keys.len() < MOST_PANES {
                    pane_keys.push(key);
                    self.pane_m2.push(0.0);
                    self.pane_w_m2k
                        .push(inner_convection_w_m2k(surface.tilt_deg));
                }
                pane_keys.len() - 1
            });
            self.pane_m2[at] += surface.area_m2;
            at
        });
        LightFace {
            surface: index,
            pane,
            seen: !crate::house::light::is_floor(surface),
            view: surface.area_m2 / self.view_m2,
            sky_view: 0.5 * (1.0 + surface.tilt_deg.to_radians().cos()),
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

/// Long-wave that all glazing lets through wet over that it lets through dry; 1 where it lets none through.
fn wet_long_wave_share(house: &House) -> f64 {
    let (mut dry_m2, mut wet_m2) = (0.0, 0.0);
    for surface in &house.surfaces {
        if let Some(face) = glazed(surface) {
            dry_m2 += surface.area_m2 * face.long_wave_transmittance;
            wet_m2 += surface.area_m2 * face.long_wave_wet;
        }
    }
    if dry_m2 > 0.0 { wet_m2 / dry_m2 } else { 1.0 }
}
