//! What it would take: plain answers, by hand.

use bedyear::value::{
    Harvest, Household, Market, OwnCosts, Running, Today, WeatherYear, YearInput, YearValue,
    market, serve, tariff, what_it_takes, year,
};

fn kale_year(household: &Household, market: &Market) -> YearValue {
    let foods = serve(
        market,
        &[Harvest {
            food: "kale".into(),
            kg: vec![1.0; 52],
            keeps_weeks: 0,
        }],
    )
    .unwrap();
    let years = [WeatherYear {
        foods,
        running: Running::default(),
    }];
    let tariff = tariff(household, &OwnCosts::default()).unwrap();
    let input = YearInput {
        market,
        years: &years,
        tariff: &tariff,
        fixed: &[],
        work_h: [0.0; 12],
        pick_h_per_kg: 0.0,
        not_counted: &[],
    };
    year(&input).unwrap()
}

/// A third of the food bill cannot come from fresh produce on the average basket: fresh vegetables and fruit are 13.5 % of
/// US food at home (BLS Consumer Expenditure Survey 2017).
#[test]
fn a_third_of_the_groceries_cannot_be_grown() {
    let household = Household::of_size(4, 2025);
    let market = market(&household).unwrap();
    let year = kale_year(&household, &market);
    let today = Today {
        market: &market,
        year: &year,
        bed_area_m2: 10.0,
        eaters: 4.0,
    };
    let answer = what_it_takes(&today, 1.0 / 3.0).unwrap();
    assert_eq!(answer.bed_area_m2, None);
    assert!(answer.appetite_factor.unwrap() > 2.0);
    assert!(
        answer.sentences[1].starts_with("No bed area does it"),
        "{:?}",
        answer.sentences
    );
}

/// Groceries of 100 a month, 24 a year from the beds: 5 % is 60, so 2.5 times the beds; dearer produce by a factor f makes
/// 24 f = 0.05 (1200 + 24 (f - 1)), f = 2.579; today's 24 cover 5 % of the bill of 0.4 of one eater.
#[test]
fn levers_by_hand() {
    let mut household = Household::of_size(1, 2025);
    household.groceries_month = Some(100.0);
    let market = market(&household).unwrap();
    let mut year = kale_year(&household, &market);
    year.value = bedyear::value::Money::from_minor(2_400);
    let today = Today {
        market: &market,
        year: &year,
        bed_area_m2: 10.0,
        eaters: 1.0,
    };
    let answer = what_it_takes(&today, 0.05).unwrap();
    assert!((answer.bed_area_m2.unwrap() - 25.0).abs() < 1e-9);
    assert!((answer.price_factor.unwrap() - 58.8 / 22.8).abs() < 1e-9);
    assert!((answer.eaters.unwrap() - 0.4).abs() < 1e-9);
    assert!(!answer.reached);
    assert!(what_it_takes(&today, 0.02).unwrap().reached);
    assert!(what_it_takes(&today, 1.5).is_err());
}
