//! Where heat comes from and goes, what would raise the coldest hour, and what a failure in the cold does.

use chrono::NaiveDate;

use super::climate::heat_flows;
use super::{HeatFlow, Note, NoteKind};
use crate::calendar::{HOURS_PER_DAY, date_of_day};
use crate::house::{House, VentKind};
use crate::output::row::{row, view};
use crate::output::text::{fixed, listed};
use crate::phrase::Phrase;
use crate::profile::{BARE, lowest};
use crate::study::{
    ClimateStudy, Course, Fails, HORIZON_H, Job, Limit, ONSET_CLOCK_H, OutageStudy, Outcome,
    StoreOutcome, WhyStudy, hours_until, lived_in,
};

row! {
    /// The building as it is, or with one measure. Coldest hours are medians over the weather years, energy is their mean.
    pub struct MeasureRow of (name: &str, what: &Phrase, with: &Outcome, as_is: &Outcome) {
        /// Name of the measure; `as it is` for the building without any.
        measure: String, "" => name.to_owned();
        /// What is done.
        what: Phrase, "" => what.clone();
        /// Coldest hour of the leaves in the coldest beds, heater off.
        coldest_leaf_unheated_c: f64, "°C", "Leaf low" => with.coldest_leaf_unheated_c;
        /// By how much the measure raises it; negative where it lowers it.
        gain_leaf_unheated_k: f64, "K", "Leaf gain" => with.coldest_leaf_unheated_c - as_is.coldest_leaf_unheated_c;
        /// Coldest hour of the air, heater as it is.
        coldest_air_c: f64, "°C", "Air low" => with.coldest_air_c;
        /// By how much the measure raises it.
        gain_air_k: f64, "K", "Air gain" => with.coldest_air_c - as_is.coldest_air_c;
        /// Heat from the heater in a year.
        heater_kwh: f64, "kWh", "Heater uses" => with.heater_kwh;
        /// Heat that the measure saves in a year; negative where it costs.
        saved_heater_kwh: f64, "kWh", "Heater saves" => as_is.heater_kwh - with.heater_kwh;
        /// Electricity of the fans in a year.
        fan_kwh: f64, "kWh", "Fan uses" => with.fan_kwh;
        /// What heat, fans and lamps then cost less in a year; negative where they cost more, empty where a price is not known.
        saved_cost: Option<f64>, "currency", "Saves a year" => as_is.energy_cost.zip(with.energy_cost).map(|(before, after)| before - after);
    }
}

row! {
    /// What the store's fan uses beside what it gives.
    pub struct StoreRow of (store: &StoreOutcome, as_is: &Outcome) {
        /// Heat drawn from the store, usual year.
        drawn_kwh: f64, "kWh" => store.drawn_kwh;
        /// Heat put into the store, usual year.
        charged_kwh: f64, "kWh" => store.charged_kwh;
        /// Electricity that the fans use beyond that of the house without the store, in a year.
        fan_kwh: f64, "kWh" => as_is.fan_kwh - store.without.fan_kwh;
        /// Heat that the heater gives in a year with the store.
        heater_with_kwh: f64, "kWh" => as_is.heater_kwh;
        /// Heat that it gives without the store.
        heater_without_kwh: f64, "kWh" => store.without.heater_kwh;
        /// Coldest hour of the leaves with the store, heater off.
        coldest_leaf_with_c: f64, "°C" => as_is.coldest_leaf_unheated_c;
        /// The same without the store.
        coldest_leaf_without_c: f64, "°C" => store.without.coldest_leaf_unheated_c;
    }
}

view! {
    /// Where heat comes from and goes, and what would raise the coldest hour.
    pub struct WhyView of why(job: &Job, climate: &ClimateStudy, study: &WhyStudy) {
        let as_is = &study.as_is;
        let store = study.store.as_ref().map(|store| StoreRow::of(store, as_is));
        let notes = notes(climate, store.as_ref());
        /// Where the building stands.
        place: String => job.site.place.name.clone();
        /// Weather years behind the measures: coldest hours are their medians, energy their mean; 0 where only the usual year was run.
        weather_years: u32 => climate.years.len() as u32;
        /// The year whose heat flows are shown, by name.
        year_shown: String => climate.year_name();
        /// Currency of what is saved.
        currency: String => job.project.shopping.currency.code().to_owned();
        /// Heat by path and month, in the year shown.
        heat_flows: Vec<HeatFlow> => heat_flows(&climate.run.settled.months);
        /// The building as it is, then the measures, the one that raises the coldest hour at the leaves most first.
        measures: Vec<MeasureRow> => std::iter::once(MeasureRow::of(AS_IS, &Phrase::default(), as_is, as_is))
            .chain(study.measures.iter().map(|tried| MeasureRow::of(&tried.name, &tried.what, &tried.with, as_is)))
            .collect();
        /// With and without the store; empty where there is none.
        store: Option<StoreRow> => store;
        /// What else to know.
        notes: Vec<Note> => notes;
    }
}

/// Name of the building without any measure.
const AS_IS: &str = "as it is";

fn notes(climate: &ClimateStudy, store: Option<&StoreRow>) -> Vec<Note> {
    let years = climate.tried().len();
    let mut notes = vec![Note::plain(format!(
        "each measure is simulated alone, on this house, over {years} weather years; coldest hours are their \
             median, and gains of two measures do not add up"
    ))];
    if let Some(store) = store {
        let saved = store.heater_without_kwh - store.heater_with_kwh;
        let verdict = if saved > store.fan_kwh {
            "it saves more heat than its fan uses electricity"
        } else {
            "its fan uses more electricity than the heat it saves: it earns its keep by warmth alone, if at all"
        };
        notes.push(Note::plain(format!(
            "the store saves {} kWh of heater heat a year, its fan uses {} kWh: {verdict}",
            fixed(saved, 0),
            fixed(store.fan_kwh, 0)
        )));
    }
    notes
}

row! {
    /// How long until one temperature is reached at one place.
    pub struct OutageRow of (job: &Job, building: &str, spot: (&str, &str, &[f64]), limit: &Limit, limit_c: f64) {
        let (place, over, column) = spot;
        /// `as it is`, or `never had a store`.
        building: String, "" => building.to_owned();
        /// `leaf` or `root zone`, 0.1 m deep.
        place: String, "" => place.to_owned();
        /// `bare`, or the name of the cover over the bed.
        cover: String, "" => over.to_owned();
        /// Crop that the limit kills in its hardening of that day; empty for a plain temperature.
        crop: String, "" => limit.crop.clone().unwrap_or_default();
        /// Name of the crop for people.
        crop_name: String, "" => limit
            .crop
            .as_ref()
            .and_then(|crop| job.table.get(crop))
            .map_or_else(String::new, |crop| crop.name.clone());
        /// The temperature.
        limit_c: f64, "°C" => limit_c;
        /// Hours from the failure until it is reached; empty where it is not within the hours looked ahead.
        hours: Option<u32>, "h" => hours_until(column, limit_c).map(|hours| hours as u32);
        /// Lowest within the hours looked ahead.
        lowest_c: f64, "°C" => lowest(column);
    }
}

view! {
    /// Power, heater or fans fail in the cold.
    pub struct OutageView of outage(job: &Job, study: &OutageStudy) {
        let onset = &study.onset;
        /// Where the building stands.
        place: String => job.site.place.name.clone();
        /// What fails: `power`, `heater` or `fans`.
        fails: String => match study.fails {
            Fails::Power => "power",
            Fails::Heater => "heater",
            Fails::Fans => "fans",
        }
        .to_owned();
        /// What of this house stands still then: `heater`, `fans`, `heater and fans`; empty where it has none of them.
        stands_still: String => stands_still(&job.project.house, study.fails);
        /// Day of the failure, in the planning year.
        date: NaiveDate => date_of_day(job.project.planning.year, onset.hour / HOURS_PER_DAY);
        /// Clock hour at which it does, local standard time.
        clock_hour: u32 => ONSET_CLOCK_H as u32;
        /// Weather year it is taken from, from 1; 0 where only the usual year was run.
        weather_year: u32 => match job.project.planning.weather_years {
            0 => 0,
            _ => onset.year as u32 + 1,
        };
        /// Hours looked ahead.
        ahead_h: u32 => HORIZON_H as u32;
        /// Mean air outside over the first three days, °C.
        spell_mean_c: f64 => onset.spell_mean_c;
        /// Coldest hour outside within the hours looked ahead, °C.
        coldest_outside_c: f64 => onset.coldest_outside_c;
        /// Lowest leaf temperature in the coldest beds with everything working, °C.
        lowest_leaf_working_c: f64 => lived_in(job)
            .into_iter()
            .map(|climate| match climate.checked_sub(1) {
                Some(part) => lowest(&study.working.parts[part][0]),
                None => lowest(&study.working.leaf_c),
            })
            .fold(f64::INFINITY, f64::min);
        /// Hours until each temperature.
        rows: Vec<OutageRow> => rows(job, "as it is", &study.failed, &study.limits)
            .into_iter()
            .chain(study.storeless.iter().flat_map(|storeless| rows(job, "never had a store", storeless, &study.limits)))
            .collect();
        /// Cautions, and what else to know.
        notes: Vec<Note> => emergency();
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
            rows.push(OutageRow::of(
                job,
                building,
                (place, over, column),
                limit,
                limit_c,
            ));
        }
    }
    rows
}

/// What to mind about heat in an emergency: facts of public guidance, own words.
fn emergency() -> Vec<Note> {
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
    listed([heater, fans].into_iter().flatten().map(str::to_owned))
}
