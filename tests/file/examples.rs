//! The examples, the published test boxes and the starter are read without error.

use bedyear::file::{self, Project, StarterOptions, StarterShape, Units};
use bedyear::house::{InnerFilm, Make, SurfaceKind};
use std::fs;
use std::path::{Path, PathBuf};

/// Every project file of a folder of the repository, by name.
pub fn files(folder: &str) -> Vec<(PathBuf, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| (path.clone(), fs::read_to_string(path).unwrap()))
        .collect()
}

pub fn read(path: &Path, text: &str) -> Project {
    file::parse(&path.display().to_string(), text)
        .unwrap_or_else(|error| panic!("{}", error.render(false)))
}

pub fn example(folder: &str, stem: &str) -> Project {
    let (path, text) = files(folder)
        .into_iter()
        .find(|(path, _)| path.file_stem().unwrap() == stem)
        .unwrap();
    read(&path, &text)
}

#[test]
fn every_example_is_read() {
    for (folder, least) in [
        ("examples", 4),
        ("examples/atlas", 3),
        ("examples/region", 1),
        ("tests/boxes", 4),
    ] {
        let files = files(folder);
        assert!(files.len() >= least, "{folder}");
        for (path, text) in files {
            read(&path, &text);
        }
    }
}

#[test]
fn the_main_example_has_eight_beds_and_a_store() {
    let project = example("examples", "helena");
    assert_eq!(project.beds.len(), 8);
    assert_eq!(project.shopping.wishes.len(), 3);
    let store = project.house.store.as_ref().unwrap();
    assert_eq!(store.depths_m.len(), 2);
    assert!((store.flow_m3_s - 0.471_947).abs() < 1e-6);
    assert!((project.shopping.groceries_month.unwrap() - 1000.0).abs() < 1e-9);
}

#[test]
fn the_test_boxes_have_their_published_areas_and_resistances() {
    for stem in ["600", "600FF", "650FF", "900", "900FF", "950FF"] {
        let project = example("tests/boxes", stem);
        let house = &project.house;
        assert_eq!(house.inner_film, InnerFilm::RadiantNode);
        assert!(house.floor.is_none() && house.parts.is_empty() && house.air.vents.is_none());
        assert!((house.air.volume_m3 - 129.6).abs() < 1e-9);
        let area: f64 = house.surfaces.iter().map(|surface| surface.area_m2).sum();
        // 12 + 9.6 + 21.6 + 2 x 16.2 + 48 + 48, from the published geometry
        assert!((area - 171.6).abs() < 1e-9, "{stem}: {area}");
        let r = |name: &str| {
            let surface = house
                .surfaces
                .iter()
                .find(|surface| surface.name == name)
                .unwrap();
            match &surface.make {
                Make::Layers(layers) => layers
                    .iter()
                    .map(|l| l.thickness_m / l.conductivity_w_mk)
                    .sum::<f64>(),
                other => panic!("{other:?}"),
            }
        };
        let heavy = stem.starts_with('9');
        // Surface to surface sums of the published layers.
        assert!(
            (r("north wall") - if heavy { 1.798 } else { 1.789 }).abs() < 0.001,
            "{stem}"
        );
        assert!((r("roof") - 2.993).abs() < 0.001, "{stem}");
        assert_eq!(house.heater.is_some(), !stem.ends_with("FF"));
        assert_eq!(house.air.scheduled_fan.is_some(), stem.contains("50"));
        let window = &house.surfaces[0];
        let SurfaceKind::Glazed(face) = &window.kind else {
            panic!("{window:?}")
        };
        let optics = face.glazing.optics();
        assert!((optics.beam(1.0).transmitted - 0.6995).abs() < 1e-4);
    }
}

#[test]
fn the_starter_is_read_for_every_place_in_both_units() {
    for place in bedyear::site::climates::names() {
        let shapes = [
            StarterShape::SingleSlope,
            StarterShape::Gable,
            StarterShape::Hoop,
        ];
        for (units, shape) in [Units::Si, Units::Us]
            .into_iter()
            .flat_map(|units| shapes.map(|shape| (units, shape)))
        {
            let text = file::starter(&StarterOptions {
                place: place.to_owned(),
                shape,
                units,
            });
            let project = read(Path::new("starter.toml"), &text);
            assert_eq!(project.beds.len(), 8);
            assert_eq!(project.in_feet, units == Units::Us);
            // It faces the sun of its half of the earth.
            let unusual = bedyear::file::check::unusual(&project);
            assert_eq!(unusual, Vec::new(), "{place}");
        }
    }
}

#[test]
fn the_starters_spare_lines_can_be_used_as_they_are() {
    for units in [Units::Si, Units::Us] {
        let text = file::starter(&StarterOptions {
            units,
            ..StarterOptions::default()
        });
        for used in uncommented(&text) {
            read(Path::new("starter.toml"), &used);
        }
    }
}

#[test]
fn every_example_can_be_simulated() {
    for folder in ["examples", "tests/boxes", "tests/file/keys"] {
        for (path, text) in files(folder) {
            let project = read(&path, &text);
            // Any weather serves here: what counts is that every figure the file hands on is one the house takes.
            let normals = bedyear::site::climates::get("helena").unwrap().unwrap();
            let site = bedyear::site::Site::from_normals(normals, &[], 2027).unwrap();
            let place = &site.place;
            let sun = bedyear::solar::sun_year(
                place.latitude_deg,
                place.longitude_deg,
                place.utc_offset_h,
                2027,
            );
            let options = bedyear::house::RunOptions::default();
            let run = bedyear::house::simulate(
                &project.house,
                &site.typical,
                &sun,
                &site.ground,
                &options,
            );
            if let Err(error) = run {
                panic!("{}: {error}", path.display());
            }
        }
    }
}

/// The starter with each commented table, and each single commented key, made active in turn.
pub fn uncommented(text: &str) -> Vec<String> {
    let lines: Vec<&str> = text.lines().collect();
    let spare = |line: &str| line.starts_with('#') && !line.starts_with("# ") && line.len() > 1;
    let mut texts = Vec::new();
    let mut at = 0;
    while at < lines.len() {
        if !spare(lines[at]) {
            at += 1;
            continue;
        }
        let table = lines[at].starts_with("#[");
        let mut end = at + 1;
        while table && end < lines.len() && spare(lines[end]) {
            end += 1;
        }
        // What stands in it at the start needs the line after it, the date.
        if lines[at].starts_with("#stands") {
            end = at + 2;
        } else if lines[at].starts_with("#sown") {
            at += 1;
            continue;
        }
        let active = |(line, text): (usize, &&str)| {
            if (at..end).contains(&line) {
                text[1..].to_owned()
            } else {
                (*text).to_owned()
            }
        };
        texts.push(
            lines
                .iter()
                .enumerate()
                .map(active)
                .collect::<Vec<_>>()
                .join("\n"),
        );
        at = end;
    }
    texts
}
