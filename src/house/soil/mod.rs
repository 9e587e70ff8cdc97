//! The soil column under one square metre of floor: implicit finite volumes with freezing water.
//!
//! Each layer conducts to its neighbours and sideways to undisturbed ground at its own depth. The side path is the
//! perimeter formula that was fitted to a two-dimensional solution of 756 floors:
//!
//! ```text
//! path(z) = 1.7 w + 0.04 lambda + 0.195 B' + 0.36 z        G(z) = P dz / (R_skirt(z) + path(z) / lambda)
//! ```
//!
//! w wall thickness, lambda conductivity, B' = A / (P / 2), P perimeter, z middle of the layer. R_skirt is zero
//! below the skirt; a layer ends where the skirt ends. The deepest face is adiabatic.

#[cfg(test)]
mod checks;
mod column;
mod mesh;

pub(super) use column::{Column, Port};
pub(super) use mesh::Mesh;
