//! What stands out from a wall before a window: an overhang above, fins at its sides.
//!
//! The shadow of a flat projection on the wall is a parallelogram: each edge point moves along the wall by its depth times
//! the tangent of the sun's profile angles. What it takes of the window is cut out exactly. Of the even sky and of the
//! ground the window keeps the part that it sees past the projections. They are taken as dark and as everywhere upright on
//! the wall: what they reflect is left out, which errs to the dark side.

use super::plane::{Plane, direction, dot};

/// What stands out before one rectangle of wall; as seen from outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shade {
    /// Width of the rectangle, m, above 0.
    pub width_m: f64,
    /// Height of the rectangle along the wall, m, above 0.
    pub height_m: f64,
    /// Above it.
    pub overhang: Option<Overhang>,
    /// At its left side.
    pub left_fin: Option<Fin>,
    /// At its right side.
    pub right_fin: Option<Fin>,
}

/// A projection above a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overhang {
    /// How far it stands out, m, at least 0.
    pub depth_m: f64,
    /// How far above the window's top it is, m, at least 0.
    pub above_m: f64,
    /// How far it reaches beyond the window's left edge, m.
    pub left_m: f64,
    /// How far it reaches beyond the right edge, m.
    pub right_m: f64,
}

/// A projection beside a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fin {
    /// How far it stands out, m, at least 0.
    pub depth_m: f64,
    /// How far from the window's edge it is, m, at least 0.
    pub beside_m: f64,
    /// How far it reaches above the window's top, m.
    pub above_m: f64,
    /// How far it reaches below the window's sill, m.
    pub below_m: f64,
}

/// A point or a shift on the wall, m: to the right, up.
type Point = (f64, f64);

/// Most corners: a parallelogram cut by a rectangle and by another parallelogram.
const MOST_CORNERS: usize = 16;

/// A convex outline.
#[derive(Clone, Copy, Debug)]
struct Outline {
    corners: [Point; MOST_CORNERS],
    count: usize,
}

impl Outline {
    fn of(points: &[Point]) -> Self {
        let mut outline = Self {
            corners: [(0.0, 0.0); MOST_CORNERS],
            count: 0,
        };
        for &point in points {
            outline.push(point);
        }
        outline
    }

    fn push(&mut self, point: Point) {
        if let Some(corner) = self.corners.get_mut(self.count) {
            *corner = point;
            self.count += 1;
        }
    }

    fn points(&self) -> &[Point] {
        &self.corners[..self.count]
    }

    fn edges(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let points = self.points();
        points
            .iter()
            .copied()
            .zip(points.iter().copied().cycle().skip(1))
    }

    /// Area, positive where the corners run left round.
    fn signed_area(&self) -> f64 {
        let twice: f64 = self.edges().map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
        0.5 * twice
    }

    /// The part on the left of the line from `a` to `b` (Sutherland & Hodgman 1974).
    fn left_of(&self, a: Point, b: Point) -> Self {
        let side = |p: Point| (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0);
        let mut kept = Self::of(&[]);
        for (from, to) in self.edges() {
            let (before, after) = (side(from), side(to));
            if before >= 0.0 {
                kept.push(from);
            }
            if (before > 0.0 && after < 0.0) || (before < 0.0 && after > 0.0) {
                let at = before / (before - after);
                kept.push((from.0 + at * (to.0 - from.0), from.1 + at * (to.1 - from.1)));
            }
        }
        kept
    }

    /// The part inside another outline whose corners run left round.
    fn within(&self, other: &Self) -> Self {
        other.edges().fold(*self, |rest, (a, b)| rest.left_of(a, b))
    }

    /// The same with its corners left round.
    fn left_round(mut self) -> Self {
        if self.signed_area() < 0.0 {
            self.corners[..self.count].reverse();
        }
        self
    }
}

/// The shadow that an edge from `a` to `b` of a projection throws when its outer side is moved by `shift`.
fn shadow(a: Point, b: Point, shift: Point) -> Outline {
    Outline::of(&[
        a,
        b,
        (b.0 + shift.0, b.1 + shift.1),
        (a.0 + shift.0, a.1 + shift.1),
    ])
    .left_round()
}

impl Shade {
    /// Share of the rectangle in shadow under light from a direction given along the wall to the right (seen from
    /// outside), up the wall and outward.
    ///
    /// # Source
    /// Profile angles, solar geometry textbooks (from memory); union by inclusion and exclusion: at most one fin throws
    /// its shadow on the window at a time.
    fn share_in_shadow(&self, [right, up, outward]: [f64; 3]) -> f64 {
        /// Light that grazes the wall is taken at this cosine.
        const LEAST_OUTWARD: f64 = 1e-6;
        let outward = outward.max(LEAST_OUTWARD);
        let shift = |depth: f64| (-depth * right / outward, -depth * up / outward);
        let (width, height) = (self.width_m, self.height_m);
        let window = Outline::of(&[(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]);
        let top = self.overhang.map(|over| {
            let y = height + over.above_m;
            shadow(
                (-over.left_m, y),
                (width + over.right_m, y),
                shift(over.depth_m),
            )
        });
        let (fin, x) = if right < 0.0 {
            (
                self.left_fin,
                self.left_fin.map_or(0.0, |fin| -fin.beside_m),
            )
        } else {
            let x = self.right_fin.map_or(0.0, |fin| fin.beside_m);
            (self.right_fin, width + x)
        };
        let side = fin.map(|fin| {
            let (low, high) = (-fin.below_m, height + fin.above_m);
            shadow((x, low), (x, high), shift(fin.depth_m))
        });
        let on_window = |shade: &Outline| shade.within(&window);
        let area = |outline: &Outline| outline.signed_area().max(0.0);
        let mut shaded_m2 = 0.0;
        for shade in [top, side].into_iter().flatten() {
            shaded_m2 += area(&on_window(&shade));
        }
        if let (Some(top), Some(side)) = (top, side)
            && area(&side) > 0.0
        {
            shaded_m2 -= area(&on_window(&top).within(&side));
        }
        (shaded_m2 / (width * height)).clamp(0.0, 1.0)
    }
}

/// A shaded face with what does not change with the hour.
#[derive(Clone, Copy, Debug)]
pub(super) struct ShadedFace {
    shade: Shade,
    right: [f64; 3],
    up: [f64; 3],
    normal: [f64; 3],
    /// Share of the even sky's light that passes, 0 to 1.
    pub open_sky: f64,
    /// Share of the even ground's light that passes, 0 to 1.
    pub open_ground: f64,
}

impl ShadedFace {
    pub fn new(plane: Plane, shade: Shade) -> Self {
        let (sin_tilt, cos_tilt) = plane.tilt_deg.to_radians().sin_cos();
        let (sin_azimuth, cos_azimuth) = plane.azimuth_deg.to_radians().sin_cos();
        let mut face = Self {
            shade,
            // Seen from outside, looking against the normal, right is up x normal.
            right: [-cos_azimuth, sin_azimuth, 0.0],
            up: [-cos_tilt * sin_azimuth, -cos_tilt * cos_azimuth, sin_tilt],
            normal: plane.normal(),
            open_sky: 1.0,
            open_ground: 1.0,
        };
        (face.open_sky, face.open_ground) = face.open_shares();
        face
    }

    /// Share of the beam from a direction (east, north, up) that passes, 0 to 1.
    pub fn passes(&self, towards: [f64; 3]) -> f64 {
        let along = [
            dot(self.right, towards),
            dot(self.up, towards),
            dot(self.normal, towards),
        ];
        if along[2] <= 0.0 {
            return 1.0;
        }
        1.0 - self.shade.share_in_shadow(along)
    }

    /// Shares of the light of an even sky and of an even ground that pass: sums over patches, weighted by the cosine
    /// of incidence.
    fn open_shares(&self) -> (f64, f64) {
        /// Width and height of a patch, degrees.
        const PATCH_DEG: f64 = 4.0;
        const ROWS: usize = 45;
        const COLUMNS: usize = 90;
        let (mut all, mut open) = ([0.0; 2], [0.0; 2]);
        for row in 0..ROWS {
            let elevation = -90.0 + (row as f64 + 0.5) * PATCH_DEG;
            let half = usize::from(elevation < 0.0);
            let size = elevation.to_radians().cos();
            for column in 0..COLUMNS {
                let towards = direction((column as f64 + 0.5) * PATCH_DEG, elevation);
                let light = dot(self.normal, towards).max(0.0) * size;
                if light > 0.0 {
                    all[half] += light;
                    open[half] += light * self.passes(towards);
                }
            }
        }
        let share = |half: usize| {
            if all[half] > 0.0 {
                open[half] / all[half]
            } else {
                1.0
            }
        };
        (share(0), share(1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Far beyond the window.
    const WIDE_M: f64 = 1.0e4;
    const SOUTH: Plane = Plane {
        tilt_deg: 90.0,
        azimuth_deg: 180.0,
    };

    fn window() -> Shade {
        Shade {
            width_m: 3.0,
            height_m: 2.0,
            overhang: None,
            left_fin: None,
            right_fin: None,
        }
    }

    fn overhang(depth_m: f64, above_m: f64, beyond_m: f64) -> Shade {
        Shade {
            overhang: Some(Overhang {
                depth_m,
                above_m,
                left_m: beyond_m,
                right_m: beyond_m,
            }),
            ..window()
        }
    }

    fn fin(beside_m: f64, beyond_m: f64) -> Option<Fin> {
        Some(Fin {
            depth_m: 1.0,
            beside_m,
            above_m: beyond_m,
            below_m: beyond_m,
        })
    }

    /// Shadow at an azimuth from the wall's normal (right positive) and an elevation, degrees.
    fn shaded(shade: &Shade, azimuth_deg: f64, elevation_deg: f64) -> f64 {
        1.0 - ShadedFace::new(SOUTH, *shade).passes(direction(180.0 - azimuth_deg, elevation_deg))
    }

    /// tan(profile) = tan(elevation) / cos(azimuth from the normal); shadow depth = overhang x tan(profile) - gap.
    #[test]
    fn a_wide_overhang_by_the_profile_angle() {
        let shade = overhang(1.0, 0.5, WIDE_M);
        for (azimuth, elevation) in [
            (0.0_f64, 45.0_f64),
            (60.0, 30.0),
            (-60.0, 30.0),
            (20.0, 15.0),
        ] {
            let profile = elevation.to_radians().tan() / azimuth.to_radians().cos();
            let expected = ((profile - 0.5) / 2.0).clamp(0.0, 1.0);
            let got = shaded(&shade, azimuth, elevation);
            assert!(
                (got - expected).abs() < 1e-9,
                "{azimuth} {elevation}: {got}"
            );
        }
        assert!((shaded(&shade, 0.0, 45.0) - 0.25).abs() < 1e-12);
        assert!((shaded(&shade, 0.0, 75.0) - 1.0).abs() < 1e-12);
    }

    /// By hand: the shadow of an overhang as wide as the window slants by 1 m over 1 m: 3 - 1/2 of 6 m2.
    #[test]
    fn a_short_overhang_lets_the_sun_in_past_its_end() {
        let elevation = std::f64::consts::FRAC_1_SQRT_2.atan().to_degrees();
        for azimuth in [45.0, -45.0] {
            let got = shaded(&overhang(1.0, 0.0, 0.0), azimuth, elevation);
            assert!((got - 2.5 / 6.0).abs() < 1e-9, "{azimuth}: {got}");
        }
    }

    /// By hand: at 45 degrees a fin of 1 m shades 1 m beside it, less its distance; the other fin nothing.
    #[test]
    fn fins_shade_the_side_of_the_sun() {
        let left = Shade {
            left_fin: fin(0.2, WIDE_M),
            ..window()
        };
        assert!((shaded(&left, -45.0, 0.0) - 0.8 / 3.0).abs() < 1e-9);
        assert_eq!(shaded(&left, 45.0, 0.0), 0.0);
        let right = Shade {
            right_fin: fin(0.0, WIDE_M),
            ..window()
        };
        assert!((shaded(&right, 45.0, 0.0) - 1.0 / 3.0).abs() < 1e-9);
        assert_eq!(shaded(&right, -45.0, 0.0), 0.0);
    }

    /// By hand: 1 m along the top and 1 m along the side of 3 x 2 m, their corner counted once: 4 of 6 m2.
    #[test]
    fn shadows_of_overhang_and_fin_are_counted_once_where_they_meet() {
        let both = Shade {
            left_fin: fin(0.0, WIDE_M),
            ..overhang(1.0, 0.0, WIDE_M)
        };
        let elevation = std::f64::consts::FRAC_1_SQRT_2.atan().to_degrees();
        let got = shaded(&both, -45.0, elevation);
        assert!((got - 4.0 / 6.0).abs() < 1e-9, "{got}");
    }

    /// View from an endless window of height H to an overhang D at its top: (H + D - sqrt(H2 + D2)) / 2H (Hottel's
    /// crossed strings); the sky fills half of the view. The ground is seen whole.
    #[test]
    fn what_an_overhang_takes_of_the_sky_is_its_view_factor() {
        for depth in [0.5_f64, 1.0, 2.0] {
            let face = ShadedFace::new(SOUTH, overhang(depth, 0.0, WIDE_M));
            let view = (2.0 + depth - 2.0_f64.hypot(depth)) / 4.0;
            let expected = 1.0 - 2.0 * view;
            assert!(
                (face.open_sky - expected).abs() < 0.01,
                "{depth}: {} against {expected}",
                face.open_sky
            );
            assert_eq!(face.open_ground, 1.0);
        }
    }

    #[test]
    fn nothing_in_the_way_shades_nothing() {
        for tilt_deg in [0.0, 35.0, 90.0, 180.0] {
            let plane = Plane {
                tilt_deg,
                azimuth_deg: 70.0,
            };
            let face = ShadedFace::new(plane, overhang(0.0, 0.3, 1.0));
            assert!((face.open_sky - 1.0).abs() < 1e-12 && (face.open_ground - 1.0).abs() < 1e-12);
        }
    }
}
