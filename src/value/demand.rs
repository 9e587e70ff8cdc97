//! From household and tables to its demand.

use super::food::{self, Food};
use super::market::{
    Basis, FoodLine, GroupLine, Market, OWN_FIGURE, Rest, TO_ASK, WishLine, WishOf,
};
use super::price::{self, Found};
use super::{Country, Household, SaladBought, ValueError, appetite};
use crate::calendar::WEEKS_PER_YEAR;
use crate::words::Word;

/// Builds the demand of a household from its own figures first and the published tables second.
///
/// # Errors
/// [`ValueError`] when a figure of the household is out of range, names a food that is not on file, or no exchange
/// rate to its currency is known.
pub fn market(household: &Household) -> Result<Market, ValueError> {
    household.check()?;
    let mut market = Market {
        foods: Vec::new(),
        groups: Vec::new(),
        wishes: Vec::new(),
        currency: household.currency,
        price_year: household.price_year,
        produce_month: [0.0; 12],
        produce_given: household.produce_month.is_some(),
        vegetables_month: None,
        groceries_month: household.groceries_month,
        assumptions: Vec::new(),
    };
    for group in food::groups() {
        let foods = food::foods().iter();
        let members: Vec<&Food> = foods
            .filter(|food| food.group == group.id && household.takes(food))
            .collect();
        if !members.is_empty() {
            market.add_group(household, group, &members)?;
        }
    }
    market.say_defaults(household)?;
    market.add_budget(household)?;
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

/// A food on its way to a line.
struct Draft<'a> {
    food: &'a Food,
    price: Option<Found>,
    bought: f64,
    basis: Basis,
    own: bool,
}

impl Market {
    /// Adds a group with the lines of its foods.
    fn add_group(
        &mut self,
        household: &Household,
        group: &food::Group,
        members: &[&'static Food],
    ) -> Result<(), ValueError> {
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
            let notes = draft.price.iter().flat_map(|price| &price.notes);
            notes.for_each(|note| self.assume(note));
        }
        let line = |at| {
            let mut line = line(&drafts, at, total, &group.id);
            // Of a group that is stated as a whole any food may fill it.
            if own.is_some() && !drafts[at].own {
                line.appetite_kg_week = total;
            }
            line
        };
        self.foods.extend((0..members.len()).map(line));
        let rest = drafts[members.len()..].iter().map(|draft| Rest {
            kg_week: draft.bought,
            price_per_kg: draft.price.as_ref().map_or([0.0; 12], |found| found.per_kg),
        });
        self.groups.push(GroupLine {
            group: group.id.clone(),
            name: group.name.clone(),
            appetite_kg_week: total,
            rest: rest.collect(),
        });
        Ok(())
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
    fn add_budget(&mut self, household: &Household) -> Result<(), ValueError> {
        if self.groceries_month.is_none() {
            self.groceries_month = self.groceries(household)?;
        }
        let share = |item| appetite::spending(item, "US").map_or(0.0, |row| row.value);
        let (vegetables, fruit) = (share("fresh_vegetables_share"), share("fresh_fruit_share"));
        let produce = match (household.produce_month, self.groceries_month) {
            (Some(own), _) => own,
            (None, Some(all)) => {
                self.assumptions.push(format!(
                    "fresh vegetables are {:.1} % and fresh fruit {:.1} % of the groceries (US 2017, Consumer Expenditure Survey)",
                    vegetables * 100.0,
                    fruit * 100.0
                ));
                self.vegetables_month = Some([all * vegetables; 12]);
                all * (vegetables + fruit)
            }
            (None, None) => {
                self.assumptions.push(
                    "the produce the household buys is its appetite at the prices on file"
                        .to_owned(),
                );
                self.basket_year(false) / 12.0
            }
        };
        self.produce_month = [produce; 12];
        Ok(())
    }

    fn groceries(&mut self, household: &Household) -> Result<Option<f64>, ValueError> {
        let country = household.country;
        let Some(row) = appetite::spending("groceries_person_month", country.word()) else {
            return Ok(None);
        };
        let a_head = price::to_household(household, row.value, country, row.year)?;
        self.assumptions.push(format!(
            "groceries are {a_head:.0} {} a month for an average person ({}, {})",
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
        let basis = Basis::new(&own.basis, household.price_year, OWN_FIGURE);
        return (own.kg_week, basis, true);
    }
    if let Some((kg, basis)) = appetite::bought_kg_week(household, food) {
        return (kg, basis, false);
    }
    let source = format!(
        "no figure of its own; it stands in for its group, {}",
        food.group.replace('_', " ")
    );
    (0.0, Basis::new(source, None, "assumption"), false)
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
    let bought = |own: bool| drafts.iter().filter(move |draft| draft.own == own);
    let own: f64 = bought(true).map(|draft| draft.bought).sum();
    let rest: f64 = bought(false).map(|draft| draft.bought).sum();
    let others = bought(false).count() as f64;
    let left = (kg_week - own).max(0.0);
    for draft in drafts.iter_mut().filter(|draft| !draft.own) {
        draft.bought = if rest > 0.0 {
            draft.bought * left / rest
        } else {
            left / others
        };
        let by = &draft.basis.source;
        draft.basis.source = format!("{source}; shared within the group by {by}");
        draft.basis.mark = OWN_FIGURE.to_owned();
    }
}

/// Line of the food at `at`: what a kg more of it stands in for is the mean of what else its group buys, never
/// dearer than the food itself.
fn line(drafts: &[Draft], at: usize, total: f64, group: &str) -> FoodLine {
    let draft = &drafts[at];
    let per_kg = |draft: &Draft| draft.price.as_ref().map_or([0.0; 12], |found| found.per_kg);
    let price = per_kg(draft);
    let mut money = [0.0; 12];
    let mut kg = 0.0;
    for (_, other) in drafts.iter().enumerate().filter(|(other, _)| *other != at) {
        kg += other.bought;
        for (sum, price) in money.iter_mut().zip(per_kg(other)) {
            *sum += other.bought * price;
        }
    }
    let stand_in = |month: usize| {
        let per_kg = if kg > 0.0 { money[month] / kg } else { 0.0 };
        per_kg.min(price[month])
    };
    let found = draft.price.as_ref();
    let published = found.filter(|found| found.basis.mark != OWN_FIGURE);
    let share = draft.food.group_share_max * total;
    FoodLine {
        food: draft.food.id.clone(),
        name: draft.food.name.clone(),
        group: group.to_owned(),
        price_per_kg: price,
        stand_in_price_per_kg: std::array::from_fn(stand_in),
        bought_kg_week: draft.bought,
        appetite_kg_week: if draft.own {
            draft.bought
        } else {
            draft.bought.max(share)
        },
        edible_share: draft.food.edible_share,
        price_country: published.map(|found| found.country),
        price_basis: found.map_or_else(
            || Basis::new("no price published; give your own", None, TO_ASK),
            |found| found.basis.clone(),
        ),
        appetite_basis: draft.basis.clone(),
    }
}
