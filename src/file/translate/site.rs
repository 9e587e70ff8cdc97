//! The place.

use crate::file::project::{Chosen, SiteChoice, SiteOverride};
use crate::file::read::{Parsed, tidy};
use crate::file::section::Section;
use crate::site::places::{self, Spot};
use crate::site::{Normals, Place, climates};

/// Degrees of longitude that the sun covers in an hour.
const DEGREES_PER_HOUR: f64 = 15.0;
const PERCENT: f64 = 100.0;

/// The place as far as the file alone tells it.
pub struct PlaceRead {
    pub choice: SiteChoice,
    pub overrides: SiteOverride,
    /// Known for places on the shelf and for months of one's own.
    pub latitude_deg: Option<f64>,
    pub shown_name: String,
}

/// The source of the weather; nothing where none, or more than one, is named.
pub fn site(root: &Section<'_, '_>) -> Option<PlaceRead> {
    let site = root.table("site");
    if !site.present() {
        root.missing("site");
        return None;
    }
    let overrides: SiteOverride = site.filled_or_default();
    let sources = ["place", "weather", "months"]
        .into_iter()
        .filter(|key| site.has(key))
        .collect::<Vec<_>>();
    match sources.as_slice() {
        [] if site.has("latitude") || site.has("longitude") => {
            spot(&site, &site, "latitude", overrides)
        }
        [] => {
            site.missing("place");
            None
        }
        ["place"] if matches!(site.raw("place"), Some(Parsed::Table)) => {
            spot(&site, &site.table("place"), "place", overrides)
        }
        ["place"] => named(root, &site, overrides),
        // A weather file stands before the place, which then only names it.
        ["weather"] | ["place", "weather"] => {
            let file = site.text("weather")?;
            let shown_name = overrides
                .name
                .clone()
                .or_else(|| site.text("place"))
                .unwrap_or_else(|| file.clone());
            let latitude_deg = site.number("latitude");
            Some(PlaceRead {
                choice: SiteChoice::WeatherFile(file),
                overrides,
                latitude_deg,
                shown_name,
            })
        }
        ["months"] | ["place", "months"] => own_months(&site, overrides),
        _ => {
            let wrong = "both `site.weather` and `site.months` give the weather".to_owned();
            site.problem("months", wrong, Some("keep one of them".to_owned()));
            None
        }
    }
}

fn named(
    root: &Section<'_, '_>,
    site: &Section<'_, '_>,
    overrides: SiteOverride,
) -> Option<PlaceRead> {
    let written = site.text("place")?;
    match places::choose(&written) {
        places::Chosen::Shelf(name) => {
            let place = climates::get(name)?.ok()?.place;
            let shown_name = overrides.name.clone().unwrap_or(place.name);
            Some(PlaceRead {
                choice: SiteChoice::Shelf(name.to_owned()),
                overrides,
                latitude_deg: Some(place.latitude_deg),
                shown_name,
            })
        }
        // The person's own shelf is not open here; the place may stand on it.
        _ if root.table("folders").has("climates") => {
            let shown_name = overrides.name.clone().unwrap_or_else(|| written.clone());
            Some(PlaceRead {
                choice: SiteChoice::Shelf(written),
                overrides,
                latitude_deg: None,
                shown_name,
            })
        }
        places::Chosen::Town(town, others) => {
            if others > 0 {
                let why = format!("by far the largest of {} towns of that name", others + 1);
                site.assume("place", town.in_full(), "", &why);
            }
            let spot = Spot {
                latitude_deg: town.latitude_deg,
                longitude_deg: town.longitude_deg,
                elevation_m: site.number("elevation"),
            };
            let clock = (
                town.utc_offset_h(),
                format!("winter time of {}", town.time_zone),
            );
            estimated(site, "place", town.shown(), spot, clock, overrides)
        }
        places::Chosen::Unclear { wrong, right } => {
            site.problem("place", wrong, Some(right));
            None
        }
    }
}

/// A spot by latitude and longitude, in the table `at` itself.
fn spot(
    site: &Section<'_, '_>,
    at: &Section<'_, '_>,
    key: &str,
    overrides: SiteOverride,
) -> Option<PlaceRead> {
    let latitude_deg = at.required_number("latitude");
    let longitude_deg = at.required_number("longitude");
    let spot = Spot {
        latitude_deg: latitude_deg?,
        longitude_deg: longitude_deg?,
        elevation_m: at.number("elevation").or_else(|| site.number("elevation")),
    };
    let (offset_h, town) = places::clock_at(spot.latitude_deg, spot.longitude_deg);
    let why = match town {
        Some(town) => format!("winter time of {}, the nearest town", town.in_full()),
        None => "whole hours nearest to longitude / 15".to_owned(),
    };
    let name = spot_name(spot.latitude_deg, spot.longitude_deg);
    estimated(site, key, name, spot, (offset_h, why), overrides)
}

/// Latitude and longitude as people write them.
fn spot_name(latitude_deg: f64, longitude_deg: f64) -> String {
    let side = |degrees: f64, positive: &str, negative: &str| {
        let letter = if degrees < 0.0 { negative } else { positive };
        format!("{} {letter}", tidy((degrees.abs() * 100.0).round() / 100.0))
    };
    format!(
        "{} {}",
        side(latitude_deg, "N", "S"),
        side(longitude_deg, "E", "W")
    )
}

fn estimated(
    site: &Section<'_, '_>,
    key: &str,
    name: String,
    spot: Spot,
    clock: (f64, String),
    mut overrides: SiteOverride,
) -> Option<PlaceRead> {
    let basis = match places::estimate(&spot, 0.0) {
        Ok(estimate) => estimate.basis,
        Err(error) => {
            let right =
                "give an EPW file as `weather`, or twelve months of your own as `site.months`";
            site.problem(key, error.to_string(), Some(right.to_owned()));
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
        site.assume("elevation", height, "m", &why);
    }
    // The estimate knows the height; nothing is set over it afterwards.
    overrides.elevation_m = None;
    let utc_offset_h = site.number_or("time_zone", clock.0, &clock.1);
    let latitude_deg = Some(spot.latitude_deg);
    let shown_name = overrides.name.clone().unwrap_or_else(|| name.clone());
    let chosen = Chosen {
        name,
        spot,
        utc_offset_h,
    };
    Some(PlaceRead {
        choice: SiteChoice::Estimated(Box::new(chosen)),
        overrides,
        latitude_deg,
        shown_name,
    })
}

fn own_months(site: &Section<'_, '_>, overrides: SiteOverride) -> Option<PlaceRead> {
    let months = site.table("months");
    let twelve = |key: &str| {
        months
            .numbers(key)
            .and_then(|values| <[f64; 12]>::try_from(values).ok())
    };
    for key in ["max", "min"] {
        if !months.has(key) {
            months.missing(key);
        }
    }
    if !months.has("sun") && !months.has("sun_hours") {
        months.missing("sun");
    }
    let latitude_deg = site.required_number("latitude");
    let longitude_deg = site.required_number("longitude");
    let (temp_max_c, temp_min_c) = (twelve("max")?, twelve("min")?);
    for (month, (max, min)) in temp_max_c.iter().zip(&temp_min_c).enumerate() {
        if max < min {
            let head = crate::calendar::MONTH_HEADS
                .get(month)
                .copied()
                .unwrap_or_default();
            let wrong = format!(
                "the mean daily maximum of {head} ({max} C) is below its minimum ({min} C)"
            );
            months.problem(
                "max",
                wrong,
                Some("are `max` and `min` changed about?".to_owned()),
            );
            return None;
        }
    }
    let (latitude_deg, longitude_deg) = (latitude_deg?, longitude_deg?);
    let elevation_m = site.number_or("elevation", 0.0, "sea level, as the file gives no height");
    let zone = (longitude_deg / DEGREES_PER_HOUR).round();
    let utc_offset_h = site.number_or("time_zone", zone, "whole hours nearest to longitude / 15");
    let name = overrides
        .name
        .clone()
        .or_else(|| site.text("place"))
        .unwrap_or_else(|| "own months".to_owned());
    let own = Normals {
        source: "twelve months in the project file".to_owned(),
        years: String::new(),
        temp_max_c,
        temp_min_c,
        temp_mean_c: None,
        ghi_kwh_m2_day: twelve("sun"),
        sun_hours_day: twelve("sun_hours"),
        wind_m_s: twelve("wind"),
        relative_humidity_pct: twelve("humidity").map(|shares| shares.map(|share| share * PERCENT)),
        place: Place {
            name: "own months".to_owned(),
            latitude_deg,
            longitude_deg,
            elevation_m,
            utc_offset_h,
        },
        spread: None,
        design: None,
    };
    let choice = SiteChoice::OwnMonths(Box::new(own));
    Some(PlaceRead {
        choice,
        overrides,
        latitude_deg: Some(latitude_deg),
        shown_name: name,
    })
}
