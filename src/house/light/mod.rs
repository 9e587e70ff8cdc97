//! The sun in the house: what enters, what leaves again, who keeps the rest.
//!
//! Heavy things, light things and the collector take their stated shares first. The rest falls on floor, walls and other
//! glazing by the one rule of the light stage ([`crate::sun::bed_light`]), the same as photosynthetic light. Each face keeps its absorptance; what it reflects fills the
//! room evenly and is shared by absorptance times area, the glazing letting its part out. Glazing to the room beside passes on what it
//! lets through of the light on it, as even light.

mod entering;

pub(super) use entering::{Entering, Falling, Openings};

use super::{Behind, House, Surface, SurfaceKind};
use crate::sun::{FRAME_ABSORPTANCE, OpticsShelf};

/// Share of sunlight that leaves keep: they throw back and let through the rest, mostly near infrared (De Zwart 1996:
/// 0.11 to 0.35 thrown back; textbook mean, from memory).
const LEAF_ABSORPTANCE: f64 = 0.70;
/// Extinction of a canopy for sunlight (De Zwart 1996: 0.70 for light, 0.27 for near infrared; mean of both halves).
const SUN_EXTINCTION: f64 = 0.55;
/// Share of the sunlight stopped by a cover that heats it; the rest goes to the room. Own choice, no source.
const SHEET_SHARE: f64 = 1.0 / 3.0;
/// Smallest denominator of shared areas, m2.
const LEAST_AREA_M2: f64 = 1e-6;

/// Sun that everything in the house keeps in one hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct SunHour {
    /// Enters, W.
    pub entering_w: f64,
    /// To the air at once, W.
    pub air_w: f64,
    /// Kept by the collector, W.
    pub collector_w: f64,
    /// On all inner walls together before what they reflect is shared, W per unit of weight; see [`SunShare`].
    pub wall_first_w_m2: f64,
    /// Even light in the room, W/m2.
    pub even_w_m2: f64,
    /// Entering light that heavy things share, W.
    pub heavy_w: f64,
    /// On the floor, W/m2, before canopy and cover.
    pub floor_w_m2: f64,
    /// Through glazing to the room beside, W.
    pub passed_w: f64,
}

impl SunHour {
    /// Leaves a share of everything.
    pub fn scale(&mut self, share: f64) {
        for part in [
            &mut self.entering_w,
            &mut self.air_w,
            &mut self.collector_w,
            &mut self.wall_first_w_m2,
            &mut self.even_w_m2,
            &mut self.heavy_w,
            &mut self.floor_w_m2,
            &mut self.passed_w,
        ] {
            *part *= share;
        }
    }
}

/// What one bed keeps of the sun on the floor, shares by month.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Canopy {
    /// By leaves.
    pub leaf: f64,
    /// By soil.
    pub soil: f64,
    /// Leaf area per m2 of floor.
    pub leaf_area: f64,
}

/// The house's way with sunlight.
#[derive(Default)]
pub(super) struct SunShare {
    /// Floor on which light for plants falls, m2.
    pub floor_m2: f64,
    floor_is_surface: bool,
    wall_m2: f64,
    glazed_m2: f64,
    glass_loss: f64,
    glass_back: f64,
    wall_absorbing_m2: f64,
    floor_surface_absorbing_m2: f64,
    heavy_share: f64,
    walls_share: Option<f64>,
    air_share: f64,
    collector_share: f64,
    /// What a bed keeps of the sun on the floor, by month.
    pub canopies: [Canopy; 12],
    /// Area of the glazing to the room beside times what it lets through, m2.
    pub between_m2: f64,
}

/// Is this surface a floor in the room's sense: its outward normal looks down?
pub(super) fn is_floor(surface: &Surface) -> bool {
    /// Tilt from which a face counts as a floor, degrees.
    const FLOOR_FROM_DEG: f64 = 135.0;
    surface.tilt_deg >= FLOOR_FROM_DEG
}

/// Does light come in here from outdoors? Glazing to the room beside counts as a wall that passes a part of its light on.
fn is_opening(surface: &Surface) -> bool {
    matches!(surface.kind, SurfaceKind::Glazed(_)) && surface.behind != Behind::Beside
}

/// Share of even light that glazing to the room beside lets through.
fn passed(surface: &Surface, shelf: &mut OpticsShelf) -> f64 {
    match &surface.kind {
        SurfaceKind::Glazed(face) if surface.behind == Behind::Beside => {
            shelf.of(&face.glazing).diffuse.transmitted
        }
        _ => 0.0,
    }
}

/// Share of the light on the inner face of a wall that does not come back.
fn taken_inside(surface: &Surface, shelf: &mut OpticsShelf) -> f64 {
    (surface.absorptance_inside + passed(surface, shelf)).min(1.0)
}

impl SunShare {
    pub fn new(house: &House) -> Self {
        let opaque = |floor: bool| {
            house
                .surfaces
                .iter()
                .filter(move |s| !is_opening(s) && is_floor(s) == floor)
        };
        let area = |floor: bool| -> f64 { opaque(floor).map(|s| s.area_m2).sum() };
        let mut shelf = OpticsShelf::default();
        let mut absorbing = |floor: bool| -> f64 {
            opaque(floor)
                .map(|s| s.area_m2 * taken_inside(s, &mut shelf))
                .sum()
        };
        let [absorbing_walls, absorbing_floors] = [absorbing(false), absorbing(true)];
        let floor_is_surface = house.floor.is_none();
        let floor = house.floor.as_ref();
        let floor_m2 = floor.map_or_else(|| area(true), |floor| floor.area_m2);
        let (mut glazed_m2, mut loss_m2, mut back_m2) = (0.0, 0.0, 0.0);
        let mut between_m2 = 0.0;
        for surface in &house.surfaces {
            between_m2 += surface.area_m2 * passed(surface, &mut shelf);
            if let (SurfaceKind::Glazed(face), true) = (&surface.kind, is_opening(surface)) {
                let diffuse = shelf.of(&face.glazing).diffuse;
                glazed_m2 += surface.area_m2;
                let frame = FRAME_ABSORPTANCE * (1.0 - face.glazing.clear_share());
                let taken = (diffuse.transmitted + diffuse.absorbed + frame).min(1.0);
                loss_m2 += surface.area_m2 * taken;
                back_m2 += surface.area_m2 * (1.0 - taken);
            }
        }
        let [mut wall_m2, mut wall_absorbing_m2] = [area(false), absorbing_walls];
        let mut floor_surface_absorbing_m2 = absorbing_floors;
        if !floor_is_surface {
            wall_m2 += area(true);
            wall_absorbing_m2 += absorbing_floors;
            floor_surface_absorbing_m2 = 0.0;
        }
        let shares = &house.sun_shares;
        let heavy = house.heavy.iter().map(|node| node.sun_share);
        Self {
            floor_m2,
            floor_is_surface,
            wall_m2,
            glazed_m2,
            glass_loss: loss_m2 / glazed_m2.max(LEAST_AREA_M2),
            glass_back: back_m2 / glazed_m2.max(LEAST_AREA_M2),
            wall_absorbing_m2,
            floor_surface_absorbing_m2,
            heavy_share: heavy.sum::<f64>().min(1.0),
            walls_share: shares.walls,
            air_share: shares.air,
            collector_share: house.collector.map_or(0.0, |c| c.beam_share),
            canopies: canopies(house),
            between_m2,
        }
    }

    /// Adds light that comes from the room beside, W; gives what of it falls on the floor. Even light from an upright pane: half of
    /// it goes down, and what misses the floor meets walls and glazing by their area (own choice).
    pub fn receive(&self, diffuse: &mut Falling, light_w: f64) -> f64 {
        const DOWN: f64 = 0.5;
        let walls = self.wall_m2 / (self.wall_m2 + self.glazed_m2).max(LEAST_AREA_M2);
        diffuse.add(light_w, DOWN, walls);
        DOWN * light_w
    }

    /// What becomes of a beam and diffuse light in a month.
    pub fn hour(&self, beam: &Falling, diffuse: &Falling, month: usize) -> SunHour {
        let entering_w = beam.all_w + diffuse.all_w;
        if entering_w <= 0.0 {
            return SunHour::default();
        }
        let collector_w = self.collector_share * beam.all_w;
        let left = 1.0 - (self.heavy_share + self.air_share).min(1.0);
        let beam_left = left * (1.0 - self.collector_share);
        let heavy_w = entering_w - collector_w;
        let rest = |of: fn(&Falling) -> f64| beam_left * of(beam) + left * of(diffuse);
        let all_w = rest(|light| light.all_w);
        let (floor_w, wall_w) = match self.walls_share {
            Some(walls) => ((1.0 - walls) * all_w, walls * all_w),
            None => (rest(|light| light.floor_w), rest(|light| light.wall_w)),
        };
        let wall_w = if self.wall_m2 > 0.0 { wall_w } else { 0.0 };
        let glass_w = all_w - floor_w - wall_w;
        let wall_first_w_m2 = wall_w / self.wall_m2.max(LEAST_AREA_M2);
        let canopy = self.canopies[month];
        let floor_keeps = if self.floor_is_surface {
            self.floor_surface_absorbing_m2 / self.floor_m2.max(LEAST_AREA_M2)
        } else {
            canopy.leaf + canopy.soil
        };
        let pool = floor_w * (1.0 - floor_keeps)
            + wall_first_w_m2 * (self.wall_m2 - self.wall_absorbing_m2)
            + glass_w * self.glass_back;
        let absorbing =
            floor_keeps * self.floor_m2 + self.wall_absorbing_m2 + self.glazed_m2 * self.glass_loss;
        let even_w_m2 = pool / absorbing.max(LEAST_AREA_M2);
        SunHour {
            entering_w,
            air_w: heavy_w * self.air_share,
            collector_w,
            wall_first_w_m2,
            even_w_m2,
            heavy_w,
            floor_w_m2: floor_w / self.floor_m2.max(LEAST_AREA_M2) + even_w_m2,
            passed_w: self.between_m2 * (wall_first_w_m2 + even_w_m2),
        }
    }
}

/// Sun that a surface keeps on its inner face, W. A floor among the surfaces is lit as the floor.
pub(super) fn kept_by_surface(surface: &Surface, floor_is_surface: bool, sun: &SunHour) -> f64 {
    if is_opening(surface) {
        return 0.0;
    }
    let light = if floor_is_surface && is_floor(surface) {
        sun.floor_w_m2
    } else {
        sun.wall_first_w_m2 + sun.even_w_m2
    };
    surface.area_m2 * surface.absorptance_inside * light
}

/// What covered beds keep: leaf, soil, sheet and room, as shares of the sun on the floor.
pub(super) fn covered_shares(canopy: &Canopy, transmittance: f64) -> [f64; 4] {
    let kept = canopy.leaf + canopy.soil;
    let stopped = kept * (1.0 - transmittance);
    [
        canopy.leaf * transmittance,
        canopy.soil * transmittance,
        stopped * SHEET_SHARE,
        stopped * (1.0 - SHEET_SHARE),
    ]
}

fn canopies(house: &House) -> [Canopy; 12] {
    let soil = house.floor.as_ref().map_or(0.0, |floor| floor.absorptance);
    let share = house.canopy.bed_share;
    house.canopy.leaf_area_index.map(|index| {
        // Leaves stand over the beds alone: shade by their area there, the rest by that of the whole floor.
        let per_bed = if share > 0.0 { index / share } else { 0.0 };
        let shade = share * (1.0 - (-SUN_EXTINCTION * per_bed).exp());
        Canopy {
            leaf: shade * LEAF_ABSORPTANCE,
            soil: (1.0 - shade) * soil,
            leaf_area: index,
        }
    })
}
