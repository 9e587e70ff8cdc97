//! Small made-up cases and their best plan by trying everything.

use bedyear::plan::*;
use chrono::NaiveDate;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A random case of at most two beds and eight weeks; every kind of rule turns up in some of them.
pub fn case(seed: u64) -> Instance {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let weeks = rng.random_range(5..=8);
    let closing = if rng.random_range(0..2) == 0 {
        Closing::EachBed
    } else {
        Closing::Open
    };
    let beds = rng.random_range(1..=2);
    let crops = rng.random_range(2..=4);
    let same = rng.random_range(0..2) == 0;
    let class = |name: &str, count| BedClass {
        name: name.into(),
        count,
        area_m2: 2.0,
        climate: 0,
    };
    let classes = if same || beds == 1 {
        vec![class("bed", beds)]
    } else {
        vec![class("one", 1), class("other", 1)]
    };
    let foods: Vec<Food> = (0..crops)
        .map(|number| Food {
            id: format!("food {number}"),
            group: (number < 2).then_some(0),
            price_kg: (0..weeks).map(|_| rng.random_range(1.0..6.0)).collect(),
            appetite: vec![
                Step {
                    kg_week: rng.random_range(0.5..1.5),
                    worth: 1.0,
                },
                Step {
                    kg_week: rng.random_range(0.3..1.0),
                    worth: rng.random_range(0.2..0.9),
                },
            ],
            keeps_weeks: rng.random_range(0..4),
        })
        .collect();
    let families = (0..2).map(|number| Family {
        name: format!("family {number}"),
        may_follow_itself: number == 0 && rng.random_range(0..2) == 0,
        gap_years: 1,
    });
    let families: Vec<Family> = families.collect();
    let mut candidates = Vec::new();
    for crop in 0..crops {
        let tray_weeks = rng.random_range(0..2);
        for bed_class in 0..classes.len() {
            for bed_week in (0..weeks)
                .filter(|_| rng.random_range(0..10) < 6)
                .collect::<Vec<_>>()
            {
                let occupied = rng.random_range(2..=4);
                let cyclic = closing == Closing::EachBed;
                if !cyclic && bed_week < tray_weeks {
                    continue;
                }
                let picks = (occupied - 1..=occupied - rng.random_range(0..2))
                    .map(|after| bed_week + after);
                let harvest: Vec<Harvest> = picks
                    .filter(|&week| cyclic || week < weeks)
                    .map(|week| Harvest {
                        week: week % weeks,
                        food: crop,
                        kg: rng.random_range(0.3..2.5),
                    })
                    .collect();
                candidates.push(Candidate {
                    crop: format!("crop {crop}"),
                    family: crop % 2,
                    bed_class,
                    sow_week: (bed_week + weeks - tray_weeks) % weeks,
                    tray_weeks,
                    bed_week,
                    weeks: occupied,
                    cover: false,
                    labour: vec![Labour {
                        week: bed_week,
                        hours: 1.0,
                    }],
                    harvest,
                    survival: 0.9,
                    cost: rng.random_range(0.0..1.0),
                    shelf_m2: if tray_weeks > 0 { 0.5 } else { 0.0 },
                    beds_most: usize::MAX,
                    begun: Vec::new(),
                });
            }
        }
    }
    let mut flag = || rng.random_range(0..3) == 0;
    let limits = Limits {
        sowings_week: flag().then_some(1),
        labour_h_week: flag().then_some(1.0),
        shelf_m2: flag().then_some(0.5),
        ..Limits::default()
    };
    let wishes = if flag() {
        vec![Wish {
            target: Target::Group(0),
            kg_week: vec![0.7; weeks],
            penalty_kg: 3.0,
            beyond: 0.4,
        }]
    } else {
        Vec::new()
    };
    let wanted = if flag() {
        vec![Wanted {
            crop: "crop 1".into(),
            plantings: 2,
            penalty: 4.0,
        }]
    } else {
        Vec::new()
    };
    let standing = if closing == Closing::Open && flag() {
        vec![Standing {
            bed_class: 0,
            bed: 0,
            crop: "crop 0".into(),
            family: 0,
            free_week: 2,
            harvest: vec![Harvest {
                week: 1,
                food: 0,
                kg: 1.2,
            }],
        }]
    } else {
        Vec::new()
    };
    Instance {
        start: NaiveDate::from_ymd_opt(2027, 1, 1).unwrap(),
        weeks,
        closing,
        beds: classes,
        families,
        foods,
        groups: vec![Group {
            name: "group".into(),
            appetite_kg_week: 1.6,
        }],
        candidates,
        wishes,
        wanted,
        standing,
        coming: Vec::new(),
        limits,
        effort: Effort::default(),
        work_day: None,
    }
}

/// Value of a plan, counted from what is eaten.
pub fn value(instance: &Instance, plan: &Plan) -> f64 {
    let eaten = schedule::eating(instance, &schedule::harvest(instance, plan));
    let there = || {
        plan.beds
            .iter()
            .flat_map(|bed| &bed.plantings)
            .map(|&p| &instance.candidates[p])
    };
    let costs: f64 = there().map(|candidate| candidate.cost).sum();
    let missed = |wanted: &Wanted| {
        wanted.penalty
            * wanted
                .plantings
                .saturating_sub(there().filter(|c| c.crop == wanted.crop).count())
                as f64
    };
    schedule::worth(instance, &eaten)
        - costs
        - instance.wanted.iter().map(missed).sum::<f64>()
        - instance.effort.of(instance.simplicity(plan))
}

/// Best value of all plans that keep the rules.
pub fn best_by_trying_all(instance: &Instance) -> f64 {
    let beds: Vec<(usize, usize)> = instance
        .beds
        .iter()
        .enumerate()
        .flat_map(|(class, kind)| (0..kind.count).map(move |bed| (class, bed)))
        .collect();
    let choices: Vec<Vec<Vec<usize>>> =
        beds.iter().map(|&bed| successions(instance, bed)).collect();
    let mut best = f64::NEG_INFINITY;
    let mut at = vec![0; beds.len()];
    loop {
        let plan = Plan {
            beds: beds
                .iter()
                .enumerate()
                .map(|(n, &(class, bed))| BedPlan {
                    class,
                    bed,
                    plantings: choices[n][at[n]].clone(),
                })
                .collect(),
        };
        if verify::check_rules(instance, &plan).is_empty() {
            best = best.max(value(instance, &plan));
        }
        let mut place = 0;
        loop {
            if place == at.len() {
                return best;
            }
            at[place] += 1;
            if at[place] < choices[place].len() {
                break;
            }
            at[place] = 0;
            place += 1;
        }
    }
}

/// Every list of plantings that fits one bed by weeks; rotation is left to the rules.
fn successions(instance: &Instance, (class, bed): (usize, usize)) -> Vec<Vec<usize>> {
    let mut lists = vec![Vec::new()];
    let mut at = 0;
    while at < lists.len() {
        let list: Vec<usize> = lists[at].clone();
        let after = list.last().map_or(0, |&last| last + 1);
        for next in after..instance.candidates.len() {
            if instance.candidates[next].bed_class != class {
                continue;
            }
            let mut longer = list.clone();
            longer.push(next);
            let beds = (0..instance.beds.len())
                .flat_map(|c| (0..instance.beds[c].count).map(move |b| (c, b)));
            let plan = Plan {
                beds: beds
                    .map(|(c, b)| BedPlan {
                        class: c,
                        bed: b,
                        plantings: if (c, b) == (class, bed) {
                            longer.clone()
                        } else {
                            Vec::new()
                        },
                    })
                    .collect(),
            };
            let full = |fault: &verify::Fault| matches!(fault, verify::Fault::OverFull { .. });
            if !verify::check_rules(instance, &plan).iter().any(full) {
                lists.push(longer);
            }
        }
        at += 1;
    }
    lists
}
