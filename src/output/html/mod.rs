//! The report: one page that needs nothing else, to read on a screen, print or pin up.
//!
//! Charts are inline SVG with a title, a description, values to point at or to reach with the arrow keys, and a table
//! behind each. Style and script are part of the page; its content policy forbids everything from outside.

mod beds;
mod chart;
mod lists;
mod money;
mod strips;
mod year;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use lists::draw;

use super::answer;
use super::text::{clean, joined};
use super::units::Units;
use super::view::ReportView;

/// Style of the page.
pub const STYLE: &str = include_str!("style.css");
/// Reading of values by pointer and arrow keys.
const SCRIPT: &str = include_str!("read.js");
/// What the page may load: nothing but what it carries.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// Anchors and heads of the sections, in order: those that are always read, then those that are folded.
const SECTIONS: [(&str, &str); 4] = [
    ("answers", "The year in short"),
    ("beds", "The beds"),
    ("work", "Work by week"),
    ("order", "To order, and to mind"),
];
const FOLDED: [(&str, &str); 6] = [
    ("plan", "Plantings, shortfalls, risks"),
    ("food", "Food by food"),
    ("value", "Money, prices, costs"),
    ("season", "Crops against months"),
    ("year", "The year inside"),
    ("basis", "Assumptions and sources"),
];

/// The report as one HTML page; `full` opens what is folded, so that it is printed too.
pub fn render(view: &ReportView, units: Units, full: bool) -> String {
    let title = clean(&view.title);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a.skip href="#main" { "To the content" }
                header {
                    h1 { (title) }
                    p { (units.say(&view.summary)) }
                }
                nav aria-label="Sections" {
                    ul { @for (anchor, name) in SECTIONS.iter().chain(&FOLDED) { li { a href={ "#" (anchor) } { (name) } } } }
                }
                main id="main" {
                    @for (anchor, name) in SECTIONS {
                        section id=(anchor) aria-labelledby={ (anchor) "-head" } {
                            h2 id={ (anchor) "-head" } { (name) }
                            (content(anchor, view, units))
                        }
                    }
                    @for (anchor, name) in FOLDED {
                        section.folded id=(anchor) aria-labelledby={ (anchor) "-head" } {
                            details.part open[full] {
                                summary { h2 id={ (anchor) "-head" } { (name) } }
                                (content(anchor, view, units))
                            }
                        }
                    }
                }
                footer { p { "bedyear " (view.version) ". Figures are estimates of a model: keep a thermometer with an alarm." } }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    // The page's own line ends stay; whatever else could steer a reader's program goes.
    joined(page.into_string().split('\n'), "\n", clean)
}

/// The first sheet: what is eaten when, and every answer in a line.
fn answers(view: &ReportView, units: Units) -> Markup {
    html! {
        (draw(&answer::eaten(view, units), units))
        dl.answers {
            @for line in answer::lines(view, units) {
                div { dt { (line.about) } dd { @for said in &line.said { p { (said) } } } }
            }
        }
        (strips::targets(&view.plan, units))
    }
}

/// What stands in a section.
fn content(anchor: &str, view: &ReportView, units: Units) -> Markup {
    match anchor {
        "answers" => answers(view, units),
        "beds" => beds::chart(&view.plan, units),
        "work" => lists::work(&view.plan, units),
        "order" => html! { (part::seeds(&view.plan, units)) (lists::notes(&view.cautions, units)) },
        "plan" => html! {
            (part::plan(&view.plan, units))
            @if let Some(pass) = &view.plan.second_pass { p { (answer::own_leaves(pass, &view.plan.currency, units)) } }
            (lists::notes(&view.plan.notes, units))
        },
        "food" => strips::foods(&view.plan, units),
        "value" => {
            html! { (money::section(&view.value, units)) (lists::notes(&view.value.notes, units)) }
        }
        "season" => {
            html! { (lists::section(&view.season, units)) (lists::notes(&view.season.notes, units)) }
        }
        "year" => {
            html! { (year::section(&view.climate, units)) (lists::notes(&view.climate.notes, units)) }
        }
        _ => {
            html! { (part::assumptions(&view.assumptions, units)) (lists::sources(&view.sources)) }
        }
    }
}

/// Sections on their own, for whoever shows one at a time.
pub mod part {
    use maud::{Markup, html};

    use super::draw;
    use crate::file::about;
    use crate::output::tables::{self, DataTable};
    use crate::output::text::capital;
    use crate::output::units::Units;
    use crate::output::view::{DefaultRow, PlanView};

    pub use super::lists::{draw as table, notes, section as season, work};
    pub use super::money::section as money;
    pub use super::strips::{foods, targets};
    pub use super::year::section as year;

    /// Plantings, months, risks, shortfalls.
    pub fn plan(view: &PlanView, units: Units) -> Markup {
        html! {
            @for table in tables::plan(view).iter().filter(|table| !table.by_name && !["seeds", "gaps"].contains(&table.name)) {
                (draw(table, units))
            }
            (super::strips::gaps(view, units))
        }
    }

    /// Seed and plants to order.
    pub fn seeds(view: &PlanView, units: Units) -> Markup {
        html! {
            @for table in tables::plan(view).iter().filter(|table| table.name == "seeds") { (draw(table, units)) }
        }
    }

    /// What was assumed in the person's name.
    pub fn assumptions(rows: &[DefaultRow], units: Units) -> Markup {
        let mut rows = rows.to_vec();
        for row in &mut rows {
            row.key = format!("{} ({})", capital(&about(&row.key)), row.key);
        }
        let mut table = DataTable::of("assumed", &rows);
        table.columns[0].head = "What (key in the file)".to_owned();
        draw(&table.titled("Assumed, as the file does not say"), units)
    }
}
