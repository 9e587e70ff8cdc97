//! The beds from above, to scale: each as long and as wide as the file says, laid in rows on the floor.

use maud::{Markup, html};

use super::field::Fields;
use crate::file::quantity::{self, Dimension};
use crate::output::text::fixed;
use crate::page::desk::Seen;

/// Width of the drawing, units of its own.
const WIDTH: f64 = 520.0;
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

/// Do laid beds stay on a floor?
fn fits((laid, deep_m): &(Vec<Laid>, f64), (length_m, width_m): (f64, f64)) -> bool {
    let slack_m = 1e-6;
    *deep_m <= width_m + slack_m
        && laid
            .iter()
            .all(|bed| bed.x + bed.long <= length_m + slack_m)
}

/// Lays beds in rows along the house; where they do not fit so, with as few of them turned across it as it takes.
fn lay_on(beds: &[(String, f64, f64)], floor: (f64, f64)) -> (Vec<Laid>, f64) {
    let with_turned = |turned: usize| {
        let turn = |(at, (name, long, wide)): (usize, &(String, f64, f64))| {
            let (long, wide) = if at < turned {
                (*wide, *long)
            } else {
                (*long, *wide)
            };
            (name.clone(), long, wide)
        };
        let beds: Vec<(String, f64, f64)> = beds.iter().enumerate().map(turn).collect();
        lay(&beds, floor.0)
    };
    (0..=beds.len())
        .map(with_turned)
        .find(|laid| fits(laid, floor))
        .unwrap_or_else(|| with_turned(0))
}

/// The drawing; none where the floor has no length and width.
pub fn plan(seen: &Seen, fields: &Fields<'_>) -> Option<Markup> {
    let job = &seen.ready.job;
    let shape = job.project.built.shape?;
    let mut beds = Vec::new();
    let mut all = job.project.beds.iter();
    for at in 0..fields.count("bed") {
        let count: usize = fields
            .said(&format!("bed[{at}].count"))
            .parse()
            .unwrap_or(1);
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
    let one = |value: f64| fixed(value, 1);
    let metres = |m: f64| {
        let (value, unit) = seen.units.convert(m, "m");
        format!("{} {unit}", fixed(value, 1))
    };
    let area: f64 = job.project.beds.iter().map(|bed| bed.area_m2).sum();
    let (area, unit) = seen.units.convert(area, "m2");
    Some(html! {
        figure.to-scale id="floor" {
            figcaption {
                h3 { "Beds from above, to scale" }
                p { (beds.len()) " beds, " (fixed(area, 0)) " " (unit) ", on a floor of " (metres(length_m)) " by " (metres(width_m)) ". Where each lies is yours to choose; they are drawn in rows." }
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
