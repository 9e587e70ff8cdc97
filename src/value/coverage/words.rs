//! The answer in plain sentences.

use crate::calendar::DAYS_PER_WEEK;
use crate::phrase::{Amount, Phrase, amount, phrase};

use super::{Answer, Money, Today, Whole};

/// Foods named in a sentence about what a building does not carry; own choice.
const FOODS_NAMED: usize = 3;

/// An area, whole.
fn area(m2: f64) -> Amount {
    amount(m2, "m2", 0)
}

pub(super) fn sentences(today: &Today, answer: &Answer) -> Vec<Phrase> {
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
