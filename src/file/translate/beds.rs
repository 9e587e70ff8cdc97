//! The growing beds.

use crate::file::keys::words::Position;
use crate::file::project::{Bed, Standing};
use crate::file::quantity::{self, Dimension};
use crate::file::section::Section;
use crate::suggest;
use chrono::NaiveDate;

/// Width of a bed that both sides can be reached across, m. Common practice, no source.
const ALL: f64 = 1.0;

/// Width that a bed of given area takes along an outer wall, m: reached from one side. Common practice, no source.
const EDGE_BED_M: f64 = 0.75;

/// Most beds of a project (own choice: twice what a hall needs).
const BEDS_MAX: usize = 1000;

/// The beds of the file; equal ones where only their number is known.
pub fn beds(root: &Section<'_, '_>, floor_m2: Option<f64>) -> Vec<Bed> {
    let mut beds = empty_beds(root, floor_m2);
    for table in root.tables("standing") {
        listed_standing(root, &table, &mut beds);
    }
    beds
}

fn empty_beds(root: &Section<'_, '_>, floor_m2: Option<f64>) -> Vec<Bed> {
    let listed = root.tables("bed");
    let building = root.table("building");
    if listed.is_empty() {
        return equal(&building, floor_m2);
    }
    if building.has("beds") {
        let wrong = "`building.beds` and a list of beds both say what beds there are";
        building.problem("beds", wrong, "keep one of them");
    }
    let mut beds: Vec<Bed> = Vec::new();
    for (at, table) in listed.iter().enumerate() {
        check_sides(table, &building);
        for bed in listed_bed(table, at + 1) {
            if beds.len() == BEDS_MAX {
                let right = "say equal beds of a hall as one longer bed";
                table.problem("count", format!("more than {BEDS_MAX} beds"), right);
                return beds;
            }
            if beds.iter().any(|other| other.name == bed.name) {
                let wrong = format!("two beds are called \"{}\"", bed.name);
                table.problem("name", wrong, "give each bed its own name");
            }
            beds.push(bed);
        }
    }
    check_area(root, &beds, floor_m2);
    check_patches(root, &beds);
    beds
}

/// Most patches that the beds of a file may ask for: each takes a moment of the plan's search (own choice, no source).
const PATCHES_MAX: f64 = 1000.0;

/// So many patches that no plan of them would end, or be read.
fn check_patches(root: &Section<'_, '_>, beds: &[Bed]) {
    let of_bed = |bed: &Bed| bed.patch_m2.map_or(0.0, |patch_m2| bed.area_m2 / patch_m2);
    let patches: f64 = beds.iter().map(of_bed).sum();
    if patches > PATCHES_MAX {
        let wrong = format!("the beds would be planted in {patches:.0} sections");
        let right = format!("larger sections, so that there are no more than {PATCHES_MAX}");
        root.problem("bed", wrong, right);
    }
}

/// A bed that is longer than the house, or wider than its narrow side, cannot be.
fn check_sides(bed: &Section<'_, '_>, building: &Section<'_, '_>) {
    let sides = |table: &Section<'_, '_>| {
        let mut sides =
            ["length", "width"].map(|key| table.number(key).map(|side_m| (side_m, key)));
        sides.sort_by(|a, b| b.partial_cmp(a).unwrap_or(std::cmp::Ordering::Equal));
        sides
    };
    for (own, house) in sides(bed).into_iter().zip(sides(building)) {
        let (Some((bed_m, key)), Some((house_m, house_key))) = (own, house) else {
            continue;
        };
        if bed_m > house_m {
            let wrong = format!(
                "the bed's {key} of {} does not fit into the house's {house_key} of {}",
                bed.written(key),
                building.written(house_key)
            );
            bed.problem(key, wrong, "a smaller bed, or a larger house");
        }
    }
}

/// More bed than floor cannot be.
fn check_area(root: &Section<'_, '_>, beds: &[Bed], floor_m2: Option<f64>) {
    let bed_m2: f64 = beds.iter().map(|bed| bed.area_m2).sum();
    if let Some(floor_m2) = floor_m2.filter(|floor_m2| bed_m2 > *floor_m2) {
        let tables = root.tables("bed");
        let keys = || ["length", "width", "area"].into_iter();
        let feet = |bed: &Section<'_, '_>| keys().any(|key| bed.written(key).contains("ft"));
        let in_feet = tables.iter().any(feet);
        let (unit, unit_m2, decimals) = match quantity::parse("1 ft2", Dimension::Area) {
            Ok(ft2) if in_feet => ("ft2", ft2, 0),
            _ => ("m2", 1.0, 1),
        };
        let wrong = format!(
            "the beds take {:.decimals$} {unit}, more than the floor's {:.decimals$} {unit}",
            bed_m2 / unit_m2,
            floor_m2 / unit_m2
        );
        root.problem("bed", wrong, "fewer or smaller beds, or a larger floor");
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
        ..Bed::default()
    };
    (1..=count as usize).map(bed).collect()
}

fn listed_bed(table: &Section<'_, '_>, number: usize) -> Vec<Bed> {
    let Some(area_m2) = area(table) else {
        return Vec::new();
    };
    let edge_m = match table.get_or_default("position") {
        Position::Middle => None,
        Position::Edge => Some(table.number("width").unwrap_or(EDGE_BED_M)),
    };
    let cover = table.get_or_default::<String>("cover").trim().to_owned();
    let bed = Bed {
        name: table.name_or("bed", number),
        area_m2,
        patch_m2: table.number("patch"),
        edge_m,
        cover: Some(cover).filter(|cover| !cover.eq_ignore_ascii_case("none")),
        climate: 0,
        standing: standing(table).into_iter().collect(),
    };
    match table.get("count").unwrap_or(1) {
        1 => vec![bed],
        count => {
            let name = |at: usize| format!("{} {at}", bed.name);
            let one = |at: usize| Bed {
                name: name(at),
                ..bed.clone()
            };
            (1..=count).map(one).collect()
        }
    }
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
            let shown = table.shown("area");
            let wrong = format!("`{shown}` has both an area and a length or width");
            table.problem("area", wrong, "keep the area, or length and width");
            None
        }
        (None, None, None) => table.required("area"),
        (None, Some(_), None) => table.required("width"),
        (None, None, Some(_)) => table.required("length"),
    }
}

fn standing(table: &Section<'_, '_>) -> Option<Standing> {
    let crop = super::household::crop_id(table, "stands", &table.text("stands")?)?;
    Some(Standing {
        crop,
        since: table.required("sown")?,
        share: table.number("share").unwrap_or(ALL),
        ..Standing::default()
    })
}

/// More of what stands in a bed, from the list of it.
fn listed_standing(
    root: &Section<'_, '_>,
    table: &Section<'_, '_>,
    beds: &mut [Bed],
) -> Option<()> {
    let name: String = table.required("bed")?;
    let names: Vec<String> = beds.iter().map(|bed| bed.name.clone()).collect();
    let Some(bed) = beds.iter_mut().find(|bed| bed.name == name) else {
        let right = match suggest::nearest(&name, names.iter().map(String::as_str)) {
            Some(near) => format!("did you mean \"{near}\"? beds: {}", names.join(", ")),
            None => format!("beds: {}", names.join(", ")),
        };
        table.problem("bed", format!("no bed is called \"{name}\""), right);
        return None;
    };
    let standing = listed_one(table, bed.area_m2)?;
    // What still stands in a tray comes when something has gone.
    let from = root.table("year").get("from");
    let is_there = |one: &Standing| from.is_none_or(|from| !one.in_tray_on(from));
    let there = bed.standing.iter().filter(|one| is_there(one));
    let taken: f64 = there.map(|other| other.share).sum();
    let taken = if is_there(&standing) { taken } else { 0.0 };
    if taken + standing.share > ALL + ROUNDING {
        let wrong = format!("more stands in bed \"{name}\" than it holds");
        let bed_m2 = bed.area_m2;
        let right = format!("the bed has {bed_m2:.2} m2; give each sowing its area");
        table.problem("area", wrong, right);
        return None;
    }
    bed.standing.push(standing);
    Some(())
}

/// Sections of a bed that something takes, from 1, each once.
fn sections(table: &Section<'_, '_>) -> Vec<usize> {
    let numbers: Vec<f64> = table.get_or_default("sections");
    let mut sections: Vec<usize> = numbers.iter().map(|number| *number as usize).collect();
    sections.sort_unstable();
    sections.dedup();
    sections
}

/// Areas that add up to a bed within this share of it fill it.
const ROUNDING: f64 = 1e-3;

fn listed_one(table: &Section<'_, '_>, bed_m2: f64) -> Option<Standing> {
    let crop = table.required::<String>("crop")?;
    let crop = super::household::crop_id(table, "crop", &crop)?;
    let sown: Option<NaiveDate> = table.get("sown");
    let (since, set_out) = match (sown, table.get("set_out")) {
        (Some(sown), None) => (sown, false),
        (Some(sown), Some(day)) if day < sown => {
            let wrong = format!("it cannot be set out on {day}, before it was sown on {sown}");
            let right = "sown in the bed it has no `set_out`";
            table.problem("set_out", wrong, right);
            return None;
        }
        (_, Some(day)) => (day, true),
        (None, None) => (table.required("sown")?, false),
    };
    let clear = table.get("clear");
    if let Some(day) = clear.filter(|day| *day < since) {
        let wrong = format!("its place cannot be free on {day}, before it came there on {since}");
        table.problem("clear", wrong, None);
        return None;
    }
    Some(Standing {
        crop,
        since,
        set_out: Some(set_out),
        sown: sown.filter(|_| set_out),
        sections: sections(table),
        share: table.number("area").map_or(ALL, |area_m2| area_m2 / bed_m2),
        clear,
    })
}
