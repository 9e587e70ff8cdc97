//! Running costs: energy by fuel, water, seed, compost, covers.

use super::ValueError;

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

/// What the heater burns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fuel {
    /// Electric resistance.
    Electricity,
    /// Air-source heat pump.
    HeatPump,
    /// Propane.
    Propane,
    /// Natural gas.
    NaturalGas,
    /// Heating oil no. 2.
    HeatingOil,
    /// Kerosene.
    Kerosene,
    /// Stacked firewood.
    Firewood,
    /// Wood pellets.
    Pellets,
}

/// A price with where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// Amount in the household's currency per unit of the context.
    pub amount: f64,
    /// Where it comes from.
    pub basis: super::Basis,
}

/// Prices of what the building uses, in the household's currency and year.
#[derive(Clone, Debug, PartialEq)]
pub struct Tariff {
    /// Electricity per kWh.
    pub electricity_kwh: Option<Priced>,
    /// What the heater burns.
    pub fuel: Fuel,
    /// Fuel per kWh of higher heating value; for electricity and heat pump the electricity price is used.
    pub fuel_kwh: Option<Priced>,
    /// Heat delivered over fuel energy (higher heating value) or electricity, 0.1 to 8.
    pub efficiency: f64,
    /// Where the efficiency comes from.
    pub efficiency_basis: super::Basis,
    /// Water per m3.
    pub water_m3: Option<Priced>,
}

/// The person's own prices and choices; `None` takes the published figure of the country, or leaves the cost open.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnCosts {
    /// Electricity per kWh.
    pub electricity_kwh: Option<f64>,
    /// Region of the published electricity and fuel prices, such as `US Vermont`; `None` takes the whole country.
    pub region: Option<String>,
    /// What the heater burns.
    pub fuel: Fuel,
    /// Fuel per selling unit of [`Fuel::unit`].
    pub fuel_price: Option<f64>,
    /// Heat delivered over fuel energy (higher heating value) or electricity, 0.1 to 8.
    pub efficiency: Option<f64>,
    /// Water per m3.
    pub water_m3: Option<f64>,
    /// Seed for one m2 sown.
    pub seed_m2: Option<f64>,
    /// Tray and pot mix per litre.
    pub tray_mix_l: Option<f64>,
    /// Compost per m3.
    pub compost_m3: Option<f64>,
    /// Compost spread on the beds in a year, mm (litres per m2), 0 to 300.
    pub compost_mm: f64,
    /// Repairs and small things in a year.
    pub upkeep_year: f64,
    /// New cover: its cost and its life in years.
    pub cover: Option<Cover>,
}

/// A cover that is renewed every so many years.
#[derive(Clone, Debug, PartialEq)]
pub struct Cover {
    /// Cost of renewing it once.
    pub cost: f64,
    /// Life, years, 0.5 to 100.
    pub life_years: f64,
}

/// One planting, as far as money and work see it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sowing {
    /// Food or crop id.
    pub food: String,
    /// Month of sowing, 1 to 12.
    pub month: u32,
    /// Bed area planted, m2.
    pub area_m2: f64,
    /// Plants raised in trays for each m2; 0 when sown in place.
    pub tray_plants_m2: f64,
}

/// Fixed costs of a year with what had to be left out.
#[derive(Clone, Debug, PartialEq)]
pub struct FixedCosts {
    /// Amounts by kind and month.
    pub costs: Vec<super::FixedCost>,
    /// Costs that nobody gave and nobody published, counted as nothing.
    pub not_counted: Vec<String>,
    /// Figures used that rest on memory or trade practice, one sentence each.
    pub assumptions: Vec<String>,
}

/// Hours of work by month beside picking.
pub fn work_hours(sowings: &[Sowing], bed_area_m2: f64) -> [f64; 12] {
    let _ = (sowings, bed_area_m2);
    [0.0; 12]
}

/// Prices of energy and water for a household.
///
/// # Errors
/// [`ValueError`] for a figure out of range or a region that is not on file.
pub fn tariff(household: &super::Household, own: &OwnCosts) -> Result<Tariff, ValueError> {
    let _ = (household, own);
    Err(ValueError::UnknownRegion {
        region: String::new(),
    })
}

/// Seed, tray mix, compost and upkeep of a year; the building's own cost, spread over its life, if given.
///
/// # Errors
/// [`ValueError`] for a figure out of range.
pub fn fixed_costs(
    household: &super::Household,
    own: &OwnCosts,
    sowings: &[Sowing],
    bed_area_m2: f64,
) -> Result<FixedCosts, ValueError> {
    let _ = (household, own, sowings, bed_area_m2);
    Ok(FixedCosts {
        costs: Vec::new(),
        not_counted: Vec::new(),
        assumptions: Vec::new(),
    })
}
