//! What a plan cannot give, and what to know of it, in words.

use std::collections::BTreeSet;

use super::{GapRow, Note, NoteKind, PlanView, place};
use crate::crops::{Crop, Flower, Habit, Pollinator};
use crate::output::text::{fixed, joined, money_decimals, percent, short_date, spoken};
use crate::phrase::{Phrase, amount, phrase};
use crate::plan::Closing;
use crate::plan::gaps::{Cause, Gap};
use crate::plan::years::YearsOn;
use crate::study::{Closes, PlanStudy, brings, rule_broken};

/// The gaps as rows.
pub fn gap_rows(study: &PlanStudy) -> Vec<GapRow> {
    study
        .gaps
        .iter()
        .map(|gap| GapRow::of(study, gap))
        .collect()
}

pub(super) fn cause(gap: &Gap) -> &'static str {
    match gap.cause {
        Cause::NothingGrows => "no sowing that comes through is ready or keeps till then",
        Cause::TooEarly => "nothing sown since the plan began is ready yet",
        Cause::PoorYears => "short in poor years; mean harvests would meet it",
        Cause::Space => {
            "the beds hold what is worth more, or more is not worth its seed and your time"
        }
        Cause::Limit => "hours, shelf or sowings of a week are used up",
    }
}

pub(super) fn remedy(study: &PlanStudy, gap: &Gap) -> Phrase {
    if gap.cause == Cause::TooEarly {
        return "buy it in these weeks, or begin earlier".into();
    }
    let Some(remedy) = &gap.remedy else {
        return "no sowing that was tried; buy it in these weeks".into();
    };
    /// Share from which a remedy closes the whole gap.
    const ALL: f64 = 0.95;
    let candidate = &study.problem.instance.candidates[remedy.candidate];
    let sow = study.problem.instance.date_of_week(candidate.sow_week);
    let crop = &study.problem.crops[study.problem.outcome(remedy.candidate).crop];
    let closes = if remedy.closes >= ALL {
        "would close it".to_owned()
    } else {
        format!("would close {} of it", percent(remedy.closes, 0))
    };
    let money = brings(&study.problem.instance, gap).map_or_else(String::new, |brings| {
        let code = study.problem.market.currency.code();
        let [worth, cost] = [brings.worth, brings.cost].map(|money| fixed(money, 0));
        let but = if brings.cost > brings.worth {
            ", but"
        } else {
            ""
        };
        format!("; food worth {worth} {code}{but} for {cost} of seed")
    });
    phrase![
        amount(remedy.area_m2.max(0.1), "m2", 1),
        format!(
            " more of {} sown by {} {closes}{money}",
            spoken(&crop.name),
            short_date(sow)
        )
    ]
}

/// Says under the largest shortfalls what a changed building would close of them, each measure having been simulated.
pub fn add_measures(view: &mut PlanView, tried: &[(usize, Option<Closes>)]) {
    for (gap, closes) in tried {
        if let (Some(row), Some(closes)) = (view.gaps.get_mut(*gap), closes) {
            row.house = in_words(closes, &view.currency);
            row.house_gains = Some(closes.gains()).filter(|gains| gains.is_finite());
        }
    }
}

/// A measure with what it does to a shortfall, and what that costs beside what it brings.
fn in_words(closes: &Closes, currency: &str) -> Phrase {
    /// Energy that costs less a year is not worth a word, units of the currency.
    const LEAST_COST: f64 = 0.5;
    /// Share by which a sowing must better the measure alone to be named with it.
    const BETTER: f64 = 0.05;
    let of_it = |share: f64| percent(share, 0);
    let worth = fixed(closes.worth_more.max(0.0), 0);
    let money = match closes.energy_cost_more {
        None => "; what its energy costs is not known".to_owned(),
        Some(cost) if cost < LEAST_COST => {
            format!("; food worth {worth} {currency} more a year, before what it costs to build")
        }
        Some(cost) => {
            let but = if closes.gains() < 0.0 {
                ", but"
            } else {
                "; it"
            };
            let cost = fixed(cost, 0);
            format!(
                "{but} takes {cost} {currency} of energy a year for food worth {worth}, before what it costs to build"
            )
        }
    };
    match &closes.with_more {
        Some((share, crop, sow, area_m2)) if *share > closes.as_planted + BETTER => phrase![
            &closes.measure,
            " and ",
            amount(area_m2.max(0.1), "m2", 1),
            format!(
                " of {} sown by {} would close {} of it{money}",
                spoken(crop),
                short_date(*sow),
                of_it(*share)
            )
        ],
        _ => phrase![
            &closes.measure,
            format!(" would close {} of it{money}", of_it(closes.as_planted))
        ],
    }
}

/// What to know of a plan.
pub fn notes(study: &PlanStudy) -> Vec<Note> {
    let mut notes = vec![Note::plain(
        "what the plan replaces is food that the household would have bought, at the prices of its weeks, eaten week by week without knowing what comes, less seed and trays; food eaten beyond that stands beside it. The search has a measure of its own: mean harvests eaten as well as can be, with a penalty for every kilogram missing to a target",
    )];
    notes.extend(simplicity(study));
    let said = study.problem.notes.iter();
    notes.extend(said.map(Note::plain));
    notes.extend(years_on(&study.years_on, study));
    notes.extend(growing(study));
    let unmet = study.problem.warnings.iter().chain(&study.found.remarks);
    notes.extend(unmet.map(Note::warning));
    if study.found.stopped {
        notes.push(Note::warning(
            "the search was stopped before it was done: this is the best plan so far",
        ));
    }
    notes
}

/// What a person is warned of in a plan, broken rules apart.
pub fn warnings(study: &PlanStudy, broken: &[String]) -> Vec<Note> {
    let broken: Vec<Phrase> = broken.iter().map(|rule| rule_broken(rule)).collect();
    let mut warnings = notes(study);
    warnings.retain(|note| note.kind == NoteKind::Warning && !broken.contains(&note.text));
    warnings
}

/// What the household's time and the families' rest cost.
fn simplicity(study: &PlanStudy) -> Vec<Note> {
    let code = study.problem.market.currency.code();
    let mut notes = Vec::new();
    if study.found.effort > 0.0 {
        let effort = study.problem.instance.effort;
        let per = |money: f64| fixed(money, money_decimals(&[money]));
        notes.push(format!(
            "your time: {} {code} a planting, {} a kind and {} a sowing day weigh {} {code} in the choice of this plan and are no money (other weights: `[effort]` in the file)",
            per(effort.planting),
            per(effort.kind),
            per(effort.sowing_week),
            fixed(study.found.effort, 0)
        ));
    }
    if let Some(costs) = study.rotation_costs {
        notes.push(format!(
            "each place rests from a family for its years as far as the beds allow: {}; the file can ask for less, that no family follows itself (`rotation = \"crops\"` in `[household]`)",
            match fixed(costs, 0).as_str() {
                "0" => "no plan without that was found to replace more".to_owned(),
                costs => format!("that costs {costs} {code} a year of what the plan replaces"),
            }
        ));
    }
    notes.into_iter().map(Note::plain).collect()
}

/// Rotation in the years that follow.
fn years_on(years: &YearsOn, study: &PlanStudy) -> Vec<Note> {
    let instance = &study.problem.instance;
    let mut notes = Vec::new();
    for turn in &years.turns {
        let names = joined(&turn.round, "; ", |one| {
            let bed = &study.problem.places[one.place];
            match bed.count {
                1 => bed.name.clone(),
                _ => place(&bed.name, &(one.slot + 1).to_string()),
            }
        });
        let text = format!(
            "next year, with what is sown or set out from {} on, each of these sections takes over the plan of the one before it, and the first that of the last: {names}",
            short_date(instance.date_of_week(turn.week))
        );
        notes.push(Note::plain(text));
    }
    if !years.short.is_empty() {
        let rows: Vec<String> = years
            .short
            .iter()
            .map(|short| {
                format!(
                    "{} after {} of {} years in {} section{}{}",
                    short.family,
                    match short.kept_years {
                        0 => "less than 1".to_owned(),
                        kept => kept.to_string(),
                    },
                    short.asked_years,
                    short.patches,
                    if short.patches == 1 { "" } else { "s" },
                    match instance.closing {
                        Closing::EachBed => " each year",
                        Closing::Open => "",
                    }
                )
            })
            .collect();
        let text = format!(
            "rotation: with these beds and targets some families come back too soon: {}; watch for soil-borne disease",
            rows.join(", ")
        );
        notes.push(Note::warning(text));
    } else if instance.closing == Closing::EachBed {
        notes.push(Note::plain(
            "rotation: every family keeps its gap of years in every place",
        ));
    }
    notes
}

/// What the crops of the plan ask of the grower.
fn growing(study: &PlanStudy) -> Vec<Note> {
    let crops: BTreeSet<&str> = study
        .plantings
        .iter()
        .map(|planting| study.problem.outcome(planting.candidate).crop)
        .map(|crop| study.problem.crops[crop].id.as_str())
        .collect();
    let planted = |is: &dyn Fn(&Crop) -> bool| -> Vec<String> {
        study
            .problem
            .crops
            .iter()
            .filter(|crop| crops.contains(crop.id.as_str()) && is(crop))
            .map(|crop| crop.name.to_lowercase())
            .collect()
    };
    let by_hand = planted(&|crop| {
        crop.habit == Habit::Fruit && crop.flower.set_share(Pollinator::None) < 1.0
    });
    let cucumber = planted(&|crop| crop.food == "cucumber" && crop.flower == Flower::NoPollen);
    let mut notes = Vec::new();
    if !by_hand.is_empty() {
        notes.push(format!(
            "pollinate by hand while the house is closed, or shake the trusses: {}",
            by_hand.join(", ")
        ));
    }
    if !cucumber.is_empty() {
        notes.push(
            "cucumber: take a variety that sets fruit without pollination (parthenocarpic), or pollinate by hand in a closed house"
                .to_owned(),
        );
    }
    notes.into_iter().map(Note::plain).collect()
}
