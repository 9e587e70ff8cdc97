//! Where heat comes from and goes, and what would raise the coldest hour.

use super::table::{Align, Sheet};
use super::{Look, draw, notes};
use crate::calendar::MONTH_HEADS;
use crate::output::tables;
use crate::output::text::fixed;
use crate::output::view::{HeatFlow, StoreRow, WhyView};

/// Heat by path and month, the measures tried, and the store's fan beside what it saves.
pub fn why(view: &WhyView, look: &Look) -> String {
    let mut text = look.head(&format!(
        "Where the heat comes from and goes, {}, kWh a month",
        view.place
    ));
    text.push_str(&flows(&view.heat_flows, look));
    text.push_str(&look.prose("Positive warms the house, negative is lost; stored: taken up by soil, walls and air (negative), or given back. A month's rows add up to nothing. Later years, the ground warmed up.\n"));
    text.push('\n');
    text.push_str(&draw(&tables::measures(view), look));
    text.push('\n');
    text.push_str(&done(view, look));
    if let Some(store) = &view.store {
        text.push_str(&look.prose(&store_words(store, look)));
    }
    text.push_str(&notes(&view.notes, look));
    text
}

fn flows(flows: &[HeatFlow], look: &Look) -> String {
    let most = flows
        .iter()
        .flat_map(|flow| flow.kwh)
        .fold(0.0_f64, |most, kwh| most.max(kwh.abs()));
    // A cold frame moves a few kWh a month: whole numbers would say nothing of it.
    let digits = [10.0, 100.0].iter().filter(|below| most < **below).count();
    let mut sheet = Sheet::new(&[("", Align::Key)]);
    for flow in flows {
        sheet.column(&flow.path.replace(' ', "\n"), Align::Right);
    }
    for (month, head) in MONTH_HEADS.iter().enumerate() {
        let of_month = |flow: &HeatFlow| flow.kwh.get(month).copied().unwrap_or(f64::NAN);
        sheet.row(cells(head, flows, digits, of_month));
    }
    sheet.row(cells("Year", flows, digits, |flow| flow.kwh.iter().sum()));
    sheet.render(look)
}

fn cells(
    head: &str,
    flows: &[HeatFlow],
    digits: usize,
    kwh: impl Fn(&HeatFlow) -> f64,
) -> Vec<String> {
    std::iter::once(head.to_string())
        .chain(flows.iter().map(|flow| fixed(kwh(flow), digits)))
        .collect()
}

/// What each measure does.
fn done(view: &WhyView, look: &Look) -> String {
    let mut sheet = Sheet::new(&[("", Align::Left), ("", Align::Left)]);
    for row in view.measures.iter().filter(|row| !row.what.is_empty()) {
        sheet.row(vec![row.measure.clone(), look.units.say(&row.what)]);
    }
    sheet.render(look)
}

fn store_words(store: &StoreRow, look: &Look) -> String {
    let degrees = |celsius: f64| {
        let unit = look.units.temperature_unit();
        format!("{} {unit}", fixed(look.units.temperature(celsius), 1))
    };
    format!(
        "\nThe store: {} kWh put in, {} kWh drawn, fan {} kWh a year. Heater {} kWh with it, {} kWh without. Coldest \
         hour of the leaves, heater off: {} with it, {} without.\n",
        fixed(store.charged_kwh, 0),
        fixed(store.drawn_kwh, 0),
        fixed(store.fan_kwh, 0),
        fixed(store.heater_with_kwh, 0),
        fixed(store.heater_without_kwh, 0),
        degrees(store.coldest_leaf_with_c),
        degrees(store.coldest_leaf_without_c),
    )
}
