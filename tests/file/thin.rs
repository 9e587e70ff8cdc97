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

#[test]
fn underscores_in_numbers_and_names_of_places_in_full_are_fine() {
    let text = THIN.replace("\"Helena\"", "\"helena, montana\"")
        + "[year]\nseed = 1_000\n[floor]\nsoil_heat_capacity = 2_200_000.0\n";
    let project = file::parse("thin.toml", &text).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(project.planning.seed, 1000);
    assert!((project.house.floor.unwrap().soil.heat_capacity_j_m3k - 2.2e6).abs() < 1e-6);
}

#[test]
fn names_from_a_folder_of_ones_own_are_left_to_it() {
    let text = THIN.replace("\"Helena\"", "\"Our valley\"")
        + "[folders]\ncrops = \"crops\"\nclimates = \"climates\"\n[household]\nwant = \"1 kg sea kale a week in May\"\n";
    let project = file::parse("thin.toml", &text).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(project.shopping.wishes[0].of, "sea_kale");
    assert_eq!(
        project.site,
        file::SiteChoice::Shelf("Our valley".to_owned())
    );
}

#[test]
fn the_published_air_change_comes_at_the_usual_wind() {
    // A gable of double film all round: 0.75 1/h, the middle of 0.5 to 1.0 (ASAE EP406.4, NRAES-33, from memory).
    let air_change = file::check::air_change_per_h(&thin().house);
    assert!((air_change - 0.75).abs() < 1e-9, "{air_change}");
}
