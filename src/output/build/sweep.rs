//! Designs of a sweep, as a table with one column for each key that varies.

use crate::output::row::{Cell, Column, Kind, Row};
use crate::output::tables::DataTable;
use crate::output::view::{DesignFigures, DesignPlan, figure};
use crate::study::sweep::{DesignRow, DesignYear, PlanFigures, Sweep};

/// Designs of a sweep, in the order given, with the crops and plans that were asked for.
pub fn sweep(sweep: &Sweep, rows: &[DesignRow]) -> DataTable {
    let crops = sweep.crops();
    let number = Column {
        name: "design".to_owned(),
        head: "Design".to_owned(),
        unit: "",
        meaning: "Number of the design, from 0.",
        kind: Kind::Count,
    };
    let varied = sweep.axes().iter().map(|axis| Column {
        name: axis.key.clone(),
        head: axis.key.clone(),
        unit: "",
        meaning: "Value of this key of the project file, as it was given.",
        kind: Kind::Text,
    });
    let plan_columns = sweep.plans().then(DesignPlan::columns);
    DataTable {
        name: "designs",
        columns: std::iter::once(number)
            .chain(varied)
            .chain(DesignFigures::columns())
            .chain(crops.iter().flat_map(|crop| crop_columns(crop)))
            .chain(plan_columns.into_iter().flatten())
            .collect(),
        rows: rows
            .iter()
            .map(|row| cells(row, crops.len(), sweep.plans()))
            .collect(),
        ..DataTable::default()
    }
}

fn crop_columns(crop: &str) -> [Column; 2] {
    let column = |name: &str, unit, meaning| Column {
        name: format!("{name}.{crop}"),
        head: format!("{}, {crop}", name.replace('_', " ")),
        unit,
        meaning,
        kind: Kind::Number,
    };
    [
        column(
            "months_in",
            "months",
            "Months that the crop can stay, median year; warm crops only.",
        ),
        column(
            "last_sowing_day",
            "",
            "Day by which it must be sown for winter in nine years of ten, from 1 for 1 January; 0 and less the year before.",
        ),
    ]
}

fn cells(row: &DesignRow, crops: usize, plans: bool) -> Vec<Cell> {
    let found = row.found.as_ref().ok();
    let number = |value: Option<f64>| value.map_or(Cell::Empty, Cell::Number);
    let growth = (0..crops).flat_map(|crop| {
        let figures = found
            .and_then(|year| year.crops.get(crop))
            .copied()
            .unwrap_or_default();
        [number(figures.months_in), number(figures.last_sowing_day)]
    });
    let number = i64::try_from(row.index).unwrap_or(i64::MAX);
    std::iter::once(Cell::Count(number))
        .chain(row.settings.iter().cloned().map(Cell::Text))
        .chain(design(row).cells())
        .chain(growth)
        .chain(plans.then(|| plan(row).cells()).into_iter().flatten())
        .collect()
}

/// What the plan of a design gives; empty where it has none.
fn plan(row: &DesignRow) -> DesignPlan {
    let plan = row.found.as_ref().ok().and_then(|year| year.plan);
    let count =
        |of: fn(&PlanFigures) -> usize| plan.as_ref().and_then(|plan| u32::try_from(of(plan)).ok());
    DesignPlan {
        plantings: count(|plan| plan.plantings),
        kinds: count(|plan| plan.kinds),
        grown_kg: plan.map(|plan| plan.grown_kg),
        months_eaten: count(|plan| plan.months_eaten),
        replaced: plan.map(|plan| plan.replaced),
        beyond: plan.map(|plan| plan.beyond),
        net: plan.map(|plan| plan.net),
        net_at_most: plan.map(|plan| plan.net_at_most),
    }
}

/// Figures of one design; of one that cannot be built, the problem alone.
pub fn design(row: &DesignRow) -> DesignFigures {
    let year = row.found.as_ref().ok();
    let number = |of: fn(&DesignYear) -> f64| year.map(of);
    DesignFigures {
        problem: row.found.as_ref().err().cloned(),
        place: year.map(|year| year.place.clone()),
        air_min_c: year.map(|year| figure(year.air_min_c, year.air_min_spread_c)),
        coldest_month_air_c: number(|year| year.coldest_month_air_c),
        hours_below_0_c: number(|year| year.hours_below_0_c),
        hours_above_30_c: number(|year| year.hours_above_30_c),
        root_zone_min_c: number(|year| year.root_zone_min_c),
        darkest_month_mol_m2_day: number(|year| year.darkest_month_mol_m2_day),
        light_mol_m2_day: number(|year| year.light_mol_m2_day),
        heater_kwh: number(|year| year.heater_kwh),
        fan_kwh: number(|year| year.fan_kwh),
        balance_residual: number(|year| year.balance_residual),
        latitude_deg: number(|year| year.latitude_deg),
        longitude_deg: number(|year| year.longitude_deg),
        outdoors_coldest_month_c: number(|year| year.outdoors_coldest_month_c),
        years_simulated: year.and_then(|year| u32::try_from(year.years_simulated).ok()),
    }
}
