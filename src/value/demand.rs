//! From household and tables to its demand.

use super::food::{self, Food};
use super::market::{Asked, Basis, FoodLine, GroupLine, Market, Missing, Rest, WishLine, WishOf};
use super::price::{self, Found};
use super::{Country, Household, SaladBought, ValueError, appetite};
use crate::calendar::WEEKS_PER_YEAR;

/// Builds the demand of a household from its own figures first and the published tables second.
///
/// # Errors
/// [`ValueError`] when a figure of the household is out of range, names a food that is not on file, or no exchange
/// rate to its currency is known.
pub fn market(household: &Household) -> Result<Market, ValueError> {
    household.check()?;
    let mut build = Build::default();
    let mut foods = Vec::new();
    let mut groups = Vec::new();
    for group in food::groups() {
        let members: Vec<&Food> = food::foods()
            .iter()
            .filter(|f| f.group == group.id && household.takes(f))
            .collect();
        if members.is_empty() {
            continue;
        }
        let (lines, rest, appetite_kg_week) = build.group(household, group, &members)?;
        foods.extend(lines);
        groups.push(GroupLine {
            group: group.id.clone(),
            name: group.name.clone(),
            appetite_kg_week,
            rest,
        });
    }
    build.say_defaults(household)?;
    let mut market = Market {
        foods,
        groups,
        wishes: Vec::new(),
        currency: household.currency,
        price_year: household.price_year,
        produce_month: [0.0; 12],
        produce_given: household.produce_month.is_some(),
        vegetables_month: None,
        groceries_month: None,
        asked: Vec::new(),
        assumptions: Vec::new(),
    };
    let budget = build.budget(household, market.basket_year(false) / 12.0)?;
    market.produce_month = [budget.produce; 12];
    market.vegetables_month = budget.vegetables.map(|month| [month; 12]);
    market.groceries_month = budget.groceries;
    market.asked = build.asked;
    market.assumptions = build.assumptions;
    market.wishes = wishes(household, &market);
    Ok(market)
}

/// The household's wishes for what is on its table.
fn wishes(household: &Household, market: &Market) -> Vec<WishLine> {
    let of = |name: &str| match food::find_group(name) {
        Some(group) => {
            let is = |line: &GroupLine| line.group == group.id;
            Some(WishOf::Group(market.groups.iter().position(is)?))
        }
        None => market.place(name).map(WishOf::Food),
    };
    let line = |wish: &super::Wish| {
        Some(WishLine {
            of: of(&wish.of)?,
            kg_week: (0..WEEKS_PER_YEAR)
                .map(|week| wish.kg_in_week(week))
                .collect(),
        })
    };
    household.wishes.iter().filter_map(line).collect()
}

/// What is collected on the way.
#[derive(Default)]
struct Build {
    asked: Vec<Asked>,
    assumptions: Vec<String>,
}

/// Money a month.
struct MonthBudget {
    produce: f64,
    vegetables: Option<f64>,
    groceries: Option<f64>,
}

/// A food on its way to a line.
struct Draft<'a> {
    food: &'a Food,
    price: Option<Found>,
    bought: f64,
    basis: Basis,
    own: bool,
}

impl Build {
    /// Lines of one group and the group's appetite.
    fn group(
        &mut self,
        household: &Household,
        group: &food::Group,
        members: &[&'static Food],
    ) -> Result<(Vec<FoodLine>, Vec<Rest>, f64), ValueError> {
        let own = household.appetites.iter().rev().find(|own| {
            food::find(&own.of).is_none()
                && food::find_group(&own.of).is_some_and(|found| found.id == group.id)
        });
        let packed = household.salad_bought == Some(SaladBought::Packed);
        // A group whose appetite is stated as a whole is bought as people buy it, whatever of it the beds may give, and
        // packed leaves are bought whether or not the beds give leaves for them.
        let beside = food::foods().iter().filter(|food| {
            food.group == group.id
                && !members.iter().any(|member| member.id == food.id)
                && (own.is_some() || (packed && food.id == PACKED))
        });
        let mut drafts = Vec::new();
        for food in members.iter().copied().chain(beside) {
            let price = price::price_for(household, food)?;
            let (bought, basis, own) = appetite_for(household, food);
            drafts.push(Draft {
                food,
                price,
                bought,
                basis,
                own,
            });
        }
        if packed {
            move_to_packed(&mut drafts, household.kitchen_loss);
        }
        if let Some(own) = own {
            fit_to_group(&mut drafts, own.kg_week, &own.basis);
        }
        let total = drafts.iter().map(|draft| draft.bought).sum();
        for draft in &drafts[..members.len()] {
            self.note(draft, total);
        }
        let line = |at| {
            let mut line = line(&drafts, at, total, &group.id);
            // Of a group that is stated as a whole any food may fill it.
            if own.is_some() && !drafts[at].own {
                line.appetite_kg_week = total;
            }
            line
        };
        let lines = (0..members.len()).map(line).collect();
        let rest = drafts[members.len()..].iter().map(|draft| Rest {
            kg_week: draft.bought,
            price_per_kg: draft.price.as_ref().map_or([0.0; 12], |found| found.per_kg),
        });
        Ok((lines, rest.collect(), total))
    }

    fn note(&mut self, draft: &Draft, total: f64) {
        let food = &draft.food.id;
        match &draft.price {
            Some(price) => price.notes.iter().for_each(|note| self.assume(note)),
            None => self.asked.push(Asked {
                food: food.clone(),
                what: Missing::Price,
            }),
        }
        if total <= 0.0 {
            self.asked.push(Asked {
                food: food.clone(),
                what: Missing::Appetite,
            });
        }
    }

    /// Adds what was assumed of a food; foods of which the same is assumed share a sentence.
    fn assume(&mut self, note: &str) {
        let Some((name, same)) = note.split_once(": ") else {
            self.assumptions.push(note.to_owned());
            return;
        };
        let alike = |known: &&mut String| {
            known
                .split_once(": ")
                .is_some_and(|(_, other)| other == same)
        };
        match self.assumptions.iter_mut().find(alike) {
            Some(known) => *known = known.replacen(": ", &format!(", {name}: "), 1),
            None => self.assumptions.push(note.to_owned()),
        }
    }

    /// Assumptions that hold for all foods.
    fn say_defaults(&mut self, household: &Household) -> Result<(), ValueError> {
        if household.salad_bought.is_none() {
            self.assumptions.push("salad is bought as heads of lettuce; packed leaves cost several times as much per kg".to_owned());
        }
        if household.country != Country::UnitedStates {
            self.assumptions.push(format!(
                "people in {} eat of each food what people in the United States eat",
                household.country.name()
            ));
        }
        if let (rate, true) = price::exchange(household, household.country)? {
            self.assumptions.push(format!(
                "{rate:.4} {} for one {} (mean of 2024, from memory)",
                household.currency.code(),
                household.country.currency_code()
            ));
        }
        if household.southern {
            self.assumptions.push(
                "the published swing of prices, of northern countries, is moved by half a year"
                    .to_owned(),
            );
        }
        if let Some(last) =
            price::last_index_year(household.country).filter(|last| *last < household.price_year)
        {
            self.assumptions.push(format!(
                "prices rise by {:.1} % a year from {last} to {}",
                household.inflation * 100.0,
                household.price_year
            ));
        }
        Ok(())
    }

    /// Produce and groceries: the person's figures, else statistics, else appetite times price.
    fn budget(&mut self, household: &Household, basket: f64) -> Result<MonthBudget, ValueError> {
        let groceries = match household.groceries_month {
            Some(own) => Some(own),
            None => self.groceries(household)?,
        };
        let share = |item| appetite::spending(item, "US").map_or(0.0, |row| row.value);
        let (vegetables, fruit) = (share("fresh_vegetables_share"), share("fresh_fruit_share"));
        let (produce, of_vegetables) = match (household.produce_month, groceries) {
            (Some(own), _) => (own, None),
            (None, Some(all)) => {
                self.assumptions.push(format!(
                    "fresh vegetables are {:.1} % and fresh fruit {:.1} % of the groceries (US 2017, Consumer Expenditure Survey)",
                    vegetables * 100.0,
                    fruit * 100.0
                ));
                (all * (vegetables + fruit), Some(all * vegetables))
            }
            (None, None) => {
                self.assumptions.push(
                    "the produce the household buys is its appetite at the prices on file"
                        .to_owned(),
                );
                (basket, None)
            }
        };
        Ok(MonthBudget {
            produce,
            vegetables: of_vegetables,
            groceries,
        })
    }

    fn groceries(&mut self, household: &Household) -> Result<Option<f64>, ValueError> {
        let Some(row) = appetite::spending("groceries_person_month", household.country.key())
        else {
            return Ok(None);
        };
        let a_head = price::to_household(household, row.value, household.country, row.year)?;
        self.assumptions.push(format!(
            "groceries are {:.0} {} a month for an average person ({}, {})",
            a_head,
            household.currency.code(),
            row.source,
            row.year
        ));
        Ok(Some(a_head * appetite::persons(household)))
    }
}

/// What is bought of a food: the person's own figure, else the statistics, else nothing.
fn appetite_for(household: &Household, food: &Food) -> (f64, Basis, bool) {
    if let Some(own) = household
        .appetites
        .iter()
        .rev()
        .find(|own| price::is(&own.of, food))
    {
        let basis = Basis {
            source: own.basis.clone(),
            year: Some(household.price_year),
            mark: "own figure".to_owned(),
        };
        return (own.kg_week, basis, true);
    }
    match appetite::bought_kg_week(household, food) {
        Some((kg, basis)) => (kg, basis, false),
        None => {
            let source = format!(
                "no figure of its own; it stands in for its group, {}",
                food.group.replace('_', " ")
            );
            (
                0.0,
                Basis {
                    source,
                    year: None,
                    mark: "assumption".to_owned(),
                },
                false,
            )
        }
    }
}

/// A household that buys packed leaves buys these in place of its heads: as much to eat, less to trim.
fn move_to_packed(drafts: &mut [Draft], kitchen_loss: f64) {
    let mut eaten = 0.0;
    for draft in drafts
        .iter_mut()
        .filter(|draft| !draft.own && draft.food.id != PACKED)
    {
        eaten += draft.bought * draft.food.edible_share * (1.0 - kitchen_loss);
        draft.bought = 0.0;
    }
    if let Some(packed) = drafts
        .iter_mut()
        .find(|draft| draft.food.id == PACKED && !draft.own)
    {
        packed.bought = eaten / (packed.food.edible_share * (1.0 - kitchen_loss));
        packed.basis.source = "all lettuce that people eat, bought as packed leaves".to_owned();
        packed.basis.mark = "assumption".to_owned();
    }
}

/// Food that the household buys when it buys packed leaves.
const PACKED: &str = "salad_mix";

/// Brings a group to the appetite the person gave for it: foods with a figure of their own stay, the others are
/// scaled; where nothing is known of any, they share alike.
fn fit_to_group(drafts: &mut [Draft], kg_week: f64, source: &str) {
    let own: f64 = drafts
        .iter()
        .filter(|draft| draft.own)
        .map(|draft| draft.bought)
        .sum();
    let rest: f64 = drafts
        .iter()
        .filter(|draft| !draft.own)
        .map(|draft| draft.bought)
        .sum();
    let others = drafts.iter().filter(|draft| !draft.own).count() as f64;
    let left = (kg_week - own).max(0.0);
    for draft in drafts.iter_mut().filter(|draft| !draft.own) {
        draft.bought = if rest > 0.0 {
            draft.bought * left / rest
        } else {
            left / others
        };
        draft.basis.source = format!(
            "{source}; shared within the group by {}",
            draft.basis.source
        );
        draft.basis.mark = "own figure".to_owned();
    }
}

/// Line of the food at `at`: what a kg more of it stands in for is the mean of what else its group buys, never
/// dearer than the food itself.
fn line(drafts: &[Draft], at: usize, total: f64, group: &str) -> FoodLine {
    let draft = &drafts[at];
    let price = draft.price.as_ref().map_or([0.0; 12], |found| found.per_kg);
    let others = drafts
        .iter()
        .enumerate()
        .filter(|(other, _)| *other != at)
        .map(|(_, other)| other);
    let mut money = [0.0; 12];
    let mut kg = 0.0;
    for other in others {
        let per_kg = other.price.as_ref().map_or([0.0; 12], |found| found.per_kg);
        kg += other.bought;
        for (sum, price) in money.iter_mut().zip(per_kg) {
            *sum += other.bought * price;
        }
    }
    let mut stand_in = [0.0; 12];
    for month in 0..12 {
        stand_in[month] = if kg > 0.0 {
            (money[month] / kg).min(price[month])
        } else {
            0.0
        };
    }
    let share = draft.food.group_share_max * total;
    FoodLine {
        food: draft.food.id.clone(),
        name: draft.food.name.clone(),
        group: group.to_owned(),
        price_per_kg: price,
        stand_in_price_per_kg: stand_in,
        bought_kg_week: draft.bought,
        appetite_kg_week: if draft.own {
            draft.bought
        } else {
            draft.bought.max(share)
        },
        edible_share: draft.food.edible_share,
        price_country: draft
            .price
            .as_ref()
            .filter(|found| found.basis.mark != "own figure")
            .map(|found| found.country),
        price_basis: draft
            .price
            .as_ref()
            .map_or_else(no_price, |found| found.basis.clone()),
        appetite_basis: draft.basis.clone(),
    }
}

fn no_price() -> Basis {
    Basis {
        source: "no price published; give your own".to_owned(),
        year: None,
        mark: "to ask".to_owned(),
    }
}
