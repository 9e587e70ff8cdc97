//! What a stage adds up over walls, beds and air before the room is solved.

use crate::house::affine::{AIR, Affine, NUMBER, RADIANT};
use crate::house::bed::Bed;
use crate::house::wall::FaceHeat;

/// Sums over the room, affine in air, vapour and radiant node.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums<const N: usize> {
    /// Heat to the air, W.
    pub heat: Affine<N>,
    /// Heat to the radiant node, W.
    pub radiant: Affine<N>,
    /// Vapour to the air, kg/s.
    pub vapour: Affine<N>,
}

/// A bed as the store sees it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Pipes<const N: usize> {
    pub area_m2: f64,
    /// Temperature round the pipes without the store's heat, °C, and its growth with that heat, K per W/m2.
    pub store: Affine<N>,
    pub own: f64,
    /// What the store's heat sends up again to the air, to the radiant node (W/W) and as vapour (kg/s per W).
    pub to_air: f64,
    pub to_radiant: f64,
    pub evaporation: f64,
}

impl<const N: usize> Sums<N> {
    /// Adds an inner face.
    #[inline(always)]
    pub fn add_face(&mut self, face: &FaceHeat) {
        let places = [NUMBER, AIR, RADIANT];
        let used = if N > RADIANT { 3 } else { 2 };
        for (&place, part) in places.iter().zip(face.to_air).take(used) {
            self.heat.0[place] += part;
        }
        if N > RADIANT {
            for (place, part) in places.into_iter().zip(face.to_radiant) {
                self.radiant.0[place] += part;
            }
        }
    }

    /// Adds a bed with its store at rest. Gives how heat to the air, to the radiant node and vapour grow with the store's
    /// heat.
    #[inline(always)]
    pub fn add_bed(&mut self, bed: &Bed<N>, area_m2: f64) -> [f64; 3] {
        let (to_air, air_by_store) = bed.open(&bed.to_air);
        let (evaporation, evaporation_by_store) = bed.open(&bed.evaporation);
        self.heat.add(area_m2, &to_air);
        self.vapour.add(area_m2, &evaporation);
        let mut radiant_by_store = 0.0;
        if N > RADIANT {
            let (to_radiant, by_store) = bed.open(&bed.to_radiant);
            self.radiant.add(area_m2, &to_radiant);
            radiant_by_store = by_store;
        }
        [air_by_store, radiant_by_store, evaporation_by_store]
    }

    /// Takes the radiant node out: its temperature, affine in air and vapour.
    pub fn take_out_radiant(&mut self) -> Affine<N> {
        let own = self.radiant.0[RADIANT];
        self.radiant.0[RADIANT] = 0.0;
        let solved = self.radiant.times(-1.0 / own);
        self.heat.substitute(RADIANT, &solved);
        self.vapour.substitute(RADIANT, &solved);
        solved
    }
}
