//! Who knows only place, length, width, glazing and the number of beds gets everything else assumed.

use bedyear::file::{self, Project};

pub const THIN: &str = r#"
[site]
place = "Helena"
[building]
length = "30 ft"
width = "16 ft"
glazing = "double-film"
beds = 6
"#;

fn thin() -> Project {
    file::parse("thin.toml", THIN).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn the_least_file_gives_a_house_and_beds() {
    let project = thin();
    let floor_m2 = 30.0 * 0.3048 * 16.0 * 0.3048;
    assert!((project.house.floor.as_ref().unwrap().area_m2 - floor_m2).abs() < 1e-9);
    assert_eq!(project.beds.len(), 6);
    let bed_m2: f64 = project.beds.iter().map(|bed| bed.area_m2).sum();
    assert!((bed_m2 - 0.6 * floor_m2).abs() < 1e-9);
    assert_eq!(project.name, "Helena, Montana");
}

#[test]
fn every_default_is_listed_once_with_its_reason() {
    let project = thin();
    let keys: Vec<&str> = project
        .assumed
        .iter()
        .map(|assumed| assumed.key.as_str())
        .collect();
    for key in [
        "building.shape",
        "building.facing",
        "building.height",
        "floor.soil",
        "air.infiltration",
        "year.plan",
    ] {
        assert!(keys.contains(&key), "{key} is missing in {keys:?}");
    }
    let mut once = keys.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), keys.len());
    for assumed in &project.assumed {
        assert!(
            !assumed.why.is_empty() && !assumed.value.is_empty(),
            "{assumed:?}"
        );
    }
}
