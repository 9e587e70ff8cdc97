//! What it would take for the house to cover a share of what the household spends.

use super::{Market, Money, ValueError, YearValue, in_range};
use crate::phrase::Phrase;

mod words;

/// Of what a share is asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Whole {
    /// All food bought for home.
    #[default]
    Groceries,
    /// Fresh vegetables and fruit among it.
    Produce,
}

/// How the house stands today.
#[derive(Clone, Debug, PartialEq)]
pub struct Today<'a> {
    /// Demand of the household.
    pub market: &'a Market,
    /// Its year.
    pub year: &'a YearValue,
    /// What the same building would bring with beds without end.
    pub endless: Endless,
    /// Bed area that grew it, m2, above 0.
    pub bed_area_m2: f64,
    /// People at the table, above 0.
    pub eaters: f64,
}

/// What a building brings when its beds are not the limit: every food in every week that the climate inside carries it.
#[derive(Clone, Debug, PartialEq)]
pub struct Endless {
    /// Worth of a year, counted as today's year is.
    pub value: Money,
    /// Foods with a crop on file that it does not carry all year, costliest gap first.
    pub short: Vec<ShortFood>,
}

/// A food that the household buys and the building does not carry all year.
#[derive(Clone, Debug, PartialEq)]
pub struct ShortFood {
    /// Name for people.
    pub name: String,
    /// Weeks of the year without it, mean of the weather years.
    pub weeks: f64,
    /// What the household pays for it in those weeks, units of the currency.
    pub money: f64,
}

/// What it would take, one lever at a time with the others as they are; `None` is a plain no.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Share asked for, fraction.
    pub share: f64,
    /// Of what.
    pub whole: Whole,
    /// What the household spends on that in a year.
    pub spent: Money,
    /// The share in money a year.
    pub target: Money,
    /// What the year brings today.
    pub value_today: Money,
    /// Most that any bed area in this building could bring at today's appetite and prices.
    pub value_most_here: Money,
    /// Most that any building could bring: all that the household buys of the foods that beds can grow, and never above
    /// its produce line where it gave one.
    pub value_most: Money,
    /// Whether it is reached today.
    pub reached: bool,
    /// Bed area, m2, at what each m2 brings today: the least it could be, since each further m2 brings less.
    pub bed_area_m2: Option<f64>,
    /// Factor on the prices of all produce, the other groceries as they are, with the harvest of today.
    pub price_factor: Option<f64>,
    /// Factor on the appetite for produce in place of other food, with beds enough for it.
    pub appetite_factor: Option<f64>,
    /// Bed area that the greater appetite needs, m2, at what each m2 brings today.
    pub appetite_area_m2: Option<f64>,
    /// Most eaters, with the same appetite and groceries a head, whom today's beds cover to that share; below 1 there is
    /// no such household.
    pub eaters: Option<f64>,
    /// Plain sentences: what it would take, or that it cannot and why.
    pub sentences: Vec<Phrase>,
}

/// Answers for a share of the groceries or of the produce.
///
/// Growing all the fresh produce a household buys covers some 13 % of its groceries (US 2017), so most shares above that
/// need a table that looks different, not a bigger house; the sentences say so.
///
/// The levers, with value V today, bill G, produce line P within it, share s:
/// - beds: s G / V times today's area at least, as long as s G is not above what beds without end bring;
/// - prices of produce f times as high: f V = s (G + (f - 1) P), so f = s (G - P) / (V - s P), and no f does it where the
///   house brings less than the share s of the produce, since the bill then rises faster than the worth;
/// - appetite: s G over what beds without end bring;
/// - eaters: V covers s G / N for each of at most N V / (s G) people, but only where a head can eat that much.
///
/// # Errors
/// [`ValueError::OutOfRange`] for a share outside 0 to 1, [`ValueError::NoGroceries`] where the bill is not known or nothing.
pub fn what_it_takes(today: &Today, share: f64, whole: Whole) -> Result<Answer, ValueError> {
    in_range("share to cover, fraction", share, 0.0, 1.0)?;
    let spent = spent(today.market, whole)?;
    let currency = today.market.currency;
    let target = share * spent;
    let most = most(today.market);
    let value = currency.amount(today.year.value);
    let most_here = currency.amount(today.endless.value).min(most).max(value);
    let within_reach = target <= most_here;
    let per_m2 = (value > 0.0).then(|| value / today.bed_area_m2);
    let against_groceries = whole == Whole::Groceries;
    // More of the same produce makes the produce line as much longer, so it helps against all groceries only.
    let appetite_factor =
        (against_groceries && most_here > 0.0 && !within_reach).then(|| target / most_here);
    let produce = produce(today.market).max(value);
    let gained = value - share * produce;
    let price_factor = (against_groceries && gained > 0.0)
        .then(|| share * (spent - produce) / gained)
        .filter(|factor| *factor > 0.0);
    let area_m2 = per_m2.map(|per_m2| target / per_m2);
    let mut answer = Answer {
        share,
        whole,
        spent: currency.round(spent),
        target: currency.round(target),
        value_today: today.year.value,
        value_most_here: currency.round(most_here),
        value_most: currency.round(most),
        reached: today.year.value >= currency.round(target),
        bed_area_m2: area_m2.filter(|_| within_reach),
        price_factor,
        appetite_factor,
        appetite_area_m2: appetite_factor.and(area_m2),
        eaters: (target > 0.0 && value > 0.0 && within_reach)
            .then(|| today.eaters * value / target),
        sentences: Vec::new(),
    };
    answer.sentences = words::sentences(today, &answer);
    Ok(answer)
}

/// What the household spends on the whole in a year.
fn spent(market: &Market, whole: Whole) -> Result<f64, ValueError> {
    let year = match whole {
        Whole::Groceries => market.groceries_month.map_or(0.0, |month| month * 12.0),
        Whole::Produce => produce(market),
    };
    if year <= 0.0 {
        return Err(ValueError::NoGroceries);
    }
    Ok(year)
}

fn produce(market: &Market) -> f64 {
    market.produce_month.iter().sum()
}

/// All that is bought of priced foods on file, within a produce line that the person gave.
fn most(market: &Market) -> f64 {
    let basket = market.basket_year(false);
    if market.produce_given {
        basket.min(produce(market))
    } else {
        basket
    }
}
