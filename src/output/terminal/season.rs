//! Crops against months, and one sowing followed.

use chrono::Datelike;

use super::draw::{LINES, fitting, lines};
use super::{Look, draw};
use crate::calendar::MONTH_HEADS;
use crate::crops::COMES_THROUGH;
use crate::output::answer::{Line, warm_crops};
use crate::output::row::Cell;
use crate::output::tables;
use crate::output::tables::season::{of_groups, stay};
use crate::output::text::{
    capital, day_in, fixed, gathered, joined, kind, money_decimals, percent, short_date, spoken,
};
use crate::output::view::{
    ExplainMonth, ExplainView, NoteKind, RoofHeatRow, SeasonCrop, SeasonView,
};
use crate::phrase::{Phrase, amount, bare, phrase};

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
        let cost = heat.cost.map_or_else(String::new, |cost| {
            let cost = fixed(cost, money_decimals(&[cost]));
            format!(", {cost} {}", view.currency)
        });
        look.prose(&format!(
            "{}: {} {} of {} a year{cost}; {} in the coldest hour.",
            heat.roof,
            fixed(heat.fuel_amount, 0),
            heat.fuel_unit,
            heat.fuel,
            look.units.said(heat.peak_w, "W", 0)
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
        format!(" to {}{heat}", look.units.said(celsius, "°C", 0))
    })
}

/// A table of the season below its own head.
fn untitled(view: &SeasonView, name: &str, look: &Look) -> String {
    let tables = tables::season(view).into_iter();
    let named = tables.filter(|table| table.name == name);
    named.map(|table| draw(&table.titled(""), look)).collect()
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
        joined(cells, "    ", |(name, months)| {
            format!("{name:width$}{months}")
        }) + "\n"
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
    let times = joined(others, "; ", |(roof, of)| {
        let held = if roof == "heated" { held.as_str() } else { "" };
        let time = match of(one) {
            none if none.is_empty() => "never".to_owned(),
            time => time,
        };
        format!("{roof}{held} {time}")
    });
    vec![
        Line::new("here", vec![warm_crops(view)]),
        Line::new("else", vec![format!("{}: {times}.", spoken(&one.name))]),
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
        let of_way = rows.iter().filter(|row| row.way == way);
        let days = gathered(of_way.map(|row| (row.safe_in_9_of_10, spoken(&row.crop_name))));
        let said = joined(&days, "; ", |(day, names)| {
            format!("{} {}", short_date(*day), names.join(", "))
        });
        (!days.is_empty()).then(|| Line::new(about, vec![format!("{said}.")]))
    };
    ways.into_iter().filter_map(line).collect()
}

/// What one sowing brings, how sure it is, its days, and what to watch.
pub fn explain(view: &ExplainView, look: &Look) -> String {
    let way = match view.way.as_str() {
        "tray" => "in trays",
        _ => "in the bed",
    };
    let under = match view.bed_climate.as_str() {
        bare if bare == crate::profile::BARE => "without a cover".to_owned(),
        "edge" => "at the edge, without a cover".to_owned(),
        cover => format!("under {cover}"),
    };
    let mut text = look.head(&format!(
        "{} sown {way} on {}, {} {under}, {}",
        view.name,
        day_in(view.sow, None),
        match view.bed.as_str() {
            "" => "bed",
            bed => bed,
        },
        view.place
    ));
    let said = |kind: NoteKind| -> Vec<String> {
        let notes = view.notes.iter().filter(|note| note.kind == kind);
        let said = notes.map(|note| capital(&look.units.say(&note.text)));
        said.map(|text| format!("{}.", text.trim_end_matches('.')))
            .collect()
    };
    let watch = said(NoteKind::Warning).into_iter().chain(carbon(view));
    text.push_str(&lines(
        &[
            Line::new("Picked", vec![look.units.say(&picked(view))]),
            Line::new("Odds", sure(view)),
            Line::new("Days", vec![days(view, look)]),
            Line::new("Watch", watch.collect()),
            Line::new("Else", said(NoteKind::Note)),
        ],
        look,
    ));
    text
}

/// What stands behind the figures.
pub fn explain_notes(view: &ExplainView, look: &Look) -> String {
    let grows = phrase![
        format!(
            "\nFollowed in {}. Young leaf area grows by {} % a day at best temperature ({}); the first picking is at ",
            view.followed,
            fixed(100.0 * view.leaf_rate_per_day, 0),
            view.leaf_rate_from
        ),
        amount(view.ready_kg_m2, "kg/m2", 2),
        format!(".\n{COMES_THROUGH}\n")
    ];
    look.prose(&look.units.say(&grows))
}

/// What the house's want of carbon dioxide takes while it stands, each month by its light; none where that is little.
fn carbon(view: &ExplainView) -> Option<String> {
    /// Smallest difference that is told, share (own choice).
    const TOLD: f64 = 0.02;
    let light = |month: &ExplainMonth| f64::from(month.days) * month.light_mol_m2_day;
    let all: f64 = view.months.iter().map(light).sum();
    let of = |month: &ExplainMonth| light(month) * (1.0 - month.carbon_share);
    let lost = view.months.iter().map(of).sum::<f64>() / all.max(f64::MIN_POSITIVE);
    (lost >= TOLD).then(|| {
        let lost = percent(lost, 0);
        format!("Want of carbon dioxide in the shut house takes {lost} of its growth.")
    })
}

/// How often and how much.
fn picked(view: &ExplainView) -> Phrase {
    let year = Some(view.sow.year());
    let (Some(first), Some(last)) = (view.pickings.first(), view.pickings.last()) else {
        return "nothing in the year followed.".into();
    };
    let when = match view.pickings.len() {
        1 => format!("once, on {}, ", day_in(*first, year)),
        times => {
            let last = day_in(*last, Some(first.year()));
            format!("{times} times from {} to {last}, ", day_in(*first, year))
        }
    };
    let usual = phrase![
        when,
        amount(view.picked_kg_m2, "kg/m2", 2),
        " in the year followed"
    ];
    let usual = match view.picked_kg_m2_weather_years {
        Some(spread) => usual.then(phrase![
            "; in the middle year ",
            bare(spread.p50, "kg/m2", 2),
            ", in eight years of ten ",
            bare(spread.p10, "kg/m2", 2),
            " to ",
            amount(spread.p90, "kg/m2", 2),
        ]),
        None => usual,
    };
    let lost = 1.0 - view.left_share;
    usual.then(match lost > 0.0 {
        true => format!(
            ". As in the plan {} is taken off for what is lost beside the weather (`[losses]`).",
            percent(lost, 0)
        ),
        false => ".".to_owned(),
    })
}

/// In how many years it bears, and what most often keeps it from more.
fn sure(view: &ExplainView) -> Vec<String> {
    if view.weather_years == 0 {
        return Vec::new();
    }
    let years = view.weather_years;
    let through = fixed(view.survival * f64::from(years), 0);
    let cause = if view.commonest_cause.is_empty() {
        "nothing cuts it short in any of them".to_owned()
    } else {
        format!(
            "what most often cuts it short: {}, in {} of them",
            view.commonest_cause, view.commonest_cause_years
        )
    };
    vec![format!(
        "comes through in {through} of {years} weather years and is picked in {}; {cause}.",
        view.bearing_years
    )]
}

/// The days on which something changes.
fn days(view: &ExplainView, look: &Look) -> String {
    let year = Some(view.sow.year());
    let said = joined(&view.turning_points, "; ", |event| {
        let cause = match look.units.say(&event.cause) {
            none if none.is_empty() => none,
            cause => format!(" ({cause})"),
        };
        let said = look.units.say(&event.event);
        format!("{} {said}{cause}", day_in(event.date, year))
    });
    format!("{said}.")
}
