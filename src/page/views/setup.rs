//! Where, what, who: the file's keys that a household would touch, each beside its effect.

use maud::{Markup, html};

use super::field::{Fields, button, hidden};
use super::{View, drawing};
use crate::file::choices;
use crate::output::build;
use crate::output::html::part;
use crate::output::units::Units;
use crate::page::desk::Seen;
use crate::page::words::label;
use crate::site::climates;
use crate::site::places::{self, Found};

pub fn view(seen: &Seen) -> Markup {
    let fields = Fields::new(seen, View::Setup);
    let job = &seen.ready.job;
    let project = &job.project;
    let eaters = project.shopping.eaters.len();
    let beds_m2: f64 = project.beds.iter().map(|bed| bed.area_m2).sum();
    let area = seen.units.said(beds_m2, "m2", 0);
    html! {
        p.answer {
            (project.beds.len()) " beds with " (area) " under one roof at " (job.site.place.name)
            ", for " (eaters) @if eaters == 1 { " person." } @else { " people." }
            " " @match project.shopping.wishes.len() { 0 => "No target is set yet.", 1 => "One target is set.", n => { (n) " targets are set." } }
        }
        @if seen.is_new { (begin(seen)) }
        datalist id="places" { @for name in climates::names() { option value=(name) {} } }
        (fold("place", "Where", seen, html! {
            (fields.fields(&["site.place", "site.elevation", "year.plan", "year.finished"]))
        }))
        (fold("house", "The house", seen, html! {
            div.beside {
                div {
                    (super::state_of(seen, &seen.answers.climate))
                    (super::cold::short(seen))
                    @match drawing::section(seen) { Some(drawing) => (drawing), None => p.quiet { "This house is described by its surfaces; they are kept as the file has them." } } }
                (fields.fields(&["building.shape", "building.length", "building.width", "building.height", "building.low_wall",
                    "building.facing", "building.glazing", "building.front", "building.back", "building.ends", "building.insulated_roof",
                    "floor.soil", "floor.skirt_depth", "floor.skirt", "air.infiltration", "vents.open_above"]))
            }
        }))
        (fold("beds", "The beds", seen, html! {
            @if let Some(drawing) = drawing::floor(seen, &fields) { (drawing) }
            @for at in 0..fields.count("bed") {
                fieldset {
                    legend { "Beds " (at + 1) }
                    (fields.fields(&["name", "count", "length", "width", "position", "cover"].map(|key| format!("bed[{at}].{key}")).each_ref().map(String::as_str)))
                    @if fields.count("bed") > 1 { (fields.out(&format!("bed[{at}]"), "Take these beds out")) }
                }
            }
            (more_beds(seen, &fields))
        }))
        (fold("eaters", "Who eats", seen, html! {
            @for at in 0..fields.count("household.eaters") {
                @let path = format!("household.eaters[{at}]");
                div.entry {
                    (fields.field(&format!("{path}.number")))
                    (fields.field(&format!("{path}.age")))
                    (fields.out(&path, "Take out"))
                }
            }
            form.entry method="post" action="/do/eater" {
                (hidden(seen, View::Setup))
                label for="new-number" { "More people: how many" } input.short type="text" inputmode="numeric" id="new-number" name="number" value="1";
                label for="new-age" { "of age" } input.short type="text" inputmode="numeric" id="new-age" name="age" placeholder="40";
                (button("Add", ""))
            }
            (fields.fields(&["household.eats", "household.refuses", "household.salad_bought"]))
        }))
        (fold("targets", "Targets", seen, html! {
            p { "What you ask of the beds, week by week." }
            (fields.texts("household.want", "A new target", "2 kg salad greens a week from October to April"))
        }))
        (fold("budget", "Budget", seen, html! {
            (fields.fields(&["money.currency", "money.groceries", "money.produce", "money.electricity", "money.fuel", "money.building", "money.life"]))
        }))
        (more(seen, &fields))
        details.more id="assumed" {
            summary { "Everything that was assumed for you (" (project.assumed.len()) ")" }
            (part::assumptions(&build::defaults(project), seen.units))
        }
    }
}

/// A part that is folded once it is done: open in a new project, and while something is wrong.
fn fold(id: &str, head: &str, seen: &Seen, content: Markup) -> Markup {
    let open = seen.is_new || matches!(id, "place" | "house");
    html! {
        details.part id={ "part-" (id) } open[open] {
            summary { h2 { (head) } }
            (content)
        }
    }
}

fn begin(seen: &Seen) -> Markup {
    let message = seen.message.as_ref();
    let message = message.filter(|message| message.path == "begin");
    html! {
        section.begin {
            h2 { "A new project" }
            p { "Nothing is written until you save. Name your town; every figure can be changed later." }
            form.entry method="post" action="/do/begin" {
                (hidden(seen, View::Setup))
                label for="begin-place" { "Place" }
                input type="text" id="begin-place" name="place" list="places" autocomplete="off" required placeholder="Bozeman, Montana"
                    value=[message.map(|message| message.written.as_str())];
                label for="begin-shape" { "House" }
                select id="begin-shape" name="shape" {
                    option value="single slope" { "one glazed slope, high insulated back wall" }
                    option value="gable" { "two slopes and a ridge" }
                    option value="hoop" { "film over bows" }
                }
                label for="begin-units" { "Written in" }
                select id="begin-units" name="units" {
                    option value="si" selected[seen.units == Units::Si] { "metres, °C, kg" }
                    option value="us" selected[seen.units == Units::Us] { "feet, °F, pounds" }
                }
                (button("Begin here", "main"))
                @if let Some(message) = message {
                    p.wrong role="alert" { (message.text) "." }
                    (meant(&message.written))
                }
            }
        }
    }
}

/// Towns shown at most where a name is not clear.
const TOWNS: usize = 8;

/// The towns that a name may mean, to choose from.
fn meant(written: &str) -> Markup {
    let towns = match places::find(written) {
        Found::One(..) => Vec::new(),
        Found::Several(towns) | Found::None(towns) => towns,
    };
    html! {
        @if !towns.is_empty() {
            fieldset.meant {
                legend { "Did you mean" }
                @for town in towns.iter().take(TOWNS) {
                    button type="submit" name="town" value=(town.in_words()) formnovalidate { (town.in_words()) }
                }
            }
        }
    }
}

fn more_beds(seen: &Seen, fields: &Fields<'_>) -> Markup {
    let like = fields.count("bed").saturating_sub(1);
    let said = |key: &str| fields.said(&format!("bed[{like}].{key}"));
    html! {
        details id="more-beds" {
            summary { "More beds" }
            form.entry method="post" action="/do/beds" {
                (hidden(seen, View::Setup))
                @for (key, value) in [("name", String::new()), ("count", "1".to_owned()), ("length", said("length")), ("width", said("width"))] {
                    @let id = format!("new-bed-{key}");
                    label for=(id) { (label(&format!("bed[0].{key}"))) }
                    input.short type="text" id=(id) name=(key) value=(value) required autocomplete="off";
                }
                @for key in ["position", "cover"] {
                    @let id = format!("new-bed-{key}");
                    label for=(id) { (label(&format!("bed[0].{key}"))) }
                    select id=(id) name=(key) { @for choice in choices(&format!("bed[0].{key}")) { option value=(choice) { (choice) } } }
                }
                (button("Add beds", ""))
            }
        }
    }
}

/// Any key of the file, chosen from the list of all; those that stand in the file come first.
fn more(seen: &Seen, fields: &Fields<'_>) -> Markup {
    let key = seen.query.get("field").map_or("", String::as_str);
    html! {
        details.more id="more" open[!key.is_empty()] {
            summary { "More: every key of the file" }
            form method="get" action="/" {
                label for="any-key" { "Key" }
                select id="any-key" name="field" data-now {
                    option value="" { "choose a key" }
                    @for row in fields.schema().iter().filter(|row| !row.takes.contains("table") && !row.path.contains("[]") && !row.path.contains('*')) {
                        option value=(row.path) selected[row.path == key] { (row.path) ": " (row.meaning) }
                    }
                }
                (button("Show", "quiet"))
            }
            @if super::is_key(key) { (fields.field(key)) }
        }
    }
}
