//! Synthetic truth: a house with known factors lives through a winter, a poor logger looks on, the factors are found.

use std::fmt::Write;

use bedyear::calendar::{HOURS_PER_DAY, date_of_day};
use bedyear::house::{Tuned, simulate, simulate_years_chained};
use bedyear::study::{Job, SideFiles, Stamps, TuneQuestion, TuneStudy, Verdict, run_options, tune};
use bedyear::tune::logger::{Clock, Options, Record, Wanted, read};
use chrono::{Duration, NaiveDate};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};

/// A house with everything that is fitted: leaks that grow with the wind, heavy things, a bare edge, a store.
const HOUSE: &str = r#"
[site]
place = "Helena"

[year]
plan = 2026

[building]
shape = "gable"
length = "12 m"
width = "6 m"
low_wall = "1.5 m"
glazing = "double-film"
back = "R-20"
wall_capacity = "80 kJ/m2K"
beds = 4

[air]
infiltration = "0.3 /h"
infiltration_wind = 0.15

[vents]
open_above = "24 C"

[store]
pipes = 16
pipe_length = "10 m"
pipe_diameter = "0.1 m"
depths = ["0.5 m", "0.9 m"]
flow = "0.25 m3/s"
fan_power = "120 W"
charge_above = "16 C"
draw_below = "8 C"

[[heavy]]
name = "barrels"
water = "2 m3"
area = "30 m2"
"#;

fn job() -> Job {
    let mut project = bedyear::file::parse("house.toml", HOUSE).unwrap();
    project.planning.weather_years = 1;
    Job::new(project, &SideFiles::default()).unwrap()
}

const TRUTH: [f64; Tuned::COUNT] = [1.35, 0.88, 1.25, 1.4, 0.75];
/// Noise of the logger, K; share of readings lost; hours by which its clock is ahead.
const NOISE_K: f64 = 0.5;
const LOST: f64 = 0.1;
const AHEAD_H: i64 = 1;

/// The logger's CSV of days `days` (from 0 = 1 January 2026, beyond the year's end too) of a house with known factors.
fn logger_csv(job: &Job, truth: &Tuned, days: std::ops::Range<usize>) -> String {
    let house = truth.apply(&job.project.house);
    let (site, options) = (&job.site, run_options(job));
    let run = simulate(&house, &site.typical, &job.sun, &site.ground, &options).unwrap();
    let two = [site.typical.clone(), site.typical.clone()];
    let sky = (&job.sun, &site.ground);
    let years = simulate_years_chained(&house, &two, sky, &run).unwrap();
    let air: Vec<f64> = years
        .iter()
        .flat_map(|year| year.air_c.iter().copied())
        .collect();
    let mut random = ChaCha8Rng::seed_from_u64(5);
    let noise = Normal::new(0.0, NOISE_K).unwrap();
    let mut text = String::from("stamp,temp in C\n");
    for hour in days.start * HOURS_PER_DAY..days.end * HOURS_PER_DAY {
        let day: NaiveDate = date_of_day(2026, hour / HOURS_PER_DAY);
        for minute in (5..60).step_by(10) {
            let reading = air[hour] + noise.sample(&mut random);
            if random.random::<f64>() < LOST {
                continue;
            }
            let moment = day
                .and_hms_opt((hour % HOURS_PER_DAY) as u32, minute, 0)
                .unwrap();
            let shown = moment + Duration::hours(AHEAD_H);
            writeln!(text, "{},{reading:.2}", shown.format("%Y-%m-%d %H:%M")).unwrap();
        }
    }
    text
}

fn record(job: &Job, text: &str) -> Record {
    let options = Options {
        wanted: Wanted::default(),
        clock: Clock::Standard,
        utc_offset_h: job.site.place.utc_offset_h,
        order: None,
        fahrenheit: None,
    };
    read("temps.csv", text, &options).unwrap()
}

fn question(record: Record) -> TuneQuestion {
    TuneQuestion {
        record,
        held: Vec::new(),
        held_out: 0.25,
        shift_h: None,
        stamps: None,
        own_weather: true,
    }
}

fn table(study: &TuneStudy) -> String {
    let mut text = String::new();
    for (at, verdict) in study.verdicts.iter().enumerate() {
        writeln!(
            text,
            "{} {:?} truth {}",
            Tuned::NAMES[at],
            verdict,
            TRUTH[at]
        )
        .unwrap();
    }
    writeln!(
        text,
        "{:?}",
        study
            .certainty
            .as_ref()
            .map(|sure| (sure.inflation, sure.condition))
    )
    .unwrap();
    for row in study.certainty.iter().flat_map(|sure| &sure.correlation) {
        writeln!(text, "{row:.2?}").unwrap();
    }
    writeln!(
        text,
        "{:?} {:?} total {:?} shift {}",
        study.train, study.kept_out, study.total, study.shift_h
    )
    .unwrap();
    text
}

#[test]
fn known_factors_come_back_from_a_poor_logger() {
    let job = job();
    let truth = Tuned::from(TRUTH);
    // From October on for a year, every ten minutes.
    let text = logger_csv(&job, &truth, 273..365 + 273);
    let started = std::time::Instant::now();
    let study = tune(&job, &question(record(&job, &text))).unwrap();
    println!("{}{:.1} s", table(&study), started.elapsed().as_secs_f64());
    assert_eq!(study.shift_h, -(AHEAD_H as f64));
    let mut inside = 0;
    for (verdict, truth) in study.verdicts.iter().zip(TRUTH) {
        let Verdict::Fitted { factor, low, high } = *verdict else {
            panic!("{}", table(&study));
        };
        assert!((factor / truth - 1.0).abs() < 0.05, "{}", table(&study));
        assert!(low < factor && factor < high);
        inside += usize::from(low <= truth && truth <= high);
    }
    // Each of five ranges of 90 % misses one time in ten: three misses together are one chance in a hundred.
    assert!(inside >= 3, "{}", table(&study));
    // Five or six readings make an hour; what is left of their noise is all that is left of the residuals.
    let hourly_k = NOISE_K / (6.0 * (1.0 - LOST)).sqrt();
    let kept_out = study.kept_out.unwrap();
    assert!(kept_out.rms_after_k < 1.1 * hourly_k, "{kept_out:?}");
    let train = study.train;
    assert!(train.rms_after_k < 1.05 * hourly_k && train.rms_after_k < train.rms_before_k);
}

/// Twice the leaks and hardly more loss through the faces, a logger with one row an hour stamped at its begin: leaks and faces
/// are told apart, and so are stamps and clock.
#[test]
fn leaks_are_told_from_faces_and_stamps_from_the_clock() {
    let job = job();
    let truth = Tuned::from([2.0, 1.04, 1.0, 1.0, 1.0]);
    let text = logger_csv(&job, &truth, 300..365);
    let mut hourly = String::from("stamp,temp in C\n");
    let mut rows: std::collections::BTreeMap<String, (f64, f64)> = Default::default();
    for line in text.lines().skip(1) {
        let (stamp, reading) = line.split_once(',').unwrap();
        let row = rows.entry(format!("{}:00", &stamp[..13])).or_default();
        row.0 += reading.parse::<f64>().unwrap();
        row.1 += 1.0;
    }
    for (stamp, (sum, count)) in rows {
        writeln!(hourly, "{stamp},{:.2}", sum / count).unwrap();
    }
    let study = tune(&job, &question(record(&job, &hourly))).unwrap();
    println!("{}", table(&study));
    // A clock an hour ahead with stamps at the begin is half an hour ahead in all, which is also a stamp at the end.
    assert_eq!((study.stamps, study.shift_h), (Some(Stamps::End), 0.0));
    for (at, truth) in [(0, 2.0), (1, 1.04)] {
        let Verdict::Fitted { factor, low, high } = study.verdicts[at] else {
            panic!("{}", table(&study));
        };
        assert!(low <= truth && truth <= high, "{}", table(&study));
        assert!((factor / truth - 1.0).abs() < 0.1, "{}", table(&study));
    }
    let total = study.total.unwrap();
    assert!(total.low_w_k < total.after_w_k && total.after_w_k < total.high_w_k);
}

/// A logger that has the air and the sunlight outside too, in a winter of which nobody has a weather file: with the sunlight the
/// simulation comes nearer to the record, and the heat loss nearer to the truth.
#[test]
fn sunlight_of_the_logger_stands_for_that_of_usual_years() {
    let job = job();
    let truth = Tuned::from([1.0, 1.25, 1.0, 1.0, 1.0]);
    let house = truth.apply(&job.project.house);
    let (site, options) = (&job.site, run_options(&job));
    let weather = bedyear::study::weather_years(&job).year(0).into_owned();
    let run = simulate(&house, &site.typical, &job.sun, &site.ground, &options).unwrap();
    let two = [site.typical.clone(), weather.clone()];
    let sky = (&job.sun, &site.ground);
    let years = simulate_years_chained(&house, &two, sky, &run).unwrap();
    let mut text = String::from("stamp,inside temp in C,outside temp in C,solar W/m2\n");
    for hour in 0..42 * HOURS_PER_DAY {
        let day: NaiveDate = date_of_day(2026, hour / HOURS_PER_DAY);
        let clock = (hour % HOURS_PER_DAY) as u32;
        let stamp = day.and_hms_opt(clock, 30, 0).unwrap();
        writeln!(
            text,
            "{},{:.2},{:.2},{:.1}",
            stamp.format("%Y-%m-%d %H:%M"),
            years[1].air_c[hour],
            weather.temp_air_c[hour],
            weather.ghi_w_m2[hour]
        )
        .unwrap();
    }
    let [with, without] = [text.clone(), text.replace("solar", "lux")].map(|text| {
        let question = TuneQuestion {
            held: vec![0, 2, 3, 4],
            shift_h: Some(0.0),
            stamps: Some(Stamps::Middle),
            own_weather: false,
            ..question(record(&job, &text))
        };
        let study = tune(&job, &question).unwrap();
        println!("{}", table(&study));
        study
    });
    let loss = |study: &TuneStudy| match study.verdicts[1] {
        Verdict::Fitted { factor, .. } | Verdict::Together { factor, .. } => factor,
        _ => panic!("{}", table(study)),
    };
    assert!(with.train.rms_after_k < 0.7 * without.train.rms_after_k);
    let off = |study: &TuneStudy| (loss(study) / 1.25 - 1.0).abs();
    assert!(off(&with) < 0.05, "{}", loss(&with));
    assert!(
        off(&with) <= off(&without) + 0.01,
        "{} {}",
        loss(&with),
        loss(&without)
    );
}

#[test]
fn a_short_record_or_one_without_weather_is_refused() {
    let job = job();
    let text = "time,temp C\n2026-01-01 00:30,5\n2026-01-01 01:30,5\n";
    let refused = |question: &TuneQuestion| tune(&job, question).unwrap_err();
    let error = refused(&question(record(&job, text)));
    assert!(
        error.is_input() && error.to_string().contains("hours of readings"),
        "{error}"
    );
    let mut blind = question(record(&job, text));
    blind.own_weather = false;
    let error = refused(&blind);
    assert!(
        error.is_input() && error.to_string().contains("--outdoor-column"),
        "{error}"
    );
}
