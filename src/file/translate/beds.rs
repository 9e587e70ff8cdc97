//! The growing beds.

use crate::file::project::{Bed, BedCover, BedEdge, Standing};
use crate::file::section::Section;

/// Width of a bed that both sides can be reached across, m. Common practice, no source.
const ALL: f64 = 1.0;

/// The beds of the file; equal ones where only their number is known.
pub fn beds(root: &Section<'_, '_>, floor_m2: Option<f64>) -> Vec<Bed> {
    let listed = root.tables("bed");
    let building = root.table("building");
    if listed.is_empty() {
        return equal(&building, floor_m2);
    }
    if building.has("beds") {
        let wrong = "`building.beds` and a list of beds both say what beds there are".to_owned();
        building.problem("beds", wrong, Some("keep one of them".to_owned()));
    }
    let mut beds: Vec<Bed> = Vec::new();
    for (at, table) in listed.iter().enumerate() {
        for bed in listed_bed(table, at + 1) {
            if beds.iter().any(|other| other.name == bed.name) {
                let wrong = format!("two beds are called \"{}\"", bed.name);
                table.problem("name", wrong, Some("give each bed its own name".to_owned()));
            }
            beds.push(bed);
        }
    }
    check_area(root, &beds, floor_m2);
    beds
}

/// More bed than floor cannot be.
fn check_area(root: &Section<'_, '_>, beds: &[Bed], floor_m2: Option<f64>) {
    let bed_m2: f64 = beds.iter().map(|bed| bed.area_m2).sum();
    if let Some(floor_m2) = floor_m2.filter(|floor_m2| bed_m2 > *floor_m2) {
        let wrong = format!("the beds take {bed_m2:.1} m2, more than the floor's {floor_m2:.1} m2");
        root.problem(
            "bed",
            wrong,
            Some("fewer or smaller beds, or a larger floor".to_owned()),
        );
    }
}

fn equal(building: &Section<'_, '_>, floor_m2: Option<f64>) -> Vec<Bed> {
    let (Some(count), Some(floor_m2)) = (building.number("beds"), floor_m2) else {
        return Vec::new();
    };
    let share = building.number_or_default("bed_share");
    let bed = |number: usize| Bed {
        name: format!("bed {number}"),
        area_m2: floor_m2 * share / count,
        edge: BedEdge::Middle,
        cover: BedCover::None,
        standing: None,
    };
    (1..=count as usize).map(bed).collect()
}

fn listed_bed(table: &Section<'_, '_>, number: usize) -> Vec<Bed> {
    let Some(area_m2) = area(table) else {
        return Vec::new();
    };
    let edge = match table.word_or_default("position").as_str() {
        "edge" => BedEdge::Edge,
        _ => BedEdge::Middle,
    };
    let cover = match table.word_or_default("cover").as_str() {
        "row cover" => BedCover::RowCover,
        "inner tunnel" => BedCover::InnerTunnel,
        _ => BedCover::None,
    };
    let name = table
        .text("name")
        .unwrap_or_else(|| format!("bed {number}"));
    let count = table.number("count").unwrap_or(ALL) as usize;
    let standing = standing(table);
    let one = |at: usize| Bed {
        name: if count > 1 {
            format!("{name} {at}")
        } else {
            name.clone()
        },
        area_m2,
        edge,
        cover,
        standing: standing.clone(),
    };
    (1..=count).map(one).collect()
}

fn area(table: &Section<'_, '_>) -> Option<f64> {
    match (
        table.number("area"),
        table.number("length"),
        table.number("width"),
    ) {
        (Some(area_m2), None, None) => Some(area_m2),
        (None, Some(length_m), Some(width_m)) => Some(length_m * width_m),
        (Some(_), _, _) => {
            let wrong = format!(
                "`{}` has both an area and a length or width",
                table.shown("area")
            );
            table.problem(
                "area",
                wrong,
                Some("keep the area, or length and width".to_owned()),
            );
            None
        }
        (None, None, None) => {
            table.missing("area");
            None
        }
        (None, Some(_), None) => {
            table.missing("width");
            None
        }
        (None, None, Some(_)) => {
            table.missing("length");
            None
        }
    }
}

fn standing(table: &Section<'_, '_>) -> Option<Standing> {
    let crop = super::household::crop_id(table, "stands", &table.text("stands")?)?;
    let Some(sown) = table.date("sown") else {
        table.missing("sown");
        return None;
    };
    Some(Standing {
        crop,
        sown,
        share: table.number("share").unwrap_or(ALL),
    })
}
