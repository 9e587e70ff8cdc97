//! What lies on the glazing: drops inside, snow outside, and the sun and light that they take.
//!
//! - **Drops** gather on each kind of pane at the rate of the house's own condensation and dry at the same coefficient;
//!   what a pane cannot hold runs off. The light of an hour is lost by the drops that the hour before left; so is the
//!   long-wave that film lets through. The vapour of drying drops, a night's 50 g/m2 at most, is not given back.
//! - **Snow** lies on a sloping face and dims by its depth; it melts in warm air and over a warm house, slides by the rule of
//!   the light stage or once the house warms the face above freezing, and is swept off where people do so.

use super::SnowOnGlazing;
use super::prepare::{GlazedFaceShape, Hour, Layout, MOST_PANES, PaneHour};
use super::vapour::{SPECIFIC_HEAT_AIR_J_KGK, Saturation};
use crate::air::WATER_TO_AIR_MOLE_MASS;
use crate::calendar::{HOURS_PER_DAY, SECONDS_PER_HOUR};
use crate::sun::bed_light::Wet;
use crate::sun::glazing::DROPS_COVER_SHARE;
use crate::sun::snow::{Snow, SnowHour};

/// Drops on a pane that count as wet all over, kg/m2 (own choice: 20 g/m2, a few hours' dew).
const ALL_WET_KG_M2: f64 = 0.02;
/// Drops from which the wet face lets no more heat rays through than its bare share does, kg/m2: breath figures cover their
/// steady share from the start, and caps of 20 micrometres on it, two thirds of that deep in the mean, stop all heat rays
/// (computed; water's depth of penetration at 10 micrometres is some 15, textbook, from memory).
const OPAQUE_KG_M2: f64 = DROPS_COVER_SHARE * 2.0 / 3.0 * 0.020;
/// Drops that a pane holds before they run, kg/m2 (own choice: 50 g/m2, a mean of 0.05 mm).
const MOST_DROPS_KG_M2: f64 = 0.05;
/// Clock hour at which snow is swept off (common practice, no source).
const SWEPT_CLOCK_H: usize = 9;

/// What comes through one glazed face in an hour, dry and free of snow.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FaceSun {
    /// Sunlight let in, W.
    pub sun_w: f64,
    /// Heat that flows in from the sheets, W; 0 where the face is a wall of its own.
    pub sheet_w: f64,
    /// Photosynthetic light at the bed, mol/m2.
    pub light_mol_m2: f64,
    /// Sun on the face outside, W/m2.
    pub outside_w_m2: f64,
}

/// What drops and snow leave of an hour.
#[derive(Clone, Copy, Debug)]
pub(super) struct Left {
    /// Of the sun let in, share.
    pub sun_share: f64,
    /// Heat from the sheets that is missing, W.
    pub sheet_lost_w: f64,
    /// Photosynthetic light at the bed that is missing, mol/m2.
    pub light_lost_mol_m2: f64,
    /// Of the long-wave let through, share.
    pub long_wave_share: f64,
}

/// Drops and snow in time.
#[derive(Clone, Debug)]
pub(super) struct OnGlazing {
    drops_kg_m2: [f64; MOST_PANES],
    snow: Vec<Snow>,
}

impl OnGlazing {
    /// Dry and free of snow.
    pub fn new(layout: &Layout) -> Self {
        Self {
            drops_kg_m2: [0.0; MOST_PANES],
            snow: vec![Snow::default(); layout.glazed.len()],
        }
    }

    /// Visits the figures of the state.
    pub fn visit(&mut self, mut figure: impl FnMut(&mut f64)) {
        self.drops_kg_m2.iter_mut().for_each(&mut figure);
        for snow in &mut self.snow {
            figure(&mut snow.covered);
            figure(&mut snow.water_mm);
        }
    }

    /// Lets it snow (`snow_mm` of water), slide and be swept in hour `at`, then says what is left of the hour's sun.
    pub fn begin_hour(
        &mut self,
        layout: &Layout,
        (hour, faces, snow_mm): (&Hour, &[FaceSun], f64),
        at: usize,
        house_c: f64,
    ) -> Left {
        if !(snow_mm > 0.0 || self.snow.iter().any(|snow| snow.covered > 0.0)) {
            return self.left(layout, faces);
        }
        let swept = layout.snow == SnowOnGlazing::Swept && at % HOURS_PER_DAY == SWEPT_CLOCK_H;
        for ((snow, shape), face) in self.snow.iter_mut().zip(&layout.glazed).zip(faces) {
            let before = if swept { Snow::default() } else { *snow };
            *snow = before.after(&SnowHour {
                fresh_mm: snow_mm,
                tilt_deg: shape.tilt_deg,
                temp_air_c: hour.outdoor_c,
                irradiance_w_m2: face.outside_w_m2,
                thaw_w_m2: thaw_w_m2(shape, hour.outdoor_c, house_c),
            });
        }
        self.left(layout, faces)
    }

    fn left(&self, layout: &Layout, faces: &[FaceSun]) -> Left {
        let mut left = Left {
            sun_share: 1.0,
            sheet_lost_w: 0.0,
            light_lost_mol_m2: 0.0,
            long_wave_share: 1.0,
        };
        if self.drops_kg_m2.iter().all(|&drops| drops == 0.0)
            && self.snow.iter().all(|snow| snow.covered == 0.0)
        {
            return left;
        }
        let wet = self
            .drops_kg_m2
            .map(|drops| (drops / ALL_WET_KG_M2).min(1.0));
        let opaque = |(drops, m2): (&f64, &f64)| (drops / OPAQUE_KG_M2).min(1.0) * m2;
        let wet_m2: f64 = self
            .drops_kg_m2
            .iter()
            .zip(&layout.pane_m2)
            .map(opaque)
            .sum();
        if wet_m2 > 0.0 {
            let mean = wet_m2 / layout.pane_m2.iter().sum::<f64>();
            left.long_wave_share = 1.0 - mean * (1.0 - layout.wet_long_wave_share);
        }
        let (mut all_w, mut kept_w) = (0.0, 0.0);
        for ((shape, face), snow) in layout.glazed.iter().zip(faces).zip(&self.snow) {
            let snow_share = 1.0 - snow.light_share();
            let lies = Wet {
                condensation_share: shape.pane.map_or(0.0, |pane| wet[pane]),
                snow_share,
            };
            let share = lies.left(shape.condensation_loss);
            all_w += face.sun_w;
            kept_w += share * face.sun_w;
            left.sheet_lost_w += snow_share * face.sheet_w;
            left.light_lost_mol_m2 += (1.0 - share) * face.light_mol_m2;
        }
        if kept_w < all_w {
            left.sun_share = kept_w / all_w;
        }
        left
    }

    /// Lets drops gather and dry through an hour of room air.
    pub fn end_hour(
        &mut self,
        layout: &Layout,
        panes: &[PaneHour],
        (air_c, kpa): (f64, f64),
        pressure_kpa: f64,
    ) {
        let per_film = WATER_TO_AIR_MOLE_MASS / SPECIFIC_HEAT_AIR_J_KGK / pressure_kpa;
        let kinds = panes.iter().zip(&layout.pane_w_m2k);
        for (drops, (pane, film)) in self.drops_kg_m2.iter_mut().zip(kinds) {
            let conductance = film * per_film;
            let face_c = pane.known_c + pane.by_air * air_c;
            let excess_kpa = kpa - Saturation::at(face_c).kpa;
            *drops =
                (*drops + SECONDS_PER_HOUR * conductance * excess_kpa).clamp(0.0, MOST_DROPS_KG_M2);
        }
    }
}

/// Heat that the house brings to an outer face at 0 °C beyond what leaves it through the snow, W/m2.
fn thaw_w_m2(shape: &GlazedFaceShape, outdoor_c: f64, house_c: f64) -> f64 {
    house_c / shape.inside_m2k_w + outdoor_c / shape.under_snow_m2k_w
}
