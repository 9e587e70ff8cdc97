//! A failure in the cold, from the study to the view.

use crate::calendar::{HOURS_PER_DAY, date_of_day};
use crate::house::{House, VentKind};
use crate::output::text::listed;
use crate::output::view::{Note, NoteKind, OutageRow, OutageView};
use crate::profile::{BARE, lowest};
use crate::study::{
    Course, Fails, HORIZON_H, Job, Limit, ONSET_CLOCK_H, OutageStudy, hours_until, lived_in,
};

/// How long leaves and root zone hold out, and what to mind about heat in an emergency.
pub fn outage(job: &Job, study: &OutageStudy) -> OutageView {
    let onset = &study.onset;
    let mut rows = rows(job, "as it is", &study.failed, &study.limits);
    if let Some(storeless) = &study.storeless {
        rows.extend(self::rows(
            job,
            "never had a store",
            storeless,
            &study.limits,
        ));
    }
    OutageView {
        place: job.site.place.name.clone(),
        fails: match study.fails {
            Fails::Power => "power",
            Fails::Heater => "heater",
            Fails::Fans => "fans",
        }
        .to_owned(),
        stands_still: stands_still(&job.project.house, study.fails),
        date: date_of_day(job.project.planning.year, onset.hour / HOURS_PER_DAY),
        clock_hour: ONSET_CLOCK_H as u32,
        weather_year: match job.project.planning.weather_years {
            0 => 0,
            _ => onset.year as u32 + 1,
        },
        ahead_h: HORIZON_H as u32,
        spell_mean_c: onset.spell_mean_c,
        coldest_outside_c: onset.coldest_outside_c,
        lowest_leaf_working_c: lived_in(job)
            .into_iter()
            .map(|climate| match climate.checked_sub(1) {
                Some(part) => lowest(&study.working.parts[part][0]),
                None => lowest(&study.working.leaf_c),
            })
            .fold(f64::INFINITY, f64::min),
        rows,
        notes: notes(),
    }
}

fn rows(job: &Job, building: &str, course: &Course, limits: &[Limit]) -> Vec<OutageRow> {
    let mut places = vec![("leaf", BARE, &course.leaf_c, 0)];
    let parts = || (1..).zip(job.project.house.parts.iter().zip(&course.parts));
    places
        .extend(parts().map(|(at, (part, [leaf_c, _]))| ("leaf", part.name.as_str(), leaf_c, at)));
    places.push(("root zone", BARE, &course.root_zone_c, 0));
    places.extend(
        parts().map(|(at, (part, [_, root_c]))| ("root zone", part.name.as_str(), root_c, at)),
    );
    // What no bed lives in is nobody's question.
    let lived = lived_in(job);
    places.retain(|(_, _, _, climate)| lived.contains(climate));
    let mut rows = Vec::new();
    for (place, over, column, climate) in places {
        for limit in limits {
            // What kills a crop is known at its leaves.
            if limit.crop.is_some() && place != "leaf" {
                continue;
            }
            let part = usize::checked_sub(climate, 1).and_then(|part| limit.parts_c.get(part));
            let limit_c = part.copied().unwrap_or(limit.bare_c);
            rows.push(OutageRow {
                building: building.to_owned(),
                place: place.to_owned(),
                cover: over.to_owned(),
                crop: limit.crop.clone().unwrap_or_default(),
                crop_name: limit
                    .crop
                    .as_ref()
                    .and_then(|crop| job.table.get(crop))
                    .map_or_else(String::new, |crop| crop.name.clone()),
                limit_c,
                hours: hours_until(column, limit_c).map(|hours| hours as u32),
                lowest_c: lowest(column),
            });
        }
    }
    rows
}

/// What to mind about heat in an emergency: facts of public guidance, own words.
fn notes() -> Vec<Note> {
    const CAUTIONS: [(&str, &str); 3] = [
        (
            "emergency heat: never run a generator or burn charcoal in or beside the house, and use no burner indoors \
             that is not made for it; an open door or vent does not keep carbon monoxide from building up. Hang a \
             carbon monoxide alarm that runs on a battery, keep flames well away from film, sheet and curtain, and do \
             not leave them alone",
            "local fire authority and the appliance's listing and label",
        ),
        (
            "electricity: a heater or cable brought in for the night needs ground-fault (residual-current) protection \
             and a housing made for wet places; a generator must never feed the wiring of a house without a \
             change-over switch",
            "the electrical code in force and a licensed electrician",
        ),
        (
            "snow: a house without heat melts no snow. Its frame may be rated only for a heated house; do not go in \
             under a loaded roof",
            "local building department and a licensed engineer",
        ),
    ];
    let mut notes: Vec<Note> = CAUTIONS
        .into_iter()
        .map(|(text, decides)| Note {
            kind: NoteKind::Caution,
            text: text.into(),
            source: decides.to_owned(),
        })
        .collect();
    notes.push(Note::plain("the hours are an estimate from one spell: a thermometer with an alarm that works without mains tells the truth",
    ));
    notes
}

/// What stands still in a house when that fails.
fn stands_still(house: &House, fails: Fails) -> String {
    let vents = house.air.vents.as_ref();
    let blows = vents.is_some_and(|vents| matches!(vents.kind, VentKind::Fan { .. }));
    let has_fans = house.store.is_some() || blows;
    let heater = (house.heater.is_some() && fails != Fails::Fans).then_some("heater");
    let fans = (has_fans && fails != Fails::Heater).then_some("fans");
    let still: Vec<String> = [heater, fans]
        .into_iter()
        .flatten()
        .map(str::to_owned)
        .collect();
    listed(&still)
}
