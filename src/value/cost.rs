//! Running costs: energy by fuel, water, seed, compost, covers, and the hours of work.

use super::food::rows;
use super::market::OWN_FIGURE;
use super::{Basis, CostKind, Country, FixedCost, Household, Priced, ValueError, price};
use crate::phrase::{Phrase, amount, phrase};
use serde::Deserialize;
use std::sync::LazyLock;

/// A row of `data/inputs.csv`: what a garden needs, its cover's life, what buildings cost, hours of work.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct InputRow {
    /// Id, such as `seed_m2`.
    pub item: String,
    /// Figure in `unit`.
    pub value: f64,
    /// Unit, with the currency where it is money.
    pub unit: String,
    /// Year of the figure.
    pub year: Option<i32>,
    pub source: String,
    /// `read`, `from memory`, `common practice, no source` ...
    pub mark: String,
}

static INPUTS: LazyLock<Vec<InputRow>> = LazyLock::new(|| rows(include_str!("data/inputs.csv")));

/// One of [`inputs`].
pub fn input(item: &str) -> Option<&'static InputRow> {
    INPUTS.iter().find(|row| row.item == item)
}

/// A cost of [`inputs`] in the household's money, per the unit of its row.
///
/// # Errors
/// [`ValueError::NoExchangeRate`] where no rate to the household's currency is known.
pub fn published_cost(household: &Household, item: &str) -> Result<f64, ValueError> {
    own_or_input(household, None, item).map(|priced| priced.amount)
}

/// Value of an input, 0 where it is not on file (a test holds that all used ones are).
fn input_value(item: &str) -> f64 {
    input(item).map_or(0.0, |row| row.value)
}

/// The person's own prices and choices; `None` takes the published figure, or leaves the cost open.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnCosts {
    /// Electricity per kWh.
    pub electricity_kwh: Option<f64>,
    /// Region of the published energy prices, such as `US Vermont`; `None` takes the whole country.
    pub region: Option<String>,
    /// What the heater burns.
    pub fuel: super::Fuel,
    /// Fuel per kWh of higher heating value (see [`super::Fuel::kwh_per_unit`] for litres and the like).
    pub fuel_kwh: Option<f64>,
    /// Heat delivered over fuel energy (higher heating value) or electricity, 0.1 to 8.
    pub efficiency: Option<f64>,
    /// Water per m3.
    pub water_m3: Option<f64>,
    /// Seed, trays and compost together for one m2 of bed and year; stands in place of the four below.
    pub supplies_m2_year: Option<f64>,
    /// Seed for one m2 sown.
    pub seed_m2: Option<f64>,
    /// Tray and pot mix per litre.
    pub tray_mix_l: Option<f64>,
    /// Compost per m3.
    pub compost_m3: Option<f64>,
    /// Compost spread on the beds in a year, mm (litres per m2), 0 to 300; `None` takes one inch.
    pub compost_mm: Option<f64>,
    /// Repairs and small things in a year.
    pub upkeep_year: Option<f64>,
    /// The cover, renewed every so many years.
    pub cover: Option<CoverRenewal>,
    /// The building's own cost, where it is to be counted.
    pub building: Option<f64>,
    /// Life of the building, years, 1 to 100.
    pub life_years: f64,
    /// Real discount rate, fraction a year, above -1.
    pub discount_rate: f64,
}

/// The cover of the building, glazing or film, that is renewed every so many years.
#[derive(Clone, Debug, PartialEq)]
pub struct CoverRenewal {
    /// Cost of renewing it once.
    pub cost: f64,
    /// Life, years, 0.5 to 100.
    pub life_years: f64,
}

/// One planting, as far as money and work see it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sowing {
    /// Month of sowing, 0 to 11.
    pub month: usize,
    /// Bed area planted, m2.
    pub area_m2: f64,
    /// Plants raised in trays for each m2; 0 when sown in place.
    pub tray_plants_m2: f64,
}

/// Fixed costs of a year with what had to be left out.
#[derive(Clone, Debug, PartialEq)]
pub struct FixedCosts {
    /// Amounts by kind and month.
    pub costs: Vec<FixedCost>,
    /// Costs that nobody gave and nobody published, counted as nothing.
    pub not_counted: Vec<NotCounted>,
}

/// Hours of work by month beside picking: beds and trays in the month of sowing, care all year.
///
/// The hours for each m2, plant and month are common practice without a source (`data/inputs.csv`).
pub fn work_hours(sowings: &[Sowing], bed_area_m2: f64) -> [f64; 12] {
    let mut hours = [bed_area_m2.max(0.0) * input_value("work_care_h_m2_month"); 12];
    for sowing in sowings {
        let plants = sowing.area_m2 * sowing.tray_plants_m2;
        let work = sowing.area_m2 * input_value("work_sow_h_m2")
            + plants * input_value("work_tray_h_plant");
        hours[sowing.month] += work;
    }
    hours
}

/// Hours to pick, wash and put by one kg (common practice, no source).
pub fn pick_hours_per_kg() -> f64 {
    input_value("work_pick_h_kg")
}

/// Seed, tray mix, compost, upkeep and cover of a year; the building's own cost stands in the payback alone.
///
/// # Errors
/// [`ValueError::NoExchangeRate`] where no rate to the household's currency is known.
pub fn fixed_costs(
    household: &Household,
    own: &OwnCosts,
    sowings: &[Sowing],
    bed_area_m2: f64,
) -> Result<FixedCosts, ValueError> {
    let mut all = FixedCosts {
        costs: Vec::new(),
        not_counted: Vec::new(),
    };
    match own.supplies_m2_year {
        Some(supplies) => {
            let cost = even(supplies * bed_area_m2);
            all.add(CostKind::Supplies, cost, own_figure(household));
        }
        None => supplies(household, own, sowings, bed_area_m2, &mut all)?,
    }
    match own.upkeep_year {
        Some(upkeep) => all.add(CostKind::Upkeep, even(upkeep), own_figure(household)),
        None => all
            .not_counted
            .push(NotCounted::new("upkeep", "no figure was given")),
    }
    if let Some(cover) = &own.cover {
        let cost = even(cover.cost / cover.life_years);
        all.add(CostKind::Cover, cost, own_figure(household));
    }
    Ok(all)
}

/// A cost that is there and has no price: what it is for belongs beside every net that leaves it out.
#[derive(Clone, Debug, PartialEq)]
pub struct NotCounted {
    /// What a year takes of it, such as 746 L propane.
    pub what: Phrase,
    /// Why it is not counted, and what would be.
    pub why: &'static str,
}

impl NotCounted {
    pub(crate) fn new(what: impl Into<Phrase>, why: &'static str) -> Self {
        Self {
            what: what.into(),
            why,
        }
    }
}

impl FixedCosts {
    fn add(&mut self, kind: CostKind, month: [f64; 12], basis: Basis) {
        self.costs.push(FixedCost { kind, month, basis });
    }
}

fn supplies(
    household: &Household,
    own: &OwnCosts,
    sowings: &[Sowing],
    bed_area_m2: f64,
    all: &mut FixedCosts,
) -> Result<(), ValueError> {
    let seed_m2 = own_or_input(household, own.seed_m2, "seed_m2")?;
    let mix_l = own_or_input(household, own.tray_mix_l, "tray_mix_l")?;
    let mut seed = [0.0; 12];
    let mut mix = [0.0; 12];
    for sowing in sowings {
        let plants = sowing.area_m2 * sowing.tray_plants_m2;
        seed[sowing.month] += sowing.area_m2 * seed_m2.amount;
        mix[sowing.month] += plants * input_value("tray_mix_l_plant") * mix_l.amount;
    }
    all.add(CostKind::Seed, seed, seed_m2.basis);
    all.add(CostKind::TrayMix, mix, mix_l.basis);
    let compost_mm = own.compost_mm.unwrap_or(input_value("compost_mm"));
    match own.compost_m3 {
        // One mm on one m2 is one litre.
        Some(price) => {
            let cost = compost_mm * bed_area_m2 / LITRES_PER_M3 * price;
            all.add(CostKind::Compost, even(cost), own_figure(household));
        }
        None if compost_mm > 0.0 => all.not_counted.push(NotCounted::new(
            phrase![
                amount(compost_mm * bed_area_m2 / LITRES_PER_M3, "m3", 2),
                " compost"
            ],
            "no published price; give `compost` per m3",
        )),
        None => {}
    }
    Ok(())
}

/// Litres in a m3.
pub(super) const LITRES_PER_M3: f64 = 1000.0;

fn even(yearly: f64) -> [f64; 12] {
    [yearly / 12.0; 12]
}

pub(super) fn own_figure(household: &Household) -> Basis {
    Basis::new(OWN_FIGURE, household.price_year, OWN_FIGURE)
}

/// The person's figure, or the one on file in the household's money.
pub(super) fn own_or_input(
    household: &Household,
    own: Option<f64>,
    item: &str,
) -> Result<Priced, ValueError> {
    let Some(row) = input(item).filter(|_| own.is_none()) else {
        return Ok(Priced {
            amount: own.unwrap_or(0.0),
            basis: own_figure(household),
        });
    };
    let year = row.year.unwrap_or(household.price_year);
    let amount = price::to_household(household, row.value, Country::UnitedStates, year)?;
    let basis = Basis::new(&row.source, row.year, &row.mark);
    Ok(Priced { amount, basis })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_used_row_is_there() {
        for item in [
            "seed_m2",
            "tray_mix_l",
            "tray_mix_l_plant",
            "compost_mm",
            "water_m3",
            "work_sow_h_m2",
            "work_tray_h_plant",
            "work_care_h_m2_month",
            "work_pick_h_kg",
        ] {
            assert!(input(item).is_some(), "{item}");
        }
    }
}
