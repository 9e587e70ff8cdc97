//! Payback against published tables and a worked example.

use bedyear::value::{
    Investment, capital_recovery, payback, single_present_value, uniform_present_value,
};

fn near(got: f64, expected: f64, half_digit: f64, what: &str) {
    assert!(
        (got - expected).abs() <= half_digit,
        "{what}: {got}, published {expected}"
    );
}

fn even(cost: f64, saving: f64, years: u32, rate: f64) -> Investment {
    Investment {
        cost,
        net_saving: saving,
        life_years: years,
        renewals: Vec::new(),
        discount_rate: rate,
        output_kg: 0.0,
        running_cost: 0.0,
    }
}

/// Ross, Westerfield & Jordan, Fundamentals of Corporate Finance, ordinary and discounted payback (from memory): 300 that bring
/// 100 a year for five years are back in 3 years, and at 12.5 % in 4.
#[test]
fn ordinary_and_discounted_payback() {
    let result = payback(&even(300.0, 100.0, 5, 0.125));
    near(result.simple_years.unwrap(), 3.0, 1e-9, "simple payback");
    near(
        result.discounted_years.unwrap(),
        4.0,
        0.05,
        "discounted payback",
    );
}

/// Tables of factors to the printed digit: Blank & Tarquin, Engineering Economy, discrete cash flow, P/F, P/A and A/P.
#[test]
fn discount_factors() {
    let table = include_str!("../reference/value_discount_factors.csv");
    for row in csv::Reader::from_reader(table.as_bytes()).deserialize() {
        let (rate, years, single, uniform, recovery, _source): (f64, f64, f64, f64, f64, String) =
            row.unwrap();
        near(
            single_present_value(rate, years),
            single,
            5e-5,
            "single present value",
        );
        near(
            uniform_present_value(rate, years),
            uniform,
            5e-5,
            "uniform present value",
        );
        near(
            capital_recovery(rate, years),
            recovery,
            5e-6,
            "capital recovery",
        );
    }
}

/// Computed from the same formulas: 20,000 once, 1,200 a year for 20 years at 3 %: net present value -2,147.03,
/// discounted payback 23.45 years (beyond the life, so none within it), simple 16.667; with a cover renewed for 400 in
/// years 4, 8, 12 and 16: -3,348.01.
#[test]
fn a_building_with_and_without_new_covers() {
    let mut investment = even(20_000.0, 1_200.0, 20, 0.03);
    let plain = payback(&investment);
    near(
        plain.net_present_value,
        -2_147.03,
        0.005,
        "net present value",
    );
    near(
        plain.simple_years.unwrap(),
        16.667,
        0.0005,
        "simple payback",
    );
    assert_eq!(plain.discounted_years, None);
    investment.life_years = 30;
    near(
        payback(&investment).discounted_years.unwrap(),
        23.45,
        0.005,
        "discounted payback",
    );
    investment.life_years = 20;
    investment.renewals = [4, 8, 12, 16].map(|year| (year, 400.0)).to_vec();
    near(
        payback(&investment).net_present_value,
        -3_348.01,
        0.005,
        "with covers",
    );
}

/// Levelised cost by Short, Packey & Holt 1995 (formula from memory): 20,000 over 20 years at 3 %, 150 a year running,
/// 180 kg a year: 8.3017 a kg.
#[test]
fn levelised_cost_per_kg() {
    let mut investment = even(20_000.0, 0.0, 20, 0.03);
    investment.running_cost = 150.0;
    investment.output_kg = 180.0;
    near(
        payback(&investment).levelised_cost_per_kg.unwrap(),
        8.3017,
        0.00005,
        "a kg",
    );
}

#[test]
fn nothing_saved_is_never_paid_back() {
    let result = payback(&even(100.0, 0.0, 10, 0.0));
    assert_eq!((result.simple_years, result.discounted_years), (None, None));
    assert_eq!(result.net_present_value, -100.0);
}

/// A film of 4 years on a building of 10: renewed in years 4 and 8, not at the end. A film of 2.5 years on one of 6: in 3
/// (2.5 rounded up) and 5.
#[test]
fn a_cover_is_renewed_when_its_life_ends() {
    use bedyear::value::{CostKind, CoverRenewal, Money, OwnCosts};
    let household = bedyear::value::Household::of_size(2, 2025);
    let market = bedyear::value::market(&household).unwrap();
    let mut year = super::year::empty_year(&household, &market);
    year.value = Money::from_minor(50_000);
    year.costs = vec![
        (CostKind::Seed, Money::from_minor(3_000)),
        (CostKind::Cover, Money::from_minor(10_000)),
    ];
    let own = |life_years, of_cover| OwnCosts {
        cover: Some(CoverRenewal {
            cost: 100.0,
            life_years: of_cover,
        }),
        life_years,
        discount_rate: 0.03,
        ..OwnCosts::default()
    };
    let film = Investment::of_building(&year, &own(10.0, 4.0), 2_000.0);
    assert_eq!(film.renewals, [(4, 100.0), (8, 100.0)]);
    assert_eq!((film.net_saving, film.life_years), (470.0, 10));
    assert_eq!(film.running_cost, 30.0);
    let short = Investment::of_building(&year, &own(6.0, 2.5), 2_000.0);
    assert_eq!(short.renewals, [(3, 100.0), (5, 100.0)]);
}
