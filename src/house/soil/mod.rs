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
mod eigen;
mod layers;
mod mesh;
mod modes;
mod step_weights;
mod strip;

pub(super) use column::Column;
pub(super) use mesh::Mesh;
pub(super) use strip::Meshes;

/// What a column shows to the room for one stage: affine in the face temperature Ts and the store's heat Q (W/m2).
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Port {
    /// Flux into the column = conductance Ts - known - source_share Q, W/m2.
    pub conductance: f64,
    pub known: f64,
    /// Share of Q that comes back to the face.
    pub source_share: f64,
    /// Store temperature = store_known + store_by_face Ts + store_by_source Q.
    pub store_known: f64,
    /// K per K.
    pub store_by_face: f64,
    /// K per W/m2.
    pub store_by_source: f64,
}
