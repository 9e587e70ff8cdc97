//! What the forms of the page do.

use std::collections::HashMap;

use super::Shared;
use crate::file::StarterShape;
use crate::journal::Draft;
use crate::output::units::Units;
use crate::page::answers::Need;
use crate::page::plan::Wish;
use crate::page::views::is_key;

/// Does what a form asks for; false where there is no such thing to do.
pub fn act(shared: &Shared, what: &str, fields: &HashMap<String, String>) -> bool {
    let desk = &shared.desk;
    let field = |name: &str| fields.get(name).map_or("", String::as_str);
    let path = field("path");
    // Only keys of the project file are ever changed, whatever a form says.
    let is_key = is_key(path);
    match what {
        "set" if is_key => desk.set(path, field("value")),
        "add" if is_key => desk.add_to_list(path, field("value")),
        "eater" => {
            let (number, age) = (whole(field("number")), whole(field("age")));
            let eater = format!("{{ number = {number}, age = {age} }}");
            desk.add_to_list("household.eaters", &eater);
        }
        "beds" => {
            let keys = ["name", "count", "length", "width", "position", "cover"];
            desk.add_beds(&keys.map(|key| (key, field(key))));
        }
        "out" if is_key => desk.take_out(path),
        "begin" => {
            let shape = match field("shape") {
                "gable" => StarterShape::Gable,
                "hoop" => StarterShape::Hoop,
                _ => StarterShape::SingleSlope,
            };
            // A town chosen from those that a name may mean.
            let town = Some(field("town")).filter(|town| !town.is_empty());
            desk.begin(town.unwrap_or(field("place")), shape, units(field("units")));
        }
        "units" => desk.set_units(units(field("units"))),
        "undo" => desk.back_or_forth(true),
        "redo" => desk.back_or_forth(false),
        "save" => desk.save(false),
        "save-over" => desk.save(true),
        "take-disk" => desk.take_disk(),
        "lay-over" => desk.lay_over_disk(),
        "drop" => desk.drop_changes(),
        "unsaved" => desk.unsaved(true),
        "forget-unsaved" => desk.unsaved(false),
        "measures" => desk.want(&[Need::Climate, Need::Why]),
        "outage" => desk.want(&[Need::Climate, Need::Outage]),
        "search" => desk.search(Need::Search, true),
        "mend" => desk.search(Need::Mend, true),
        "replan" => desk.search(Need::Replan, true),
        "stop" => desk.search(Need::Search, false),
        "try" => desk.try_plan(&Wish(fields)),
        "keep" => desk.decide(true),
        "leave" => desk.decide(false),
        "lock" => desk.lock_planting(field("at")),
        "log" => {
            let amount = field("amount").trim().to_owned();
            let text = |name: &str| field(name).to_owned();
            desk.log(&Draft {
                date: text("date"),
                event: text("event"),
                bed: text("bed"),
                crop: text("crop"),
                unit: Some(text("unit"))
                    .filter(|_| !amount.is_empty())
                    .unwrap_or_default(),
                amount,
                note: text("note"),
            });
        }
        "end" => shared.stopper.stop(),
        _ => return false,
    }
    true
}

fn units(word: &str) -> Units {
    match word {
        "us" => Units::Us,
        _ => Units::Si,
    }
}

/// Digits alone, so that what is written cannot be more than a number.
fn whole(text: &str) -> String {
    let digits: String = text.chars().filter(char::is_ascii_digit).take(6).collect();
    match digits.is_empty() {
        true => "1".to_owned(),
        false => digits,
    }
}
