//! The towns of the world: found by name, found near a spot, each with its region, country, people and time zone.

use std::sync::OnceLock;

use chrono::{NaiveDate, Offset, TimeZone};
use fnv::FnvHashMap;

use super::fold::folded;
use super::tables::nearest_of;
use super::unpack::{Lines, Reader};
use crate::plain::likeness;
use crate::site::weather::Place;

static PACKED: &[u8] = include_bytes!("../../../climates/tables/towns.bin");

/// A town this many times larger than the next of its name is meant by the name alone (own choice).
const MEANT_FROM: u32 = 10;
/// Likeness from which another name is offered (own choice).
const LIKE_ENOUGH: f64 = 0.88;
/// Names offered in place of one that is not known.
const OFFERED: usize = 3;
/// Year whose clock tells a zone's winter time.
const CLOCK_YEAR: i32 = 2026;
/// Degrees of longitude that the sun covers in an hour.
const DEGREES_PER_HOUR: f64 = 15.0;
/// Further from any town than this the clock is taken by the sun, km (own choice).
const ZONE_WITHIN_KM: f64 = 300.0;
/// Hundredths in a degree.
const HUNDREDTHS: f64 = 100.0;

/// A town.
#[derive(Clone, Debug, PartialEq)]
pub struct Town {
    pub name: String,
    /// State, province or the like; may be empty.
    pub region: String,
    pub country: String,
    /// Two letters of the country.
    pub country_code: String,
    /// Latitude, degrees, north positive, to 0.01.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive, to 0.01.
    pub longitude_deg: f64,
    /// People, to some 4 %.
    pub population: u32,
    /// Time zone as the tz database calls it.
    pub time_zone: String,
    /// Height above sea level, m, to 10 m, where it is known.
    pub elevation_m: Option<f64>,
}

/// What a name may mean.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// One town; the others of that name are far smaller.
    One(Box<Town>, Vec<Town>),
    /// Several towns, the largest first.
    Several(Vec<Town>),
    /// None; these are spelled alike.
    None(Vec<Town>),
}

impl Town {
    /// Name with the region in North America and Australia, else with the country.
    pub fn shown(&self) -> String {
        let wider = match self.country_code.as_str() {
            "US" | "CA" | "AU" if !self.region.is_empty() => &self.region,
            _ => &self.country,
        };
        format!("{}, {wider}", self.name)
    }

    /// Name, region and country, so that it is found again.
    pub fn in_words(&self) -> String {
        let region = if self.region.is_empty() {
            String::new()
        } else {
            format!("{}, ", self.region)
        };
        format!("{}, {region}{}", self.name, self.country)
    }

    /// Name, region, country and people, for lists of several.
    pub fn in_full(&self) -> String {
        format!(
            "{} ({} people)",
            self.in_words(),
            two_digits(self.population)
        )
    }

    /// Winter time of its clock less UTC, h.
    pub fn utc_offset_h(&self) -> f64 {
        winter_offset_h(&self.time_zone)
            .unwrap_or_else(|| (self.longitude_deg / DEGREES_PER_HOUR).round())
    }

    /// Distance to a spot, km.
    pub fn distance_km(&self, latitude_deg: f64, longitude_deg: f64) -> f64 {
        spot(self.latitude_deg, self.longitude_deg).distance_km(&spot(latitude_deg, longitude_deg))
    }
}

pub(super) fn spot(latitude_deg: f64, longitude_deg: f64) -> Place {
    Place {
        latitude_deg,
        longitude_deg,
        ..Place::default()
    }
}

/// A number of people to two digits.
fn two_digits(people: u32) -> String {
    let step = 10u32.pow(people.max(1).ilog10().saturating_sub(1));
    let rounded = (people + step / 2) / step * step;
    let digits = rounded.to_string();
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(' ');
        }
        text.push(digit);
    }
    text
}

/// The earlier of the clock's offsets in January and July, h: that of winter.
fn winter_offset_h(zone: &str) -> Option<f64> {
    let zone: chrono_tz::Tz = zone.parse().ok()?;
    let at = |month| {
        let noon = NaiveDate::from_ymd_opt(CLOCK_YEAR, month, 15)?.and_hms_opt(12, 0, 0)?;
        let seconds = zone.offset_from_utc_datetime(&noon).fix().local_minus_utc();
        Some(f64::from(seconds) / 3600.0)
    };
    Some(f64::min(at(1)?, at(7)?))
}

/// Local winter time less UTC at a spot, h, and the town whose clock it is; by the sun where no town is near.
pub fn clock_at(latitude_deg: f64, longitude_deg: f64) -> (f64, Option<Town>) {
    let town = near(latitude_deg, longitude_deg, 1)
        .pop()
        .filter(|town| town.distance_km(latitude_deg, longitude_deg) <= ZONE_WITHIN_KM);
    match town {
        Some(town) => (town.utc_offset_h(), Some(town)),
        None => ((longitude_deg / DEGREES_PER_HOUR).round(), None),
    }
}

#[derive(Debug)]
struct List {
    countries: Lines,
    regions: Lines,
    zones: Lines,
    names: Lines,
    region: Vec<i32>,
    latitude: Vec<i32>,
    longitude: Vec<i32>,
    people: Vec<u8>,
    zone: Vec<i32>,
    /// Tens of metres above sea level.
    height: Vec<i32>,
    /// Numbers of the towns that go by a folded name.
    by_name: FnvHashMap<String, Vec<usize>>,
}

fn list() -> &'static List {
    static LIST: OnceLock<List> = OnceLock::new();
    LIST.get_or_init(|| {
        let mut reader = Reader::open(PACKED);
        let (countries, regions, zones) = (reader.lines(), reader.lines(), reader.lines());
        let (names, others) = (reader.lines(), reader.lines());
        let count = names.len();
        let mut by_name = FnvHashMap::<String, Vec<usize>>::default();
        for town in 0..count {
            let all = std::iter::once(names.get(town)).chain(others.get(town).split('|'));
            for name in all.map(folded).filter(|name| !name.is_empty()) {
                let towns = by_name.entry(name).or_default();
                if towns.last() != Some(&town) {
                    towns.push(town);
                }
            }
        }
        List {
            by_name,
            region: reader.column(count),
            latitude: reader.column(count),
            longitude: reader.column(count),
            people: (0..count).map(|_| reader.byte()).collect(),
            zone: reader.column(count),
            height: reader.column(count),
            countries,
            regions,
            zones,
            names,
        }
    })
}

impl List {
    fn at(column: &[i32], index: usize) -> usize {
        column
            .get(index)
            .and_then(|&value| usize::try_from(value).ok())
            .unwrap_or(0)
    }

    /// Country code, name of the region and its letters.
    fn region(&self, town: usize) -> [&str; 3] {
        let mut parts = self.regions.get(Self::at(&self.region, town)).split('\t');
        std::array::from_fn(|_| parts.next().unwrap_or_default())
    }

    fn country(&self, code: &str) -> &str {
        let line = self
            .countries
            .iter()
            .find(|line| line.split('\t').next() == Some(code));
        line.and_then(|line| line.split('\t').nth(1))
            .unwrap_or_default()
    }

    fn place(&self, town: usize) -> (f64, f64) {
        let degrees =
            |column: &[i32]| f64::from(column.get(town).copied().unwrap_or_default()) / HUNDREDTHS;
        (degrees(&self.latitude), degrees(&self.longitude))
    }

    fn town(&self, town: usize) -> Town {
        let [country_code, region, _] = self.region(town);
        let (latitude_deg, longitude_deg) = self.place(town);
        let octaves = f64::from(self.people.get(town).copied().unwrap_or_default()) / 10.0;
        Town {
            name: self.names.get(town).to_owned(),
            region: region.to_owned(),
            country: self.country(country_code).to_owned(),
            country_code: country_code.to_owned(),
            latitude_deg,
            longitude_deg,
            population: octaves.exp2().round() as u32,
            time_zone: self.zones.get(Self::at(&self.zone, town)).to_owned(),
            elevation_m: self.elevation_m(town),
        }
    }

    fn elevation_m(&self, town: usize) -> Option<f64> {
        /// Tens of metres where the height is not known.
        const NOT_KNOWN: i32 = -100;
        let tens = self.height.get(town).copied().unwrap_or(NOT_KNOWN);
        (tens != NOT_KNOWN).then(|| f64::from(tens) * 10.0)
    }

    /// Numbers of the nearest towns to a spot with their distances, km, nearest first.
    fn nearest(&self, latitude_deg: f64, longitude_deg: f64, count: usize) -> Vec<(f64, usize)> {
        let here = spot(latitude_deg, longitude_deg);
        let far = (0..self.names.len()).map(|town| {
            let (latitude_deg, longitude_deg) = self.place(town);
            (here.distance_km(&spot(latitude_deg, longitude_deg)), town)
        });
        nearest_of(far.collect(), count)
    }

    /// Does a town lie in what the words after its name say?
    fn lies_in(&self, town: usize, within: &[String]) -> bool {
        let [code, region, letters] = self.region(town);
        within.iter().all(|wanted| {
            let alias = match wanted.as_str() {
                "usa" | "unitedstatesofamerica" => "us",
                "uk" | "greatbritain" => "gb",
                other => other,
            };
            folded(code) == alias
                || folded(region) == alias
                || (!letters.is_empty() && folded(letters) == alias)
                || folded(self.country(code)) == alias
        })
    }

    /// Towns that go by a name and lie in what follows it.
    fn named(&self, name: &str, within: &[String]) -> Vec<Town> {
        let known = self
            .by_name
            .get(&folded(name))
            .map_or(&[][..], Vec::as_slice);
        let mut found: Vec<Town> = known
            .iter()
            .filter(|&&town| self.lies_in(town, within))
            .map(|&town| self.town(town))
            .collect();
        found.sort_by_key(|town| std::cmp::Reverse(town.population));
        found
    }

    fn alike(&self, name: &str, within: &[String]) -> Vec<Town> {
        let key = folded(name);
        let mut like: Vec<(f64, u8, usize)> = (0..self.names.len())
            .filter_map(|town| {
                let alike = likeness(&key, &folded(self.names.get(town)));
                let people = self.people.get(town).copied().unwrap_or_default();
                (alike >= LIKE_ENOUGH).then_some((alike, people, town))
            })
            .collect();
        like.sort_by(|a, b| {
            let inside = |found: &(f64, u8, usize)| self.lies_in(found.2, within);
            (inside(b).cmp(&inside(a)))
                .then(b.0.total_cmp(&a.0))
                .then(b.1.cmp(&a.1))
        });
        like.truncate(OFFERED);
        like.into_iter()
            .map(|(_, _, town)| self.town(town))
            .collect()
    }
}

/// Readings of a written name: what comes before the first comma and what after it, or without commas all of it, then its
/// last words as where it lies.
fn readings(written: &str) -> Vec<(String, Vec<String>)> {
    if let Some((name, rest)) = written.split_once(',') {
        let within = rest.split(',').map(folded).filter(|part| !part.is_empty());
        return vec![(name.to_owned(), within.collect())];
    }
    let words: Vec<&str> = written.split_whitespace().collect();
    (0..words.len().min(4))
        .map(|last| {
            let (name, within) = words.split_at(words.len() - last);
            let within = folded(&within.join(" "));
            let within = if within.is_empty() {
                Vec::new()
            } else {
                vec![within]
            };
            (name.join(" "), within)
        })
        .collect()
}

/// The town or towns that a written name may mean: `Bozeman, Montana`, `Bozeman MT`, `Innsbruck AT`, `Tromso`.
pub fn find(written: &str) -> Found {
    let list = list();
    let readings = readings(written);
    for (name, within) in &readings {
        let mut found = list.named(name, within);
        let first = found.first().map_or(0, |town| town.population);
        let second = found.get(1).map_or(0, |town| town.population);
        match found.len() {
            0 => {}
            1 => return Found::One(Box::new(found.remove(0)), Vec::new()),
            _ if first >= MEANT_FROM * second => {
                return Found::One(Box::new(found.remove(0)), found);
            }
            _ => return Found::Several(found),
        }
    }
    let like = readings
        .iter()
        .map(|(name, within)| list.alike(name, within))
        .find(|like| !like.is_empty());
    Found::None(like.unwrap_or_default())
}

/// The nearest towns to a spot, nearest first.
pub fn near(latitude_deg: f64, longitude_deg: f64, count: usize) -> Vec<Town> {
    let list = list();
    let found = list.nearest(latitude_deg, longitude_deg, count);
    found.into_iter().map(|(_, town)| list.town(town)).collect()
}

/// Distances, km, and heights, m, of the nearest towns to a spot, as far as they are known.
pub fn heights_near(latitude_deg: f64, longitude_deg: f64, count: usize) -> Vec<(f64, f64)> {
    let list = list();
    let found = list.nearest(latitude_deg, longitude_deg, count);
    let height = |(km, town)| Some((km, list.elevation_m(town)?));
    found.into_iter().filter_map(height).collect()
}

#[cfg(feature = "inner")]
/// How many towns there are.
pub fn count() -> usize {
    list().names.len()
}

#[cfg(feature = "inner")]
/// A town by its number in the list, from 0; for tests that draw some.
pub fn get(index: usize) -> Town {
    list().town(index)
}
