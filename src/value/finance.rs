//! Present value, payback and cost per kg of a building that saves money year by year.
//!
//! Formulas of NIST Handbook 135 (Fuller & Petersen 1995) and ASTM E917, and for the levelised cost of Short,
//! Packey & Holt (1995), NREL/TP-462-5173; all from memory, checked against a published worked example in
//! `tests/value.rs`. Amounts fall due at the end of each year; real amounts go with a real rate.

use super::{Building, CostKind, Cover, ValueError, YearValue};

/// Longest life that is taken, years.
pub const LIFE_MAX_YEARS: u32 = 200;

/// What is laid out, and what comes back.
#[derive(Clone, Debug, PartialEq)]
pub struct Investment {
    /// Laid out at the start, in the currency of the household, 0 or more.
    pub cost: f64,
    /// Net saving of each year before renewals, first year first; its length is the life in years.
    pub net_saving: Vec<f64>,
    /// Renewals by year (1 is the first), such as a new cover every so many years, 0 or more.
    pub renewals: Vec<(u32, f64)>,
    /// What is left at the end of the life.
    pub residual: f64,
    /// Discount rate a year as a fraction, above -1, at most 1.
    pub discount_rate: f64,
    /// kg eaten in each year, for the cost per kg; empty leaves that out.
    pub output_kg: Vec<f64>,
    /// Yearly running cost, for the cost per kg.
    pub running_cost: f64,
}

impl Investment {
    /// The building of a household's year: the same net saving every year of its life, the cover renewed whenever its
    /// life ends before that of the building.
    ///
    /// What the year counts for the building and for the cover is taken out of its costs, since both enter here in
    /// the years in which they are paid.
    pub fn of_building(year: &YearValue, building: &Building, cover: Option<&Cover>) -> Self {
        let spread_out = [CostKind::Building, CostKind::Cover];
        let running = year
            .costs
            .iter()
            .filter(|(kind, _)| !spread_out.contains(kind));
        let running_cost = year
            .currency
            .amount(running.map(|(_, amount)| *amount).sum());
        let value = year.currency.amount(year.value);
        let life = building
            .life_years
            .clamp(1.0, f64::from(LIFE_MAX_YEARS))
            .round() as u32;
        Self {
            cost: building.cost,
            net_saving: vec![value - running_cost; life as usize],
            renewals: cover.map_or_else(Vec::new, |cover| renewals(cover, life)),
            residual: 0.0,
            discount_rate: building.discount_rate,
            output_kg: vec![year.eaten_kg; life as usize],
            running_cost,
        }
    }
}

/// Years in which a cover is renewed: at the end of each of its lives, but not at the end of the building's.
fn renewals(cover: &Cover, life: u32) -> Vec<(u32, f64)> {
    let number = |count: u32| f64::from(count) * cover.life_years.max(0.5);
    (1..=2 * life)
        .map(|count| number(count).round().max(1.0) as u32)
        .take_while(|year| *year < life)
        .map(|year| (year, cover.cost))
        .collect()
}

/// What the investment comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Payback {
    /// Outlay over the mean yearly saving (renewals taken off), years; `None` where nothing is saved.
    pub simple_years: Option<f64>,
    /// First moment at which the discounted savings cover the outlay, years, with the saving of a year spread
    /// as the closed formula does; `None` where that never comes within the life.
    pub discounted_years: Option<f64>,
    /// Net present value over the life.
    pub net_present_value: f64,
    /// The net present value as an even amount at the end of each year of the life.
    pub net_a_year: f64,
    /// Savings-to-investment ratio; `None` where nothing is laid out.
    pub savings_to_investment: Option<f64>,
    /// Cost of one kg over the life, outlay included; `None` without output.
    pub levelised_cost_per_kg: Option<f64>,
    /// Life looked at, years.
    pub life_years: u32,
}

/// Single present value factor 1 / (1 + d)^t.
pub fn single_present_value(rate: f64, years: f64) -> f64 {
    (1.0 + rate).powf(-years)
}

/// Uniform present value factor of a payment at the end of each of `years` years; `years` at rate 0.
pub fn uniform_present_value(rate: f64, years: f64) -> f64 {
    if rate.abs() < RATE_NIL {
        years
    } else {
        (1.0 - single_present_value(rate, years)) / rate
    }
}

/// Capital recovery factor: the even yearly payment for an outlay of 1.
pub fn capital_recovery(rate: f64, years: f64) -> f64 {
    1.0 / uniform_present_value(rate, years)
}

/// Rates nearer to each other than this count as equal, since the factors divide by their difference; fraction
/// a year, own choice.
const RATE_NIL: f64 = 1e-9;

/// Works the investment through its life.
///
/// # Errors
/// [`ValueError::OutOfRange`] for a life of 0 or beyond 200 years, a rate outside its range, a negative
/// outlay or renewal, a renewal after the life, or a figure that is not a number.
pub fn payback(investment: &Investment) -> Result<Payback, ValueError> {
    check(investment)?;
    let rate = investment.discount_rate;
    let life = investment.net_saving.len();
    let mut saving = investment.net_saving.clone();
    for (year, cost) in &investment.renewals {
        if let Some(of_year) = saving.get_mut(*year as usize - 1) {
            *of_year -= cost;
        }
    }
    let end = life as f64;
    let at = |year: usize| single_present_value(rate, (year + 1) as f64);
    let savings: f64 = saving
        .iter()
        .enumerate()
        .map(|(year, s)| s * at(year))
        .sum();
    let residual = investment.residual * single_present_value(rate, end);
    let net = savings + residual - investment.cost;
    let mean = saving.iter().sum::<f64>() / end;
    let present_renewals: f64 = investment
        .renewals
        .iter()
        .map(|(year, cost)| cost * single_present_value(rate, f64::from(*year)))
        .sum();
    let present_kg: f64 = investment
        .output_kg
        .iter()
        .enumerate()
        .map(|(year, kg)| kg * at(year))
        .sum();
    let present_cost = investment.cost + present_renewals - residual
        + investment.running_cost * uniform_present_value(rate, end);
    Ok(Payback {
        simple_years: (mean > 0.0).then(|| investment.cost / mean),
        discounted_years: discounted_payback(investment.cost, &saving, rate),
        net_present_value: net,
        net_a_year: net * capital_recovery(rate, end),
        savings_to_investment: (investment.cost > 0.0)
            .then(|| (savings + residual) / investment.cost),
        levelised_cost_per_kg: (present_kg > 0.0).then(|| present_cost / present_kg),
        life_years: life as u32,
    })
}

/// First moment after which the discounted sum stays at or above the outlay to the end of the life.
///
/// Within a year the payment is spread so that even savings give the closed formula -ln(1 - d I / A) / ln(1 + d).
/// A later renewal that takes the sum below the outlay again moves the moment behind it.
fn discounted_payback(cost: f64, saving: &[f64], rate: f64) -> Option<f64> {
    let mut sum = 0.0;
    let mut paid_at = (cost <= 0.0).then_some(0.0);
    for (year, of_year) in saving.iter().enumerate() {
        let start = year as f64;
        let present = of_year * single_present_value(rate, start + 1.0);
        if sum + present < cost {
            paid_at = None;
        } else if paid_at.is_none() {
            let missing = (cost - sum) / of_year * (1.0 + rate).powf(start);
            let part = if rate.abs() < RATE_NIL {
                missing
            } else {
                -(1.0 - rate * missing).ln() / (1.0 + rate).ln()
            };
            paid_at = Some(start + part);
        }
        sum += present;
    }
    paid_at
}

fn check(investment: &Investment) -> Result<(), ValueError> {
    let life = investment.net_saving.len();
    super::in_range(
        "life of the building, years",
        life as f64,
        1.0,
        f64::from(LIFE_MAX_YEARS),
    )?;
    super::in_range(
        "discount rate, fraction a year",
        investment.discount_rate,
        -0.99,
        1.0,
    )?;
    super::in_range("outlay", investment.cost, 0.0, AMOUNT_MAX)?;
    super::in_range(
        "residual value",
        investment.residual,
        -AMOUNT_MAX,
        AMOUNT_MAX,
    )?;
    super::in_range(
        "running cost",
        investment.running_cost,
        -AMOUNT_MAX,
        AMOUNT_MAX,
    )?;
    for saving in &investment.net_saving {
        super::in_range("yearly saving", *saving, -AMOUNT_MAX, AMOUNT_MAX)?;
    }
    for kg in &investment.output_kg {
        super::in_range("yearly output, kg", *kg, 0.0, AMOUNT_MAX)?;
    }
    for (year, cost) in &investment.renewals {
        super::in_range("year of a renewal", f64::from(*year), 1.0, life as f64)?;
        super::in_range("cost of a renewal", *cost, 0.0, AMOUNT_MAX)?;
    }
    Ok(())
}

/// Largest amount taken, in units of the currency: far above any household, small enough to be exact in minor units.
pub(super) const AMOUNT_MAX: f64 = 1e12;
