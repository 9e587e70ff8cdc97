//! A flat face and where it looks.

/// A flat face, by its tilt and the direction it faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Angle to the horizontal, degrees: 0 faces up, 90 is a wall, 180 faces down.
    pub tilt_deg: f64,
    /// Direction the face looks, from north through east, degrees; of no weight at tilt 0.
    pub azimuth_deg: f64,
}

impl Plane {
    /// A level face looking up.
    pub const LEVEL: Plane = Plane {
        tilt_deg: 0.0,
        azimuth_deg: 180.0,
    };

    /// Unit vector away from the face: east, north, up.
    pub fn normal(self) -> [f64; 3] {
        let (sin_tilt, cos_tilt) = self.tilt_deg.to_radians().sin_cos();
        let (sin_azimuth, cos_azimuth) = self.azimuth_deg.to_radians().sin_cos();
        [sin_tilt * sin_azimuth, sin_tilt * cos_azimuth, cos_tilt]
    }

    /// Share of the sky in the hemisphere before the face, weighted by the cosine of incidence, 0 to 1.
    pub fn sky_view(self) -> f64 {
        0.5 * (1.0 + self.tilt_deg.to_radians().cos())
    }

    /// Share of the ground in the hemisphere before the face, weighted by the cosine of incidence, 0 to 1.
    pub fn ground_view(self) -> f64 {
        1.0 - self.sky_view()
    }
}

/// Product of two vectors.
pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Unit vector (east, north, up) towards an azimuth and elevation.
pub(super) fn direction(azimuth_deg: f64, elevation_deg: f64) -> [f64; 3] {
    let (sin_azimuth, cos_azimuth) = azimuth_deg.to_radians().sin_cos();
    let (sin_elevation, cos_elevation) = elevation_deg.to_radians().sin_cos();
    [
        cos_elevation * sin_azimuth,
        cos_elevation * cos_azimuth,
        sin_elevation,
    ]
}
