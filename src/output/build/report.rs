//! The one page, from the views of the other verbs.

use crate::file::check::cautions;
use crate::output::view::{ClimateView, PlanView, ReportView, SeasonView, SourceRow, ValueView};
use crate::phrase::{amount, phrase};
use crate::study::{Job, variants};
use crate::value;

/// Everything on one page.
pub fn report(
    job: &Job,
    climate: ClimateView,
    season: SeasonView,
    plan: PlanView,
    value: ValueView,
) -> ReportView {
    let people = job.project.household.people();
    let beds_m2: f64 = job.project.beds.iter().map(|bed| bed.area_m2).sum();
    ReportView {
        title: job.project.name.clone(),
        summary: phrase![
            format!("{}: ", job.site.place.name),
            amount(variants::floor_m2(job), "m2", 0),
            format!(" of floor, {} beds with ", job.project.beds.len()),
            amount(beds_m2, "m2", 0),
            format!(
                ", {people} people at the table. Planned for {} over {} simulated years.",
                job.project.planning.year, climate.weather_years
            )
        ],
        climate,
        season,
        plan,
        value,
        assumptions: super::defaults(&job.project),
        sources: sources(job),
        cautions: super::cautions(&cautions(&job.project)),
        version: env!("CARGO_PKG_VERSION").to_owned(),
    }
}

fn sources(job: &Job) -> Vec<SourceRow> {
    let weather = SourceRow {
        figures: "weather".to_owned(),
        source: job.site.source.clone(),
    };
    let mut by_source = std::collections::BTreeMap::new();
    for row in value::sources() {
        by_source
            .entry(format!("{} ({})", row.source, row.mark))
            .or_insert_with(std::collections::BTreeSet::new)
            .insert(row.table.replace('_', " "));
    }
    let money = by_source.into_iter().map(|(source, tables)| SourceRow {
        figures: tables.into_iter().collect::<Vec<String>>().join(", "),
        source,
    });
    let crops = SourceRow {
        figures: "crops".to_owned(),
        source: "each crop file names the source of every figure: `bedyear crops NAME`".to_owned(),
    };
    std::iter::once(weather)
        .chain(money)
        .chain(std::iter::once(crops))
        .collect()
}
