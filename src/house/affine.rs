//! Quantities that depend linearly on the room: the algebra by which beds and walls are taken out of the hour's equations.

/// Room variables that everything else is expressed in: 1, air temperature (°C), vapour pressure (kPa), mean radiant
/// temperature (°C), heat into the store (W per m2 of floor), what the soil sends up by itself (W per m2 of floor).
pub(super) const TERMS: usize = 6;
/// Place of the air temperature.
pub(super) const AIR: usize = 1;
/// Place of the vapour pressure.
pub(super) const VAPOUR: usize = 2;
/// Place of the mean radiant temperature.
pub(super) const RADIANT: usize = 3;
/// Place of the store's heat.
pub(super) const STORE: usize = 4;
/// Place of what the soil under a bed sends up by itself.
pub(super) const GROUND: usize = 5;

/// constant + coefficients times the room variables.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Affine(pub [f64; TERMS]);

impl Affine {
    /// A number.
    #[inline]
    pub fn number(value: f64) -> Self {
        Self([value, 0.0, 0.0, 0.0, 0.0, 0.0])
    }

    /// A room variable.
    #[inline]
    pub fn variable(place: usize) -> Self {
        let mut terms = [0.0; TERMS];
        terms[place] = 1.0;
        Self(terms)
    }

    /// Its value in a room.
    #[inline]
    pub fn at(&self, room: &Room) -> f64 {
        self.0[0]
            + self.0[AIR] * room.air_c
            + self.0[VAPOUR] * room.vapour_kpa
            + self.0[RADIANT] * room.radiant_c
            + self.0[STORE] * room.store_w_m2
            + self.0[GROUND] * room.ground_w_m2
    }

    /// Adds `factor` times `other`.
    #[inline]
    pub fn add(&mut self, factor: f64, other: &Self) {
        for (term, more) in self.0.iter_mut().zip(&other.0) {
            *term += factor * more;
        }
    }

    /// `factor` times itself.
    #[inline]
    pub fn times(mut self, factor: f64) -> Self {
        for term in &mut self.0 {
            *term *= factor;
        }
        self
    }

    /// Puts an affine expression in the place of a variable.
    #[inline]
    pub fn substitute(&mut self, place: usize, by: &Self) {
        let factor = self.0[place];
        self.0[place] = 0.0;
        self.add(factor, by);
    }
}

/// Values of the room variables.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Room {
    /// Air temperature, °C.
    pub air_c: f64,
    /// Vapour pressure of the air, kPa.
    pub vapour_kpa: f64,
    /// Mean radiant temperature, °C.
    pub radiant_c: f64,
    /// Heat into the store, W per m2 of floor.
    pub store_w_m2: f64,
    /// What the soil under the bed in question sends up by itself, W/m2.
    pub ground_w_m2: f64,
}

/// Solves a small system whose right sides are affine in the room. The matrix is that of a heat network with losses,
/// so that no pivoting is needed.
#[inline]
pub(super) fn solve<const N: usize>(
    mut matrix: [[f64; N]; N],
    mut right: [Affine; N],
) -> [Affine; N] {
    for step in 0..N {
        let inverse = 1.0 / matrix[step][step];
        for row in step + 1..N {
            let factor = matrix[row][step] * inverse;
            if factor != 0.0 {
                let pivot = matrix[step];
                for (entry, above) in matrix[row].iter_mut().zip(pivot).skip(step + 1) {
                    *entry -= factor * above;
                }
                let above = right[step];
                right[row].add(-factor, &above);
            }
        }
    }
    for step in (0..N).rev() {
        for column in step + 1..N {
            let known = right[column];
            right[step].add(-matrix[step][column], &known);
        }
        right[step] = right[step].times(1.0 / matrix[step][step]);
    }
    right
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_system_is_solved() {
        let right = [
            Affine([1.0, 2.0, 0.0, 0.0, 0.0, 0.0]),
            Affine([0.0, 0.0, 3.0, 0.0, 1.0, 0.0]),
        ];
        let [x, y] = solve([[4.0, -1.0], [-2.0, 5.0]], right);
        for place in 0..TERMS {
            assert!((4.0 * x.0[place] - y.0[place] - right[0].0[place]).abs() < 1e-14);
            assert!((-2.0 * x.0[place] + 5.0 * y.0[place] - right[1].0[place]).abs() < 1e-14);
        }
    }
}
