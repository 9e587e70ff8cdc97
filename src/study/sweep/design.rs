//! One design simulated, and the places that designs share.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::{Design, Sweep, SweepError, SweepFiles};
use crate::crops::Table;
use crate::file::Project;
use crate::house::HouseYear;
use crate::profile::{HourColumns, MonthRow, Quantiles, lowest, month_rows};
use crate::site::Weather;
use crate::study::climate::climate_at;
use crate::study::{ClimateStudy, Job, SideFiles, StudyError, weather_years};

/// What came of a design.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignRow {
    /// Number of the design, from 0.
    pub index: usize,
    /// Value of each axis, as written.
    pub settings: Vec<String>,
    /// What was found, or why the design cannot be simulated.
    pub found: Result<DesignYear, String>,
}

/// The year inside a design in a few figures: settled year in the usual weather, spread over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignYear {
    /// Name of the place.
    pub place: String,
    /// Coldest hour of the air, °C.
    pub air_min_c: f64,
    /// Coldest hour of the air over the weather years, °C; none where no weather years ran.
    pub air_min_spread_c: Option<Quantiles>,
    /// Mean air of the coldest month, °C.
    pub coldest_month_air_c: f64,
    /// Hours with air below 0 °C.
    pub hours_below_0_c: f64,
    /// Hours with air above 30 °C.
    pub hours_above_30_c: f64,
    /// Coldest hour of the root zone, °C.
    pub root_zone_min_c: f64,
    /// Light of the darkest month, mol/m2/day.
    pub darkest_month_mol_m2_day: f64,
    /// Light of the year, mol/m2/day.
    pub light_mol_m2_day: f64,
    /// Heat from the heater, kWh a year: mean of the weather years where they ran.
    pub heater_kwh: f64,
    /// Electricity of the fans, kWh a year: mean of the weather years where they ran.
    pub fan_kwh: f64,
    /// Share of the heat flows that the yearly balance does not account for.
    pub balance_residual: f64,
    /// Years simulated for these figures, those of settling included.
    pub years_simulated: usize,
}

/// A place as many designs share it.
struct Ground {
    job: Job,
    weathers: Vec<Weather>,
}

/// Places, each read once however many designs stand on it.
#[derive(Default)]
pub struct Grounds {
    by_place: BTreeMap<String, Result<Arc<Ground>, String>>,
}

impl Grounds {
    /// Simulates some designs of a sweep, on all cores, in the order of their numbers.
    ///
    /// # Errors
    /// [`SweepError::Study`] if the crops on file cannot be read; a design that cannot be simulated is a row.
    pub fn run(
        &mut self,
        sweep: &Sweep,
        indices: std::ops::Range<usize>,
        files: &SweepFiles,
    ) -> Result<Vec<DesignRow>, SweepError> {
        let designs: Vec<Design> = indices
            .into_par_iter()
            .map(|index| sweep.design(index))
            .collect();
        let read = || {
            designs
                .iter()
                .filter_map(|design| design.project.as_ref().ok())
        };
        // What this part does not stand on is let go: thousands of places would not fit into memory.
        let wanted: std::collections::BTreeSet<String> = read().map(place_key).collect();
        self.by_place.retain(|place, _| wanted.contains(place));
        for project in read() {
            self.by_place
                .entry(place_key(project))
                .or_insert_with(|| ground(project, files).map(Arc::new));
        }
        Ok(designs
            .into_par_iter()
            .map(|design| self.row(design))
            .collect())
    }

    fn row(&self, design: Design) -> DesignRow {
        DesignRow {
            index: design.index,
            settings: design.settings,
            found: design.project.and_then(|project| self.year(project)),
        }
    }

    fn year(&self, mut project: Project) -> Result<DesignYear, String> {
        let ground = match self.by_place.get(&place_key(&project)) {
            Some(Ok(ground)) => Arc::clone(ground),
            Some(Err(why)) => return Err(why.clone()),
            None => return Err("the place was not read".to_owned()),
        };
        project.turn_to_equator(ground.job.site.place.latitude_deg);
        let (site, sun) = (&ground.job.site, &ground.job.sun);
        let (planning, house) = (&project.planning, &project.house);
        let study = climate_at(site, sun, planning, house, &ground.weathers)
            .map_err(|error| error.to_string())?;
        Ok(figures(&ground.job, &study))
    }
}

/// What tells one place and its weather years from another.
fn place_key(project: &Project) -> String {
    let planning = &project.planning;
    format!(
        "{:?} {:?} {:?} {} {} {}",
        project.site,
        project.site_override,
        project.house.floor.as_ref().map(|floor| floor.soil),
        planning.year,
        planning.weather_years,
        planning.seed
    )
}

fn ground(project: &Project, files: &SweepFiles) -> Result<Ground, String> {
    let weather = match &project.site {
        crate::file::SiteChoice::WeatherFile(path) => files
            .weather
            .get(path)
            .map(|text| (path.clone(), text.clone())),
        _ => None,
    };
    let side = SideFiles {
        weather,
        ..files.side.clone()
    };
    let job = Job::new(project.clone(), &side).map_err(|error: StudyError| error.to_string())?;
    let weathers = weather_years(&job);
    let job = Job {
        // Growth is not part of a sweep, and a copy of the table for every design would be.
        table: Table::default(),
        ..job
    };
    Ok(Ground { job, weathers })
}

fn figures(job: &Job, study: &ClimateStudy) -> DesignYear {
    let settled = &study.run.settled;
    let months = month_rows(&HourColumns::of(settled), &job.sun.day_length_h);
    let least = |of: fn(&MonthRow) -> f64| months.iter().map(of).fold(f64::INFINITY, f64::min);
    let sum = |of: fn(&MonthRow) -> f64| months.iter().map(of).sum::<f64>();
    let coldest: Vec<f64> = study.years.iter().map(|year| lowest(&year.air_c)).collect();
    DesignYear {
        place: job.site.place.name.clone(),
        air_min_c: lowest(&settled.air_c),
        air_min_spread_c: Quantiles::of(&coldest),
        coldest_month_air_c: least(|month| month.air_mean_c),
        hours_below_0_c: sum(|month| month.hours_below_0_c),
        hours_above_30_c: sum(|month| month.hours_above_30_c),
        root_zone_min_c: lowest(&settled.root_zone_c),
        darkest_month_mol_m2_day: least(|month| month.light_mol_m2_day),
        light_mol_m2_day: settled.light_mol_m2_h.iter().sum::<f64>()
            / crate::calendar::DAYS_PER_YEAR as f64,
        heater_kwh: study.mean_of_tried(|year| year.year.heater_kwh),
        fan_kwh: study.mean_of_tried(HouseYear::fans_kwh),
        balance_residual: settled.balance_residual,
        years_simulated: study.run.years_to_settle + study.years.len(),
    }
}
