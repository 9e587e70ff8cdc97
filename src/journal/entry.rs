//! One row of the journal: its cells checked and put into SI units.

use chrono::NaiveDate;

use super::Known;
use crate::file::quantity::{self, Dimension};
use crate::sheet::{self, DateOrder};
use crate::suggest::{meant, nearest};
use crate::value;
use crate::words::{Word, worded};

worded! {
    /// What happened, in the order of a season, with the word of the journal.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Event {
        /// Seed sown, in the bed or in a tray.
        "sown" => Sown,
        /// Young plants set out in a bed.
        "transplanted" => Transplanted,
        /// Something picked.
        "harvested" => Harvested,
        /// A planting, or a part of it, died or spoiled.
        "lost" => Lost,
        /// A bed cleared.
        "cleared" => Cleared,
        /// Something paid: for the garden, such as seed, compost, repairs, or in a shop for the food that is named.
        "bought" => Bought,
        /// Anything else.
        "note" => Note,
    }
}

impl Event {
    /// The event of a word, or of another that growers take for it.
    pub fn said(text: &str) -> Option<Event> {
        match text.trim().to_ascii_lowercase().as_str() {
            "picked" => Some(Event::Harvested),
            "planted" | "set out" => Some(Event::Transplanted),
            "sowed" | "seeded" => Some(Event::Sown),
            word => Event::meaning(word),
        }
    }

    /// Dimension of its amount; none for money.
    fn dimension(self) -> Option<Dimension> {
        match self {
            Event::Harvested => Some(Dimension::Mass),
            Event::Bought => None,
            _ => Some(Dimension::Area),
        }
    }
}

/// How much.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Fresh mass, kg.
    Kg(f64),
    /// Bed area, m2.
    M2(f64),
    /// Money, in the currency of the project.
    Money(f64),
}

/// A row that was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Line of the journal, from 1; 0 for one that is not in it yet.
    pub line: usize,
    /// Day.
    pub date: NaiveDate,
    /// What happened.
    pub event: Event,
    /// Name of the bed, as in the project.
    pub bed: Option<String>,
    /// Crop id; of what was bought in a shop the food's.
    pub crop: Option<String>,
    /// How much.
    pub amount: Option<Amount>,
    /// Cause of a loss, what was bought, anything else.
    pub note: String,
}

/// The cells of a row as text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Draft {
    /// Day.
    pub date: String,
    pub event: String,
    pub bed: String,
    pub crop: String,
    /// Amount, with its unit where `unit` is empty.
    pub amount: String,
    pub unit: String,
    pub note: String,
}

/// What is wrong in a row: the column, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{what}")]
pub struct Wrong {
    /// Name of the column.
    pub column: &'static str,
    /// What is wrong and what would be right.
    pub what: String,
}

fn wrong(column: &'static str, what: impl Into<String>) -> Wrong {
    Wrong {
        column,
        what: what.into(),
    }
}

/// Most kilograms, square metres or units of money that one row may hold: a slip of the decimal point is more likely
/// (own choice, as for receipts).
const AMOUNT_MAX: f64 = 100_000.0;

impl Draft {
    /// The row, checked against the project.
    ///
    /// `order` and `comma_decimal` are what the whole file says of its dates and numbers.
    ///
    /// # Errors
    /// [`Wrong`] names the first cell that cannot be used.
    pub fn check(
        &self,
        known: &Known<'_>,
        order: Option<DateOrder>,
        comma_decimal: bool,
    ) -> Result<Entry, Wrong> {
        let date =
            sheet::date(&self.date, order).map_err(|error| wrong("date", error.to_string()))?;
        let event = event(&self.event)?;
        let named = Some(sheet::plain(self.bed.trim())).filter(|text| !text.is_empty());
        let bed = named.map(|text| bed(text, known));
        let bed = bed.transpose()?;
        let crop = given(&self.crop).map(|text| match event {
            Event::Bought => food(text),
            _ => crop(text, known),
        });
        let entry = Entry {
            line: 0,
            date,
            event,
            bed,
            crop: crop.transpose()?,
            amount: self.amount(event, known, comma_decimal)?,
            note: one_line(sheet::plain(&self.note)),
        };
        entry.complete()
    }

    fn amount(
        &self,
        event: Event,
        known: &Known<'_>,
        comma_decimal: bool,
    ) -> Result<Option<Amount>, Wrong> {
        let (mut figure, mut unit) = (self.amount.trim(), self.unit.trim());
        if figure.is_empty() {
            return if unit.is_empty() {
                Ok(None)
            } else {
                Err(wrong(
                    "amount",
                    format!("a unit (`{unit}`) without an amount"),
                ))
            };
        }
        if unit.is_empty() {
            (figure, unit) = parts(figure);
        }
        let number = sheet::number(figure, comma_decimal)
            .map_err(|error| wrong("amount", error.to_string()))?;
        let amount = match event.dimension() {
            None => Amount::Money(money(number, unit, known)?),
            Some(Dimension::Mass) => Amount::Kg(in_si(number, unit, "kg", Dimension::Mass)?),
            Some(dimension) => Amount::M2(in_si(number, unit, "m2", dimension)?),
        };
        in_range(amount).map(Some)
    }
}

/// Figure and unit of an amount in one cell: the unit behind it, or a sign of money before it.
fn parts(text: &str) -> (&str, &str) {
    let written = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+');
    let start = text.find(written).unwrap_or(0);
    let (sign, rest) = text.split_at(start);
    let end = rest.find(|c| !written(c)).unwrap_or(rest.len());
    let unit = rest[end..].trim();
    (
        rest[..end].trim(),
        if unit.is_empty() { sign.trim() } else { unit },
    )
}

fn in_range(amount: Amount) -> Result<Amount, Wrong> {
    let (Amount::Kg(value) | Amount::M2(value) | Amount::Money(value)) = amount;
    if value > 0.0 && value <= AMOUNT_MAX {
        return Ok(amount);
    }
    let what = format!("{value} is no amount; it must lie above 0 and up to {AMOUNT_MAX}");
    Err(wrong("amount", what))
}

fn money(number: f64, unit: &str, known: &Known<'_>) -> Result<f64, Wrong> {
    if unit.is_empty() {
        return Ok(number);
    }
    let sign = !unit.starts_with(|c: char| c.is_alphabetic());
    let text = if sign {
        format!("{unit}{number}")
    } else {
        format!("{number} {unit}")
    };
    quantity::parse_amount(&text, known.currency).map_err(|error| {
        wrong(
            "unit",
            format!("{error}; write the money in {}", known.currency),
        )
    })
}

fn in_si(number: f64, unit: &str, usual: &str, dimension: Dimension) -> Result<f64, Wrong> {
    let unit = if unit.is_empty() { usual } else { unit };
    quantity::parse(&format!("{number} {unit}"), dimension).map_err(|error| {
        let fits = dimension.fitting_units();
        wrong("unit", format!("{error}; units that fit: {fits}"))
    })
}

/// A note without line ends: a row of the journal is one line.
fn one_line(text: &str) -> String {
    text.split(char::is_control)
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

impl Entry {
    /// Refuses a row that lacks what its event needs.
    fn complete(self) -> Result<Self, Wrong> {
        let needs = |column: &'static str, what: &str| {
            let word = self.event.word();
            Err(wrong(column, format!("`{word}` needs {what}")))
        };
        let (bed, crop) = (self.bed.is_some(), self.crop.is_some());
        match self.event {
            Event::Sown if !crop => needs("crop", "the crop"),
            Event::Transplanted | Event::Lost if !crop => needs("crop", "the crop"),
            // What is lost in no bed is lost in its trays.
            Event::Transplanted | Event::Cleared if !bed => needs("bed", "the bed"),
            Event::Harvested if !crop => needs("crop", "the crop"),
            Event::Harvested if self.amount.is_none() => {
                needs("amount", "how much was picked, such as 1.2 kg")
            }
            Event::Bought if self.amount.is_none() => {
                needs("amount", "what was paid, such as 12.50")
            }
            Event::Note if self.note.is_empty() => needs("note", "a text"),
            _ => Ok(self),
        }
    }

    /// Kilograms picked; 0 for other events.
    pub fn kg(&self) -> f64 {
        match self.amount {
            Some(Amount::Kg(kg)) => kg,
            _ => 0.0,
        }
    }

    /// Square metres, where given.
    pub fn m2(&self) -> Option<f64> {
        match self.amount {
            Some(Amount::M2(m2)) => Some(m2),
            _ => None,
        }
    }

    /// Money paid; 0 for other events.
    pub fn paid(&self) -> f64 {
        match self.amount {
            Some(Amount::Money(paid)) => paid,
            _ => 0.0,
        }
    }
}

/// A cell with something in it.
fn given(text: &str) -> Option<&str> {
    Some(text.trim()).filter(|text| !text.is_empty())
}

/// A question for the known word that is nearest, with a blank behind it; nothing where none is near.
fn did_you_mean<'k>(text: &str, known: impl Iterator<Item = &'k str>) -> String {
    nearest(text, known).map_or_else(String::new, |near| format!("did you mean `{near}`? "))
}

fn event(text: &str) -> Result<Event, Wrong> {
    let text = text.trim();
    let words = || Event::NAMES.iter().copied();
    Event::said(text).ok_or_else(|| {
        let (near, listed) = (did_you_mean(text, words()), words().collect::<Vec<_>>());
        let what = format!("`{text}` is no event; {near}one of {}", listed.join(", "));
        wrong("event", what)
    })
}

fn bed(text: &str, known: &Known<'_>) -> Result<String, Wrong> {
    let same = |bed: &&&str| bed.eq_ignore_ascii_case(text);
    if let Some(bed) = known.beds.iter().find(same) {
        return Ok((*bed).to_owned());
    }
    let near = did_you_mean(text, known.beds.iter().copied());
    let listed = known.beds.join(", ");
    let what = format!("there is no bed `{text}`; {near}the project has {listed}");
    Err(wrong("bed", what))
}

/// A food that was bought in a shop, by the id that prices have it under.
fn food(text: &str) -> Result<String, Wrong> {
    let found = value::food::require(text).map(|food| food.id.clone());
    found.map_err(|error| wrong("crop", error.to_string()))
}

fn crop(text: &str, known: &Known<'_>) -> Result<String, Wrong> {
    if let Some(crop) = known.table.called(text) {
        return Ok(crop.id.clone());
    }
    // A plain name, such as lettuce, is the one kind of it, or several to choose from.
    let kinds = known.table.kinds_of(text).into_iter();
    let kinds: Vec<&str> = kinds.map(|crop| crop.id.as_str()).collect();
    let what = match kinds.as_slice() {
        [only] => return Ok((*only).to_owned()),
        [] => {
            let near = meant(known.table.nearest(text));
            format!("there is no crop `{text}` on file{near} (`bedyear crops` lists them)")
        }
        several => {
            let kinds = several.join(", ");
            format!("`{text}` is several kinds: {kinds}; name one of them")
        }
    };
    Err(wrong("crop", what))
}
