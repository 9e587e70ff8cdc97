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
        const PATCH_DEG: f64 = 3.0;
        const ROWS: usize = 60;
        const COLUMNS: usize = 120;
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
    /// An outline through some points.
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
