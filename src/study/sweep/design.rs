//! One design simulated, and the places that designs share.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use super::{Sweep, SweepFiles};
use crate::calendar::DAYS_PER_YEAR;
use crate::crops::{Crop, Hardiness, Table, latest_sowing, months_in, prepare_all};
use crate::file::{Project, SiteChoice};
use crate::house::HouseYear;
use crate::plan::SolveOptions;
use crate::profile::{MonthRow, Quantiles, lowest, month_rows};
use crate::site::Weathers;
use crate::study::climate::climate_asked;
use crate::study::season::{kindest, lived_beds};
use crate::study::year_inside::{Asked, YearInside};
use crate::study::{ClimateStudy, Job, SideFiles, StudyError, plan, value, weather_years};

/// A design, and what came of it; as read, before it is simulated, its project.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignRow<F = DesignYear> {
    /// Number of the design, from 0.
    pub index: usize,
    /// Value of each axis, as written.
    pub settings: Vec<String>,
    pub found: Result<F, String>,
}

/// The year inside a design in a few figures: settled year in the usual weather, spread over the weather years.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignYear {
    /// Name of the place.
    pub place: String,
    pub air_min_c: f64,
    /// Coldest hour of the air over the weather years, °C; none where no weather years ran.
    pub air_min_spread_c: Option<Quantiles>,
    pub coldest_month_air_c: f64,
    pub hours_below_0_c: f64,
    pub hours_above_30_c: f64,
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
    /// Latitude of the place, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude of the place, degrees, east positive.
    pub longitude_deg: f64,
    /// Mean air outdoors of the coldest month of the usual year, °C.
    pub outdoors_coldest_month_c: f64,
    /// Growth of the crops asked for, in their order.
    pub crops: Vec<CropFigures>,
    /// What its plan gives, where plans were asked for and the design can be planned.
    pub plan: Option<PlanFigures>,
}

/// What a design's plan gives in the middle weather year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanFigures {
    pub plantings: usize,
    pub kinds: usize,
    /// Picked, kg.
    pub grown_kg: f64,
    /// Months in which something is eaten in place of buying.
    pub months_eaten: usize,
    /// What it replaces in the middle year, in the file's currency.
    pub replaced: f64,
    /// What is eaten beyond that, at shop prices, in no sum with it.
    pub beyond: f64,
    /// What it replaces less what it costs; at most that where prices are missing.
    pub net: f64,
    /// Whether costs are left out of `net` for want of a price.
    pub net_at_most: bool,
}

/// What a design does for one crop, in the kindest climate of its beds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CropFigures {
    /// Months that a warm crop can stay, median year; none for a hardy one.
    pub months_in: Option<f64>,
    /// Day by which a winter crop must be sown in nine years of ten, from 1 for 1 January; 0 and less the year before.
    pub last_sowing_day: Option<f64>,
}

/// A place as many designs share it.
struct Ground {
    job: Job,
    crops: Vec<Crop>,
    weathers: Weathers,
}

/// Places, each read once however many designs stand on it.
#[derive(Default)]
pub struct Grounds {
    by_place: BTreeMap<String, Result<Ground, String>>,
}

impl Grounds {
    /// Simulates some designs of a sweep, on all cores, in the order of their numbers; one that cannot be simulated is a row too.
    pub fn run(
        &mut self,
        sweep: &Sweep,
        indices: std::ops::Range<usize>,
        files: &SweepFiles,
    ) -> Vec<DesignRow> {
        let designs = indices.into_par_iter().map(|index| sweep.design(index));
        let designs: Vec<DesignRow<Project>> = designs.collect();
        let read = || designs.iter().filter_map(|one| one.found.as_ref().ok());
        // What this part does not stand on is let go: thousands of places would not fit into memory.
        let wanted: BTreeSet<String> = read().map(place_key).collect();
        self.by_place.retain(|place, _| wanted.contains(place));
        for project in read() {
            self.by_place
                .entry(place_key(project))
                .or_insert_with(|| ground(project, files, sweep));
        }
        let row = |design: DesignRow<Project>| DesignRow {
            index: design.index,
            settings: design.settings,
            found: design
                .found
                .and_then(|project| self.year(project, sweep.plans)),
        };
        designs.into_par_iter().map(row).collect()
    }

    fn year(&self, mut project: Project, plans: bool) -> Result<DesignYear, String> {
        let Some(ground) = self.by_place.get(&place_key(&project)) else {
            return Err("the place was not read".to_owned());
        };
        let ground = ground.as_ref().map_err(String::clone)?;
        project.turn_to_equator(ground.job.site.place.latitude_deg);
        let job = Job {
            project,
            ..ground.job.clone()
        };
        let asked = Asked::of(&job.project, job.table.iter().chain(&ground.crops));
        let study = climate_asked(&job, &job.project.house, &ground.weathers, &asked)
            .map_err(|error| error.to_string())?;
        let mut year = figures(&job, &study);
        if !ground.crops.is_empty() {
            year.crops = growth(&job, &study, &ground.crops);
        }
        if plans {
            year.plan = Some(planned(&job, &study).map_err(|error| error.to_string())?);
        }
        Ok(year)
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

fn ground(project: &Project, files: &SweepFiles, sweep: &Sweep) -> Result<Ground, String> {
    let weather = match &project.site {
        SiteChoice::WeatherFile(path) => files.weather.get_key_value(path),
        _ => None,
    };
    let side = SideFiles {
        weather: weather.map(|(path, text)| (path.clone(), text.clone())),
        ..files.side.clone()
    };
    let job = Job::new(project.clone(), &side).map_err(|error: StudyError| error.to_string())?;
    let weathers = weather_years(&job);
    let found = sweep.crops.iter().map(|name| {
        let crop = job.table.get(name);
        crop.cloned()
            .ok_or_else(|| format!("there is no crop `{name}`"))
    });
    let crops = found.collect::<Result<Vec<Crop>, String>>()?;
    let table = match sweep.plans {
        true => job.table,
        // No more of it is needed, and a copy of it for every place would be.
        false => Table::default(),
    };
    Ok(Ground {
        job: Job { table, ..job },
        crops,
        weathers,
    })
}

/// A design's plan by the usual search, no plans of fewer kinds looked for.
fn planned(job: &Job, study: &ClimateStudy) -> Result<PlanFigures, StudyError> {
    let plan = plan(job, study, &SolveOptions::default())?;
    let year = value(job, study, &plan)?.year;
    let amount = |money| year.currency.amount(money);
    let eats = |month: &&crate::value::MonthValue| month.eaten_kg > 0.0;
    Ok(PlanFigures {
        plantings: plan.found.simplicity.plantings,
        kinds: plan.found.simplicity.kinds,
        grown_kg: year.grown_kg,
        months_eaten: year.months.iter().filter(eats).count(),
        replaced: amount(year.middle()),
        beyond: amount(year.beyond),
        net: amount(year.left()),
        net_at_most: !year.left_out.is_empty(),
    })
}

fn growth(job: &Job, study: &ClimateStudy, crops: &[Crop]) -> Vec<CropFigures> {
    let days = lived_beds(job, study.tried());
    let of_crop = |crop: &Crop| {
        let prepared = prepare_all(crop, &days);
        let latest = prepared.iter().flat_map(|bed| {
            crop.ways
                .iter()
                .filter_map(move |way| latest_sowing(crop, bed, *way))
        });
        let day = latest.map(|latest| latest.day.p10).reduce(f64::max);
        CropFigures {
            months_in: (crop.hardiness == Hardiness::Tender)
                .then(|| kindest(prepared.iter().map(|bed| months_in(crop, bed))))
                .flatten()
                .map(|months| months.stays.p50),
            last_sowing_day: day.map(|day| day + 1.0),
        }
    };
    crops.iter().map(of_crop).collect()
}

fn figures(job: &Job, study: &ClimateStudy) -> DesignYear {
    let settled = &study.run.settled;
    let months = &study.settled.months;
    let least = |of: fn(&MonthRow) -> f64| months.iter().map(of).fold(f64::INFINITY, f64::min);
    let sum = |of: fn(&MonthRow) -> f64| months.iter().map(of).sum::<f64>();
    let coldest: Vec<f64> = study.years.iter().map(YearInside::coldest_air_c).collect();
    DesignYear {
        place: job.site.place.name.clone(),
        air_min_c: lowest(&settled.air_c),
        air_min_spread_c: Quantiles::of(&coldest),
        coldest_month_air_c: least(|month| month.air_mean_c),
        hours_below_0_c: sum(|month| month.hours_below_0_c),
        hours_above_30_c: sum(|month| month.hours_above_30_c),
        root_zone_min_c: lowest(&settled.root_zone_c),
        darkest_month_mol_m2_day: least(|month| month.light_mol_m2_day),
        light_mol_m2_day: settled.light_mol_m2_h.iter().sum::<f64>() / DAYS_PER_YEAR as f64,
        heater_kwh: study.mean_of_tried(YearInside::heat_kwh),
        fan_kwh: study.mean_of_tried(|year| year.fans_kwh),
        balance_residual: settled.balance_residual,
        years_simulated: study.run.years_to_settle + study.years.len(),
        latitude_deg: job.site.place.latitude_deg,
        longitude_deg: job.site.place.longitude_deg,
        outdoors_coldest_month_c: coldest_month(&job.site.typical.temp_air_c),
        crops: Vec::new(),
        plan: None,
    }
}

/// Mean of the coldest month of a year of hours.
fn coldest_month(hourly_c: &[f64]) -> f64 {
    let year = HouseYear {
        air_c: hourly_c.to_vec(),
        ..HouseYear::default()
    };
    let months = month_rows(&year, None, &[0.0; DAYS_PER_YEAR]);
    let means_c = months.iter().map(|month| month.air_mean_c);
    means_c.fold(f64::INFINITY, f64::min)
}
