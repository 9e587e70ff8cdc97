//! Sunlight on the building: irradiance on tilted faces, through glazing, at the bed.
//!
//! [`plane_year`] puts the weather's sun on a face, [`Glazing`] lets it through, [`bed_light`] follows it
//! to the bed as photosynthetic light, [`share`] says how much of the heat leaves again.

pub mod bed_light;
mod faces;
pub mod glazing;
mod horizon;
mod plane;
mod shade;
pub mod share;
pub mod snow;
pub mod tilted;

pub use bed_light::{Aperture, BedLight, Interior, Lamp};
pub use faces::{Faces, outlook_years, plane_year, plane_years};
pub use glazing::{FRAME_ABSORPTANCE, Glazing, GlazingError, Optics, OpticsShelf};
pub use horizon::{Horizon, HorizonError};
pub use plane::Plane;
pub use shade::{Fin, Overhang, Shade};
pub use tilted::{OnPlane, Outlook, PlaneYear, SkyModel};
