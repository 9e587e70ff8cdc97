//! Hills, trees and houses round the building.

use super::plane::Plane;

/// Height of the skyline round the building, by azimuth.
///
/// The sun below it sends no beam; the sky behind it is dark (what hills and trees reflect is left out, which
/// errs to the dark side).
#[derive(Clone, Debug, PartialEq)]
pub struct Horizon {
    /// Azimuth from north through east and elevation, degrees, sorted by azimuth.
    points: Vec<(f64, f64)>,
}

impl Horizon {
    /// A skyline through points of azimuth (0 to 360) and elevation (0 to 90) in degrees, straight lines between
    /// them and round through north. Nothing without points, or with a point outside its range.
    pub fn new(points: &[(f64, f64)]) -> Option<Self> {
        let is_point = |&(azimuth_deg, elevation_deg): &(f64, f64)| {
            (0.0..=360.0).contains(&azimuth_deg) && (0.0..=90.0).contains(&elevation_deg)
        };
        if points.is_empty() || !points.iter().all(is_point) {
            return None;
        }
        let mut points = points.to_vec();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Some(Self { points })
    }

    /// Elevation of the skyline, degrees, at an azimuth from north through east.
    pub fn elevation_deg(&self, azimuth_deg: f64) -> f64 {
        let azimuth = azimuth_deg.rem_euclid(360.0);
        let after = self.points.partition_point(|point| point.0 <= azimuth);
        let count = self.points.len();
        let (from, to) = match (
            self.points.get((after + count - 1) % count),
            self.points.get(after % count),
        ) {
            (Some(&from), Some(&to)) => (from, to),
            _ => return 0.0,
        };
        let width = (to.0 - from.0).rem_euclid(360.0);
        if width == 0.0 {
            return from.1;
        }
        from.1 + (to.1 - from.1) * (azimuth - from.0).rem_euclid(360.0) / width
    }

    /// Share of an even sky's light on a face that comes from above the skyline, 0 to 1.
    ///
    /// Sum over patches of 2 degrees, weighted by the cosine of incidence.
    pub fn sky_share(&self, plane: Plane) -> f64 {
        /// Width and height of a sky patch, degrees.
        const PATCH_DEG: f64 = 2.0;
        const ROWS: usize = 45;
        const COLUMNS: usize = 180;
        let [east, north, up] = plane.normal();
        let rows: [(f64, f64); ROWS] =
            std::array::from_fn(|row| ((row as f64 + 0.5) * PATCH_DEG).to_radians().sin_cos());
        let (mut all, mut open) = (0.0, 0.0);
        for column in 0..COLUMNS {
            let azimuth = (column as f64 + 0.5) * PATCH_DEG;
            let skyline = self.elevation_deg(azimuth);
            let (sin_azimuth, cos_azimuth) = azimuth.to_radians().sin_cos();
            let level = east * sin_azimuth + north * cos_azimuth;
            for (row, (sin_elevation, cos_elevation)) in rows.iter().enumerate() {
                let cos_incidence = level * cos_elevation + up * sin_elevation;
                let light = cos_incidence.max(0.0) * cos_elevation;
                let top = (row as f64 + 1.0) * PATCH_DEG;
                all += light;
                open += light * ((top - skyline) / PATCH_DEG).clamp(0.0, 1.0);
            }
        }
        if all > 0.0 { open / all } else { 1.0 }
    }
}
