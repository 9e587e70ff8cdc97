//! Heat by path and the measures tried, from the study to the view.

use super::climate::heat_flows;
use crate::output::text::fixed;
use crate::output::view::{MeasureRow, Note, StoreRow, WhyView};
use crate::phrase::Phrase;
use crate::study::{ClimateStudy, Job, WhyStudy};

/// Name of the building without any measure.
const AS_IS: &str = "as it is";

/// Where heat comes from and goes, and what would raise the coldest hour.
pub fn why(job: &Job, climate: &ClimateStudy, study: &WhyStudy) -> WhyView {
    let as_is = &study.as_is;
    let mut measures = vec![MeasureRow::of(AS_IS, &Phrase::default(), as_is, as_is)];
    measures.extend(
        study
            .measures
            .iter()
            .map(|tried| MeasureRow::of(&tried.name, &tried.what, &tried.with, as_is)),
    );
    let store = study.store.as_ref().map(|store| StoreRow::of(store, as_is));
    let notes = notes(climate, store.as_ref());
    WhyView {
        place: job.site.place.name.clone(),
        currency: job.project.shopping.currency.code().to_owned(),
        heat_flows: heat_flows(&climate.run.settled.months),
        measures,
        store,
        notes,
    }
}

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
