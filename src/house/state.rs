//! The state of a building as plain figures: saved, compared, taken over.

use super::HouseState;
use super::handling::{Laid, SAVED};
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
        let HouseState {
            nodes,
            humidity_kpa,
            on_glazing,
            laid,
            beside: _,
        } = saved;
        for figures in [&mut *nodes, humidity_kpa, on_glazing, laid] {
            figures.clear();
        }
        nodes.extend([self.room.air_c, self.room.radiant_c]);
        for bed in &self.beds {
            nodes.extend([bed.leaf_c, bed.face_c, bed.sheet_c, bed.air_c]);
        }
        for wall in &self.walls {
            nodes.push(wall.face_c);
            nodes.extend(&wall.temp_c);
        }
        if let Some(mesh) = mesh {
            for (index, column) in self.columns.iter().enumerate() {
                column.add_heat(mesh.of(index), nodes);
            }
        }
        humidity_kpa.push(self.room.vapour_kpa);
        humidity_kpa.extend(self.beds.iter().map(|bed| bed.vapour_kpa));
        on_glazing.extend(self.on_glazing.save());
        laid.extend(self.laid.iter().flat_map(Laid::save));
    }

    /// Largest difference of any wall's or soil layer's temperature to a saved state, K.
    pub(super) fn drift_k(&self, mesh: Option<&Meshes>, saved: &HouseState) -> f64 {
        let own = self.save(mesh);
        let soil = self.columns.len() * mesh.map_or(0, Meshes::len);
        let walls = own.nodes.len() - soil;
        let differences = own
            .nodes
            .iter()
            .zip(&saved.nodes)
            .map(|(a, b)| (a - b).abs());
        // Walls stand behind room and beds; soil is saved as heat.
        let beds_end = 2 + 4 * self.beds.len();
        let of_walls = differences
            .clone()
            .take(walls)
            .skip(beds_end)
            .fold(0.0, f64::max);
        let capacities = mesh.map_or(&[][..], |mesh| &mesh.of(0).capacity);
        let of_soil = differences
            .skip(walls)
            .zip(capacities.iter().cycle())
            .map(|(heat, capacity)| heat / capacity)
            .fold(0.0, f64::max);
        of_walls.max(of_soil)
    }

    /// Moves the soil on to where years like the one since `begun` lead.
    pub(super) fn settle_ahead(&mut self, mesh: Option<&Meshes>, begun: &HouseState) {
        let Some(mesh) = mesh else {
            return;
        };
        let soil = begun.nodes.len() - self.columns.len() * mesh.len();
        let before = begun.nodes[soil..].chunks(mesh.len());
        for ((index, column), before) in self.columns.iter_mut().enumerate().zip(before) {
            column.settle_ahead(mesh.of(index), before);
        }
    }

    /// Takes over a saved state; false if it belongs to another building.
    pub(super) fn load(&mut self, mesh: Option<&Meshes>, saved: &HouseState) -> bool {
        let own = self.save(mesh);
        if own.nodes.len() != saved.nodes.len()
            || own.humidity_kpa.len() != saved.humidity_kpa.len()
            || saved.laid.len() != SAVED * self.laid.len()
            || !self.on_glazing.load(&saved.on_glazing)
        {
            return false;
        }
        let mut nodes = saved.nodes.iter().copied();
        let mut next = || nodes.next().unwrap_or(0.0);
        self.room.air_c = next();
        self.room.radiant_c = next();
        for bed in &mut self.beds {
            bed.leaf_c = next();
            bed.face_c = next();
            bed.sheet_c = next();
            bed.air_c = next();
        }
        for wall in &mut self.walls {
            wall.face_c = next();
            for temp in &mut wall.temp_c {
                *temp = next();
            }
        }
        if let Some(mesh) = mesh {
            for (index, column) in self.columns.iter_mut().enumerate() {
                let heat: Vec<f64> = (0..mesh.len()).map(|_| next()).collect();
                column.set_heat(mesh.of(index), &heat);
            }
        }
        self.room.vapour_kpa = saved.humidity_kpa[0];
        for (bed, vapour_kpa) in self.beds.iter_mut().zip(&saved.humidity_kpa[1..]) {
            bed.vapour_kpa = *vapour_kpa;
        }
        for (laid, saved) in self.laid.iter_mut().zip(saved.laid.chunks_exact(SAVED)) {
            *laid = Laid::load(saved).unwrap_or_default();
        }
        true
    }
}
