//! Sunlight on the building: irradiance on tilted faces, through glazing, at the bed.
//!
//! [`Faces`] puts the weather's sun on the faces, [`Glazing`] lets it through, [`bed_light`] follows it to the bed as
//! photosynthetic light.

pub mod bed_light;
mod faces;
pub mod glazing;
mod horizon;
mod plane;
mod shade;
pub mod snow;
pub mod tilted;

pub use bed_light::{Aperture, BedLight, Interior};
pub use faces::Faces;
pub use glazing::{FRAME_ABSORPTANCE, Glazing, GlazingError, Optics, OpticsShelf};
pub use horizon::Horizon;
pub use plane::Plane;
pub use shade::{Fin, Overhang, Shade};
pub use tilted::{OnPlane, Outlook};
