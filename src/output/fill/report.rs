//! The one page, from the views of the other verbs.

use crate::file::check::cautions;
use crate::output::text::fixed;
use crate::output::view::{ClimateView, PlanView, ReportView, SeasonView, SourceRow, ValueView};
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
    let people: usize = job
        .project
        .household
        .eaters
        .iter()
        .map(|eater| eater.number)
        .sum();
    let beds_m2: f64 = job.project.beds.iter().map(|bed| bed.area_m2).sum();
    ReportView {
        title: job.project.name.clone(),
        summary: format!(
            "{}: {} m2 of floor, {} beds with {} m2, {people} people at the table. Planned for {} on {} weather years.",
            job.site.place.name,
            fixed(variants::floor_m2(job), 0),
            job.project.beds.len(),
            fixed(beds_m2, 0),
            job.project.planning.year,
            climate.weather_years,
        ),
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
    let money = value::sources().iter().map(|row| SourceRow {
        figures: row.figures.to_string(),
        source: row.source.to_string(),
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
