//! Variants side by side: one column each.

use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::output::text::fixed;
use crate::output::view::{CompareRow, CompareView};

/// One line of the table: its head, unit (as `Units::convert` knows it), decimals and figure.
struct Line {
    head: &'static str,
    unit: &'static str,
    decimals: usize,
    figure: fn(&CompareRow) -> Option<f64>,
}

/// A line of the table.
const fn line(
    head: &'static str,
    unit: &'static str,
    decimals: usize,
    figure: fn(&CompareRow) -> Option<f64>,
) -> Line {
    Line {
        head,
        unit,
        decimals,
        figure,
    }
}

/// What is compared, in order.
const LINES: [Line; 18] = [
    line("Coldest hour, air", "°C", 1, |row| Some(row.coldest_air_c)),
    line("Coldest month, air", "°C", 1, |row| {
        Some(row.coldest_month_air_c)
    }),
    line("Coldest hour, root zone", "°C", 1, |row| {
        Some(row.coldest_root_zone_c)
    }),
    line("Light, darkest month", "mol/m2/d", 1, |row| {
        Some(row.darkest_month_mol_m2_day)
    }),
    line("Heater", "kWh", 0, |row| Some(row.heater_kwh)),
    line("Fan", "kWh", 0, |row| Some(row.fan_kwh)),
    line("Months below freezing", "months", 0, |row| {
        Some(f64::from(row.months_with_frost))
    }),
    line("Energy, cost", "", 0, |row| row.energy_cost),
    line("Grown", "kg", 0, |row| row.grown_kg),
    line("Grown, winter half year", "kg", 0, |row| {
        row.winter_grown_kg
    }),
    line("Eaten", "kg", 0, |row| row.eaten_kg),
    line("Weeks with food", "weeks", 0, |row| {
        row.weeks_with_food.map(f64::from)
    }),
    line("Value", "", 0, |row| row.value),
    line("Cost", "", 0, |row| row.cost),
    line("Net", "", 0, |row| row.net),
    line("Payback", "years", 1, |row| row.payback_years),
    line("Payback, discounted", "years", 1, |row| {
        row.discounted_payback_years
    }),
    line("Net present value", "", 0, |row| row.net_present_value),
];

/// Width of the heads and units, in characters.
const HEADS_WIDTH: u16 = 36;
/// Width of a variant's column, in characters.
const VARIANT_WIDTH: u16 = 9;

/// Buildings and variants side by side, then each against the first; what does not fit beside the first goes below.
pub fn compare(view: &CompareView, look: &Look) -> String {
    let mut text = look.head(&format!("Side by side, {}", view.place));
    let parts = parts(view, look);
    for part in &parts {
        text.push_str(&figures(part, look));
        text.push('\n');
    }
    if view.variants.len() > 1 {
        text.push_str(&look.head("Against the first"));
        let changes: Vec<String> = parts.iter().map(|part| changes(part, look)).collect();
        text.push_str(&changes.join("\n"));
    }
    let open = view.variants.iter().filter(|row| !row.left_out.is_empty());
    for row in open {
        let net = row.net.map_or_else(String::new, |net| {
            format!(" {} {}", fixed(net, 0), view.currency)
        });
        text.push_str(&look.prose(&format!(
            "{}: net at most{net}, without {}.\n",
            row.variant, row.left_out
        )));
    }
    text.push_str(&notes(&view.notes, look));
    text
}

/// The first variant with as many of the others as fit beside it, again and again.
fn parts(view: &CompareView, look: &Look) -> Vec<CompareView> {
    let Some((first, others)) = view.variants.split_first() else {
        return Vec::new();
    };
    let fit = (look.columns().saturating_sub(HEADS_WIDTH) / VARIANT_WIDTH).max(2);
    let part = |others: &[CompareRow]| CompareView {
        variants: std::iter::once(first).chain(others).cloned().collect(),
        ..view.clone()
    };
    if others.is_empty() {
        return vec![part(others)];
    }
    others.chunks(usize::from(fit) - 1).map(part).collect()
}

/// A line ready to be shown: its head, unit, decimals and one figure for each variant.
struct Figures {
    head: String,
    unit: String,
    decimals: usize,
    figures: Vec<Option<f64>>,
}

fn figures(view: &CompareView, look: &Look) -> String {
    let mut sheet = sheet(view);
    for line in known(view) {
        let shown = line.figures.iter().map(|figure| match figure {
            Some(value) => fixed(look.units.convert(*value, &line.unit).0, line.decimals),
            None => "-".to_string(),
        });
        sheet.row(cells(&line.head, &unit(view, &line.unit, look), shown));
    }
    sheet.render(look)
}

fn changes(view: &CompareView, look: &Look) -> String {
    let mut sheet = sheet(view);
    for line in known(view) {
        let first = line.figures.first().copied().flatten();
        let step = if line.unit == "°C" { "K" } else { &line.unit };
        let changed = line.figures.iter().map(|figure| match first.zip(*figure) {
            Some((first, value)) => {
                signed(look.units.convert(value - first, step).0, line.decimals)
            }
            None => "-".to_string(),
        });
        sheet.row(cells(&line.head, &unit(view, step, look), changed));
    }
    sheet.render(look)
}

/// The lines of which something is known, with their figures: first what stands in every row, then fuel by name, then
/// months in by crop.
fn known(view: &CompareView) -> Vec<Figures> {
    let fixed_lines = LINES.iter().map(|line| Figures {
        head: line.head.to_string(),
        unit: line.unit.to_string(),
        decimals: line.decimals,
        figures: view.variants.iter().map(line.figure).collect(),
    });
    fixed_lines
        .chain(fuels(view))
        .chain(months_in(view))
        .filter(|line| line.figures.iter().any(Option::is_some))
        .collect()
}

/// One line for each fuel that some variant burns.
fn fuels(view: &CompareView) -> Vec<Figures> {
    let mut names: Vec<(&str, &str)> = Vec::new();
    for row in view.variants.iter().filter(|row| !row.fuel.is_empty()) {
        if !names.contains(&(&row.fuel, &row.fuel_unit)) {
            names.push((&row.fuel, &row.fuel_unit));
        }
    }
    let line = |(fuel, unit): (&str, &str)| Figures {
        head: format!("Heater: {fuel}"),
        unit: unit.to_string(),
        decimals: 0,
        figures: view
            .variants
            .iter()
            .map(|row| {
                Some(if row.fuel == fuel {
                    row.fuel_amount
                } else {
                    0.0
                })
            })
            .collect(),
    };
    names.into_iter().map(line).collect()
}

/// One line for each warm crop that stays in somewhere: median months.
fn months_in(view: &CompareView) -> Vec<Figures> {
    let mut crops: Vec<(&str, &str)> = Vec::new();
    for row in &view.months_in {
        let crop = (row.crop.as_str(), row.crop_name.as_str());
        if row.months_in.is_some() && !crops.contains(&crop) {
            crops.push(crop);
        }
    }
    let of = |crop: &str, variant: &CompareRow| {
        view.months_in
            .iter()
            .find(|row| row.crop == crop && row.variant == variant.variant)
            .and_then(|row| row.months_in)
            .map(|spread| spread.p50)
    };
    crops
        .into_iter()
        .map(|(crop, name)| Figures {
            head: format!("In: {name}"),
            unit: "months".to_string(),
            decimals: 1,
            figures: view.variants.iter().map(|row| of(crop, row)).collect(),
        })
        .collect()
}

/// The unit as people read it; money has none of its own.
fn unit(view: &CompareView, unit: &str, look: &Look) -> String {
    match unit {
        "" => view.currency.clone(),
        _ => look.units.convert(0.0, unit).1.to_string(),
    }
}

fn sheet(view: &CompareView) -> Sheet {
    let mut sheet = Sheet::new(&[("", Align::Key), ("Unit", Align::Key)]);
    for variant in &view.variants {
        sheet.column(&variant.variant, Align::RightUnderLongHead);
    }
    sheet
}

fn cells(head: &str, unit: &str, figures: impl Iterator<Item = String>) -> Vec<String> {
    [head.to_string(), unit.to_string()]
        .into_iter()
        .chain(figures)
        .collect()
}

/// A change with its sign.
fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.starts_with('-') || text.trim_matches(['0', '.']).is_empty() {
        text
    } else {
        format!("+{text}")
    }
}
