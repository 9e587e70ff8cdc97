//! What is kept of a simulated weather year: figures of its months, days and beds, not its hours, of which many years would fill
//! the memory.

use std::sync::Arc;

use super::{Job, variants};
use crate::calendar::HOURS_PER_DAY;
use crate::crops::{Crop, YearOfDays, chills_c};
use crate::file::Project;
use crate::house::{HeatFlows, HeatedWeeks, HouseYear, monthly_kwh};
use crate::profile::{BedHours, MonthRow, bed_hours, highest, lowest, mean, month_rows};
use crate::site::Site;
use crate::solar::SunYear;
use crate::value::Running;
use crate::value::water::{InsideDay, inside_days};

/// Most weather years in which crops are followed and a plan is lived, the first of them (own choice: each is drawn alone, so that
/// a hundred tell a median and eight years of ten to some percent). Of the building all years are kept; of the beds' days,
/// which are most of what a year takes, these alone, so that any number of years finds room.
pub const GROWN_YEARS: usize = 120;

/// A weather year without its hours.
#[derive(Clone, Debug, PartialEq)]
pub struct YearInside {
    pub months: Vec<MonthRow>,
    /// Heat by path and month.
    pub flows: Vec<HeatFlows>,
    /// Heat by path over the year.
    pub year: HeatFlows,
    /// Energy balance, as [`HouseYear::balance_residual`].
    pub balance_residual: f64,
    /// Electricity of all fans in the year, kWh.
    pub fans_kwh: f64,
    /// The same by month.
    pub fan_kwh: [f64; 12],
    /// Electricity of the lamps by month, kWh.
    pub lamp_kwh: [f64; 12],
    /// Heat that must be bought by month, kWh, as [`HouseYear::bought_heat_by_month_kwh`].
    pub bought_heat_kwh: [f64; 12],
    /// Heat of a room that is heated anyway, kWh, as [`HouseYear::unpaid_heat_kwh`].
    pub unpaid_heat_kwh: f64,
    /// Largest output of the heater in any hour, W.
    pub heater_peak_w: f64,
    /// Hours in which the heater cannot give what its set point asks for.
    pub not_held_h: f64,
    /// What the air lacks to [`variants::HELD_AT_C`], K h.
    pub short_k_h: f64,
    /// Coldest and hottest hour of the air on each day, °C.
    pub air_min_max_c: Vec<(f64, f64)>,
    /// Days of the bare bed as its water balance sees them.
    pub water: Vec<InsideDay>,
    /// Weeks in which the heater works.
    pub heated: HeatedWeeks,
    /// Coldest hour of leaves and of root zone in each bed climate, the bare one first, °C.
    coldest_c: Vec<(f64, f64)>,
    /// The year of each bed climate, the bare one first; none where only the building's figures were asked for, and past the
    /// first [`GROWN_YEARS`].
    pub beds: Vec<Arc<YearOfDays>>,
}

/// What is asked of each year beyond the building's own figures.
#[derive(Clone, Debug)]
pub(super) struct Asked {
    /// Air temperatures between which sunlit hours are counted, °C.
    band_c: (f64, f64),
    /// Temperatures below which chilling is counted, °C; none where beds are not asked after.
    chills_c: Option<Vec<f64>>,
}

impl Asked {
    pub fn of<'c>(project: &Project, crops: impl IntoIterator<Item = &'c Crop>) -> Self {
        Self {
            band_c: project.sunlit_band_c,
            chills_c: Some(chills_c(crops)),
        }
    }

    pub fn of_building(job: &Job) -> Self {
        Self {
            band_c: job.project.sunlit_band_c,
            chills_c: None,
        }
    }

    pub fn by(job: &Job) -> Self {
        Self::of(&job.project, job.table.iter())
    }

    /// Takes the figures of the weather year of a place among all.
    pub fn weather_year(
        &self,
        at: usize,
        (site, sun): (&Site, &SunYear),
        year: &HouseYear,
    ) -> YearInside {
        if at < GROWN_YEARS {
            return self.year(site, sun, year);
        }
        let building = Self {
            chills_c: None,
            ..self.clone()
        };
        building.year(site, sun, year)
    }

    pub fn year(&self, site: &Site, sun: &SunYear, year: &HouseYear) -> YearInside {
        /// What the controls leave over from rounding, W.
        const NOTHING_W: f64 = 1.0;
        let beds = bed_hours(year);
        let pressure_kpa = mean(&site.typical.pressure_pa) / 1000.0;
        let short_k = |air_c: &f64| (variants::HELD_AT_C - air_c).max(0.0);
        let unmet = year.unmet_w.iter();
        let air_c = year.air_c.chunks(HOURS_PER_DAY);
        let coldest_c = |bed: &BedHours| (lowest(bed.leaf_c), lowest(bed.root_zone_c));
        let days = |bed: &BedHours, chills_c: &[f64]| Arc::new(YearOfDays::of(bed, chills_c));
        YearInside {
            months: month_rows(year, Some(self.band_c), &sun.day_length_h),
            flows: year.months.clone(),
            year: year.year,
            balance_residual: year.balance_residual,
            fans_kwh: year.fans_kwh(),
            fan_kwh: monthly_kwh(&year.fan_w),
            lamp_kwh: monthly_kwh(&year.lamp_w),
            bought_heat_kwh: year.bought_heat_by_month_kwh(),
            unpaid_heat_kwh: year.unpaid_heat_kwh(),
            heater_peak_w: highest(&year.heater_w),
            not_held_h: unmet.filter(|unmet_w| **unmet_w > NOTHING_W).count() as f64,
            short_k_h: year.air_c.iter().map(short_k).sum(),
            air_min_max_c: air_c.map(|day| (lowest(day), highest(day))).collect(),
            heated: year.heated.clone(),
            coldest_c: beds.iter().map(coldest_c).collect(),
            water: match (beds.first(), &self.chills_c) {
                (Some(bare), Some(_)) => inside_days(bare, pressure_kpa),
                _ => Vec::new(),
            },
            beds: match &self.chills_c {
                Some(chills_c) => beds.iter().map(|bed| days(bed, chills_c)).collect(),
                None => Vec::new(),
            },
        }
    }
}

impl YearInside {
    /// Heat, fans and lamps of its months, no water.
    pub(super) fn energy(&self) -> Running {
        Running {
            heat_kwh: self.bought_heat_kwh,
            fan_kwh: self.fan_kwh,
            lamp_kwh: self.lamp_kwh,
            water_l: [0.0; 12],
        }
    }

    pub fn heat_kwh(&self) -> f64 {
        self.bought_heat_kwh.iter().sum()
    }

    pub fn coldest_air_c(&self) -> f64 {
        let days = self.air_min_max_c.iter();
        days.map(|day| day.0).fold(f64::NAN, f64::min)
    }

    /// Coldest hour of the leaves in a bed climate, the bare one first, °C.
    pub fn coldest_leaf_c(&self, climate: usize) -> f64 {
        self.coldest_in(climate).0
    }

    /// Coldest hour of the root zone in a bed climate, °C.
    pub fn coldest_root_zone_c(&self, climate: usize) -> f64 {
        self.coldest_in(climate).1
    }

    fn coldest_in(&self, climate: usize) -> (f64, f64) {
        let own = self.coldest_c.get(climate).or(self.coldest_c.first());
        own.copied().unwrap_or((f64::NAN, f64::NAN))
    }

    pub fn climates(&self) -> usize {
        self.coldest_c.len()
    }
}
