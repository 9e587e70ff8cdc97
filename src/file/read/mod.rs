//! One value of the file, read as its key asks.

mod special;

use std::ops::RangeInclusive;

use chrono::NaiveDate;

use crate::document::{self, Node, PROBLEMS_MAX, Problem, Right, Value};
use crate::file::keys::{self, Fallback, Key, Kind};
use crate::file::quantity::{self, Dimension};
use crate::file::season;
use crate::plain;
use crate::suggest;

/// What reading needs to know besides the value.
#[derive(Debug, Default)]
pub struct Context<'t> {
    pub text: &'t str,
    pub currency: &'t str,
}

/// A value, in SI units.
#[derive(Clone, Debug, PartialEq)]
pub enum Parsed {
    Number(f64),
    Numbers(Vec<f64>),
    Text(String),
    Texts(Vec<String>),
    /// Yes or no.
    Flag(bool),
    Date(NaiveDate),
    /// Months marked.
    Season([bool; 12]),
    Cladding(Cladding),
    /// A price per kWh, m3 or kg of fuel.
    FuelPrice((f64, Dimension)),
    Points(Vec<(f64, f64)>),
    /// A table, read key by key.
    Table,
}

/// What a face is clad with: a solid face of a resistance, m2K/W, or nothing: glazed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cladding(pub Option<f64>);

/// Longest text of a key, characters (own choice: a note of a page); names are shorter, see [`plain::NAME_MAX`].
const TEXT_MAX: usize = 2000;
/// Most items of a list, tables too (own choice: twice what a hall of 500 beds needs).
const LIST_MAX: usize = 1000;

/// Reads a value as its key asks, with the range check.
///
/// # Errors
/// Every problem of the value.
pub fn read(
    key: &Key,
    shown: &str,
    node: &Node,
    context: &Context<'_>,
) -> Result<Parsed, Vec<Problem>> {
    let reader = ValueReader {
        key,
        shown,
        context,
    };
    reader.value(node)
}

struct ValueReader<'r, 't> {
    key: &'r Key,
    shown: &'r str,
    context: &'r Context<'t>,
}

impl ValueReader<'_, '_> {
    fn problem(&self, node: &Node, wrong: String, right: impl Right) -> Vec<Problem> {
        let span = node.span.clone();
        vec![Problem::at(self.context.text, span, wrong, right)]
    }

    /// The problem that a value is none of what the key takes.
    fn takes(&self, node: &Node, wrong: String) -> Vec<Problem> {
        self.problem(
            node,
            wrong,
            format!("it takes {}", self.key.kind.in_words()),
        )
    }

    fn mismatch(&self, node: &Node) -> Vec<Problem> {
        let wrong = format!(
            "`{}` is {}, but {} belongs there",
            self.shown,
            node.value.kind_name(),
            self.key.kind.in_words()
        );
        self.problem(node, wrong, self.example())
    }

    fn example(&self) -> Option<String> {
        if self.key.kind == Kind::Tables {
            return self.example_table();
        }
        let units = self.key.kind.dimension()?.fitting_units();
        Some(format!("units that fit: {units}"))
    }

    /// A list of one table, with the numbers that are taken where nothing is said.
    fn example_table(&self) -> Option<String> {
        let inside = format!("{}.", self.key.path);
        let numbers = keys::all().filter_map(|key| match key.fallback {
            Fallback::Number(number, _) => Some((key.path.strip_prefix(&inside)?, number)),
            _ => None,
        });
        let numbers = numbers.map(|(key, number)| format!("{key} = {number}"));
        let numbers: Vec<String> = numbers.take(2).collect();
        let name = self.shown.rsplit('.').next().unwrap_or(self.shown);
        (!numbers.is_empty()).then(|| format!("such as {name} = [{{ {} }}]", numbers.join(", ")))
    }

    fn value(&self, node: &Node) -> Result<Parsed, Vec<Problem>> {
        let count = node.items().len();
        if count > LIST_MAX {
            let wrong = format!("`{}` is a list of {count}", self.shown);
            return Err(self.problem(node, wrong, format!("it takes at most {LIST_MAX}")));
        }
        match (self.key.kind, &node.value) {
            (Kind::Table | Kind::Place, Value::Table(_)) | (Kind::Tables, Value::List(_)) => {
                Ok(Parsed::Table)
            }
            (Kind::Text | Kind::Place | Kind::Food, Value::Text(text)) => {
                self.text(node, text).map(Parsed::Text)
            }
            (Kind::Texts | Kind::Foods, Value::Text(text)) => {
                Ok(Parsed::Texts(vec![self.text(node, text)?]))
            }
            (Kind::Texts | Kind::Foods, Value::List(items)) => self.texts(items),
            (Kind::Word(words), Value::Text(text)) => self.word(node, text, words),
            (Kind::Glazing, Value::Text(text)) => self.word(node, text, &keys::glazing_names()),
            (Kind::Flag, Value::Flag(flag)) => Ok(Parsed::Flag(*flag)),
            (Kind::Whole, Value::Whole(whole)) => {
                self.in_range(node, *whole as f64).map(Parsed::Number)
            }
            (Kind::Wholes, Value::Whole(_)) => self.wholes(std::slice::from_ref(node)),
            (Kind::Wholes, Value::List(items)) => self.wholes(items),
            (Kind::Number, Value::Whole(_) | Value::Number(_)) => {
                self.bare(node).map(Parsed::Number)
            }
            (Kind::Date, Value::Date(text) | Value::Text(text)) => self.date(node, text),
            (Kind::Quantity(_) | Kind::Money | Kind::Price(_), _) => {
                self.number(node).map(Parsed::Number)
            }
            (
                Kind::Quantities(_) | Kind::TwelveMonths(_) | Kind::Schedule(_) | Kind::Prices(_),
                _,
            ) => self.numbers(node),
            (Kind::Cladding, _) => self.cladding(node),
            (Kind::Season, Value::Text(text)) => self.season(node, text),
            (Kind::FuelPrice, _) => self.fuel_price(node),
            (Kind::Horizon, Value::List(items)) => self.horizon(items),
            _ => Err(self.mismatch(node)),
        }
    }

    fn text(&self, node: &Node, text: &str) -> Result<String, Vec<Problem>> {
        let shown = plain::escaped(text.trim()).replace('\n', " ");
        if shown.is_empty() {
            return Err(self.problem(node, format!("`{}` is empty", self.shown), None));
        }
        let is_note = self.key.path.ends_with("note");
        let most = if is_note { TEXT_MAX } else { plain::NAME_MAX };
        let count = text.trim().chars().count();
        if count > most {
            let wrong = format!("`{}` is a text of {count} characters", self.shown);
            return Err(self.problem(node, wrong, format!("it takes at most {most}")));
        }
        Ok(shown)
    }

    fn texts(&self, items: &[Node]) -> Result<Parsed, Vec<Problem>> {
        let texts = collect(items.iter().map(|item| match &item.value {
            Value::Text(text) => self.text(item, text),
            _ => Err(self.mismatch(item)),
        }))?;
        Ok(Parsed::Texts(texts))
    }

    fn word(&self, node: &Node, text: &str, words: &[&str]) -> Result<Parsed, Vec<Problem>> {
        let wanted = text.trim().to_lowercase().replace(['-', '_'], " ");
        let same = |word: &&&str| word.to_lowercase().replace('-', " ") == wanted;
        if let Some(word) = words.iter().find(same) {
            return Ok(Parsed::Text((*word).to_owned()));
        }
        let wrong = format!("`{}` cannot be \"{text}\"", self.shown);
        let choice = format!("one of {}", words.join(", "));
        let right = match suggest::nearest(text, words.iter().copied()) {
            Some(near) => format!("did you mean \"{near}\"? {choice}"),
            None => choice,
        };
        Err(self.problem(node, wrong, right))
    }

    fn date(&self, node: &Node, text: &str) -> Result<Parsed, Vec<Problem>> {
        text.parse().map(Parsed::Date).map_err(|_| {
            let right = match document::day(text) {
                Some(day) => format!("write {day}: year, month, day"),
                None => "a date such as 2027-03-01, year, month and day".to_owned(),
            };
            self.problem(node, format!("`{}` is no date", self.shown), right)
        })
    }

    fn season(&self, node: &Node, text: &str) -> Result<Parsed, Vec<Problem>> {
        season::months(text).map(Parsed::Season).ok_or_else(|| {
            let right = "months such as \"November to March\", \"May and October\", \"all year\" or \"never\"";
            self.problem(node, format!("`{}` names no months: \"{text}\"", self.shown), right)
        })
    }

    /// A number without a unit.
    fn bare(&self, node: &Node) -> Result<f64, Vec<Problem>> {
        let number = node.number().ok_or_else(|| self.mismatch(node))?;
        if !number.is_finite() {
            return Err(self.problem(node, format!("`{}` is no finite number", self.shown), None));
        }
        self.in_range(node, number)
    }

    /// A number with a unit, or a bare one in SI.
    fn number(&self, node: &Node) -> Result<f64, Vec<Problem>> {
        let Value::Text(text) = &node.value else {
            let number = self.bare(node)?;
            if self.key.kind == Kind::Price(Dimension::PerTime) && number != 0.0 {
                let wrong = format!("`{}` = {number} does not say for how long", self.shown);
                let money = format!("{number} {}", self.context.currency);
                let right = format!("write \"{money}/month\" or \"{money}/year\"");
                return Err(self.problem(node, wrong, right));
            }
            return Ok(number);
        };
        let (read, dimension) = match self.key.kind {
            Kind::Money => (quantity::parse_amount(text, self.context.currency), None),
            Kind::Price(dimension) | Kind::Prices(dimension) => (
                quantity::parse_price(text, dimension, self.context.currency),
                Some(dimension),
            ),
            kind => {
                let dimension = kind.dimension().unwrap_or(Dimension::Share);
                (quantity::parse(text, dimension), Some(dimension))
            }
        };
        match read {
            Ok(number) => self.in_range(node, number),
            Err(error) => {
                let right = dimension.map(|dimension| error.right(dimension));
                Err(self.problem(node, format!("`{}`: {error}", self.shown), right))
            }
        }
    }

    fn wholes(&self, items: &[Node]) -> Result<Parsed, Vec<Problem>> {
        let whole = |item: &Node| match item.value {
            Value::Whole(whole) => self.in_range(item, whole as f64),
            _ => Err(self.mismatch(item)),
        };
        collect(items.iter().map(whole)).map(Parsed::Numbers)
    }

    fn numbers(&self, node: &Node) -> Result<Parsed, Vec<Problem>> {
        let Value::List(items) = &node.value else {
            if matches!(self.key.kind, Kind::TwelveMonths(_)) {
                return Err(self.mismatch(node));
            }
            return Ok(Parsed::Numbers(vec![self.number(node)?]));
        };
        let wanted: &[usize] = match self.key.kind {
            Kind::TwelveMonths(_) => &[12],
            Kind::Schedule(_) => &[1, 12, 24, 288],
            Kind::Prices(_) => &[1, 12],
            _ => &[],
        };
        if items.is_empty() || !(wanted.is_empty() || wanted.contains(&items.len())) {
            let wrong = format!("`{}` has {} values", self.shown, items.len());
            return Err(self.takes(node, wrong));
        }
        collect(items.iter().map(|item| self.number(item))).map(Parsed::Numbers)
    }

    fn in_range(&self, node: &Node, number: f64) -> Result<f64, Vec<Problem>> {
        let range = self.key.range.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
        self.check_range(node, number, range, self.key.kind.unit())
    }

    fn check_range(
        &self,
        node: &Node,
        number: f64,
        (least, most): (f64, f64),
        unit: &'static str,
    ) -> Result<f64, Vec<Problem>> {
        if (least..=most).contains(&number) {
            return Ok(number);
        }
        let (number, range) = (tidy(number), format!("{} to {}", tidy(least), tidy(most)));
        let (number_unit, range) = (with_unit(&number, unit), with_unit(&range, unit));
        let what = match number.starts_with('-') && least >= 0.0 {
            true => "negative: ",
            false => "",
        };
        let wrong = format!("`{}` is {what}{number_unit}, outside {range}", self.shown);
        // A share of 20 is one of 20 %.
        let share = matches!(self.key.kind, Kind::Quantity(Dimension::Share));
        let right = match node.number() {
            Some(percent) if share && percent > 1.0 && percent <= 100.0 => {
                let (percent, share) = (tidy(percent), tidy(percent / 100.0));
                format!("write \"{percent} %\", or {share}")
            }
            Some(warm) if self.is_warm(warm, least..=most) => {
                format!("write \"{} F\", or the same in degrees Celsius", tidy(warm))
            }
            _ => format!("{}: {}", self.key.path, self.key.meaning),
        };
        Err(self.problem(node, wrong, right))
    }

    /// Would a bare number be a temperature that is allowed, were it in Fahrenheit?
    fn is_warm(&self, number: f64, allowed: RangeInclusive<f64>) -> bool {
        matches!(self.key.kind, Kind::Quantity(Dimension::Temperature))
            && quantity::parse(&format!("{number} F"), Dimension::Temperature)
                .is_ok_and(|celsius| allowed.contains(&celsius))
    }
}

/// Figures and their unit, where they have one.
pub fn with_unit(figures: &str, unit: &'static str) -> String {
    let text = format!("{figures} {}", keys::bare_unit(unit));
    text.trim_end().to_owned()
}

/// A number as people would write it: up to six significant digits, no trailing zeros.
pub fn tidy(number: f64) -> String {
    const DIGITS: i32 = 6;
    if number == 0.0 {
        return "0".to_owned();
    }
    let magnitude = number.abs().log10().floor();
    if !(-6.0..=15.0).contains(&magnitude) {
        return format!("{number:e}");
    }
    let decimals = (DIGITS - 1 - magnitude as i32).max(0) as usize;
    let text = format!("{number:.decimals$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// All values, or all their problems.
fn collect<T>(
    results: impl Iterator<Item = Result<T, Vec<Problem>>>,
) -> Result<Vec<T>, Vec<Problem>> {
    let mut values = Vec::new();
    let mut problems = Vec::new();
    for result in results {
        match result {
            Ok(value) => values.push(value),
            Err(more) => problems.extend(more),
        }
        if problems.len() >= PROBLEMS_MAX {
            break;
        }
    }
    match problems.is_empty() {
        true => Ok(values),
        false => Err(problems),
    }
}
