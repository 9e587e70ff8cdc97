//! Site: weather from normals and files, weather years, ground.

#[path = "site/shelf_from_files.rs"]
mod shelf_from_files;

use bedyear::site;

#[test]
fn every_place_on_the_shelf_has_a_whole_typical_year() {
    for name in site::climates::names() {
        let normals = site::climates::get(name).unwrap().unwrap();
        let year = site::typical_year(&normals, 2027);
        year.check()
            .unwrap_or_else(|error| panic!("{name}: {error}"));
    }
}
