//! Quantities that depend linearly on the room: the algebra by which beds and walls are taken out of the hour's equations.
//!
//! The number of terms is a parameter: a room without a radiant node has no use for the term of its temperature.

/// Place of the number.
pub(super) const NUMBER: usize = 0;
/// Place of the air temperature, °C.
pub(super) const AIR: usize = 1;
/// Place of the vapour pressure, kPa.
pub(super) const VAPOUR: usize = 2;
/// Place of what the soil under a bed sends up, the store's heat included, W per m2 of floor.
pub(super) const GROUND: usize = 3;
/// Place of the mean radiant temperature, °C, where there is one.
pub(super) const RADIANT: usize = 4;

/// Terms in a room without a radiant node.
pub(super) const PLAIN: usize = 4;
/// Terms in a room with one.
pub(super) const WITH_NODE: usize = 5;

/// number + coefficients times the room's variables.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Affine<const N: usize>(pub [f64; N]);

impl<const N: usize> Default for Affine<N> {
    fn default() -> Self {
        Self([0.0; N])
    }
}

impl<const N: usize> Affine<N> {
    /// A number.
    #[inline]
    pub fn number(value: f64) -> Self {
        let mut terms = [0.0; N];
        terms[NUMBER] = value;
        Self(terms)
    }

    /// Its value in a room, over soil that sends up `ground_w_m2`.
    #[inline]
    pub fn at(&self, room: &Room, ground_w_m2: f64) -> f64 {
        let mut value = (self.0[NUMBER] + self.0[AIR] * room.air_c)
            + (self.0[VAPOUR] * room.vapour_kpa + self.0[GROUND] * ground_w_m2);
        if N > RADIANT {
            value += self.0[RADIANT] * room.radiant_c;
        }
        value
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

    /// `a` times itself and `b` times `other`.
    #[inline]
    pub fn mix(&self, a: f64, b: f64, other: &Self) -> Self {
        let mut mixed = self.times(a);
        mixed.add(b, other);
        mixed
    }

    /// Puts an affine expression in the place of a variable.
    #[inline]
    pub fn substitute(&mut self, place: usize, by: &Self) {
        let factor = self.0[place];
        self.0[place] = 0.0;
        self.add(factor, by);
    }
}

/// Values of the room's variables.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Room {
    /// Air temperature, °C.
    pub air_c: f64,
    /// Vapour pressure of the air, kPa.
    pub vapour_kpa: f64,
    /// Mean radiant temperature, °C; that of the air where there is no radiant node.
    pub radiant_c: f64,
}

/// Solves two equations whose right sides are affine in the room. The matrix is that of a heat network with losses, so
/// that no pivoting is needed.
#[inline]
pub(super) fn solve_two<const N: usize>(
    [[a, b], [c, d]]: [[f64; 2]; 2],
    [first, second]: [Affine<N>; 2],
) -> [Affine<N>; 2] {
    let inverse = 1.0 / (a * d - b * c);
    [
        first.mix(d * inverse, -b * inverse, &second),
        first.mix(-c * inverse, a * inverse, &second),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_equations_are_solved() {
        let right = [
            Affine([1.0, 2.0, 0.0, 0.0, 0.0]),
            Affine([0.0, 0.0, 3.0, 0.0, 1.0]),
        ];
        let [x, y] = solve_two([[4.0, -1.0], [-2.0, 5.0]], right);
        for place in 0..WITH_NODE {
            assert!((4.0 * x.0[place] - y.0[place] - right[0].0[place]).abs() < 1e-14);
            assert!((-2.0 * x.0[place] + 5.0 * y.0[place] - right[1].0[place]).abs() < 1e-14);
        }
    }
}
