//! One sowing, from the study to the view.

use chrono::Datelike;

use crate::calendar::date_of_day;
use crate::crops::{EventKind, Loss, Warning};
use crate::output::text::{fixed, short_date};
use crate::output::view::{ExplainEvent, ExplainMonth, ExplainView, Note, way_word};
use crate::phrase::{Phrase, amount, bare, phrase};
use crate::study::{ExplainStudy, Job};

/// A sowing with its sums, events and warnings.
pub fn explain(job: &Job, study: &ExplainStudy) -> ExplainView {
    let year = study.sow.year();
    let usual = &study.usual;
    let loss = usual.growth.loss.as_ref();
    ExplainView {
        place: job.site.place.name.clone(),
        crop: study.crop.clone(),
        name: job.table.name_of(&study.crop),
        bed: study.bed.clone(),
        bed_climate: study.climate.clone(),
        way: way_word(study.sowing.way).to_owned(),
        sow: study.sow,
        class: usual.class.word().to_owned(),
        leaf_rate_per_day: usual.leaf_rate_per_day,
        leaf_rate_from: usual.rate_from.words().to_owned(),
        ready_kg_m2: usual.ready_kg_m2,
        picked_kg_m2: usual.growth.kg_m2(),
        followed: study.followed.clone(),
        survival: study.survival,
        commonest_cause: study
            .commonest
            .map_or_else(String::new, |(cause, _)| cause.to_string()),
        commonest_cause_years: study.commonest.map_or(0, |(_, years)| years as u32),
        weather_years: study.weather_years as u32,
        bearing_years: study.bearing_years as u32,
        picked_kg_m2_weather_years: study.kg_m2,
        months: usual
            .months
            .iter()
            .map(|sums| ExplainMonth::of(year, sums))
            .collect(),
        events: events(study, loss),
        turning_points: dated(study, loss)
            .filter(|(kind, _)| *kind != EventKind::CutAgain)
            .map(|(_, event)| event)
            .collect(),
        pickings: usual
            .growth
            .harvests
            .iter()
            .map(|harvest| date_of_day(year, harvest.day))
            .collect(),
        notes: usual
            .warnings
            .iter()
            .map(|found| note(year, found))
            .chain(moves(study))
            .chain(other_kinds(study))
            .collect(),
    }
}

/// What two kelvins or a week either way would do, in a sentence.
fn moves(study: &ExplainStudy) -> Option<Note> {
    let year = study.sow.year();
    let mut text = Phrase::default();
    for one in &study.moved {
        let lead = if text.is_empty() { "if it were " } else { "; " };
        let change = match one.later_days {
            0 if one.warmer_k > 0.0 => phrase![lead, amount(one.warmer_k, "K", 0), " warmer, "],
            0 => phrase![lead, amount(-one.warmer_k, "K", 0), " colder, "],
            days if days < 0 => phrase![format!("{lead}sown {} days earlier, ", -days)],
            days => phrase![format!("{lead}sown {days} days later, ")],
        };
        let found = match one.ready_day {
            Some(day) => phrase![
                format!("ready {} and ", short_date(date_of_day(year, day))),
                amount(one.kg_m2, "kg/m2", 2)
            ],
            None => "never ready".into(),
        };
        text = text.then(change).then(found);
    }
    (!text.is_empty()).then(|| Note::plain(text))
}

fn other_kinds(study: &ExplainStudy) -> Option<Note> {
    (!study.other_kinds.is_empty()).then(|| {
        let kinds = study.other_kinds.join(", ");
        Note::plain(format!(
            "other kinds of it, by the names that --explain takes: {kinds}"
        ))
    })
}

/// What happens to the planting, each with its kind.
fn dated<'s>(
    study: &'s ExplainStudy,
    loss: Option<&'s Loss>,
) -> impl Iterator<Item = (EventKind, ExplainEvent)> + 's {
    let year = study.sow.year();
    let growth = &study.usual.growth;
    growth.events.iter().map(move |event| {
        let cause = match (event.kind, loss) {
            (EventKind::Lost, Some(loss)) => loss_words(loss),
            (EventKind::Emerged, _) if growth.stand_share < 1.0 => format!(
                "{} % of the seed: the root zone is too hot or too cold for the rest",
                fixed(growth.stand_share * 100.0, 0)
            )
            .into(),
            _ => Phrase::default(),
        };
        let shown = ExplainEvent {
            date: date_of_day(year, event.day),
            event: event_words(event.kind).into(),
            cause,
        };
        (event.kind, shown)
    })
}

/// The dated events with every picking among them, in order.
fn events(study: &ExplainStudy, loss: Option<&Loss>) -> Vec<ExplainEvent> {
    let year = study.sow.year();
    let harvests = &study.usual.growth.harvests;
    let picked = harvests.iter().map(|harvest| ExplainEvent {
        date: date_of_day(year, harvest.day),
        event: phrase!["picked ", amount(harvest.kg_m2, "kg/m2", 2)],
        cause: Phrase::default(),
    });
    let dated = dated(study, loss).map(|(_, event)| event);
    let mut all: Vec<ExplainEvent> = dated.chain(picked).collect();
    all.sort_by_key(|event| event.date);
    all
}

fn loss_words(loss: &Loss) -> Phrase {
    phrase![
        format!("{}: ", loss.cause),
        amount(loss.found, loss.unit, 1),
        ", where the limit is ",
        bare(loss.needed, loss.unit, 1)
    ]
}

fn event_words(kind: EventKind) -> &'static str {
    match kind {
        EventKind::Sown => "sown",
        EventKind::Emerged => "seedlings up",
        EventKind::SetOut => "set out in the bed",
        EventKind::Bulbs => "bulbs begin to fill",
        EventKind::SomeSeed => "cold on big plants: a part of them runs to seed",
        EventKind::Ready => "ready to pick",
        EventKind::CutAgain => "ready for the next cut",
        EventKind::HeadsBegin => "heads begin",
        EventKind::Flowers => "first flowers",
        EventKind::Pause => "nothing ripens: picking stops",
        EventKind::Resumes => "picking resumes",
        EventKind::FrostDamage => "frost takes a good part of the leaves",
        EventKind::Lost => "lost",
        EventKind::Cleared => "bed cleared",
    }
}

fn note(year: i32, found: &Warning) -> Note {
    let date = |day: usize| short_date(date_of_day(year, day));
    let words = found.kind.words();
    let text = if found.days == 1 {
        format!("{words} ({})", date(found.from_day))
    } else {
        format!(
            "{words} ({} days between {} and {})",
            found.days,
            date(found.from_day),
            date(found.to_day)
        )
    };
    Note::warning(text)
}
