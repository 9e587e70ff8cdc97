//! The house from its end, with the sun at noon of the shortest and the longest day, and its beds from above: both to scale.

use std::f64::consts::PI;

use maud::{Markup, html};

use super::field::Fields;
use super::one;
use crate::file::quantity::{self, Dimension};
use crate::file::{CrossSection, Part, Shape};
use crate::house::{Surface, SurfaceKind};
use crate::output::text::fixed;
use crate::page::desk::Seen;
use crate::study::noon_elevations_deg;

/// Width of a drawing, units of its own.
const WIDTH: f64 = 520.0;
/// Height above and below the ground.
const ABOVE: f64 = 250.0;
const BELOW: f64 = 90.0;
/// Room at the side of the sun.
const SIDE: f64 = 120.0;
/// Points along half a bow.
const BOW_POINTS: usize = 16;
/// Height of the person drawn for scale, m.
const PERSON_M: f64 = 1.7;

/// Where metres come to lie.
struct Place {
    scale: f64,
    left: f64,
}

impl Place {
    fn x(&self, m: f64) -> f64 {
        self.left + m * self.scale
    }

    fn y(&self, m: f64) -> f64 {
        ABOVE - m * self.scale
    }

    fn points(&self, points: &[(f64, f64)]) -> String {
        let pairs = points
            .iter()
            .map(|(x, y)| format!("{:.1},{:.1}", self.x(*x), self.y(*y)));
        pairs.collect::<Vec<_>>().join(" ")
    }
}

/// A part of the outline, from the front (left) to the back.
type Edge = (Part, Vec<(f64, f64)>);

fn edges(shape: &Shape) -> Vec<Edge> {
    let (width, height, low) = (shape.width_m, shape.height_m, shape.low_wall_m);
    let edge = |part, points: &[(f64, f64)]| (part, points.to_vec());
    let front = edge(Part::Front, &[(0.0, 0.0), (0.0, low)]);
    let mut all = vec![front];
    match shape.section {
        CrossSection::SingleSlope { solid_share } => {
            let clear = 1.0 - solid_share;
            let turn = (width * clear, low + (height - low) * clear);
            all.push(edge(Part::FrontRoof, &[(0.0, low), turn]));
            all.push(edge(Part::SolidRoof, &[turn, (width, height)]));
            all.push(edge(Part::Back, &[(width, height), (width, 0.0)]));
        }
        CrossSection::Gable { ridge_at } => {
            let ridge = (width * ridge_at, height);
            all.push(edge(Part::FrontRoof, &[(0.0, low), ridge]));
            all.push(edge(Part::BackRoof, &[ridge, (width, low)]));
            all.push(edge(Part::Back, &[(width, low), (width, 0.0)]));
        }
        CrossSection::Hoop => {
            let bow = |from: usize, to: usize| -> Vec<(f64, f64)> {
                let half = width / 2.0;
                let at = |step: usize| {
                    let angle = PI * (1.0 - step as f64 / (2 * BOW_POINTS) as f64);
                    let up = (height - low) * angle.sin();
                    (half + half * angle.cos(), low + up)
                };
                (from..=to).map(at).collect()
            };
            all.push(edge(Part::FrontRoof, &bow(0, BOW_POINTS)));
            all.push(edge(Part::BackRoof, &bow(BOW_POINTS, 2 * BOW_POINTS)));
            all.push(edge(Part::Back, &[(width, low), (width, 0.0)]));
        }
    }
    all.retain(|(_, points)| points.first() != points.last());
    all
}

/// The drawing; none for a building that is described by its surfaces alone.
pub fn section(seen: &Seen) -> Option<Markup> {
    let job = &seen.ready.job;
    let shape = job.project.built.shape?;
    let house = &job.project.house;
    let most_m = (WIDTH - 2.0 * SIDE) / shape.width_m;
    let scale = most_m.min((ABOVE - 30.0) / shape.height_m);
    let place = Place {
        scale,
        left: (WIDTH - shape.width_m * scale) / 2.0,
    };
    let glazed = |part: Part| {
        let is_glazed = |surface: &Surface| matches!(surface.kind, SurfaceKind::Glazed(_));
        let mut faces = shape.faces().into_iter().zip(&house.surfaces);
        faces.any(|(face, surface)| face.part == part && is_glazed(surface))
    };
    let edges = edges(&shape);
    let outline: Vec<(f64, f64)> = edges.iter().flat_map(|edge| edge.1.clone()).collect();
    let (low_deg, high_deg) = noon_elevations_deg(job);
    let southern = job.site.place.latitude_deg < 0.0;
    let equator_deg: f64 = if southern { 0.0 } else { 180.0 };
    let apart = (shape.facing_deg - equator_deg).to_radians().cos();
    let metres = |m: f64| seen.units.said(m, "m", 1);
    let words = format!(
        "The house from its end: {} wide, {} high, front wall {}. At noon the sun stands {:.0} degrees high on the shortest day and {:.0} degrees on the longest.",
        metres(shape.width_m),
        metres(shape.height_m),
        metres(shape.low_wall_m),
        low_deg,
        high_deg
    );
    let foot = place.y(0.0);
    Some(html! {
        figure.to-scale id="section" {
            figcaption { h3 { "From its end, to scale" } }
            svg viewBox={ "0 0 " (WIDTH) " " (ABOVE + BELOW) } role="img" aria-labelledby="section-title" {
                title id="section-title" { (words) }
                rect.soil x="0" y=(one(foot)) width=(WIDTH) height=(BELOW) {}
                @if let Some(floor) = &house.floor {
                    @let depth = floor.skirt.map_or(0.0, |skirt| skirt.depth_m) * scale;
                    @if depth > 0.0 {
                        @for x in [place.x(0.0), place.x(shape.width_m)] {
                            line.skirt x1=(one(x)) x2=(one(x)) y1=(one(foot)) y2=(one(foot + depth.min(BELOW))) {}
                        }
                    }
                }
                @if let Some(store) = &house.store {
                    @for depth in &store.depths_m {
                        @let y = foot + depth * scale;
                        @if y < ABOVE + BELOW - 22.0 {
                            @for pipe in 1..=8 { circle.pipe cx=(one(place.x(shape.width_m * f64::from(pipe) / 9.0))) cy=(one(y)) r="2.5" {} }
                        }
                    }
                }
                polygon.inside points=(place.points(&outline)) {}
                @if apart.abs() > 0.5 {
                    @for (degrees, name, class) in [(low_deg, "shortest day", "sun-low"), (high_deg, "longest day", "sun-high")] {
                        (ray(&place, &shape, degrees, (name, class), apart > 0.0))
                    }
                }
                (person(&place, &shape))
                @for (part, points) in &edges {
                    polyline class=(if glazed(*part) { "glass" } else { "wall" }) points=(place.points(points)) {}
                }
                text x=(one(place.x(0.0) - 8.0)) y=(one(foot + 14.0)) text-anchor="end" { "front" }
                text x=(one(place.x(shape.width_m) + 8.0)) y=(one(foot + 14.0)) { "back" }
                line.measure x1=(one(place.x(0.0))) x2=(one(place.x(shape.width_m))) y1=(one(foot + BELOW - 18.0)) y2=(one(foot + BELOW - 18.0)) {}
                text x=(one(place.x(shape.width_m / 2.0))) y=(one(foot + BELOW - 4.0)) text-anchor="middle" { (metres(shape.width_m)) }
                text x=(one(place.x(shape.width_m) + 8.0)) y=(one(place.y(shape.height_m) - 4.0)) { (metres(shape.height_m)) }
            }
            ul.legend {
                li { span.stroke.glass {} " glazed" } li { span.stroke.wall {} " solid" }
                @if house.store.is_some() { li { span.stroke.pipe {} " pipes of the store" } }
                @if house.floor.as_ref().is_some_and(|floor| floor.skirt.is_some()) { li { span.stroke.skirt {} " skirt" } }
            }
            @if apart.abs() <= 0.5 { p.quiet { "The front looks sideways to the noon sun, so the sun is not drawn: it stands " (fixed(low_deg, 0)) "° high at noon of the shortest day, " (fixed(high_deg, 0)) "° on the longest." } }
        }
    })
}

/// The noon sun's way to the middle of the floor, from the front or from the back.
fn ray(
    place: &Place,
    shape: &Shape,
    degrees: f64,
    (name, class): (&str, &str),
    front: bool,
) -> Markup {
    let (x, y) = (place.x(shape.width_m / 2.0), place.y(0.0));
    let turn = if front { -1.0 } else { 1.0 };
    let (sin, cos) = degrees.to_radians().sin_cos();
    // As far as the drawing goes.
    let room = if front { x - 8.0 } else { WIDTH - 8.0 - x };
    let length = (room / cos.max(0.01)).min((y - 26.0) / sin.max(0.01));
    let (to_x, to_y) = (x + turn * length * cos, y - length * sin);
    let anchor = if front { "start" } else { "end" };
    let words = format!("noon, {name}: {degrees:.0}°");
    // The words end before the drawing does.
    let words_x = match front {
        true => to_x.min(WIDTH - 150.0),
        false => to_x.max(150.0),
    };
    html! {
        @if degrees > 0.0 {
            line class={ "ray " (class) } x1=(one(to_x)) y1=(one(to_y)) x2=(one(x)) y2=(one(y)) {}
            circle class={ "sun " (class) } cx=(one(to_x)) cy=(one(to_y)) r="6" {}
        }
        text.outlined x=(one(words_x)) y=(one((to_y - 10.0).max(12.0))) text-anchor=(anchor) { (words) }
    }
}

fn person(place: &Place, shape: &Shape) -> Markup {
    let x = place.x(shape.width_m * 0.72);
    let unit = place.scale;
    let top = place.y(PERSON_M);
    let head = 0.12 * unit;
    html! {
        g.person {
            circle cx=(one(x)) cy=(one(top + head)) r=(one(head)) {}
            rect x=(one(x - 0.14 * unit)) y=(one(top + 2.1 * head)) width=(one(0.28 * unit)) height=(one(PERSON_M * unit - 2.1 * head)) rx=(one(0.1 * unit)) {}
        }
    }
}

/// Path between two beds, m (common practice, no source).
const PATH_M: f64 = 0.4;
/// Room around the floor.
const MARGIN: f64 = 12.0;

/// One bed as drawn, m from the floor's corner.
struct Laid {
    name: String,
    x: f64,
    y: f64,
    long: f64,
    wide: f64,
}

/// Lays beds in rows; gives the rows' full depth too.
fn lay(beds: &[(String, f64, f64)], length_m: f64) -> (Vec<Laid>, f64) {
    let (mut x, mut y, mut row) = (0.0, 0.0, 0.0_f64);
    let mut laid = Vec::new();
    for (name, long, wide) in beds {
        if x > 0.0 && x + long > length_m + 1e-6 {
            (x, y, row) = (0.0, y + row + PATH_M, 0.0);
        }
        laid.push(Laid {
            name: name.clone(),
            x,
            y,
            long: *long,
            wide: *wide,
        });
        x += long + PATH_M;
        row = row.max(*wide);
    }
    (laid, y + row)
}

fn fits((laid, deep_m): &(Vec<Laid>, f64), (length_m, width_m): (f64, f64)) -> bool {
    let slack_m = 1e-6;
    let mut laid = laid.iter();
    *deep_m <= width_m + slack_m && laid.all(|bed| bed.x + bed.long <= length_m + slack_m)
}

/// Lays beds in rows along the house; where they do not fit so, with as few of them turned across it as it takes.
fn lay_on(beds: &[(String, f64, f64)], floor: (f64, f64)) -> (Vec<Laid>, f64) {
    let with_turned = |turned: usize| {
        let turn = |(at, (name, long, wide)): (usize, &(String, f64, f64))| match at < turned {
            true => (name.clone(), *wide, *long),
            false => (name.clone(), *long, *wide),
        };
        let beds: Vec<(String, f64, f64)> = beds.iter().enumerate().map(turn).collect();
        lay(&beds, floor.0)
    };
    (0..=beds.len())
        .map(with_turned)
        .find(|laid| fits(laid, floor))
        .unwrap_or_else(|| with_turned(0))
}

/// The beds from above, to scale: each as long and as wide as the file says, laid in rows on the floor; none where the floor has no
/// length and width.
pub fn floor(seen: &Seen, fields: &Fields<'_>) -> Option<Markup> {
    let job = &seen.ready.job;
    let shape = job.project.built.shape?;
    let mut beds = Vec::new();
    let mut all = job.project.beds.iter();
    for at in 0..fields.count("bed") {
        let count = fields.said(&format!("bed[{at}].count"));
        let count: usize = count.parse().unwrap_or(1);
        let size = |key: &str| {
            let said = fields.said(&format!("bed[{at}].{key}"));
            quantity::parse(&said, Dimension::Length)
                .or_else(|why| said.parse::<f64>().map_err(|_| why))
                .ok()
        };
        let (long, wide) = (size("length"), size("width"));
        for bed in all.by_ref().take(count) {
            // A bed of an area alone is drawn square.
            let side = bed.area_m2.sqrt();
            beds.push((bed.name.clone(), long.unwrap_or(side), wide.unwrap_or(side)));
        }
    }
    let (length_m, width_m) = (shape.length_m, shape.width_m);
    let floor = (length_m, width_m);
    let laid = lay_on(&beds, floor);
    let fits = fits(&laid, floor);
    let (laid, deep_m) = laid;
    let scale = (WIDTH - 2.0 * MARGIN)
        / length_m.max(laid.iter().map(|bed| bed.x + bed.long).fold(0.0, f64::max));
    let height = scale * width_m.max(deep_m) + 2.0 * MARGIN;
    let spare = ((width_m - deep_m) / 2.0).max(0.0);
    let metres = |m: f64| seen.units.said(m, "m", 1);
    let area: f64 = job.project.beds.iter().map(|bed| bed.area_m2).sum();
    let area = seen.units.said(area, "m2", 0);
    Some(html! {
        figure.to-scale id="floor" {
            figcaption {
                h3 { "Beds from above, to scale" }
                p { (beds.len()) " beds, " (area) ", on a floor of " (metres(length_m)) " by " (metres(width_m)) ". Where each lies is yours to choose; they are drawn in rows." }
            }
            svg viewBox={ "0 0 " (WIDTH) " " (one(height)) } role="img" aria-labelledby="floor-title" {
                title id="floor-title" { (beds.len()) " beds on a floor of " (metres(length_m)) " by " (metres(width_m)) }
                rect.floor-edge x=(one(MARGIN)) y=(one(MARGIN)) width=(one(length_m * scale)) height=(one(width_m * scale)) {}
                @for bed in &laid {
                    @let (x, y) = (MARGIN + bed.x * scale, MARGIN + (bed.y + spare) * scale);
                    rect.bed x=(one(x)) y=(one(y)) width=(one(bed.long * scale)) height=(one(bed.wide * scale)) { title { (bed.name) ", " (metres(bed.long)) " by " (metres(bed.wide)) } }
                    text x=(one(x + bed.long * scale / 2.0)) y=(one(y + bed.wide * scale / 2.0 + 4.0)) text-anchor="middle" { (bed.name) }
                }
            }
            @if !fits {
                p.trouble { "With paths of " (metres(PATH_M)) " between them these beds do not fit on the floor." }
            }
        }
    })
}
