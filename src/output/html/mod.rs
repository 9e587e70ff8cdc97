//! The report: one page that needs nothing else, to read on a screen, print or pin up.
//!
//! Charts are inline SVG with a title, a description, values to point at or to reach with the arrow keys, and a table
//! behind each. Style and script are part of the page; its content policy forbids everything from outside.

mod beds;
mod chances;
mod chart;
mod food;
mod lists;
mod money;
mod scale;
mod season;
mod strips;
mod table;
mod year;
mod year_tables;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::text::clean;
use super::units::Units;
use super::view::ReportView;

/// Style of the page.
const STYLE: &str = include_str!("style.css");
/// Reading of values by pointer and arrow keys.
const SCRIPT: &str = include_str!("read.js");
/// What the page may load: nothing but what it carries.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// Anchors and heads of the sections, in order.
const SECTIONS: [(&str, &str); 9] = [
    ("year", "The year inside"),
    ("season", "Crops against months"),
    ("plan", "The plan"),
    ("food-weeks", "Food by week"),
    ("value", "Money"),
    ("work", "Work list"),
    ("seed", "Seed order"),
    ("basis", "Assumptions and sources"),
    ("cautions", "Cautions"),
];

/// The report as one HTML page.
pub fn render(view: &ReportView, units: Units) -> String {
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
                    ul { @for (anchor, name) in SECTIONS { li { a href={ "#" (anchor) } { (name) } } } }
                }
                main id="main" {
                    @for (anchor, name) in SECTIONS {
                        section id=(anchor) aria-labelledby={ (anchor) "-head" } {
                            h2 id={ (anchor) "-head" } { (name) }
                            (content(anchor, view, units))
                        }
                    }
                }
                footer { p { "bedyear " (view.version) ", plan of " (view.plan.as_of) ". Figures are estimates of a model: keep a thermometer with an alarm." } }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    // The page's own line ends stay; whatever else could steer a reader's program goes.
    page.into_string()
        .split('\n')
        .map(clean)
        .collect::<Vec<_>>()
        .join("\n")
}

/// What stands in a section.
fn content(anchor: &str, view: &ReportView, units: Units) -> Markup {
    match anchor {
        "year" => {
            html! { (year::section(&view.climate, units)) (lists::notes(&view.climate.notes, units)) }
        }
        "season" => {
            html! { (season::section(&view.season, units)) (lists::notes(&view.season.notes, units)) }
        }
        "plan" => html! {
            (beds::section(&view.plan, units))
            (chances::section(&view.plan, units))
            (chances::second_pass(&view.plan, units))
            (lists::notes(&view.plan.notes, units))
        },
        "food-weeks" => food::section(&view.plan, units),
        "value" => {
            html! { (money::section(&view.value, units)) (lists::notes(&view.value.notes, units)) }
        }
        "work" => lists::work(&view.plan, units),
        "seed" => lists::seeds(&view.plan, units),
        "basis" => {
            html! { (lists::assumptions(&view.assumptions, units)) (lists::sources(&view.sources)) }
        }
        _ => lists::notes(&view.cautions, units),
    }
}
