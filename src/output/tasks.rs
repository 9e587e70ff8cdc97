//! From the plan to the work: what to do on which day, and which seed to order.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate, Weekday};

use super::row::{Cell, Kind, row};
use super::tables::DataTable;
use super::text::{fixed, spoken};
use super::units::Units;
use super::view::{PlanView, PlantingRow, PlantingView, SeedRow, WeekPick, place};
use crate::plan::assess::to_grams;
use crate::words::{Word, worded};

/// Days between two pickings where the plan gives only the first and the last (common practice, no source).
const DAYS_BETWEEN_PICKINGS: u64 = 7;

/// Way of a planting that stood in its bed before the plan began: it is not sown again.
pub(super) const STANDING: &str = "standing";

worded! {
    /// What is done, in the words that people read.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum TaskKind {
        /// Sow in a tray.
        "sow in tray" => SowTray,
        /// Sow in the bed.
        "sow in bed" => SowBed,
        /// Plant tubers or cloves.
        "plant" => Plant,
        /// Buy young plants.
        "buy plants" => Buy,
        /// Set out young plants.
        "set out" => SetOut,
        /// Lay the cover.
        "cover on" => CoverOn,
        /// Take the cover off.
        "cover off" => CoverOff,
        /// First picking.
        "first harvest" => FirstPick,
        /// Pick again.
        "harvest" => Pick,
        /// Clear the bed.
        "clear" => Clear,
    }
}

impl TaskKind {
    /// Does a planting begin with it?
    pub fn begins(self) -> bool {
        matches!(
            self,
            TaskKind::SowTray | TaskKind::SowBed | TaskKind::Plant | TaskKind::Buy
        )
    }

    /// It with its crop, such as `sow broccoli in trays`.
    pub(super) fn of(self, crop: &str) -> String {
        match self {
            TaskKind::SowTray => format!("sow {crop} in trays"),
            TaskKind::Buy => format!("buy {crop} plants"),
            kind => format!("{} {crop}", kind.word().trim_end_matches(" in bed")),
        }
    }
}

/// One thing to do on one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// The row that every format shows.
    pub row: TaskRow,
    /// What is done.
    pub kind: TaskKind,
    /// Names the planting and its task: bed, first section, crop, day of sowing, kind, and number of the picking.
    pub key: String,
    /// True for a picking.
    pub picking: bool,
}

row! {
    /// One thing to do on one day, as CSV has it.
    pub struct TaskRow of (row: &PlantingRow, count: usize, kind: TaskKind, date: NaiveDate) {
        let (amount, unit) = match kind {
            TaskKind::SowTray | TaskKind::SowBed => (row.seeds.map(f64::ceil), "seeds"),
            TaskKind::Buy => (row.plants.map(f64::ceil), "plants"),
            TaskKind::Plant => (row.seeds.map(f64::ceil), row.planted_as.as_str()),
            TaskKind::SetOut => (row.plants.map(f64::round), "plants"),
            _ => (None, ""),
        };
        /// The day.
        date: NaiveDate, "" => date;
        /// Name of the bed.
        bed: String, "" => row.bed.clone();
        /// Numbers of the bed's sections, from 1; empty where it has one.
        sections: String, "" => row.sections.clone();
        /// Identifier of the crop.
        crop: String, "" => row.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => row.crop_name.clone();
        /// What to do.
        task: String, "" => kind.word().to_owned();
        /// How much; empty where the plan does not say.
        amount: Option<f64>, "see unit" => amount;
        /// Unit of the amount.
        unit: String, "" => amount.map_or_else(String::new, |_| unit.to_owned());
        /// Bed area of the planting.
        area_m2: f64, "m2" => row.area_m2;
        /// Of a sowing or planting, the share of the weather years in which it comes through, all losses counted; empty for
        /// other work.
        in_all: Option<f64>, "share", "Comes through" => kind.begins().then_some(row.in_all);
        /// What else to know.
        note: String, "" => match count {
            1 => String::new(),
            _ => format!("planting {count}, {} {}", row.begun().0, row.begun().1),
        };
    }
}

impl Task {
    /// Such as `sow broccoli in trays`.
    pub(super) fn work(&self) -> String {
        self.work_of(&spoken(&self.row.crop_name))
    }

    /// The same with other words for the crop.
    pub(super) fn work_of(&self, crop: &str) -> String {
        match self.kind {
            TaskKind::Plant => self.kind.of(&self.row.unit_of(crop)),
            kind => kind.of(crop),
        }
    }

    /// True where a section that this task clears is planted by the other in the same week.
    pub(super) fn makes_room_for(&self, other: &Task) -> bool {
        let mine: Vec<&str> = self.row.sections.split(", ").collect();
        self.kind == TaskKind::Clear
            && matches!(
                other.kind,
                TaskKind::SowBed | TaskKind::Plant | TaskKind::SetOut
            )
            && self.row.bed == other.row.bed
            && self.row.date.iso_week() == other.row.date.iso_week()
            && other
                .row
                .sections
                .split(", ")
                .any(|section| mine.contains(&section))
    }
}

/// The work for a spreadsheet: crops by the names that people read, amounts in the units asked for, with the digits that a grower
/// has use for.
pub fn sheet(plan: &PlanView, units: Units) -> DataTable {
    let area = units.convert(0.0, "m2").1;
    let names =
        format!("date bed sections crop task amount unit area_{area} comes_through_pct note");
    let columns: Vec<_> = names
        .split(' ')
        .map(|name| (name, "", Kind::Text))
        .collect();
    let number = |value, decimals| {
        let rounded = fixed(value, decimals).parse();
        rounded.map_or(Cell::Empty, Cell::Number)
    };
    let row = |task: Task| {
        let row = task.row;
        let (amount, unit) = units.convert(row.amount.unwrap_or(f64::NAN), &row.unit);
        vec![
            Cell::Date(row.date),
            Cell::Text(row.bed),
            Cell::Text(row.sections),
            Cell::Text(row.crop_name),
            Cell::Text(row.task),
            number(amount, 2),
            Cell::Text(unit.to_owned()),
            number(units.convert(row.area_m2, "m2").0, 1),
            row.in_all
                .map_or(Cell::Empty, |share| number(100.0 * share, 0)),
            Cell::Text(row.note),
        ]
    };
    let rows = tasks(plan).into_iter().map(row).collect();
    DataTable::plain("tasks", &columns, rows)
}

impl TaskRow {
    /// What is planted: `seed potatoes`, `garlic cloves`; else the crop.
    pub(super) fn unit_of(&self, crop: &str) -> String {
        match self.unit.as_str() {
            "" | "seeds" | "plants" => crop.to_owned(),
            unit if unit.contains(crop) => unit.to_owned(),
            unit => format!("{crop} {unit}"),
        }
    }

    /// Where it is done, such as `north 2, section 1`.
    pub fn place(&self) -> String {
        place(&self.bed, &self.sections)
    }

    /// Amount and area for people, such as `60 seeds, 2.4 m2`.
    pub fn amount_words(&self, units: Units) -> String {
        let area = units.said(self.area_m2, "m2", 1);
        match self.amount {
            Some(kg) if self.unit == "kg" => units.said(kg, "kg", 1),
            Some(1.0) => format!("1 {}, {area}", self.unit.trim_end_matches('s')),
            Some(count) => format!("{} {}, {area}", fixed(count, 0), self.unit),
            None => area,
        }
    }
}

/// All tasks of a plan on the days on which the person works, by day, then bed, crop and kind; none twice, none lost.
pub fn tasks(plan: &PlanView) -> Vec<Task> {
    let mut order: Vec<&PlantingView> = plan.plantings.iter().collect();
    order.sort_by_key(|planting| (planting.row.sow, planting.row.transplant));
    let mut counts: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let mut all = Vec::new();
    for planting in order {
        let count = counts
            .entry((&planting.row.bed, &planting.row.crop))
            .or_default();
        *count += 1;
        all.extend(tasks_of(planting, *count));
    }
    for task in &mut all {
        task.row.date = work_day(task.row.date, &plan.work_days);
    }
    // What stood in its tray when the plan began was sown before.
    all.retain(|task| plan.repeats || task.row.date >= plan.start);
    all.sort_by(|a, b| {
        let days = a.row.date.cmp(&b.row.date);
        days.then_with(|| a.row.bed.cmp(&b.row.bed))
            // A section is cleared before it is planted.
            .then_with(|| (a.kind != TaskKind::Clear).cmp(&(b.kind != TaskKind::Clear)))
            .then_with(|| a.kind.cmp(&b.kind))
            .then_with(|| a.key.cmp(&b.key))
    });
    all
}

/// The next day of the week on which the person works, that day itself included.
fn work_day(date: NaiveDate, days: &[Weekday]) -> NaiveDate {
    let mut week = date.iter_days().take(DAYS_BETWEEN_PICKINGS as usize);
    week.find(|day| days.contains(&day.weekday()))
        .unwrap_or(date)
}

/// Days on which row cover is wanted without a break, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CoverSpan {
    /// First day.
    pub from: NaiveDate,
    /// Last day.
    pub to: NaiveDate,
    /// Beds, each once, in the order of the plan.
    pub beds: Vec<String>,
}

/// When row cover lies, all beds together.
pub fn cover_spans(plan: &PlanView) -> Vec<CoverSpan> {
    let rows = plan.plantings.iter().map(|planting| &planting.row);
    let mut covered: Vec<(NaiveDate, NaiveDate, &str)> = rows
        .filter_map(|row| Some((row.cover_on?, row.cover_off?, row.bed.as_str())))
        .collect();
    covered.sort();
    let mut spans: Vec<CoverSpan> = Vec::new();
    for (from, to, bed) in covered {
        match spans.last_mut().filter(|span| from <= span.to) {
            Some(span) => {
                span.to = span.to.max(to);
                if !span.beds.iter().any(|known| known == bed) {
                    span.beds.push(bed.to_owned());
                }
            }
            None => spans.push(CoverSpan {
                from,
                to,
                beds: vec![bed.to_owned()],
            }),
        }
    }
    spans
}

/// Tasks of the `count`-th planting of its crop in its bed.
fn tasks_of(planting: &PlantingView, count: usize) -> Vec<Task> {
    let row = &planting.row;
    let from_tray = row.transplant.is_some() || row.way == "tray";
    let sow = match row.planted_as.as_str() {
        "seeds" if from_tray => TaskKind::SowTray,
        "seeds" => TaskKind::SowBed,
        _ if from_tray => TaskKind::Buy,
        _ => TaskKind::Plant,
    };
    let mut tasks = Vec::new();
    if row.way != STANDING {
        tasks.push(task(row, count, sow, row.sow));
    }
    let once = [
        (TaskKind::SetOut, row.transplant),
        (TaskKind::CoverOn, row.cover_on),
        (TaskKind::CoverOff, row.cover_off),
        (TaskKind::Clear, row.clear),
    ];
    tasks.extend(
        once.into_iter()
            .filter_map(|(kind, date)| date.map(|date| task(row, count, kind, date))),
    );
    tasks.extend(pickings(planting, count));
    tasks
}

/// A task that a planting has once.
fn task(row: &PlantingRow, count: usize, kind: TaskKind, date: NaiveDate) -> Task {
    Task {
        row: TaskRow::of(row, count, kind, date),
        kind,
        key: key(row, kind, 0),
        picking: false,
    }
}

/// The pickings of a planting: week by week as planned, or every seven days where only the ends are known.
fn pickings(planting: &PlantingView, count: usize) -> Vec<Task> {
    let row = &planting.row;
    let picked = |pick: &&WeekPick| pick.kg > 0.0;
    let mut days: Vec<(NaiveDate, Option<f64>)> = planting
        .picks
        .iter()
        .filter(picked)
        .map(|pick| (pick.start, Some(pick.kg)))
        .collect();
    gather_ends(&mut days, row);
    join_small(&mut days);
    match (days.first_mut(), row.first_harvest) {
        // The plan counts in weeks; within the first of them the day of the median year says when to look.
        (Some(first), Some(date)) if (date - first.0).num_days() < DAYS_BETWEEN_PICKINGS as i64 => {
            first.0 = first.0.max(date);
        }
        (None, Some(from)) => {
            let last = row.last_harvest.unwrap_or(from);
            days = std::iter::successors(Some(from), |day| {
                day.checked_add_days(Days::new(DAYS_BETWEEN_PICKINGS))
            })
            .take_while(|day| *day <= last)
            .map(|day| (day, None))
            .collect();
        }
        _ => {}
    }
    let last = days.len();
    days.into_iter()
        .zip(1..)
        .map(|((date, kg), number)| {
            let kind = if number == 1 {
                TaskKind::FirstPick
            } else {
                TaskKind::Pick
            };
            let mut pick = task(row, count, kind, date);
            pick.row.amount = kg.map(to_grams);
            pick.row.unit = kg.map_or_else(String::new, |_| "kg".to_owned());
            if number == last {
                pick.row.note = "last picking".to_string();
            }
            pick.key = key(row, kind, number);
            pick.picking = true;
            pick
        })
        .collect()
}

/// What early and late years alone pick goes to the first and the last week in which the median year picks.
fn gather_ends(days: &mut Vec<(NaiveDate, Option<f64>)>, row: &PlantingRow) {
    let (Some(first), Some(last)) = (row.first_harvest, row.last_harvest) else {
        return;
    };
    let ends_before = |start: NaiveDate| (first - start).num_days() >= DAYS_BETWEEN_PICKINGS as i64;
    let middle = |&(start, _): &(NaiveDate, Option<f64>)| !ends_before(start) && start <= last;
    let (Some(from), Some(to)) = (days.iter().position(middle), days.iter().rposition(middle))
    else {
        return;
    };
    let sum = |run: &[(NaiveDate, Option<f64>)]| run.iter().filter_map(|(_, kg)| *kg).sum::<f64>();
    let (early, late) = (sum(&days[..from]), sum(&days[to + 1..]));
    days.truncate(to + 1);
    days.drain(..from);
    for (at, more) in [(0, early), (days.len() - 1, late)] {
        if let Some(kg) = &mut days[at].1 {
            *kg += more;
        }
    }
}

/// Less than this is left to grow until the next picking, kg (own choice: a helping for one).
const PICKING_KG: f64 = 0.1;

/// A picking under a useful amount joins the next one; the last joins the one before.
fn join_small(days: &mut Vec<(NaiveDate, Option<f64>)>) {
    let mut kept: Vec<(NaiveDate, Option<f64>)> = Vec::new();
    let mut waiting = 0.0;
    for &(day, kg) in days.iter() {
        match kg {
            Some(kg) if kg + waiting < PICKING_KG => waiting += kg,
            Some(kg) => {
                kept.push((day, Some(kg + waiting)));
                waiting = 0.0;
            }
            None => kept.push((day, None)),
        }
    }
    match kept.last_mut() {
        Some((_, Some(kg))) => *kg += waiting,
        // All of it is little: one picking at the end.
        _ => kept.extend(days.last().map(|(day, _)| (*day, Some(waiting)))),
    }
    if !days.is_empty() {
        *days = kept;
    }
}

/// Name of a planting and its task. Fields are parted by a character no name can hold.
fn key(row: &PlantingRow, kind: TaskKind, number: usize) -> String {
    let word = match kind {
        // The first picking stays the first even if it was once planned as another.
        TaskKind::FirstPick | TaskKind::Pick => "harvest",
        TaskKind::SowTray | TaskKind::SowBed | TaskKind::Plant | TaskKind::Buy => "sow",
        other => other.word(),
    };
    [
        &row.bed,
        row.sections.split(',').next().unwrap_or_default(),
        &row.crop,
        &row.sow.to_string(),
        word,
        &number.to_string(),
    ]
    .join("\u{1f}")
}

/// Seed to order, by crop, earliest need first.
pub fn seed_order(plan: &PlanView) -> Vec<SeedRow> {
    let mut by_crop: BTreeMap<&str, SeedRow> = BTreeMap::new();
    // What stood in trays when the plan began has its seed.
    let before = |row: &PlantingRow| !plan.repeats && row.sow < plan.start;
    let sown = |planting: &&PlantingView| planting.row.way != STANDING && !before(&planting.row);
    for planting in plan.plantings.iter().filter(sown) {
        let row = &planting.row;
        by_crop
            .entry(&row.crop)
            .and_modify(|order| {
                order.sowings += 1;
                order.area_m2 += row.area_m2;
                order.seeds = order.seeds.zip(row.seeds).map(|(sum, more)| sum + more);
                order.needed_by = order.needed_by.min(row.sow);
                order.order = to_order(row, order.seeds);
            })
            .or_insert_with(|| SeedRow::of(row));
    }
    let mut orders: Vec<SeedRow> = by_crop.into_values().collect();
    orders.sort_by(|a, b| (a.needed_by, &a.crop).cmp(&(b.needed_by, &b.crop)));
    orders
}

/// Seeds up to which the smallest packet is enough (own choice: packets hold 30 to some hundred seeds).
const PACKET_SEEDS: f64 = 50.0;
/// Grams up to which seed is bought by the packet (own choice).
const PACKET_G: f64 = 0.5;

/// What to order, such as `4 g (360 seeds)`, `1 packet (24 seeds)` or `30 seed potatoes`.
pub(super) fn to_order(row: &PlantingRow, count: Option<f64>) -> String {
    let Some(count) = count else {
        return row.planted_as.clone();
    };
    let said = format!(
        "{} {}",
        fixed(count.ceil(), 0),
        row.planted_as.trim_start_matches("bought ")
    );
    match row.seeds_per_g.map(|per_g| count / per_g) {
        None => said,
        Some(grams) if grams <= PACKET_G || count <= PACKET_SEEDS => format!("1 packet ({said})"),
        Some(grams) => format!("{} g ({said})", fixed(grams.max(1.0), 0)),
    }
}
