//! A plan changed by hand, from the study to the view.

use std::collections::BTreeSet;

use crate::crops::Way;
use crate::output::text::{percent, short_date};
use crate::output::view::{BestAlikeView, ChangeRow, PlanCheckView, SwapRow, SwapsView};
use crate::plan::assess::Saved;
use crate::study::{Job, NotOffered, PlanCheck, PlanStudy, Swap, WhyNot, WhyPlanted};

/// A plan changed by hand against what it was.
pub fn plan_check(job: &Job, check: &PlanCheck) -> PlanCheckView {
    let market = &check.plan.problem.market;
    let currency = market.currency.code().to_owned();
    let money = |what: &str, of: fn(&Saved) -> f64| {
        change(
            what.to_owned(),
            check.before.as_ref().map(of),
            of(&check.after),
            &currency,
        )
    };
    let mut changes = vec![
        money("replaced less seed and trays", |saved| {
            saved.replaced - saved.costs
        }),
        money("replaced", |saved| saved.replaced),
        money("seed and trays", |saved| saved.costs),
        money("eaten beyond that", |saved| saved.beyond),
    ];
    let before = check.before.iter().flat_map(|saved| saved.eaten_kg.keys());
    let foods: BTreeSet<&String> = before.chain(check.after.eaten_kg.keys()).collect();
    let kg = |saved: &Saved, food: &str| saved.eaten_kg.get(food).copied().unwrap_or(0.0);
    let mut eaten: Vec<ChangeRow> = foods
        .into_iter()
        .map(|food| {
            let name = market.food(food).map_or(food, |line| &line.name);
            change(
                format!("{name}, eaten"),
                check.before.as_ref().map(|saved| kg(saved, food)),
                kg(&check.after, food),
                "kg",
            )
        })
        .collect();
    let moved = |row: &ChangeRow| row.change.unwrap_or(row.after).abs();
    eaten.sort_by(|a, b| moved(b).total_cmp(&moved(a)));
    changes.extend(eaten);
    changes.push(money("with targets and your time weighed", |saved| {
        saved.search.value
    }));
    PlanCheckView {
        project: job.project.name.clone(),
        currency,
        changes,
        replayed_value: check.plan.replay.value,
        broken: check.broken.clone(),
        doubtful: check.doubtful.clone(),
        best_alike: check.best_alike.map(|best| BestAlikeView {
            kinds: best.simplicity.kinds as u32,
            plantings: best.simplicity.plantings as u32,
            replayed_value_p50: best.median,
        }),
        kinds: check.plan.found.simplicity.kinds as u32,
        plantings_to_do: check.plan.found.simplicity.plantings as u32,
        gains: check.gains.iter().map(swap).collect(),
        gaps: super::plan_words::gap_rows(&check.plan),
        warnings: super::plan_words::warnings(&check.plan, &check.broken),
    }
}

/// What else could be in a plan.
pub fn swaps(study: &PlanStudy, question: &str, why: &WhyPlanted) -> SwapsView {
    SwapsView {
        question: question.to_owned(),
        currency: study.problem.market.currency.code().to_owned(),
        swaps: why.swaps.iter().map(swap).collect(),
        not_offered: why.not_offered.iter().map(not_offered).collect(),
    }
}

fn in_what(way: Way) -> &'static str {
    match way {
        Way::Direct => "in the bed",
        Way::Tray => "in trays",
    }
}

/// Why a plan has no sowing of a crop to choose from, in words.
fn not_offered(one: &NotOffered) -> String {
    let name = one.crop.to_lowercase();
    match one.why {
        WhyNot::NotEaten => format!("{name}: the household neither buys it nor wishes for it"),
        WhyNot::NoRoom => format!("{name}: no section of a bed has room for one plant of it"),
        WhyNot::NoHarvest => format!("{name}: no sowing of any week comes to harvest here"),
        WhyNot::NotThen(surest) => format!(
            "{name}: sown {} about {} it would come through, but not on your days of work or not while this plan lasts",
            in_what(surest.way),
            short_date(surest.sow)
        ),
        WhyNot::Unsure(surest) => {
            let [by_weather, in_all] = [surest.by_weather, surest.in_all]
                .map(|(share, asked)| (percent(share, 0), percent(asked, 0)));
            let place = in_what(surest.way);
            format!(
                "{name}: no sowing is sure enough to plan on. The surest, sown {place} about {}, comes through in {} of the years by weather ({} asked), in {} with other losses ({} asked)",
                short_date(surest.sow),
                by_weather.0,
                by_weather.1,
                in_all.0,
                in_all.1
            )
        }
    }
}

fn swap(swap: &Swap) -> SwapRow {
    let words = |list: &[String]| {
        if list.is_empty() {
            "nothing".to_owned()
        } else {
            list.join("; ")
        }
    };
    SwapRow {
        of: swap.of.clone(),
        out: words(&swap.out),
        put: words(&swap.put),
        value_change: swap.value,
        replayed_p50_change: swap.median,
    }
}

fn change(what: String, before: Option<f64>, after: f64, unit: &str) -> ChangeRow {
    ChangeRow {
        what,
        before,
        after,
        change: before.map(|before| after - before),
        unit: unit.to_owned(),
    }
}
