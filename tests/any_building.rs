//! Any building that a project file can describe, anywhere from the equator to 70 degrees: a run of it is finite,
//! loses no heat on paper, makes no light and keeps its sums in range.
//!
//! 24 buildings, always the same; `PROPTEST_CASES=500` tries more and `PROPTEST_RNG_SEED=7` others.

#[path = "any_building/made.rs"]
mod made;
#[path = "any_building/parts.rs"]
mod parts;
#[path = "any_building/place.rs"]
mod place;
#[path = "made/sky_year.rs"]
mod sky_year;

use bedyear::calendar::HOURS_PER_YEAR;
use bedyear::file;
use bedyear::house::{self, House, HouseYear, SurfaceKind};
use bedyear::site::Weather;
use bedyear::solar::SunYear;
use bedyear::study::{self, Job, SideFiles};
use bedyear::sun::Plane;
use bedyear::sun::bed_light::PHOTONS_MOL_PER_W_H;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sky_year::plane_year;

/// Buildings in a plain run.
const CASES: u32 = 24;
/// What may be missing from a heat balance, as a share of the heat moved.
const BALANCE: f64 = 1e-3;
/// Rounding, as a share.
const ROUNDING: f64 = 1e-9;
/// Temperatures that no house leaves, °C: deep night sky over the coldest air, and a closed box of glass in a desert.
const TEMPERATURES_C: std::ops::Range<f64> = -90.0..180.0;
/// Photons of a lamp in an hour, mol per micromol/s.
const LAMP_MOL: f64 = 3600.0 * 1e-6;

fn config() -> ProptestConfig {
    let asked = ProptestConfig::default();
    ProptestConfig {
        cases: if std::env::var_os("PROPTEST_CASES").is_some() {
            asked.cases
        } else {
            CASES
        },
        rng_seed: match asked.rng_seed {
            RngSeed::Random => RngSeed::Fixed(1),
            fixed => fixed,
        },
        // A building takes a good part of a second: the first failing one is close enough to its cause.
        max_shrink_iters: 30,
        failure_persistence: None,
        ..asked
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn any_building_anywhere_runs_in_the_bounds_of_nature(made in made::building()) {
        let text = made.text();
        run(&text).map_err(|what| TestCaseError::fail(format!("{what}\n{text}")))?;
    }
}

/// Reads, simulates and checks a project.
fn run(text: &str) -> Result<(), String> {
    let project = file::parse("made.toml", text).map_err(|error| error.to_string())?;
    let job = Job::new(project, &SideFiles::default()).map_err(|error| error.to_string())?;
    let weathers = study::weather_years(&job);
    let house = &job.project.house;
    let climate = study::climate(&job, house, &weathers).map_err(|error| error.to_string())?;
    let usual = [&climate.run.first, &climate.run.settled];
    let middle = climate.middle.map(|index| weathers.year(index));
    let lived = middle.as_deref().unwrap_or(&job.site.typical);
    for (which, year) in ["first", "settled"].iter().zip(usual) {
        check(house, lived, &job.sun, year).map_err(|what| format!("{which} year: {what}"))?;
    }
    if weathers.is_empty() {
        return Ok(());
    }
    let (sun, ground, options) = (&job.sun, &job.site.ground, study::run_options(&job));
    let run = house::simulate(house, &job.site.typical, sun, ground, &options)
        .map_err(|error| error.to_string())?;
    let whole = |_: usize, year: &HouseYear| Ok::<_, house::HouseError>(year.clone());
    let years = house::simulate_each(house, &weathers, (sun, ground), &run, whole)
        .map_err(|error| error.to_string())?;
    for (index, year) in years.iter().enumerate() {
        check(house, &weathers.year(index), &job.sun, year)
            .map_err(|what| format!("weather year: {what}"))?;
    }
    Ok(())
}

fn check(house: &House, weather: &Weather, sun: &SunYear, year: &HouseYear) -> Result<(), String> {
    let fell_w = on_glazing_w(house, weather, sun);
    each_within("sunlight that enters", &year.sun_entering_w, 0.0, |hour| {
        fell_w[hour]
    })?;
    light(house, year, &fell_w)?;
    temperatures(year)?;
    let free = |_: usize| f64::MAX;
    for (what, column) in [
        ("heater", &year.heater_w),
        ("cooler", &year.cooler_w),
        ("unmet heat", &year.unmet_w),
        ("fans", &year.fan_w),
        ("lamps", &year.lamp_w),
        ("vents", &year.vent_m3_s),
        ("leaks", &year.infiltration_per_h),
        ("condensation", &year.condensation_kg),
    ] {
        each_within(what, column, 0.0, free)?;
    }
    each_within("store heat", &year.store_heat_w, f64::MIN, free)?;
    each_within("evaporation", &year.evaporation_kg, f64::MIN, free)?;
    each_within("store duty", &year.store_duty, -1.0, |_| 1.0)?;
    each_within("humidity", &year.relative_humidity_pct, 0.0, |_| 100.0)?;
    for covered in &year.parts {
        let humidity = &covered.relative_humidity_pct;
        each_within("humidity under the cover", humidity, 0.0, |_| 100.0)?;
        let above = |hour: usize| year.light_mol_m2_h[hour];
        each_within("light under the cover", &covered.light_mol_m2_h, 0.0, above)?;
        each_within("cover", &covered.on, 0.0, |_| 1.0)?;
    }
    sums(year)
}

/// Light on all glazing together, outside, W, by the hour.
fn on_glazing_w(house: &House, weather: &Weather, sun: &SunYear) -> Vec<f64> {
    let mut fell_w = vec![0.0; HOURS_PER_YEAR];
    for surface in &house.surfaces {
        if !matches!(surface.kind, SurfaceKind::Glazed(_)) {
            continue;
        }
        let plane = Plane {
            tilt_deg: surface.tilt_deg,
            azimuth_deg: surface.azimuth_deg,
        };
        let horizon = house.horizon.as_ref();
        let light = plane_year(weather, sun, plane, horizon);
        for (hour, fell_w) in fell_w.iter_mut().enumerate() {
            *fell_w += surface.area_m2 * light.total_w_m2(hour);
        }
    }
    fell_w
}

/// The beds never get more light than fell on the glazing outside, lamps apart.
fn light(house: &House, year: &HouseYear, fell_w: &[f64]) -> Result<(), String> {
    let floor_m2 = house.floor.as_ref().map_or_else(
        || {
            let floors = house.surfaces.iter().filter(|face| face.tilt_deg >= 135.0);
            floors.map(|face| face.area_m2).sum()
        },
        |floor| floor.area_m2,
    );
    let lamp = |hour: usize| {
        house.lamp.as_ref().map_or(0.0, |lamp| {
            lamp.ppfd_umol_m2_s * lamp.on.at(hour) * LAMP_MOL
        })
    };
    each_within("light at the bed", &year.light_mol_m2_h, 0.0, |hour| {
        PHOTONS_MOL_PER_W_H * fell_w[hour] / floor_m2 + lamp(hour)
    })
}

fn temperatures(year: &HouseYear) -> Result<(), String> {
    let mut columns = vec![
        ("air", &year.air_c),
        ("leaves", &year.leaf_c),
        ("root zone", &year.root_zone_c),
        ("floor", &year.floor_surface_c),
        ("store", &year.store_c),
    ];
    for covered in &year.parts {
        columns.push(("air under the cover", &covered.air_c));
        columns.push(("leaves under the cover", &covered.leaf_c));
        columns.push(("root zone under the cover", &covered.root_zone_c));
    }
    for (what, column) in columns {
        each_within(what, column, TEMPERATURES_C.start, |_| TEMPERATURES_C.end)?;
    }
    Ok(())
}

/// Heat of the year and its months: nothing is missing, and what can only warm or only cool does.
fn sums(year: &HouseYear) -> Result<(), String> {
    let residual = year.balance_residual;
    if !(0.0..BALANCE).contains(&residual) {
        return Err(format!("the heat balance is off by {residual}"));
    }
    for (month, heat) in year.months.iter().chain([&year.year]).enumerate() {
        for (what, kwh) in [
            ("sun", heat.sun_kwh),
            ("lamps", heat.lamp_kwh),
            ("fans", heat.fan_kwh),
            ("heater", heat.heater_kwh),
            ("cooler", -heat.cooler_kwh),
        ] {
            if !(kwh >= 0.0 && kwh.is_finite()) {
                return Err(format!("{what} in month {}: {kwh} kWh", month + 1));
            }
        }
    }
    Ok(())
}

/// Every hour from `least` to what `most` gives for it; what is not a number is outside.
fn each_within(
    what: &str,
    column: &[f64],
    least: f64,
    most: impl Fn(usize) -> f64,
) -> Result<(), String> {
    if column.len() != HOURS_PER_YEAR {
        return Err(format!("{what} has {} hours", column.len()));
    }
    for (hour, &value) in column.iter().enumerate() {
        let most = most(hour);
        if !(value >= least && value <= most + ROUNDING * most.abs().max(1.0)) {
            return Err(format!(
                "{what} in hour {hour}: {value}, outside {least} to {most}"
            ));
        }
    }
    Ok(())
}
