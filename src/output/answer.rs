//! What a person asked, in a few lines: shared by the terminal's first screens and the first sheet of the report.

use chrono::{Days, NaiveDate};

use super::season_words::stay;
use super::tables::DataTable;
use super::tasks::{Task, TaskKind, tasks};
use super::text::{clean, fixed, kind, money_decimals, month_runs, percent, short_date, spoken};
use super::units::Units;
use super::view::{ClimateView, GapRow, PlanView, ReportView, SeasonView, ValueView, place};
use crate::calendar::MONTH_HEADS;
use crate::output::row::{Cell, Kind};

/// One matter and what there is to say of it.
pub(super) struct Line {
    /// What it is about.
    pub about: &'static str,
    /// What is said, each a line of its own.
    pub said: Vec<String>,
}

impl Line {
    pub(super) fn new(about: &'static str, said: Vec<String>) -> Self {
        Line { about, said }
    }
}

/// Days that count as the next weeks.
const SOON_DAYS: u64 = 28;
/// Sowing days, crops and risks that are named at most.
const DAYS_SHOWN: usize = 4;
const RISKS_SHOWN: usize = 3;
const SHORTFALLS_SHOWN: usize = 3;

/// The answers of a whole project, the most asked for first.
pub(super) fn lines(view: &ReportView, units: Units) -> Vec<Line> {
    vec![
        Line::new("Short", shortfalls(&view.plan.gaps, units)),
        Line::new("To do", soon(&view.plan)),
        Line::new("Stay in", vec![warm_crops(&view.season)]),
        Line::new(
            "Money",
            vec![format!(
                "{}{}",
                money(&view.value, units),
                spare(&view.value, units)
            )],
        ),
        Line::new("Risks", risks(&view.plan)),
        Line::new("Cold", vec![coldest(&view.climate, units)]),
    ]
}

/// What is eaten in each month in place of buying, and how far each target is met.
pub(super) fn eaten(view: &ReportView, units: Units) -> DataTable {
    let mut columns = vec![("what", "", Kind::Text)];
    columns.extend(MONTH_HEADS.map(|month| (month, month, Kind::Number)));
    let mass = |kg: f64| Cell::Text(fixed(units.mass(kg), 0));
    let months = &view.value.months;
    let mut rows = vec![
        row(
            format!("Eaten, {}", units.mass_unit()),
            months
                .iter()
                .map(|month| mass(month.eaten_kg + month.beyond_kg)),
        ),
        row(
            "in place of bought".to_owned(),
            months.iter().map(|month| mass(month.eaten_kg)),
        ),
    ];
    for target in view.plan.target_months() {
        let met = target.met.map(|share| match share {
            None => Cell::Text("-".to_owned()),
            Some(share) => Cell::Text(fixed(share * 100.0, 0)),
        });
        rows.push(row(format!("{}, %", target.food), met));
    }
    DataTable::plain("eaten", &columns, rows)
        .titled("On the table, month by month")
        .noted("Eaten: from the beds; below it what of that takes the place of bought food, and the share of each target that is met, in %; -: \
                 nothing asked for.")
}

fn row(name: String, cells: impl IntoIterator<Item = Cell>) -> Vec<Cell> {
    std::iter::once(Cell::Text(name)).chain(cells).collect()
}

/// What falls short, food by food, the most missing first.
pub(super) fn shortfalls(gaps: &[GapRow], units: Units) -> Vec<String> {
    let mut foods: Vec<(&str, f64, Vec<usize>)> = Vec::new();
    for gap in gaps {
        let at = foods.iter().position(|(food, _, _)| *food == gap.food);
        let at = at.unwrap_or_else(|| {
            foods.push((&gap.food, 0.0, Vec::new()));
            foods.len() - 1
        });
        foods[at].1 += gap.missing_kg;
        foods[at].2.extend(months_between(gap.from, gap.to));
    }
    if foods.is_empty() {
        return vec!["nothing: every target is met in every week.".to_owned()];
    }
    foods.sort_by(|a, b| b.1.total_cmp(&a.1));
    let more = foods.len().saturating_sub(SHORTFALLS_SHOWN);
    let mut said: Vec<String> = foods
        .iter()
        .take(SHORTFALLS_SHOWN)
        .map(|(food, kg, months)| {
            let kg = fixed(units.mass(*kg), 1);
            let when = match month_runs(months).as_str() {
                "all year" => "over the year".to_owned(),
                months => format!("in {months}"),
            };
            format!("{} {kg} {} {when}", clean(food), units.mass_unit())
        })
        .collect();
    if more > 0 {
        said.push(format!("{more} more (`plan --list gaps`)"));
    }
    let mut all = vec![format!("{}.", said.join("; "))];
    let looked_into = gaps.iter().filter(|gap| !gap.house.is_empty());
    if let Some(largest) = looked_into.max_by(|a, b| a.missing_kg.total_cmp(&b.missing_kg)) {
        let house = units.say(&largest.house);
        let months = month_runs(&months_between(largest.from, largest.to));
        all.push(format!("{}, {months}: {house}.", clean(&largest.food)));
    }
    all
}

/// Months (from 0) that a stretch touches.
fn months_between(from: NaiveDate, to: NaiveDate) -> Vec<usize> {
    use chrono::Datelike;
    let weeks = from.iter_weeks().take_while(|day| *day <= to);
    weeks.chain([to]).map(|day| day.month0() as usize).collect()
}

/// What to sow, plant and set out in the next weeks.
pub(super) fn soon(view: &PlanView) -> Vec<String> {
    let end = view
        .start
        .checked_add_days(Days::new(SOON_DAYS))
        .unwrap_or(view.start);
    let starts = |task: &Task| {
        matches!(
            task.kind,
            TaskKind::SowTray
                | TaskKind::SowBed
                | TaskKind::Plant
                | TaskKind::SetOut
                | TaskKind::Order
        )
    };
    let all: Vec<Task> = tasks(view).into_iter().filter(starts).collect();
    let now: Vec<&Task> = all.iter().filter(|task| task.row.date < end).collect();
    if now.is_empty() {
        let next = all.first().map(said_task);
        return vec![match next {
            Some(next) => format!("nothing in the next four weeks; then {next}."),
            None => "nothing to sow.".to_owned(),
        }];
    }
    let days: Vec<String> = now
        .chunk_by(|a, b| a.row.date == b.row.date)
        .map(|day| {
            // The same work in several places is said once.
            let mut whats: Vec<(String, Vec<String>)> = Vec::new();
            for task in day {
                let (work, place) = (work_of(task), task.row.place());
                match whats.iter_mut().find(|(known, _)| *known == work) {
                    Some((_, places)) => places.push(place),
                    None => whats.push((work, vec![place])),
                }
            }
            let said = whats
                .iter()
                .map(|(work, places)| format!("{work} ({})", places.join("; ")));
            let said: Vec<String> = said.collect();
            format!(
                "{}: {}.",
                short_date(day[0].row.date),
                clean(&said.join("; "))
            )
        })
        .collect();
    let more = days.len().saturating_sub(DAYS_SHOWN);
    let mut shown: Vec<String> = days.into_iter().take(DAYS_SHOWN).collect();
    if more > 0 {
        shown.push(format!("and on {more} more days by {}.", short_date(end)));
    }
    shown
}

fn said_task(task: &Task) -> String {
    format!("{} {}", short_date(task.row.date), said_work(task))
}

/// Such as `sow broccoli in trays (north 2, section 1)`.
fn said_work(task: &Task) -> String {
    clean(&format!("{} ({})", work_of(task), task.row.place()))
}

/// Such as `sow broccoli in trays`.
fn work_of(task: &Task) -> String {
    let row = &task.row;
    let crop = spoken(&row.crop_name);
    match task.kind {
        TaskKind::SowTray => format!("sow {crop} in trays"),
        TaskKind::Plant => format!("plant {}", row.unit_of(&crop)),
        TaskKind::Order => format!("order {crop} plants"),
        _ => format!("{} {crop}", row.task.trim_end_matches(" in bed")),
    }
}

/// How long warm crops can stay planted; kinds that stay alike are said together.
pub(super) fn warm_crops(view: &SeasonView) -> String {
    let mut stays: Vec<(String, Vec<String>)> = Vec::new();
    for crop in view.warm_crops() {
        let time = match stay(crop.stay.as_is) {
            none if none.is_empty() => "never".to_owned(),
            time => time,
        };
        let name = kind(&crop.name);
        match stays.iter_mut().find(|(same, _)| *same == time) {
            Some((_, names)) if names.contains(&name) => {}
            Some((_, names)) => names.push(name),
            None => stays.push((time, vec![name])),
        }
    }
    if stays.is_empty() {
        return "no warm crop was asked for.".to_owned();
    }
    let said: Vec<String> = stays
        .into_iter()
        .map(|(time, names)| format!("{} {time}", names.join(", ")))
        .collect();
    format!("{}.", said.join("; "))
}

/// Saved, spent, left, share.
pub(super) fn money(view: &ValueView, units: Units) -> String {
    let year = &view.year;
    let decimals = money_decimals(&[year.value, year.cost]);
    let amount = |value: f64| fixed(value, decimals);
    let mass = |kg: f64| format!("{} {}", fixed(units.mass(kg), 0), units.mass_unit());
    let currency = clean(&view.currency);
    // Spent for nothing is said as such, not as less than nothing left.
    let is_loss = year.net < 0.0;
    let range = year.net_range.map_or_else(String::new, |net| {
        let (low, high) = if is_loss {
            (-net.p90, -net.p10)
        } else {
            (net.p10, net.p90)
        };
        format!(
            " ({} to {} in eight years of ten)",
            amount(low),
            amount(high)
        )
    });
    let left = if is_loss {
        let at_least = if view.at_most().is_empty() {
            ""
        } else {
            "at least "
        };
        format!("{at_least}{} more than is saved", amount(-year.net))
    } else {
        format!("{}{} left", view.at_most(), amount(year.net))
    };
    let share = view.share_of_produce.map_or_else(
        || ", ".to_owned(),
        |share| format!(", {} of the fresh produce you buy; ", percent(share, 0)),
    );
    let beyond = if year.beyond_kg > 0.0 {
        format!(
            " Eaten beyond that, not counted: {} for {} {currency} in shops.",
            mass(year.beyond_kg),
            amount(year.beyond)
        )
    } else {
        String::new()
    };
    // The plan's headline is the middle year; months add up to the mean.
    let on_average = if year.value_range.is_some() {
        " on average"
    } else {
        ""
    };
    format!(
        "{} {currency} of food not bought{on_average}{share}{} spent, {left}{range}{}.{beyond}",
        amount(year.value),
        amount(year.cost),
        view.without(units)
    )
}

/// What nobody can eat; empty where that is nothing.
fn spare(view: &ValueView, units: Units) -> String {
    match units.mass(view.year.surplus_kg) {
        none if none < 0.5 => String::new(),
        mass => format!(
            " {} {} are more than you can eat.",
            fixed(mass, 0),
            units.mass_unit()
        ),
    }
}

/// Plantings most likely to fail.
pub(super) fn risks(view: &PlanView) -> Vec<String> {
    let line = |risk: &super::view::RiskRow| {
        clean(&format!(
            "{}, {}, sown {}: fails in {}",
            spoken(&risk.crop_name),
            place(&risk.bed, &risk.sections),
            short_date(risk.sow),
            percent(risk.lost, 0)
        ))
    };
    let said: Vec<String> = view.risks.iter().take(RISKS_SHOWN).map(line).collect();
    if said.is_empty() {
        return vec!["no planting fails in any simulated year.".to_owned()];
    }
    said
}

/// The coldest night, and what holds it.
pub(super) fn coldest(view: &ClimateView, units: Units) -> String {
    let degrees = |celsius: f64| {
        let decimals = if units == Units::Si { 1 } else { 0 };
        format!(
            "{} {}",
            fixed(units.temperature(celsius), decimals),
            units.temperature_unit()
        )
    };
    let night = match view.air_once_in_ten_c() {
        Some(celsius) => format!("{} in one winter of ten", degrees(celsius)),
        None => format!("{} inside", degrees(view.coldest_air_c)),
    };
    let heat = view.heater_kwh_mean_year.unwrap_or(view.heater_kwh_year);
    /// Less heat than this in a year is none, kWh (own choice).
    const SOME_KWH: f64 = 0.5;
    if heat > SOME_KWH {
        format!(
            "{night}, with {} kWh a year from the heater.",
            fixed(heat, 0)
        )
    } else {
        format!("{night}; no heater runs.")
    }
}

/// What the heater does to the cold, in words; empty where there is none.
pub(super) fn heater_words(view: &ClimateView, units: Units) -> String {
    let Some(heater) = &view.heater else {
        return String::new();
    };
    let degrees = |celsius: f64| {
        let value = fixed(units.temperature(celsius), 1);
        format!("{value} {}", units.temperature_unit())
    };
    let [low, high] = heater.set_point_c;
    let set = if low == high {
        degrees(low)
    } else {
        format!("{} to {}", degrees(low), degrees(high))
    };
    let capacity = heater.capacity_w.map_or_else(String::new, |watts| {
        let (power, unit) = units.convert(watts / 1000.0, "kW");
        let decimals = if units == Units::Si { 1 } else { 0 };
        format!(", {} {unit}", fixed(power, decimals))
    });
    let rarest = heater.cold_hours_without.iter().rev();
    let without = rarest.filter_map(|row| row.coldest_c.zip(Some(row.once_in_years)));
    let without = without.take(1).map(|(cold, years)| {
        let cold = degrees(cold);
        format!("; without it the coldest hour is {cold} in one year of {years}")
    });
    let without: String = without.collect();
    let held = match heater.cannot_hold_h {
        hours if hours.p90 < 0.5 => "holds its set point in nine years of ten".to_owned(),
        hours => format!(
            "falls short for {} hours of the middle year, {} in one year of ten",
            fixed(hours.p50, 0),
            fixed(hours.p90, 0)
        ),
    };
    format!("The heater ({set}{capacity}) {held}{without}.")
}
