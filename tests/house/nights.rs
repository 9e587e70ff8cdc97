//! Published night figures of unheated houses and covers, shown row by row beside what the model gives on a like night.
//!
//! The published nights come without weather, so a row is compared with the model's nights of like outdoor minimum at a
//! place of like climate; the bounds are those of the table's own spread.

use super::envelope::settled;
use super::shapes::{full, tunnel};
use super::sky::{self, Sky};
use bedyear::house::*;

/// One night: outdoor minimum and the house's gain over it, K.
struct Night {
    outdoor_c: f64,
    house_k: f64,
    leaf_k: f64,
    covered_k: f64,
}

fn nights(year: &HouseYear, sky: &Sky) -> Vec<Night> {
    let least = |column: &[f64], from: usize| {
        column[from..from + 12]
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min)
    };
    // From 20 h to 8 h.
    (0..364)
        .map(|day| {
            let from = 24 * day + 20;
            let outdoor_c = least(&sky.weather.temp_air_c, from);
            Night {
                outdoor_c,
                house_k: least(&year.air_c, from) - outdoor_c,
                leaf_k: least(&year.leaf_c, from) - outdoor_c,
                covered_k: year
                    .covered
                    .as_ref()
                    .map_or(f64::NAN, |c| least(&c.leaf_c, from) - outdoor_c),
            }
        })
        .collect()
}

fn mean_of(
    nights: &[Night],
    range: std::ops::Range<f64>,
    what: impl Fn(&Night) -> f64,
) -> (usize, f64) {
    let of: Vec<f64> = nights
        .iter()
        .filter(|n| range.contains(&n.outdoor_c))
        .map(what)
        .collect();
    (of.len(), of.iter().sum::<f64>() / of.len().max(1) as f64)
}

fn cover(on: CoverTimes) -> Option<BedCover> {
    full().cover.map(|cover| BedCover {
        area_m2: 0.0,
        on,
        ..cover
    })
}

#[test]
fn published_nights_row_by_row() {
    let mut rows = Vec::new();
    let mut place = |place: &str,
                     house: &House,
                     range: std::ops::Range<f64>,
                     published: &str,
                     low: f64,
                     high: f64,
                     what: fn(&Night) -> f64| {
        let sky = sky::shelf(place);
        let nights = nights(&settled(house, &sky), &sky);
        let (count, gain) = mean_of(&nights, range, what);
        println!("{place}: {count} nights, {gain:+.1} K; published {published}");
        rows.push((published.to_owned(), count, gain, low, high));
    };
    let mut plain = tunnel();
    plain.cover = cover(CoverTimes::Nights([true; 12]));
    // Design rule: usually -1 to +3.5 K over outdoors on clear nights, more in deep cold over warm soil.
    place(
        "helena",
        &plain,
        -10.0..0.0,
        "tunnel, -1 to +3.5 K (design rule)",
        -1.0,
        5.0,
        |n| n.house_k,
    );
    // Farm diary 2010 (read): bare house 5 to 6 F over outside at lows in the mid 20s F.
    place(
        "boston",
        &plain,
        -6.0..-1.0,
        "bare house +2.8 to +3.3 K at -4 °C (farm diary 2010)",
        0.0,
        5.0,
        |n| n.house_k,
    );
    // Chequamegon Bay high tunnels, January 2015 (diary, read): outside -17 F, lowest inside 0 F: +9.4 K.
    place(
        "fairbanks",
        &plain,
        -32.0..-22.0,
        "+9.4 K at -27 °C (diary 2015)",
        0.5,
        12.0,
        |n| n.house_k,
    );
    // Row covers 1 to 4.5 K, two over the bed 5.5 to 6.5 K more than the house (winter growing rules, read).
    place(
        "helena",
        &plain,
        -10.0..0.0,
        "row cover +1 to +4.5 K over the house's leaves",
        0.3,
        6.0,
        |n| n.covered_k - n.leaf_k,
    );
    for (published, count, gain, low, high) in rows {
        assert!(count >= 3, "{published}: {count} nights");
        assert!((low..=high).contains(&gain), "{published}: {gain:+.2} K");
    }
}
