//! Row cover or inner tunnel over the beds.

use crate::calendar::SECONDS_PER_HOUR;
use crate::file::project::{Bed, BedCover as Kind};
use crate::file::section::Section;
use crate::house::{BedCover, CoverTimes};

/// What is known of a kind of cover.
struct Usual {
    name: &'static str,
    area_ratio: f64,
    height_m: f64,
    light: f64,
    long_wave: f64,
    emissivity: f64,
    air_change_per_h: f64,
}

/// A spun cover on low wires: light 0.85 (makers print 0.80 to 0.90), porous. Common practice, no source.
const ROW_COVER: Usual = Usual {
    name: "row cover",
    area_ratio: 1.2,
    height_m: 0.2,
    light: 0.85,
    long_wave: 0.4,
    emissivity: 0.5,
    air_change_per_h: 20.0,
};
/// A film tunnel over hoops: light as new single film (NRAES-33, Nijskens et al., from memory); drops inside make
/// it keep more long-wave than dry film (0.7 to 0.8). Shape and leaks: common practice, no source.
const INNER_TUNNEL: Usual = Usual {
    name: "inner tunnel",
    area_ratio: 1.5,
    height_m: 0.5,
    light: 0.87,
    long_wave: 0.6,
    emissivity: 0.3,
    air_change_per_h: 3.0,
};

/// The cover of the beds that have one; over none of them it is still described, so that the climate under a row
/// cover is known to the plan. No bed, no cover.
pub fn cover(root: &Section<'_, '_>, beds: &[Bed]) -> Option<BedCover> {
    if beds.is_empty() {
        return None;
    }
    let area_of = |kind: Kind| {
        beds.iter()
            .filter(|bed| bed.cover == kind)
            .map(|bed| bed.area_m2)
            .sum::<f64>()
    };
    let (rows_m2, tunnels_m2) = (area_of(Kind::RowCover), area_of(Kind::InnerTunnel));
    if rows_m2 > 0.0 && tunnels_m2 > 0.0 {
        let wrong = "some beds have a row cover and others an inner tunnel".to_owned();
        root.problem(
            "bed",
            wrong,
            Some("one kind of cover can be simulated at a time: choose one".to_owned()),
        );
    }
    let usual = if tunnels_m2 > 0.0 {
        INNER_TUNNEL
    } else {
        ROW_COVER
    };
    Some(described(root, &usual, rows_m2 + tunnels_m2))
}

fn described(root: &Section<'_, '_>, usual: &Usual, area_m2: f64) -> BedCover {
    let table = root.table("cover");
    let why = format!("a usual {}; common practice, no source", usual.name);
    let height_m = table.number_or("height", usual.height_m, &why);
    let air_change_per_h = table.number_or("air_change", usual.air_change_per_h, &why);
    let long_wave_transmittance = table.number_or("long_wave", usual.long_wave, &why);
    BedCover {
        name: usual.name.to_owned(),
        area_m2,
        area_ratio: usual.area_ratio,
        height_m,
        resistance_m2k_w: 0.0,
        solar_transmittance: table.number_or("light", usual.light, &why),
        long_wave_transmittance,
        emissivity: usual.emissivity.min(1.0 - long_wave_transmittance),
        air_flow_m3_s_m2: air_change_per_h * height_m / SECONDS_PER_HOUR,
        on: times(&table),
    }
}

fn times(table: &Section<'_, '_>) -> CoverTimes {
    let given: Vec<&str> = ["months", "night_months", "below"]
        .into_iter()
        .filter(|key| table.has(key))
        .collect();
    if given.len() > 1 {
        let wrong = format!(
            "`cover` says more than once when it lies on: {}",
            given.join(", ")
        );
        table.problem(
            given.first().copied().unwrap_or("below"),
            wrong,
            Some("keep one of them".to_owned()),
        );
    }
    if let Some(months) = table.season("months") {
        return CoverTimes::Months(months);
    }
    if let Some(months) = table.season("night_months") {
        return CoverTimes::Nights(months);
    }
    CoverTimes::NightsHouseBelow(table.number_or_default("below"))
}
