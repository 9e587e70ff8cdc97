//! Sunlight on the building: irradiance on tilted faces, through glazing, at the bed.
