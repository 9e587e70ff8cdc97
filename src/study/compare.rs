//! Buildings, measures or places side by side.

use rayon::prelude::*;

use super::season::{kindest, lived_beds};
use super::{ClimateStudy, Job, StudyError, YearInside};
use crate::crops::{Crop, Hardiness, MonthsIn, Prepared, months_in as months_in_bed};
use crate::profile::{MonthRow, Quantiles};
use crate::value::{self, CostKind, Currency, Fuel, Tariff};

/// A building to compare.
#[derive(Clone, Debug)]
pub struct Variant {
    /// Name as people say it.
    pub name: String,
    /// The whole job with that building.
    pub job: Job,
    /// Is it known what the building costs? Not for one that differs from the file's by a measure.
    pub cost_known: bool,
}

/// A building simulated for comparison. Coldest hours are medians over the weather years, energy their mean.
#[derive(Clone, Debug)]
pub struct Compared {
    /// Name.
    pub name: String,
    /// Coldest hour of the air, °C.
    pub coldest_air_c: f64,
    /// Mean air of the coldest month, settled year, °C.
    pub coldest_month_air_c: f64,
    /// Coldest hour of the root zone, °C.
    pub coldest_root_zone_c: f64,
    /// Months of the settled year with an hour of air below 0 °C.
    pub months_with_frost: usize,
    /// Light of the darkest month, settled year, mol/m2/day.
    pub darkest_month_mol_m2_day: f64,
    /// Heat from the heater, kWh a year.
    pub heater_kwh: f64,
    /// What the heater takes, in the unit in which it is sold.
    pub fuel: FuelUse,
    /// Electricity of the fans, kWh a year.
    pub fan_kwh: f64,
    /// Heat, fans and lamps, in the household's currency a year; none where a price is not known.
    pub energy_cost: Option<f64>,
    /// Currency of that.
    pub currency: Currency,
    /// Months in of every warm crop, in the kindest of the beds.
    pub months_in: Vec<CropStay>,
}

/// How long one warm crop can stay in.
#[derive(Clone, Debug)]
pub struct CropStay {
    /// Crop id.
    pub crop: String,
    /// Name for people.
    pub name: String,
    /// Months in; none where it cannot be said.
    pub found: Option<MonthsIn>,
}

/// Fuel or electricity of a heater in a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FuelUse {
    /// What it burns.
    pub fuel: Fuel,
    /// Amount in `unit`, mean of the years.
    pub amount: f64,
    /// Unit in which it is sold.
    pub unit: &'static str,
}

/// Takes the figures of one variant from its simulated years.
///
/// # Errors
/// [`StudyError`] if its prices are out of range.
pub fn compare(variant: &Variant, study: &ClimateStudy) -> Result<Compared, StudyError> {
    let job = &variant.job;
    let years = study.tried();
    let months = &study.settled.months;
    let least = |of: fn(&MonthRow) -> f64| months.iter().map(of).fold(f64::INFINITY, f64::min);
    let household = job.household();
    let tariff = value::tariff(&household, &job.project.own_costs())?;
    let heater_kwh = study.mean_of_tried(YearInside::heat_kwh);
    let (amount, unit) = tariff.fuel_amount(heater_kwh);
    Ok(Compared {
        name: variant.name.clone(),
        coldest_air_c: usual_coldest(years, YearInside::coldest_air_c),
        coldest_month_air_c: least(|month| month.air_mean_c),
        coldest_root_zone_c: usual_coldest(years, |year| year.coldest_root_zone_c(0)),
        months_with_frost: months.iter().filter(|month| month.air_min_c < 0.0).count(),
        darkest_month_mol_m2_day: least(|month| month.light_mol_m2_day),
        heater_kwh,
        fuel: FuelUse {
            fuel: tariff.fuel,
            amount,
            unit,
        },
        fan_kwh: study.mean_of_tried(|year| year.fans_kwh),
        energy_cost: energy_cost(years, &tariff),
        currency: household.currency,
        months_in: months_in(job, study),
    })
}

/// Coldest hour of the year, median of the years.
pub(super) fn usual_coldest(years: &[YearInside], of: impl Fn(&YearInside) -> f64) -> f64 {
    let coldest: Vec<f64> = years.iter().map(of).collect();
    Quantiles::of(&coldest).map_or(f64::NAN, |found| found.p50)
}

/// What heat, fans and lamps cost in a year, mean of the years; none where a price is not known.
pub(super) fn energy_cost(years: &[YearInside], tariff: &Tariff) -> Option<f64> {
    let mut sum = 0.0;
    for year in years {
        let running = year.energy();
        if !tariff.open(&running).is_empty() {
            return None;
        }
        sum += tariff
            .costs(&running)
            .iter()
            .filter(|(kind, _)| *kind != CostKind::Water)
            .flat_map(|(_, months)| months)
            .sum::<f64>();
    }
    Some(sum / years.len().max(1) as f64)
}

fn months_in(job: &Job, study: &ClimateStudy) -> Vec<CropStay> {
    let beds = lived_beds(job, study.tried());
    let crops: Vec<&Crop> = job.table.iter().collect();
    crops
        .par_iter()
        .filter(|crop| crop.hardiness == Hardiness::Tender)
        .map(|crop| CropStay {
            crop: crop.id.clone(),
            name: crop.name.clone(),
            found: kindest(
                beds.iter()
                    .map(|bed| months_in_bed(crop, &Prepared::new(crop, bed))),
            ),
        })
        .collect()
}
