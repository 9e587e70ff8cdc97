//! The place.

use crate::calendar::MONTH_HEADS;
use crate::file::project::{Chosen, SiteChoice, SiteOverride};
use crate::file::read::tidy;
use crate::file::section::Section;
use crate::site::places::{self, Spot};
use crate::site::{Normals, Place, climates};

/// Degrees of longitude that the sun covers in an hour.
const DEGREES_PER_HOUR: f64 = 15.0;
const PERCENT: f64 = 100.0;
/// Name of a place with months of one's own where the file says none.
const OWN_MONTHS: &str = "own months";
/// Why a clock is taken where nobody says it.
const WHOLE_HOURS: &str = "whole hours nearest to longitude / 15";

/// The place as far as the file alone tells it.
pub struct PlaceRead {
    pub choice: SiteChoice,
    pub overrides: SiteOverride,
    /// Known for places on the shelf and for months of one's own.
    pub latitude_deg: Option<f64>,
    pub shown_name: String,
}

/// Where the weather comes from, the latitude where it is known, and the name to show where the file says none.
type Source = (SiteChoice, Option<f64>, String);

/// The source of the weather; nothing where none, or more than one, is named.
pub fn site(root: &Section<'_, '_>) -> Option<PlaceRead> {
    let Some(site) = root.given("site") else {
        root.missing("site");
        return None;
    };
    let mut sources = vec!["place", "weather", "months"];
    sources.retain(|key| site.has(key));
    let (choice, latitude_deg, name) = match sources.as_slice() {
        [] if site.has("latitude") || site.has("longitude") => spot(&site, &site, "latitude"),
        [] => {
            site.missing("place");
            None
        }
        ["place"] => match site.text("place") {
            Some(written) => named(root, &site, written),
            None => spot(&site, &site.table("place"), "place"),
        },
        // A weather file stands before the place, which then only names it.
        ["weather"] | ["place", "weather"] => site.text("weather").map(|file| {
            let name = site.text("place").unwrap_or_else(|| file.clone());
            let latitude_deg = site.number("latitude");
            (SiteChoice::WeatherFile(file), latitude_deg, name)
        }),
        ["months"] | ["place", "months"] => own_months(&site),
        _ => {
            let wrong = "both `site.weather` and `site.months` give the weather";
            site.problem("months", wrong, "keep one of them");
            None
        }
    }?;
    let mut overrides: SiteOverride = site.filled_or_default();
    if matches!(choice, SiteChoice::Estimated(_)) {
        // The estimate knows the height; nothing is set over it afterwards.
        overrides.elevation_m = None;
    }
    Some(PlaceRead {
        choice,
        latitude_deg,
        shown_name: overrides.name.clone().unwrap_or(name),
        overrides,
    })
}

fn named(root: &Section<'_, '_>, site: &Section<'_, '_>, written: String) -> Option<Source> {
    match places::choose(&written) {
        places::Chosen::Shelf(name) => {
            let place = climates::get(name)?.ok()?.place;
            let choice = SiteChoice::Shelf(name.to_owned());
            Some((choice, Some(place.latitude_deg), place.name))
        }
        // The person's own shelf is not open here; the place may stand on it.
        _ if root.table("folders").has("climates") => {
            Some((SiteChoice::Shelf(written.clone()), None, written))
        }
        places::Chosen::Town(town, others) => {
            if others > 0 {
                let why = format!("by far the largest of {} towns of that name", others + 1);
                site.assume("place", town.in_full(), "", why);
            }
            let spot = Spot {
                latitude_deg: town.latitude_deg,
                longitude_deg: town.longitude_deg,
                elevation_m: site.number("elevation"),
            };
            let why = format!("winter time of {}", town.time_zone);
            estimated(
                site,
                "place",
                town.shown(),
                spot,
                (town.utc_offset_h(), why),
            )
        }
        places::Chosen::Unclear { wrong, right } => {
            site.problem("place", wrong, right);
            None
        }
    }
}

/// A spot by latitude and longitude, in the table `at` itself.
fn spot(site: &Section<'_, '_>, at: &Section<'_, '_>, key: &str) -> Option<Source> {
    let (latitude_deg, longitude_deg) = (at.required("latitude"), at.required("longitude"));
    let spot = Spot {
        latitude_deg: latitude_deg?,
        longitude_deg: longitude_deg?,
        elevation_m: at.number("elevation").or_else(|| site.number("elevation")),
    };
    let (offset_h, town) = places::clock_at(spot.latitude_deg, spot.longitude_deg);
    let why = match town {
        Some(town) => format!("winter time of {}, the nearest town", town.in_full()),
        None => WHOLE_HOURS.to_owned(),
    };
    let name = spot_name(spot.latitude_deg, spot.longitude_deg);
    estimated(site, key, name, spot, (offset_h, why))
}

/// Latitude and longitude as people write them.
fn spot_name(latitude_deg: f64, longitude_deg: f64) -> String {
    let side = |degrees: f64, positive: &str, negative: &str| {
        let letter = if degrees < 0.0 { negative } else { positive };
        format!("{} {letter}", tidy((degrees.abs() * 100.0).round() / 100.0))
    };
    let (latitude, longitude) = (side(latitude_deg, "N", "S"), side(longitude_deg, "E", "W"));
    format!("{latitude} {longitude}")
}

fn estimated(
    site: &Section<'_, '_>,
    key: &str,
    name: String,
    spot: Spot,
    clock: (f64, String),
) -> Option<Source> {
    let basis = match places::estimate(&spot, 0.0) {
        Ok(estimate) => estimate.basis,
        Err(error) => {
            let right =
                "give an EPW file as `weather`, or twelve months of your own as `site.months`";
            site.problem(key, error.to_string(), right);
            return None;
        }
    };
    if let Some(why) = basis.on_elevation() {
        let height = tidy(basis.elevation_m);
        if basis.asks_elevation() {
            let text = format!(
                "the height of the place is not known and taken as {height} m: {why}; write `elevation`"
            );
            site.doubt(key, text);
        }
        site.assume("elevation", height, "m", why);
    }
    let latitude_deg = Some(spot.latitude_deg);
    let chosen = Chosen {
        name: name.clone(),
        spot,
        utc_offset_h: site.number_or("time_zone", clock.0, clock.1),
    };
    let choice = SiteChoice::Estimated(Box::new(chosen));
    Some((choice, latitude_deg, name))
}

fn own_months(site: &Section<'_, '_>) -> Option<Source> {
    let months = site.table("months");
    let (max, min): (Option<[f64; 12]>, Option<[f64; 12]>) =
        (months.required("max"), months.required("min"));
    if !months.has("sun") && !months.has("sun_hours") {
        months.missing("sun");
    }
    let (latitude_deg, longitude_deg) = (site.required("latitude"), site.required("longitude"));
    let (temp_max_c, temp_min_c) = (max?, min?);
    for (month, (max, min)) in temp_max_c.iter().zip(&temp_min_c).enumerate() {
        if max < min {
            let head = MONTH_HEADS[month];
            let wrong = format!(
                "the mean daily maximum of {head} ({max} C) is below its minimum ({min} C)"
            );
            months.problem("max", wrong, "are `max` and `min` changed about?");
            return None;
        }
    }
    let (latitude_deg, longitude_deg): (f64, f64) = (latitude_deg?, longitude_deg?);
    let elevation_m = site.number_or("elevation", 0.0, "sea level, as the file gives no height");
    let zone = (longitude_deg / DEGREES_PER_HOUR).round();
    let own = Normals {
        source: "twelve months in the project file".to_owned(),
        years: String::new(),
        temp_max_c,
        temp_min_c,
        temp_mean_c: None,
        ghi_kwh_m2_day: months.get("sun"),
        sun_hours_day: months.get("sun_hours"),
        wind_m_s: months.get("wind"),
        relative_humidity_pct: (months.get("humidity"))
            .map(|shares: [f64; 12]| shares.map(|share| share * PERCENT)),
        place: Place {
            name: OWN_MONTHS.to_owned(),
            latitude_deg,
            longitude_deg,
            elevation_m,
            utc_offset_h: site.number_or("time_zone", zone, WHOLE_HOURS),
        },
        spread: None,
        design: None,
    };
    let name = site.text("place").unwrap_or_else(|| OWN_MONTHS.to_owned());
    Some((
        SiteChoice::OwnMonths(Box::new(own)),
        Some(latitude_deg),
        name,
    ))
}
