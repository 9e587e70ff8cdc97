//! Prices of energy and water, heat contents of fuels, efficiencies of heaters.

use super::cost::{LITRES_PER_M3, NotCounted, OwnCosts, own_figure, own_or_input};
use super::food::rows;
use super::{Basis, CostKind, Country, Household, ValueError, in_range, price};
use crate::phrase::{amount, phrase};
use crate::words::{Word, worded};
use serde::Deserialize;
use std::sync::LazyLock;

/// Energy and water of one weather year, January to December.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Running {
    /// Heat delivered into the house by the heater, kWh.
    pub heat_kwh: [f64; 12],
    /// Electricity of fans, kWh.
    pub fan_kwh: [f64; 12],
    /// Electricity of lamps, kWh.
    pub lamp_kwh: [f64; 12],
    /// Water given to the beds, litres.
    pub water_l: [f64; 12],
}

worded! {
    /// What the heater burns.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
    pub enum Fuel {
        /// Electric resistance.
        #[default]
        "electricity" => Electricity,
        /// Air-source heat pump.
        "heat pump" => HeatPump,
        /// Propane.
        "propane" => Propane,
        /// Natural gas.
        "natural gas" => NaturalGas,
        /// Heating oil no. 2.
        "heating oil" => HeatingOil,
        /// Kerosene.
        "kerosene" => Kerosene,
        /// Air-dry firewood.
        "firewood" => Firewood,
        /// Wood pellets.
        "pellets" => Pellets,
    }
}

#[derive(Clone, Debug, Deserialize)]
struct PriceRow {
    item: String,
    region: String,
    country: String,
    price: f64,
    year: i32,
    source: String,
    mark: String,
}

#[derive(Clone, Debug, Deserialize)]
struct HeatRow {
    fuel: String,
    unit: String,
    kwh_per_unit: f64,
}

#[derive(Clone, Debug, Deserialize)]
struct EfficiencyRow {
    fuel: String,
    efficiency: f64,
    source: String,
}

static PRICES: LazyLock<Vec<PriceRow>> =
    LazyLock::new(|| rows(include_str!("data/energy_prices.csv")));
static HEATS: LazyLock<Vec<HeatRow>> =
    LazyLock::new(|| rows(include_str!("data/heat_content.csv")));
static EFFICIENCIES: LazyLock<Vec<EfficiencyRow>> =
    LazyLock::new(|| rows(include_str!("data/efficiency.csv")));

impl Fuel {
    /// Fuel of a word of the trade, such as `propane`, `wood` or `natural gas`.
    pub fn named(word: &str) -> Option<Fuel> {
        let word = word.trim().to_lowercase().replace(['-', '_'], " ");
        let short = match word.as_str() {
            "oil" => Some(Fuel::HeatingOil),
            "wood" => Some(Fuel::Firewood),
            _ => None,
        };
        let is = |(own, fuel): &&(&str, Fuel)| *own == word || fuel.name() == word;
        let found = || Fuel::WORDS.iter().find(is).map(|(_, fuel)| *fuel);
        short.or_else(found)
    }

    /// Name in the built-in tables, such as `natural_gas`.
    fn key(self) -> String {
        self.word().replace(' ', "_")
    }

    /// Name for people, such as `natural gas`.
    pub fn name(self) -> &'static str {
        match self {
            Fuel::HeatPump => "electricity (heat pump)",
            Fuel::Pellets => "wood pellets",
            other => other.word(),
        }
    }

    /// Whether it runs on electricity.
    pub fn electric(self) -> bool {
        matches!(self, Fuel::Electricity | Fuel::HeatPump)
    }

    /// Heat per energy bought over the season, in a usual appliance for it, and where that figure comes from
    /// (`data/efficiency.csv`).
    pub fn usual_efficiency(self) -> (f64, &'static str) {
        EFFICIENCIES
            .iter()
            .find(|row| row.fuel == self.key())
            .map_or((1.0, "all of it becomes heat"), |row| {
                (row.efficiency, row.source.as_str())
            })
    }

    /// Selling unit, such as `L`, and kWh of higher heating value in it.
    pub fn kwh_per_unit(self) -> (&'static str, f64) {
        let fuel = if self.electric() {
            Fuel::Electricity
        } else {
            self
        };
        HEATS
            .iter()
            .find(|row| row.fuel == fuel.key())
            .map_or(("kWh", 1.0), |row| (row.unit.as_str(), row.kwh_per_unit))
    }
}

/// A price with where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// Amount in the household's currency and year per unit of the context.
    pub amount: f64,
    /// Where it comes from.
    pub basis: Basis,
}

/// Prices of what the building uses, in the household's currency and year.
#[derive(Clone, Debug, PartialEq)]
pub struct Tariff {
    /// Electricity per kWh.
    pub electricity_kwh: Option<Priced>,
    /// What the heater burns.
    pub fuel: Fuel,
    /// Fuel per kWh of higher heating value; the electricity price where the heater is electric.
    pub fuel_kwh: Option<Priced>,
    /// Heat delivered over fuel energy (higher heating value) or electricity.
    pub efficiency: f64,
    /// Water per m3.
    pub water_m3: Option<Priced>,
}

/// Prices of energy and water for a household: its own, else the published ones of its region or country.
///
/// A fuel without a published price stays open: what it costs is then listed, not guessed.
///
/// # Errors
/// [`ValueError`] for a figure out of range, a region that is not on file, or a missing exchange rate.
pub fn tariff(household: &Household, own: &OwnCosts) -> Result<Tariff, ValueError> {
    in_range(
        "efficiency of the heater",
        own.efficiency.unwrap_or(1.0),
        0.1,
        8.0,
    )?;
    if let Some(region) = &own.region
        && !PRICES.iter().any(|row| same_region(&row.region, region))
    {
        return Err(ValueError::UnknownRegion {
            region: region.clone(),
        });
    }
    let electricity = energy_price(household, own, own.electricity_kwh, "electricity")?;
    let fuel = match own.fuel_kwh {
        None if own.fuel.electric() => electricity.clone(),
        given => energy_price(household, own, given, &own.fuel.key())?,
    };
    Ok(Tariff {
        electricity_kwh: electricity,
        fuel: own.fuel,
        fuel_kwh: fuel,
        efficiency: own.efficiency.unwrap_or(own.fuel.usual_efficiency().0),
        water_m3: Some(own_or_input(household, own.water_m3, "water_m3")?),
    })
}

/// Regions agree whatever the case, with or without the country before them.
fn same_region(on_file: &str, given: &str) -> bool {
    let plain = |name: &str| {
        let name = name.trim().to_lowercase();
        name.strip_prefix("us ").map_or(name.clone(), str::to_owned)
    };
    plain(on_file) == plain(given)
}

/// The person's figure, else the latest of the region, else the latest of the country.
fn energy_price(
    household: &Household,
    own: &OwnCosts,
    given: Option<f64>,
    item: &str,
) -> Result<Option<Priced>, ValueError> {
    if let Some(amount) = given {
        return Ok(Some(Priced {
            amount,
            basis: own_figure(household),
        }));
    }
    let latest = |fits: &dyn Fn(&PriceRow) -> bool| {
        PRICES
            .iter()
            .filter(|row| row.item == item && fits(row))
            .max_by_key(|row| row.year)
    };
    let region = own.region.as_deref();
    let key = household.country.word();
    let row = region
        .and_then(|region| latest(&|row| same_region(&row.region, region)))
        .or_else(|| latest(&|row| row.region == key));
    let Some(row) = row else { return Ok(None) };
    let country = Country::meaning(&row.country).unwrap_or(household.country);
    let amount = price::to_household(household, row.price, country, row.year)?;
    let source = format!("{}, {}", row.source, row.region);
    let basis = Basis::new(source, row.year, &row.mark);
    Ok(Some(Priced { amount, basis }))
}

impl Running {
    /// The mean of several weather years; nothing of none.
    pub fn mean<'a>(years: impl Iterator<Item = &'a Running>) -> Running {
        let years: Vec<&Running> = years.collect();
        let count = years.len().max(1) as f64;
        let mean = |of: fn(&Running) -> &[f64; 12]| {
            let sum = |month: usize| years.iter().fold(0.0, |sum, year| sum + of(year)[month]);
            std::array::from_fn(|month| sum(month) / count)
        };
        Running {
            heat_kwh: mean(|year| &year.heat_kwh),
            fan_kwh: mean(|year| &year.fan_kwh),
            lamp_kwh: mean(|year| &year.lamp_kwh),
            water_l: mean(|year| &year.water_l),
        }
    }
}

impl Tariff {
    /// Costs of a weather year by kind and month; what has no price costs nothing here and is named by
    /// [`Tariff::open`].
    pub fn costs(&self, running: &Running) -> Vec<(CostKind, [f64; 12])> {
        let amount = |priced: &Option<Priced>| priced.as_ref().map_or(0.0, |priced| priced.amount);
        let power = amount(&self.electricity_kwh);
        let heat = amount(&self.fuel_kwh) / self.efficiency;
        let water = amount(&self.water_m3) / LITRES_PER_M3;
        vec![
            (
                CostKind::Water,
                running.water_l.map(|litres| litres * water),
            ),
            (CostKind::Fan, running.fan_kwh.map(|kwh| kwh * power)),
            (CostKind::Heater, running.heat_kwh.map(|kwh| kwh * heat)),
            (CostKind::Lamp, running.lamp_kwh.map(|kwh| kwh * power)),
        ]
    }

    /// Fuel for so much heat: amount and selling unit.
    pub fn fuel_amount(&self, heat_kwh: f64) -> (f64, &'static str) {
        let (unit, kwh) = self.fuel.kwh_per_unit();
        (heat_kwh / self.efficiency / kwh, unit)
    }

    /// What is used but has no price, in words.
    pub fn open(&self, running: &Running) -> Vec<NotCounted> {
        let sum = |months: &[f64; 12]| months.iter().sum::<f64>();
        let mut open = Vec::new();
        let heat = sum(&running.heat_kwh);
        if heat > 0.0 && self.fuel_kwh.is_none() {
            let (much, unit) = self.fuel_amount(heat);
            let fuel = self.fuel.name();
            open.push(NotCounted::new(
                phrase![amount(much, unit, 0), format!(" {fuel}")],
                "no published price; give `fuel`",
            ));
        }
        let power = sum(&running.fan_kwh) + sum(&running.lamp_kwh);
        if power > 0.0 && self.electricity_kwh.is_none() {
            open.push(NotCounted::new(
                phrase![amount(power, "kWh", 0), " electricity"],
                "no published price; give `electricity`",
            ));
        }
        open
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fuel_is_in_the_tables() {
        for (_, fuel) in Fuel::WORDS {
            assert!(
                EFFICIENCIES.iter().any(|row| row.fuel == fuel.key()),
                "{fuel:?}"
            );
            assert!(fuel.kwh_per_unit().1 > 0.0);
        }
    }

    /// EIA Heating Oil and Propane Update, 17 November 2025: 1.852 USD a US gallon in Minnesota (read); 91,452 Btu in
    /// it and 3,412 Btu in a kWh (EIA conversion factors) make 0.0691 USD/kWh.
    #[test]
    fn propane_in_minnesota_costs_what_was_published() {
        let household = Household::of_size(2, 2025);
        let own = OwnCosts {
            fuel: Fuel::Propane,
            region: Some("Minnesota".to_owned()),
            ..OwnCosts::default()
        };
        let tariff = tariff(&household, &own).unwrap();
        let by_hand = 1.852 / (91_452.0 / 3_412.0);
        assert!((tariff.fuel_kwh.unwrap().amount - by_hand).abs() < 5e-5);
    }

    #[test]
    fn a_fuel_without_a_price_is_listed_and_not_guessed() {
        let household = Household::of_size(2, 2025);
        let own = OwnCosts {
            fuel: Fuel::Firewood,
            ..OwnCosts::default()
        };
        let tariff = tariff(&household, &own).unwrap();
        let running = Running {
            heat_kwh: [100.0; 12],
            ..Running::default()
        };
        assert_eq!(tariff.open(&running).len(), 1);
        let wrong = OwnCosts {
            region: Some("Atlantis".to_owned()),
            ..own
        };
        assert!(matches!(
            super::tariff(&household, &wrong),
            Err(ValueError::UnknownRegion { .. })
        ));
    }
}
