//! The year inside.

use super::table::{Align, Sheet};
use super::{Look, notes};
use crate::output::first_year::first_year_cells;
use crate::output::text::{fixed, month_head, percent};
use crate::output::view::{
    ClimateDay, ClimateMonth, ClimateView, ColdHourRow, Figure, FirstMonth, YearKind,
};

/// Width from which humidity, hours of frost and heat, and the air outside are shown too.
const WIDE: u16 = 120;
/// Days that one character of the year line stands for.
const DAYS_PER_CHARACTER: usize = 7;
/// Characters of the year line, lowest first.
const LEVELS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// The year inside as a table of months, with a line for the course of the temperatures.
pub fn climate(view: &ClimateView, look: &Look) -> String {
    let kind = match view.year_kind {
        YearKind::Settled => "settled year",
        YearKind::First => "first year",
    };
    let degree = look.units.temperature_unit();
    let head = format!(
        "The year inside, {}, {kind}, temperatures in {degree}",
        view.place
    );
    let mut text = look.head(&head);
    text.push_str(&months(view, look));
    text.push_str(&look.prose(&totals(view, look)));
    text.push_str(&course(&view.days, look));
    text.push_str(&spreads(view, look));
    text.push_str(&first_year(&view.first_against_settled, look));
    text.push_str(&notes(&view.notes, look));
    text
}

fn months(view: &ClimateView, look: &Look) -> String {
    let wide = look.columns() >= WIDE;
    let with_store = view.months.iter().any(|month| month.store_mean_c.is_some());
    let mut sheet = Sheet::new(&[("", Align::Key)]);
    let mut heads = vec![
        "Air\nmean".to_string(),
        "\nmin".to_string(),
        "\nmax".to_string(),
        "\nlow".to_string(),
        "Root\nmean".to_string(),
        "\nmin".to_string(),
    ];
    if with_store {
        heads.push("Store\nmean".to_string());
    }
    heads.extend(["Light\nmol", "Day\nh", "Heater\nkWh", "Fan\nkWh"].map(String::from));
    if wide {
        heads.extend(["Humid\n%", "Below 0\nh", "Above 30\nh", "Vented\nh"].map(String::from));
        heads.extend(["Outside\nmean".to_string(), "\nmin".to_string()]);
    }
    for head in &heads {
        sheet.column(head, Align::Right);
    }
    for month in &view.months {
        sheet.row(month_cells(month, with_store, wide, look));
    }
    sheet.render(look)
}

fn month_cells(month: &ClimateMonth, with_store: bool, wide: bool, look: &Look) -> Vec<String> {
    let degrees = |celsius: f64| fixed(look.units.temperature(celsius), 1);
    let figure = |figure: Figure| degrees(figure.value);
    let mut cells = vec![
        month_head(month.month).to_string(),
        figure(month.air_mean_c),
        figure(month.air_min_c),
        figure(month.air_max_c),
        figure(month.coldest_hour_c),
        figure(month.root_zone_mean_c),
        figure(month.root_zone_min_c),
    ];
    if with_store {
        cells.push(month.store_mean_c.map(figure).unwrap_or_default());
    }
    cells.extend([
        fixed(month.light_mol_m2_day.value, 1),
        fixed(month.day_length_h, 1),
        fixed(month.heater_kwh.value, 0),
        fixed(month.fan_kwh.value, 0),
    ]);
    if wide {
        cells.extend([
            fixed(month.relative_humidity_pct.value, 0),
            fixed(month.below_0_c_h.value, 0),
            fixed(month.above_30_c_h.value, 0),
            fixed(month.vented_h.value, 0),
            month.outside_mean_c.map(degrees).unwrap_or_default(),
            month.outside_min_c.map(degrees).unwrap_or_default(),
        ]);
    }
    cells
}

fn totals(view: &ClimateView, look: &Look) -> String {
    let degrees = |celsius: f64| {
        let unit = look.units.temperature_unit();
        format!("{} {unit}", fixed(look.units.temperature(celsius), 1))
    };
    format!(
        "\nAir min and max are means over the days of the month, low is its coldest hour. Light is mol/m2 a day.\n\
         Coldest hour of the year shown: air {}, root zone {}.{}\n\
         Year: heater {} kWh, fan {} kWh.\n\
         Heat balance: {} of the heat that passed through is unexplained.\n",
        degrees(view.coldest_air_c),
        degrees(view.coldest_root_zone_c),
        view.air_once_in_ten_c()
            .map_or_else(String::new, |celsius| format!(
                "\nOnce in ten years the air is as cold as {}.",
                degrees(celsius)
            )),
        fixed(view.heater_kwh_year, 0),
        fixed(view.fan_kwh_year, 0),
        residual(view.balance_residual),
    )
}

/// Share of heat without explanation; the last digits of a closed balance say nothing.
fn residual(share: f64) -> String {
    /// Smallest share that is written out (own choice).
    const SMALLEST: f64 = 1e-5;
    if share.abs() < SMALLEST {
        "less than 0.001 %".to_string()
    } else {
        percent(share.abs(), 3)
    }
}

/// One character a week: the warmest and the coldest hour of the air, the root zone, on one scale.
fn course(days: &[ClimateDay], look: &Look) -> String {
    if days.is_empty() {
        return String::new();
    }
    let weekly = |of_day: fn(&ClimateDay) -> f64, pick: fn(f64, f64) -> f64| -> Vec<f64> {
        days.chunks(DAYS_PER_CHARACTER)
            .filter(|week| week.len() == DAYS_PER_CHARACTER)
            .filter_map(|week| week.iter().map(of_day).reduce(pick))
            .collect()
    };
    let lines = [
        ("air, warmest hour", weekly(|day| day.air_max_c, f64::max)),
        ("air, coldest hour", weekly(|day| day.air_min_c, f64::min)),
        (
            "root zone, coldest",
            weekly(|day| day.root_zone_c, f64::min),
        ),
    ];
    let low = lines
        .iter()
        .flat_map(|(_, line)| line)
        .copied()
        .fold(f64::INFINITY, f64::min);
    let high = lines
        .iter()
        .flat_map(|(_, line)| line)
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    let degrees = |celsius: f64| fixed(look.units.temperature(celsius), 0);
    let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Right), ("", Align::Left)]);
    for (name, line) in lines {
        let ends = line
            .iter()
            .copied()
            .reduce(f64::min)
            .zip(line.iter().copied().reduce(f64::max));
        let range = ends.map(|(from, to)| format!("{}..{}", degrees(from), degrees(to)));
        sheet.row(vec![
            name.to_string(),
            year_line(&line, low, high),
            range.unwrap_or_default(),
        ]);
    }
    let unit = look.units.temperature_unit();
    format!(
        "\nWeek by week, January to December, in {unit}\n{}",
        sheet.render(look)
    )
}

/// A value a character, between a lowest and a highest level.
fn year_line(values: &[f64], low: f64, high: f64) -> String {
    let top = (LEVELS.len() - 1) as f64;
    let level = |value: f64| {
        let share = if high > low {
            (value - low) / (high - low)
        } else {
            0.0
        };
        LEVELS
            .get((share * top).round() as usize)
            .copied()
            .unwrap_or(' ')
    };
    values.iter().map(|&value| level(value)).collect()
}

/// What the weather years say, where they ran.
fn spreads(view: &ClimateView, look: &Look) -> String {
    if view.weather_years == 0 {
        return String::new();
    }
    let degree = look.units.temperature_unit();
    let degrees = |celsius: f64| fixed(look.units.temperature(celsius), 1);
    let whole = |value: f64| fixed(value, 0);
    let tenth = |value: f64| fixed(value, 1);
    let [low, high] = view
        .band_c
        .map(|celsius| fixed(look.units.temperature(celsius), 0));
    let cold: [Quantity; 3] = [
        ("Air mean", &|month| month.air_mean_c, &degrees),
        ("Air min", &|month| month.air_min_c, &degrees),
        ("Root zone min", &|month| month.root_zone_min_c, &degrees),
    ];
    let light: [Quantity; 3] = [
        ("Light mol", &|month| month.light_mol_m2_day, &tenth),
        ("Sunlit h", &|month| month.sunlit_in_band_h, &whole),
        ("Heater kWh", &|month| month.heater_kwh, &whole),
    ];
    let years = view.weather_years;
    let mut text = String::new();
    if let (Some(heater), Some(fan)) = (view.heater_kwh_mean_year, view.fan_kwh_mean_year) {
        text.push_str(&look.prose(&format!(
            "\nMean of {years} weather years: heater {} kWh, fan {} kWh a year.\n",
            whole(heater),
            whole(fan)
        )));
    }
    text.push_str(&format!(
        "\nOver {years} weather years, {degree} (p10: one year in ten is lower)\n"
    ));
    text.push_str(&quantiles(&view.months, &cold, look));
    text.push_str(&format!(
        "\nSunlit h: hours with sun on the beds and air from {low} to {high} {degree}\n"
    ));
    text.push_str(&quantiles(&view.months, &light, look));
    text.push_str(&cold_hours(view, look));
    text
}

/// A monthly figure: head, which, how it is written.
type Quantity<'a> = (
    &'static str,
    &'a dyn Fn(&ClimateMonth) -> Figure,
    &'a dyn Fn(f64) -> String,
);

fn quantiles(months: &[ClimateMonth], shown: &[Quantity], look: &Look) -> String {
    let mut sheet = Sheet::new(&[("\nMonth", Align::Key)]);
    for (head, _, _) in shown {
        for (index, quantile) in ["p10", "p50", "p90"].iter().enumerate() {
            let first = if index == 0 { head } else { "" };
            sheet.column(&format!("{first}\n{quantile}"), Align::Right);
        }
    }
    for month in months {
        let mut cells = vec![month_head(month.month).to_string()];
        for (_, of, written) in shown {
            let ends = of(month)
                .spread
                .map(|spread| [spread.p10, spread.p50, spread.p90]);
            cells.extend(match ends {
                Some(ends) => ends.map(written),
                None => [const { String::new() }; 3],
            });
        }
        sheet.row(cells);
    }
    sheet.render(look)
}

/// Coldest hours by the years between two like them.
fn cold_hours(view: &ClimateView, look: &Look) -> String {
    if view.cold_hours.is_empty() {
        return String::new();
    }
    let degree = look.units.temperature_unit();
    let degrees = |celsius: Option<f64>, none: &str| {
        celsius.map_or_else(
            || none.to_string(),
            |celsius| fixed(look.units.temperature(celsius), 1),
        )
    };
    let mut sheet = Sheet::new(&[("Coldest\nhour", Align::Key)]);
    let of_place = |a: &ColdHourRow, b: &ColdHourRow| (&a.place, &a.cover) == (&b.place, &b.cover);
    let first = view.cold_hours.chunk_by(of_place).next();
    for row in first.unwrap_or_default() {
        sheet.column(&format!("1 in {}\nyears", row.once_in_years), Align::Right);
        sheet.column("\nrange", Align::Right);
    }
    for rows in view.cold_hours.chunk_by(of_place) {
        let Some(first) = rows.first() else { continue };
        let name = [first.place.as_str(), first.cover.as_str()]
            .join(" ")
            .trim()
            .to_string();
        let mut cells = vec![name];
        for row in rows {
            cells.push(degrees(row.coldest_c, "-"));
            cells.push(format!(
                "{}..{}",
                degrees(row.low_c, "?"),
                degrees(row.high_c, "?")
            ));
        }
        sheet.row(cells);
    }
    format!(
        "\nColdest hour of a year, {degree} (an end of the range is passed one time in ten;\n?: too few years)\n{}",
        sheet.render(look)
    )
}

/// The first year beside the settled one.
fn first_year(months: &[FirstMonth], look: &Look) -> String {
    if months.is_empty() {
        return String::new();
    }
    let degree = look.units.temperature_unit();
    let mut sheet = Sheet::new(&[
        ("\nMonth", Align::Key),
        ("Air min\nfirst", Align::Right),
        ("\nsettled", Align::Right),
        ("Root mean\nfirst", Align::Right),
        ("\nsettled", Align::Right),
        ("Heater kWh\nfirst", Align::Right),
        ("\nsettled", Align::Right),
    ]);
    for month in months {
        sheet.row(first_year_cells(month, look.units));
    }
    format!(
        "\nFirst year on cold ground against the settled year, {degree}\n{}",
        sheet.render(look)
    )
}
