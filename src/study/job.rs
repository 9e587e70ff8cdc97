//! A project made ready for the stages: site, sun and crop table looked up and read.

use super::StudyError;
use crate::calendar::{DAYS_PER_WEEK, HOURS_PER_DAY, SECONDS_PER_HOUR};
use crate::crops::Table;
use crate::file::{Project, SiteChoice, Standing};
use crate::journal::{Journal, stands};
use crate::plan::{Closing, PlanFile};
use crate::site::{self, Normals, NormalsError, Site, UndisturbedGround};
use crate::solar::SunYear;
use crate::suggest::nearest;
use crate::value::Household;
use crate::value::receipts::{self, Receipts};
use chrono::{Months, NaiveDate};
use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Most months that a plan from a day on covers.
const MONTHS_MOST: usize = 24;

/// Words by which a journal's cause of a loss is the weather's, which the weather years hold already.
const BY_WEATHER: [&str; 5] = ["frost", "froze", "cold", "heat", "bolt"];

/// Texts of the files that a project names, as pairs of file name and text; nothing is opened here.
#[derive(Clone, Debug, Default)]
pub struct SideFiles {
    /// Hourly weather file that takes the place of the project's weather.
    pub weather: Option<(String, String)>,
    /// Crop files of the person's own.
    pub crops: Vec<(String, String)>,
    /// Climate files of the person's own.
    pub climates: Vec<(String, String)>,
    /// Receipts that the project names.
    pub receipts: Option<(String, String)>,
}

/// A project made ready.
#[derive(Clone, Debug)]
pub struct Job {
    pub project: Project,
    /// Place, weather and ground.
    pub site: Site,
    /// The sun through the planning year.
    pub sun: SunYear,
    /// Crops, the person's own included.
    pub table: Table,
    /// Receipts, the person's own; empty where there are none.
    pub receipts: Receipts,
    /// Former plan, which new ones are held near to.
    pub former: Option<PlanFile>,
    /// Whether the best plan found is taken, however good the former one is.
    pub anew: bool,
    /// What stood in the beds in the year before a plan from a day on and is gone, by bed of the file: its families count.
    pub gone: Vec<(usize, Standing)>,
    /// Sowings that stay where they are, whatever a plan made anew would rather have.
    pub held: Option<PlanFile>,
    /// Raised when nobody waits for the answer any more; long studies look at it between their steps.
    pub given_up: Option<Arc<AtomicBool>>,
}

impl Job {
    /// Takes over the time that a plan file is for where the project names none, and what it has standing in the beds on its
    /// first day: so a plan made from a journal goes on without it.
    pub fn adopt(&mut self, file: &PlanFile) {
        if file.closing != Closing::Open {
            return;
        }
        let planning = &mut self.project.planning;
        if planning.from.is_none() {
            let weeks = |months: &usize| {
                let end = file.start + Months::new(*months as u32);
                (end - file.start).num_days() as usize / DAYS_PER_WEEK
            };
            let Some(months) = (1..=MONTHS_MOST).find(|months| weeks(months) == file.weeks) else {
                return;
            };
            (planning.from, planning.months) = (Some(file.start), months);
        }
        if planning.from != Some(file.start) || file.standing.is_empty() {
            return;
        }
        for bed in &mut self.project.beds {
            bed.standing.retain(|one| one.in_tray_on(file.start));
            let own = file.standing.iter().filter(|one| one.bed == bed.name);
            let area_m2 = bed.area_m2;
            bed.standing.extend(own.map(|one| Standing {
                crop: one.crop.clone(),
                since: one.since,
                set_out: Some(one.set_out),
                sown: None,
                share: (one.area_m2 / area_m2).min(1.0),
                sections: one.sections.clone(),
                clear: Some(one.clear),
            }));
        }
    }

    /// Looks up and reads what the project names.
    ///
    /// # Errors
    /// [`StudyError`] for a weather, climate, crop or receipts file that cannot be used, or a place that is not on the shelf.
    pub fn new(mut project: Project, side: &SideFiles) -> Result<Self, StudyError> {
        let own = side.crops.iter();
        let own = own.map(|(file, text)| (file.as_str(), text.as_str()));
        /// Noon of 1 July: when vents stand open, if ever.
        const SUMMER_NOON_H: usize = 181 * 24 + 12;
        let vents = project.house.air.vents.as_ref();
        let vents_c = vents.map(|vents| vents.set_point_c.at(SUMMER_NOON_H));
        let table = || Ok::<_, StudyError>(Table::builtin()?.with_overrides(own)?);
        let site = || site_of(&project, side).map_err(|error| located(&project, error));
        let (table, site) = rayon::join(table, site);
        let table = table?.with_pollinator(project.pollinator, vents_c);
        let receipts = receipts_of(&project, side)?;
        let site = site?;
        project.turn_to_equator(site.place.latitude_deg);
        let sun = site.place.sun(project.planning.year);
        let job = Self {
            project,
            site,
            sun,
            table,
            receipts,
            former: None,
            anew: false,
            held: None,
            gone: Vec::new(),
            given_up: None,
        };
        super::accept::accept(&job)?;
        Ok(job)
    }

    /// The same where a weather file of some days stands in the place of the project's own climate: the ground remembers many
    /// years and not those of the file alone, and so do the years that may have gone before. None where the project has no
    /// climate of its own, or that of another place.
    pub fn with_usual_ground(&self) -> Option<Self> {
        /// Beyond this the file is of another place, km (own choice).
        const NEAR_KM: f64 = 100.0;
        if matches!(self.project.site, SiteChoice::WeatherFile(_)) {
            return None;
        }
        let usual = site_of(&self.project, &SideFiles::default()).ok()?;
        if usual.place.distance_km(&self.site.place) > NEAR_KM {
            return None;
        }
        let mut job = self.clone();
        job.site.ground = usual.ground;
        job.site.year_source = usual.year_source;
        Some(job)
    }

    /// Does anybody still wait for the answer?
    ///
    /// # Errors
    /// [`StudyError::GivenUp`] where nobody does.
    pub(super) fn goes_on(&self) -> Result<(), StudyError> {
        match &self.given_up {
            Some(flag) if flag.load(Ordering::Relaxed) => Err(StudyError::GivenUp),
            _ => Ok(()),
        }
    }

    /// Moves the share of plantings that are lost as a whole by what a journal tells of them until a day; gives what was
    /// learnt, in one sentence.
    pub fn learn(&mut self, journal: &Journal, until: NaiveDate) -> Option<String> {
        let mut own: BTreeMap<String, (usize, usize)> = BTreeMap::new();
        for stand in stands(&journal.entries, until) {
            let by_weather = stand.losses.iter().any(|(_, cause)| {
                let cause = cause.to_lowercase();
                BY_WEATHER.iter().any(|word| cause.contains(word))
            });
            let counts = own.entry(stand.crop).or_default();
            counts.0 += 1;
            counts.1 += usize::from(stand.died && !by_weather);
        }
        let (planted, lost) = own
            .values()
            .fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        if planted == 0 {
            return None;
        }
        let before = self.project.losses.whole;
        self.project.losses = self.project.losses.clone().learnt(&own);
        Some(format!(
            "the journal tells of {planted} plantings, {lost} of them lost as a whole beside the weather: that share is taken as {:.1} % in place of {:.1} %",
            100.0 * self.project.losses.whole,
            100.0 * before
        ))
    }

    /// The household as the money stage knows it: the file's word, then the receipts.
    pub fn household(&self) -> Household {
        let southern = self.site.place.latitude_deg < 0.0;
        self.receipts.apply_to(
            self.project.market_household(southern),
            self.project.household.receipts_complete,
        )
    }
}

fn receipts_of(project: &Project, side: &SideFiles) -> Result<Receipts, StudyError> {
    match (&side.receipts, &project.household.receipts) {
        (Some((file, text)), _) => {
            let read = receipts::read(text);
            if read.bad.is_empty() {
                return Ok(read);
            }
            Err(StudyError::Receipts {
                file: file.clone(),
                rows: read.bad,
            })
        }
        (None, Some(path)) => Err(StudyError::NoReceiptsText(path.clone())),
        (None, None) => Ok(Receipts::default()),
    }
}

fn site_of(project: &Project, side: &SideFiles) -> Result<Site, StudyError> {
    let set = &project.site_override;
    let mut site = match (&side.weather, &project.site) {
        (Some((file, text)), _) => {
            let mut read = site::epw::read(file, text)?;
            read.place.elevation_m = set.elevation_m.unwrap_or(read.place.elevation_m);
            Site::from_epw(read)
        }
        (None, SiteChoice::WeatherFile(path)) => {
            return Err(StudyError::NoWeatherText(path.clone()));
        }
        (None, SiteChoice::Shelf(name)) => normals_site(place_on_shelf(name, side)?, project)?,
        (None, SiteChoice::OwnMonths(own)) => normals_site((**own).clone(), project)?,
        (None, SiteChoice::Estimated(chosen)) => {
            let mut estimate = site::places::estimate(&chosen.spot, 0.0)?;
            estimate.normals.place.name.clone_from(&chosen.name);
            estimate.normals.place.utc_offset_h = chosen.utc_offset_h;
            let shelf = site::climates::shelf();
            Site::from_estimate(estimate, &shelf, project.planning.year)?
        }
    };
    if let Some(name) = &set.name {
        site.name(name);
    }
    if let Some(floor) = &project.house.floor {
        // The ground around is taken to be that under the floor.
        let soil = &floor.soil;
        let diffusivity_m2_day = soil.conductivity_w_mk / soil.heat_capacity_j_m3k
            * SECONDS_PER_HOUR
            * HOURS_PER_DAY as f64;
        site.ground = UndisturbedGround::from_weather(&site.typical, diffusivity_m2_day);
    }
    if let Some(reflectance) = set.ground_reflectance {
        site.typical.ground_reflectance.fill(reflectance);
    }
    Ok(site)
}

/// The error at the key that names the place or its months, where it is one of them.
fn located(project: &Project, error: StudyError) -> StudyError {
    let key = match &error {
        StudyError::Unknown { .. } | StudyError::Estimate(_) => "site.place",
        StudyError::Normals(error) if !matches!(error, NormalsError::InFile { .. }) => {
            match error.figure() {
                Some("temp_max_c") => "site.months.max",
                Some("temp_min_c") => "site.months.min",
                Some("ghi_kwh_m2_day") => "site.months.sun",
                Some("sun_hours_day") => "site.months.sun_hours",
                Some("wind_m_s") => "site.months.wind",
                Some("relative_humidity_pct") => "site.months.humidity",
                _ => "site.months",
            }
        }
        _ => return error,
    };
    project.written.refused(key, error.to_string(), None).into()
}

fn normals_site(mut normals: Normals, project: &Project) -> Result<Site, StudyError> {
    if let Some(elevation_m) = project.site_override.elevation_m {
        normals.place.elevation_m = elevation_m;
    }
    let shelf = site::climates::shelf();
    Ok(Site::from_normals(normals, &shelf, project.planning.year)?)
}

fn place_on_shelf(name: &str, side: &SideFiles) -> Result<Normals, StudyError> {
    let own = |file: &str| Some(std::path::Path::new(file).file_stem()?.to_str()?.to_owned());
    for (file, text) in &side.climates {
        if own(file).is_some_and(|stem| stem.eq_ignore_ascii_case(name)) {
            return Ok(site::climates::parse(file, text)?);
        }
    }
    let names = side.climates.iter().filter_map(|(file, _)| own(file));
    let names: Vec<String> = names.collect();
    on_the_shelf(name).map_err(|error| match error {
        StudyError::Unknown { what, name, near } => {
            let of_own = nearest(&name, names.iter().map(String::as_str));
            StudyError::unknown(what, &name, of_own.or(near.as_deref()))
        }
        other => other,
    })
}

/// A place of the shelf by its identifier.
///
/// # Errors
/// [`StudyError::Unknown`] with the nearest name.
pub(super) fn on_the_shelf(name: &str) -> Result<Normals, StudyError> {
    let near = || nearest(name, site::climates::names().into_iter());
    let unknown = || StudyError::unknown("place on the shelf", name, near());
    Ok(site::climates::get(name).ok_or_else(unknown)??)
}
