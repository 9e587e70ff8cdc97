//! From figures to places on a drawing.

/// A straight scale from a range of figures to a range of places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    /// Lowest and highest figure.
    figures: (f64, f64),
    /// Their places.
    places: (f64, f64),
}

impl Scale {
    /// A scale over exactly these figures; an empty range is widened, so that no place is undefined.
    pub(super) fn new(figures: (f64, f64), places: (f64, f64)) -> Self {
        let (low, high) = figures;
        let figures = if high > low {
            (low, high)
        } else {
            (low, low + 1.0)
        };
        Scale { figures, places }
    }

    /// A scale whose ends are round figures around all values given; values that are no numbers are passed over.
    pub(super) fn around(values: impl IntoIterator<Item = f64>, places: (f64, f64)) -> Self {
        let finite: Vec<f64> = values
            .into_iter()
            .filter(|value| value.is_finite())
            .collect();
        let low = finite.iter().copied().fold(f64::INFINITY, f64::min);
        let high = finite.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if low > high {
            return Scale::new((0.0, 1.0), places);
        }
        let step = round_step(high - low);
        Scale::new(
            ((low / step).floor() * step, (high / step).ceil() * step),
            places,
        )
    }

    /// Place of a figure.
    pub(super) fn at(&self, figure: f64) -> f64 {
        let (low, high) = self.figures;
        let (from, to) = self.places;
        from + (figure - low) / (high - low) * (to - from)
    }

    /// True if a figure lies within the scale.
    pub(super) fn holds(&self, figure: f64) -> bool {
        (self.figures.0..=self.figures.1).contains(&figure)
    }

    /// Round figures to mark on the scale.
    pub(super) fn ticks(&self) -> Vec<f64> {
        let (low, high) = self.figures;
        let step = round_step(high - low);
        let first = (low / step).ceil() as i64;
        let last = (high / step + 1e-9).floor() as i64;
        (first..=last).map(|number| number as f64 * step).collect()
    }

    /// Decimals that the marks need.
    pub(super) fn decimals(&self) -> usize {
        let step = round_step(self.figures.1 - self.figures.0);
        if step >= 1.0 {
            0
        } else {
            (-step.log10()).ceil().max(0.0) as usize
        }
    }
}

/// A step of 1, 2 or 5 times a power of ten that gives four to nine marks over a range.
fn round_step(range: f64) -> f64 {
    /// Marks aimed at (own choice: more of them clutter a small drawing).
    const MARKS: f64 = 5.0;
    let raw = if range > 0.0 { range / MARKS } else { 1.0 };
    let power = 10.0_f64.powf(raw.log10().floor());
    let factor = match raw / power {
        mantissa if mantissa < 1.5 => 1.0,
        mantissa if mantissa < 3.5 => 2.0,
        mantissa if mantissa < 7.5 => 5.0,
        _ => 10.0,
    };
    factor * power
}

/// A polyline through points, as the `d` of a path; a point that is no number breaks the line.
pub(super) fn line(points: impl IntoIterator<Item = (f64, f64)>) -> String {
    let mut path = String::new();
    let mut pen_down = false;
    for (x, y) in points {
        if x.is_finite() && y.is_finite() {
            path.push_str(&format!(
                "{}{x:.1} {y:.1}",
                if pen_down { "L" } else { "M" }
            ));
        }
        pen_down = x.is_finite() && y.is_finite();
    }
    path
}

/// The area between two lines over the same places.
pub(super) fn area(upper: &[(f64, f64)], lower: &[(f64, f64)]) -> String {
    let around = upper.iter().copied().chain(lower.iter().rev().copied());
    let path = line(around.filter(|(x, y)| x.is_finite() && y.is_finite()));
    if path.is_empty() { path } else { path + "Z" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_round_and_inside() {
        let scale = Scale::around([-7.3, 33.8], (100.0, 0.0));
        assert_eq!(scale.ticks(), [-10.0, 0.0, 10.0, 20.0, 30.0, 40.0]);
        assert_eq!(scale.at(-10.0), 100.0);
        assert_eq!(scale.at(40.0), 0.0);
        assert_eq!(scale.decimals(), 0);
        assert_eq!(Scale::around([0.0, 0.9], (0.0, 1.0)).decimals(), 1);
    }

    #[test]
    fn nothing_to_show_is_no_failure() {
        assert!(Scale::around([], (0.0, 1.0)).at(0.5).is_finite());
        assert!(Scale::around([3.0, 3.0], (0.0, 1.0)).at(3.0).is_finite());
        assert!(Scale::around([f64::NAN], (0.0, 1.0)).ticks().len() < 20);
        assert_eq!(line([(0.0, f64::NAN)]), "");
        assert_eq!(
            line([(0.0, 1.0), (1.0, f64::NAN), (2.0, 1.0)]),
            "M0.0 1.0M2.0 1.0"
        );
    }
}
