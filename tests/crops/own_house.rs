//! Trials in tunnels, each in the program's own tunnel at the place of the trial: bare, and under a row cover laid in cold
//! nights. Medians of a few weather years. The errors are printed as they come; the climate of the place is from memory.
//!
//! The winter rows of the first set were seen before a figure of growth was set, those of `crops_later_trials.csv` were found and
//! written down before the model was run on any of them.

use crate::made::crop;
use crate::places::{PLACES, Place};
use bedyear::calendar::{MONTH_START_DAY, WEEKS_PER_YEAR, first_day_of_week};
use bedyear::crops::growth::standing_kg_m2;
use bedyear::crops::{BedDays, Crop, Growth, Prepared, Sowing, Way, grow, grow_years};
use bedyear::profile::quantile;
use bedyear::study::{Job, SideFiles, beds, climate, variants, weather_years};
use std::collections::BTreeMap;

/// Weather years tried at each place.
const YEARS: usize = 8;

/// The same tunnel at a town that the program knows.
fn town(name: &str) -> String {
    let text = project(&PLACES[0]);
    let (_, building) = text.split_once("[building]").unwrap();
    format!("[site]\nplace = \"{name}\"\n\n[building]{building}")
}

/// A plain tunnel of one film without heat, one bed bare and one under a cover.
pub fn project(place: &Place) -> String {
    let list = |values: &[f64; 12]| format!("{values:?}");
    let side = |value: f64, plus: &str, minus: &str| {
        format!(
            "{} {}",
            value.abs(),
            if value >= 0.0 { plus } else { minus }
        )
    };
    let sun: Vec<String> = place
        .sun
        .iter()
        .map(|kwh| format!("\"{kwh} kWh/m2\""))
        .collect();
    format!(
        "[site]\nname = \"{}\"\nlatitude = \"{}\"\nlongitude = \"{}\"\nelevation = \"{} m\"\n\n[site.months]\nmax = {}\nmin = \
         {}\nsun = [{}]\n\n[building]\nshape = \"hoop\"\nlength = \"29 m\"\nwidth = \"9 m\"\nheight = \"3.5 m\"\nfacing = \
         \"S\"\nglazing = \"film\"\n\n[[bed]]\nname = \"bare\"\nlength = \"4 m\"\nwidth = \"1.2 m\"\ncount = 8\n\n[[bed]]\nname = \
         \"covered\"\nlength = \"4 m\"\nwidth = \"1.2 m\"\ncount = 8\ncover = \"row cover\"\n",
        place.name,
        side(place.latitude_deg, "N", "S"),
        side(place.longitude_deg, "E", "W"),
        place.elevation_m,
        list(&place.max_c),
        list(&place.min_c),
        sun.join(", ")
    )
}

/// Bare bed, covered bed, open air.
struct Climates {
    bare: BedDays,
    covered: BedDays,
    open: BedDays,
}

/// A place of the table, or the town as the program estimates it.
fn climates(name: &str) -> Climates {
    let place = PLACES.iter().find(|place| place.name == name);
    let text = place.map_or_else(|| town(name), project);
    let mut project = bedyear::file::parse("trial.toml", &text)
        .unwrap_or_else(|error| panic!("{}", error.render(false)));
    project.planning.weather_years = YEARS;
    let job = Job::new(project, &SideFiles::default()).unwrap();
    let weathers = weather_years(&job);
    let of = |house: &bedyear::house::House| {
        let study = climate(&job, house, &weathers).unwrap();
        beds(&job, &study)
    };
    let mut own = of(&job.project.house);
    let covered = own.pop().unwrap();
    let bare = own.pop().unwrap_or_else(|| covered.clone());
    Climates {
        bare,
        covered,
        open: of(&variants::outdoors(&job)).remove(0),
    }
}

#[derive(serde::Deserialize, Clone)]
struct Row {
    crop: String,
    place: String,
    under: String,
    way: String,
    month: usize,
    day: usize,
    kind: String,
    observed: f64,
    note: String,
    source: String,
}

fn row(
    crop: &str,
    place: &str,
    way: &str,
    (month, day): (usize, usize),
    observed: f64,
    note: &str,
) -> Row {
    Row {
        crop: crop.to_owned(),
        place: place.to_owned(),
        under: "tunnel".to_owned(),
        way: way.to_owned(),
        month,
        day,
        kind: "days".to_owned(),
        observed,
        note: note.to_owned(),
        source: String::new(),
    }
}

/// The winter rows of the first set: days from sowing, or from setting out, to the first picking.
fn winter_rows() -> Vec<Row> {
    vec![
        row(
            "spinach",
            "vermont",
            "direct",
            (9, 15),
            61.0,
            "first cut mid November (High Mowing Seeds, read)",
        ),
        row(
            "spinach",
            "vermont",
            "direct",
            (9, 28),
            84.0,
            "ready shortly before Christmas (High Mowing Seeds, read)",
        ),
        row(
            "spinach",
            "vermont",
            "direct",
            (10, 4),
            78.0,
            "ready shortly before Christmas (High Mowing Seeds, read)",
        ),
        row(
            "spinach",
            "durham",
            "tray",
            (9, 20),
            60.0,
            "set out in September, bears by late autumn (Univ. of New Hampshire 2014-16, read)",
        ),
        row(
            "spinach",
            "durham",
            "tray",
            (10, 20),
            141.0,
            "set out mid October to early November, bears in spring only (the same)",
        ),
        row(
            "kale",
            "alcalde",
            "direct",
            (10, 16),
            77.0,
            "first cut after 8 to 14 weeks (Heyduck et al. 2020, read)",
        ),
        row(
            "lettuce_head",
            "vermont",
            "tray",
            (11, 22),
            135.0,
            "mini heads from the first week of April (High Mowing Seeds, read)",
        ),
        row(
            "onion_overwintering",
            "durham",
            "tray",
            (10, 1),
            247.0,
            "big bulbs in a tunnel on 5 June 2015 (Univ. of New Hampshire, read)",
        ),
    ]
}

fn rows_of(text: &str) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    reader.deserialize().map(|row| row.unwrap()).collect()
}

/// A third set, found after the first two had been judged and written down before the model was run on it.
fn third_rows() -> Vec<Row> {
    let source = "Orde & Sideman 2021, eight day-neutral sorts on open beds in 2017 and 2018 (abstract read)";
    let set_out = |kind: &str, observed: f64, note: &str| Row {
        under: "outdoors".to_owned(),
        kind: kind.to_owned(),
        source: source.to_owned(),
        ..row(
            "strawberry_day_neutral",
            "durham",
            "tray",
            (5, 1),
            observed,
            note,
        )
    };
    vec![
        set_out(
            "days",
            70.0,
            "ripe within ten weeks of planting (1 May taken)",
        ),
        set_out(
            "kg_plant",
            0.37,
            "235 to 498 g a plant by sort and year, the middle",
        ),
    ]
}

/// A fourth set, written down before the model was run on it, after carbon dioxide was counted and the fruit mended.
fn fourth_rows() -> Vec<Row> {
    let sown = |crop: &str, place: &str, date, observed, note: &str| Row {
        under: if place == "decorah" {
            "outdoors"
        } else {
            "tunnel"
        }
        .to_owned(),
        ..row(crop, place, "direct", date, observed, note)
    };
    let iowa = "sown 1 September 2022 in the open, picked in October (the 15th taken; Practical Farmers of Iowa 2023, read)";
    vec![
        sown(
            "spinach",
            "alcalde",
            (10, 16),
            77.0,
            "first picked after 9 to 15 weeks, 11 the best (Heyduck, Guldan & Guzman, abstract read)",
        ),
        sown(
            "spinach",
            "alcalde",
            (11, 5),
            71.0,
            "first picked in mid January (the same)",
        ),
        Row {
            kind: "kg_m2".to_owned(),
            ..sown(
                "kale",
                "alcalde",
                (10, 16),
                5.6,
                "216, 88, 109 and 104 g/ft2 in four pickings (Heyduck et al. 2020, abstract read)",
            )
        },
        sown("mustard_greens", "decorah", (9, 1), 44.0, iowa),
        sown("mizuna", "decorah", (9, 1), 44.0, iowa),
        sown("kale", "decorah", (9, 1), 44.0, iowa),
    ]
}

/// What a row asks for, in a growth.
fn answer(row: &Row, crop: &Crop, growth: &Growth, from: usize) -> Option<f64> {
    let days = |day: usize| day.saturating_sub(from) as f64;
    match row.kind.as_str() {
        "days" | "earlier" => growth.ready_day.map(days),
        "half" => {
            let first_year: Vec<_> = growth
                .harvests
                .iter()
                .filter(|pick| pick.day < from + 200)
                .collect();
            let half = 0.5 * first_year.iter().map(|pick| pick.kg_m2).sum::<f64>();
            let mut sum = 0.0;
            let at = first_year.iter().find(|pick| {
                sum += pick.kg_m2;
                sum >= half && half > 0.0
            });
            at.map(|pick| days(pick.day))
        }
        kind if kind.starts_with("kg_m2@") => None,
        "kg_m2" | "kg_plant" => {
            // What is lifted once counts whenever that is.
            let last = growth.ready_day.map_or(from, |day| day + 1).max(from + 200);
            let picks = growth.harvests.iter().filter(|pick| pick.day < last);
            let kg_m2: f64 = picks.map(|pick| pick.kg_m2).sum();
            let plants = if row.kind == "kg_plant" {
                crop.spacing.plants_per_m2
            } else {
                1.0
            };
            Some(kg_m2 / plants).filter(|kg| *kg > 0.0)
        }
        other => panic!("kind {other}"),
    }
}

/// Median over the weather years, and in how many of them there is an answer.
fn median(row: &Row, climate: &BedDays) -> (Option<f64>, usize) {
    let mut crop = crop(&row.crop).clone();
    crop.planting_weeks = None;
    if row.note.contains("baby") || row.note == "as above" {
        crop.yields.kg_m2.low *= 0.5;
    }
    let way = if row.way == "tray" {
        Way::Tray
    } else {
        Way::Direct
    };
    let in_bed = 365 + MONTH_START_DAY[row.month - 1] + row.day - 1;
    let tray = if way == Way::Tray {
        crop.tray_days()
    } else {
        0
    };
    let sowing = Sowing {
        day: in_bed - tray,
        way,
    };
    let prepared = Prepared::new(&crop, climate);
    let of_year = |year| match row.kind.strip_prefix("kg_m2@") {
        Some(days) => {
            let until = in_bed + days.parse::<usize>().unwrap();
            Some(standing_kg_m2(&crop, &prepared, year, sowing, until)).filter(|kg| *kg > 0.0)
        }
        None => answer(row, &crop, &grow(&crop, &prepared, year, sowing), in_bed),
    };
    let mut found: Vec<f64> = (0..prepared.years).filter_map(of_year).collect();
    found.sort_by(f64::total_cmp);
    (quantile(&found, 0.5), found.len())
}

/// Largest error that counts as near, %.
const NEAR_PCT: f64 = 33.0;

/// Prints the rows of a set with their errors and hands back those that are not near.
fn far(rows: &[Row], known: &BTreeMap<String, Climates>) -> Vec<String> {
    println!(
        "{:22} {:11} {:6} {:>5} {:8} {:>8} {:>12} {:>12}  note",
        "crop", "place", "way", "date", "kind", "observed", "bare", "covered"
    );
    let mut far = Vec::new();
    for row in rows {
        let place = &known[&row.place];
        let (bare, covered) = match (row.under.as_str(), row.kind.as_str()) {
            ("outdoors", _) => (median(row, &place.open), (None, 0)),
            (_, "earlier") => {
                let open = median(row, &place.open).0;
                let tunnel = median(row, &place.bare);
                (
                    (
                        open.zip(tunnel.0).map(|(open, tunnel)| open - tunnel),
                        tunnel.1,
                    ),
                    (None, 0),
                )
            }
            _ => (median(row, &place.bare), median(row, &place.covered)),
        };
        let error = |found: &(Option<f64>, usize)| {
            found.0.map(|value| 100.0 * (value / row.observed - 1.0))
        };
        let show = |found: &(Option<f64>, usize)| match (found.0, error(found)) {
            (Some(value), Some(error)) => format!("{value:.2} {error:+.0}%"),
            _ => "-".to_owned(),
        };
        let best = [error(&bare), error(&covered)]
            .into_iter()
            .flatten()
            .map(f64::abs)
            .fold(f64::INFINITY, f64::min);
        if best > NEAR_PCT {
            far.push(format!("{} {} {}", row.crop, row.place, row.kind));
        }
        println!(
            "{:22} {:11} {:6} {:>2}-{:<2} {:8} {:8.2} {:>12} {:>12}  {}; {}",
            row.crop,
            row.place,
            row.way,
            row.month,
            row.day,
            row.kind,
            row.observed,
            show(&bare),
            show(&covered),
            row.note,
            row.source
        );
    }
    println!(
        "{} of {} not within a third, bare or covered",
        far.len(),
        rows.len()
    );
    far
}

#[test]
fn trials_in_the_programs_own_tunnel() {
    let later = rows_of(include_str!("../reference/crops_later_trials.csv"));
    let fifth = rows_of(include_str!("../reference/crops_fifth_trials.csv"));
    let (winter, third, fourth) = (winter_rows(), third_rows(), fourth_rows());
    assert!(later.len() >= 12 && fifth.len() >= 12);
    let mut known = BTreeMap::new();
    for row in [&winter, &later, &third, &fourth, &fifth]
        .into_iter()
        .flatten()
    {
        if !known.contains_key(&row.place) {
            known.insert(row.place.clone(), climates(&row.place));
        }
    }
    // The first runs had 3 of 8, 8 of 16 and 14 of 22 near; since covers are laid by the house's warmth, lack of chill slows
    // strawberries and does not bar them, and cloves come again from the ground, it is 4, 12 and 18 (one of these by a yield that its
    // file took from the trial since). Named so that a change that makes a row worse is seen; not a claim of accuracy.
    for (set, rows) in [winter, later, third, fourth, fifth].iter().enumerate() {
        let far = far(rows, &known);
        assert_eq!(far, FAR[set], "set {}", set + 1);
    }
}

/// Rows of the five sets that are not near.
const FAR: [&[&str]; 5] = [
    &[
        "spinach vermont days",
        "spinach durham days",
        "spinach durham days",
        "lettuce_head vermont days",
    ],
    &[
        "broccoli vincennes days",
        "broccoli vincennes kg_plant",
        "strawberry logan earlier",
        "strawberry_day_neutral saskatoon kg_m2",
    ],
    &[],
    &["kale decorah days"],
    &[
        "scallion_winter louisa days",
        "pepper_sweet Olathe kg_plant",
        "pepper_sweet Penn Yan days",
        "eggplant durham kg_m2",
    ],
];

/// Fruiting crops whose files hold a published season's yield (their sources stand there).
const FRUITING: [&str; 10] = [
    "tomato_determinate",
    "tomato_indeterminate",
    "pepper_sweet",
    "eggplant",
    "cucumber",
    "squash_summer",
    "melon",
    "bean_bush",
    "bean_pole",
    "pea",
];

/// The sowing with the highest mean yield over the years, the earliest of equals, and its median yield, kg/m2.
fn best_sowing(crop: &Crop, prepared: &Prepared) -> (Option<Sowing>, f64) {
    let (mut best, mut most, mut median) = (None, 0.0, 0.0);
    let weeks = 0..WEEKS_PER_YEAR;
    for (week, way) in weeks.flat_map(|week| crop.ways.iter().map(move |&way| (week, way))) {
        let day = first_day_of_week(week);
        let sowing = Sowing { day, way };
        let growths = grow_years(crop, prepared, 0..prepared.years, sowing);
        let mut kg_m2: Vec<f64> = growths.iter().map(Growth::kg_m2).collect();
        let sum = kg_m2.iter().sum();
        if sum > most {
            kg_m2.sort_by(f64::total_cmp);
            (best, most, median) = (Some(sowing), sum, quantile(&kg_m2, 0.5).unwrap());
        }
    }
    (best, median)
}

/// Sown on their best days in a plain tunnel. The share of growth that goes to fruit was set after nearly all of these were seen to lie
/// below what is published; the cucumbers of the later trials were not looked at for it (1.37 to 2.6 kg a vine are measured; it moved
/// them from 2.1 to 2.5, and what was mended since, the heat that flowers bear, the pull of few fruits and the eggplant's base, to
/// 2.6). Durham was added after that and not looked at before.
#[test]
fn fruiting_crops_bear_what_is_published_of_a_season() {
    for name in ["vermont", "durham", "vincennes"] {
        let climate = climates(name).bare;
        for id in FRUITING {
            let crop = crop(id);
            let (sowing, kg_m2) = best_sowing(crop, &Prepared::new(crop, &climate));
            let weeks = crop.yields.kg_m2;
            let high = crop.yields.season_max_kg_m2;
            let low = high * weeks.low / weeks.high;
            println!(
                "{name} {id:22} {kg_m2:5.2} kg/m2, published {low:.2} to {high:.2}, {sowing:?}"
            );
            let within = (0.8 * low..=1.2 * high).contains(&kg_m2);
            let missed = SEASONS_MISSED.contains(&(name, id));
            assert_eq!(within, !missed, "{name} {id}: {kg_m2:.2} kg/m2");
        }
    }
}

/// Seasons, of thirty, that are not within a fifth of the published range; named so that a change that makes one worse is seen.
const SEASONS_MISSED: [(&str, &str); 6] = [
    ("vermont", "tomato_indeterminate"),
    ("vermont", "eggplant"),
    ("durham", "bean_pole"),
    ("durham", "pea"),
    ("vincennes", "bean_bush"),
    ("vincennes", "bean_pole"),
];
