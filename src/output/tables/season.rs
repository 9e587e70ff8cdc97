//! Crops as tables: against months, one sowing with the measures against cold, the figures of one.

use super::{DataTable, named, names};
use crate::calendar::{DAYS_PER_YEAR, MONTH_HEADS};
use crate::crops::COMES_THROUGH;
use crate::output::row::{Cell, Kind};
use crate::output::text::{fixed, gathered, joined, month_runs, short_date};
use crate::output::view::{
    CropFigureRow, DateRange, ExplainView, HeatFlow, SeasonCrop, SeasonMonth, SeasonState,
    SeasonView, ShelfView, WhyView,
};
use crate::phrase::Piece;

/// Months that warm crops can stay planted, last sowings, letters, and the reason for each no.
pub fn season(view: &SeasonView) -> Vec<DataTable> {
    vec![
        months_in(view),
        stays(view),
        heats(view),
        latest(view),
        letters(view),
        reasons(view),
        DataTable::of("season", &view.rows()).by_name(),
    ]
}

/// How many months warm crops can stay planted under each roof.
fn months_in(view: &SeasonView) -> DataTable {
    DataTable::of("months_in", &view.months_in_rows())
        .titled("Months that warm crops can stay planted (survival, not ripening)")
        .show("crop_name as_is_months heated_months tunnel_months outdoors_months")
        .noted(format!(
            "The middle year, and in brackets the shorter and the longer year in ten. {}",
            other_roofs(view)
        ))
}

/// From when to when, usual first and last day.
fn stays(view: &SeasonView) -> DataTable {
    let days = |dates: Option<DateRange>| Cell::Text(stay(dates));
    let columns = [
        ("crop_name", "Crop", Kind::Text),
        ("as_is", "This house", Kind::Text),
        ("heated", "Heated", Kind::Text),
        ("tunnel", "Plain tunnel", Kind::Text),
        ("outdoors", "Outdoors", Kind::Text),
    ];
    let row = |crop: &SeasonCrop| {
        let stay = crop.stay;
        let roofs = [stay.as_is, stay.heated, stay.tunnel, stay.outdoors];
        named(&crop.name, roofs.map(days))
    };
    let warm = view.warm_crops();
    DataTable::plain("stays", &columns, warm.map(row).collect())
        .titled("From when to when warm crops can stay planted: usual first and last day")
        .noted(other_roofs(view))
}

/// What heating takes under each roof.
fn heats(view: &SeasonView) -> DataTable {
    DataTable::of("heats", &view.heats)
        .titled(format!("What heating takes, in {}", view.currency))
        .noted(format!(
            "{} Mean of the weather years. Peak: what the heater has to give in the coldest hour; the heated house has one as large as \
             that takes. Cost: empty where no price is known. Not held: hours in which the heater cannot hold its set point.",
            other_roofs(view)
        ))
}

/// The last sowings of the winter crops.
fn latest(view: &SeasonView) -> DataTable {
    DataTable::of("latest", &view.latest)
        .titled("Last sowing that is big enough to hold through winter")
        .show("crop_name beds way safe_in_9_of_10 safe_in_5_of_10 safe_in_1_of_10 \
             standing_kg_m2_p50 survival in_all")
        .joined("beds")
        .noted(format!(
            "Sown by that day it is big enough in nine years of ten, in five, in one. In the bed: crop when the dark weeks \
             begin, median. {COMES_THROUGH}"
        ))
        .grouped()
}

/// Crops against months in letters.
fn letters(view: &SeasonView) -> DataTable {
    let mut columns = vec![("crop_name", "Crop", Kind::Text)];
    columns.extend(MONTH_HEADS.map(|month| (month, month, Kind::Text)));
    let row = |crop: &SeasonCrop| {
        let states = crop
            .months
            .iter()
            .map(|month| Cell::Text(letter(month.state, month.sow).to_owned()));
        named(&crop.name, states)
    };
    let legend = joined(LEGEND, "; ", |(letter, meaning)| {
        format!("{letter} {meaning}")
    });
    DataTable::plain("letters", &columns, view.crops.iter().map(row).collect())
        .titled(format!("Crops against months, {}", view.place))
        .noted(format!("{legend}."))
}

/// For each crop, the months of a no with the same cause, and what turns them where that was tried.
fn reasons(view: &SeasonView) -> DataTable {
    let mut columns = vec![
        ("crop_name", "Crop", Kind::Text),
        ("months", "Months", Kind::Text),
        ("cause", "Cause, at its worst", Kind::Text),
    ];
    let months = || view.crops.iter().flat_map(|crop| &crop.months);
    let tried = months().any(|month| month.remedy.is_some());
    if tried {
        columns.push(("remedy", "What would turn it, each tried", Kind::Text));
    }
    let mut rows = Vec::new();
    for crop in &view.crops {
        for group in groups(crop) {
            let worst = worst(&group);
            let numbers: Vec<usize> = group.iter().map(|(month, _)| *month).collect();
            let cause = worst
                .and_then(|month| month.cause.clone())
                .unwrap_or_default();
            let mut row = vec![
                Cell::Text(crop.name.clone()),
                Cell::Text(month_runs(&numbers)),
                Cell::Said(cause),
            ];
            if tried {
                let remedy = worst.and_then(|month| month.remedy.clone());
                let remedy = remedy.map(|turned| match turned.is_empty() {
                    true => "nothing that was tried".into(),
                    false => turned,
                });
                row.push(Cell::Said(remedy.unwrap_or_default()));
            }
            rows.push(row);
        }
    }
    DataTable::plain("why", &columns, rows)
        .titled("Why not")
        .grouped()
}

/// A sowing day by day and month by month; months with more columns where there is room.
pub fn explain(view: &ExplainView, wide: bool) -> Vec<DataTable> {
    let more = match wide {
        true => " days ground_cover carbon_share emergence hardening chill_kh set",
        false => "",
    };
    let shown = "month air_c root_zone_c light_mol_m2_day day_length_h warmth_k_d pace leaf_area_m2_m2 \
                 leaf_min_c cold_margin_k picked_kg_m2";
    vec![
        DataTable::of("events", &view.events).titled("Day by day"),
        DataTable::of("months", &view.months)
            .titled("Month by month")
            .show(&[shown, more].concat())
            .noted(
                "Warmth: degree-days, which bring it on. Growth: what leaves that cover the ground would gain, against a best day in full \
                 light. Leaf area: leaves over ground at the month's end. Coldest: the leaves' coldest hour; to spare: how far that is from \
                 the cold that takes half of the leaf.",
            ),
    ]
}

/// What was tried against the coldest hour, what each measure is, and where the heat comes from and goes.
pub fn why(view: &WhyView) -> Vec<DataTable> {
    vec![
        DataTable::of("climate_why", &view.measures)
            .titled(format!("What would raise the coldest hour, {}", view.place))
            .show("measure coldest_leaf_unheated_c gain_leaf_unheated_k coldest_air_c gain_air_k \
                 heater_kwh saved_heater_kwh fan_kwh")
            .noted(format!(
                "Leaf: coldest hour of the leaves in the coldest beds, heater off; air: coldest hour, heater as it is. {}Each measure alone: \
                 two gains do not add up.",
                match view.weather_years {
                    0 => String::new(),
                    years => format!("Cold: medians of {years} weather years; kWh: their mean. "),
                }
            )),
        flows(view),
    ]
}

/// Heat by month and path, with the year below.
fn flows(view: &WhyView) -> DataTable {
    let flows = &view.heat_flows;
    let of_all = flows.iter().flat_map(|flow| flow.kwh);
    let most = of_all.fold(0.0_f64, |most, kwh| most.max(kwh.abs()));
    // A cold frame moves a few kWh a month: whole numbers would say nothing of it.
    let digits = [10.0, 100.0].iter().filter(|below| most < **below).count();
    let mut columns = vec![("month", "", Kind::Text)];
    columns.extend(
        flows
            .iter()
            .map(|flow| (flow.path.as_str(), flow.path.as_str(), Kind::Number)),
    );
    let row = |head: &str, kwh: &dyn Fn(&HeatFlow) -> f64| -> Vec<Cell> {
        let cells = flows
            .iter()
            .map(|flow| Cell::Text(fixed(kwh(flow), digits)));
        named(head, cells)
    };
    let months = MONTH_HEADS.iter().enumerate();
    let months = months.map(|(month, head)| {
        row(head, &|flow| {
            flow.kwh.get(month).copied().unwrap_or(f64::NAN)
        })
    });
    DataTable::plain("flows", &columns, months.collect())
        .titled("Where the heat comes from and goes, kWh a month")
        .summed(row("Year", &|flow| flow.kwh.iter().sum()))
        .noted(format!(
            "Positive warms the house, negative is lost; stored: taken up by soil, walls and air (negative), or given back. A month's row \
             adds up to nothing. All of one year, as medians of many do not add up: {}, the ground warmed up.",
            view.year_shown
        ))
}

/// The figures of a crop with their sources: all for machines, and by section.
pub fn crop(view: &ShelfView<CropFigureRow>) -> Vec<DataTable> {
    let of_section = |section: &'static str| {
        let is = |row: &&CropFigureRow| row.figure.split('.').next() == Some(section);
        let rows: Vec<CropFigureRow> = view.rows.iter().filter(is).cloned().collect();
        DataTable::of(section, &rows)
    };
    let sections = names::CROP.split_whitespace().skip(1).map(of_section);
    std::iter::once(DataTable::of("figures", &view.rows).by_name())
        .chain(sections)
        .filter(|table| !table.rows.is_empty())
        .collect()
}

/// One letter for what can be done in a month, and whether it can be sown; a no is a mark of its own shape.
pub(crate) fn letter(state: SeasonState, sow: bool) -> &'static str {
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
pub(crate) const LEGEND: [(&str, &str); 6] = [
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
pub(crate) fn of_groups(view: &SeasonView) -> Vec<(&str, [&'static str; 12])> {
    let crops = view.crops.iter();
    let groups = gathered(crops.map(|crop| (crop.group.as_str(), crop)));
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
pub(crate) fn stay(dates: Option<DateRange>) -> String {
    match dates {
        None => String::new(),
        Some(stay) if (stay.to - stay.from).num_days() + 1 >= DAYS_PER_YEAR as i64 => {
            "all year".to_owned()
        }
        Some(stay)
            if (stay.to - stay.from).num_days() + 1 + LEAST_BREAK_DAYS >= DAYS_PER_YEAR as i64 =>
        {
            let (out, back) = (
                stay.to + chrono::Days::new(1),
                stay.from - chrono::Days::new(1),
            );
            format!("all year but {}-{}", short_date(out), short_date(back))
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
type Month<'a> = (usize, &'a SeasonMonth);

/// The cause of a month without its amounts.
fn kind(month: &SeasonMonth) -> Option<&Piece> {
    month
        .cause
        .as_ref()
        .and_then(|cause| cause.pieces().first())
}

/// The month of a group that falls shortest.
fn worst<'a>(group: &[Month<'a>]) -> Option<&'a SeasonMonth> {
    let margin = |month: &SeasonMonth| month.margin.unwrap_or(f64::INFINITY);
    let months = group.iter().map(|(_, month)| *month);
    months.min_by(|a, b| margin(a).total_cmp(&margin(b)))
}

/// The months of a no, together where the kind of cause and the remedy are the same, in the order of the year.
fn groups(crop: &SeasonCrop) -> Vec<Vec<Month<'_>>> {
    let closed = (0..).zip(&crop.months);
    let closed = closed.filter(|(_, month)| month.state == SeasonState::No);
    let groups = gathered(closed.map(|at| ((kind(at.1), &at.1.remedy), at)));
    groups.into_iter().map(|(_, group)| group).collect()
}
