//! A year, a plan and money that nobody measured: invented, so that formats can be tested without the stages.

use std::f64::consts::TAU;

use bedyear::output::view::*;
use chrono::{Days, NaiveDate};

/// A day.
pub fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

/// A wave through the year: `mean` less `swing` at mid January, plus `swing` at mid July.
fn wave(day: f64, mean: f64, swing: f64) -> f64 {
    mean - swing * (TAU * (day - 15.0) / 365.0).cos()
}

/// A figure with a spread around it.
fn spread(value: f64, width: f64) -> Figure {
    let spread = Spread {
        p10: value - width,
        p50: value,
        p90: value + width,
    };
    Figure {
        value,
        spread: Some(spread),
    }
}

/// A fifth less and a fifth more.
fn around(value: f64) -> Spread {
    Spread {
        p10: 0.8 * value,
        p50: value,
        p90: 1.2 * value,
    }
}

fn month(number: u32) -> ClimateMonth {
    let at = f64::from(number - 1) * 30.4 + 15.0;
    ClimateMonth {
        month: number,
        air_mean_c: spread(wave(at, 12.0, 9.5), 1.0),
        air_min_c: spread(wave(at, 4.0, 8.0), 2.0),
        air_max_c: spread(wave(at, 24.0, 10.0), 1.5),
        coldest_hour_c: spread(wave(at, 1.0, 7.0), 1.4),
        root_zone_mean_c: spread(wave(at, 13.0, 7.0), 0.6),
        root_zone_min_c: spread(wave(at, 11.0, 7.5), 0.8),
        store_mean_c: Some(spread(wave(at, 15.0, 5.0), 0.5)),
        light_mol_m2_day: spread(wave(at, 14.0, 12.5), 1.1),
        day_length_h: wave(at, 12.2, 7.0),
        heater_kwh: spread(wave(at, 60.0, -60.0), 12.0),
        fan_kwh: spread(wave(at, 20.0, 9.0), 6.0),
        relative_humidity_pct: spread(wave(at, 78.0, -8.0), 4.0),
        below_0_c_h: spread(wave(at, 30.0, -30.0), 8.0),
        above_30_c_h: spread(wave(at, 11.0, 11.0), 5.0),
        vented_h: spread(wave(at, 120.0, 118.0), 20.0),
        damp_h: spread(wave(at, 200.0, -80.0), 30.0),
        sunlit_in_band_h: spread(wave(at, 180.0, 90.0), 15.0),
        outside_mean_c: Some(wave(at, 3.5, 11.0)),
        outside_min_c: Some(wave(at, -10.0, 14.0)),
    }
}

/// The months of a year.
fn months<T>(of: impl Fn(u32) -> T) -> [T; 12] {
    std::array::from_fn(|index| of(index as u32 + 1))
}

fn climate_day(index: u64) -> ClimateDay {
    let at = index as f64;
    let ripple = 2.0 * (at * 0.7).sin() + 1.5 * (at * 0.23).cos();
    ClimateDay {
        date: day(2027, 1, 1).checked_add_days(Days::new(index)).unwrap(),
        air_min_c: wave(at, 7.0, 8.0) + ripple,
        air_max_c: wave(at, 18.0, 10.0) + 1.4 * ripple,
        hard_air_min_c: Some(wave(at, 4.0, 9.5) + ripple),
        hard_air_max_c: Some(wave(at, 15.0, 11.0) + 1.2 * ripple),
        root_zone_c: wave(at - 14.0, 13.0, 7.0),
        store_c: Some(wave(at - 40.0, 15.0, 5.0)),
        light_mol_m2_day: (wave(at, 14.0, 12.5) + 1.5 * ripple).max(0.3),
        day_length_h: wave(at + 25.0, 12.2, 7.2),
    }
}

fn cold_hours() -> Vec<ColdHourRow> {
    [
        ("air", "", -4.0),
        ("leaf", "bare", -5.5),
        ("leaf", "row cover", -2.0),
    ]
    .into_iter()
    .flat_map(|(place, cover, usual_c)| {
        [(2, 0.0), (5, 1.6), (10, 2.9)].map(|(once_in_years, colder_k)| ColdHourRow {
            place: place.to_string(),
            cover: cover.to_string(),
            once_in_years,
            coldest_c: Some(usual_c - colder_k),
            low_c: (once_in_years < 10).then_some(usual_c - colder_k - 1.0),
            high_c: Some(usual_c - colder_k + 0.7),
        })
    })
    .collect()
}

pub fn climate() -> ClimateView {
    let flow = |path: &str, mean: f64, swing: f64| HeatFlow {
        path: path.to_string(),
        kwh: std::array::from_fn(|month| wave(month as f64 * 30.4 + 15.0, mean, swing)),
    };
    ClimateView {
        place: "Östersund, Sweden".to_string(),
        year_kind: YearKind::Settled,
        months: months(month),
        balance_residual: 3.1e-7,
        weather_years: 30,
        coldest_air_c: -5.3,
        coldest_root_zone_c: 2.4,
        heater_kwh_year: 720.0,
        fan_kwh_year: 240.0,
        heater_kwh_mean_year: Some(745.0),
        fan_kwh_mean_year: Some(238.0),
        band_c: [10.0, 28.0],
        cold_hours: cold_hours(),
        first_against_settled: (1..=12)
            .map(|number| {
                let settled = month(number);
                FirstMonth {
                    month: number,
                    first_air_min_c: settled.air_min_c.value - 1.2,
                    settled_air_min_c: settled.air_min_c.value,
                    first_root_zone_mean_c: settled.root_zone_mean_c.value - 1.9,
                    settled_root_zone_mean_c: settled.root_zone_mean_c.value,
                    first_heater_kwh: settled.heater_kwh.value * 1.2,
                    settled_heater_kwh: settled.heater_kwh.value,
                }
            })
            .collect(),
        heat_flows: vec![
            flow("sun", 900.0, 700.0),
            flow("heater", 60.0, -60.0),
            flow("glazing", -560.0, -300.0),
            flow("walls and roof", -120.0, 20.0),
            flow("air change", -150.0, -250.0),
            flow("ground", -130.0, -170.0),
        ],
        days: (0..365).map(climate_day).collect(),
        notes: vec![Note::new(
            NoteKind::Warning,
            "The coldest hour of the air is 5.3 K below freezing: cover the beds, or pick before it.",
        )],
    }
}

fn season_month(number: u32, hardy: bool) -> SeasonMonth {
    let winter = matches!(number, 11 | 12 | 1 | 2);
    let (state, cause, margin, unit, remedy) = match (winter, hardy) {
        (true, true) if number == 12 || number == 1 => (
            SeasonState::Stand,
            Some("too dark"),
            Some(-0.4),
            Some("mol/m2/day"),
            None,
        ),
        (true, true) => (SeasonState::Pick, None, None, None, None),
        (true, false) => (
            SeasonState::No,
            Some("too cold at night"),
            Some(-6.5 - f64::from(number % 3)),
            Some("K"),
            Some("a heater to 10 °C"),
        ),
        (false, false) if number == 3 => (
            SeasonState::No,
            Some("root zone too cold"),
            Some(-2.0),
            Some("K"),
            Some("a row cover, or three weeks later"),
        ),
        (false, false) if number < 6 => (SeasonState::Sow, None, None, None, None),
        (false, false) if number < 7 => (SeasonState::Grow, None, None, None, None),
        _ => (SeasonState::Pick, None, Some(4.0), Some("K"), None),
    };
    SeasonMonth {
        state,
        sow: state == SeasonState::Sow || (hardy && (3..=9).contains(&number)),
        cause: cause.map(String::from),
        margin,
        margin_unit: unit.map(String::from),
        remedy: remedy.map(String::from),
    }
}

pub fn season() -> SeasonView {
    let crop = |id: &str, name: &str, hardy: bool| SeasonCrop {
        crop: id.to_string(),
        name: name.to_string(),
        months: months(|number| season_month(number, hardy)),
        months_in: if hardy {
            MonthsIn {
                as_is: None,
                heated: None,
                tunnel: None,
                outdoors: None,
            }
        } else {
            let in_months = |p50: f64| {
                Some(Spread {
                    p10: p50 - 0.6,
                    p50,
                    p90: p50 + 0.5,
                })
            };
            MonthsIn {
                as_is: in_months(6.8),
                heated: in_months(8.9),
                tunnel: in_months(4.7),
                outdoors: in_months(2.4),
            }
        },
    };
    SeasonView {
        place: "Östersund, Sweden".to_string(),
        crops: vec![
            crop("spinach", "Spinach", true),
            crop("corn_salad", "Corn salad", true),
            crop("lettuce_leaf", "Lettuce, loose leaf", true),
            crop("tomato", "Tomato", false),
            crop("cucumber", "Cucumber", false),
        ],
        heated_to_c: Some(10.0),
        heated_kwh_year: Some(900.0),
        latest: Vec::new(),
        notes: Vec::new(),
    }
}

/// Sowing day, weeks to setting out (0: sown in the bed), to first and to last picking.
struct Course(NaiveDate, u64, u64, u64);

fn planting(bed: &str, crop: &str, name: &str, area_m2: f64, course: Course) -> PlantingView {
    let Course(sow, to_bed, to_first, to_last) = course;
    let after = |weeks: u64| sow.checked_add_days(Days::new(7 * weeks)).unwrap();
    let picks: Vec<WeekPick> = (to_first..=to_last)
        .map(|week| WeekPick {
            start: after(week),
            kg: 0.25 * area_m2,
        })
        .collect();
    PlantingView {
        row: PlantingRow {
            bed: bed.to_string(),
            crop: crop.to_string(),
            crop_name: name.to_string(),
            area_m2,
            way: if to_bed > 0 { "tray" } else { "direct" }.to_string(),
            sow,
            transplant: (to_bed > 0).then(|| after(to_bed)),
            first_harvest: Some(after(to_first).checked_add_days(Days::new(2)).unwrap()),
            last_harvest: Some(after(to_last)),
            clear: Some(after(to_last + 1)),
            cover_on: (crop == "spinach").then(|| after(to_bed + 6)),
            cover_off: (crop == "spinach").then(|| after(to_last - 2)),
            survival: 0.93,
            harvest_kg: picks.iter().map(|pick| pick.kg).sum(),
            plants: Some(area_m2 * 25.0),
            seeds: Some(area_m2 * 32.0),
        },
        picks,
    }
}

pub fn plan() -> PlanView {
    let plantings = vec![
        planting(
            "North 1",
            "spinach",
            "Spinach",
            2.4,
            Course(day(2027, 8, 23), 0, 7, 32),
        ),
        planting(
            "North 1",
            "lettuce_leaf",
            "Lettuce, loose leaf",
            2.4,
            Course(day(2027, 3, 1), 4, 9, 14),
        ),
        planting(
            "South, by the door",
            "tomato",
            "Tomato",
            4.0,
            Course(day(2027, 3, 8), 8, 17, 30),
        ),
        planting(
            "South, by the door",
            "corn_salad",
            "Corn salad",
            2.0,
            Course(day(2027, 9, 20), 0, 8, 20),
        ),
        planting(
            "South, by the door",
            "spinach",
            "Spinach",
            2.0,
            Course(day(2027, 9, 13), 0, 9, 18),
        ),
    ];
    let weeks = (0..52)
        .map(|week| {
            let start = day(2027, 1, 4)
                .checked_add_days(Days::new(7 * week))
                .unwrap();
            let greens = wave(week as f64 * 7.0, 1.5, 0.9);
            let fruit = (wave(week as f64 * 7.0, 0.6, 2.2)).max(0.0);
            WeekView {
                row: WeekRow {
                    start,
                    food_kg: greens + fruit,
                    wish_kg: 2.0,
                    foods: if fruit > 0.0 { 4 } else { 2 },
                },
                by_food: vec![
                    FoodWeek {
                        food: "salad greens".to_string(),
                        food_kg: greens,
                        wish_kg: 1.2,
                    },
                    FoodWeek {
                        food: "tomatoes".to_string(),
                        food_kg: fruit,
                        wish_kg: 0.8,
                    },
                ],
            }
        })
        .collect();
    PlanView {
        project: "Storsjö garden".to_string(),
        place: "Östersund, Sweden".to_string(),
        start: day(2027, 1, 4),
        horizon_weeks: 52,
        repeats: true,
        as_of: day(2026, 12, 1),
        revision: 0,
        value: 6120.5,
        bound: 6244.0,
        gap: (6244.0 - 6120.5) / 6244.0,
        replayed_value_p50: Some(5690.0),
        replayed_value: Some(Spread {
            p10: 4980.0,
            p50: 5690.0,
            p90: 6210.0,
        }),
        hard_winters: false,
        any_empty_week: 0.1,
        foods_week: Spread {
            p10: 2.0,
            p50: 3.0,
            p90: 4.0,
        },
        months: vec![PlanMonthRow {
            month: day(2027, 1, 1),
            harvest: around(3.1),
            eaten: around(2.4),
            worth: around(140.0),
            foods_week: 2.6,
            empty: 0.1,
        }],
        risks: vec![RiskRow {
            bed: "North 1".to_string(),
            crop_name: "Spinach".to_string(),
            sow: day(2027, 8, 23),
            lost: 0.2,
            harvest_kg: 4.2,
        }],
        currency: "SEK".to_string(),
        beds: vec![
            "North 1".to_string(),
            "North 2".to_string(),
            "South, by the door".to_string(),
        ],
        plantings,
        weeks,
        gaps: vec![
            GapRow {
                from: day(2027, 1, 4),
                to: day(2027, 2, 14),
                food: "salad greens".to_string(),
                missing_kg: 3.4,
                cause: "too dark for a second cut".to_string(),
                remedy: "1.6 m2 more corn salad sown by 2026-09-07".to_string(),
            },
            GapRow {
                from: day(2027, 1, 4),
                to: day(2027, 6, 27),
                food: "tomatoes".to_string(),
                missing_kg: 20.0,
                cause: "too cold at night until May".to_string(),
                remedy: "a heater to 10 °C gives seven weeks".to_string(),
            },
        ],
        notes: vec![Note::new(
            NoteKind::Note,
            "In a closed house tomatoes in flower need a shake by hand each day.",
        )],
    }
}

pub fn value() -> ValueView {
    let money = |number: u32| {
        let at = f64::from(number - 1) * 30.4 + 15.0;
        let eaten_kg = wave(at, 8.0, 6.0);
        let value = eaten_kg * 62.0;
        let cost = wave(at, 90.0, -60.0);
        ValueMonth {
            month: number,
            grown_kg: eaten_kg * 1.15,
            eaten_kg,
            kept_kg: eaten_kg * 0.05,
            surplus_kg: eaten_kg * 0.1,
            value,
            cost,
            net: value - cost,
            budget: 900.0,
            share: Some(value / 900.0),
            work_h: wave(at, 9.0, 4.0),
            grown_range: Some(Spread {
                p10: eaten_kg,
                p50: eaten_kg * 1.15,
                p90: eaten_kg * 1.3,
            }),
            value_range: Some(Spread {
                p10: value * 0.8,
                p50: value * 0.97,
                p90: value * 1.1,
            }),
            net_range: Some(Spread {
                p10: value * 0.8 - cost,
                p50: value * 0.97 - cost,
                p90: value * 1.1 - cost,
            }),
        }
    };
    let months = months(money);
    let sum = |of: fn(&ValueMonth) -> f64| months.iter().map(of).sum::<f64>();
    let year = ValueYear {
        grown_kg: sum(|month| month.grown_kg),
        eaten_kg: sum(|month| month.eaten_kg),
        kept_kg: sum(|month| month.kept_kg),
        surplus_kg: sum(|month| month.surplus_kg),
        value: sum(|month| month.value),
        cost: sum(|month| month.cost),
        net: sum(|month| month.net),
        budget: sum(|month| month.budget),
        share: Some(sum(|month| month.value) / sum(|month| month.budget)),
        work_h: sum(|month| month.work_h),
        value_range: Some(Spread {
            p10: 5000.0,
            p50: 5900.0,
            p90: 6500.0,
        }),
        net_range: Some(Spread {
            p10: 3900.0,
            p50: 4700.0,
            p90: 5400.0,
        }),
    };
    ValueView {
        place: "Östersund, Sweden".to_string(),
        currency: "SEK".to_string(),
        ceiling: 10800.0,
        share_of_produce: year.share,
        share_of_groceries: year.share.map(|share| share * 0.13),
        months,
        year,
        prices: vec![
            PriceRow {
                food: "salad greens".to_string(),
                replaces: "packed leaves, 65 g".to_string(),
                price_per_kg: 118.0,
                eaten_kg: 41.0,
                value: 4838.0,
                source: "the household's receipts, 2026 (invented)".to_string(),
            },
            PriceRow {
                food: "tomatoes".to_string(),
                replaces: "loose tomatoes".to_string(),
                price_per_kg: 36.5,
                eaten_kg: 30.0,
                value: 1095.0,
                source: "the household's receipts, 2026 (invented)".to_string(),
            },
        ],
        costs: vec![
            CostRow {
                item: "electricity for the heater".to_string(),
                cost: 760.0,
                basis: "720 kWh at 1.06 SEK".to_string(),
            },
            CostRow {
                item: "seed and tray mix".to_string(),
                cost: 320.0,
                basis: "5 sowings (invented)".to_string(),
            },
        ],
        costs_by_month: (1..=12)
            .flat_map(|month| {
                [("electricity for the heater", 700.0), ("seed and tray mix", 320.0)].map(
                    |(item, year)| MonthCostRow {
                        month,
                        item: item.to_string(),
                        cost: year / 12.0,
                    },
                )
            })
            .collect(),
        without_building: LifeRow {
            case: "without the building's cost".to_string(),
            outlay: 0.0,
            net_year: 4700.0,
            simple_years: None,
            discounted_years: None,
            net_present_value: 60300.0,
            cost_per_kg: Some(11.2),
            life_years: 20,
            discount_rate: 0.03,
        },
        with_building: Some(LifeRow {
            case: "with the building's cost".to_string(),
            outlay: 42000.0,
            net_year: 1230.0,
            simple_years: Some(8.9),
            discounted_years: Some(11.2),
            net_present_value: 18300.0,
            cost_per_kg: Some(40.6),
            life_years: 20,
            discount_rate: 0.03,
        }),
        cover: Some(CoverView {
            figures: CoverRow {
                share: 0.1,
                of: "groceries".to_string(),
                spent: 80000.0,
                target: 8000.0,
                value_today: 5952.0,
                value_most_here: 9000.0,
                value_most: 10800.0,
                reached: false,
                bed_area_m2: Some(13.4),
                price_factor: Some(1.5),
                appetite_factor: None,
                appetite_area_m2: None,
                eaters: Some(2.2),
            },
            answer: vec![
                "10.0 % of the groceries is 8000.00 SEK a year; the house brings 5952.00 SEK today (7.4 %).".to_string(),
                "Beds: at least 13 m2 in place of 10 m2 (invented).".to_string(),
            ],
        }),
        notes: Vec::new(),
    }
}

pub fn prices() -> PricesView {
    let food = |name: &str, price: Option<f64>, source: &str, year: Option<i32>, mark: &str| {
        FoodPriceView {
            food: name.to_lowercase(),
            name: name.to_string(),
            price_per_kg: price.map(|mean| {
                std::array::from_fn(|month| wave(month as f64 * 30.4, mean, -mean / 9.0))
            }),
            price_source: source.to_string(),
            price_source_year: year,
            price_mark: mark.to_string(),
            bought_kg_week: 0.4,
            bought_source: "the household's word (invented)".to_string(),
            edible_share: 0.85,
        }
    };
    let receipts = "own receipts, 14 purchases";
    PricesView {
        place: "Östersund, Sweden".to_string(),
        currency: "SEK".to_string(),
        price_year: 2027,
        kitchen_loss: 0.2,
        eaten_at_home: 0.67,
        foods: vec![
            food("Tomato", Some(36.5), receipts, Some(2026), "own figure"),
            food("Spinach", Some(118.0), "invented", Some(2025), "assumption"),
            food(
                "Parsley",
                None,
                "no price published; give your own",
                None,
                "to ask",
            ),
        ],
        notes: vec![Note::new(
            NoteKind::Warning,
            "Parsley: give your price (invented).",
        )],
    }
}

pub fn check() -> CheckView {
    let fact = |name: &str, amount: Option<f64>, unit: &str| FactRow {
        fact: name.to_string(),
        amount,
        unit: unit.to_string(),
    };
    CheckView {
        project: "Storsjö garden".to_string(),
        place: "Östersund, Sweden".to_string(),
        facts: vec![
            fact("floor", Some(43.9), "m2"),
            fact("volume", Some(106.0), "m3"),
            fact("heat loss", Some(118.4), "W/K"),
            fact("shape", None, "single slope"),
        ],
        defaults: vec![DefaultRow {
            key: "house.air_change_per_h".to_string(),
            assumed: "0.5 per h".to_string(),
            source: "common practice, no source".to_string(),
        }],
        notes: Vec::new(),
    }
}

pub fn compare() -> CompareView {
    let row = |variant: &str, warmer: f64, kg: Option<f64>| CompareRow {
        variant: variant.to_string(),
        coldest_air_c: -5.3 + warmer,
        coldest_month_air_c: 2.5 + warmer,
        coldest_root_zone_c: 2.4 + warmer,
        darkest_month_mol_m2_day: 1.5,
        heater_kwh: 720.0,
        fuel: "propane".to_string(),
        fuel_unit: "L".to_string(),
        fuel_amount: 127.0,
        fan_kwh: 240.0,
        months_below_0_c: 5,
        energy_cost: Some(1440.0),
        grown_kg: kg,
        winter_grown_kg: kg.map(|kg| kg * 0.4),
        eaten_kg: kg.map(|kg| kg * 0.87),
        weeks_with_food: kg.map(|_| 47),
        value: kg.map(|kg| kg * 62.0),
        cost: kg.map(|_| 1080.0),
        net: kg.map(|kg| kg * 62.0 - 1080.0),
        payback_years: kg.map(|_| 8.9),
        discounted_payback_years: kg.map(|_| 11.2),
        net_present_value: kg.map(|kg| kg * 166.0),
    };
    CompareView {
        place: "Östersund, Sweden".to_string(),
        currency: "SEK".to_string(),
        variants: vec![
            row("as it is", 0.0, Some(110.0)),
            row("with a night curtain over the glazing", 2.1, Some(123.0)),
            row("plain tunnel", -13.0, None),
        ],
        months_in: [
            ("as it is", 4.5),
            ("with a night curtain over the glazing", 5.2),
            ("plain tunnel", 3.1),
        ]
        .map(|(variant, months)| CompareMonthsInRow {
            variant: variant.to_string(),
            crop: "tomato".to_string(),
            months_in: Some(Spread {
                p10: months - 0.6,
                p50: months,
                p90: months + 0.4,
            }),
        })
        .to_vec(),
        notes: Vec::new(),
    }
}

pub fn report() -> ReportView {
    ReportView {
        title: "Storsjö garden 2027".to_string(),
        summary: "A single-slope greenhouse of 44 m2 with three beds, for a household of four; planning year 2027."
            .to_string(),
        climate: climate(),
        season: season(),
        plan: plan(),
        value: value(),
        assumptions: check().defaults,
        sources: vec![SourceRow {
            figures: "weather".to_string(),
            source: "invented for the test of the page".to_string(),
        }],
        cautions: vec![Note {
            kind: NoteKind::Caution,
            text: "Outlets near water: residual-current protection, fitted by an electrician.".to_string(),
            source: "the electrical code in force decides".to_string(),
        }],
        version: "0.1.0".to_string(),
    }
}
