//! Designs of a sweep.

use super::{Figure, figure};
use crate::output::row::{Cell, Column, Kind, Row, row};
use crate::output::tables::DataTable;
use crate::study::sweep::{DesignRow, DesignYear, PlanFigures, Sweep};

fn year(row: &DesignRow) -> Option<&DesignYear> {
    row.found.as_ref().ok()
}

/// What its plan gives; none where it has none.
fn plan(row: &DesignRow) -> Option<PlanFigures> {
    year(row).and_then(|year| year.plan)
}

row! {
    /// One design of a sweep; the columns of what varies stand before these.
    pub struct DesignFigures of (row: &DesignRow) {
        /// Why the design cannot be simulated; its figures are then empty.
        problem: Option<String>, "" => row.found.as_ref().err().cloned();
        /// Name of the place.
        place: Option<String>, "" => year(row).map(|year| year.place.clone());
        /// Coldest hour of the air in the settled usual year; spread over the weather years.
        air_min_c: Option<Figure>, "°C" => year(row).map(|year| figure(year.air_min_c, year.air_min_spread_c));
        /// Mean air of the coldest month in the settled usual year.
        coldest_month_air_c: Option<f64>, "°C" => year(row).map(|year| year.coldest_month_air_c);
        /// Hours a year with air below 0 °C.
        hours_below_0_c: Option<f64>, "h" => year(row).map(|year| year.hours_below_0_c);
        /// Hours a year with air above 30 °C.
        hours_above_30_c: Option<f64>, "h" => year(row).map(|year| year.hours_above_30_c);
        /// Coldest hour of the root zone in the settled usual year.
        root_zone_min_c: Option<f64>, "°C" => year(row).map(|year| year.root_zone_min_c);
        /// Light at the beds in the darkest month.
        darkest_month_mol_m2_day: Option<f64>, "mol/m2/day" => year(row).map(|year| year.darkest_month_mol_m2_day);
        /// Light at the beds, mean of the year.
        light_mol_m2_day: Option<f64>, "mol/m2/day" => year(row).map(|year| year.light_mol_m2_day);
        /// Heat from the heater in a year, with that of a room beside where it is bought for the house: mean of the weather years where they ran.
        heater_kwh: Option<f64>, "kWh" => year(row).map(|year| year.heater_kwh);
        /// Electricity of the fans in a year: mean of the weather years where they ran.
        fan_kwh: Option<f64>, "kWh" => year(row).map(|year| year.fan_kwh);
        /// Share of the heat flows that the balance of the year does not account for.
        balance_residual: Option<f64>, "" => year(row).map(|year| year.balance_residual);
        /// Years simulated for these figures, those of settling included.
        years_simulated: Option<u32>, "" => year(row).and_then(|year| u32::try_from(year.years_simulated).ok());
        /// Latitude of the place, north positive.
        latitude_deg: Option<f64>, "deg" => year(row).map(|year| year.latitude_deg);
        /// Longitude of the place, east positive.
        longitude_deg: Option<f64>, "deg" => year(row).map(|year| year.longitude_deg);
        /// Mean air outdoors of the coldest month of the usual year.
        outdoors_coldest_month_c: Option<f64>, "°C" => year(row).map(|year| year.outdoors_coldest_month_c);
    }
}

row! {
    /// What the plan of a design gives in the middle weather year; the last columns of a sweep with plans.
    pub struct DesignPlan of (row: &DesignRow) {
        /// Plantings.
        plantings: Option<u32>, "" => plan(row).and_then(|plan| u32::try_from(plan.plantings).ok());
        /// Kinds of crop.
        kinds: Option<u32>, "" => plan(row).and_then(|plan| u32::try_from(plan.kinds).ok());
        /// Picked.
        grown_kg: Option<f64>, "kg" => plan(row).map(|plan| plan.grown_kg);
        /// Months in which something is eaten in place of buying.
        months_eaten: Option<u32>, "" => plan(row).and_then(|plan| u32::try_from(plan.months_eaten).ok());
        /// What the food replaces in the middle year.
        replaced: Option<f64>, "currency" => plan(row).map(|plan| plan.replaced);
        /// What is eaten beyond that, at shop prices, in no sum with it.
        beyond: Option<f64>, "currency" => plan(row).map(|plan| plan.beyond);
        /// What the food replaces less what it costs.
        net: Option<f64>, "currency" => plan(row).map(|plan| plan.net);
        /// Whether `net` is at most that, since costs without a price are left out.
        net_at_most: Option<bool>, "" => plan(row).map(|plan| plan.net_at_most);
    }
}

/// Designs of a sweep, in the order given, with the crops and plans that were asked for.
pub fn sweep(sweep: &Sweep, rows: &[DesignRow]) -> DataTable {
    let crops = &sweep.crops;
    let number = Column {
        name: "design".to_owned(),
        head: "Design".to_owned(),
        unit: "",
        meaning: "Number of the design, from 0.",
        kind: Kind::Count,
    };
    let varied = sweep.axes.iter().map(|axis| Column {
        name: axis.key.clone(),
        head: axis.key.clone(),
        unit: "",
        meaning: "Value of this key of the project file, as it was given.",
        kind: Kind::Text,
    });
    let plan_columns = sweep.plans.then(DesignPlan::columns);
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
            .map(|row| cells(row, crops.len(), sweep.plans))
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
        .chain(DesignFigures::of(row).cells())
        .chain(growth)
        .chain(
            plans
                .then(|| DesignPlan::of(row).cells())
                .into_iter()
                .flatten(),
        )
        .collect()
}
