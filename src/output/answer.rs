//! What a person asked, in a few lines: shared by the terminal's first screens and the first sheet of the report.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};

use super::tables::season::stay;
use super::tables::{DataTable, named};
use super::tasks::{Task, TaskKind, tasks};
use super::text::{
    clean, fixed, gathered, joined, kind, money_decimals, month_runs, percent, short_date, spoken,
};
use super::units::Units;
use super::view::{
    ClimateView, GapRow, PlanView, PlantingRow, ReportView, SeasonView, SecondPassView, ValueView,
    ValueYear, place,
};
use crate::calendar::MONTH_HEADS;
use crate::output::row::{Cell, Kind};
use crate::phrase::Phrase;

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
    let foreign = match view.value.foreign_prices.as_str() {
        "" => Vec::new(),
        country => vec![format!(
            "of {country}, turned into {}; yours go into `[money.prices]`.",
            clean(&view.value.currency)
        )],
    };
    let lines = vec![
        Line::new("Short", short_of_targets(&view.plan, units)),
        Line::new("To do", soon(&view.plan)),
        Line::new("Stay in", vec![warm_crops(&view.season)]),
        Line::new("Money", of_money(&view.value, units)),
        Line::new("Prices", foreign),
        Line::new("Risks", risks(&view.plan)),
        Line::new("Cold", vec![coldest(&view.climate, units)]),
    ];
    lines
        .into_iter()
        .filter(|line| !line.said.is_empty())
        .collect()
}

/// The year's money, then what stands beside it.
fn of_money(view: &ValueView, units: Units) -> Vec<String> {
    let beside = format!("{}{}", beyond(view, units), spare(view, units));
    let beside = beside.trim_start().to_owned();
    let said = [money(view, units), beside].into_iter();
    said.filter(|said| !said.is_empty()).collect()
}

/// What is eaten in each month in place of buying, and how far each target is met.
pub(super) fn eaten(view: &ReportView, units: Units) -> DataTable {
    let mut columns = vec![("what", "", Kind::Text)];
    columns.extend(MONTH_HEADS.map(|month| (month, month, Kind::Number)));
    let mass = |kg: f64| Cell::Text(fixed(units.mass(kg), 0));
    let months = &view.value.months;
    let mut rows = vec![
        named(
            format!("Eaten, {}", units.mass_unit()),
            months
                .iter()
                .map(|month| mass(month.eaten_kg + month.beyond_kg)),
        ),
        named(
            "in place of bought",
            months.iter().map(|month| mass(month.eaten_kg)),
        ),
    ];
    for target in view.plan.target_months() {
        let met = target.met.map(|share| match share {
            None => Cell::Text("-".to_owned()),
            Some(share) => Cell::Text(fixed(share * 100.0, 0)),
        });
        rows.push(named(format!("{}, %", target.food), met));
    }
    DataTable::plain("eaten", &columns, rows)
        .titled("On the table, month by month")
        .noted("Eaten: from the beds; below it what of that takes the place of bought food, and the share of each target that is met, in %; -: \
                 nothing asked for.")
}

/// What falls short of the targets, where there are any.
pub(super) fn short_of_targets(view: &PlanView, units: Units) -> Vec<String> {
    if view.target_months().is_empty() {
        return vec!["no targets are named (`want` in `[household]`).".to_owned()];
    }
    shortfalls(&view.gaps, units)
}

/// What falls short, food by food, the most missing first.
pub(super) fn shortfalls(gaps: &[GapRow], units: Units) -> Vec<String> {
    let by_food = gathered(gaps.iter().map(|gap| (gap.food.as_str(), gap)));
    let sums = by_food.into_iter().map(|(food, gaps)| {
        let kg: f64 = gaps.iter().map(|gap| gap.missing_kg).sum();
        (food, kg, gaps)
    });
    let mut foods: Vec<(&str, f64, Vec<&GapRow>)> = sums.collect();
    if foods.is_empty() {
        return vec!["nothing: no target falls short in any week.".to_owned()];
    }
    foods.sort_by(|a, b| b.1.total_cmp(&a.1));
    let more = foods.len().saturating_sub(SHORTFALLS_SHOWN);
    let mut said: Vec<String> = foods
        .iter()
        .take(SHORTFALLS_SHOWN)
        .map(|(food, kg, gaps)| {
            let kg = units.said(*kg, "kg", 1);
            let months = gaps.iter().flat_map(|gap| months_between(gap.from, gap.to));
            let when = match month_runs(&months.collect::<Vec<_>>()).as_str() {
                "all year" => "over the year".to_owned(),
                months => format!("in {months}"),
            };
            format!("{} {kg} {when}", clean(food))
        })
        .collect();
    if more > 0 {
        said.push(format!("{more} more (`plan --list gaps`)"));
    }
    let mut all = vec![format!("{}.", said.join("; "))];
    // Where changed houses were tried, the sowing and the house that gain most money of all that were: the sowing, whose whole cost is
    // known, first. What costs more than it brings is no advice.
    if gaps.iter().any(|gap| !gap.house.is_empty()) {
        let best = |way: fn(&GapRow) -> (Option<f64>, &Phrase), given: &str| {
            let ways = gaps.iter().map(|gap| (way(gap).0.unwrap_or_default(), gap));
            let paying = ways.filter(|(gains, _)| *gains > 0.0);
            let (_, gap) = paying.max_by(|a, b| a.0.total_cmp(&b.0))?;
            let months = month_runs(&months_between(gap.from, gap.to));
            let (food, way) = (clean(&gap.food), units.say(way(gap).1));
            Some(format!("{food}, {months}{given}: {way}."))
        };
        let sowing = best(|gap| (gap.remedy_gains, &gap.remedy), ", with bed to spare");
        let house = best(|gap| (gap.house_gains, &gap.house), "");
        if sowing.is_none() && house.is_none() {
            let none =
                "Nothing that was tried against it brings what it costs (`report` lists it).";
            all.push(none.to_owned());
        }
        all.extend(sowing.into_iter().chain(house));
    }
    all
}

/// Months (from 0) of a stretch, each week counted where it begins, as in the months of the targets.
fn months_between(from: NaiveDate, to: NaiveDate) -> Vec<usize> {
    use chrono::Datelike;
    let weeks = from.iter_weeks().take_while(|day| *day <= to);
    weeks.map(|day| day.month0() as usize).collect()
}

/// What to sow, plant and set out in the next weeks.
pub(super) fn soon(view: &PlanView) -> Vec<String> {
    let end = view
        .start
        .checked_add_days(Days::new(SOON_DAYS))
        .unwrap_or(view.start);
    let starts = |task: &Task| task.kind.begins() || task.kind == TaskKind::SetOut;
    let all: Vec<Task> = tasks(view).into_iter().filter(starts).collect();
    let now: Vec<&Task> = all.iter().filter(|task| task.row.date < end).collect();
    if now.is_empty() {
        return vec![match all.first() {
            Some(next) => format!(
                "nothing in the next four weeks; then {} {}.",
                short_date(next.row.date),
                clean(&format!("{} ({})", next.work(), next.row.place()))
            ),
            None => "nothing to sow.".to_owned(),
        }];
    }
    let days: Vec<String> = now
        .chunk_by(|a, b| a.row.date == b.row.date)
        .map(|day| {
            // The same work in several places is said once.
            let whats = gathered(day.iter().map(|task| (task.work(), task.row.place())));
            let said = joined(whats, "; ", |(work, places)| {
                format!("{work} ({})", places.join("; "))
            });
            format!("{}: {}.", short_date(day[0].row.date), clean(&said))
        })
        .collect();
    let more = days.len().saturating_sub(DAYS_SHOWN);
    let mut shown: Vec<String> = days.into_iter().take(DAYS_SHOWN).collect();
    if more > 0 {
        shown.push(format!("and on {more} more days by {}.", short_date(end)));
    }
    shown
}

/// How long warm crops can stay planted; kinds that stay alike are said together.
pub(super) fn warm_crops(view: &SeasonView) -> String {
    let mut said = BTreeSet::new();
    let stays = view.warm_crops().map(|crop| match stay(crop.stay.as_is) {
        none if none.is_empty() => ("never".to_owned(), kind(&crop.name)),
        time => (time, kind(&crop.name)),
    });
    let stays = gathered(stays.filter(|stay| said.insert(stay.clone())));
    if stays.is_empty() {
        return "no warm crop was asked for.".to_owned();
    }
    let said = joined(stays, "; ", |(time, names)| {
        format!("{} {time}", names.join(", "))
    });
    format!("{said}.")
}

/// A year's money as it is said: what is left is what is shown as saved less what is shown as spent.
pub(crate) struct Account {
    /// What the food not bought would have cost in the middle year.
    pub saved: f64,
    pub spent: f64,
    pub left: f64,
    decimals: usize,
}

impl Account {
    pub(crate) fn of(year: &ValueYear) -> Self {
        let decimals = money_decimals(&[year.middle(), year.cost]);
        let shown = |amount: f64| fixed(amount, decimals).parse().unwrap_or(amount);
        let (saved, spent): (f64, f64) = (shown(year.middle()), shown(year.cost));
        Self {
            saved,
            spent,
            left: saved - spent,
            decimals,
        }
    }

    pub(crate) fn said(&self, amount: f64) -> String {
        fixed(amount, self.decimals)
    }

    /// What is left; what is spent for nothing is said as such, not as less than nothing left.
    fn left(&self) -> String {
        if self.left < 0.0 {
            format!("{} more than is saved", self.said(-self.left))
        } else {
            format!("{} left", self.said(self.left))
        }
    }
}

/// The first year from empty beds, in a sentence; empty where the year does not repeat or is as good as later ones.
pub(crate) fn first_year(view: &ValueView) -> String {
    let settled = Account::of(&view.year);
    let Some(first) = &view.first_year else {
        return String::new();
    };
    let account = Account::of(first);
    if (account.saved, account.spent) == (settled.saved, settled.spent) {
        return String::new();
    }
    let before = view
        .first_year_picked_from
        .map_or_else(String::new, |day| format!(" before {}", short_date(day)));
    format!(
        " The first year, from empty beds, picks nothing{before}: {} not bought, {} spent, {}.",
        account.said(account.saved),
        account.said(account.spent),
        account.left()
    )
}

/// Saved, spent, left, share, in later years and in the first.
pub(super) fn money(view: &ValueView, units: Units) -> String {
    let year = &view.year;
    let account = Account::of(year);
    let currency = clean(&view.currency);
    let range = year.net_range.map_or_else(String::new, |net| {
        let (low, high) = if account.left < 0.0 {
            (-net.p90, -net.p10)
        } else {
            (net.p10, net.p90)
        };
        format!(
            " ({} to {} in eight years of ten)",
            account.said(low),
            account.said(high)
        )
    });
    let share = view.share_of_produce.map_or_else(
        || ", ".to_owned(),
        |share| format!(", {} of the fresh produce you buy; ", percent(share, 0)),
    );
    let in_middle = year.value_range.map_or("", |_| " in the middle year");
    format!(
        "{} {currency} of food not bought{in_middle}{share}{} spent, {}{range}{}.{}",
        account.said(account.saved),
        account.said(account.spent),
        account.left(),
        view.not_counted(units),
        first_year(view)
    )
}

/// What is eaten beyond what would have been bought, as a sentence that follows; empty where nothing is.
pub(super) fn beyond(view: &ValueView, units: Units) -> String {
    let year = &view.year;
    if year.beyond_kg <= 0.0 {
        return String::new();
    }
    format!(
        " Eaten beyond that, not counted: {} for {} {} in shops.",
        units.said(year.beyond_kg, "kg", 0),
        Account::of(year).said(year.beyond),
        clean(&view.currency)
    )
}

/// What the plan on its own leaves is against the one before.
pub(super) fn own_leaves(pass: &SecondPassView, currency: &str, units: Units) -> String {
    let decimals = money_decimals(&pass.worth);
    let [before_c, cold_c] = pass.air_min_c;
    let cold_before = fixed(units.temperature(before_c), 1);
    let cold = units.said(cold_c, "°C", 1);
    let [worth_before, worth] = pass.worth.map(|worth| fixed(worth, decimals));
    format!(
        "With the leaves of the first plan in place of the file's the coldest hour is {cold} (was {cold_before}), and the plan \
         made on that climate, shown here, is worth {worth} {} (was {worth_before}).",
        clean(currency),
    )
}

/// What nobody can eat; empty where that is nothing.
fn spare(view: &ValueView, units: Units) -> String {
    let kg = view.year.surplus_kg;
    if units.mass(kg) < 0.5 {
        return String::new();
    }
    format!(" {} are more than you can eat.", units.said(kg, "kg", 0))
}

/// Plantings most likely to fail.
pub(super) fn risks(view: &PlanView) -> Vec<String> {
    let line = |risk: &super::view::RiskRow| {
        let is = |row: &&PlantingRow| {
            (&row.crop_name, &row.bed, row.sow) == (&risk.crop_name, &risk.bed, risk.sow)
        };
        let row = view.plantings.iter().map(|planting| &planting.row).find(is);
        let (begun, day) = row.map_or(("sown", risk.sow), PlantingRow::begun);
        clean(&format!(
            "{}, {}, {begun} {}: fails in {}",
            spoken(&risk.crop_name),
            place(&risk.bed, &risk.sections),
            short_date(day),
            percent(risk.lost, 0)
        ))
    };
    let said: Vec<String> = view.risks.iter().take(RISKS_SHOWN).map(line).collect();
    if said.is_empty() {
        return vec!["no planting fails in any weather year.".to_owned()];
    }
    said
}

/// The coldest night, and what holds it.
pub(super) fn coldest(view: &ClimateView, units: Units) -> String {
    let degrees = |celsius: f64| units.said(celsius, "°C", usize::from(units == Units::Si));
    let night = match view.air_once_in_ten_c() {
        Some(celsius) => format!("{} in one winter of ten", degrees(celsius)),
        None => format!("{} inside", degrees(view.coldest_air_c)),
    };
    let heat = view.heater_kwh_mean_year.unwrap_or(view.heater_kwh_year);
    let mean = view.heater_kwh_mean_year.map_or("", |_| " (mean)");
    /// Less heat than this in a year is none, kWh (own choice).
    const SOME_KWH: f64 = 0.5;
    if heat > SOME_KWH {
        format!("{night}; heater {} kWh a year{mean}.", fixed(heat, 0))
    } else {
        format!("{night}; no heater runs.")
    }
}

/// What the heater does to the cold, in words; empty where there is none.
pub(super) fn heater_words(view: &ClimateView, units: Units) -> String {
    let Some(heater) = &view.heater else {
        return String::new();
    };
    let degrees = |celsius: f64| units.said(celsius, "°C", 1);
    let [low, high] = heater.set_point_c;
    let set = if low == high {
        degrees(low)
    } else {
        format!("{} to {}", degrees(low), degrees(high))
    };
    let capacity = heater.capacity_w.map_or_else(String::new, |watts| {
        let decimals = usize::from(units == Units::Si);
        format!(", {}", units.said(watts / 1000.0, "kW", decimals))
    });
    let rarest = heater.cold_hours_without.iter().rev();
    let mut without = rarest.filter_map(|row| row.coldest_c.zip(Some(row.once_in_years)));
    let without = without.next().map_or_else(String::new, |(cold, years)| {
        let cold = degrees(cold);
        format!("; without it the coldest hour is {cold} in one year of {years}")
    });
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
