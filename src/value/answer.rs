//! What it would take for the house to cover a share of the groceries.

use super::finance::AMOUNT_MAX;
use super::{Market, Money, ValueError, YearValue, in_range};

/// How the house stands today.
#[derive(Clone, Debug, PartialEq)]
pub struct Today<'a> {
    /// Demand of the household.
    pub market: &'a Market,
    /// Its year.
    pub year: &'a YearValue,
    /// Bed area that grew it, m2, above 0.
    pub bed_area_m2: f64,
    /// People at the table, above 0.
    pub eaters: f64,
}

/// What it would take, one lever at a time with the others as they are; `None` is a plain no.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Share of the groceries asked for, fraction.
    pub share: f64,
    /// That share in money a year.
    pub target: Money,
    /// What the year brings today.
    pub value_today: Money,
    /// Most that any bed area could bring at today's appetite and prices: all that the household buys of the foods that
    /// the beds can grow, and never above its produce line where it gave one.
    pub value_most: Money,
    /// Whether it is reached today.
    pub reached: bool,
    /// Bed area, m2, at what each m2 brings today: the least it could be, since each further m2 brings less.
    pub bed_area_m2: Option<f64>,
    /// Factor on the prices of produce, all other groceries as they are, with the harvest of today.
    pub price_factor: Option<f64>,
    /// Factor on the appetite for produce in place of other food, with beds enough for it.
    pub appetite_factor: Option<f64>,
    /// Bed area that the greater appetite needs, m2, at what each m2 brings today.
    pub appetite_area_m2: Option<f64>,
    /// Most eaters, with the same groceries a head, whose bill today's value covers to that share; below 1 there is no
    /// such household.
    pub eaters: Option<f64>,
    /// Plain sentences: what it would take, or that it cannot and why.
    pub sentences: Vec<String>,
}

/// Answers for a share of the groceries.
///
/// Growing all the fresh produce a household buys covers some 13 % of its groceries (US 2017), so most shares above that
/// need a table that looks different, not a bigger house; the sentences say so.
///
/// # Errors
/// [`ValueError::OutOfRange`] for a share outside 0 to 1 or a bed area or number of eaters that is not above 0,
/// [`ValueError::NoGroceries`] where the groceries bill is not known or nothing.
pub fn what_it_takes(today: &Today, share: f64) -> Result<Answer, ValueError> {
    in_range("share of the groceries, fraction", share, 0.0, 1.0)?;
    in_range("bed area, m2", today.bed_area_m2, f64::MIN_POSITIVE, 1e9)?;
    in_range("eaters", today.eaters, f64::MIN_POSITIVE, 1e6)?;
    let groceries = today
        .market
        .groceries_month
        .map_or(0.0, |month| month * 12.0);
    if groceries <= 0.0 {
        return Err(ValueError::NoGroceries);
    }
    in_range("groceries a year", groceries, 0.0, AMOUNT_MAX)?;
    let currency = today.market.currency;
    let target = share * groceries;
    let value = currency.amount(today.year.value);
    let most = most(today.market);
    let per_m2 = value / today.bed_area_m2;
    let reachable = |money: f64| money <= most && per_m2 > 0.0;
    let appetite_factor = (most > 0.0 && target > most).then(|| target / most);
    let mut answer = Answer {
        share,
        target: currency.round(target),
        value_today: today.year.value,
        value_most: currency.round(most),
        reached: today.year.value >= currency.round(target),
        bed_area_m2: reachable(target).then(|| (target / per_m2).max(0.0)),
        price_factor: price_factor(target, value, share),
        appetite_factor,
        appetite_area_m2: appetite_factor
            .filter(|_| per_m2 > 0.0)
            .map(|_| target / per_m2),
        eaters: (share > 0.0 && value > 0.0).then(|| value / (share * groceries / today.eaters)),
        sentences: Vec::new(),
    };
    answer.sentences = sentences(today, &answer, groceries);
    Ok(answer)
}

/// All that is bought of priced foods on file, within a produce line that the person gave.
fn most(market: &Market) -> f64 {
    let basket = market.basket_year(false);
    if market.produce_given {
        basket.min(market.produce_month.iter().sum())
    } else {
        basket
    }
}

/// Dearer produce makes both the value and the bill grow: f V = s (G + (f - 1) V) with the target s G and the value V.
fn price_factor(target: f64, value: f64, share: f64) -> Option<f64> {
    let divisor = value * (1.0 - share);
    (divisor > 0.0)
        .then(|| (target - share * value) / divisor)
        .filter(|factor| *factor > 0.0)
}

fn sentences(today: &Today, answer: &Answer, groceries: f64) -> Vec<String> {
    let currency = today.market.currency;
    let code = currency.code();
    let money = |amount: Money| format!("{} {code}", currency.text(amount));
    let percent = |part: Money| currency.amount(part) / groceries * 100.0;
    let asked = answer.share * 100.0;
    let mut said = vec![format!(
        "{asked:.1} % of the groceries is {} a year; the house brings {} today ({:.1} %).",
        money(answer.target),
        money(answer.value_today),
        percent(answer.value_today)
    )];
    if answer.reached {
        said.push("It is reached today.".to_owned());
        return said;
    }
    match answer.bed_area_m2 {
        Some(area) => said.push(format!(
            "Beds: at least {area:.0} m2 in place of {:.0} m2, more where the further m2 bring food that is already \
             plentiful.",
            today.bed_area_m2
        )),
        None if answer.target > answer.value_most => said.push(format!(
            "No bed area does it: all that the household buys of what beds can grow costs {} a year, {:.1} % of the \
             groceries, and nobody saves more than they spend.",
            money(answer.value_most),
            percent(answer.value_most)
        )),
        None => said.push("Beds: nothing is harvested today that is worth money, so no area can be named.".to_owned()),
    }
    match answer.price_factor {
        Some(factor) => {
            said.push(format!(
                "Prices: produce would have to cost {factor:.1} times as much, all else as it is."
            ));
        }
        None => {
            said.push("Prices: at no price, since nothing that is eaten today has one.".to_owned())
        }
    }
    if let Some(factor) = answer.appetite_factor {
        let area = answer.appetite_area_m2.map_or_else(String::new, |area| {
            format!(", and beds of at least {area:.0} m2 to grow it")
        });
        said.push(format!(
            "Appetite: the household would have to eat {factor:.1} times as much produce in place of other food{area}."
        ));
    }
    said.push(match answer.eaters {
        Some(eaters) if eaters >= 1.0 => format!(
            "Eaters: today's harvest covers that share for {eaters:.1} people with the same groceries a head, not for {:.0}.",
            today.eaters
        ),
        _ => "Eaters: not even one person's groceries are covered to that share by today's harvest.".to_owned(),
    });
    said
}
