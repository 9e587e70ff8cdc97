//! What stands before a listed face: its own skyline, an overhang, fins.

use crate::file::read::Parsed;
use crate::file::section::Section;
use crate::sun::{Fin, Horizon, Outlook, Overhang, Shade};

/// Skyline, overhang and fins of a face; broken keys are left out, with their problem noted.
pub fn outlook(table: &Section<'_, '_>) -> Outlook {
    let horizon = match table.raw("horizon") {
        Some(Parsed::Points(points)) => Horizon::new(&points),
        _ => None,
    };
    Outlook {
        horizon,
        shade: shade(table),
    }
}

fn shade(table: &Section<'_, '_>) -> Option<Shade> {
    let overhang = table.number("overhang");
    let fins = sides(table, "fins");
    for (key, of, present) in [
        ("overhang_above", "overhang", overhang.is_some()),
        ("overhang_beyond", "overhang", overhang.is_some()),
        ("fins_beside", "fins", fins.is_some()),
        ("fins_above", "fins", fins.is_some()),
        ("fins_below", "fins", fins.is_some()),
    ] {
        if table.has(key) && !present {
            let wrong = format!(
                "`{}` says where something is that `{}` does not give",
                table.shown(key),
                table.shown(of)
            );
            table.problem(key, wrong, Some(format!("give `{of}`, or leave it out")));
            return None;
        }
    }
    if overhang.is_none() && fins.is_none() {
        return None;
    }
    let (width_m, height_m) = (
        table.required_number("width"),
        table.required_number("height"),
    );
    let overhang = match overhang {
        Some(depth_m) => {
            let above_m = table.number_or_default("overhang_above");
            let (left_m, right_m) = sides_or_default(table, "overhang_beyond")?;
            Some(Overhang {
                depth_m,
                above_m,
                left_m,
                right_m,
            })
        }
        None => None,
    };
    let (left_fin, right_fin) = match fins {
        Some((left_m, right_m)) => {
            let (left_beside_m, right_beside_m) = sides_or_default(table, "fins_beside")?;
            let above_m = table.number_or_default("fins_above");
            let below_m = table.number_or_default("fins_below");
            let fin = |depth_m: f64, beside_m: f64| {
                (depth_m > 0.0).then_some(Fin {
                    depth_m,
                    beside_m,
                    above_m,
                    below_m,
                })
            };
            (fin(left_m, left_beside_m), fin(right_m, right_beside_m))
        }
        None => (None, None),
    };
    Some(Shade {
        width_m: width_m?,
        height_m: height_m?,
        overhang,
        left_fin,
        right_fin,
    })
}

/// Left and right from one figure or two.
fn sides(table: &Section<'_, '_>, key: &str) -> Option<(f64, f64)> {
    pair(table, key, &table.numbers(key)?)
}

fn sides_or_default(table: &Section<'_, '_>, key: &str) -> Option<(f64, f64)> {
    pair(table, key, &table.numbers_or_default(key))
}

fn pair(table: &Section<'_, '_>, key: &str, values: &[f64]) -> Option<(f64, f64)> {
    match values {
        [both] => Some((*both, *both)),
        [left, right] => Some((*left, *right)),
        _ => {
            let wrong = format!("`{}` has {} values", table.shown(key), values.len());
            let right = "it takes one for both sides, or two: left, right as seen from outside";
            table.problem(key, wrong, Some(right.to_owned()));
            None
        }
    }
}
