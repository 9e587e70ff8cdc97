//! Present value, payback and cost per kg of a building that saves money year by year.
//!
//! Formulas of NIST Handbook 135 (Fuller & Petersen 1995) and ASTM E917, and for the levelised cost of Short,
//! Packey & Holt (1995), NREL/TP-462-5173; all from memory, checked against a published worked example in
//! `tests/value.rs`. Amounts fall due at the end of each year; real amounts go with a real rate.

use super::{CostKind, CoverRenewal, OwnCosts, YearValue};

/// Longest life that is taken, years.
pub const LIFE_MAX_YEARS: u32 = 200;

/// What is laid out, and what comes back.
#[derive(Clone, Debug, PartialEq)]
pub struct Investment {
    /// Laid out at the start, in the currency of the household, 0 or more.
    pub cost: f64,
    /// Net saving of a year before renewals.
    pub net_saving: f64,
    /// Life, years, at least 1.
    pub life_years: u32,
    /// Renewals by year (1 is the first), such as a new cover every so many years, 0 or more.
    pub renewals: Vec<(u32, f64)>,
    /// Discount rate a year as a fraction, above -1, at most 1.
    pub discount_rate: f64,
    /// kg eaten in a year, for the cost per kg; nothing leaves that out.
    pub output_kg: f64,
    /// Yearly running cost, for the cost per kg.
    pub running_cost: f64,
}

impl Investment {
    /// A building that costs so much, with a household's year: the same net saving every year of its life, the cover renewed
    /// whenever its life ends before that of the building.
    ///
    /// What the year counts for the cover is taken out of its costs, since it enters here in the years in which it is paid.
    pub fn of_building(year: &YearValue, own: &OwnCosts, cost: f64) -> Self {
        let running = year
            .costs
            .iter()
            .filter(|(kind, _)| *kind != CostKind::Cover);
        let running_cost = year
            .currency
            .amount(running.map(|(_, amount)| *amount).sum());
        let life = own.life_years.clamp(1.0, f64::from(LIFE_MAX_YEARS)).round() as u32;
        let cover = own.cover.as_ref();
        Self {
            cost,
            net_saving: year.currency.amount(year.value) - running_cost,
            life_years: life,
            renewals: cover.map_or_else(Vec::new, |cover| renewals(cover, life)),
            discount_rate: own.discount_rate,
            output_kg: year.eaten_kg,
            running_cost,
        }
    }
}

/// Years in which a cover is renewed: at the end of each of its lives, but not at the end of the building's.
fn renewals(cover: &CoverRenewal, life: u32) -> Vec<(u32, f64)> {
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
pub fn payback(investment: &Investment) -> Payback {
    let rate = investment.discount_rate;
    let life = investment.life_years as usize;
    let mut saving = vec![investment.net_saving; life];
    for (year, cost) in &investment.renewals {
        if let Some(of_year) = saving.get_mut(*year as usize - 1) {
            *of_year -= cost;
        }
    }
    let end = life as f64;
    let at = |year: usize| single_present_value(rate, (year + 1) as f64);
    let savings: f64 = (0..life).map(|year| saving[year] * at(year)).sum();
    let net = savings - investment.cost;
    let mean = saving.iter().sum::<f64>() / end;
    let renewals = investment.renewals.iter();
    let present_renewals: f64 = renewals
        .map(|(year, cost)| cost * single_present_value(rate, f64::from(*year)))
        .sum();
    let present_kg: f64 = (0..life).map(|year| investment.output_kg * at(year)).sum();
    let present_cost = investment.cost
        + present_renewals
        + investment.running_cost * uniform_present_value(rate, end);
    Payback {
        simple_years: (mean > 0.0).then(|| investment.cost / mean),
        discounted_years: discounted_payback(investment.cost, &saving, rate),
        net_present_value: net,
        net_a_year: net * capital_recovery(rate, end),
        levelised_cost_per_kg: (present_kg > 0.0).then(|| present_cost / present_kg),
        life_years: investment.life_years,
    }
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

/// Largest amount taken, in units of the currency: far above any household, small enough to be exact in minor units.
pub(super) const AMOUNT_MAX: f64 = 1e12;
