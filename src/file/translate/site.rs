//! The place, the year, the folders.

use crate::file::project::{Folders, OwnMonths, Planning, SiteChoice, SiteOverride, Winter};
use crate::file::section::Section;
use crate::site::{Normals, climates};
use crate::suggest;

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
    let overrides = overrides(&site);
    let sources = ["place", "weather", "months"]
        .into_iter()
        .filter(|key| site.has(key))
        .collect::<Vec<_>>();
    match sources.as_slice() {
        [] => {
            site.missing("place");
            None
        }
        ["place"] => on_the_shelf(root, &site, overrides),
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

fn overrides(site: &Section<'_, '_>) -> SiteOverride {
    SiteOverride {
        name: site.text("name"),
        elevation_m: site.number("elevation"),
        ground_reflectance: site.number("ground_reflectance"),
    }
}

fn on_the_shelf(
    root: &Section<'_, '_>,
    site: &Section<'_, '_>,
    overrides: SiteOverride,
) -> Option<PlaceRead> {
    let written = site.text("place")?;
    let shelf: Vec<(&'static str, Normals)> = climates::names()
        .into_iter()
        .filter_map(|name| Some((name, climates::get(name)?.ok()?)))
        .collect();
    let plain = |text: &str| text.to_lowercase().replace(['-', '_', ' '], "");
    let wanted = plain(&written);
    let found = shelf.iter().find(|(name, normals)| {
        let place = &normals.place.name;
        let town = place.split(',').next().unwrap_or(place);
        [*name, place.as_str(), town]
            .iter()
            .any(|known| plain(known) == wanted)
    });
    if let Some((name, normals)) = found {
        let shown_name = overrides
            .name
            .clone()
            .unwrap_or_else(|| normals.place.name.clone());
        let latitude_deg = Some(normals.place.latitude_deg);
        return Some(PlaceRead {
            choice: SiteChoice::Shelf((*name).to_owned()),
            overrides,
            latitude_deg,
            shown_name,
        });
    }
    if root.table("folders").has("climates") {
        // The person's own shelf is not open here; the place may stand on it.
        let shown_name = overrides.name.clone().unwrap_or_else(|| written.clone());
        return Some(PlaceRead {
            choice: SiteChoice::Shelf(written),
            overrides,
            latitude_deg: None,
            shown_name,
        });
    }
    let names: Vec<&str> = shelf.iter().map(|(name, _)| *name).collect();
    let listed = format!(
        "places on the shelf: {}; or give an EPW file as `weather`, or `site.months`",
        names.join(", ")
    );
    let right = match suggest::nearest(&written, names.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"? {listed}"),
        None => listed,
    };
    site.problem(
        "place",
        format!("no place \"{written}\" is on the shelf"),
        Some(right),
    );
    None
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
    let own = OwnMonths {
        latitude_deg,
        longitude_deg,
        elevation_m,
        utc_offset_h,
        temp_max_c,
        temp_min_c,
        ghi_kwh_m2_day: twelve("sun"),
        sun_hours_day: twelve("sun_hours"),
        wind_m_s: twelve("wind"),
        relative_humidity_pct: twelve("humidity").map(|shares| shares.map(|share| share * PERCENT)),
    };
    let choice = SiteChoice::OwnMonths(Box::new(own));
    Some(PlaceRead {
        choice,
        overrides,
        latitude_deg: Some(latitude_deg),
        shown_name: name,
    })
}

/// The year to plan.
pub fn planning(root: &Section<'_, '_>) -> Planning {
    let year = root.table("year");
    Planning {
        year: year.number_or_default("plan") as i32,
        from: year.date("from"),
        months: year.number_or_default("months") as usize,
        winter: match year.word_or_default("winter").as_str() {
            "hard" => Winter::Hard,
            _ => Winter::Usual,
        },
        weather_years: year.number_or_default("weather_years") as usize,
        seed: year.number_or_default("seed") as u64,
        finished: year.date("finished"),
    }
}

/// Folders of the person's own.
pub fn folders(root: &Section<'_, '_>) -> Folders {
    let folders = root.table("folders");
    Folders {
        crops: folders.text("crops"),
        climates: folders.text("climates"),
    }
}
