//! What it would take: plain answers, by hand.

use bedyear::value::{
    Endless, Harvest, Household, Market, Money, OwnCosts, Running, ShortFood, Today, WeatherYear,
    Whole, YearInput, YearValue, allocate_food, market, tariff, what_it_takes, year,
};
use proptest::prelude::*;

fn kale_year(household: &Household, market: &Market) -> YearValue {
    let foods = allocate_food(
        market,
        &[Harvest {
            food: "kale".into(),
            kg: vec![1.0; 52],
            keeps_weeks: 0,
        }],
    );
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
    year(&input)
}

/// Beds without end that bring so much, in cents.
fn endless(cents: i64) -> Endless {
    Endless {
        value: Money::from_minor(cents),
        short: Vec::new(),
    }
}

/// One person with groceries of 100 and produce of 20 a month, 24 a year from 10 m2 of beds.
fn small() -> (Market, YearValue) {
    let mut household = Household::of_size(1, 2025);
    household.groceries_month = Some(100.0);
    household.produce_month = Some(20.0);
    let market = market(&household).unwrap();
    let mut year = kale_year(&household, &market);
    year.value_spread.p50 = 24.0;
    (market, year)
}

fn today<'a>(market: &'a Market, year: &'a YearValue, endless: Endless) -> Today<'a> {
    Today {
        market,
        year,
        endless,
        bed_area_m2: 10.0,
        eaters: 1.0,
    }
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
        endless: endless(1_000_000),
        bed_area_m2: 10.0,
        eaters: 4.0,
    };
    let answer = what_it_takes(&today, 1.0 / 3.0, Whole::Groceries).unwrap();
    assert_eq!(answer.bed_area_m2, None);
    assert_eq!(answer.eaters, None, "fewer mouths eat as much less");
    assert!(answer.appetite_factor.unwrap() > 2.0);
    assert!(
        answer.sentences[1]
            .to_string()
            .starts_with("No bed area does it"),
        "{:?}",
        answer.sentences
    );
}

/// Groceries of 1200 a year, produce of 240, 24 from the beds. 5 % is 60: 2.5 times the beds. Produce dearer by f makes the
/// bill 1200 + 240 (f - 1) and the worth 24 f; 24 f = 0.05 (960 + 240 f) gives f = 48 / 12 = 4. 24 are 5 % of the bill of
/// 0.4 people.
#[test]
fn levers_by_hand() {
    let (market, year) = small();
    let today = today(&market, &year, endless(10_000));
    let answer = what_it_takes(&today, 0.05, Whole::Groceries).unwrap();
    assert!((answer.bed_area_m2.unwrap() - 25.0).abs() < 1e-9);
    assert!((answer.price_factor.unwrap() - 4.0).abs() < 1e-9);
    assert!((answer.eaters.unwrap() - 0.4).abs() < 1e-9);
    assert_eq!(answer.appetite_factor, None, "it buys enough");
    assert!(!answer.reached);
    assert!(
        what_it_takes(&today, 0.02, Whole::Groceries)
            .unwrap()
            .reached
    );
    assert!(what_it_takes(&today, 1.5, Whole::Groceries).is_err());
    assert!(what_it_takes(&today, f64::NAN, Whole::Groceries).is_err());
}

/// 24 of 240 are a tenth of the produce: at no price level do they become an eighth of all groceries, and dearer produce
/// never changes a share of the produce.
#[test]
fn dearer_produce_makes_the_bill_longer_too() {
    let (market, year) = small();
    let today = today(&market, &year, endless(20_000));
    let answer = what_it_takes(&today, 0.125, Whole::Groceries).unwrap();
    assert_eq!(answer.price_factor, None);
    assert!(
        answer
            .sentences
            .iter()
            .any(|said| said.to_string().contains("at no price"))
    );
    let answer = what_it_takes(&today, 0.5, Whole::Produce).unwrap();
    assert_eq!(answer.price_factor, None);
    assert_eq!(answer.appetite_factor, None);
    assert!((answer.bed_area_m2.unwrap() - 50.0).abs() < 1e-9);
    assert!(
        answer
            .sentences
            .iter()
            .any(|said| said.to_string().contains("no price level"))
    );
}

/// What the climate inside does not carry is named, apart from what the household does not buy.
#[test]
fn a_house_that_is_too_cold_is_told_from_a_bill_that_is_too_long() {
    let (market, year) = small();
    let short = vec![ShortFood {
        name: "Tomato".to_owned(),
        weeks: 30.4,
        money: 50.0,
    }];
    let value = Money::from_minor(5_000);
    let today = today(&market, &year, Endless { value, short });
    let answer = what_it_takes(&today, 0.08, Whole::Groceries).unwrap();
    assert!(answer.value_most > answer.target && answer.target > answer.value_most_here);
    assert_eq!(answer.bed_area_m2, None);
    let beds = answer.sentences[1].to_string();
    assert!(
        beds.starts_with("No bed area does it in this house"),
        "{beds}"
    );
    assert!(beds.contains("tomato in 30 weeks"), "{beds}");
    assert!((answer.appetite_factor.unwrap() - 96.0 / 50.0).abs() < 1e-9);
    assert!((answer.appetite_area_m2.unwrap() - 40.0).abs() < 1e-9);
}

#[test]
fn a_bill_that_nobody_knows_is_asked_for() {
    let (mut market, year) = small();
    market.groceries_month = None;
    let today = today(&market, &year, endless(10_000));
    assert!(what_it_takes(&today, 0.1, Whole::Groceries).is_err());
    assert!(what_it_takes(&today, 0.1, Whole::Produce).is_ok());
}

proptest! {
    /// Each lever, put to use, gives the share that was asked for.
    #[test]
    fn the_levers_do_what_they_say(cents in 1i64..24_000, most in 0i64..24_000, share in 0.001..1.0f64) {
        let (market, mut year) = small();
        year.value_spread.p50 = cents as f64 / 100.0;
        let today = today(&market, &year, endless(most));
        let answer = what_it_takes(&today, share, Whole::Groceries).unwrap();
        let (value, target) = (cents as f64 / 100.0, share * 1200.0);
        if let Some(area) = answer.bed_area_m2 {
            prop_assert!((value / 10.0 * area - target).abs() < 1e-6);
            prop_assert!(target <= 240.0);
        }
        if let Some(factor) = answer.price_factor {
            let bill = 960.0 + 240.0 * factor;
            prop_assert!((factor * value - share * bill).abs() < 1e-6 * bill);
        }
        if let Some(eaters) = answer.eaters {
            prop_assert!((value - share * 1200.0 * eaters).abs() < 1e-6);
        }
        prop_assert!(answer.value_most_here >= answer.value_today);
        prop_assert!(answer.bed_area_m2.is_none() || answer.appetite_factor.is_none());
        prop_assert!(!answer.sentences.is_empty());
    }
}
