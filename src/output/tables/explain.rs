//! One sowing, and the measures against cold, as tables.

use super::DataTable;
use crate::calendar::MONTH_HEADS;
use crate::output::row::{Cell, Kind};
use crate::output::text::fixed;
use crate::output::view::{ExplainView, HeatFlow, WhyView};

/// A sowing day by day and month by month; months with more columns where there is room.
pub fn explain(view: &ExplainView, wide: bool) -> Vec<DataTable> {
    let mut shown = vec![
        "month",
        "air_c",
        "root_zone_c",
        "light_mol_m2_day",
        "day_length_h",
        "warmth_k_d",
        "pace",
        "leaf_area_m2_m2",
        "leaf_min_c",
        "cold_margin_k",
        "picked_kg_m2",
    ];
    if wide {
        shown.extend([
            "days",
            "ground_cover",
            "carbon_share",
            "emergence",
            "hardening",
            "chill_kh",
            "set",
        ]);
    }
    vec![
        DataTable::of("events", &view.events).titled("Day by day"),
        DataTable { name: "months", ..DataTable::of("season_explain", &view.months) }
            .titled("Month by month")
            .show(&shown)
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
            .show(&[
                "measure",
                "coldest_leaf_unheated_c",
                "gain_leaf_unheated_k",
                "coldest_air_c",
                "gain_air_k",
                "heater_kwh",
                "saved_heater_kwh",
                "fan_kwh",
            ])
            .noted(
                "Leaf: coldest hour of the leaves in the coldest beds, heater off; air: coldest hour, heater as it is. Each measure alone: \
                 two gains do not add up.",
            ),
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
        std::iter::once(Cell::Text(head.to_owned()))
            .chain(cells)
            .collect()
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
        .noted(
            "Positive warms the house, negative is lost; stored: taken up by soil, walls and air (negative), or given back. A month's row \
             adds up to nothing. Later years, the ground warmed up.",
        )
}
