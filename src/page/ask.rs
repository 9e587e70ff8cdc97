//! Everything that the page asks of the stages, in one place; what was found is kept by what it depends on.
//!
//! A change of price leaves the building as it was: the year inside is then taken from the shelf, not simulated anew.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use chrono::NaiveDate;

use super::answers::Replanned;
use super::disk::Ready;
use super::journal::is_put_off;
use crate::file::{Project, SiteChoice, SiteOverride};
use crate::house::House;
use crate::journal::{self, Journal, Known};
use crate::output::build;
use crate::output::view::{
    ClimateView, OutageView, PlanCheckView, PlanView, ReviewView, SeasonView, ValueView, WhyView,
    YearKind,
};
use crate::plan::{PlanFile, SolveOptions};
use crate::site::Weathers;
use crate::study::{self, ClimateStudy, Fails, PlanStudy, StudyError};

/// Weather years behind a first, rough answer (own choice: a tenth of the usual number).
pub const ROUGH_YEARS: usize = 3;
/// Counted work of the search behind a first, rough plan (own choice).
const ROUGH_WORK: u64 = 30;
/// Results of one kind that are kept: the present one, and those that a few steps back lead to (own choice).
const KEPT: usize = 6;

/// A year inside, with the weather it was simulated in.
pub struct Climate {
    pub study: ClimateStudy,
    pub weathers: Weathers,
    pub view: ClimateView,
    key: ClimateKey,
}

/// A plan, with what it was made in.
pub struct Planned {
    pub study: PlanStudy,
    pub view: PlanView,
    pub file: PlanFile,
}

/// What the year inside depends on.
#[derive(Clone, Debug, PartialEq)]
struct ClimateKey {
    house: House,
    site: SiteChoice,
    set: SiteOverride,
    weather: Option<(String, String)>,
    climates: Vec<(String, String)>,
    year: i32,
    seed: u64,
    years: usize,
    finished: Option<NaiveDate>,
}

/// What a plan, and what is counted from it, depend on.
type PlanKey = (Project, ClimateKey, PlanFile);

/// What crops against months depend on: beds, losses, fuel and prices, the year inside, and crop files of the person's own.
type SeasonKey = (Project, ClimateKey, Vec<(String, String)>);

/// Results by what they depend on, the newest last.
struct Shelf<K, V> {
    kept: Vec<(K, Arc<V>)>,
}

impl<K, V> Default for Shelf<K, V> {
    fn default() -> Self {
        Self { kept: Vec::new() }
    }
}

impl<K: PartialEq, V> Shelf<K, V> {
    fn get(&self, key: &K) -> Option<Arc<V>> {
        let found = self.kept.iter().find(|(known, _)| known == key);
        found.map(|(_, value)| value.clone())
    }

    fn get_or(&mut self, key: K, make: impl FnOnce(&K) -> Result<V, String>) -> Found<V> {
        if let Some(found) = self.get(&key) {
            return Ok(found);
        }
        let made = make(&key)?;
        Ok(self.put(key, made))
    }

    fn put(&mut self, key: K, value: impl Into<Arc<V>>) -> Arc<V> {
        let value = value.into();
        self.kept.push((key, value.clone()));
        if self.kept.len() > KEPT {
            self.kept.remove(0);
        }
        value
    }
}

/// An answer, or why there is none.
pub type Found<T> = Result<Arc<T>, String>;

/// Asks the stages, and remembers.
#[derive(Default)]
pub struct Ask {
    climates: Shelf<ClimateKey, Climate>,
    seasons: Shelf<SeasonKey, SeasonView>,
    plans: Shelf<PlanKey, Planned>,
    rough: Shelf<(Project, ClimateKey), Planned>,
    values: Shelf<PlanKey, ValueView>,
    whys: Shelf<SeasonKey, WhyView>,
    /// Simulations of the year inside so far; what the tests count.
    pub simulated: usize,
}

fn said(error: StudyError) -> String {
    error.to_string()
}

impl Ask {
    fn climate_key(ready: &Ready, years: usize) -> ClimateKey {
        let project = &ready.job.project;
        ClimateKey {
            house: project.house.clone(),
            site: project.site.clone(),
            set: project.site_override.clone(),
            weather: ready.side.weather.clone(),
            climates: ready.side.climates.clone(),
            year: project.planning.year,
            seed: project.planning.seed,
            years,
            finished: project.planning.finished,
        }
    }

    /// The year inside, if it is known already.
    pub fn known_climate(&self, ready: &Ready) -> Option<Arc<Climate>> {
        let years = ready.job.project.planning.weather_years;
        self.climates.get(&Self::climate_key(ready, years))
    }

    pub fn climate(&mut self, ready: &Ready, years: usize) -> Found<Climate> {
        self.climates
            .get_or(Self::climate_key(ready, years), |key| {
                self.simulated += 1;
                Self::simulated(ready, key.clone())
            })
    }

    fn simulated(ready: &Ready, key: ClimateKey) -> Result<Climate, String> {
        let mut job = (*ready.job).clone();
        job.project.planning.weather_years = key.years;
        let (weathers, study) = study::climate_of_years(&job).map_err(said)?;
        let view = build::climate(&job, &study, YearKind::Settled, None);
        Ok(Climate {
            study,
            weathers,
            view,
            key,
        })
    }

    /// What crops against months, and what measures save, depend on.
    fn season_key(ready: &Ready, climate: ClimateKey) -> SeasonKey {
        let project = ready.job.project.clone();
        (project, climate, ready.side.crops.clone())
    }

    /// Are crops against months known already?
    pub fn knows_season(&self, ready: &Ready) -> bool {
        let years = ready.job.project.planning.weather_years;
        let key = Self::season_key(ready, Self::climate_key(ready, years));
        self.seasons.get(&key).is_some()
    }

    pub fn season(&mut self, ready: &Ready, climate: &Climate) -> Found<SeasonView> {
        let key = Self::season_key(ready, climate.key.clone());
        self.seasons.get_or(key, |_| {
            let (tried, weathers) = (climate.study.tried(), &climate.weathers);
            let study = study::season(&ready.job, tried, weathers, None).map_err(said)?;
            Ok(build::season(&ready.job, &study))
        })
    }

    /// A first plan, from few weather years and a short search, told as soon as it is there. It keeps one core busy for the most
    /// part: the year inside in all weather years is simulated meanwhile, for the whole plan.
    pub fn rough_plan(
        &mut self,
        ready: &Ready,
        stop: &AtomicBool,
        tell: impl FnOnce(Found<Planned>) -> bool + Send,
    ) -> bool {
        let climate = match self.climate(ready, ROUGH_YEARS) {
            Ok(climate) => climate,
            Err(error) => return tell(Err(error)),
        };
        let key = (ready.job.project.clone(), climate.key.clone());
        if let Some(found) = self.rough.get(&key) {
            return tell(Ok(found));
        }
        let whole = Self::climate_key(ready, ready.job.project.planning.weather_years);
        let unknown = self.climates.get(&whole).is_none();
        let first = || {
            let rough = Self::rough(ready, &climate, stop).map(Arc::new);
            (rough.clone().ok(), tell(rough))
        };
        let whole = || unknown.then(|| Self::simulated(ready, whole));
        let ((rough, goes_on), whole) = rayon::join(first, whole);
        if let Some(rough) = rough {
            self.rough.put(key, rough);
        }
        if let Some(Ok(whole)) = whole {
            self.simulated += 1;
            self.climates.put(whole.key.clone(), whole);
        }
        goes_on
    }

    fn rough(ready: &Ready, climate: &Climate, stop: &AtomicBool) -> Result<Planned, String> {
        let options = SolveOptions {
            // How near it is to the best is said of the whole plan alone.
            gap: 1.0,
            work_limit: ROUGH_WORK,
            seed: ready.job.project.planning.seed,
            stop: Some(stop),
            ..SolveOptions::default()
        };
        let study = study::plan(&ready.job, &climate.study, &options).map_err(said)?;
        Ok(Self::planned(ready, climate, study))
    }

    /// Searches for a plan: near to `former` where one is named, mended where it no longer works, else the best found; `held`
    /// stays where it is.
    pub fn search(
        &mut self,
        ready: &Ready,
        climate: &Climate,
        (options, former, held): (SolveOptions<'_>, Option<&PlanFile>, Option<PlanFile>),
    ) -> Found<Planned> {
        let mut job = (*ready.job).clone();
        job.former = former.cloned();
        job.held = held;
        let options = SolveOptions {
            seed: ready.job.project.planning.seed,
            frontier: former.is_none(),
            ..options
        };
        let study = study::plan(&job, &climate.study, &options).map_err(said)?;
        let planned = Self::planned(ready, climate, study);
        let key = Self::plan_key(ready, climate, &planned.file);
        Ok(self.plans.put(key, planned))
    }

    /// The agreed plan as it does in the project as it now is.
    pub fn plan(&mut self, ready: &Ready, climate: &Climate, file: &PlanFile) -> Found<Planned> {
        let key = Self::plan_key(ready, climate, file);
        self.plans.get_or(key, |_| {
            let study = study::plan_from_file(&ready.job, &climate.study, file).map_err(said)?;
            Ok(Self::planned(ready, climate, study))
        })
    }

    fn plan_key(ready: &Ready, climate: &Climate, file: &PlanFile) -> PlanKey {
        let project = ready.job.project.clone();
        (project, climate.key.clone(), file.clone())
    }

    fn planned(ready: &Ready, climate: &Climate, study: PlanStudy) -> Planned {
        Planned {
            view: build::plan(&ready.job, &climate.study, &study),
            file: study.bare_file(),
            study,
        }
    }

    /// A plan changed by hand, held against the one agreed to.
    pub fn try_plan(
        ready: &Ready,
        climate: &Climate,
        planned: &Planned,
        (file, grown): (&PlanFile, bool),
    ) -> Result<(Planned, PlanCheckView), String> {
        let study = if grown {
            study::plan_from_file(&ready.job, &climate.study, file)
        } else {
            study::changed(&planned.study, file)
        };
        let check = study::checked(&ready.job, study.map_err(said)?, file);
        let view = build::plan_check(&ready.job, &check);
        Ok((Self::planned(ready, climate, check.plan), view))
    }

    pub fn hold_against(ready: &Ready, new: &Planned, old: &PlanFile) -> PlanCheckView {
        let check = study::checked(&ready.job, new.study.clone(), old);
        build::plan_check(&ready.job, &check)
    }

    pub fn value(
        &mut self,
        ready: &Ready,
        climate: &Climate,
        planned: &Planned,
    ) -> Found<ValueView> {
        let key = Self::plan_key(ready, climate, &planned.file);
        self.values.get_or(key, |_| {
            let study = study::value(&ready.job, &climate.study, &planned.study).map_err(said)?;
            Ok(build::value(&ready.job, &planned.study, &study))
        })
    }

    /// What would raise the coldest hour.
    pub fn why(&mut self, ready: &Ready, climate: &Climate) -> Found<WhyView> {
        let key = Self::season_key(ready, climate.key.clone());
        self.whys.get_or(key, |_| {
            let (years, weathers) = (&climate.study, &climate.weathers);
            let study = study::why(&ready.job, years, weathers).map_err(said)?;
            Ok(build::why(&ready.job, years, &study))
        })
    }

    /// Hours until it is too cold when the power fails as the coldest spell begins.
    pub fn outage(ready: &Ready, climate: &Climate) -> Found<OutageView> {
        let (job, years, weathers) = (&ready.job, &climate.study, &climate.weathers);
        let study = study::outage(job, years, weathers, Fails::Power, None, &[]).map_err(said)?;
        Ok(Arc::new(build::outage(job, &study)))
    }

    /// The plan against the journal on a day.
    pub fn review(
        ready: &Ready,
        climate: &Climate,
        planned: &Planned,
        journal: &Journal,
        at: NaiveDate,
    ) -> Found<ReviewView> {
        let job = &ready.job;
        let study =
            study::review(job, &climate.study, &planned.study, journal, at).map_err(said)?;
        let mut view = build::review(job, &planned.study, journal, &study);
        let name = |crop: &str| job.table.get(crop).map(|crop| crop.name.as_str());
        view.work
            .retain(|work| !is_put_off(work, journal, at, name));
        Ok(Arc::new(view))
    }

    /// The rest of the year planned anew from the journal, near to the agreed plan; with the changed project.
    pub fn replan(
        ready: &Ready,
        climate: &Climate,
        (journal, agreed, from): (&Journal, &PlanFile, NaiveDate),
        options: SolveOptions<'_>,
    ) -> Result<(PlanFile, Replanned), String> {
        let mut job = (*ready.job).clone();
        job.project.planning.from = Some(from);
        let options = SolveOptions {
            seed: job.project.planning.seed,
            ..options
        };
        let found = study::replan(&job, &climate.study, journal, Some(agreed), &options);
        let found = found.map_err(said)?;
        let standing = found.standing.iter();
        let standing = standing.map(|(bed, area_m2, standing)| standing.keys(bed, *area_m2));
        let replanned = Replanned {
            view: build::replan(&job, &climate.study, &found),
            from,
            standing: standing.collect(),
        };
        Ok((found.plan.file(), replanned))
    }
}

/// Reads a journal's text against a project.
pub fn journal(ready: &Ready, text: &str) -> Journal {
    with_known(ready, |known| journal::read("", text, known))
}

/// Gives `then` what the words of a journal are checked against.
pub fn with_known<T>(ready: &Ready, then: impl FnOnce(&Known<'_>) -> T) -> T {
    let project = &ready.job.project;
    let beds: Vec<&str> = project.beds.iter().map(|bed| bed.name.as_str()).collect();
    then(&Known {
        beds: &beds,
        table: &ready.job.table,
        currency: project.shopping.currency.code(),
    })
}
