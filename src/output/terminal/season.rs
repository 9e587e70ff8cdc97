//! Crops against months.

use super::draw::{LINES, fitting, lines};
use super::{Look, draw};
use crate::calendar::MONTH_HEADS;
use crate::output::answer::{Line, warm_crops};
use crate::output::row::Cell;
use crate::output::season_words::{of_groups, stay};
use crate::output::tables::{self, DataTable};
use crate::output::text::{fixed, kind, money_decimals, short_date, spoken};
use crate::output::view::{RoofHeatRow, SeasonCrop, SeasonView};

/// Lines that name the other tables.
const LINES_OF_NAMES: usize = 2;
/// Crops up to which months and causes are part of the answer.
const CAUSES_UP_TO: usize = 6;

/// How long warm crops can stay planted under each roof, and the last sowings of winter crops.
pub fn season(view: &SeasonView, look: &Look) -> String {
    if view.heat_asked {
        return heated(view, look);
    }
    let few = view.crops.len() <= CAUSES_UP_TO;
    let mut text = look.head(&format!("Crops against months, {}", view.place));
    if few {
        text.push_str(&untitled(view, "letters", look));
    }
    let warm = roofs(view, look);
    if !warm.is_empty() {
        text.push_str(
            "Warm crops can stay planted, usual first and last day (survival, not ripening):\n",
        );
        text.push_str(&lines(&warm, look));
    }
    let months = if few { String::new() } else { groups(view) };
    let room = LINES.saturating_sub(LINES_OF_NAMES + text.lines().count() + months.lines().count());
    let mut winter = latest(view);
    let mut sowings = lines(&winter, look);
    if !few && sowings.lines().count() >= room {
        winter.truncate(1);
        sowings = lines(&winter, look);
    }
    if !winter.is_empty() {
        text.push_str(
            "Last sowing that is big enough to hold through winter, in nine years of ten:\n",
        );
        text.push_str(&sowings);
    }
    text.push_str(&months);
    if few {
        // The reasons where there is room; a line in their place where there is none.
        let why = untitled(view, "why", look);
        let room = LINES.saturating_sub(LINES_OF_NAMES + text.lines().count());
        if why.lines().count() < room {
            text.push_str(&format!(
                "{}{why}",
                if why.is_empty() { "" } else { "Why not:\n" }
            ));
        } else {
            text.push_str(&look.prose(
                "What holds them back in the months with a dot: --list why; what would turn it: --why CROP.",
            ));
        }
    }
    text
}

/// What a heater brings: fuel and money, and from when to when warm crops can stay under each roof.
fn heated(view: &SeasonView, look: &Look) -> String {
    let mut text = look.head(&format!("Held{}, {}", held(view, look), view.place));
    let of_roof = |heat: &RoofHeatRow| {
        let (peak, unit) = look.units.convert(heat.peak_w, "W");
        let cost = heat.cost.map_or_else(String::new, |cost| {
            format!(
                ", {} {}",
                fixed(cost, money_decimals(&[cost])),
                view.currency
            )
        });
        look.prose(&format!(
            "{}: {} {} a year{cost}; {} {unit} in the coldest hour.",
            heat.roof,
            fixed(heat.fuel_amount, 0),
            [&heat.fuel_unit, " of ", &heat.fuel].concat(),
            fixed(peak, 0)
        ))
    };
    let burning = view.heats.iter().filter(|heat| heat.heat_kwh > 0.0);
    text.push_str(&burning.map(of_roof).collect::<String>());
    let stays = tables::season(view)
        .into_iter()
        .filter(|table| table.name == "stays");
    for mut table in stays {
        for name in table.rows.iter_mut().filter_map(|row| row.first_mut()) {
            // Kinds of one crop follow each other within days.
            let words = name.text().map(|name| kind(&name)).unwrap_or_default();
            *name = Cell::Text(words);
        }
        let table = table.joined("crop_name");
        let room = LINES.saturating_sub(LINES_OF_NAMES + text.lines().count());
        text.push_str(&fitting(&table, room, "--list stays", look));
    }
    text
}

/// To what the air is held, and with how much heat.
fn held(view: &SeasonView, look: &Look) -> String {
    view.heated_to_c.map_or_else(String::new, |celsius| {
        let heat = view.heated_kwh_year.map_or_else(String::new, |kwh| {
            format!(" ({} kWh a year)", fixed(kwh, 0))
        });
        format!(
            " to {} {}{heat}",
            fixed(look.units.temperature(celsius), 0),
            look.units.temperature_unit()
        )
    })
}

/// A table of the season below its own head.
fn untitled(view: &SeasonView, name: &str, look: &Look) -> String {
    let tables = tables::season(view).into_iter();
    let named = tables.filter(|table| table.name == name);
    named
        .map(|table| {
            draw(
                &DataTable {
                    title: String::new(),
                    ..table
                },
                look,
            )
        })
        .collect()
}

/// All crops of the shelf, a line each, need twice the room of an answer: the groups of foods, two in a line.
fn groups(view: &SeasonView) -> String {
    const ACROSS: usize = 2;
    let groups = of_groups(view);
    let heads: String = MONTH_HEADS
        .iter()
        .flat_map(|head| head.chars().next())
        .collect();
    let wide = |(group, _): &(&str, _)| group.chars().count();
    let width = groups.iter().map(wide).max().unwrap_or(0) + 2;
    let line = |cells: Vec<(&str, String)>| {
        let cells = cells
            .iter()
            .map(|(name, months)| format!("{name:width$}{months}"));
        format!("{}\n", cells.collect::<Vec<_>>().join("    "))
    };
    let mut text =
        "By group, what half its crops do: P pick, S sow, B both, = hold, g grow, . none\n"
            .to_owned();
    text.push_str(&line(vec![("", heads); ACROSS.min(groups.len())]));
    for few in groups.chunks(ACROSS) {
        text.push_str(&line(
            few.iter()
                .map(|(name, months)| (*name, months.concat()))
                .collect(),
        ));
    }
    text
}

/// A roof with the days it lets a crop stay.
type Roof = (&'static str, fn(&SeasonCrop) -> String);

fn roofs(view: &SeasonView, look: &Look) -> Vec<Line> {
    let warm: Vec<&SeasonCrop> = view.warm_crops().collect();
    // One crop stands for the others: they follow it within weeks, and each has its row in the table.
    let one = warm
        .iter()
        .find(|crop| crop.crop.starts_with("tomato"))
        .or(warm.first());
    let Some(one) = one else {
        return Vec::new();
    };
    let held = held(view, look);
    let others: [Roof; 3] = [
        ("heated", |crop| stay(crop.stay.heated)),
        ("in a plain tunnel", |crop| stay(crop.stay.tunnel)),
        ("outdoors", |crop| stay(crop.stay.outdoors)),
    ];
    let times: Vec<String> = others
        .iter()
        .map(|(roof, of)| {
            let held = if *roof == "heated" { held.as_str() } else { "" };
            let time = match of(one) {
                none if none.is_empty() => "never".to_owned(),
                time => time,
            };
            format!("{roof}{held} {time}")
        })
        .collect();
    vec![
        Line::new("here", vec![warm_crops(view)]),
        Line::new(
            "else",
            vec![format!("{}: {}.", spoken(&one.name), times.join("; "))],
        ),
    ]
}

/// The last safe sowing of each winter crop, in the order of the days; crops of one day together.
fn latest(view: &SeasonView) -> Vec<Line> {
    let mut rows: Vec<_> = view.latest.iter().collect();
    rows.sort_by_key(|row| row.safe_in_9_of_10);
    // Beds under other covers have their rows in the table; the earliest day is safe in all.
    let mut named = std::collections::BTreeSet::new();
    rows.retain(|row| named.insert((&row.crop, &row.way)));
    let ways = [("bed", "direct"), ("trays", "tray")];
    let line = |(about, way): (&'static str, &str)| {
        let of_way: Vec<_> = rows.iter().filter(|row| row.way == way).collect();
        let days: Vec<String> = of_way
            .chunk_by(|a, b| a.safe_in_9_of_10 == b.safe_in_9_of_10)
            .map(|day| {
                let names: Vec<String> = day.iter().map(|row| spoken(&row.crop_name)).collect();
                format!(
                    "{} {}",
                    short_date(day[0].safe_in_9_of_10),
                    names.join(", ")
                )
            })
            .collect();
        (!days.is_empty()).then(|| Line::new(about, vec![format!("{}.", days.join("; "))]))
    };
    ways.into_iter().filter_map(line).collect()
}
