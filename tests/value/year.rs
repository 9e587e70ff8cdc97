//! The year's account: it adds up, and saves no more than would have been bought.

use bedyear::value::{
    Basis, CostKind, FixedCost, Harvest, Household, Market, Money, OwnAppetite, OwnCosts, Running,
    SaladBought, WeatherYear, Wish, YearInput, YearValue, allocate_food, market, tariff, year,
};
use proptest::prelude::*;

const WEEKS: usize = 52;

fn harvest(food: &str, kg: Vec<f64>, keeps_weeks: usize) -> Harvest {
    Harvest {
        food: food.to_owned(),
        kg,
        keeps_weeks,
    }
}

/// True where a remark of the year starts so.
fn flagged(value: &YearValue, start: &str) -> bool {
    let mut flags = value.flags.iter();
    flags.any(|flag| flag.to_string().starts_with(start))
}

fn weather_year(market: &Market, harvests: &[Harvest]) -> WeatherYear {
    let running = Running {
        fan_kwh: [7.3; 12],
        heat_kwh: [11.1; 12],
        lamp_kwh: [0.0; 12],
        water_l: [333.3; 12],
    };
    WeatherYear {
        foods: allocate_food(market, harvests),
        running,
    }
}

fn account(market: &Market, household: &Household, years: &[WeatherYear]) -> YearValue {
    let tariff = tariff(household, &OwnCosts::default()).unwrap();
    let fixed = [FixedCost {
        kind: CostKind::Seed,
        month: [0.337; 12],
        basis: Basis::new("a test", None, "invented"),
    }];
    let input = YearInput {
        market,
        years,
        tariff: &tariff,
        fixed: &fixed,
        work_h: [1.0; 12],
        pick_h_per_kg: 0.25,
        not_counted: &[],
    };
    year(&input)
}

/// A year without any harvest.
pub fn empty_year(household: &Household, market: &Market) -> YearValue {
    account(market, household, &[weather_year(market, &[])])
}

/// One kg of kale a week for a canteen of two hundred, who buy more than that: 52 kg at 7.57 USD/kg (USDA ERS 2022) in the
/// money of 2022 is 393.64 USD.
#[test]
fn a_kg_a_week_by_hand() {
    let household = Household::of_size(200, 2022);
    let market = market(&household).unwrap();
    assert!(market.food("kale").unwrap().bought_kg_week > 1.0);
    let years = [weather_year(
        &market,
        &[harvest("kale", vec![1.0; WEEKS], 0)],
    )];
    let value = account(&market, &household, &years);
    assert!((value.eaten_kg - 52.0).abs() < 1e-9);
    assert!(
        (value.value.minor() - 39_364).abs() <= 6,
        "{}",
        value.value.minor()
    );
    assert_eq!(value.surplus_kg, 0.0);
}

#[test]
fn food_without_a_price_is_eaten_flagged_and_worth_nothing() {
    let mut household = Household::of_size(2, 2025);
    household.appetites = vec![bedyear::value::OwnAppetite {
        of: "basil".to_owned(),
        kg_week: 0.1,
        basis: "project file".to_owned(),
    }];
    let market = market(&household).unwrap();
    let years = [weather_year(
        &market,
        &[harvest("basil", vec![0.1; WEEKS], 0)],
    )];
    let value = account(&market, &household, &years);
    assert_eq!(value.value, Money::ZERO);
    assert!(flagged(&value, "basil: "));
}

#[test]
fn a_stated_produce_line_is_not_exceeded() {
    let mut household = Household::of_size(4, 2025);
    household.produce_month = Some(10.0);
    let market = market(&household).unwrap();
    let glut = ["tomato", "lettuce", "carrot", "onion", "pepper"]
        .map(|food| harvest(food, vec![9.0; WEEKS], 8));
    let years = [weather_year(&market, &glut)];
    let value = account(&market, &household, &years);
    assert_eq!(value.ceiling, Money::from_minor(12_000));
    assert!(value.value <= value.ceiling + Money::from_minor(6));
    assert!(flagged(&value, "the food eaten would be worth"));
    assert!(flagged(&value, "the appetite at these prices"));
}

#[test]
fn what_is_kept_is_eaten_later() {
    let household = Household::of_size(4, 2025);
    let market = market(&household).unwrap();
    let mut kg = vec![0.0; WEEKS];
    kg[40] = 10.0;
    let years = [weather_year(&market, &[harvest("carrot", kg, 20)])];
    let value = account(&market, &household, &years);
    let carrot = &years[0].foods[0];
    let want = market.food("carrot").unwrap().bought_kg_week;
    assert!((carrot.eaten_kg[41] - want).abs() < 1e-9);
    assert!(
        (carrot.eaten_kg[5] - want).abs() < 1e-9,
        "the year closes on itself"
    );
    assert!((value.eaten_kg + value.surplus_kg - 10.0).abs() < 1e-9);
}

fn any_harvests() -> impl Strategy<Value = Vec<Harvest>> {
    let foods = prop::sample::subsequence(
        vec![
            "tomato", "lettuce", "mache", "spinach", "kale", "chard", "carrot", "radish", "basil",
            "cucumber", "leek",
        ],
        1..8,
    );
    foods.prop_flat_map(|foods| {
        foods
            .into_iter()
            .map(|food| {
                (
                    prop::collection::vec(prop_oneof![Just(0.0), 0.0..6.0f64], WEEKS),
                    0usize..30,
                )
                    .prop_map(move |(kg, keeps)| harvest(food, kg, keeps))
            })
            .collect::<Vec<_>>()
    })
}

/// Salad for January alone, where the household buys 0.5 kg a week: the rest of the month's salad is beyond the shopping
/// and in no sum, and no other month eats more of it.
#[test]
fn a_wish_raises_the_appetite_in_its_own_weeks_alone() {
    let mut household = Household::of_size(4, 2025);
    household.appetites = vec![own("salad_greens", 0.5)];
    household.eats = vec!["lettuce".to_owned()];
    let glut = [harvest("lettuce", vec![3.0; WEEKS], 0)];
    let without = market(&household).unwrap();
    household.wishes = vec![wish("salad_greens", 2.0, (0, 0))];
    let with = market(&household).unwrap();
    let [without, with] =
        [&without, &with].map(|market| account(market, &household, &[weather_year(market, &glut)]));
    assert_eq!(with.value, without.value);
    assert_eq!(with.net, without.net);
    assert_eq!(with.share_of_produce, without.share_of_produce);
    assert_eq!(without.beyond, Money::ZERO);
    // Five planning weeks begin in January; the last lies in February for four days of seven.
    assert!(
        (with.beyond_kg - 5.0 * 1.5).abs() < 1e-6,
        "{}",
        with.beyond_kg
    );
    assert!((with.months[1].beyond_kg - 1.5 * 4.0 / 7.0).abs() < 1e-6);
    assert!(with.months[2..].iter().all(|month| month.beyond_kg == 0.0));
    assert!(with.beyond > Money::ZERO);
}

fn own(of: &str, kg_week: f64) -> OwnAppetite {
    OwnAppetite {
        of: of.to_owned(),
        kg_week,
        basis: "project file".to_owned(),
    }
}

fn wish(of: &str, kg_week: f64, months: (usize, usize)) -> Wish {
    Wish {
        text: String::new(),
        of: of.to_owned(),
        kg_week,
        months,
    }
}

const LIKED: [&str; 11] = [
    "tomato",
    "lettuce",
    "mache",
    "spinach",
    "kale",
    "chard",
    "carrot",
    "radish",
    "salad_mix",
    "cucumber",
    "leek",
];

/// A household with statistics, figures of its own for foods and groups, and wishes.
fn any_household() -> impl Strategy<Value = Household> {
    let of = prop::sample::select(vec![
        "salad_greens",
        "kale",
        "lettuce",
        "cooking_greens",
        "carrot",
    ]);
    let appetites = prop::collection::vec((of.clone(), 0.0..3.0f64), 0..3);
    let wishes = prop::collection::vec((of, 0.0..4.0f64, 0usize..12, 0usize..12), 0..3);
    let salad = prop::sample::select(vec![
        None,
        Some(SaladBought::Heads),
        Some(SaladBought::Packed),
    ]);
    (1usize..7, appetites, wishes, salad).prop_map(|(people, appetites, wishes, salad)| {
        let mut household = Household::of_size(people, 2025);
        household.appetites = appetites.iter().map(|(of, kg)| own(of, *kg)).collect();
        let asked = wishes.iter();
        household.wishes = asked
            .map(|(of, kg, from, to)| wish(of, *kg, (*from, *to)))
            .collect();
        household.salad_bought = salad;
        household
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Liking one more food never lowers what the same harvests replace: they are there for the taking, and nothing that was
    /// bought before is bought more.
    #[test]
    fn one_more_liked_food_never_lowers_the_worth(
        harvests in any_harvests(),
        household in any_household(),
        liked in prop::sample::subsequence(LIKED.to_vec(), 1..LIKED.len()),
        more in prop::sample::select(LIKED.to_vec()),
    ) {
        let worth = |liked: &[&str]| {
            let mut household = household.clone();
            household.eats = liked.iter().map(|food| (*food).to_owned()).collect();
            let market = market(&household).unwrap();
            account(&market, &household, &[weather_year(&market, &harvests)]).value
        };
        let mut one_more = liked.clone();
        one_more.push(more);
        // Twelve months are rounded each.
        prop_assert!(worth(&one_more) + Money::from_minor(12) >= worth(&liked), "{:?} + {more}", liked);
    }

    /// Eaten never above appetite, savings never above what would have been bought, money to the cent, no kg invented.
    #[test]
    fn the_account_holds(first in any_harvests(), second in any_harvests(), people in 1usize..7) {
        let household = Household::of_size(people, 2025);
        let market = market(&household).unwrap();
        let years = [weather_year(&market, &first), weather_year(&market, &second)];
        let value = account(&market, &household, &years);
        for weather in &years {
            for flow in &weather.foods {
                let line = market.food(&flow.food).unwrap();
                for kg in &flow.eaten_kg {
                    prop_assert!(*kg <= line.appetite_kg_week + 1e-9);
                }
                let sum = |column: &[f64]| column.iter().sum::<f64>();
                prop_assert!((sum(&flow.harvested_kg) - sum(&flow.eaten_kg) - sum(&flow.surplus_kg)).abs() < 1e-6);
            }
            for group in &market.groups {
                let of_group = |food: &str| market.food(food).unwrap().group == group.group;
                for week in 0..WEEKS {
                    let eaten: f64 =
                        weather.foods.iter().filter(|f| of_group(&f.food)).map(|f| f.eaten_kg[week]).sum();
                    prop_assert!(eaten <= group.appetite_kg_week + 1e-9);
                }
            }
        }
        prop_assert_eq!(value.costs.len(), value.months[0].costs.len());
        let basket = market.currency.round(market.basket_year(false));
        prop_assert!(value.value <= basket + Money::from_minor(12));
        prop_assert_eq!(value.months.iter().map(|m| m.value).sum::<Money>(), value.value);
        prop_assert_eq!(value.months.iter().map(|m| m.cost).sum::<Money>(), value.cost);
        prop_assert_eq!(value.months.iter().map(|m| m.net).sum::<Money>(), value.net);
        prop_assert_eq!(value.foods.iter().map(|f| f.value).sum::<Money>(), value.value);
        prop_assert_eq!(value.costs.iter().map(|(_, amount)| *amount).sum::<Money>(), value.cost);
        for month in &value.months {
            prop_assert_eq!(month.costs.iter().map(|(_, amount)| *amount).sum::<Money>(), month.cost);
            prop_assert_eq!(month.value - month.cost, month.net);
        }
        prop_assert!((value.grown_kg - value.eaten_kg - value.beyond_kg - value.surplus_kg).abs() < 1e-6);
        prop_assert!(value.value_spread.p10 <= value.value_spread.p50 && value.value_spread.p50 <= value.value_spread.p90);
    }

    /// A produce line that the person states is a ceiling in every weather year, and an appetite above it is flagged.
    #[test]
    fn a_stated_line_holds(first in any_harvests(), second in any_harvests(), line in 0.0..200.0f64) {
        let mut household = Household::of_size(3, 2025);
        household.produce_month = Some(line);
        let market = market(&household).unwrap();
        let years = [weather_year(&market, &first), weather_year(&market, &second)];
        let value = account(&market, &household, &years);
        prop_assert!(value.value <= value.ceiling + Money::from_minor(12));
        prop_assert!(value.value_spread.p90 <= line * 12.0 + 1e-6);
        let flagged = flagged(&value, "the appetite at these prices");
        prop_assert_eq!(flagged, market.basket_year(false) > line * 12.0);
    }
}
