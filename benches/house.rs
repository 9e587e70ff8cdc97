//! Speed of the building: a year of hours, a settled year, thirty weather years; how they grow with layers and steps.
//!
//! `cargo bench --bench house`. Goals on one core: an hourly year of the full model under 3 ms, a settled year from cold
//! ground under 15 ms; thirty weather years on two cores under 100 ms. `year` makes the weather and the sun ready and
//! runs one year; `two_years` runs two on the same preparation, so that the difference is the simulation alone.

#[allow(dead_code)]
#[path = "../tests/house/shapes.rs"]
mod shapes;
#[allow(dead_code)]
#[path = "../tests/house/sky.rs"]
mod sky;

use bedyear::house::*;
use bedyear::site::{Weather, YearSource, climates, weather_years};
use bedyear::sun::{Aperture, Interior, Plane};

#[path = "../tests/made/sky_year.rs"]
mod sky_year;
use divan::Bencher;
use divan::counter::ItemsCount;
use sky::Sky;
use sky_year::{PlaneYear, bed_light_mol_m2, plane_year};

const HOURS: usize = 8760;
const PLACE: &str = "helena";

fn main() {
    divan::main();
}

/// Every part: glazing with curtain, insulated faces, barrels, store, vents, heater, leaves, row cover; single parts left
/// out, which shows each one's share; a hoop of film whose soil freezes.
const HOUSES: [&str; 6] = [
    "every part",
    "without store",
    "without cover",
    "without curtain",
    "without floor",
    "hoop",
];

fn house(name: &str) -> House {
    let mut house = shapes::full();
    match name {
        "without store" => house.store = None,
        "without cover" => house.parts = Vec::new(),
        "without curtain" => {
            for surface in &mut house.surfaces {
                if let SurfaceKind::Glazed(face) = &mut surface.kind {
                    face.curtain = None;
                }
            }
        }
        "without floor" => (house.floor, house.store, house.parts) = (None, None, Vec::new()),
        "hoop" => house = shapes::tunnel(),
        _ => {}
    }
    house
}

/// A building at a place, settled.
struct Case {
    house: House,
    sky: Sky,
    run: HouseRun,
}

impl Case {
    fn new(house: House, options: RunOptions) -> Self {
        let sky = sky::shelf(PLACE);
        let run = simulate(&house, &sky.weather, &sky.sun, &sky.ground, &options).unwrap();
        Self { house, sky, run }
    }

    fn years(&self, weathers: &[Weather]) -> Vec<HouseYear> {
        let sky = (&self.sky.sun, &self.sky.ground);
        let years = sky::simulate_years(&self.house, weathers, sky, &self.run).unwrap();
        assert_eq!(years.len(), weathers.len());
        for year in &years {
            assert!(year.balance_residual < 1e-3);
        }
        years
    }

    /// Counts an hour of each temperature that is followed as one item.
    fn bench_year(&self, bencher: Bencher) {
        let weather = [self.sky.weather.clone()];
        let items = HOURS;
        bencher.counter(ItemsCount::new(items)).bench_local(|| {
            let years = self.years(divan::black_box(&weather));
            // The same weather on settled ground: the settled year again.
            for (a, b) in years[0].air_c.iter().zip(&self.run.settled.air_c) {
                assert!((a - b).abs() < 0.05);
            }
            years
        });
    }
}

/// Weather, sun and light made ready, and one year of hours; an item is a node and hour.
#[divan::bench(name = "house/year", args = HOUSES, sample_count = 200)]
fn year(bencher: Bencher, name: &str) {
    Case::new(house(name), RunOptions::default()).bench_year(bencher);
}

/// One preparation and two years, begun on 1 January.
#[divan::bench(name = "house/two_years", args = HOUSES, sample_count = 200)]
fn two_years(bencher: Bencher, name: &str) {
    let (house, sky) = (house(name), sky::shelf(PLACE));
    let options = RunOptions {
        finished_day: 0,
        max_years: 2,
        ..RunOptions::default()
    };
    bencher
        .counter(ItemsCount::new(2 * HOURS))
        .bench_local(|| simulate(&house, &sky.weather, &sky.sun, &sky.ground, &options).unwrap());
}

/// From cold ground at midsummer until a year repeats itself within 0.05 K.
#[divan::bench(name = "house/settled_year", args = HOUSES, sample_count = 100)]
fn settled(bencher: Bencher, name: &str) {
    let (house, sky) = (house(name), sky::shelf(PLACE));
    let options = RunOptions::default();
    bencher.bench_local(|| {
        let run = simulate(&house, &sky.weather, &sky.sun, &sky.ground, &options).unwrap();
        assert!(run.settle_difference_k < 0.05 && run.settled.balance_residual < 1e-3);
        run
    });
}

/// Thirty different years on all cores, from the settled state.
#[divan::bench(name = "house/thirty_years", args = HOUSES, sample_count = 20)]
fn thirty(bencher: Bencher, name: &str) {
    let case = Case::new(house(name), RunOptions::default());
    let normals = climates::get(PLACE).unwrap().unwrap();
    let (normals, _) = normals.complete(&climates::shelf());
    let source = YearSource::Normals(Box::new(normals));
    let weathers = weather_years(&source, 30, 1, sky::YEAR);
    bencher
        .counter(ItemsCount::new(30 * HOURS))
        .bench_local(|| case.years(divan::black_box(&weathers)));
}

/// How a year grows with the layers of the soil.
#[divan::bench(name = "house/year/layers", args = [6, 12, 25, 50, 80], sample_count = 100)]
fn layers(bencher: Bencher, layers: usize) {
    let mut house = house("every part");
    if let Some(floor) = &mut house.floor {
        floor.layers = layers;
    }
    Case::new(house, RunOptions::default()).bench_year(bencher);
}

/// The part of the preparation that is sun and light: six faces and the light at the bed.
#[divan::bench(name = "house/sun_and_light", sample_count = 200)]
fn sun_and_light(bencher: Bencher) {
    let (house, sky) = (house("hoop"), sky::shelf(PLACE));
    let apertures: Vec<Aperture> = house
        .surfaces
        .iter()
        .filter_map(|surface| match &surface.kind {
            SurfaceKind::Glazed(face) => Some(Aperture {
                plane: Plane {
                    tilt_deg: surface.tilt_deg,
                    azimuth_deg: surface.azimuth_deg,
                },
                area_m2: surface.area_m2,
                glazing: face.glazing.clone(),
            }),
            SurfaceKind::Opaque { .. } => None,
        })
        .collect();
    let planes: Vec<Plane> = apertures.iter().map(|aperture| aperture.plane).collect();
    let interior = Interior {
        floor_area_m2: 162.0,
        wall_area_m2: 0.0,
        wall_reflectance: 0.0,
    };
    bencher.counter(ItemsCount::new(HOURS)).bench_local(|| {
        let faces = planes.iter();
        let years: Vec<PlaneYear> = faces
            .map(|&plane| plane_year(&sky.weather, &sky.sun, plane, None))
            .collect();
        bed_light_mol_m2(&apertures, &interior, &sky.sun, &years)
    });
}
