//! Crops against months in letters and reasons: shared by the terminal and the report.

use super::text::short_date;
use super::view::{DateRange, SeasonCrop, SeasonMonth, SeasonState, SeasonView};
use crate::calendar::DAYS_PER_YEAR;
use crate::phrase::Piece;

/// One letter for what can be done in a month, and whether it can be sown; a no is a mark of its own shape.
pub(super) fn letter(state: SeasonState, sow: bool) -> &'static str {
    match state {
        SeasonState::Pick if sow => "B",
        SeasonState::Pick => "P",
        SeasonState::Sow => "S",
        SeasonState::Stand => "=",
        SeasonState::Grow => "g",
        SeasonState::No => ".",
    }
}

/// The letters of [`letter`] with what they mean.
pub(super) const LEGEND: [(&str, &str); 6] = [
    ("P", "can be picked"),
    (
        "S",
        "can be sown or set out, and is ready within twice its shortest time",
    ),
    ("B", "both: can be picked, and sown so again"),
    ("=", "full-grown, holding"),
    ("g", "a young crop grows"),
    (".", "not at all: see the reasons"),
];

/// What can be done with at least half of the crops of each group of foods, month by month, in the letters of [`LEGEND`]; groups in
/// the order of their first crops.
pub(super) fn of_groups(view: &SeasonView) -> Vec<(&str, [&'static str; 12])> {
    let mut groups: Vec<(&str, Vec<&SeasonCrop>)> = Vec::new();
    for crop in &view.crops {
        match groups.iter_mut().find(|(name, _)| *name == crop.group) {
            Some((_, crops)) => crops.push(crop),
            None => groups.push((&crop.group, vec![crop])),
        }
    }
    let half = |crops: &[&SeasonCrop], month: usize| {
        let half = crops.len().div_ceil(2);
        // The state that says most stands first.
        let mut states: Vec<SeasonState> =
            crops.iter().map(|crop| crop.months[month].state).collect();
        states.sort_unstable();
        let sown = crops.iter().filter(|crop| crop.months[month].sow).count();
        letter(states[half - 1], sown >= half)
    };
    groups
        .iter()
        .map(|(name, crops)| (*name, std::array::from_fn(|month| half(crops, month))))
        .collect()
}

/// Days without which a stay of a year is nearly one (own choice): dates that follow on themselves would say nothing.
const LEAST_BREAK_DAYS: i64 = 21;

/// A stay from its first to its last day, such as `4 Mar-15 Dec`; empty where there is none.
pub(super) fn stay(dates: Option<DateRange>) -> String {
    match dates {
        None => String::new(),
        Some(stay) if (stay.to - stay.from).num_days() + 1 >= DAYS_PER_YEAR as i64 => {
            "all year".to_owned()
        }
        Some(stay)
            if (stay.to - stay.from).num_days() + 1 + LEAST_BREAK_DAYS >= DAYS_PER_YEAR as i64 =>
        {
            format!("nearly all year, from {}", short_date(stay.from))
        }
        Some(stay) => format!("{}-{}", short_date(stay.from), short_date(stay.to)),
    }
}

/// On how many of the weather years the other roofs were simulated, as a sentence; empty where it was all of them.
pub fn other_roofs(view: &SeasonView) -> String {
    let (some, all) = (view.other_roofs_years, view.years);
    if some >= all {
        return String::new();
    }
    let which = if view.heat_asked {
        "Plain tunnel and outdoors are"
    } else {
        "The other roofs are"
    };
    format!(
        "{which} simulated on {some} of the {all} weather years, spread from the coldest to the mildest."
    )
}

/// A month (from 0) with what can be done in it.
pub(super) type Month<'a> = (usize, &'a SeasonMonth);

/// The cause of a month without its amounts.
fn kind(month: &SeasonMonth) -> Option<&Piece> {
    month
        .cause
        .as_ref()
        .and_then(|cause| cause.pieces().first())
}

/// The month of a group that falls shortest.
pub(super) fn worst<'a>(group: &[Month<'a>]) -> Option<&'a SeasonMonth> {
    let margin = |month: &SeasonMonth| month.margin.unwrap_or(f64::INFINITY);
    let months = group.iter().map(|(_, month)| *month);
    months.min_by(|a, b| margin(a).total_cmp(&margin(b)))
}

/// The months of a no, together where the kind of cause and the remedy are the same, in the order of the year.
pub(super) fn groups(crop: &SeasonCrop) -> Vec<Vec<Month<'_>>> {
    let mut groups: Vec<Vec<Month<'_>>> = Vec::new();
    let closed = crop
        .months
        .iter()
        .enumerate()
        .filter(|(_, month)| month.state == SeasonState::No);
    for (index, month) in closed {
        let same = |group: &&mut Vec<Month<'_>>| {
            group.first().is_some_and(|(_, other)| {
                kind(other) == kind(month) && other.remedy == month.remedy
            })
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.push((index, month)),
            None => groups.push(vec![(index, month)]),
        }
    }
    groups
}

/// The months of a group, from 0.
pub(super) fn month_numbers(group: &[Month<'_>]) -> Vec<usize> {
    group.iter().map(|(month, _)| *month).collect()
}
