//! What was understood of a project, from the file stage to the view.

use crate::file::Project;
use crate::file::check::{AIR_CHANGE_WIND_M_S, Caution, Understood, understood};
use crate::output::text::{fixed, percent};
use crate::output::view::{CheckView, DefaultRow, FactRow, Note, NoteKind};

/// What was understood of a project that stands at `place`.
pub fn check(project: &Project, place: &str) -> CheckView {
    let understood = understood(project);
    CheckView {
        project: understood.name.clone(),
        place: place.to_owned(),
        facts: facts(&understood),
        defaults: defaults(project),
        notes: notes(&understood),
    }
}

/// The cautions of a project as notes.
pub fn cautions(cautions: &[Caution]) -> Vec<Note> {
    cautions
        .iter()
        .map(|caution| Note {
            kind: NoteKind::Caution,
            text: format!("{}: {}", caution.topic, caution.text),
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
            assumed: format!("{} {}", assumed.value, assumed.unit)
                .trim()
                .to_owned(),
            source: assumed.why.clone(),
        })
        .collect()
}

fn amount(fact: &str, amount: f64, unit: &str) -> FactRow {
    FactRow {
        fact: fact.to_owned(),
        amount: Some(amount),
        unit: unit.to_owned(),
    }
}

fn word(fact: &str, word: &str) -> FactRow {
    FactRow {
        fact: fact.to_owned(),
        amount: None,
        unit: word.to_owned(),
    }
}

fn facts(u: &Understood) -> Vec<FactRow> {
    let mut facts = Vec::new();
    facts.extend(u.floor_m2.map(|floor| amount("floor", floor, "m2")));
    facts.push(amount("glazing", u.glazed_m2, "m2"));
    facts.push(amount("walls and solid roof", u.opaque_m2, "m2"));
    facts.push(amount("air inside", u.volume_m3, "m3"));
    for part in &u.parts {
        let name = format!(
            "loss of {}: {} m2, U {} W/m2K",
            part.name,
            fixed(part.area_m2, 1),
            fixed(part.u_w_m2k, 2)
        );
        facts.push(amount(&name, part.loss_w_k, "W/K"));
    }
    facts.push(amount("loss of all faces (UA)", u.faces_w_k, "W/K"));
    let air = format!(
        "air change at {} m/s of wind",
        fixed(AIR_CHANGE_WIND_M_S, 0)
    );
    facts.push(amount(&air, u.air_change_per_h, "1/h"));
    facts.push(amount("loss with that air", u.air_w_k, "W/K"));
    facts.push(amount("loss together, ground apart", u.total_w_k(), "W/K"));
    facts.extend(
        u.aperture_m2_m2
            .map(|aperture| amount("light aperture to floor area", aperture, "m2/m2")),
    );
    facts.push(amount(&format!("{} beds", u.beds), u.beds_m2, "m2"));
    facts.extend(
        u.beds_share
            .map(|share| word("beds' share of the floor", &percent(share, 0))),
    );
    facts.extend(u.store.as_deref().map(|store| word("store", store)));
    facts.extend(u.heater.as_deref().map(|heater| word("heater", heater)));
    facts
}

fn notes(u: &Understood) -> Vec<Note> {
    let warnings = u
        .warnings
        .iter()
        .map(|text| Note::new(NoteKind::Warning, text.clone()));
    warnings.chain(cautions(&u.cautions)).collect()
}
