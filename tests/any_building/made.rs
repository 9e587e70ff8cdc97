//! Project texts of buildings that nobody thought of.

use std::fmt::Write;

use bedyear::sun::glazing;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

use super::parts::{floor, for_floor, parts};
use super::place::{Place, place};

/// A building with its place.
#[derive(Clone, Debug)]
pub struct Made {
    place: Place,
    body: Body,
    /// Sections that are there or not, as text.
    parts: Vec<Option<String>>,
}

#[derive(Clone, Debug)]
enum Body {
    Shape {
        shape: &'static str,
        length_m: f64,
        slimness: f64,
        low_wall_m: f64,
        rise: f64,
        facing_deg: Option<f64>,
        glazing: &'static str,
        solid: Vec<Option<f64>>,
        covers: &'static str,
    },
    Faces {
        side_m: f64,
        glazing: &'static str,
        tilt_deg: f64,
        u: f64,
        facing_deg: f64,
    },
}

fn kind() -> impl Strategy<Value = &'static str> {
    select(
        glazing::kinds()
            .iter()
            .map(|kind| kind.name)
            .collect::<Vec<_>>(),
    )
}

fn body() -> impl Strategy<Value = Body> {
    let shape = (
        select(vec!["single slope", "gable", "hoop"]),
        // From a hut to a hall, evenly by ratio.
        (0.4_f64.ln()..5.0_f64.ln()).prop_map(|power| 1.2 * power.exp().powf(3.0)),
        0.15..1.0_f64,
        0.0..4.0_f64,
        0.05..0.9_f64,
        prop::option::of(0.0..360.0_f64),
        kind(),
        vec(prop::option::of(0.05..8.0_f64), 3),
        select(vec!["none", "row cover", "inner tunnel"]),
    )
        .prop_map(
            |(shape, length_m, slimness, low_wall_m, rise, facing_deg, glazing, solid, covers)| {
                Body::Shape {
                    shape,
                    length_m: length_m.clamp(1.0, 150.0),
                    slimness,
                    low_wall_m,
                    rise,
                    facing_deg,
                    glazing,
                    solid,
                    covers,
                }
            },
        );
    let faces = (
        2.0..12.0_f64,
        kind(),
        0.0..90.0_f64,
        0.1..6.0_f64,
        0.0..360.0_f64,
    )
        .prop_map(|(side_m, glazing, tilt_deg, u, facing_deg)| Body::Faces {
            side_m,
            glazing,
            tilt_deg,
            u,
            facing_deg,
        });
    prop_oneof![4 => shape, 1 => faces]
}

/// Any building anywhere.
pub fn building() -> impl Strategy<Value = Made> {
    (place(), body(), parts(), floor()).prop_map(|(place, body, mut parts, floor)| {
        parts.push(floor);
        Made { place, body, parts }
    })
}

impl Made {
    /// The project file.
    pub fn text(&self) -> String {
        let mut text = String::from("[year]\nweather_years = 1\n");
        self.place.write(&mut text);
        let on_ground = self.body.write(&mut text);
        let (floor, parts) = self.parts.split_last().unwrap();
        // A house without ground under it has neither floor nor store.
        let parts = if on_ground { parts } else { &parts[1..] };
        for part in parts.iter().flatten() {
            text.push_str(part);
            if part.starts_with("[air]") && !on_ground {
                text.push_str(&self.body.volume());
            }
        }
        if !on_ground && !text.contains("[air]") {
            write!(text, "[air]\n{}", self.body.volume()).unwrap();
        }
        if let (Some(floor), true) = (floor, on_ground) {
            write!(text, "[floor]\n{floor}").unwrap();
        }
        for_floor(&text, self.body.floor_m2())
    }
}

fn width_m(length_m: f64, slimness: f64) -> f64 {
    (length_m * slimness).clamp(0.8, 60.0)
}

impl Body {
    /// Writes itself; says whether it stands on the ground.
    fn write(&self, text: &mut String) -> bool {
        match self {
            Body::Shape {
                shape,
                length_m,
                slimness,
                low_wall_m,
                rise,
                facing_deg,
                glazing,
                solid,
                covers,
            } => {
                let width_m = width_m(*length_m, *slimness);
                let low_wall_m = if *shape == "hoop" {
                    0.3 * low_wall_m
                } else {
                    0.3 + low_wall_m
                };
                let height_m = (low_wall_m + rise * width_m).clamp(0.5, 30.0);
                writeln!(
                    text,
                    "[building]\nshape = \"{shape}\"\nlength = {length_m:.2}\nwidth = {width_m:.2}\n\
                     low_wall = {low_wall_m:.2}\nheight = {height_m:.2}\nglazing = \"{glazing}\""
                )
                .unwrap();
                if let Some(facing) = facing_deg {
                    writeln!(text, "facing = {facing:.1}").unwrap();
                }
                for (name, r) in ["front", "back", "ends"].iter().zip(solid) {
                    if let Some(r) = r {
                        writeln!(text, "{name} = {r:.2}").unwrap();
                    }
                }
                let bed_m2 = 0.5 * length_m * width_m;
                writeln!(text, "[[bed]]\narea = {bed_m2:.3}\ncover = \"{covers}\"").unwrap();
                true
            }
            Body::Faces {
                side_m,
                glazing,
                tilt_deg,
                u,
                facing_deg,
            } => {
                let side_m2 = side_m * side_m;
                let mut face = |kind: &str, area: f64, tilt: f64, keys: &str| {
                    writeln!(
                        text,
                        "[[surface]]\nkind = \"{kind}\"\narea = {area:.3}\ntilt = {tilt:.1}\nfacing = {facing_deg:.1}\n{keys}"
                    )
                    .unwrap();
                };
                face(
                    "glazed",
                    side_m2,
                    *tilt_deg,
                    &format!("glazing = \"{glazing}\""),
                );
                face("opaque", 3.0 * side_m2, 90.0, &format!("u = {u:.3}"));
                face(
                    "opaque",
                    side_m2,
                    180.0,
                    "r = 2.0\nbehind = \"nothing\"\ncapacity = 100000",
                );
                false
            }
        }
    }

    fn floor_m2(&self) -> f64 {
        match self {
            Body::Shape {
                length_m, slimness, ..
            } => length_m * width_m(*length_m, *slimness),
            Body::Faces { side_m, .. } => side_m * side_m,
        }
    }

    /// The air's volume where no shape says it.
    fn volume(&self) -> String {
        match self {
            Body::Shape { .. } => String::new(),
            Body::Faces { side_m, .. } => format!("volume = {:.2}\n", side_m.powi(3)),
        }
    }
}
