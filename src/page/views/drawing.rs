//! The house from its end, to scale, with the sun at noon of the shortest and the longest day.

use maud::{Markup, html};

use crate::file::{CrossSection, Part, Shape};
use crate::house::SurfaceKind;
use crate::output::text::fixed;
use crate::page::desk::Seen;
use crate::study::noon_elevations_deg;

/// Width of the drawing, units of its own.
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
struct Edge {
    part: Part,
    points: Vec<(f64, f64)>,
}

fn edges(shape: &Shape) -> Vec<Edge> {
    let (width, height, low) = (shape.width_m, shape.height_m, shape.low_wall_m);
    let edge = |part, points: &[(f64, f64)]| Edge {
        part,
        points: points.to_vec(),
    };
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
                let at = |step: usize| {
                    let angle =
                        std::f64::consts::PI * (1.0 - step as f64 / (2 * BOW_POINTS) as f64);
                    let half = width / 2.0;
                    (
                        half + half * angle.cos(),
                        low + (height - low) * angle.sin(),
                    )
                };
                (from..=to).map(at).collect()
            };
            all.push(edge(Part::FrontRoof, &bow(0, BOW_POINTS)));
            all.push(edge(Part::BackRoof, &bow(BOW_POINTS, 2 * BOW_POINTS)));
            all.push(edge(Part::Back, &[(width, low), (width, 0.0)]));
        }
    }
    all.retain(|edge| edge.points.first() != edge.points.last());
    all
}

/// The drawing; none for a building that is described by its surfaces alone.
pub fn section(seen: &Seen) -> Option<Markup> {
    let job = &seen.ready.job;
    let shape = job.project.built.shape?;
    let house = &job.project.house;
    let units = seen.units;
    let most_m = (WIDTH - 2.0 * SIDE) / shape.width_m;
    let scale = most_m.min((ABOVE - 30.0) / shape.height_m);
    let place = Place {
        scale,
        left: (WIDTH - shape.width_m * scale) / 2.0,
    };
    let glazed = |part: Part| {
        let mut faces = shape.faces().into_iter().zip(&house.surfaces);
        faces.any(|(face, surface)| {
            face.part == part && matches!(surface.kind, SurfaceKind::Glazed(_))
        })
    };
    let edges = edges(&shape);
    let outline: Vec<(f64, f64)> = edges.iter().flat_map(|edge| edge.points.clone()).collect();
    let (low_deg, high_deg) = noon_elevations_deg(job);
    let southern = job.site.place.latitude_deg < 0.0;
    let equator_deg: f64 = if southern { 0.0 } else { 180.0 };
    let apart = (shape.facing_deg - equator_deg).to_radians().cos();
    let metres = |m: f64| {
        let (value, unit) = units.convert(m, "m");
        format!("{} {unit}", fixed(value, 1))
    };
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
                @for edge in &edges {
                    polyline class=(if glazed(edge.part) { "glass" } else { "wall" }) points=(place.points(&edge.points)) {}
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

fn one(value: f64) -> String {
    fixed(value, 1)
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
    let words_x = if front {
        to_x.min(WIDTH - 150.0)
    } else {
        to_x.max(150.0)
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
