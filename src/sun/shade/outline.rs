//! Convex outlines on a wall: cut by one another, their area.

/// A point or a shift on the wall, m: to the right, up.
pub type Point = (f64, f64);

/// Most corners: a parallelogram cut by a rectangle and by another parallelogram.
const MOST_CORNERS: usize = 16;

/// A convex outline.
#[derive(Clone, Copy, Debug)]
pub struct Outline {
    corners: [Point; MOST_CORNERS],
    count: usize,
}

impl Outline {
    /// An outline through some points.
    pub fn of(points: &[Point]) -> Self {
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
    pub fn signed_area(&self) -> f64 {
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
    pub fn within(&self, other: &Self) -> Self {
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
pub fn shadow(a: Point, b: Point, shift: Point) -> Outline {
    Outline::of(&[
        a,
        b,
        (b.0 + shift.0, b.1 + shift.1),
        (a.0 + shift.0, a.1 + shift.1),
    ])
    .left_round()
}
