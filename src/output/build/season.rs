//! Crops against months, from the crops stage to the view.

use crate::crops::{Cause, MonthState, Refusal, State};
use crate::output::text::fixed;
use crate::output::view::{
    DateRange, LatestRow, MonthsIn, Note, RoofHeatRow, Roofs, SeasonCrop, SeasonMonth, SeasonState,
    SeasonView, StayDates,
};
use crate::phrase::{Phrase, amount, phrase};
use crate::study::{CropMonthsIn, Job, RoofHeat, SeasonStudy, Turns};

/// Crops against months, with the warm crops' months in and the winter crops' latest sowings.
pub fn season(job: &Job, study: &SeasonStudy) -> SeasonView {
    let year = job.project.planning.year;
    let crops = study
        .season
        .crops
        .iter()
        .filter_map(|months| {
            let crop = job.table.get(&months.crop)?;
            let state = |month: usize| {
                let turned = study
                    .turns
                    .as_ref()
                    .map(|turns| turned(turns, &crop.id, month));
                months
                    .months
                    .get(month)
                    .map(|state| month_view(state, turned))
            };
            let months: Vec<SeasonMonth> = (0..12).map(state).collect::<Option<_>>()?;
            let warm = study.months_in.iter().find(|found| found.crop == crop.id);
            Some(SeasonCrop {
                crop: crop.id.clone(),
                name: crop.name.clone(),
                group: crop.group.clone(),
                months: months.try_into().ok()?,
                months_in: warm.map_or_else(MonthsIn::default, |found| {
                    roofs(found, |months| Some(months.stays))
                }),
                stay: warm.map_or_else(StayDates::default, |found| stay_dates(year, found)),
            })
        })
        .collect();
    let heated_to_c = study.heated_to_c;
    let held = study.heats.iter().find(|heat| heat.roof == "heated");
    SeasonView {
        place: job.site.place.name.clone(),
        crops,
        heated_to_c: Some(heated_to_c),
        heated_kwh_year: held.map(|heat| heat.heat_kwh),
        heat_asked: study.heat_asked,
        years: study.years.0,
        other_roofs_years: study.years.1,
        heats: study.heats.iter().map(RoofHeatRow::of).collect(),
        currency: job.project.shopping.currency.code().to_owned(),
        latest: study
            .latest
            .iter()
            .map(|found| LatestRow::of(job, found))
            .collect(),
        notes: held
            .map(held_note)
            .into_iter()
            .chain(followed_note(study))
            .chain(study.turns.as_ref().map(tried_note))
            .collect(),
    }
}

/// What a figure of each roof makes.
fn roofs<T>(
    found: &CropMonthsIn,
    of: impl Fn(&crate::crops::MonthsIn) -> Option<T>,
) -> Roofs<Option<T>> {
    let one = |months: &Option<crate::crops::MonthsIn>| months.as_ref().and_then(&of);
    Roofs {
        as_is: one(&found.as_is),
        heated: one(&found.heated),
        tunnel: one(&found.tunnel),
        outdoors: one(&found.outdoors),
    }
}

fn stay_dates(year: i32, found: &CropMonthsIn) -> StayDates {
    roofs(found, |months| {
        let stretch = months.middle?;
        let day = |day: usize| crate::calendar::date_of_day(year, day);
        Some(DateRange {
            from: day(stretch.from_day),
            to: day(stretch.from_day + stretch.days - 1),
        })
    })
}

fn tried_note(turns: &Turns) -> Note {
    Note::plain(phrase![
        "tried on every no, each alone and simulated on up to ten weather years: ",
        Phrase::joined(&turns.tried, ", "),
        "; where nothing stands, none of them turns it"
    ])
}

fn held_note(heat: &RoofHeat) -> Note {
    let kw = heat.peak_w / crate::house::W_PER_KW;
    Note::plain(format!(
        "the heater of the heated building is as large as holding that takes in the coldest hour simulated: {} kW",
        fixed(kw, 1)
    ))
}

/// In how many of the simulated years crops are followed, where not in all.
fn followed_note(study: &SeasonStudy) -> Option<Note> {
    let (some, all) = (study.years.0, study.simulated_years);
    let words = format!("crops are followed in the first {some} of the {all} simulated years");
    (some < all).then(|| Note::plain(words))
}

/// The measures that turn a no, in words; empty where none of those tried does.
fn turned(turns: &Turns, crop: &str, month: usize) -> Phrase {
    let found = turns
        .turned
        .iter()
        .find(|one| one.crop == crop && one.month == month);
    found.map_or_else(Phrase::default, |one| Phrase::joined(&one.measures, " or "))
}

/// What holds a month back, as an amount beyond the limit.
fn cause(refusal: &Refusal) -> Phrase {
    let Refusal {
        cause,
        found,
        needed,
        margin,
        unit,
        ..
    } = *refusal;
    if cause == Cause::NotAtHand {
        let words = if found < needed {
            "before its planting season begins"
        } else {
            "after its planting season ends"
        };
        return phrase![
            format!("{cause}: "),
            amount(margin, unit, 0),
            format!(" {words}")
        ];
    }
    if cause == Cause::Bolts && unit == "h" {
        return phrase![
            format!("{cause}: it meets days of "),
            amount(found, unit, 1),
            " before it is ready and bears ",
            amount(needed, unit, 1)
        ];
    }
    let end = match (found < needed, cause) {
        (true, Cause::TooCold | Cause::TooDark) => " of good growth",
        (true, _) => " it needs",
        (false, _) => " it bears",
    };
    let margin_unit = if unit == "°C" { "K" } else { unit };
    let words = match (found < needed, unit) {
        (true, "°C") => " below the ",
        (true, _) => " short of the ",
        (false, _) => " above the ",
    };
    phrase![
        format!("{cause}: "),
        amount(margin, margin_unit, 1),
        words,
        amount(needed, unit, 1),
        end
    ]
}

fn month_view(month: &MonthState, turned: Option<Phrase>) -> SeasonMonth {
    let refusal = month.refusal.as_ref();
    SeasonMonth {
        state: match month.state {
            State::Sow => SeasonState::Sow,
            State::Grow => SeasonState::Grow,
            State::Pick => SeasonState::Pick,
            State::Stand => SeasonState::Stand,
            State::No => SeasonState::No,
        },
        sow: month.sow,
        cause: refusal.map(cause),
        margin: refusal.map(|refusal| -refusal.margin),
        margin_unit: refusal.map(|refusal| refusal.unit.to_owned()),
        remedy: turned.filter(|_| month.state == State::No),
    }
}
