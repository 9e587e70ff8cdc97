//! Speed of growth: `cargo bench --bench growth`. Goal on two cores: every crop of the shelf sown in each of 52 weeks of 30 years
//! in two bed climates under 0.25 s of the clock, preparation of the days included (`first_way`); `all_ways` sows crops that
//! can be raised in trays both ways.

#[allow(dead_code)]
#[path = "../tests/crops/made.rs"]
mod made;

use bedyear::crops::{BedDays, Crop, Growth, Prepared, Sowing, Way, chills_c, grow_years};
use bedyear::profile::BedClimate;
use divan::Bencher;
use divan::counter::ItemsCount;
use rayon::prelude::*;

const YEARS: usize = 30;
const WEEKS: usize = 52;

fn main() {
    divan::main();
}

/// Thirty years of the made-up cold house, each a little warmer or colder than the others.
fn climate(warmer_k: f64) -> BedClimate {
    let mut climate = made::cold_house();
    let usual = climate.years.remove(0);
    climate.years = (0..YEARS)
        .map(|year| {
            let shift_k = warmer_k + 3.0 * ((year * 7 % YEARS) as f64 / YEARS as f64 - 0.5);
            let mut other = usual.clone();
            let hours = other.air_c.iter_mut().chain(&mut other.leaf_c);
            for hour in hours.chain(&mut other.root_zone_c) {
                *hour += shift_k;
            }
            other
        })
        .collect();
    climate
}

fn sow_all(bencher: Bencher, ways: impl Fn(&Crop) -> &[Way] + Sync) {
    let kinds = [climate(0.0), climate(2.0)];
    let crops: Vec<&Crop> = made::table().iter().collect();
    let sowings: usize =
        crops.iter().map(|crop| ways(crop).len()).sum::<usize>() * WEEKS * YEARS * kinds.len();
    bencher.counter(ItemsCount::new(sowings)).bench_local(|| {
        let chills_c = chills_c(crops.iter().copied());
        let beds: Vec<BedDays> = divan::black_box(&kinds)
            .par_iter()
            .map(|kind| BedDays::of(kind, &chills_c))
            .collect();
        let pairs: Vec<(&Crop, &BedDays)> = crops
            .iter()
            .flat_map(|crop| beds.iter().map(move |bed| (*crop, bed)))
            .collect();
        let kg_m2: f64 = pairs
            .par_iter()
            .map(|(crop, bed)| {
                let prepared = Prepared::new(crop, bed);
                let mut kg_m2 = 0.0;
                for &way in ways(crop) {
                    for week in 0..WEEKS {
                        let sowing = Sowing { day: 7 * week, way };
                        let grown = grow_years(crop, &prepared, 0..YEARS, sowing);
                        kg_m2 += grown.iter().map(Growth::kg_m2).sum::<f64>();
                    }
                }
                kg_m2
            })
            .sum();
        assert!(kg_m2 > 0.0);
        kg_m2
    });
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn first_way(bencher: Bencher) {
    sow_all(bencher, |crop| &crop.ways[..1]);
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn all_ways(bencher: Bencher) {
    sow_all(bencher, |crop| &crop.ways);
}
