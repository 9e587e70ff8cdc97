//! A table in words and figures for people, in the units asked for: what terminal and report draw.

use std::collections::{BTreeMap, BTreeSet};

use chrono::Datelike;

use super::{DataTable, Shown};
use crate::output::row::{Cell, Column, Kind};
use crate::output::text::{clean, day_in, fixed, month_head, short_date};
use crate::output::units::Units;

/// Head of a column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// What it is.
    pub words: String,
    /// Its unit; empty where it has none or the words say it.
    pub unit: String,
    /// True for figures and days, which stand at the right.
    pub number: bool,
    /// True for days, which may break where room is short.
    pub day: bool,
}

/// A table as people read it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    pub heads: Vec<Head>,
    /// Rows, with a text for each column.
    pub rows: Vec<Vec<String>>,
    /// What the heads mean.
    pub note: String,
    /// Numbered words below the table.
    pub footnotes: Vec<String>,
}

impl DataTable {
    /// The table in words, with the columns that people see. A column in which nothing is known is left out.
    pub fn said(&self, units: Units) -> Said {
        let all = (0..self.columns.len()).map(|index| Shown {
            index,
            spread: false,
        });
        let shown = match self.shown.as_slice() {
            [] => all.collect(),
            some => some.to_vec(),
        };
        let known = |shown: &Shown| self.column(shown.index).any(|cell| *cell != Cell::Empty);
        let shown: Vec<Shown> = shown.into_iter().filter(known).collect();
        let writers: Vec<Writer> = shown
            .iter()
            .map(|of| Writer::new(self, *of, units))
            .collect();
        let mut footnotes = Vec::new();
        let mut rows: Vec<Vec<String>> = Vec::new();
        let at = |column: Option<usize>| shown.iter().position(|of| Some(of.index) == column);
        let joined = at(self.joined);
        for row in self.rows.iter().chain(&self.total) {
            let mut texts: Vec<String> = writers.iter().map(|writer| writer.say(row)).collect();
            if let Some(at) = at(self.footnotes) {
                texts[at] = footnote(&mut footnotes, &texts[at]);
            }
            let is_same = |other: &&mut Vec<String>| {
                let mut pairs = other.iter().zip(&texts).enumerate();
                pairs.all(|(at, (other, own))| Some(at) == joined || other == own)
            };
            match joined.and_then(|at| Some((at, rows.iter_mut().find(is_same)?))) {
                Some((at, same)) if same[at] == texts[at] => {}
                Some((at, same)) => same[at] = format!("{}, {}", same[at], texts[at]),
                None => rows.push(texts),
            }
        }
        let mut group = String::new();
        for first in rows.iter_mut().filter_map(|row| row.first_mut()) {
            if self.grouped && *first == group {
                first.clear();
            } else {
                group.clone_from(first);
            }
        }
        let mut note = units.say(&self.note).trim().to_owned();
        let days = writers
            .iter()
            .filter(|of| of.head.day && of.column.name != "month");
        let days = days.flat_map(|of| self.column(of.shown.index).filter_map(Cell::date));
        let years: BTreeSet<i32> = days.map(|day| day.year()).collect();
        if let Some(year) = self
            .usual_year()
            .filter(|_| years.len() > 1 && !self.any_year)
        {
            note = format!("Days without a year are of {year}. {note}");
        }
        Said {
            heads: writers.into_iter().map(|writer| writer.head).collect(),
            rows,
            note: note.trim().to_owned(),
            footnotes,
        }
    }

    /// The year in which most of its days lie, the later of two: they are written without it.
    fn usual_year(&self) -> Option<i32> {
        let mut counts: BTreeMap<i32, usize> = BTreeMap::new();
        for day in self.rows.iter().flatten().filter_map(Cell::date) {
            *counts.entry(day.year()).or_default() += 1;
        }
        let most = counts.into_iter().max_by_key(|(_, count)| *count);
        most.map(|(year, _)| year)
    }
}

/// Number of a text in a list, which gets it where it is new.
fn footnote(list: &mut Vec<String>, text: &str) -> String {
    if text.is_empty() {
        return String::new();
    }
    let place = list
        .iter()
        .position(|known| known == text)
        .unwrap_or_else(|| {
            list.push(text.to_owned());
            list.len() - 1
        });
    format!("[{}]", place + 1)
}

/// Writes the cells of one column.
struct Writer<'t> {
    column: &'t Column,
    shown: Shown,
    units: Units,
    decimals: usize,
    /// Column that names the unit of each figure, where they differ.
    unit_at: Option<usize>,
    /// Is it a column that names the units of another?
    names_units: bool,
    /// Year whose days are written without it.
    year: Option<i32>,
    any_year: bool,
    head: Head,
}

impl<'t> Writer<'t> {
    fn new(table: &'t DataTable, shown: Shown, units: Units) -> Self {
        let column = &table.columns[shown.index];
        // Money beside money has the same decimals.
        let is_money = column.unit == "currency";
        let alike: Vec<usize> = (0..table.columns.len())
            .filter(|at| *at == shown.index || is_money && table.columns[*at].unit == "currency")
            .collect();
        let rows = table.rows.iter().chain(&table.total);
        let values: Vec<f64> = rows
            .flat_map(|row| alike.iter().filter_map(|at| row.get(*at)?.number()))
            .collect();
        let beside = |column: &Column| column.unit.strip_prefix("see ").map(str::to_owned);
        let named = |name: String| table.columns.iter().position(|other| other.name == name);
        let is_named = |other| beside(other).is_some_and(|name| name == column.name);
        Writer {
            column,
            shown,
            units,
            decimals: decimals(column.unit, &values, units),
            unit_at: beside(column).and_then(named),
            names_units: table.columns.iter().any(is_named),
            year: table.usual_year(),
            any_year: table.any_year,
            head: Head {
                words: column.head.clone(),
                unit: unit_said(column.unit, units),
                number: column.kind != Kind::Text && column.name != "month",
                day: column.kind == Kind::Date,
            },
        }
    }

    fn say(&self, row: &[Cell]) -> String {
        let at = |offset: usize| row.get(self.shown.index + offset).unwrap_or(&Cell::Empty);
        let unit = self.unit_at.and_then(|at| row.get(at)?.text());
        if let (Cell::Number(value), Some(unit)) = (at(0), unit) {
            let decimals = decimals(&unit, &[*value], self.units);
            return fixed(self.units.convert(*value, &unit).0, decimals);
        }
        if !self.shown.spread {
            let said = self.cell(at(0));
            return match self.names_units {
                true => self.units.convert(0.0, &said).1.to_owned(),
                false => said,
            };
        }
        let [low, middle, high] = [at(0), at(1), at(2)].map(|cell| self.cell(cell));
        if low == high {
            middle
        } else {
            // A dash before a minus is hard to read.
            let to = if low.starts_with('-') || high.starts_with('-') {
                ".."
            } else {
                "-"
            };
            format!("{middle} ({low}{to}{high})")
        }
    }

    fn cell(&self, cell: &Cell) -> String {
        match cell {
            Cell::Empty => String::new(),
            Cell::Number(value) => fixed(
                converted(*value, self.column.unit, self.units),
                self.decimals,
            ),
            Cell::Count(month) if self.column.name == "month" => {
                month_head(u32::try_from(*month).unwrap_or(0)).to_owned()
            }
            Cell::Count(count) => count.to_string(),
            Cell::Text(text) => clean(text),
            Cell::Said(phrase) => clean(&self.units.say(phrase)),
            Cell::Date(day) if self.column.name == "month" => day.format("%b %Y").to_string(),
            Cell::Date(day) if self.any_year => short_date(*day),
            Cell::Date(day) => day_in(*day, self.year),
            Cell::Flag(true) => "yes".to_owned(),
            Cell::Flag(false) => "no".to_owned(),
        }
    }
}

fn converted(value: f64, unit: &str, units: Units) -> f64 {
    match unit {
        "share" => value * 100.0,
        "currency/kg" => units.price_per_mass(value),
        unit => units.convert(value, unit).0,
    }
}

/// Units that the words of a head or of the title say.
const UNSAID: &str = "kinds, plantings, days, fuel_unit, currency, money, months, years, seeds, plants, foods, designs, \
                      sowings, people, times, see unit, see fuel_unit, see margin_unit";

fn unit_said(unit: &'static str, units: Units) -> String {
    match unit {
        "share" => "%".to_owned(),
        "currency/kg" => format!("per {}", units.mass_unit()),
        "mol/m2/day" => "mol".to_owned(),
        "kWh/m2/day" => "kWh/m2".to_owned(),
        "deg" => String::new(),
        unit if UNSAID.split(", ").any(|unsaid| unsaid == unit) => String::new(),
        unit => units.convert(0.0, unit).1.to_owned(),
    }
}

/// Decimals with which a column is written: as many as a grower has use for.
fn decimals(unit: &str, values: &[f64], units: Units) -> usize {
    const LARGE: f64 = 100.0;
    let largest = values
        .iter()
        .fold(0.0_f64, |most, value| most.max(value.abs()));
    match (unit, units) {
        ("share" | "kWh" | "seeds" | "plants" | "designs" | "%" | "g/m2" | "days", _)
        | ("°C" | "m2", Units::Us) => 0,
        ("currency" | "money", _) if largest >= LARGE => 0,
        ("currency" | "money" | "currency/kg" | "kg/m2" | "kWh/m2/day" | "1/h" | "", _) => 2,
        ("kg" | "m2" | "°C" | "K" | "mol/m2/day" | "months" | "years" | "foods", _) => 1,
        _ if largest >= LARGE => 0,
        _ => 1,
    }
}
