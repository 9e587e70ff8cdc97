//! What another program uses: a project read, its year simulated, its beds planned, the food and the money of it.

use crate::file::{self, Units};
use crate::output::ical::{self, CalendarStyle};
use crate::output::view::{
    ClimateHour, ClimateView, DesignFigures, PlanView, ReportView, SeasonView, ValueView, YearKind,
};
use crate::output::{build, csv_out, html};
use crate::plan::{PlanFile, SolveOptions};
use crate::site::Weathers;
use crate::study::sweep::{Axis, Grounds, Sweep, SweepError, SweepFiles};
use crate::study::{self, ClimateStudy, Job, PlanStudy, SideFiles, StudyError, ValueStudy};

/// A project made ready: what it describes was understood, and the files it names were read.
#[derive(Clone, Debug)]
pub struct Greenhouse {
    job: Job,
}

impl Greenhouse {
    /// Reads the text of a project file; `name` is how messages call it, `files` the texts of the files that it names.
    /// Nothing is opened here.
    ///
    /// # Errors
    /// [`StudyError::File`] with line and column of everything wrong in the text; the other kinds for weather, crops, places
    /// and receipts that cannot be used.
    pub fn read(name: &str, text: &str, files: &SideFiles) -> Result<Self, StudyError> {
        let project = file::parse(name, text)?;
        Ok(Self {
            job: Job::new(project, files)?,
        })
    }

    /// What was taken for granted in silence: figures of the file that are doubtful, with their line.
    pub fn doubts(&self) -> Vec<String> {
        let doubts = self.job.project.doubts.iter();
        doubts.map(ToString::to_string).collect()
    }

    /// Takes another number of weather years than the file says, 1 to 1000.
    #[must_use]
    pub fn with_weather_years(mut self, count: usize) -> Self {
        self.job.project.planning.weather_years = count.clamp(1, 1000);
        self
    }

    /// Simulates air, root zone and light hour by hour through the weather years.
    ///
    /// # Errors
    /// [`StudyError::House`] for a building whose figures do not belong together.
    pub fn simulate(&self) -> Result<Simulated<'_>, StudyError> {
        let (weathers, climate) = study::climate_of_years(&self.job)?;
        Ok(Simulated {
            job: &self.job,
            weathers,
            climate,
        })
    }
}

/// A greenhouse whose years are simulated.
#[derive(Clone, Debug)]
pub struct Simulated<'g> {
    job: &'g Job,
    weathers: Weathers,
    climate: ClimateStudy,
}

impl Simulated<'_> {
    /// The year inside by months, what the heater does, and the coldest hours.
    ///
    /// # Errors
    /// [`StudyError::House`] where the same house without its heater cannot be simulated.
    pub fn climate(&self) -> Result<ClimateView, StudyError> {
        let heater = study::heater(self.job, &self.climate.years, &self.weathers)?;
        Ok(build::climate(
            self.job,
            &self.climate,
            YearKind::Settled,
            heater.as_ref(),
        ))
    }

    /// The year nearest to the medians hour by hour, 8760 rows.
    pub fn hours(&self) -> Vec<ClimateHour> {
        build::hours(self.job, &self.climate, YearKind::Settled)
    }

    /// Every crop against every month: what can be sown, stand and be picked, and until when.
    ///
    /// # Errors
    /// [`StudyError::House`] where one of the roofs it is compared with cannot be simulated.
    pub fn season(&self) -> Result<SeasonView, StudyError> {
        let season = study::season(self.job, self.climate.tried(), &self.weathers, None)?;
        Ok(build::season(self.job, &season))
    }

    /// Plans the beds; the same input gives the same plan on any number of threads.
    ///
    /// # Errors
    /// [`StudyError::Plan`] without a bed or a household that can be planned for.
    pub fn plan(&self) -> Result<Planned<'_>, StudyError> {
        let options = SolveOptions {
            frontier: true,
            ..SolveOptions::default()
        };
        let plan = study::plan(self.job, &self.climate, &options)?;
        self.planned(plan)
    }

    /// Takes a saved plan (see [`Planned::to_toml`]) in place of a search.
    ///
    /// # Errors
    /// [`StudyError::PlanFile`] for a text that is no plan of these beds.
    pub fn saved_plan(&self, text: &str) -> Result<Planned<'_>, StudyError> {
        let file = PlanFile::parse(text)?;
        let plan = study::plan_from_file(self.job, &self.climate, &file)?;
        self.planned(plan)
    }

    fn planned(&self, plan: PlanStudy) -> Result<Planned<'_>, StudyError> {
        let value = study::value(self.job, &self.climate, &plan)?;
        Ok(Planned {
            simulated: self,
            plan,
            value,
        })
    }
}

/// A greenhouse whose beds are planned.
#[derive(Clone, Debug)]
pub struct Planned<'s> {
    simulated: &'s Simulated<'s>,
    plan: PlanStudy,
    value: ValueStudy,
}

impl Planned<'_> {
    /// Plantings, weeks and food: beds and crops by name.
    pub fn plan(&self) -> PlanView {
        let Simulated { job, climate, .. } = self.simulated;
        build::plan(job, climate, &self.plan)
    }

    /// What the food replaces, what it costs, and what is left.
    pub fn value(&self) -> ValueView {
        build::value(self.simulated.job, &self.plan, &self.value)
    }

    /// The plan as a file for people, which [`Simulated::saved_plan`] reads.
    ///
    /// # Errors
    /// [`StudyError::PlanFile`] for a value that TOML cannot hold.
    pub fn to_toml(&self) -> Result<String, StudyError> {
        Ok(self.plan.file().to_toml()?)
    }

    /// The tasks as a calendar, RFC 5545.
    pub fn calendar(&self, units: Units) -> String {
        let style = CalendarStyle {
            reminder_hour: None,
            units,
        };
        ical::render(&self.plan(), &[], style)
    }

    /// The plantings as CSV, units in the names of the columns.
    ///
    /// # Errors
    /// What the CSV writer reports.
    pub fn plantings_csv(&self) -> Result<String, csv::Error> {
        csv_out::to_string(&self.plan().planting_rows())
    }

    /// The report as one HTML page.
    ///
    /// # Errors
    /// As [`Simulated::climate`] and [`Simulated::season`].
    pub fn report(&self, units: Units) -> Result<String, StudyError> {
        let view: ReportView = build::report(
            self.simulated.job,
            self.simulated.climate()?,
            self.simulated.season()?,
            self.plan(),
            self.value(),
        );
        Ok(html::render(&view, units, false))
    }
}

/// One design of a sweep.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct SweptDesign {
    /// Key and value of what varies, in the order asked for.
    pub settings: Vec<(String, String)>,
    /// Its figures; of a design that cannot be built, the problem alone.
    pub figures: DesignFigures,
}

/// Simulates every combination of some keys' values, such as `["building.length=8..12/2 m", "air.infiltration=0.3,0.6"]`.
///
/// # Errors
/// [`SweepError`] for a key or a range that is not understood, or where no combination can be built.
pub fn sweep(text: &str, vary: &[&str], files: &SideFiles) -> Result<Vec<SweptDesign>, SweepError> {
    let axes = vary.iter().map(|text| Axis::parse(text));
    let sweep = Sweep::new(text, axes.collect::<Result<Vec<_>, _>>()?)?;
    let files = SweepFiles {
        side: files.clone(),
        ..SweepFiles::default()
    };
    let rows = Grounds::default().run(&sweep, 0..sweep.count, &files);
    let keys: Vec<String> = sweep.axes.iter().map(|axis| axis.key.clone()).collect();
    let designs = rows.into_iter().map(|row| SweptDesign {
        figures: DesignFigures::of(&row),
        settings: keys.iter().cloned().zip(row.settings).collect(),
    });
    Ok(designs.collect())
}
