//! Degree-days against published tables and worked examples, to the printed digit.

use bedyear::crops::degree_days::{
    Thresholds, clamped_average, double_sine, double_triangle, hourly, reduced_maximum,
    simple_average, single_sine, single_triangle,
};

fn read<T: serde::de::DeserializeOwned>(text: &str) -> Vec<T> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    reader.deserialize().map(|row| row.unwrap()).collect()
}

#[derive(serde::Deserialize)]
struct Zalom {
    case: String,
    min_f: f64,
    max_f: f64,
    next_min_f: f64,
    single_triangle: f64,
    double_triangle: Option<f64>,
    single_sine: f64,
    double_sine: f64,
}

#[test]
fn the_verification_table_of_zalom_and_others() {
    let limits = Thresholds {
        lower: 55.0,
        upper: 90.0,
    };
    let rows: Vec<Zalom> = read(include_str!("../reference/crops_degree_days_zalom.csv"));
    assert_eq!(rows.len(), 12);
    for row in rows {
        let check = |what: &str, got: f64, printed: f64| {
            assert!(
                (got - printed).abs() < 0.0101,
                "{} {}/{} {what}: {got}, printed {printed}",
                row.case,
                row.min_f,
                row.max_f
            );
        };
        check(
            "single triangle",
            single_triangle(row.min_f, row.max_f, limits),
            row.single_triangle,
        );
        check(
            "single sine",
            single_sine(row.min_f, row.max_f, limits),
            row.single_sine,
        );
        check(
            "double sine",
            double_sine(row.min_f, row.max_f, row.next_min_f, limits),
            row.double_sine,
        );
        if let Some(printed) = row.double_triangle {
            check(
                "double triangle",
                double_triangle(row.min_f, row.max_f, row.next_min_f, limits),
                printed,
            );
        }
    }
}

#[derive(serde::Deserialize)]
struct Example {
    case: String,
    method: String,
    min: f64,
    max: f64,
    lower: f64,
    upper: Option<f64>,
    expected: f64,
    decimals: i32,
    source: String,
}

#[test]
fn worked_examples_to_the_printed_digit() {
    let rows: Vec<Example> = read(include_str!("../reference/crops_degree_days_examples.csv"));
    assert!(rows.len() >= 40);
    for row in rows {
        let limits = Thresholds {
            lower: row.lower,
            upper: row.upper.unwrap_or(f64::INFINITY),
        };
        let got = match row.method.as_str() {
            "simple_average" => simple_average(row.min, row.max, row.lower),
            "clamped_average" => clamped_average(row.min, row.max, limits),
            "single_sine" => single_sine(row.min, row.max, limits),
            "single_triangle" => single_triangle(row.min, row.max, limits),
            other => panic!("no method {other}"),
        };
        let half_digit = 0.5 * 10_f64.powi(-row.decimals) + 1e-9;
        assert!(
            (got - row.expected).abs() <= half_digit,
            "{}: {got}, but {} has {}",
            row.case,
            row.source,
            row.expected
        );
    }
}

#[derive(serde::Deserialize)]
struct Esparto {
    date: String,
    min_f: f64,
    max_f: f64,
    single_sine: f64,
    double_sine: f64,
    single_triangle: f64,
    double_triangle: f64,
}

/// A whole year of a public calculator: every day within 0.01, every yearly sum within a tenth.
#[test]
fn a_year_of_the_uc_ipm_calculator() {
    let limits = Thresholds {
        lower: 50.0,
        upper: 70.0,
    };
    let rows: Vec<Esparto> = read(include_str!("../reference/crops_uc_ipm_esparto_2020.csv"));
    assert_eq!(rows.len(), 366);
    let mut sums = [0.0; 2];
    for (index, row) in rows.iter().enumerate() {
        let (min, max) = (row.min_f, row.max_f);
        let sine = single_sine(min, max, limits);
        let triangle = single_triangle(min, max, limits);
        assert!(
            (sine - row.single_sine).abs() < 0.0101,
            "{}: sine {sine}",
            row.date
        );
        assert!(
            (triangle - row.single_triangle).abs() < 0.0101,
            "{}: triangle {triangle}",
            row.date
        );
        if let Some(next) = rows.get(index + 1) {
            let sine = double_sine(min, max, next.min_f, limits);
            let triangle = double_triangle(min, max, next.min_f, limits);
            assert!(
                (sine - row.double_sine).abs() < 0.0101,
                "{}: double sine {sine}",
                row.date
            );
            assert!(
                (triangle - row.double_triangle).abs() < 0.0101,
                "{}: double triangle {triangle}",
                row.date
            );
        }
        sums[0] += sine;
        sums[1] += triangle;
    }
    // Sums of the printed daily columns (computed): 4011.14 and 4093.86.
    assert!((sums[0] - 4011.14).abs() < 0.1, "{}", sums[0]);
    assert!((sums[1] - 4093.86).abs() < 0.1, "{}", sums[1]);
}

/// Analytic: many samples of a sine give the sine's own degree-days, so the hourly sum is the same measure.
#[test]
fn hourly_sums_of_a_sine_agree_with_the_sine() {
    let samples: Vec<f64> = (0..10_000)
        .map(|step| 9.0 + 13.0 * (std::f64::consts::TAU * f64::from(step) / 10_000.0).sin())
        .collect();
    let limits = Thresholds {
        lower: 4.4,
        upper: 24.0,
    };
    // Celsius check point -4/22 above 4.4 °C: 6.700 (computed by numerical integration).
    assert!((hourly(&samples, limits) - 6.700).abs() < 0.001);
    assert!((single_sine(-4.0, 22.0, limits) - 6.700).abs() < 0.001);
    assert_eq!(hourly(&[], limits), 0.0);
}

// Perry & Wehner 1996: over 32 °C the excess is taken off.
#[test]
fn cucumber_takes_the_excess_off() {
    assert_eq!(reduced_maximum(30.0, 15.5, 32.0), 14.5);
    assert_eq!(reduced_maximum(36.0, 15.5, 32.0), 12.5);
    assert_eq!(reduced_maximum(10.0, 15.5, 32.0), 0.0);
}
