//! Where the building stands: place, hourly weather (file, normals, weather years), undisturbed ground.

mod weather;

pub use weather::{Place, Weather};
