//! Covers over beds against published temperatures under them (`tests/reference/house_covers.csv`).

use super::envelope::settled;
use super::shapes::tunnel;
use super::sky::{self, Sky};
use bedyear::house::*;
use bedyear::site::{Weather, YearSource, climates, weather_years};
use bedyear::solar::SunYear;

/// A plain hoop house of one film, 11 m by 5.5 m, its beds under a cover of a kind, as a project file says it.
fn under(kind: &str, cover_keys: &str) -> House {
    under_glazing("film", kind, cover_keys)
}

/// The same under another glazing.
fn under_glazing(glazing: &str, kind: &str, cover_keys: &str) -> House {
    let text = format!(
        "[site]\nplace = \"Helena\"\n[building]\nshape = \"hoop\"\nlength = 11\nwidth = 5.5\nheight = 2.7\nglazing = \"{glazing}\"\n\
         [[cover]]\nkind = \"{kind}\"\n{cover_keys}\n[[bed]]\nname = \"bed\"\ncount = 8\narea = 4.5\ncover = \"{kind}\"\n"
    );
    bedyear::file::parse("covers.toml", &text)
        .expect("a project")
        .house
}

/// Weather years of a place, with their sun and ground.
fn lived(place: &str) -> (Sky, Vec<Weather>) {
    const YEARS: usize = 4;
    let normals = climates::get(place).expect("on the shelf").expect("valid");
    let (normals, _) = normals.complete(&climates::shelf());
    let source = YearSource::Normals(Box::new(normals));
    (
        sky::shelf(place),
        weather_years(&source, YEARS, 1, sky::YEAR),
    )
}

/// The house through weather years.
fn years(house: &House, (sky, weathers): &(Sky, Vec<Weather>)) -> Vec<HouseYear> {
    let options = RunOptions::default();
    let (sun, ground) = (&sky.sun, &sky.ground);
    let run = simulate(house, &sky.weather, sun, ground, &options).expect("runs");
    sky::simulate_years(house, weathers, (sun, ground), &run).expect("runs")
}

/// Lift of the air under the cover over the house's, K, mean over the dark hours in which the house is colder than
/// `below_c`.
fn frost_night_lift_k(years: &[HouseYear], sun: &SunYear, below_c: f64) -> f64 {
    let frost: Vec<f64> = years
        .iter()
        .flat_map(|year| {
            let dark = (0..8760).filter(|&hour| sun.hours[hour].up_share == 0.0);
            dark.filter(|&hour| year.air_c[hour] < below_c)
                .map(|hour| year.parts[0].air_c[hour] - year.air_c[hour])
        })
        .collect();
    assert!(frost.len() > 600, "{} hours", frost.len());
    frost.iter().sum::<f64>() / frost.len() as f64
}

/// The order of size: in the steady night the lift is the soil's heat over the U of the cover, with 20 to 30 W/m2 from moist
/// soil and 4 to 5 W/m2K through one fabric 4 to 7 K (computed by hand for this project, seen before the figures of the
/// kinds were set). That holds under glazing which stops heat rays. Dry film lets cover, leaves and soil radiate to the sky
/// (at Helena more than half of what the soil gives), so under one film, wet by turns, the mean may fall short by half a
/// kelvin. Hours in which the house has only begun to freeze (above -2 °C) are printed, not counted. Film on hoops lifts more
/// than a fabric that lets as much light through.
#[test]
fn one_fabric_lifts_four_to_seven_kelvins_in_frost_nights() {
    const FROST_C: f64 = -2.0;
    for place in ["helena", "chicago", "boston"] {
        let weather = lived(place);
        let lifts = |glazing: &str, kind: &str| {
            let years = years(&under_glazing(glazing, kind, "light = 0.85"), &weather);
            [FROST_C, 0.0].map(|below_c| frost_night_lift_k(&years, &weather.0.sun, below_c))
        };
        let [film, sheet] = ["film", "twin-wall-8mm"].map(|glazing| lifts(glazing, "row cover"));
        let tunnel = lifts("film", "inner tunnel");
        println!(
            "{place}, house below -2 and 0 °C: fabric {film:.1?} under film, {sheet:.1?} under sheet; inner tunnel {tunnel:.1?} under film"
        );
        assert!((4.0..=7.0).contains(&sheet[0]), "{place}: {sheet:.2?} K");
        assert!((3.5..=7.0).contains(&film[0]), "{place}: {film:.2?} K");
        assert!(
            tunnel[0] > film[0],
            "{place}: film {tunnel:.2?} K, fabric {film:.2?} K"
        );
    }
}

/// Heat that bare soil gives in those hours, W/m2: conduction from the root zone, 0.1 m deep, to the surface.
fn soil_heat_w_m2(house: &House, years: &[HouseYear], sun: &SunYear, below_c: f64) -> f64 {
    const ROOT_ZONE_M: f64 = 0.1;
    let conductivity_w_mk = house.floor.as_ref().unwrap().soil.conductivity_w_mk;
    let mut heats = Vec::new();
    for year in years {
        for hour in (0..8760).filter(|&hour| sun.hours[hour].up_share == 0.0) {
            if year.air_c[hour] < below_c {
                heats.push(
                    conductivity_w_mk * (year.root_zone_c[hour] - year.floor_surface_c[hour])
                        / ROOT_ZONE_M,
                );
            }
        }
    }
    heats.iter().sum::<f64>() / heats.len() as f64
}

/// The same in the North. At Fairbanks the soil gives in those hours what it gives elsewhere (25 W/m2; 27 to 29 at Helena and
/// Chicago), but of the lift under one film a kelvin is lost: film that stays dry in the cold lets cover and soil radiate to a sky
/// some 20 K colder than the house. The test of size knows no such way: it holds under glazing that stops heat rays, and under
/// the same film as soon as it is made to stop them.
#[test]
fn one_fabric_in_the_north() {
    let weather = lived("fairbanks");
    let lift = |house: &House| {
        let years = years(house, &weather);
        let heat_w_m2 = soil_heat_w_m2(house, &years, &weather.0.sun, -2.0);
        let lift_k = frost_night_lift_k(&years, &weather.0.sun, -2.0);
        println!("fairbanks: fabric {lift_k:.2} K, bare soil gives {heat_w_m2:.1} W/m2");
        assert!((20.0..=30.0).contains(&heat_w_m2), "{heat_w_m2:.1}");
        lift_k
    };
    let film = under("row cover", "light = 0.85");
    let mut dark_film = film.clone();
    for surface in &mut dark_film.surfaces {
        if let SurfaceKind::Glazed(face) = &mut surface.kind {
            (face.long_wave_transmittance, face.long_wave_wet) = (0.0, 0.0);
        }
    }
    let [film, dark_film, sheet] = [
        film,
        dark_film,
        under_glazing("twin-wall-8mm", "row cover", "light = 0.85"),
    ]
    .map(|house| lift(&house));
    assert!((4.0..=7.0).contains(&sheet), "{sheet:.2}");
    assert!((4.0..=7.0).contains(&dark_film), "{dark_film:.2}");
    assert!((3.0..dark_film).contains(&film), "{film:.2}");
}

/// An hour of a house with a cover.
struct Hour {
    day: usize,
    clock: usize,
    outdoor_c: f64,
    house_c: f64,
    under_c: f64,
    on: bool,
    lifted: bool,
}

fn hours(years: &[HouseYear], weathers: &[Weather]) -> Vec<Hour> {
    let of_year = |(year, weather): (&HouseYear, &Weather)| -> Vec<Hour> {
        let part = &year.parts[0];
        (1..8760)
            .map(|at| Hour {
                day: at / 24,
                clock: at % 24,
                outdoor_c: weather.temp_air_c[at],
                house_c: year.air_c[at],
                under_c: part.air_c[at],
                on: part.on[at] == 1.0,
                lifted: part.on[at - 1] == 1.0 && part.on[at] == 0.0,
            })
            .collect()
    };
    years.iter().zip(weathers).flat_map(of_year).collect()
}

/// Mean over the hours like a row's, and their number.
fn mean_over(
    hours: &[Hour],
    like: impl Fn(&Hour) -> bool,
    of: impl Fn(&Hour) -> f64,
) -> (f64, usize) {
    let values: Vec<f64> = hours.iter().filter(|hour| like(hour)).map(of).collect();
    (
        values.iter().sum::<f64>() / values.len().max(1) as f64,
        values.len(),
    )
}

/// Rows of `house_covers.csv` that give a temperature under one heavy cover in a house of one film, each over hours like its
/// own at Helena. The diary's sensor lay on the soil, which is warmer by night (some 4 K) than the air above it that is
/// compared here: so half of the published lift is asked for.
#[test]
fn published_rows_of_covers() {
    let weather = lived("helena");
    let all = hours(&years(&under("heavy row cover", ""), &weather), &weather.1);
    let near = |value: f64, of: f64, within: f64| (value - of).abs() <= within;
    let lift = |hour: &Hour| hour.under_c - hour.house_c;
    // C05: 5.6 K over the house; C07: at least 4 K; C08: 8.3 K, the upper end.
    let evening = |h: &Hour| (19..21).contains(&h.clock) && near(h.house_c, -6.7, 2.0);
    let (gain, count) = mean_over(&all, evening, lift);
    println!(
        "C05, C07, C08: {count} evenings, house at -6.7 °C: cover {gain:+.1} K; published +5.6, 4 to 8.3"
    );
    assert!(count > 5 && (2.8..=8.3).contains(&gain), "{gain:.2} K");
    // C01: sunrise, outdoors -17.2: soil level +10.0 K over outdoors.
    let sunrise = |h: &Hour| (6..8).contains(&h.clock) && near(h.outdoor_c, -17.2, 3.0);
    let (gain, count) = mean_over(&all, sunrise, |h| h.under_c - h.outdoor_c);
    println!(
        "C01: {count} hours at sunrise, outdoors -17 °C: {gain:+.1} K over outdoors; published +10.0"
    );
    assert!(count > 5 && (5.0..=13.0).contains(&gain), "{gain:.2} K");
    // C02, C03: still down at 09:00 on a day with 22 °C by eleven, level with the house half an hour after (0.6 K).
    let winter = |h: &Hour| h.day < 59;
    let lifted: Vec<usize> = (0..all.len())
        .filter(|&at| winter(&all[at]) && all[at].lifted)
        .filter(|&at| all[at + 12 - all[at].clock].house_c > 10.0)
        .collect();
    let clock = lifted.iter().map(|&at| all[at].clock as f64).sum::<f64>() / lifted.len() as f64;
    let apart = lifted
        .iter()
        .map(|&at| lift(&all[at]).abs())
        .fold(0.0, f64::max);
    println!(
        "C02, C03: lifted on {} sunny winter days at {clock:.1} h, then {apart:.1} K from the house; published 9 h, 0.6 K",
        lifted.len()
    );
    assert!(lifted.len() > 5 && (8.5..11.0).contains(&clock) && apart < 0.6);
    // C11: the house is at its coldest at sunrise, so the cover lies then; C20: it lies for weeks in winter, and not in summer.
    let share =
        |like: &dyn Fn(&Hour) -> bool| mean_over(&all, like, |h| f64::from(u8::from(h.on))).0;
    let at_seven = share(&|h| winter(h) && h.clock == 7);
    let summer = share(&|h| (170..230).contains(&h.day));
    println!(
        "it lies at 7 h in winter {at_seven:.2} of the days, in summer {summer:.2} of the hours"
    );
    assert!(at_seven > 0.95 && summer < 0.02);
}

/// C12: 39.4 °C under film left closed on a sunny March morning, over beds of which nothing is said; here over full leaves,
/// which cool by their water. C30: under fabric it stays 2.8 to 5.6 K cooler by day.
#[test]
fn film_left_closed_in_sun_is_hot() {
    let weather = lived("helena");
    let warmest = |name: &str| {
        let all = hours(
            &years(&under(name, "months = \"all year\""), &weather),
            &weather.1,
        );
        let march = all.iter().filter(|h| (59..90).contains(&h.day));
        march.map(|h| h.under_c).fold(f64::NEG_INFINITY, f64::max)
    };
    let (film, fabric) = (warmest("inner tunnel"), warmest("row cover"));
    println!(
        "warmest March hour under film {film:.1}, under fabric {fabric:.1}; published 39.4 and 2.8 to 5.6 K less"
    );
    assert!((28.0..46.0).contains(&film), "{film:.1}");
    assert!(
        (1.0..8.0).contains(&(film - fabric)),
        "{:.1}",
        film - fabric
    );
}

/// Two kinds in one house, and bare beds beside them, each with its own climate; a cover over nothing changes nothing.
#[test]
fn several_covers_in_one_house() {
    let sky = sky::shelf("helena");
    let part = |name: &str, area_m2: f64| FloorPart {
        area_m2,
        ..under(name, "").parts.remove(0)
    };
    let mut house = tunnel();
    house.parts = vec![
        part("row cover", 40.0),
        part("inner tunnel", 40.0),
        part("heavy row cover", 0.0),
    ];
    let year = settled(&house, &sky);
    let coldest = |column: &[f64]| column.iter().copied().fold(f64::INFINITY, f64::min);
    let [fabric, film, heavy] = [0, 1, 2].map(|part: usize| coldest(&year.parts[part].leaf_c));
    let bare = coldest(&year.leaf_c);
    println!(
        "coldest leaf: bare {bare:.1}, fabric {fabric:.1}, film {film:.1}, heavy fabric {heavy:.1}"
    );
    assert!(bare + 2.0 < fabric && bare + 2.0 < film && bare + 2.0 < heavy);
    assert!(year.balance_residual < 1e-6);
    house.parts.truncate(2);
    let without = settled(&house, &sky);
    let apart = without
        .air_c
        .iter()
        .zip(&year.air_c)
        .map(|(a, b)| (a - b).abs());
    assert!(
        apart.fold(0.0, f64::max) < 0.05,
        "beyond what years may differ by that count as the same"
    );
}
