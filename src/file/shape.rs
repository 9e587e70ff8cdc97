//! The shorthand: a shape with its sizes becomes a list of faces.

use std::f64::consts::PI;

/// A building by its shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    pub section: CrossSection,
    /// Length along the ridge, m.
    pub length_m: f64,
    /// Width across the ridge, m.
    pub width_m: f64,
    /// Greatest height, m.
    pub height_m: f64,
    /// Height of the front wall, the eaves or the upright sides, m.
    pub low_wall_m: f64,
    /// Direction of the front, degrees clockwise from north.
    pub facing_deg: f64,
    /// Does its back lean on a house, so that the floor has no edge there?
    pub leans: bool,
}

/// How a building looks from its end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CrossSection {
    /// A slope from a low front to a high back wall; the upper share of it may be solid.
    SingleSlope {
        /// Share of the slope that is solid, 0 to 1.
        solid_share: f64,
    },
    /// Two slopes.
    Gable {
        /// Where the ridge stands, share of the width from the front.
        ridge_at: f64,
    },
    /// Half an ellipse on upright sides.
    Hoop,
}

/// Which part of the building a face belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    Front,
    Back,
    Ends,
    /// Slope or half bow at the front.
    FrontRoof,
    /// Slope or half bow at the back.
    BackRoof,
    /// Solid upper end of a single slope.
    SolidRoof,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    pub part: Part,
    /// Name as people say it.
    pub name: String,
    pub area_m2: f64,
    /// Tilt from the horizontal, degrees.
    pub tilt_deg: f64,
    /// Direction of its outward side, degrees clockwise from north.
    pub azimuth_deg: f64,
}

/// Flat strips that stand for each half of a bow.
const STRIPS_PER_HALF: usize = 4;
/// Faces smaller than this are none, m2.
const LEAST_FACE_M2: f64 = 1e-6;
const UPRIGHT_DEG: f64 = 90.0;

impl Shape {
    pub fn floor_m2(&self) -> f64 {
        self.length_m * self.width_m
    }

    /// Edge of the floor, m.
    pub fn perimeter_m(&self) -> f64 {
        let backs = if self.leans { 1.0 } else { 2.0 };
        backs * self.length_m + 2.0 * self.width_m
    }

    pub fn volume_m3(&self) -> f64 {
        self.length_m * self.end_m2()
    }

    /// Area of one end, m2.
    pub fn end_m2(&self) -> f64 {
        let box_m2 = self.width_m * self.low_wall_m;
        let rise_m2 = self.width_m * self.rise_m();
        match self.section {
            CrossSection::SingleSlope { .. } | CrossSection::Gable { .. } => box_m2 + rise_m2 / 2.0,
            CrossSection::Hoop => box_m2 + rise_m2 * PI / 4.0,
        }
    }

    fn rise_m(&self) -> f64 {
        (self.height_m - self.low_wall_m).max(0.0)
    }

    /// Its faces, the floor apart.
    pub fn faces(&self) -> Vec<Face> {
        let front = self.facing_deg;
        let back = turned(front, 180.0);
        let mut faces = vec![self.wall(Part::Front, "front wall", self.low_wall_m, front)];
        match self.section {
            CrossSection::SingleSlope { solid_share } => {
                faces.push(self.wall(Part::Back, "back wall", self.height_m, back));
                let clear = 1.0 - solid_share;
                faces.push(self.slope(Part::FrontRoof, ("slope", self.width_m, clear), front));
                let solid = ("solid roof", self.width_m, solid_share);
                faces.push(self.slope(Part::SolidRoof, solid, front));
            }
            CrossSection::Gable { ridge_at } => {
                faces.push(self.wall(Part::Back, "back wall", self.low_wall_m, back));
                let run_m = self.width_m * ridge_at;
                faces.push(self.slope(Part::FrontRoof, ("front slope", run_m, 1.0), front));
                let behind = ("back slope", self.width_m - run_m, 1.0);
                faces.push(self.slope(Part::BackRoof, behind, back));
            }
            CrossSection::Hoop => {
                faces.push(self.wall(Part::Back, "back wall", self.low_wall_m, back));
                faces.extend(self.bow(Part::FrontRoof, "front bow", front));
                faces.extend(self.bow(Part::BackRoof, "back bow", back));
            }
        }
        for (name, turn) in [("left end", -90.0), ("right end", 90.0)] {
            // Left and right as seen from inside, looking out of the front.
            let azimuth_deg = turned(front, turn);
            faces.push(face(
                Part::Ends,
                name,
                self.end_m2(),
                UPRIGHT_DEG,
                azimuth_deg,
            ));
        }
        faces.retain(|face| face.area_m2 > LEAST_FACE_M2);
        faces
    }

    fn wall(&self, part: Part, name: &str, height_m: f64, azimuth_deg: f64) -> Face {
        let area_m2 = self.length_m * height_m;
        face(part, name, area_m2, UPRIGHT_DEG, azimuth_deg)
    }

    /// A share of a slope that rises over a horizontal run.
    fn slope(&self, part: Part, slope: (&str, f64, f64), azimuth_deg: f64) -> Face {
        let (name, run_m, share) = slope;
        let rise_m = self.rise_m();
        let area_m2 = self.length_m * run_m.hypot(rise_m) * share;
        let tilt_deg = rise_m.atan2(run_m).to_degrees();
        face(part, name, area_m2, tilt_deg, azimuth_deg)
    }

    /// Half a bow as flat strips; their areas add up to the bow's own.
    fn bow(&self, part: Part, name: &str, azimuth_deg: f64) -> Vec<Face> {
        let (half_m, rise_m) = (self.width_m / 2.0, self.rise_m());
        let step = PI / 2.0 / STRIPS_PER_HALF as f64;
        let chord = |strip: usize| {
            let (from, to) = (strip as f64 * step, (strip + 1) as f64 * step);
            let run_m = half_m * (from.cos() - to.cos());
            (run_m, rise_m * (to.sin() - from.sin()))
        };
        let chords: [(f64, f64); STRIPS_PER_HALF] = std::array::from_fn(chord);
        let chord_sum_m: f64 = chords.iter().map(|(run, rise)| run.hypot(*rise)).sum();
        let stretch = match chord_sum_m > 0.0 {
            true => half_bow_m(half_m, rise_m) / chord_sum_m,
            false => 1.0,
        };
        let strip = |(at, (run, rise)): (usize, &(f64, f64))| {
            let name = format!("{name} {}", at + 1);
            let area_m2 = self.length_m * run.hypot(*rise) * stretch;
            let tilt_deg = rise.atan2(*run).to_degrees();
            face(part, &name, area_m2, tilt_deg, azimuth_deg)
        };
        chords.iter().enumerate().map(strip).collect()
    }
}

fn face(part: Part, name: &str, area_m2: f64, tilt_deg: f64, azimuth_deg: f64) -> Face {
    Face {
        part,
        name: name.to_owned(),
        area_m2,
        tilt_deg,
        azimuth_deg,
    }
}

/// Length of a quarter of an ellipse with these half axes, m.
///
/// # Source
/// Ramanujan (1914), second approximation of the ellipse's perimeter; from memory.
fn half_bow_m(a: f64, b: f64) -> f64 {
    let sum = a + b;
    if sum <= 0.0 {
        return 0.0;
    }
    let h = ((a - b) / sum).powi(2);
    PI * sum * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt())) / 4.0
}

fn turned(azimuth_deg: f64, by_deg: f64) -> f64 {
    (azimuth_deg + by_deg).rem_euclid(360.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(section: CrossSection) -> Shape {
        Shape {
            section,
            length_m: 10.0,
            width_m: 6.0,
            height_m: 4.0,
            low_wall_m: 1.0,
            facing_deg: 180.0,
            leans: false,
        }
    }

    fn area(faces: &[Face], part: Part) -> f64 {
        let faces = faces.iter().filter(|face| face.part == part);
        faces.map(|face| face.area_m2).sum()
    }

    #[test]
    fn a_single_slope_by_hand() {
        let faces = shape(CrossSection::SingleSlope { solid_share: 0.25 }).faces();
        let slope_m2 = 10.0 * 45f64.sqrt(); // 6 m across, 3 m up
        assert!((area(&faces, Part::FrontRoof) - 0.75 * slope_m2).abs() < 1e-9);
        assert!((area(&faces, Part::SolidRoof) - 0.25 * slope_m2).abs() < 1e-9);
        assert!((area(&faces, Part::Back) - 40.0).abs() < 1e-9);
        assert!((area(&faces, Part::Ends) - 30.0).abs() < 1e-9);
        let slope = faces.iter().find(|face| face.part == Part::FrontRoof);
        let slope = slope.unwrap();
        assert!((slope.tilt_deg - 26.565).abs() < 1e-3);
    }

    #[test]
    fn a_half_round_hoop_by_hand() {
        let hoop = Shape {
            low_wall_m: 0.0,
            height_m: 3.0,
            ..shape(CrossSection::Hoop)
        };
        let faces = hoop.faces();
        let bow_m2 = 10.0 * PI * 3.0;
        let got = area(&faces, Part::FrontRoof) + area(&faces, Part::BackRoof);
        assert!((got - bow_m2).abs() < 1e-6, "{got}");
        assert!((hoop.volume_m3() - 10.0 * PI * 9.0 / 2.0).abs() < 1e-9);
    }

    #[test]
    fn level_areas_of_the_roof_add_up_to_the_floor() {
        for section in [
            CrossSection::SingleSlope { solid_share: 0.2 },
            CrossSection::Gable { ridge_at: 0.7 },
        ] {
            let shape = shape(section);
            let level_m2 = |face: &Face| face.area_m2 * face.tilt_deg.to_radians().cos();
            let level: f64 = shape.faces().iter().map(level_m2).sum();
            assert!((level - shape.floor_m2()).abs() < 1e-9);
        }
    }
}
