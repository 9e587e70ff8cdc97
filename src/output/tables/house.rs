//! The house as tables: what was understood of it, the year inside, variants, a failure in the cold, the model tuned.

use super::{DataTable, named};
use crate::output::row::{Cell, Column, Kind};
use crate::output::text::fixed;
use crate::output::units::Units;
use crate::output::view::{
    CheckView, ClimateView, CompareRow, CompareView, FactorRow, GrowthView, Note, NoteKind,
    OutageView, TuneView, YearKind,
};
use crate::phrase::{amount, phrase};

/// Months, the spread over the weather years, coldest hours, the first year against later ones.
pub fn climate(view: &ClimateView) -> Vec<DataTable> {
    let kind = match view.year_kind {
        YearKind::Settled => "",
        YearKind::First => ": first year, on cold ground",
    };
    let mut tables = vec![
        DataTable::of("climate_months", &view.months)
            .titled(format!("The year inside, {}{kind}", view.place))
            .show(
                "month air_mean_c air_min_c air_max_c coldest_hour_c root_zone_mean_c \
                 root_zone_min_c store_mean_c light_mol_m2_day day_length_h heater_kwh fan_kwh",
            )
            .noted("Night, day: means of the month; low: its coldest hour; light: mol/m2 a day."),
    ];
    if view.weather_years > 0 {
        let years = view.weather_years;
        tables.push(
            DataTable::of("climate_spread", &view.months)
                .titled(format!(
                    "Over {years} weather years: the middle year (one year in ten lower - higher)"
                ))
                .show("month air_mean_c~ air_min_c~ root_zone_min_c~"),
        );
        tables.push(
            DataTable::of("light_spread", &view.months)
                .titled(format!("Light and heat over {years} weather years"))
                .show("month light_mol_m2_day~ sunlit_in_band_h~ heater_kwh~")
                .noted("Sunlit: hours with sun on the beds and mild air."),
        );
    }
    tables.push(
        DataTable::of("cold_hours", &view.cold_hours)
            .titled("Coldest hour of a year")
            .noted("Lower and upper end of its range: each is passed one time in ten; empty where there are too few years.")
            .grouped(),
    );
    tables.push(
        DataTable::of("first_year", &view.first_against_settled)
            .titled("First year on cold ground against later years"),
    );
    tables.push(
        DataTable::of("climate_outside", &view.months)
            .titled("Damp, frost, heat, vents, and the air outside")
            .show(
                "month relative_humidity_pct damp_h below_0_c_h above_30_c_h vented_h \
             carbon_dioxide_ppm carbon_share outside_mean_c outside_min_c",
            )
            .noted(phrase![
                "Hours of a month: frost with air below ",
                amount(0.0, "°C", 0),
                ", hot above ",
                amount(30.0, "°C", 0),
                "."
            ]),
    );
    if let Some(room) = &view.room {
        tables.push(
            DataTable::of("room", &room.months)
                .titled(format!("The room beside: {}, {}", room.name, view.year_shown))
                .noted("To the house: heat through the walls between and with the air; negative from the house to the room."),
        );
    }
    tables
}

/// Cold, light and energy; money where plans were made; months in for warm crops; each against the first.
pub fn compare(view: &CompareView) -> Vec<DataTable> {
    let mut tables = vec![
        DataTable::of("figures", &view.variants)
            .titled(format!(
                "Side by side, {}; money in {}",
                view.place, view.currency
            ))
            .show(
                "variant coldest_air_c coldest_root_zone_c darkest_month_mol_m2_day \
                 months_with_frost heater_kwh fan_kwh energy_cost",
            ),
    ];
    if view.variants.iter().any(|row| row.value.is_some()) {
        let money = DataTable::of("money", &view.variants);
        tables.push(
            money
                .titled(format!("What the beds bring in a year, {}", view.currency))
                .show(
                    "variant grown_kg winter_grown_kg eaten_kg value cost net payback_years \
                     net_present_value",
                ),
        );
    }
    tables.extend([months_in(view), changes(view), fuels(view)]);
    tables
}

/// Months that warm crops can stay in, a column for each variant.
fn months_in(view: &CompareView) -> DataTable {
    let mut crops: Vec<(&str, &str)> = Vec::new();
    for row in view.months_in.iter().filter(|row| row.months_in.is_some()) {
        if !crops.contains(&(&row.crop, &row.crop_name)) {
            crops.push((&row.crop, &row.crop_name));
        }
    }
    let of = |crop: &str, variant: &CompareRow| {
        let mut rows = view.months_in.iter();
        let found = rows.find(|row| row.crop == crop && row.variant == variant.variant);
        let months = found.and_then(|row| row.months_in);
        months.map_or(Cell::Empty, |months| Cell::Number(months.p50))
    };
    let mut columns = vec![Column::plain("crop", "Crop", "", Kind::Text)];
    columns.extend(
        view.variants
            .iter()
            .map(|row| Column::plain(&row.variant, &row.variant, "months", Kind::Number)),
    );
    let rows = crops.iter().map(|(crop, name)| {
        let cells = view.variants.iter().map(|row| of(crop, row));
        named(*name, cells)
    });
    DataTable::with("months_in", columns, rows.collect())
        .titled("Months that warm crops can stay planted, in the middle year")
}

/// Columns that are compared, each with the name and the unit of a difference.
const COMPARED: [(&str, &str, &str); 9] = [
    ("coldest_air_c", "coldest_air", "K"),
    ("coldest_root_zone_c", "coldest_root_zone", "K"),
    ("darkest_month_mol_m2_day", "darkest_month", "mol/m2/day"),
    ("months_with_frost", "months_with_frost", "months"),
    ("heater_kwh", "heater", "kWh"),
    ("fan_kwh", "fan", "kWh"),
    ("energy_cost", "energy_cost", "currency"),
    ("value", "value", "currency"),
    ("net", "net", "currency"),
];

/// Each against the first.
fn changes(view: &CompareView) -> DataTable {
    let all = DataTable::of("figures", &view.variants);
    let Some((first, others)) = all.rows.split_first() else {
        return DataTable::default();
    };
    let mut columns = vec![Column::plain("variant", "Variant", "", Kind::Text)];
    let mut rows: Vec<Vec<Cell>> = others.iter().map(|row| vec![row[0].clone()]).collect();
    for (column, name, unit) in COMPARED {
        let of = all.columns.iter().zip(first).zip(0..);
        let of = of.filter(|((own, _), _)| own.name == column);
        for ((own, first), at) in of {
            columns.push(Column::plain(name, &own.head, unit, Kind::Number));
            for (row, other) in rows.iter_mut().zip(others) {
                let change = other[at].figure().zip(first.figure());
                row.push(change.map_or(Cell::Empty, |(other, first)| Cell::Number(other - first)));
            }
        }
    }
    let first = &view.variants[0].variant;
    DataTable::with("changes", columns, rows)
        .titled(format!("Against {first}: more, or less where negative"))
}

/// What the heaters take.
fn fuels(view: &CompareView) -> DataTable {
    let burning: Vec<CompareRow> = view
        .variants
        .iter()
        .filter(|row| row.fuel_amount > 0.0)
        .cloned()
        .collect();
    DataTable::of("fuel", &burning)
        .titled("What the heaters take in a year")
        .show("variant fuel fuel_amount fuel_unit energy_cost")
}

/// Facts, what was assumed, cautions.
pub fn check(view: &CheckView) -> Vec<DataTable> {
    vec![
        DataTable::of("facts", &view.facts).titled("Areas and losses"),
        DataTable::of("assumed", &view.defaults)
            .titled("Assumed, as the file does not say (write the key to override it)"),
        caution_table(&view.notes),
    ]
}

/// What to mind, and who decides.
pub(super) fn caution_table(notes: &[Note]) -> DataTable {
    let caution = |note: &Note| {
        vec![
            Cell::Said(note.text.clone()),
            Cell::Text(note.source.clone()),
        ]
    };
    let cautions = notes.iter().filter(|note| note.kind == NoteKind::Caution);
    let columns = [
        ("caution", "Caution", Kind::Text),
        ("decides", "Who decides", Kind::Text),
    ];
    DataTable::plain("cautions", &columns, cautions.map(caution).collect()).titled("Cautions")
}

/// Hours until each temperature is reached, and the cautions.
pub fn outage(view: &OutageView) -> Vec<DataTable> {
    vec![
        DataTable::of("hours", &view.rows)
            .titled("Hours until it is as cold as the limit")
            .show("building place cover crop_name limit_c hours lowest_c")
            .noted(format!(
                "0: as cold already; empty: not within {} h. A crop's limit is what kills it in its hardening of that day on a \
                 bare bed; under a cover plants may be hardened less.",
                view.ahead_h
            ))
            .grouped(),
        caution_table(&view.notes),
    ]
}

/// Factors, how well record and simulation agree, and day by day.
pub fn tune(view: &TuneView) -> Vec<DataTable> {
    vec![
        DataTable::of("factors", &view.factors).by_name(),
        DataTable::of("quality", &view.quality).titled("Simulated less read"),
        DataTable::of("days", &view.days)
            .titled("Simulated less read, mean of each day")
            .by_name(),
    ]
}

/// The factors that the record tells, with the figure that each acts on in the units of people.
pub fn fitted(view: &TuneView, units: Units) -> DataTable {
    /// From here on a figure is written whole (own choice).
    const WHOLE_FROM: f64 = 100.0;
    let columns = [
        ("factor", "Factor", Kind::Text),
        ("before", "Was", Kind::Number),
        ("after", "Is", Kind::Number),
        ("range", "90 %", Kind::Number),
        ("acts_on", "Acts on", Kind::Text),
        ("figure_before", "Was", Kind::Number),
        ("figure_after", "Is", Kind::Number),
        ("unit", "", Kind::Text),
    ];
    let row = |row: &FactorRow| {
        let figure = |value: f64| {
            let (value, _) = units.convert(value, &row.unit);
            let whole = value.abs() >= WHOLE_FROM;
            fixed(value, if whole { 0 } else { 2 })
        };
        let range = match (row.low, row.high) {
            (Some(low), Some(high)) => format!("{}-{}", fixed(low, 2), fixed(high, 2)),
            _ => String::new(),
        };
        let cells = [
            row.factor.clone(),
            fixed(row.before, 2),
            fixed(row.after, 2),
            range,
            row.acts_on.clone(),
            figure(row.figure_before),
            figure(row.figure_after),
            units.convert(0.0, &row.unit).1.to_owned(),
        ];
        cells.map(Cell::Text).into()
    };
    let rows = view.factors.iter().filter(|row| row.is_fitted());
    DataTable::plain("fitted", &columns, rows.map(row).collect())
}

/// First harvests against the model.
pub fn growth(view: &GrowthView) -> DataTable {
    DataTable::of("tune_journal", &view.plantings)
        .show("crop_name bed sown picked expected late_days factor")
}
