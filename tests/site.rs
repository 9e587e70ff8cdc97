//! Site: weather from normals and files, weather years, ground.

#[path = "site/borrow.rs"]
mod borrow;
#[path = "site/climate_text.rs"]
mod climate_text;
#[path = "site/common.rs"]
mod common;
#[path = "site/epw.rs"]
mod epw;
#[path = "site/ground.rs"]
mod ground;
#[path = "site/normals.rs"]
mod normals;
#[path = "site/places.rs"]
mod places;
#[path = "site/shelf_from_files.rs"]
mod shelf_from_files;
#[path = "site/snow.rs"]
mod snow;
#[path = "site/years.rs"]
mod years;
