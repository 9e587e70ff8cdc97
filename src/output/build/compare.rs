//! Buildings side by side, from the study to the view.

use crate::output::text::fixed;
use crate::output::view::{CompareMonthsInRow, CompareRow, CompareView, Note};
use crate::phrase::{amount, phrase};
use crate::study::{Compared, PlanStudy, ValueStudy};
use crate::value;

/// A variant simulated, with its plan and account where they were made.
pub struct ComparedVariant {
    /// Simulated.
    pub compared: Compared,
    /// Planned and valued; none where it was not asked for.
    pub planned: Option<(PlanStudy, ValueStudy)>,
    /// Is it known what this building costs?
    pub cost_known: bool,
    /// Where it stands.
    pub place: String,
    /// South of the equator?
    pub southern: bool,
}

/// Buildings side by side; the first is the one the others are held against.
pub fn compare(variants: &[ComparedVariant]) -> CompareView {
    let first = variants.first();
    let currency = first.map(|first| first.compared.currency);
    let one_currency = variants
        .iter()
        .all(|variant| Some(variant.compared.currency) == currency);
    let mut places: Vec<&str> = Vec::new();
    for variant in variants {
        if !places.contains(&variant.place.as_str()) {
            places.push(&variant.place);
        }
    }
    let mut notes = vec![Note::plain(
        "coldest hours are medians over the weather years and energy is their mean; months in are those of the median \
         year, in the kindest bed",
    )];
    if !one_currency {
        notes.push(Note::warning(
            "the files count in different currencies: money is left out",
        ));
    }
    if variants.iter().any(|variant| !variant.cost_known) {
        notes.push(Note::plain("what a measure costs to build is not in the file, so a variant with one has no payback",
        ));
    }
    CompareView {
        place: places.join(", "),
        currency: currency.map_or_else(String::new, |currency| currency.code().to_owned()),
        variants: variants
            .iter()
            .map(|variant| row(variant, one_currency))
            .collect(),
        months_in: variants.iter().flat_map(months_in).collect(),
        notes,
    }
}

/// A published cost with its unit, year and source.
fn published(item: &str) -> String {
    value::input(item).map_or_else(String::new, |row| {
        let year = row
            .year
            .map_or_else(String::new, |year| format!(", {year}"));
        format!(
            "{} {} ({}{year}; {})",
            fixed(row.value, 2),
            row.unit,
            row.source,
            row.mark
        )
    })
}

/// What the built-in variants are.
pub fn built_in_notes(set_point_c: f64) -> Vec<Note> {
    let held = amount(set_point_c, "°C", 1);
    [
        phrase![
            "heated, and heated tunnel: held at ",
            held,
            " by a heater as large as that takes, on the fuel of the file; the heater's own price is not counted"
        ],
        format!(
            "plain and heated tunnel: one film over the same floor; building: {}; film: {}, renewed every {} years; upkeep: {} \
             {}; all in the money of the file",
            published("build_high_tunnel"),
            published("cover_cost_film"),
            fixed(value::input("cover_life_film").map_or(0.0, |row| row.value), 0),
            fixed(value::input("upkeep_share").map_or(0.0, |row| row.value), 2),
            "of the building's cost a year (common practice, no source)",
        )
        .into(),
        "outdoors: the same beds under the open sky; rain is not set against the water they are given".into(),
    ]
    .map(Note::plain)
    .to_vec()
}

fn row(variant: &ComparedVariant, with_money: bool) -> CompareRow {
    let compared = &variant.compared;
    let planned = variant.planned.as_ref();
    let year = planned.map(|(_, value)| &value.year);
    let fuel = Some(compared.fuel).filter(|fuel| fuel.amount > 0.0);
    let life = planned
        .filter(|_| variant.cost_known && with_money)
        .and_then(|(_, value)| value.with_building.as_ref());
    let money = |of: fn(&crate::value::YearValue) -> crate::value::Money| {
        year.filter(|_| with_money)
            .map(|year| year.currency.amount(of(year)))
    };
    CompareRow {
        variant: compared.name.clone(),
        coldest_air_c: compared.coldest_air_c,
        coldest_month_air_c: compared.coldest_month_air_c,
        coldest_root_zone_c: compared.coldest_root_zone_c,
        darkest_month_mol_m2_day: compared.darkest_month_mol_m2_day,
        heater_kwh: compared.heater_kwh,
        fuel: fuel.map_or_else(String::new, |fuel| fuel.fuel.name().to_owned()),
        fuel_unit: fuel.map_or_else(String::new, |fuel| fuel.unit.to_owned()),
        fuel_amount: fuel.map_or(0.0, |fuel| fuel.amount),
        fan_kwh: compared.fan_kwh,
        months_with_frost: compared.months_with_frost as u32,
        energy_cost: compared.energy_cost.filter(|_| with_money),
        grown_kg: year.map(|year| year.grown_kg),
        winter_grown_kg: year.map(|year| year.winter_grown_kg(variant.southern)),
        eaten_kg: year.map(|year| year.eaten_kg),
        weeks_with_food: planned.map(|(plan, _)| weeks_with_food(plan)),
        value: money(|year| year.value),
        cost: money(|year| year.cost),
        net: money(|year| year.net),
        left_out: planned
            .filter(|_| with_money)
            .map_or_else(String::new, |(_, value)| super::value::left_out(value)),
        payback_years: life.and_then(|life| life.simple_years),
        discounted_payback_years: life.and_then(|life| life.discounted_years),
        net_present_value: life.map(|life| life.net_present_value),
    }
}

/// Weeks in which something from the beds is eaten, in the mean of the weather years.
fn weeks_with_food(plan: &PlanStudy) -> u32 {
    (0..crate::calendar::WEEKS_PER_YEAR)
        .filter(|&week| {
            plan.tables
                .iter()
                .flatten()
                .any(|flow| flow.eaten_kg.get(week).is_some_and(|kg| *kg > 0.0))
        })
        .count() as u32
}

fn months_in(variant: &ComparedVariant) -> Vec<CompareMonthsInRow> {
    variant
        .compared
        .months_in
        .iter()
        .map(|stay| CompareMonthsInRow::of(&variant.compared.name, stay))
        .collect()
}
