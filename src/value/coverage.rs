//! What it would take for the house to cover a share of what the household spends.

use super::{Market, Money, ValueError, YearValue, in_range};
use crate::calendar::DAYS_PER_WEEK;
use crate::phrase::{Amount, Phrase, amount, phrase};

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
    let value = currency.amount(today.year.middle());
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
        value_today: today.year.middle(),
        value_most_here: currency.round(most_here),
        value_most: currency.round(most),
        reached: today.year.middle() >= currency.round(target),
        bed_area_m2: area_m2.filter(|_| within_reach),
        price_factor,
        appetite_factor,
        appetite_area_m2: appetite_factor.and(area_m2),
        eaters: (target > 0.0 && value > 0.0 && within_reach)
            .then(|| today.eaters * value / target),
        sentences: Vec::new(),
    };
    answer.sentences = sentences(today, &answer);
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

/// Foods named in a sentence about what a building does not carry; own choice.
const FOODS_NAMED: usize = 3;

/// An area, whole.
fn area(m2: f64) -> Amount {
    amount(m2, "m2", 0)
}

fn sentences(today: &Today, answer: &Answer) -> Vec<Phrase> {
    let said = Words { today, answer };
    let mut all = vec![said.stand().into()];
    if answer.reached {
        all.push("It is reached today.".into());
        return all;
    }
    all.push(said.beds());
    all.push(said.prices().into());
    all.extend(said.appetite());
    all.push(said.eaters().into());
    all
}

/// A share as it was asked for, in percent.
fn asked(share: f64) -> f64 {
    (share * 1000.0).round() / 10.0
}

struct Words<'a> {
    today: &'a Today<'a>,
    answer: &'a Answer,
}

impl Words<'_> {
    fn money(&self, amount: Money) -> String {
        let currency = self.today.market.currency;
        /// From here on cents only clutter a sentence, minor units of a currency with two digits (own choice).
        const WHOLE_FROM: f64 = 100.0;
        let value = currency.amount(amount);
        let text = if value.abs() >= WHOLE_FROM {
            crate::plain::fixed(value, 0)
        } else {
            currency.text(amount)
        };
        format!("{text} {}", currency.code())
    }

    /// A share of what is spent; nothing of nothing.
    fn percent(&self, part: Money) -> String {
        let currency = self.today.market.currency;
        let spent = currency.amount(self.answer.spent);
        let share = if spent > 0.0 {
            currency.amount(part) / spent
        } else {
            0.0
        };
        format!("{:.1} %", share * 100.0)
    }

    fn whole(&self) -> &'static str {
        match self.answer.whole {
            Whole::Groceries => "groceries",
            Whole::Produce => "produce bought",
        }
    }

    fn stand(&self) -> String {
        let answer = self.answer;
        format!(
            "{} % of the {} is {} a year; the house brings {} today ({}).",
            asked(answer.share),
            self.whole(),
            self.money(answer.target),
            self.money(answer.value_today),
            self.percent(answer.value_today)
        )
    }

    fn beds(&self) -> Phrase {
        let answer = self.answer;
        if let Some(least) = answer.bed_area_m2 {
            return phrase![
                "Beds: at least ",
                area(least),
                " in place of ",
                area(self.today.bed_area_m2),
                format!(
                    ", more where further beds bring food that is already plentiful; beds without end in this house would \
                     bring {}.",
                    self.money(answer.value_most_here)
                )
            ];
        }
        if answer.target > answer.value_most {
            return format!(
                "No bed area does it: all that the household buys of what beds can grow costs {} a year, {} of the {}, and \
                 nobody saves more than they spend.{}",
                self.money(answer.value_most),
                self.percent(answer.value_most),
                self.whole(),
                self.here_is_less()
            )
            .into();
        }
        if answer.target > answer.value_most_here {
            return format!(
                "No bed area does it in this house: beds without end would bring {} ({}){}. With a climate that carried \
                 everything all year it could be up to {}.",
                self.money(answer.value_most_here),
                self.percent(answer.value_most_here),
                self.because(),
                self.money(answer.value_most)
            )
            .into();
        }
        "Beds: nothing is harvested today that is worth money, so no area can be named.".into()
    }

    fn here_is_less(&self) -> String {
        let answer = self.answer;
        if answer.value_most_here >= answer.value_most {
            return String::new();
        }
        format!(
            " In this house beds without end would bring {}{}.",
            self.money(answer.value_most_here),
            self.because()
        )
    }

    /// Which foods the climate inside does not carry, and for how long.
    fn because(&self) -> String {
        let short = &self.today.endless.short;
        let named: Vec<String> = short
            .iter()
            .take(FOODS_NAMED)
            .enumerate()
            .map(|(place, food)| {
                let weeks = if place == 0 { " weeks of the year" } else { "" };
                format!("{} in {:.0}{weeks}", food.name, food.weeks)
            })
            .collect();
        if named.is_empty() {
            return String::new();
        }
        let more = if short.len() > FOODS_NAMED {
            " and others"
        } else {
            ""
        };
        format!(
            ", since it does not bring {}{more}",
            named.join(", ").to_lowercase()
        )
    }

    fn prices(&self) -> String {
        let answer = self.answer;
        match (answer.price_factor, answer.whole) {
            (Some(factor), _) => format!(
                "Prices: produce would have to cost {factor:.1} times as much, all other groceries as they are."
            ),
            (None, Whole::Produce) => {
                "Prices: no price level does it, since dearer produce makes the bill as much longer."
                    .to_owned()
            }
            (None, Whole::Groceries) => format!(
                "Prices: at no price, since dearer produce makes the bill longer too, and less than {} % of the produce \
                 comes from the beds.",
                asked(answer.share)
            ),
        }
    }

    fn appetite(&self) -> Option<Phrase> {
        if self.answer.whole == Whole::Produce {
            return None;
        }
        let Some(factor) = self.answer.appetite_factor else {
            return Some(
                "Appetite: what the household buys of produce is enough; it need not eat more of it."
                    .into(),
            );
        };
        let bought: f64 = self
            .today
            .market
            .foods
            .iter()
            .map(|line| line.bought_kg_week)
            .sum();
        let a_head_kg = factor * bought / DAYS_PER_WEEK as f64 / self.today.eaters;
        let beds = self
            .answer
            .appetite_area_m2
            .map_or_else(Phrase::default, |least| {
                phrase![", and beds of at least ", area(least), " to grow it"]
            });
        Some(phrase![
            format!(
                "Appetite: the household would have to eat {factor:.1} times as much of the produce that grows here in place \
                 of other food, about "
            ),
            amount(a_head_kg, "kg", 1),
            " a day for each",
            beds,
            "."
        ])
    }

    fn eaters(&self) -> String {
        let answer = self.answer;
        match answer.eaters {
            Some(eaters) if eaters >= 1.0 => format!(
                "Eaters: today's beds cover that share for at most {eaters:.1} people with the same appetite and groceries a \
                 head, not for {:.0}.",
                self.today.eaters
            ),
            Some(_) => {
                "Eaters: not even one person is covered to that share by today's harvest.".to_owned()
            }
            None if answer.target > answer.value_most_here => {
                "Eaters: no number of people does it: fewer mouths have a shorter bill, but eat as much less of what grows."
                    .to_owned()
            }
            None => "Eaters: at no number, since nothing that is eaten today has a price.".to_owned(),
        }
    }
}
