//! The state of a building as plain figures: saved, compared, taken over.

use super::hours::Space;
use super::soil::Meshes;
use super::stage::State;

impl<const N: usize> State<N> {
    /// Visits all figures but the heat of the soil, always in one order, the walls' first.
    fn visit(&mut self, mut figure: impl FnMut(&mut f64)) {
        for wall in &mut self.walls {
            figure(&mut wall.face_c);
            wall.temp_c.iter_mut().for_each(&mut figure);
        }
        let room = &mut self.room;
        let air = [&mut room.air_c, &mut room.radiant_c, &mut room.vapour_kpa];
        air.into_iter().for_each(&mut figure);
        for bed in &mut self.beds {
            let bed = [
                &mut bed.leaf_c,
                &mut bed.face_c,
                &mut bed.sheet_c,
                &mut bed.air_c,
                &mut bed.vapour_kpa,
            ];
            bed.into_iter().for_each(&mut figure);
        }
        self.on_glazing.visit(&mut figure);
        for laid in &mut self.laid {
            laid.visit(&mut figure);
        }
    }
}

impl<const N: usize> Space<'_, N> {
    /// The state as plain figures, in the place of older ones whose memory is used again.
    pub(super) fn save(&mut self, figures: &mut Vec<f64>) {
        figures.clear();
        if let Some(mesh) = &self.year.frame.mesh {
            for (index, column) in self.state.columns.iter().enumerate() {
                column.add_heat(mesh.of(index), figures);
            }
        }
        self.state.visit(|figure| figures.push(*figure));
    }

    /// Largest difference of any wall's or soil layer's temperature to a saved state, K.
    pub(super) fn drift_k(&mut self, saved: &[f64]) -> f64 {
        let mut own = Vec::new();
        self.save(&mut own);
        let mesh = self.year.frame.mesh.as_ref();
        let (columns, walls) = (&self.state.columns, &self.state.walls);
        let walls: usize = walls.iter().map(|wall| 1 + wall.temp_c.len()).sum();
        let pairs = own.iter().zip(saved);
        let mut differences = pairs.map(|(a, b)| (a - b).abs());
        let capacities = mesh.map_or(&[][..], |mesh| &mesh.of(0).capacity);
        let of_soil = differences
            .by_ref()
            .take(columns.len() * mesh.map_or(0, Meshes::len))
            .zip(capacities.iter().cycle())
            .map(|(heat, capacity)| heat / capacity)
            .fold(0.0, f64::max);
        differences.take(walls).fold(of_soil, f64::max)
    }

    /// Moves the soil on to where years like the one since `begun` lead.
    pub(super) fn settle_ahead(&mut self, begun: &[f64]) {
        let Some(mesh) = &self.year.frame.mesh else {
            return;
        };
        let before = begun.chunks(mesh.len());
        for ((index, column), before) in self.state.columns.iter_mut().enumerate().zip(before) {
            column.settle_ahead(mesh.of(index), before);
        }
    }

    /// Takes over a saved state; false if it belongs to another building.
    pub(super) fn load(&mut self, saved: &[f64]) -> bool {
        let mut own = Vec::new();
        self.save(&mut own);
        if own.len() != saved.len() {
            return false;
        }
        let mut rest = saved;
        if let Some(mesh) = &self.year.frame.mesh {
            for (index, column) in self.state.columns.iter_mut().enumerate() {
                let (heat, left) = rest.split_at(mesh.len());
                column.set_heat(mesh.of(index), heat);
                rest = left;
            }
        }
        let mut rest = rest.iter();
        self.state
            .visit(|figure| *figure = rest.next().copied().unwrap_or_default());
        true
    }
}
