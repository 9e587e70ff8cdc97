//! Published observations: what the model makes of them, with the error of the growth before it (one sum of degrees times
//! light) beside it.
//!
//! Where the source does not state the climate it is assumed, and the assumption is written beside the figure. The
//! table is printed (run with output shown); the test asks that every observation is answered, that all lie within a
//! third but three that it names, and that none is worse than before by more than 15 points unless the row says why. Seen before a figure
//! was set: the rows of spinach and kale in winter (the lower corners of photosynthesis) and the two lettuce rows of ground
//! cover. The winter rows stand in an assumed house here; the program's own tunnel has them in the tests of questions.

use crate::made::{Made, crop, outdoors, unheated};
use bedyear::crops::growth::plant::{Plant, ground_cover};
use bedyear::crops::growth::steady_days;
use bedyear::crops::growth::warmth;
use bedyear::crops::{Cause, Sowing, Way, grow, prepare};
use bedyear::profile::BedClimate;

struct Observation {
    what: &'static str,
    source: &'static str,
    unit: &'static str,
    observed: f64,
    model: f64,
    /// Error of the growth before, %.
    before_pct: f64,
    /// Why a row may be worse than before.
    reason: &'static str,
}

impl Observation {
    fn error_pct(&self) -> f64 {
        100.0 * (self.model / self.observed - 1.0)
    }
}

/// Rows beyond this are named below, %.
const FAR_PCT: f64 = 33.0;
/// The rows that are further off: emergence and growth of single trials whose climate is assumed.
const FAR_OFF: [&str; 3] = [
    "arugula, 18 to 27 °C",
    "cucumber, emergence at 20 °C",
    "spinach set out 20 Oct, unheated tunnel, first cut in spring",
];
/// Error in the mean of all rows, % (17.4 when this was written: it holds what was reached, and proves no more).
const MEAN_PCT: f64 = 18.5;
/// Points by which a row may be worse than before without a reason given.
const WORSE_BY: f64 = 15.0;

fn row(
    what: &'static str,
    source: &'static str,
    unit: &'static str,
    (observed, model): (f64, f64),
    before_pct: f64,
) -> Observation {
    Observation {
        what,
        source,
        unit,
        observed,
        model,
        before_pct,
        reason: "",
    }
}

fn because(reason: &'static str, row: Observation) -> Observation {
    Observation { reason, ..row }
}

fn days_to_harvest(id: &str, climate: &BedClimate, day: usize, way: Way) -> f64 {
    let crop = crop(id);
    let growth = grow(crop, &prepare(crop, climate), 0, Sowing { day, way });
    growth
        .ready_day
        .map_or(f64::NAN, |ready| (ready - day) as f64)
}

/// Leaf area with which plants begin a trial, m2/m2; its days, and light where the source gives none (assumed).
const TRIAL_LEAF: f32 = 0.1;
const TRIAL_DAYS: usize = 25;
const TRIAL_MOL: f64 = 12.0;

/// A stand after so many days of steady weather.
fn trial(id: &str, leaf_c: f64, light: f64, days: usize) -> Plant {
    let crop = crop(id);
    let climate = Made::constant(leaf_c, 0.0, light, 11.0);
    let prepared = prepare(crop, &climate);
    let leaf_m2_g = crop.growth.leaf_m2_g as f32;
    let mut plant = Plant {
        leaf_m2_m2: TRIAL_LEAF,
        mass_g_m2: TRIAL_LEAF / leaf_m2_g,
    };
    for day in 0..days {
        plant.grow(&prepared.day(0, day).growth, 1.0, leaf_m2_g);
    }
    plant
}

/// Ratio of fresh mass after a trial at two steady temperatures.
fn warmth_ratio(id: &str, low_c: f64, high_c: f64) -> f64 {
    let mass = |leaf_c| f64::from(trial(id, leaf_c, TRIAL_MOL, TRIAL_DAYS).mass_g_m2);
    mass(high_c) / mass(low_c)
}

/// Ratio of mass after a trial in two lights at best temperature.
fn light_ratio(id: &str, low: f64, high: f64) -> f64 {
    let best_c = crop(id).temperature.best_c.middle();
    let mass = |light| f64::from(trial(id, best_c, light, TRIAL_DAYS).mass_g_m2);
    mass(high) / mass(low)
}

/// Days from a small plant to a closed stand.
fn days_to_cover(leaf_c: f64) -> f64 {
    /// Nearly full cover; spring light under glass, mol/m2/day (assumed).
    const CLOSED: f32 = 0.95;
    const GLASS_MOL: f64 = 14.0;
    let closed = |days: &usize| {
        ground_cover(trial("lettuce_leaf", leaf_c, GLASS_MOL, *days).leaf_m2_m2) >= CLOSED
    };
    (1..200).find(closed).map_or(f64::NAN, |days| days as f64)
}

fn growth_observations() -> Vec<Observation> {
    let bierhuizen = "Bierhuizen, Ebbens & Koomen 1973, Neth. J. Agric. Sci. 21 (read); means from 600 degree-days";
    let mortensen = "Mortensen 2014, AJPS (read); light, days and first leaf area assumed";
    let ripening = |mean_c: f64| {
        let tomato = crop("tomato_indeterminate");
        let days = tomato.timing.set_to_ripe_days.unwrap();
        days * tomato.best_k() / warmth::growing_degrees(&tomato.temperature, mean_c)
    };
    // A pan of 150 g at 25 plants a m2 is 3.75 kg/m2.
    let mut whole = crop("lettuce_leaf").clone();
    whole.yields.kg_m2.low = 3.75 / 2.0;
    let up = |id: &str| crop(id).best_emergence_days();
    let handbook = steady_days(&whole, 21.5, Way::Direct).map_or(f64::NAN, |days| days as f64);
    vec![
        row(
            "lettuce, ground cover at 12.8 against 18.2 °C",
            bierhuizen,
            "ratio of days",
            (47.0 / 33.0, days_to_cover(12.8) / days_to_cover(18.2)),
            0.0,
        ),
        row(
            "lettuce, ground cover at 11.1 against 18.2 °C",
            bierhuizen,
            "ratio of days",
            (54.0 / 33.0, days_to_cover(11.1) / days_to_cover(18.2)),
            0.0,
        ),
        because(
            "35 mol of open air stand for 17 mol of lamps with carbon dioxide added",
            row(
                "lettuce, seed to 150 g at 24/19 °C, 17 mol",
                "Brechner & Both, lettuce handbook (from memory)",
                "days",
                (35.0, handbook + up("lettuce_leaf")),
                3.0,
            ),
        ),
        row(
            "lettuce, field, cool season (11 °C, 20 mol assumed)",
            "Horticulturae 6(1):7 (read): up to 130 days in winter",
            "days",
            (
                130.0,
                days_to_harvest(
                    "lettuce_head",
                    &Made::constant(11.0, 6.0, 20.0, 11.0),
                    0,
                    Way::Direct,
                ),
            ),
            -7.0,
        ),
        row(
            "tomato, flower to ripe at 26 °C",
            "Adams, Cockshull & Cave 2001, Ann. Bot. 88:869 (read)",
            "days",
            (42.0, ripening(26.0)),
            -12.0,
        ),
        row(
            "basil, 18 to 27 °C",
            mortensen,
            "ratio of mass",
            (2.06, warmth_ratio("basil", 18.0, 27.0)),
            10.0,
        ),
        row(
            "arugula, 18 to 27 °C",
            mortensen,
            "ratio of mass",
            (1.62, warmth_ratio("arugula", 18.0, 27.0)),
            -42.0,
        ),
        because(
            "in the light assumed the stand is limited by light, not by warmth",
            row(
                "cilantro, 18 to 24 °C",
                mortensen,
                "ratio of mass",
                (1.41, warmth_ratio("cilantro", 18.0, 24.0)),
                2.0,
            ),
        ),
        row(
            "cucumber, emergence at 20 °C",
            "Maynard, Purdue 2007, after Taylor 1997 (read): 194 F-days above 54 F; the sand \
             table says 6 days: the sources disagree",
            "days",
            (
                194.0 / 14.0,
                1.0 / crop("cucumber")
                    .emergence
                    .as_ref()
                    .unwrap()
                    .rate_per_day(20.0),
            ),
            -57.0,
        ),
    ]
}

fn light_observations() -> Vec<Observation> {
    let herbs =
        "Currey, Walters & Flax 2019, Agronomy 9:389 (read); days and first leaf area assumed";
    let lettuce = "Frontiers Plant Sci. 2021, 592171 (read): 29 and 27 g/mol";
    let of = |what, source, observed, (id, low, high), before| {
        row(
            what,
            source,
            "ratio of mass",
            (observed, light_ratio(id, low, high)),
            before,
        )
    };
    vec![
        of(
            "lettuce, 11.5 to 23 mol",
            lettuce,
            27.0 * 23.0 / (29.0 * 11.5),
            ("lettuce_leaf", 11.5, 23.0),
            -15.0,
        ),
        of(
            "cilantro, 7 to 18 mol",
            herbs,
            2.54,
            ("cilantro", 7.0, 18.0),
            11.0,
        ),
        of("dill, 7 to 18 mol", herbs, 3.41, ("dill", 7.0, 18.0), -17.0),
        of(
            "parsley, 7 to 18 mol",
            herbs,
            2.20,
            ("parsley", 7.0, 18.0),
            28.0,
        ),
    ]
}

fn dated_observations() -> Vec<Observation> {
    // Northern Vermont: Boston less 4 K; unheated house 4 K warmer on the mean, 1.6 times the swing, 60 % of the light
    // (all assumed). Northern New Mexico: Golden, 2 K warmer and 1.4 times as bright (Albuquerque has about 3 kWh/m2
    // in December, from memory), the same house. Durham, New Hampshire: Boston less 1.5 K. Spring begins on 10 March.
    let vermont = unheated("boston", -4.0, 4.0, 1.6, 0.6);
    let new_mexico = unheated("golden", 2.0, 4.0, 1.4, 0.84);
    let durham = unheated("boston", -1.5, 4.0, 1.6, 0.6);
    let day = |month_start: usize, day: usize| month_start + day - 1;
    let (september, october) = (243, 273);
    let unit = "days from sowing";
    let tray_days = crop("spinach").tray_days();
    let set_out = day(october, 20) - tray_days;
    let vermont_trials = "High Mowing Seeds, northern Vermont (read); climate assumed";
    vec![
        row(
            "spinach sown 15 Sep, unheated house, first cut mid November",
            vermont_trials,
            unit,
            (
                61.0,
                days_to_harvest("spinach", &vermont, day(september, 15), Way::Direct),
            ),
            -33.0,
        ),
        row(
            "spinach sown 28 Sep, unheated house, ready shortly before Christmas",
            vermont_trials,
            unit,
            (
                84.0,
                days_to_harvest("spinach", &vermont, day(september, 28), Way::Direct),
            ),
            26.0,
        ),
        row(
            "spinach sown 4 Oct, unheated house, ready shortly before Christmas",
            vermont_trials,
            unit,
            (
                78.0,
                days_to_harvest("spinach", &vermont, day(october, 4), Way::Direct),
            ),
            105.0,
        ),
        because(
            "a fortnight's cliff: in this assumed house the plants just make it before the dark",
            row(
                "spinach set out 20 Oct, unheated tunnel, first cut in spring",
                "Univ. of New Hampshire 2014-16 (read); climate assumed",
                unit,
                (
                    (tray_days + 141) as f64,
                    days_to_harvest("spinach", &durham, set_out, Way::Tray),
                ),
                -42.0,
            ),
        ),
        because(
            "the file's spacing closes late in autumn; the trial's rows were close",
            row(
                "kale sown 16 Oct, unheated tunnel, first cut after 8 to 14 weeks",
                "Heyduck et al. 2020 HortTechnology 30:570 (read); climate assumed",
                unit,
                (
                    77.0,
                    days_to_harvest("kale", &new_mexico, day(october, 16), Way::Direct),
                ),
                18.0,
            ),
        ),
    ]
}

/// Days from setting out (tray) or sowing to a crop that has run to seed.
fn days_to_seed(id: &str, climate: &BedClimate, day: usize, way: Way) -> f64 {
    let crop = crop(id);
    let growth = grow(crop, &prepare(crop, climate), 0, Sowing { day, way });
    let from = growth.transplant_day.unwrap_or(day);
    growth
        .loss
        .filter(|loss| loss.cause == Cause::Bolts)
        .map_or(f64::NAN, |loss| (loss.day - from) as f64)
}

/// Yield of the second of two steady temperatures against the first.
fn yield_ratio(id: &str, first_c: f64, second_c: f64) -> f64 {
    let kg_m2 = |mean_c| {
        let crop = crop(id);
        let climate = Made::constant(mean_c, 0.0, 30.0, 11.0);
        let (day, way) = (0, Way::Tray);
        grow(crop, &prepare(crop, &climate), 0, Sowing { day, way }).kg_m2()
    };
    kg_m2(second_c) / kg_m2(first_c)
}

fn flowering_observations() -> Vec<Observation> {
    // Nursery and greenhouse as stated: 15.5 h a day, 17 to 37 °C.
    let chiba = Made::constant(27.0, 10.0, 30.0, 15.5);
    // Corvallis, Oregon: 11.5 °C over the year, 7 K either way, 6 K over the day (assumed).
    let corvallis = outdoors(11.5, 7.0, 6.0, 44.6, 5.0);
    // Denmark: 8.5 °C over the year, 8 K either way, 4 K over the day (assumed).
    let denmark = outdoors(8.5, 8.0, 4.0, 56.0, 25.0);
    vec![
        row(
            "spinach raised under 15.5 h, past use after setting out (85 %)",
            "Chun et al. 2000, Acta Hort. 514 (read)",
            "days",
            (14.0, days_to_seed("spinach", &chiba, 0, Way::Tray)),
            0.0,
        ),
        row(
            "cilantro sown on 1 April in Oregon, bolts after 8 to 10 weeks",
            "garden page after Myers, Oregon State Univ. (read); climate assumed",
            "days from sowing",
            (63.0, days_to_seed("cilantro", &corvallis, 90, Way::Direct)),
            -3.0,
        ),
        row(
            "pak choi sown mid April in Denmark, blossoms after 56 to 60 days",
            "seed grower in Denmark (read); climate assumed",
            "days from sowing",
            (58.0, days_to_seed("pak_choi", &denmark, 104, Way::Direct)),
            45.0,
        ),
        row(
            "lettuce at a steady 25 against 13 °C",
            "reciprocal transfers between 13 and 25 °C (read): 46 % more fresh mass at 13 °C; as picked",
            "ratio of mass",
            (1.0 / 1.46, yield_ratio("lettuce_head", 13.0, 25.0)),
            -12.0,
        ),
    ]
}

#[test]
fn published_observations_with_their_error() {
    let mut all = growth_observations();
    all.extend(light_observations());
    all.extend(dated_observations());
    all.extend(flowering_observations());
    assert!(all.len() >= 20);
    println!(
        "{:68} {:>8} {:>8} {:>7} {:>7}  unit; source",
        "observation", "observed", "model", "before", "now"
    );
    for one in &all {
        println!(
            "{:68} {:8.2} {:8.2} {:+5.0} % {:+5.0} %  {}; {}{}",
            one.what,
            one.observed,
            one.model,
            one.before_pct,
            one.error_pct(),
            one.unit,
            one.source,
            if one.reason.is_empty() {
                String::new()
            } else {
                format!(" [{}]", one.reason)
            }
        );
    }
    for one in &all {
        assert!(
            one.model.is_finite() && one.model > 0.0,
            "{}: no answer",
            one.what
        );
        let worse = one.error_pct().abs() - one.before_pct.abs();
        assert!(
            worse <= WORSE_BY || !one.reason.is_empty(),
            "{}: {:+.0} %, before {:+.0} %",
            one.what,
            one.error_pct(),
            one.before_pct
        );
    }
    for one in all.iter().filter(|one| one.error_pct().abs() > FAR_PCT) {
        assert!(
            FAR_OFF.contains(&one.what),
            "{}: {:+.0} %",
            one.what,
            one.error_pct()
        );
    }
    let mean_pct = all.iter().map(|one| one.error_pct().abs()).sum::<f64>() / all.len() as f64;
    assert!(mean_pct <= MEAN_PCT, "{mean_pct:.1} % off in the mean");
}

/// Garden diary 2016: double tunnel on a night of -25 °C outside; leaves taken at -8 °C (assumed), hardened. Mustard and scallion
/// were set by it, so six rows are a check.
#[test]
fn one_hard_night_in_a_double_tunnel() {
    const LEAVES_C: f64 = -8.0;
    let seen = [
        ("spinach", true),
        ("kale", true),
        ("mustard_greens", true),
        ("scallion", true),
        ("cilantro", true),
        ("lettuce_leaf", false),
        ("arugula", false),
        ("chard", false),
    ];
    for (id, unhurt) in seen {
        let lives = LEAVES_C >= crop(id).cold.kill_c;
        assert_eq!(lives, unhurt, "{id}");
    }
}
