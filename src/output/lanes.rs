//! Where plantings lie on a chart of beds against weeks: shared by the terminal and the report.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use super::text::{gathered, joined};
use super::view::{PlanView, PlantingRow, PlantingView};
use crate::calendar::{DAYS_PER_WEEK, WEEKS_PER_YEAR, planning_weeks};

/// A run of weeks of the chart: from the first to before the second.
pub(crate) type Run = (usize, usize);

/// One planting on the chart. Where years repeat, what passes the end comes in at the start, so runs may be two.
pub(crate) struct Strip<'a> {
    /// The planting.
    pub row: &'a PlantingRow,
    /// Weeks in the bed.
    pub used: Vec<Run>,
    /// Weeks of picking.
    pub picked: Vec<Run>,
}

/// One bed: a lane for each of its sections, those that carry the same all year in one; an empty bed has one empty lane.
pub(crate) struct BedLanes<'a> {
    /// Name of the bed.
    pub bed: &'a str,
    /// Lanes with their plantings.
    pub lanes: Vec<Lane<'a>>,
}

/// Sections of a bed that carry the same all year.
pub(crate) struct Lane<'a> {
    /// Their numbers, such as `1, 2`; empty where the bed has one.
    pub sections: String,
    /// Their plantings.
    pub strips: Vec<Strip<'a>>,
}

/// All beds of a plan.
///
/// The chart shows 52 weeks from `from`.
pub(crate) fn lanes(view: &PlanView, from: NaiveDate) -> Vec<BedLanes<'_>> {
    view.beds
        .iter()
        .zip(&view.bed_patches)
        .map(|(bed, patches)| BedLanes {
            bed,
            lanes: lanes_of(view, from, bed, *patches),
        })
        .collect()
}

fn lanes_of<'a>(view: &'a PlanView, from: NaiveDate, bed: &str, patches: u32) -> Vec<Lane<'a>> {
    let mut here: Vec<&'a PlantingView> = view
        .plantings
        .iter()
        .filter(|planting| planting.row.bed == bed)
        .filter(|planting| !strip(view, from, &planting.row).used.is_empty())
        .collect();
    here.sort_by_key(|planting| {
        let row = &planting.row;
        (row.transplant.unwrap_or(row.sow), &row.crop)
    });
    let carried = |patch: u32| -> Vec<&'a PlantingView> {
        let here = here.iter().copied();
        here.filter(|planting| planting.patches.contains(&patch))
            .collect()
    };
    let kinds = gathered((1..=patches).map(|patch| (carried(patch), patch)));
    let lane = |(carried, numbers): (Vec<&'a PlantingView>, Vec<u32>)| Lane {
        sections: match patches {
            1 => String::new(),
            _ => joined(numbers, ", ", |number| number.to_string()),
        },
        strips: carried
            .iter()
            .map(|planting| strip(view, from, &planting.row))
            .collect(),
    };
    kinds.into_iter().map(lane).collect()
}

fn strip<'a>(view: &PlanView, from: NaiveDate, row: &'a PlantingRow) -> Strip<'a> {
    // A work day of the next year lies up to six days later in its week.
    let shown = (from - view.start)
        .num_days()
        .div_euclid(DAYS_PER_WEEK as i64);
    let week = |date: NaiveDate| planning_weeks(view.start, date) - shown;
    let enters = week(row.transplant.unwrap_or(row.sow));
    let after_picking = row.last_harvest.map(|last| week(last) + 1);
    // The bed is free again in the week of clearing.
    let leaves = row
        .clear
        .map(week)
        .or(after_picking)
        .unwrap_or(enters)
        .max(enters + 1);
    let picked = row.first_harvest.map(week).zip(after_picking);
    Strip {
        row,
        used: on_chart((enters, leaves), view.repeats),
        picked: picked
            .map(|run| on_chart(run, view.repeats))
            .unwrap_or_default(),
    }
}

/// The weeks of the chart that a run of weeks covers.
fn on_chart((from, to): (i64, i64), repeats: bool) -> Vec<Run> {
    let weeks = WEEKS_PER_YEAR as i64;
    let shifts: &[i64] = if repeats { &[-weeks, 0, weeks] } else { &[0] };
    shifts
        .iter()
        .filter_map(|shift| {
            let clip = |week: i64| usize::try_from((week + shift).clamp(0, weeks)).ok();
            clip(from).zip(clip(to)).filter(|(from, to)| from < to)
        })
        .collect()
}

/// First day of a week of the chart.
pub(crate) fn day_of_week(start: NaiveDate, week: usize) -> NaiveDate {
    start
        .checked_add_days(Days::new(week as u64 * DAYS_PER_WEEK as u64))
        .unwrap_or(start)
}

/// The crops of a plan with their codes, in order of the code.
pub(crate) fn codes(view: &PlanView) -> BTreeMap<&str, &str> {
    let rows = view.plantings.iter().map(|planting| &planting.row);
    rows.map(|row| (row.code.as_str(), row.crop_name.as_str()))
        .collect()
}
