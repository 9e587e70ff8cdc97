//! What was understood of a project, from the file stage to the view.

use crate::calendar::MONTH_HEADS;
use crate::file::check::{AIR_CHANGE_WIND_M_S, Caution, Understood, understood};
use crate::file::{Assumed, Project};
use crate::output::text::{fixed, listed, percent};
use crate::output::view::{CheckView, DefaultRow, FactRow, Note, NoteKind};
use crate::phrase::{Phrase, amount, phrase};
use crate::site::Site;

/// What was understood of a project that stands at `site`.
pub fn check(project: &Project, site: &Site) -> CheckView {
    let understood = understood(project);
    CheckView {
        project: understood.name.clone(),
        place: site.place.name.clone(),
        facts: facts(&understood)
            .into_iter()
            .chain(household(project))
            .collect(),
        defaults: defaults(project),
        notes: site
            .notes
            .iter()
            .map(Note::plain)
            .chain(notes(&understood))
            .collect(),
    }
}

/// The cautions of a project as notes.
pub fn cautions(cautions: &[Caution]) -> Vec<Note> {
    cautions
        .iter()
        .map(|caution| Note {
            kind: NoteKind::Caution,
            text: phrase![caution.topic, ": ", &caution.text],
            source: caution.decides.to_owned(),
        })
        .collect()
}

/// The defaults that were put in the person's name.
pub fn defaults(project: &Project) -> Vec<DefaultRow> {
    project
        .assumed
        .iter()
        .map(|assumed| DefaultRow {
            key: assumed.key.clone(),
            assumed: assumed_value(assumed),
            source: assumed.why.clone(),
        })
        .collect()
}

/// A number with its unit, or a word as it stands.
fn assumed_value(assumed: &Assumed) -> Phrase {
    let decimals = assumed
        .value
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    match assumed.value.parse() {
        Ok(value) => amount(value, assumed.unit, decimals).into(),
        Err(_) => format!("{} {}", assumed.value, assumed.unit).trim().into(),
    }
}

fn much(fact: impl Into<Phrase>, much: f64, unit: &'static str) -> FactRow {
    FactRow {
        fact: fact.into(),
        amount: Some(much),
        unit: unit.into(),
    }
}

fn word(fact: &str, word: impl Into<Phrase>) -> FactRow {
    FactRow {
        fact: fact.into(),
        amount: None,
        unit: word.into(),
    }
}

fn facts(u: &Understood) -> Vec<FactRow> {
    let mut facts = Vec::new();
    facts.extend(u.floor_m2.map(|floor| much("floor", floor, "m2")));
    facts.push(much("glazing", u.glazed_m2, "m2"));
    facts.push(much("walls and solid roof", u.opaque_m2, "m2"));
    facts.push(much("air inside", u.volume_m3, "m3"));
    for part in &u.parts {
        let name = phrase![
            format!("loss of {}: ", part.name),
            amount(part.area_m2, "m2", 1),
            ", U ",
            amount(part.u_w_m2k, "W/m2K", 2)
        ];
        facts.push(much(name, part.loss_w_k, "W/K"));
    }
    facts.push(much("loss of all faces (UA)", u.faces_w_k, "W/K"));
    let air = phrase![
        "air change at ",
        amount(AIR_CHANGE_WIND_M_S, "m/s", 0),
        " of wind"
    ];
    facts.push(much(air, u.air_change_per_h, "1/h"));
    facts.push(much("loss with that air", u.air_w_k, "W/K"));
    facts.push(much("heat loss, ground apart", u.total_w_k(), "W/K"));
    facts.extend(
        u.aperture_m2_m2
            .map(|aperture| much("light aperture to floor area", aperture, "")),
    );
    let share = u.beds_share.map_or_else(String::new, |share| {
        format!(", {} of the floor", percent(share, 0))
    });
    facts.push(word(
        "beds",
        phrase![
            format!("{}, together ", u.beds),
            amount(u.beds_m2, "m2", 1),
            share
        ],
    ));
    facts.extend(u.store.as_ref().map(|store| word("store", store)));
    facts.extend(u.heater.as_ref().map(|heater| word("heater", heater)));
    facts
}

/// Who eats, what is spent, asked for and refused, as it was understood.
fn household(project: &Project) -> Vec<FactRow> {
    let own = &project.household;
    let shopping = &project.shopping;
    let code = shopping.currency.code();
    let eaters: Vec<String> = own
        .eaters
        .iter()
        .map(|group| {
            let appetite = match group.appetite {
                1.0 => String::new(),
                appetite => format!(" with {appetite} times the usual appetite"),
            };
            format!("{} of {}{appetite}", group.number, group.age_years)
        })
        .collect();
    let mut facts = vec![word("eaters", format!("{} years", listed(&eaters)))];
    let months: f64 = 12.0;
    for (name, a_month) in [
        ("groceries", shopping.groceries_month),
        ("produce among them", shopping.produce_month),
    ] {
        let words = match a_month {
            Some(money) => format!(
                "{} {code} a month, {} a year",
                fixed(money, 0),
                fixed(money * months, 0)
            ),
            None => "not said; statistics are taken".to_owned(),
        };
        facts.push(word(name, words));
    }
    for own in &shopping.appetites {
        let what = format!("eats of {} a week", own.of.replace('_', " "));
        facts.push(much(what, own.kg_week, "kg"));
    }
    for wish in &own.wishes {
        let season = match (wish.from_month, wish.to_month) {
            (0, 11) => "all year".to_owned(),
            (from, to) if from == to => format!("in {}", MONTH_HEADS[from]),
            (from, to) => format!("from {} to {}", MONTH_HEADS[from], MONTH_HEADS[to]),
        };
        let decimals = if wish.kg_per_week < 10.0 { 2 } else { 0 };
        facts.push(word(
            "asked for",
            phrase![
                amount(wish.kg_per_week, "kg", decimals),
                format!(" {} a week {season}", wish.food.replace('_', " "))
            ],
        ));
    }
    for (name, foods) in [
        ("eats only", &shopping.eats),
        ("refuses", &shopping.refused),
    ] {
        if !foods.is_empty() {
            let words: Vec<String> = foods.iter().map(|food| food.replace('_', " ")).collect();
            facts.push(word(name, listed(&words)));
        }
    }
    facts
}

fn notes(u: &Understood) -> Vec<Note> {
    let warnings = u.warnings.iter().map(|text| Note::warning(text.clone()));
    warnings.chain(cautions(&u.cautions)).collect()
}
