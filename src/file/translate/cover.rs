//! The parts of the floor with a climate of their own: beds under a cover, beds along an outer wall.

use crate::calendar::SECONDS_PER_HOUR;
use crate::file::project::Bed;
use crate::file::section::Section;
use crate::house::cover_kinds::{self, CoverKind, NAMES};
use crate::house::{BedCover, CoverTimes, FLOOR_PARTS_MAX, Floor, FloorPart, Handling};
use crate::suggest;

/// What a bed without a cover says.
const NO_COVER: &str = "none";

/// The parts of a floor that beds ask for; tells each bed its climate, and the floor how wide its edge beds are.
///
/// Where no bed has a cover one is described all the same, over none of the floor, so that what it would do is known. No
/// bed, no part.
pub fn parts(root: &Section<'_, '_>, beds: &mut [Bed], floor: &mut Floor) -> Vec<FloorPart> {
    if beds.is_empty() {
        return Vec::new();
    }
    let covers = covers(root, beds);
    let part = |name: String, cover: Option<&BedCover>, at_edge: bool| FloorPart {
        name,
        area_m2: 0.0,
        cover: cover.cloned(),
        at_edge,
    };
    let mut parts: Vec<FloorPart> = Vec::new();
    for (at, bed) in beds.iter_mut().enumerate() {
        let cover = bed.cover.as_deref().and_then(|name| find(&covers, name));
        if bed.cover.is_some() && cover.is_none() {
            unknown(root, at, bed, &covers);
        }
        let at_edge = bed.edge_m.is_some();
        if cover.is_none() && !at_edge {
            continue;
        }
        let name = match (cover, at_edge) {
            (Some(cover), false) => cover.name.clone(),
            (Some(cover), true) => format!("{}, edge", cover.name),
            (None, _) => "edge".to_owned(),
        };
        let known = parts.iter().position(|part| part.name == name);
        if known.is_none() {
            parts.push(part(name, cover, at_edge));
        }
        let own = known.unwrap_or(parts.len() - 1);
        parts[own].area_m2 += bed.area_m2;
        bed.climate = own + 1;
    }
    if parts.len() >= FLOOR_PARTS_MAX {
        let most = FLOOR_PARTS_MAX - 1;
        let ways = parts.len();
        let wrong = format!("the beds lie in {ways} ways under covers and at the edge");
        let right = format!("{most} of them at most: give beds that are alike the same cover");
        root.problem("bed", wrong, right);
        parts.truncate(most);
    }
    if parts.iter().all(|part| part.cover.is_none()) && parts.len() + 1 < FLOOR_PARTS_MAX {
        let first = covers.first();
        parts.extend(first.map(|cover| part(cover.name.clone(), Some(cover), false)));
    }
    let edge = beds.iter().filter(|bed| bed.edge_m.is_some());
    let edge_m2: f64 = edge.clone().map(|bed| bed.area_m2).sum();
    if edge_m2 > 0.0 {
        let width_m2 = edge.map(|bed| bed.edge_m.unwrap_or_default() * bed.area_m2);
        floor.strip_m = width_m2.sum::<f64>() / edge_m2;
    }
    parts
}

/// The covers of the file's list, then the kinds that beds name without it, or a usual one where there is none.
fn covers(root: &Section<'_, '_>, beds: &[Bed]) -> Vec<BedCover> {
    let mut covers: Vec<BedCover> = Vec::new();
    for table in root.tables("cover") {
        let cover = listed(&table);
        if find(&covers, &cover.name).is_some() || cover.name.eq_ignore_ascii_case(NO_COVER) {
            let wrong = format!("two covers are called \"{}\"", cover.name);
            let key = if table.has("name") { "name" } else { "kind" };
            table.problem(key, wrong, "give each cover its own name");
        }
        covers.push(cover);
    }
    let named = beds.iter().filter_map(|bed| bed.cover.as_deref());
    for name in named {
        if find(&covers, name).is_none()
            && let Some(kind) = NAMES.iter().find(|kind| kind.eq_ignore_ascii_case(name))
        {
            covers.extend(cover_kinds::kind(kind).map(usual));
        }
    }
    if covers.is_empty() {
        covers.extend(cover_kinds::KINDS.first().map(usual));
    }
    covers
}

fn find<'a>(covers: &'a [BedCover], name: &str) -> Option<&'a BedCover> {
    let mut covers = covers.iter();
    covers.find(|cover| cover.name.eq_ignore_ascii_case(name))
}

fn unknown(root: &Section<'_, '_>, at: usize, bed: &Bed, covers: &[BedCover]) {
    let name = bed.cover.clone().unwrap_or_default();
    let mut words = vec![NO_COVER];
    words.extend(covers.iter().map(|cover| cover.name.as_str()));
    words.extend(NAMES.iter().filter(|kind| find(covers, kind).is_none()));
    let right = match suggest::nearest(&name, words.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"? covers: {}", words.join(", ")),
        None => format!("covers: {}", words.join(", ")),
    };
    let wrong = format!("no cover is called \"{name}\"");
    // Beds that are counted stand in the file once.
    let tables = root.tables("bed");
    let named =
        |table: &&Section<'_, '_>| table.text("cover").is_some_and(|own| own.trim() == name);
    match tables.iter().find(named).or(tables.get(at)) {
        Some(table) => table.problem("cover", wrong, right),
        None => root.problem("bed", wrong, right),
    }
}

/// A kind of cover as it is usually laid.
fn usual(kind: &CoverKind) -> BedCover {
    BedCover {
        name: kind.name.to_owned(),
        area_ratio: kind.area_ratio,
        height_m: kind.height.value,
        resistance_m2k_w: 0.0,
        solar_transmittance: kind.light.value,
        long_wave_transmittance: kind.long_wave.value,
        emissivity: kind.emissivity,
        air_flow_m3_s_m2: kind.air_change.value * kind.height.value / SECONDS_PER_HOUR,
        porous: kind.porous,
        on: CoverTimes::Handled(Handling::default()),
    }
}

fn listed(table: &Section<'_, '_>) -> BedCover {
    let word: String = table.get_or_default("kind");
    let kind = cover_kinds::kind(&word).unwrap_or(&cover_kinds::KINDS[0]);
    let of = |key: &str, figure: cover_kinds::Figure| {
        let why = format!("{}: {}", kind.name, figure.source);
        table.number_or(key, figure.value, why)
    };
    let name = table.text("name");
    let height_m = of("height", kind.height);
    let air_change_per_h = of("air_change", kind.air_change);
    let long_wave_transmittance = of("long_wave", kind.long_wave);
    BedCover {
        name: name.as_deref().unwrap_or(kind.name).trim().to_owned(),
        height_m,
        solar_transmittance: of("light", kind.light),
        long_wave_transmittance,
        emissivity: kind.emissivity.min(1.0 - long_wave_transmittance),
        air_flow_m3_s_m2: air_change_per_h * height_m / SECONDS_PER_HOUR,
        on: times(table),
        ..usual(kind)
    }
}

fn times(table: &Section<'_, '_>) -> CoverTimes {
    let rules = [
        &["months"][..],
        &["night_months", "from", "to"],
        &["below", "lift_above"],
    ];
    let given = rules.map(|keys| keys.iter().copied().find(|key| table.has(key)));
    let given: Vec<&str> = given.into_iter().flatten().collect();
    if let [first, .., last] = given[..] {
        let wrong =
            format!("the cover is told more than once when it lies on: `{first}` and `{last}`");
        table.problem(last, wrong, "keep one of them");
    }
    if let Some(months) = table.get("months") {
        return CoverTimes::Months(months);
    }
    let nights = table.get("night_months");
    match (table.number("from"), table.number("to")) {
        (Some(from_h), Some(to_h)) => {
            return CoverTimes::Clock {
                months: nights.unwrap_or([true; 12]),
                from_h,
                to_h,
            };
        }
        (Some(_), None) => table.missing("to"),
        (None, Some(_)) => table.missing("from"),
        (None, None) => {}
    }
    if let Some(months) = nights {
        return CoverTimes::Nights(months);
    }
    CoverTimes::Handled(table.filled_or_default())
}
