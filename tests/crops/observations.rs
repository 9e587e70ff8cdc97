//! Published observations that set no parameter: what the model makes of them, with the error, nothing tuned.
//!
//! Where the source does not state the climate it is assumed, and the assumption is written beside the figure. The
//! table is printed (run with output shown); the test asks that every observation is answered and that two of three lie
//! within a third. The largest errors stay in the table: they say where not to trust the model.

use crate::made::{Made, crop, outdoors, unheated};
use bedyear::crops::response::{growing_degrees, light_factor, mass_share};
use bedyear::crops::{Cause, Crop, Sowing, Way, grow, prepare};
use bedyear::profile::BedClimate;

struct Observation {
    what: &'static str,
    source: &'static str,
    unit: &'static str,
    observed: f64,
    model: f64,
}

impl Observation {
    fn error_pct(&self) -> f64 {
        100.0 * (self.model / self.observed - 1.0)
    }
}

/// Days from sowing to first harvest: for leaf crops the first cut.
fn days_to_harvest(id: &str, climate: &BedClimate, day: usize, way: Way) -> f64 {
    days_of(crop(id), climate, day, way)
}

/// Days from sowing to the whole plant.
fn days_to_whole_plant(id: &str, climate: &BedClimate) -> f64 {
    let mut whole = crop(id).clone();
    whole.timing.first_cut_share = 1.0;
    days_of(&whole, climate, 0, Way::Direct)
}

fn days_of(crop: &Crop, climate: &BedClimate, day: usize, way: Way) -> f64 {
    let growth = grow(crop, &prepare(crop, climate), 0, Sowing { day, way });
    growth
        .ready_day
        .map_or(f64::NAN, |ready| (ready - day) as f64)
}

/// Ratio of daily growth at two steady temperatures.
fn growth_ratio(id: &str, low_c: f64, high_c: f64) -> f64 {
    let temperature = &crop(id).temperature;
    growing_degrees(temperature, high_c) / growing_degrees(temperature, low_c)
}

/// Ratio of mass at a fixed day under two lights, for plants that started the trial with `start` of their growth sum
/// and end it full grown in the brighter light.
fn light_ratio(id: &str, start: f64, low: f64, high: f64) -> f64 {
    let light = &crop(id).light;
    let dimmed = start + (1.0 - start) * light_factor(light, low) / light_factor(light, high);
    mass_share(1.0) / mass_share(dimmed)
}

/// Transplants begin a trial with about a quarter of their growth sum (assumption: three of eleven weeks).
const TRANSPLANT_START: f64 = 0.25;

fn growth_observations() -> Vec<Observation> {
    let bierhuizen = "Bierhuizen, Ebbens & Koomen 1973, Neth. J. Agric. Sci. 21 (read); means from 600 degree-days";
    let adams = "Adams, Cockshull & Cave 2001, Ann. Bot. 88:869 (read)";
    let mortensen =
        "Mortensen 2014, AJPS (read); fresh mass at a fixed day set beside daily growth";
    let ripening = |mean_c: f64| {
        let tomato = crop("tomato_indeterminate");
        let days = tomato.timing.set_to_ripe_days.unwrap();
        days * tomato.best_k() / growing_degrees(&tomato.temperature, mean_c)
    };
    let one = |what, source, unit, observed, model| Observation {
        what,
        source,
        unit,
        observed,
        model,
    };
    vec![
        one(
            "lettuce, ground cover at 12.8 against 18.2 °C",
            bierhuizen,
            "ratio of days",
            47.0 / 33.0,
            growth_ratio("lettuce_leaf", 12.8, 18.2),
        ),
        one(
            "lettuce, ground cover at 11.1 against 18.2 °C",
            bierhuizen,
            "ratio of days",
            54.0 / 33.0,
            growth_ratio("lettuce_leaf", 11.1, 18.2),
        ),
        one(
            "lettuce, seed to 150 g at 24/19 °C, 17 mol",
            "Brechner & Both, lettuce handbook (from memory)",
            "days",
            35.0,
            days_to_whole_plant("lettuce_leaf", &Made::constant(21.5, 2.5, 17.0, 12.0)),
        ),
        one(
            "lettuce, field, cool season (11 °C, 20 mol assumed)",
            "Horticulturae 6(1):7 (read): up to 130 days in winter",
            "days",
            130.0,
            days_to_whole_plant("lettuce_head", &Made::constant(11.0, 6.0, 20.0, 11.0)),
        ),
        one(
            "tomato, flower to ripe at 26 °C",
            adams,
            "days",
            42.0,
            ripening(26.0),
        ),
        one(
            "basil, 18 to 27 °C",
            mortensen,
            "ratio of mass",
            2.06,
            growth_ratio("basil", 18.0, 27.0),
        ),
        one(
            "arugula, 18 to 27 °C",
            mortensen,
            "ratio of mass",
            1.62,
            growth_ratio("arugula", 18.0, 27.0),
        ),
        one(
            "cilantro, 18 to 24 °C",
            mortensen,
            "ratio of mass",
            1.41,
            growth_ratio("cilantro", 18.0, 24.0),
        ),
        one(
            "cucumber, emergence at 20 °C",
            "Maynard, Purdue 2007, after Taylor 1997 (read): 194 F-days above 54 F",
            "days",
            194.0 / 14.0,
            1.0 / crop("cucumber")
                .emergence
                .as_ref()
                .unwrap()
                .rate_per_day(20.0),
        ),
    ]
}

fn light_observations() -> Vec<Observation> {
    let herbs = "Currey, Walters & Flax 2019, Agronomy 9:389 (read)";
    let lettuce = "Frontiers Plant Sci. 2021, 592171 (read): 29 and 27 g/mol";
    let one = |what, source, observed, model| Observation {
        what,
        source,
        unit: "ratio of mass",
        observed,
        model,
    };
    let start = TRANSPLANT_START;
    vec![
        one(
            "lettuce, 11.5 to 23 mol",
            lettuce,
            27.0 * 23.0 / (29.0 * 11.5),
            light_ratio("lettuce_leaf", start, 11.5, 23.0),
        ),
        one(
            "cilantro, 7 to 18 mol",
            herbs,
            2.54,
            light_ratio("cilantro", start, 7.0, 18.0),
        ),
        one(
            "dill, 7 to 18 mol",
            herbs,
            3.41,
            light_ratio("dill", start, 7.0, 18.0),
        ),
        one(
            "parsley, 7 to 18 mol",
            herbs,
            2.20,
            light_ratio("parsley", start, 7.0, 18.0),
        ),
    ]
}

fn dated_observations() -> Vec<Observation> {
    // Northern Vermont: Boston less 4 K; unheated house 4 K warmer on the mean, 1.6 times the swing, 60 % of the light
    // (all assumed). Northern New Mexico: Golden, 2 K warmer and 1.4 times as bright (Albuquerque has about 3 kWh/m2
    // in December, from memory), the same house.
    let vermont = unheated("boston", -4.0, 4.0, 1.6, 0.6);
    let new_mexico = unheated("golden", 2.0, 4.0, 1.4, 0.84);
    let day = |month_start: usize, day: usize| month_start + day - 1;
    let (september, october) = (243, 273);
    let one = |what, source, observed, model| Observation {
        what,
        source,
        unit: "days from sowing",
        observed,
        model,
    };
    // Durham, New Hampshire: Boston less 1.5 K; the same house. Spring is taken to begin on 10 March.
    let durham = unheated("boston", -1.5, 4.0, 1.6, 0.6);
    let tray_days = crop("spinach").tray_days();
    let set_out = day(october, 20) - tray_days;
    let vermont_trials = "High Mowing Seeds, northern Vermont (read); climate assumed";
    vec![
        one(
            "spinach sown 15 Sep, unheated house, first cut mid November",
            vermont_trials,
            61.0,
            days_to_harvest("spinach", &vermont, day(september, 15), Way::Direct),
        ),
        one(
            "spinach sown 28 Sep, unheated house, ready shortly before Christmas",
            vermont_trials,
            84.0,
            days_to_harvest("spinach", &vermont, day(september, 28), Way::Direct),
        ),
        one(
            "spinach sown 4 Oct, unheated house, ready shortly before Christmas",
            vermont_trials,
            78.0,
            days_to_harvest("spinach", &vermont, day(october, 4), Way::Direct),
        ),
        one(
            "spinach set out 20 Oct, unheated tunnel, first cut in spring",
            "Univ. of New Hampshire 2014-16 (read); climate assumed",
            (tray_days + 141) as f64,
            days_to_harvest("spinach", &durham, set_out, Way::Tray),
        ),
        one(
            "kale sown 16 Oct, unheated tunnel, first cut after 8 to 14 weeks",
            "Heyduck et al. 2020 HortTechnology 30:570 (read); climate assumed",
            77.0,
            days_to_harvest("kale", &new_mexico, day(october, 16), Way::Direct),
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
        let sowing = Sowing {
            day: 0,
            way: Way::Tray,
        };
        grow(crop, &prepare(crop, &climate), 0, sowing).kg_m2()
    };
    kg_m2(second_c) / kg_m2(first_c)
}

fn flowering_observations() -> Vec<Observation> {
    let one = |what, source, unit, observed, model| Observation {
        what,
        source,
        unit,
        observed,
        model,
    };
    // Nursery and greenhouse as stated: 15.5 h a day, 17 to 37 °C.
    let chiba = Made::constant(27.0, 10.0, 30.0, 15.5);
    // Corvallis, Oregon: 11.5 °C over the year, 7 K either way, 6 K over the day (assumed).
    let corvallis = outdoors(11.5, 7.0, 6.0, 44.6, 5.0);
    // Denmark: 8.5 °C over the year, 8 K either way, 4 K over the day (assumed).
    let denmark = outdoors(8.5, 8.0, 4.0, 56.0, 25.0);
    vec![
        one(
            "spinach raised under 15.5 h, past use after setting out (85 %)",
            "Chun et al. 2000, Acta Hort. 514 (read)",
            "days",
            14.0,
            days_to_seed("spinach", &chiba, 0, Way::Tray),
        ),
        one(
            "cilantro sown on 1 April in Oregon, bolts after 8 to 10 weeks",
            "garden page after Myers, Oregon State Univ. (read); climate assumed",
            "days from sowing",
            63.0,
            days_to_seed("cilantro", &corvallis, 90, Way::Direct),
        ),
        one(
            "pak choi sown mid April in Denmark, blossoms after 56 to 60 days",
            "seed grower in Denmark (read); climate assumed",
            "days from sowing",
            58.0,
            days_to_seed("pak_choi", &denmark, 104, Way::Direct),
        ),
        one(
            "lettuce at a steady 25 against 13 °C",
            "reciprocal transfers between 13 and 25 °C (read): 46 % more fresh mass at 13 °C; as picked",
            "ratio of mass",
            1.0 / 1.46,
            yield_ratio("lettuce_head", 13.0, 25.0),
        ),
    ]
}

#[test]
fn published_observations_with_their_error() {
    let mut all = growth_observations();
    all.extend(light_observations());
    all.extend(dated_observations());
    all.extend(flowering_observations());
    assert!(all.len() >= 10);
    println!(
        "{:66} {:>8} {:>8} {:>7}  unit; source",
        "observation", "observed", "model", "error"
    );
    for one in &all {
        println!(
            "{:66} {:8.2} {:8.2} {:+6.0} %  {}; {}",
            one.what,
            one.observed,
            one.model,
            one.error_pct(),
            one.unit,
            one.source
        );
        assert!(
            one.model.is_finite() && one.model > 0.0,
            "{}: no answer",
            one.what
        );
    }
    let near = all
        .iter()
        .filter(|one| one.error_pct().abs() <= 33.0)
        .count();
    assert!(
        3 * near >= 2 * all.len(),
        "only {near} of {} within a third",
        all.len()
    );
}

/// Light response of lettuce: right direction, within 20 % (Frontiers Plant Sci. 2021, 592171).
#[test]
fn lettuce_answers_light_within_a_fifth() {
    let one = &light_observations()[0];
    assert!(
        one.model > 1.0 && one.error_pct().abs() < 20.0,
        "{} of {}",
        one.model,
        one.observed
    );
}

/// Garden diary 2016: double tunnel on a night of -25 °C outside; leaves taken at -8 °C (assumed), hardened. The
/// growers' list, which sets the killing temperatures, is another source; two of eight disagree.
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
    let agree = seen
        .iter()
        .filter(|(id, unhurt)| {
            let lives = LEAVES_C >= crop(id).cold.kill_c;
            println!(
                "{id:16} seen {} model {}",
                if *unhurt { "unhurt" } else { "hurt" },
                if lives { "alive" } else { "dead" }
            );
            lives == *unhurt
        })
        .count();
    assert!(agree >= 6, "{agree} of {}", seen.len());
}
