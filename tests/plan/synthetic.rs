//! Made-up households and crops for tests and benches: every figure is invented, drawn from a seed.

use bedyear::plan::*;
use chrono::NaiveDate;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A house of `beds` beds and `crops` crops over a settled year, everything that limits switched on.
///
/// Two kinds of bed (middle and edge), eight families, salad greens and roots as groups that stand in for each
/// other, roots and squash that keep, trays on a shelf, hours of work, and wishes for the winter.
pub fn house(beds: usize, crops: usize, seed: u64) -> Instance {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let weeks = 52;
    let area_m2 = 4.0;
    let eaters = beds as f64 / 2.0;
    let middle = beds.div_ceil(2);
    let mut classes = vec![BedClass {
        name: "middle".into(),
        count: middle,
        area_m2,
        climate: 0,
    }];
    if beds > middle {
        classes.push(BedClass {
            name: "edge".into(),
            count: beds - middle,
            area_m2,
            climate: 1,
        });
    }
    let family = |number: usize| Family {
        name: format!("family {number}"),
        may_follow_itself: number == 0,
        gap_years: if number == 0 { 1 } else { 3 },
    };
    let mut instance = Instance {
        start: NaiveDate::from_ymd_opt(2027, 1, 1).unwrap(),
        weeks,
        closing: Closing::EachBed,
        beds: classes,
        families: (0..8).map(family).collect(),
        foods: Vec::new(),
        groups: vec![
            Group {
                name: "salad greens".into(),
                appetite_kg_week: 3.0 * eaters,
            },
            Group {
                name: "roots".into(),
                appetite_kg_week: 3.0 * eaters,
            },
        ],
        candidates: Vec::new(),
        wishes: vec![Wish {
            target: Target::Group(0),
            kg_week: (0..weeks)
                .map(|w| {
                    if !(17..39).contains(&w) {
                        1.5 * eaters
                    } else {
                        0.0
                    }
                })
                .collect(),
            penalty_kg: 4.0,
            beyond: 0.5,
        }],
        wanted: Vec::new(),
        standing: Vec::new(),
        coming: Vec::new(),
        limits: Limits {
            sowings_week: None,
            labour_h_week: Some(1.0 + 1.0 * eaters),
            shelf_m2: Some(0.3 + 0.2 * eaters),
            ..Limits::default()
        },
        effort: Effort::default(),
        work_day: None,
    };
    for crop in 0..crops {
        let kind = crop % 4; // greens, roots, fruit, others
        let winter = rng.random_range(0.1..0.35);
        let keeps_weeks = match kind {
            0 => 1,
            1 => rng.random_range(3..16),
            2 => 1,
            _ => rng.random_range(0..3),
        };
        let base_price = match kind {
            0 => rng.random_range(6.0..12.0),
            1 => rng.random_range(2.0..4.0),
            _ => rng.random_range(3.0..7.0),
        };
        let season = |week: usize| (std::f64::consts::TAU * (week as f64 - 2.0) / 52.0).cos();
        let appetite = match kind {
            0 => [1.0, 1.0],
            _ => [0.5, 0.7],
        };
        instance.foods.push(Food {
            id: format!("food {crop}"),
            group: [Some(0), Some(1), None, None][kind],
            price_kg: (0..weeks)
                .map(|w| base_price * (1.0 + 0.2 * season(w)))
                .collect(),
            appetite: vec![
                Step {
                    kg_week: appetite[0] * eaters,
                    worth: 1.0,
                },
                Step {
                    kg_week: appetite[1] * eaters,
                    worth: 0.5,
                },
            ],
            keeps_weeks,
        });
        let grow_sum = rng.random_range(4.0..9.0); // summer weeks to first harvest
        let pick_sum = match kind {
            0 => rng.random_range(2.0..5.0),
            1 => 1.0,
            2 => rng.random_range(6.0..12.0),
            _ => rng.random_range(1.0..4.0),
        };
        let kg_m2 = match kind {
            2 => rng.random_range(3.0..8.0),
            _ => rng.random_range(1.2..4.0),
        };
        let tray_weeks = if rng.random_range(0..2) == 0 {
            rng.random_range(3..6)
        } else {
            0
        };
        let family = if kind == 0 && crop % 8 == 0 {
            0
        } else {
            rng.random_range(1..8)
        };
        let hardy = winter > 0.2 || kind == 0;
        for class in 0..instance.beds.len() {
            let edge = if class == 1 { 0.85 } else { 1.0 };
            for bed_week in 0..weeks {
                // Growth a week: 1 in summer, `winter` in midwinter.
                let rate = |week: usize| {
                    let summer = 0.5 - 0.5 * season(week % weeks);
                    edge * (winter + (1.0 - winter) * summer)
                };
                let (mut sum, mut week) = (if tray_weeks > 0 { 2.0 } else { 0.0 }, bed_week);
                while sum < grow_sum {
                    sum += rate(week);
                    week += 1;
                }
                let mut harvest: Vec<Harvest> = Vec::new();
                let mut picked = 0.0;
                let mut coldest = 1.0f64;
                while picked < pick_sum && week - bed_week < 45 {
                    let share = rate(week).min(pick_sum - picked);
                    let kg = kg_m2 * area_m2 * share / pick_sum;
                    harvest.push(Harvest {
                        week: week % weeks,
                        food: crop,
                        kg,
                    });
                    picked += share;
                    coldest = coldest.min(rate(week));
                    week += 1;
                }
                if coldest < 0.45 && !hardy {
                    continue;
                }
                let occupied = week - bed_week;
                if occupied > 45 {
                    continue;
                }
                let mut labour = vec![Labour {
                    week: bed_week,
                    hours: 0.8,
                }];
                labour.extend(harvest.iter().map(|pick| Labour {
                    week: pick.week,
                    hours: 0.2,
                }));
                instance.candidates.push(Candidate {
                    crop: format!("crop {crop}"),
                    family,
                    bed_class: class,
                    sow_week: (bed_week + weeks - tray_weeks) % weeks,
                    tray_weeks,
                    bed_week,
                    weeks: occupied,
                    cover: false,
                    harvest,
                    survival: 0.9,
                    cost: 2.0 + 0.5 * tray_weeks as f64,
                    labour,
                    shelf_m2: if tray_weeks > 0 { 0.2 } else { 0.0 },
                    beds_most: usize::MAX,
                    begun: Vec::new(),
                });
            }
        }
    }
    instance
}

/// The same house with every bed planted in so many equal patches.
pub fn in_patches(mut instance: Instance, patches: usize) -> Instance {
    let share = 1.0 / patches as f64;
    for class in &mut instance.beds {
        class.count *= patches;
        class.area_m2 *= share;
    }
    for candidate in &mut instance.candidates {
        candidate.cost *= share;
        candidate.shelf_m2 *= share;
        candidate
            .harvest
            .iter_mut()
            .for_each(|pick| pick.kg *= share);
        candidate
            .labour
            .iter_mut()
            .for_each(|work| work.hours *= share);
    }
    instance
}
