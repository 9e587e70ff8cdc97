//! Speed of each stage and of the whole run, on the built-in example: `cargo bench --bench stages`.
//!
//! What belongs to one stage alone is in `sun`, `house` and `plan`; here stands what a command waits for, from the text of
//! the project file to the page of the report, and how it grows with weather years, beds and crops.

#[path = "../tests/made/epw.rs"]
mod made_epw;

use bedyear::crops::Table;
use bedyear::file;
use bedyear::output::tables::of_report;
use bedyear::output::units::Units;
use bedyear::output::view::YearKind;
use bedyear::output::{build, csv_out, html, parquet_out};
use bedyear::plan::SolveOptions;
use bedyear::site::{Weathers, epw};
use bedyear::study::{self, ClimateStudy, Job, PlanStudy, SideFiles};
use divan::counter::{BytesCount, ItemsCount};
use divan::{Bencher, black_box};

const EXAMPLE: &str = include_str!("../examples/helena.toml");
/// Counted work of the plans made ready for the stages after them: enough for a plan of full beds.
const LITTLE_WORK: u64 = 30;
/// A house of film with equal beds; `#` stands for their number.
const EQUAL_BEDS: &str = "[site]\nplace = \"Helena\"\n[building]\nshape = \"hoop\"\nlength = \"100 m\"\n\
                          width = \"8 m\"\nglazing = \"film\"\nbeds = #\n[household]\neaters = [{ number = 4, age = 40 }]\n";

fn main() {
    divan::main();
}

fn job_of(text: &str, years: usize) -> Job {
    let mut project = file::parse("bench.toml", text).unwrap();
    project.planning.weather_years = years;
    Job::new(project, &SideFiles::default()).unwrap()
}

fn example(years: usize) -> Job {
    job_of(EXAMPLE, years)
}

fn little() -> SolveOptions<'static> {
    SolveOptions {
        work_limit: LITTLE_WORK,
        ..SolveOptions::default()
    }
}

/// The stages up to the plan.
struct Run {
    job: Job,
    weathers: Weathers,
    climate: ClimateStudy,
}

impl Run {
    fn of(job: Job) -> Self {
        let weathers = study::weather_years(&job);
        let climate = study::climate(&job, &job.project.house, &weathers).unwrap();
        Self {
            job,
            weathers,
            climate,
        }
    }

    fn plan(&self, options: &SolveOptions<'_>) -> PlanStudy {
        study::plan(&self.job, &self.climate, options).unwrap()
    }

    fn view(&self, plan: &PlanStudy) -> bedyear::output::view::ReportView {
        let season = study::season(&self.job, self.climate.tried(), &self.weathers, None).unwrap();
        let value = study::value(&self.job, &self.climate, plan).unwrap();
        build::report(
            &self.job,
            build::climate(&self.job, &self.climate, YearKind::Settled, None),
            build::season(&self.job, &season),
            build::plan(&self.job, &self.climate, plan),
            build::value(&self.job, plan, &value),
        )
    }
}

#[divan::bench(name = "read/project")]
fn read_project(bencher: Bencher) {
    bencher
        .counter(BytesCount::of_str(EXAMPLE))
        .bench(|| file::parse("bench.toml", black_box(EXAMPLE)).unwrap());
}

/// All crop files of the table.
#[divan::bench(name = "read/crops", sample_count = 50)]
fn read_crops(bencher: Bencher) {
    bencher.bench(|| Table::builtin().unwrap());
}

/// One crop file of the person's own over the table.
#[divan::bench(name = "read/own_crop")]
fn read_own_crop(bencher: Bencher) {
    let table = Table::builtin().unwrap();
    let text = "like = \"spinach\"\nname = \"Mine\"\n";
    bencher.bench(|| {
        table
            .clone()
            .with_overrides([("mine.toml", black_box(text))])
            .unwrap()
    });
}

/// An hourly weather file of 8760 rows.
#[divan::bench(name = "read/weather", sample_count = 50)]
fn read_weather(bencher: Bencher) {
    let text = made_epw::epw();
    bencher
        .counter(BytesCount::of_str(&text))
        .bench(|| epw::read("made.epw", black_box(&text)).unwrap());
}

/// Project, crops, place and sun made ready.
#[divan::bench(name = "read/job", sample_count = 50)]
fn read_job(bencher: Bencher) {
    bencher.bench(|| example(30));
}

#[divan::bench(name = "site/weather_years", args = [1, 10, 30, 100], sample_count = 20)]
fn weather_years(bencher: Bencher, years: usize) {
    let job = example(years);
    bencher
        .counter(ItemsCount::new(years))
        .bench(|| study::weather_years(&job));
}

/// The house in its usual year and in each weather year.
#[divan::bench(name = "house/climate", args = [0, 10, 30, 100], sample_count = 10)]
fn climate(bencher: Bencher, years: usize) {
    let job = example(years);
    let weathers = study::weather_years(&job);
    bencher.bench(|| study::climate(&job, &job.project.house, &weathers).unwrap());
}

/// Crops against months, in the usual year and in each weather year.
#[divan::bench(name = "crops/season", args = [0, 10, 30, 100], sample_count = 10)]
fn season(bencher: Bencher, years: usize) {
    let run = Run::of(example(years));
    bencher.bench(|| study::season(&run.job, run.climate.tried(), &run.weathers, None).unwrap());
}

/// Candidates, a short search, and the plan lived through the weather years: what a plan takes besides its search.
#[divan::bench(name = "plan/short_search/years", args = [1, 10, 30, 100], sample_count = 5, sample_size = 1)]
fn plan_by_years(bencher: Bencher, years: usize) {
    let run = Run::of(example(years));
    bencher.bench(|| run.plan(&little()));
}

/// The same by beds, 3 weather years.
#[divan::bench(name = "plan/short_search/beds", args = [2, 8, 32, 128], sample_count = 5, sample_size = 1)]
fn plan_by_beds(bencher: Bencher, beds: usize) {
    let run = Run::of(job_of(&EQUAL_BEDS.replace('#', &beds.to_string()), 3));
    bencher.bench(|| run.plan(&little()));
}

#[divan::bench(name = "value/account", args = [1, 30], sample_count = 10)]
fn value(bencher: Bencher, years: usize) {
    let run = Run::of(example(years));
    let plan = run.plan(&little());
    bencher.bench(|| study::value(&run.job, &run.climate, &plan).unwrap());
}

#[divan::bench(name = "output/view", sample_count = 10)]
fn view(bencher: Bencher) {
    let run = Run::of(example(10));
    let plan = run.plan(&little());
    bencher.bench(|| run.view(&plan));
}

#[divan::bench(name = "output/report", sample_count = 20)]
fn report(bencher: Bencher) {
    let run = Run::of(example(10));
    let view = run.view(&run.plan(&little()));
    bencher.bench(|| html::render(&view, Units::Si, false));
}

/// Every table behind the report as Parquet, or as CSV.
#[divan::bench(name = "output/tables", args = ["parquet", "csv"], sample_count = 10)]
fn tables(bencher: Bencher, kind: &str) {
    let run = Run::of(example(10));
    let view = run.view(&run.plan(&little()));
    bencher.bench(|| -> usize {
        let bytes = |table| match kind {
            "csv" => csv_out::table_text(table).unwrap().len(),
            _ => parquet_out::table_bytes(table, None).unwrap().len(),
        };
        of_report(&view).iter().map(bytes).sum()
    });
}

/// From the text of the example to the page of its report, with the search it gets from the command line.
#[divan::bench(name = "whole/example", sample_count = 3, sample_size = 1)]
fn whole(bencher: Bencher) {
    bencher.bench(|| {
        let run = Run::of(example(30));
        let plan = run.plan(&SolveOptions::default());
        html::render(&run.view(&plan), Units::Si, false)
    });
}
