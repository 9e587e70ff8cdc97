//! The household's demand against published spending.

use bedyear::value::{Eater, Household, SaladBought, market};

/// A couple with children of 6-8 and 9-11, the family that the US food plans are quoted for.
fn reference_family(price_year: i32) -> Household {
    let mut family = Household::of_size(0, price_year);
    family.eaters = [35.0, 35.0, 7.0, 10.0].map(Eater::aged).to_vec();
    family
}

/// 12,026 USD a year by the USDA Thrifty Food Plan of September 2025 (sum of four lines), fresh vegetables 6.28 % and
/// fresh fruit 7.20 % of it by the BLS Consumer Expenditure Survey 2017: 755 and 1,621 USD, the most that growing all
/// of it could save.
#[test]
fn ceiling_of_the_reference_family() {
    let market = market(&reference_family(2025)).unwrap();
    let groceries = market.groceries_month.unwrap() * 12.0;
    assert!((groceries - 12_026.0).abs() < 1.0, "{groceries}");
    let vegetables: f64 = market.vegetables_month.unwrap().iter().sum();
    assert!((vegetables - 755.0).abs() < 1.0, "{vegetables}");
    let produce: f64 = market.produce_month.iter().sum();
    assert!((produce - 1621.0).abs() < 1.0, "{produce}");
}

/// Two roads to what a family spends on fresh vegetables: quantities eaten (USDA ERS) times shop prices (BLS, ERS),
/// and the produce line of the spending survey. They need not agree, but must not be far apart, or one of kitchen
/// loss, share eaten at home and prices is wrong. 25 % is our own tolerance.
#[test]
fn quantities_times_prices_come_near_the_spending_survey() {
    let market = market(&reference_family(2025)).unwrap();
    let basket = market.basket_year(true);
    assert!((basket / 755.0 - 1.0).abs() < 0.25, "{basket}");
}

/// Food availability of 2020: 65.3 kg a person at farm weight, restaurants included (USDA ERS, read second hand). What
/// is bought for home must be well below, and not absurdly so.
#[test]
fn quantity_bought_is_below_what_is_moved_to_market() {
    let market = market(&Household::of_size(1, 2025)).unwrap();
    let fruit = ["berries", "melons"];
    let kg: f64 = market
        .groups
        .iter()
        .filter(|g| !fruit.contains(&g.group.as_str()))
        .map(|g| g.appetite_kg_week * 52.0)
        .sum();
    assert!((30.0..65.3).contains(&kg), "{kg}");
}

#[test]
fn herbs_and_garlic_are_asked_of_the_person() {
    let market = market(&Household::of_size(2, 2025)).unwrap();
    let mut asked = market.unpriced();
    asked.sort_unstable();
    assert_eq!(asked, ["basil", "cilantro", "dill", "garlic", "parsley"]);
    assert!(market.food("basil").unwrap().appetite_steps().is_empty());
}

/// Statistics Canada 18-10-0245-01, 2025: packed salad greens 31.8, romaine 7.17 CAD/kg (means of twelve months).
#[test]
fn what_is_replaced_matters_more_than_the_season() {
    let mut household = Household::of_size(2, 2025);
    household.country = bedyear::value::Country::Canada;
    household.currency = bedyear::value::Currency::from_code("CAD").unwrap();
    let mean = |food: &str, household: &Household| {
        market(household)
            .unwrap()
            .food(food)
            .unwrap()
            .price_per_kg
            .iter()
            .sum::<f64>()
            / 12.0
    };
    assert!((mean("arugula", &household) - 7.17).abs() < 0.005);
    household.salad_bought = Some(SaladBought::Packed);
    let packed = mean("arugula", &household);
    assert!((packed - 31.8).abs() < 0.05, "{packed}");
}

#[test]
fn foods_of_which_the_same_is_assumed_share_a_sentence() {
    let market = market(&Household::of_size(2, 2025)).unwrap();
    let shared =
        "Beet, Turnip root, Kohlrabi, Parsnip: price of Carrot is taken (the cheap end of roots)";
    assert!(
        market.assumptions.iter().any(|said| said == shared),
        "{:?}",
        market.assumptions
    );
}

#[test]
fn a_crop_id_finds_its_food() {
    let market = market(&Household::of_size(2, 2025)).unwrap();
    for (crop, food) in [
        ("lettuce_leaf", "lettuce"),
        ("bean_pole", "green_beans"),
        ("sweet pepper", "pepper"),
    ] {
        assert_eq!(market.food(crop).unwrap().food, food);
    }
}

#[test]
fn half_the_world_has_its_winter_in_july() {
    let mut household = Household::of_size(2, 2025);
    let north = market(&household).unwrap();
    household.southern = true;
    let south = market(&household).unwrap();
    assert_eq!(
        north.food("tomato").unwrap().price_per_kg[0],
        south.food("tomato").unwrap().price_per_kg[6]
    );
    assert_eq!(
        north.food("kale").unwrap().price_per_kg,
        south.food("kale").unwrap().price_per_kg
    );
}

#[test]
fn appetite_by_food_and_by_group_is_the_persons_own() {
    let mut household = Household::of_size(2, 2025);
    let own = |of: &str, kg_week| bedyear::value::OwnAppetite {
        of: of.to_owned(),
        kg_week,
        basis: "file".to_owned(),
    };
    household.appetites = vec![
        own("salad_greens", 2.0),
        own("mache", 0.5),
        own("herbs", 0.2),
    ];
    let market = market(&household).unwrap();
    let group = |id: &str| {
        market
            .groups
            .iter()
            .find(|g| g.group == id)
            .unwrap()
            .appetite_kg_week
    };
    assert!((group("salad_greens") - 2.0).abs() < 1e-12);
    assert!((group("herbs") - 0.2).abs() < 1e-12);
    assert_eq!(market.food("mache").unwrap().bought_kg_week, 0.5);
}
