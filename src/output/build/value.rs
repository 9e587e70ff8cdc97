//! The year's account, from the study to the view.

use crate::output::text::{fixed, listed, percent};
use crate::output::view::{
    CostRow, LifeRow, MonthCostRow, Note, PriceRow, ValueMonth, ValueView, ValueYear,
};
use crate::phrase::{Phrase, amount, phrase};
use crate::study::{Job, PlanStudy, ValueStudy};
use crate::value::{CostKind, Currency, Flag, Market, Missing, Money, Payback};

/// Food and money through the year.
pub fn value(job: &Job, plan: &PlanStudy, study: &ValueStudy) -> ValueView {
    let year = &study.year;
    let currency = year.currency;
    let money = |amount: Money| currency.amount(amount);
    let left_out = left_out(study);
    let own = &job.project.costs;
    let life = |case: &str, outlay: f64, payback: &Payback| {
        LifeRow::of(case, outlay, &left_out, payback, own.discount_rate)
    };
    ValueView {
        place: job.site.place.name.clone(),
        currency: currency.code().to_owned(),
        months: std::array::from_fn(|at| ValueMonth::of(&year.months[at], currency, &left_out)),
        year: ValueYear::of(year, &left_out),
        ceiling: money(year.ceiling),
        share_of_produce: year.share_of_produce,
        share_of_groceries: year.share_of_groceries,
        left_out: year.left_out.clone(),
        foreign_prices: foreign_prices(&plan.problem.market),
        prices: prices(plan, study),
        costs: costs(study),
        costs_by_month: costs_by_month(study),
        without_building: life("without the building's cost", 0.0, &study.without_building),
        with_building: own
            .building
            .zip(study.with_building.as_ref())
            .map(|(outlay, payback)| life("with the building's cost", outlay, payback)),
        cover: None,
        notes: notes(plan, study),
    }
}

fn prices(plan: &PlanStudy, study: &ValueStudy) -> Vec<PriceRow> {
    let market = &plan.problem.market;
    study
        .year
        .foods
        .iter()
        .filter_map(|food| {
            let line = market.food(&food.food)?;
            Some(PriceRow::of(food, line, study.year.currency))
        })
        .collect()
}

/// What the costs leave out for want of a price, in one line.
pub(super) fn left_out(study: &ValueStudy) -> String {
    let words: Vec<String> = study.year.left_out.iter().map(Phrase::to_string).collect();
    listed(&words)
}

/// Countries whose prices stand in for those of the currency's own, in words; empty where none do.
pub(super) fn foreign_prices(market: &Market) -> String {
    let mut names: Vec<String> = market
        .foods
        .iter()
        .filter_map(|line| line.price_country)
        .filter(|country| country.currency_code() != market.currency.code())
        .map(|country| country.name().to_owned())
        .collect();
    names.sort();
    names.dedup();
    listed(&names)
}

fn costs(study: &ValueStudy) -> Vec<CostRow> {
    study
        .year
        .costs
        .iter()
        .map(|(kind, amount)| CostRow {
            item: cost_word(*kind).to_owned(),
            cost: study.year.currency.amount(*amount),
            basis: cost_basis(study, *kind),
        })
        .collect()
}

fn cost_word(kind: CostKind) -> &'static str {
    match kind {
        CostKind::Seed => "seed",
        CostKind::TrayMix => "tray mix",
        CostKind::Compost => "compost",
        CostKind::Supplies => "seed, trays and compost",
        CostKind::Water => "water",
        CostKind::Fan => "fan",
        CostKind::Heater => "heater",
        CostKind::Lamp => "lamps",
        CostKind::Upkeep => "upkeep",
        CostKind::Cover => "new cover, a year's part",
        CostKind::Building => "building, a year's part",
    }
}

fn cost_basis(study: &ValueStudy, kind: CostKind) -> String {
    let fixed_one = study
        .fixed
        .costs
        .iter()
        .zip(&study.fixed.basis)
        .find(|(cost, _)| cost.kind == kind)
        .map(|(_, found)| found.in_line());
    let tariff = match kind {
        CostKind::Fan | CostKind::Lamp => study.tariff.electricity_kwh.as_ref(),
        CostKind::Heater => study.tariff.fuel_kwh.as_ref(),
        CostKind::Water => study.tariff.water_m3.as_ref(),
        _ => None,
    };
    fixed_one
        .or_else(|| tariff.map(|priced| priced.basis.in_line()))
        .unwrap_or_else(|| "not counted: no price is published; give your own".to_owned())
}

fn costs_by_month(study: &ValueStudy) -> Vec<MonthCostRow> {
    let currency = study.year.currency;
    let of_month = |month: &crate::value::MonthValue| {
        let number = month.month;
        month
            .costs
            .iter()
            .map(move |(kind, amount)| MonthCostRow {
                month: number,
                item: cost_word(*kind).to_owned(),
                cost: currency.amount(*amount),
            })
            .collect::<Vec<_>>()
    };
    study.year.months.iter().flat_map(of_month).collect()
}

fn notes(plan: &PlanStudy, study: &ValueStudy) -> Vec<Note> {
    let currency = study.year.currency;
    let market = &plan.problem.market;
    let flags = study
        .year
        .flags
        .iter()
        .map(|flag| Note::warning(flag_words(flag, currency)));
    let asked = asked(market).map(Note::warning);
    let assumed = market
        .assumptions
        .iter()
        .map(|text| Note::plain(text.clone()));
    let work = Note::plain(format!(
        "work: about {} hours a year, not counted as a cost (hours by bed area, plant and harvest: common practice, no source)",
        fixed(study.year.work_h, 0)
    ));
    let water = Note::plain(phrase![
        "water: about ",
        amount(study.water_l, "L", 0),
        " a year by FAO-56"
    ]);
    flags
        .chain(asked)
        .chain(assumed)
        .chain([work, water])
        .collect()
}

/// The foods to ask a price for, in one sentence.
pub(super) fn asked(market: &Market) -> Option<String> {
    let foods: Vec<&str> = market
        .asked
        .iter()
        .filter(|asked| asked.what == Missing::Price)
        .filter_map(|asked| market.food(&asked.food))
        .map(|line| line.food.as_str())
        .collect();
    (!foods.is_empty()).then(|| {
        format!(
            "no price is published for {}: give what you pay under [money.prices], as in {} = \"... {}/kg\"; until then \
             they count for nothing and are planned only where you wish for them",
            foods.join(", "),
            foods[0],
            market.currency.code()
        )
    })
}

fn flag_words(flag: &Flag, currency: Currency) -> Phrase {
    let text = |amount: Money| format!("{} {}", currency.text(amount), currency.code());
    let words = match flag {
        Flag::AppetiteAboveProduce { appetite, produce } => format!(
            "the appetite at these prices comes to {} a year, more than the {} of produce bought: either prices or appetite are too high",
            text(*appetite),
            text(*produce)
        ),
        Flag::ValueAboveProduce { value, produce } => format!(
            "the food eaten would be worth {}, more than the {} that the household spends on produce; nobody saves more than they spend",
            text(*value),
            text(*produce)
        ),
        Flag::NotPriced { food, eaten_kg } => {
            return phrase![
                format!("{food}: "),
                amount(*eaten_kg, "kg", 1),
                " eaten without a price, counted as nothing"
            ];
        }
        Flag::UnknownFood { food } => {
            format!("`{food}` is not a food on file and counts for nothing")
        }
        Flag::CostNotCounted { what } => {
            return phrase![
                "not counted as a cost: ",
                &what.what,
                format!(": {}", what.why)
            ];
        }
        Flag::FirstYearAlone => {
            "food and costs after the first 52 weeks of the plan are not in this account".to_owned()
        }
        Flag::NoBudget => {
            "neither groceries nor produce budget is known, so shares are missing".to_owned()
        }
    };
    words.into()
}

/// Shares of the year in one sentence.
pub fn shares(view: &ValueView) -> String {
    match (view.share_of_produce, view.share_of_groceries) {
        (Some(produce), Some(groceries)) => format!(
            "{} of the produce budget, {} of all groceries",
            percent(produce, 0),
            percent(groceries, 1)
        ),
        (Some(produce), None) => format!("{} of the produce budget", percent(produce, 0)),
        _ => String::new(),
    }
}
