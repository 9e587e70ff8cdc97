//! The state of a building as plain figures: saved, compared, taken over.

use super::HouseState;
use super::handling::Laid;
use super::soil::Meshes;
use super::stage::State;

impl<const N: usize> State<N> {
    /// The state as plain figures.
    pub(super) fn save(&self, mesh: Option<&Meshes>) -> HouseState {
        let mut saved = HouseState::default();
        self.save_into(mesh, &mut saved);
        saved
    }

    /// The same in the place of an older state, whose memory is used again; a room beside is left as it is.
    pub(super) fn save_into(&self, mesh: Option<&Meshes>, saved: &mut HouseState) {
        let figures = &mut saved.figures;
        figures.clear();
        if let Some(mesh) = mesh {
            for (index, column) in self.columns.iter().enumerate() {
                column.add_heat(mesh.of(index), figures);
            }
        }
        for wall in &self.walls {
            figures.push(wall.face_c);
            figures.extend(&wall.temp_c);
        }
        let room = &self.room;
        figures.extend([room.air_c, room.radiant_c, room.vapour_kpa]);
        for bed in &self.beds {
            figures.extend([bed.leaf_c, bed.face_c, bed.sheet_c]);
            figures.extend([bed.air_c, bed.vapour_kpa]);
        }
        figures.extend(self.on_glazing.save());
        figures.extend(self.laid.iter().flat_map(Laid::save));
    }

    /// Figures of a saved state that are the heat of the soil's layers; those of the walls follow.
    fn of_soil(&self, mesh: Option<&Meshes>) -> usize {
        self.columns.len() * mesh.map_or(0, Meshes::len)
    }

    /// Largest difference of any wall's or soil layer's temperature to a saved state, K.
    pub(super) fn drift_k(&self, mesh: Option<&Meshes>, saved: &HouseState) -> f64 {
        let own = self.save(mesh);
        let walls: usize = self.walls.iter().map(|wall| 1 + wall.temp_c.len()).sum();
        let pairs = own.figures.iter().zip(&saved.figures);
        let mut differences = pairs.map(|(a, b)| (a - b).abs());
        let capacities = mesh.map_or(&[][..], |mesh| &mesh.of(0).capacity);
        let of_soil = differences
            .by_ref()
            .take(self.of_soil(mesh))
            .zip(capacities.iter().cycle())
            .map(|(heat, capacity)| heat / capacity)
            .fold(0.0, f64::max);
        differences.take(walls).fold(of_soil, f64::max)
    }

    /// Moves the soil on to where years like the one since `begun` lead.
    pub(super) fn settle_ahead(&mut self, mesh: Option<&Meshes>, begun: &HouseState) {
        let Some(mesh) = mesh else {
            return;
        };
        let before = begun.figures.chunks(mesh.len());
        for ((index, column), before) in self.columns.iter_mut().enumerate().zip(before) {
            column.settle_ahead(mesh.of(index), before);
        }
    }

    /// Takes over a saved state; false if it belongs to another building.
    pub(super) fn load(&mut self, mesh: Option<&Meshes>, saved: &HouseState) -> bool {
        if self.save(mesh).figures.len() != saved.figures.len() {
            return false;
        }
        let mut figures = saved.figures.iter().copied();
        let mut next = || figures.next().unwrap_or(0.0);
        if let Some(mesh) = mesh {
            for (index, column) in self.columns.iter_mut().enumerate() {
                let heat: Vec<f64> = (0..mesh.len()).map(|_| next()).collect();
                column.set_heat(mesh.of(index), &heat);
            }
        }
        for wall in &mut self.walls {
            wall.face_c = next();
            wall.temp_c.fill_with(&mut next);
        }
        let room = &mut self.room;
        [room.air_c, room.radiant_c, room.vapour_kpa] = std::array::from_fn(|_| next());
        for bed in &mut self.beds {
            [bed.leaf_c, bed.face_c, bed.sheet_c] = std::array::from_fn(|_| next());
            [bed.air_c, bed.vapour_kpa] = std::array::from_fn(|_| next());
        }
        self.on_glazing.load(&mut next);
        for laid in &mut self.laid {
            *laid = Laid::load(std::array::from_fn(|_| next()));
        }
        true
    }
}
