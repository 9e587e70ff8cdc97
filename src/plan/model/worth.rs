//! What eating is worth: steps of foods, tables of groups, with what wishes add.

use super::{Segment, Table};
use crate::plan::instance::{Instance, Target};

/// Steps of worth per food and week, with what a wish for the food adds to its first kilograms.
pub(super) fn food_steps(instance: &Instance) -> Vec<Vec<Segment>> {
    let mut all = Vec::with_capacity(instance.foods.len() * instance.weeks);
    for (number, food) in instance.foods.iter().enumerate() {
        for week in 0..instance.weeks {
            let price = food.price_kg[week];
            let steps = instance.appetite(number, week).into_iter();
            let steps = steps.map(|step| Segment {
                kg: step.kg_week,
                worth: price * step.worth,
            });
            let wishes = wish_steps(instance, Target::Food(number), week);
            all.push(add_worth(&steps.collect::<Vec<_>>(), &wishes));
        }
    }
    all
}

pub(super) fn tables(instance: &Instance) -> Vec<Table> {
    let weeks = 0..instance.weeks;
    let mut tables = Vec::new();
    for number in 0..instance.groups.len() {
        let foods: Vec<usize> = (0..instance.foods.len())
            .filter(|&f| instance.foods[f].group == Some(number))
            .collect();
        let total = |week| {
            let all = [Segment {
                kg: instance.group_appetite_kg(number, week),
                worth: 0.0,
            }];
            add_worth(&all, &wish_steps(instance, Target::Group(number), week))
        };
        if !foods.is_empty() {
            tables.push(Table {
                group: Some(number),
                foods,
                total: weeks.clone().map(total).collect(),
            });
        }
    }
    let no_limit = vec![Segment {
        kg: f64::INFINITY,
        worth: 0.0,
    }];
    for food in (0..instance.foods.len()).filter(|&f| instance.foods[f].group.is_none()) {
        tables.push(Table {
            group: None,
            foods: vec![food],
            total: vec![no_limit.clone(); instance.weeks],
        });
    }
    tables
}

fn wish_steps(instance: &Instance, target: Target, week: usize) -> Vec<Segment> {
    let wishes = instance.wishes.iter().filter(|wish| wish.target == target);
    wishes
        .map(|wish| Segment {
            kg: wish.kg_week[week],
            worth: wish.penalty_kg,
        })
        .collect()
}

/// Adds to falling steps what each wish gives to the first kilograms; the sum still falls.
fn add_worth(steps: &[Segment], wishes: &[Segment]) -> Vec<Segment> {
    let mut out = Vec::new();
    let mut from = 0.0;
    for step in steps {
        let to = from + step.kg;
        let mut cuts: Vec<f64> = wishes
            .iter()
            .map(|wish| wish.kg)
            .filter(|&kg| kg > from && kg < to)
            .collect();
        cuts.sort_by(f64::total_cmp);
        cuts.push(to);
        let mut low = from;
        for cut in cuts {
            let extra: f64 = wishes
                .iter()
                .filter(|wish| wish.kg > low)
                .map(|wish| wish.worth)
                .sum();
            if cut > low {
                out.push(Segment {
                    kg: cut - low,
                    worth: step.worth + extra,
                });
            }
            low = cut;
        }
        from = to;
    }
    out
}
