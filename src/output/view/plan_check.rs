//! A plan changed by hand against what it was.

use std::collections::BTreeSet;

use serde::Serialize;

use super::{GapRow, Note, Spread};
use crate::crops::Way;
use crate::output::row::{row, view};
use crate::output::text::{percent, short_date};
use crate::plan::assess::Saved;
use crate::study::{Job, NotOffered, PlanCheck, PlanStudy, Swap, WhyNot, WhyPlanted};

row! {
    /// What a change does to one food, or to the money.
    pub struct ChangeRow of (what: String, before: Option<f64>, after: f64, unit: &str) {
        /// Food, or what the money is for.
        what: String, "" => what;
        /// When the plan was saved; empty where the file does not say.
        before: Option<f64>, "see unit" => before;
        /// As it now stands.
        after: f64, "see unit" => after;
        /// After less before.
        change: Option<f64>, "see unit" => before.map(|before| after - before);
        /// Unit of the three.
        unit: String, "" => unit.to_owned();
    }
}

view! {
    /// A plan changed by hand against what it was.
    pub struct PlanCheckView of plan_check(job: &Job, check: &PlanCheck) {
        /// Name of the project.
        project: String => job.project.name.clone();
        /// Currency of all amounts.
        currency: String => check.plan.problem.market.currency.code().to_owned();
        /// Value, food at shop prices, seed and trays: then food by food, those that changed first.
        changes: Vec<ChangeRow> => changes(check);
        /// Value when it lives through each weather year.
        replayed_value: Spread => check.plan.replay.value;
        /// Rules that it breaks.
        broken: Vec<String> => check.broken.clone();
        /// Sowings that come through too seldom.
        doubtful: Vec<String> => check.doubtful.clone();
        /// Different kinds of crop.
        kinds: u32 => check.plan.found.simplicity.kinds as u32;
        /// Plantings: one crop sown on one day for one kind of bed.
        plantings_to_do: u32 => check.plan.found.simplicity.plantings as u32;
        /// The best plan found with no more kinds of crop; empty where none was looked for.
        best_alike: Option<BestAlikeView> => check.best_alike.map(|best| BestAlikeView {
            kinds: best.simplicity.kinds as u32,
            plantings: best.simplicity.plantings as u32,
            replayed_value_p50: best.median,
        });
        /// The single changes that gain most, each tried.
        gains: Vec<SwapRow> => check.gains.iter().map(SwapRow::of).collect();
        /// What the plan is warned of besides, as `plan` says it.
        warnings: Vec<Note> => super::plan_words::warnings(&check.plan, &check.broken);
        /// Wishes that are not met.
        gaps: Vec<GapRow> => super::plan_words::gap_rows(&check.plan);
    }
}

/// The best plan found that is as simple as one by hand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct BestAlikeView {
    /// Different kinds of crop.
    pub kinds: u32,
    /// Plantings.
    pub plantings: u32,
    /// Value of its middle weather year.
    pub replayed_value_p50: f64,
}

row! {
    /// One change of a plan, tried.
    pub struct SwapRow of (swap: &Swap) {
        /// What is asked about; empty for a change that gains.
        of: String, "" => swap.of.clone();
        /// What goes out of the beds.
        out: String, "" => sowings(&swap.out);
        /// What comes in its place.
        put: String, "" => sowings(&swap.put);
        /// What the plan is then worth more (negative: less) as it is lived: in the middle year, less what the targets miss and your
        /// time.
        value_change: f64, "currency" => swap.value;
        /// The same of the middle year alone.
        replayed_p50_change: f64, "currency" => swap.median;
    }
}

view! {
    /// What else could be in a plan, tried.
    pub struct SwapsView of swaps(study: &PlanStudy, question: &str, why: &WhyPlanted) {
        /// The question: a bed or a crop.
        question: String => question.to_owned();
        /// Currency of all amounts.
        currency: String => study.problem.market.currency.code().to_owned();
        /// Each change tried.
        swaps: Vec<SwapRow> => why.swaps.iter().map(SwapRow::of).collect();
        /// Crops of which there is nothing to try, and why.
        not_offered: Vec<String> => why.not_offered.iter().map(not_offered).collect();
    }
}

/// The money first and last, between them the foods, those that changed most first.
fn changes(check: &PlanCheck) -> Vec<ChangeRow> {
    let market = &check.plan.problem.market;
    let currency = market.currency.code();
    let money = |what: &str, of: fn(&Saved) -> f64| {
        ChangeRow::of(
            what.to_owned(),
            check.before.as_ref().map(of),
            of(&check.after),
            currency,
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
            ChangeRow::of(
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
    changes
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

/// Sowings in a list, or a word for none.
fn sowings(list: &[String]) -> String {
    match list {
        [] => "nothing".to_owned(),
        list => list.join("; "),
    }
}
