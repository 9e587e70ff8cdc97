//! Buildings side by side, from the study to the view.

use crate::output::view::{CompareMonthsInRow, CompareRow, CompareView, Note, NoteKind, Spread};
use crate::study::{Compared, PlanStudy, ValueStudy};

/// A variant simulated, with its plan and account where they were made.
pub struct ComparedVariant {
    /// Simulated.
    pub compared: Compared,
    /// Planned and valued; none where it was not asked for.
    pub planned: Option<(PlanStudy, ValueStudy)>,
    /// Does the file's building cost belong to this building?
    pub own_cost: bool,
    /// Where it stands.
    pub place: String,
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
    let mut notes = vec![Note::new(
        NoteKind::Note,
        "coldest hours are medians over the weather years and energy is their mean; months in are those of the median \
         year, in the kindest bed",
    )];
    if !one_currency {
        notes.push(Note::new(
            NoteKind::Warning,
            "the files count in different currencies: money is left out",
        ));
    }
    if variants.iter().any(|variant| !variant.own_cost) {
        notes.push(Note::new(
            NoteKind::Note,
            "what a built-in variant costs to build is not in the file, so it has no payback",
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

fn row(variant: &ComparedVariant, with_money: bool) -> CompareRow {
    let compared = &variant.compared;
    let planned = variant.planned.as_ref();
    let year = planned.map(|(_, value)| &value.year);
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
        fan_kwh: compared.fan_kwh,
        months_below_0_c: compared.months_below_0_c as u32,
        energy_cost: compared.energy_cost.filter(|_| with_money),
        grown_kg: year.map(|year| year.grown_kg),
        eaten_kg: year.map(|year| year.eaten_kg),
        weeks_with_food: planned.map(|(plan, _)| weeks_with_food(plan)),
        value: money(|year| year.value),
        cost: money(|year| year.cost),
        net: money(|year| year.net),
        payback_years: planned
            .filter(|_| variant.own_cost)
            .and_then(|(_, value)| value.payback.as_ref())
            .and_then(|payback| payback.simple_years),
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
        .map(|(crop, found)| CompareMonthsInRow {
            variant: variant.compared.name.clone(),
            crop: crop.clone(),
            months_in: found.as_ref().map(|found| Spread::from(found.stays)),
        })
        .collect()
}
