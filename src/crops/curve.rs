//! Figures that run straight from one tabulated point to the next.

/// What holds outside the points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Beyond {
    /// 0.
    Nothing,
    /// The figure of the nearest point.
    Nearest,
}

/// A curve of straight pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    at: Vec<f64>,
    figure: Vec<f64>,
    rise: Vec<f64>,
    beyond: Beyond,
}

impl Curve {
    /// A curve through points (where, figure) in rising order, at least one; of points at the same place the last
    /// counts.
    pub fn new(points: &[(f64, f64)], beyond: Beyond) -> Self {
        let mut own: Vec<(f64, f64)> = Vec::with_capacity(points.len());
        for &point in points {
            match own.last_mut() {
                Some(last) if last.0 >= point.0 => *last = point,
                _ => own.push(point),
            }
        }
        let rise = |pair: &[(f64, f64)]| (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0);
        Curve {
            rise: own.windows(2).map(rise).collect(),
            at: own.iter().map(|point| point.0).collect(),
            figure: own.iter().map(|point| point.1).collect(),
            beyond,
        }
    }

    /// The figure at a place.
    pub fn at(&self, place: f64) -> f64 {
        let above = self.at.partition_point(|&at| at <= place);
        if above == 0 || above == self.at.len() {
            let nearest = above.min(self.at.len() - 1);
            return match self.beyond {
                Beyond::Nothing => 0.0,
                Beyond::Nearest => self.figure[nearest],
            };
        }
        let piece = above - 1;
        self.figure[piece] + self.rise[piece] * (place - self.at[piece])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn straight_between_points_and_as_said_beyond() {
        let points = [(0.0, 0.0), (10.0, 1.0), (20.0, 0.5), (30.0, 0.0)];
        let curve = Curve::new(&points, Beyond::Nothing);
        for (place, figure) in [
            (-1.0, 0.0),
            (0.0, 0.0),
            (5.0, 0.5),
            (10.0, 1.0),
            (15.0, 0.75),
            (25.0, 0.25),
            (30.0, 0.0),
            (31.0, 0.0),
            (5.0, 0.5),
        ] {
            assert!((curve.at(place) - figure).abs() < 1e-12, "at {place}");
        }
        let curve = Curve::new(&[(0.0, 0.2), (10.0, 1.0)], Beyond::Nearest);
        for (place, figure) in [
            (-5.0, 0.2),
            (0.0, 0.2),
            (5.0, 0.6),
            (10.0, 1.0),
            (50.0, 1.0),
        ] {
            assert!((curve.at(place) - figure).abs() < 1e-12, "at {place}");
        }
        assert_eq!(Curve::new(&[(0.0, 1.0)], Beyond::Nearest).at(7.0), 1.0);
    }
}
