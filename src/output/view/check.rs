//! What the program understood, and everything on the one page.

use super::{ClimateView, Note, NoteKind, PlanView, SeasonView, ValueView};
use crate::calendar::MONTH_HEADS;
use crate::file::check::{self, Caution, Fact};
use crate::file::{Assumed, Project};
use crate::output::row::{row, view};
use crate::output::text::{fixed, joined, listed};
use crate::phrase::{Phrase, amount, phrase};
use crate::site::Site;
use crate::study::{Job, variants};
use crate::value;

row! {
    /// Something computed from the file alone, such as an area or a loss coefficient.
    pub struct FactRow of (fact: Fact) {
        /// What it is.
        fact: Phrase, "" => fact.what;
        /// How much; empty where it is a word.
        amount: Option<f64>, "see unit" => fact.amount;
        /// Unit of the amount, or the word.
        unit: Phrase, "" => fact.unit;
    }
}

row! {
    /// A value that was assumed in the person's name.
    pub struct DefaultRow of (assumed: &Assumed) {
        /// Key in the project file that overrides it.
        key: String, "" => assumed.key.clone();
        /// The value assumed, in its unit.
        assumed: Phrase, "" => assumed_value(assumed);
        /// Where it comes from.
        source: String, "" => assumed.why.clone();
    }
}

view! {
    /// What the program understood of a project file.
    pub struct CheckView of check(project: &Project, site: &Site) {
        let facts = check::facts(project).into_iter().chain(household(project));
        let warnings = check::warnings(project);
        let warnings = warnings.iter().map(Note::warning).chain(cautions(&check::cautions(project)));
        /// Name of the project.
        project: String => project.name.clone();
        /// Where the building stands.
        place: String => site.place.name.clone();
        /// Areas, volume, loss coefficient and the like.
        facts: Vec<FactRow> => facts.map(FactRow::of).collect();
        /// Everything that was assumed.
        defaults: Vec<DefaultRow> => defaults(project);
        /// What is unusual.
        notes: Vec<Note> => site.notes.iter().map(Note::plain).chain(warnings).collect();
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
    project.assumed.iter().map(DefaultRow::of).collect()
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

/// Who eats, what is spent, asked for and refused, as it was understood.
fn household(project: &Project) -> Vec<Fact> {
    let shopping = &project.shopping;
    let code = shopping.currency.code();
    let alike = shopping.eaters.chunk_by(|one, next| one == next);
    let eaters = alike.map(|alike| {
        let appetite = match alike[0].appetite {
            1.0 => String::new(),
            appetite => format!(" with {appetite} times the usual appetite"),
        };
        let years = alike[0].age_years.unwrap_or_default();
        format!("{} of {years}{appetite}", alike.len())
    });
    let mut facts = vec![Fact::word("eaters", format!("{} years", listed(eaters)))];
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
        facts.push(Fact::word(name, words));
    }
    for own in &shopping.appetites {
        let what = format!("eats of {} a week", own.of.replace('_', " "));
        facts.push(Fact::much(what, own.kg_week, "kg"));
    }
    for wish in &shopping.wishes {
        let season = match wish.months {
            (0, 11) => "all year".to_owned(),
            (from, to) if from == to => format!("in {}", MONTH_HEADS[from]),
            (from, to) => format!("from {} to {}", MONTH_HEADS[from], MONTH_HEADS[to]),
        };
        let decimals = if wish.kg_week < 10.0 { 2 } else { 0 };
        facts.push(Fact::word(
            "asked for",
            phrase![
                amount(wish.kg_week, "kg", decimals),
                format!(" {} a week {season}", wish.of.replace('_', " "))
            ],
        ));
    }
    for (name, foods) in [
        ("eats only", &shopping.eats),
        ("refuses", &shopping.refused),
    ] {
        if !foods.is_empty() {
            let words = foods.iter().map(|food| food.replace('_', " "));
            facts.push(Fact::word(name, listed(words)));
        }
    }
    facts
}

row! {
    /// A source of figures.
    pub struct SourceRow of (figures: String, source: String) {
        /// What was taken from it.
        figures: String, "" => figures;
        /// Where it is published, with its year.
        source: String, "" => source;
    }
}

view! {
    /// Everything that stands on the one page.
    pub struct ReportView of report(job: &Job, climate: ClimateView, season: SeasonView, plan: PlanView, value: ValueView) {
        let people = job.project.shopping.eaters.len();
        let beds_m2 = job.project.beds.iter().map(|bed| bed.area_m2).sum::<f64>();
        /// Title of the page.
        title: String => job.project.name.clone();
        /// One or two sentences: building, household, planning year.
        summary: Phrase => phrase![
            format!("{}: ", job.site.place.name),
            amount(variants::floor_m2(job), "m2", 0),
            format!(" of floor, {} beds with ", job.project.beds.len()),
            amount(beds_m2, "m2", 0),
            format!(
                ", {people} people at the table. Planned for {} over {} weather years.",
                job.project.planning.year, climate.weather_years
            )
        ];
        /// The year inside, with its days and heat flows.
        climate: ClimateView => climate;
        /// Crops against months.
        season: SeasonView => season;
        /// The plan.
        plan: PlanView => plan;
        /// Food and money.
        value: ValueView => value;
        /// What was assumed in the person's name.
        assumptions: Vec<DefaultRow> => defaults(&job.project);
        /// Where the figures come from.
        sources: Vec<SourceRow> => sources(job);
        /// What to mind, and who decides.
        cautions: Vec<Note> => cautions(&check::cautions(&job.project));
        /// Version of the program.
        version: String => env!("CARGO_PKG_VERSION").to_owned();
    }
}

fn sources(job: &Job) -> Vec<SourceRow> {
    let weather = SourceRow::of("weather".to_owned(), job.site.source.clone());
    let mut by_source = std::collections::BTreeMap::new();
    for row in value::sources() {
        by_source
            .entry(format!("{} ({})", row.source, row.mark))
            .or_insert_with(std::collections::BTreeSet::new)
            .insert(row.table.replace('_', " "));
    }
    let money = by_source.into_iter();
    let money = money.map(|(source, of)| SourceRow::of(joined(of, ", ", |table| table), source));
    let crops = SourceRow::of(
        "crops".to_owned(),
        "each crop file names the source of every figure: `bedyear crops NAME`".to_owned(),
    );
    std::iter::once(weather)
        .chain(money)
        .chain([crops])
        .collect()
}
