//! Dampness of the air among cucumbers against what was measured in other people's houses.
//!
//! Both sources say little of their houses, so that only the order of size can be held. Cucumbers planted in May are taken to have
//! 0.3 m2 of leaves a m2 of bed in May, 1.2 in June and 2.5 in July and August (own assumption). The bars were set before the
//! model was asked, and nothing was set by them. A first run gave the house full leaves from the first day: 0.37 kPa by day, 63 % of July and 1 % of May.

use super::sky::{self, Sky};
use bedyear::air::saturation_vapour_pressure_kpa;
use bedyear::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, MONTH_START_DAY};
use bedyear::house::*;
use bedyear::site::Weather;
use bedyear::study::{Job, SideFiles, weather_years};

const YEARS: usize = 6;

/// A house of cucumbers at a spot whose climate is estimated from the stations round it, with its weather years.
fn at(spot: &str, building: &str) -> (House, Sky, Vec<Weather>) {
    let text = format!(
        "[site]\nplace = {{ {spot} }}\n{building}\n[crop]\nleaf_area = [0, 0, 0, 0, 0.3, 1.2, 2.5, 2.5, 2.5, 0, 0, 0]\n\
         [[bed]]\nname = \"bed\"\ncount = 6\nlength = 20\nwidth = 1.2\n"
    );
    let mut project = bedyear::file::parse("humidity.toml", &text)
        .unwrap_or_else(|error| panic!("{}", error.render(false)));
    project.planning.weather_years = YEARS;
    let job = Job::new(project, &SideFiles::default()).expect("a job");
    let made = weather_years(&job);
    let weathers = (0..YEARS)
        .map(|year| made.year(year).into_owned())
        .collect();
    let sky = Sky {
        weather: job.site.typical.clone(),
        sun: job.sun.clone(),
        ground: job.site.ground,
    };
    (job.project.house, sky, weathers)
}

/// What the air could still take up, kPa, hour by hour, year by year.
fn deficits_kpa(house: &House, sky: &Sky, weathers: &[Weather]) -> Vec<Vec<f64>> {
    let (sun, ground, options) = (&sky.sun, &sky.ground, RunOptions::default());
    let run = simulate(house, &sky.weather, sun, ground, &options).expect("runs");
    let years = sky::simulate_years(house, weathers, (sun, ground), &run).expect("runs");
    let of = |year: &HouseYear| {
        let hours = year.air_c.iter().zip(&year.relative_humidity_pct);
        hours
            .map(|(air_c, humidity)| {
                saturation_vapour_pressure_kpa(*air_c) * (1.0 - 0.01 * humidity)
            })
            .collect()
    };
    years.iter().map(of).collect()
}

/// Hours of a month, 1 to 12.
fn month(month: usize) -> std::ops::Range<usize> {
    let start = |month: usize| {
        let day = MONTH_START_DAY.get(month - 1);
        day.map_or(HOURS_PER_YEAR, |day| day * HOURS_PER_DAY)
    };
    start(month)..start(month + 1)
}

/// Mean over the hours of all years.
fn mean(years: &[Vec<f64>], hours: &[usize], of: impl Fn(f64) -> f64) -> f64 {
    let all = years
        .iter()
        .flat_map(|year| hours.iter().map(|&hour| of(year[hour])));
    all.sum::<f64>() / (years.len() * hours.len()) as f64
}

/// The same house aired from another temperature of its air on.
fn aired_from(house: &(House, Sky, Vec<Weather>), set_point_c: f64) -> Vec<Vec<f64>> {
    let (house, sky, weathers) = house;
    let mut other = house.clone();
    other.air.vents.as_mut().expect("vents").set_point_c = Schedule::Constant(set_point_c);
    deficits_kpa(&other, sky, weathers)
}

/// A house near Hannover, vents at 28 °C: over the season the air lacked 0.78 kPa of vapour by day in 1988 and 1.17 in 1989, 0.21
/// and 0.41 by night (Fricke & Krug 1997, Gartenbauwissenschaft 62:9-17, abstract read); glass held at 18 °C is taken.
///
/// Bar: between the two years, each widened by a quarter. By night it is held (0.34). By day ours is too damp: 0.49 kPa, some 10
/// points of relative humidity too many; over a floor that stays dry, as of a house with mats or gravel, it is 0.59 and in the bar, and
/// aired from 24 °C on 0.58.
#[test]
fn cucumbers_under_glass_by_day_and_night() {
    let house = at(
        "latitude = \"52.4 N\", longitude = \"9.7 E\", elevation = \"55 m\"",
        "[building]\nshape = \"gable\"\nlength = 25\nwidth = 9\nheight = 4\nglazing = \"single-glass\"\n\
         [vents]\nopen_above = \"28 C\"\n[heater]\nset_point = \"18 C\"",
    );
    let season = month(5).start + 14 * HOURS_PER_DAY..month(8).end;
    let of = |day: bool, deficits: &[Vec<f64>]| {
        let up = |hour: &usize| (house.1.sun.hours[*hour].up_share > 0.5) == day;
        let hours: Vec<usize> = season.clone().filter(up).collect();
        mean(deficits, &hours, |kpa| kpa)
    };
    let show = |deficits: &[Vec<f64>]| {
        let (day, night) = (of(true, deficits), of(false, deficits));
        println!(
            "by day {day:.2} kPa, measured 0.78 and 1.17; by night {night:.2}, measured 0.21 and 0.41"
        );
        assert!((0.21 * 0.75..=0.41 * 1.25).contains(&night), "{night}");
        day
    };
    let [moist, early] = [28.0, 24.0].map(|set_point_c| show(&aired_from(&house, set_point_c)));
    let mut dry = house.0.clone();
    dry.floor.as_mut().expect("a floor").wet_share = 0.0;
    let dry = show(&deficits_kpa(&dry, &house.1, &house.2));
    assert!((0.78 * 0.75..=1.17 * 1.25).contains(&dry), "{dry}");
    assert!(moist > 0.45 && early > moist, "{moist} {early}");
}

/// A plain tunnel at Skierniewice, Poland, without heat: the air lacked less than 0.2 kPa in 39.1 % of the hours of July, more
/// than 1.4 kPa in 17.9 % of those of May (Konopacki, Treder & Klamkowski 2018, Span. J. Agric. Res. 16, abstract read). How it
/// was aired is not said, and that is what decides: aired from 25 °C on July is damp in 63 % of the hours, from 20 °C in 46, open
/// day and night in 22, as outdoors. The measured share must lie between; the dry hours of May within 15 points.
#[test]
fn cucumbers_in_a_plain_tunnel() {
    let house = at(
        "latitude = \"51.96 N\", longitude = \"20.15 E\", elevation = \"125 m\"",
        "[building]\nshape = \"hoop\"\nlength = 30\nwidth = 9\nheight = 3.5\nglazing = \"film\"",
    );
    let shares = [10.0, 20.0, 25.0].map(|set_point_c| {
        let deficits = aired_from(&house, set_point_c);
        let share = |of: usize, is: fn(f64) -> bool| {
            let hours: Vec<usize> = month(of).collect();
            100.0 * mean(&deficits, &hours, |kpa| f64::from(u8::from(is(kpa))))
        };
        let (damp, dry) = (share(7, |kpa| kpa < 0.2), share(5, |kpa| kpa > 1.4));
        println!(
            "aired from {set_point_c} °C: July damp in {damp:.1} % of the hours, measured 39.1; May dry in {dry:.1} %, measured 17.9"
        );
        assert!((dry - 17.9).abs() < 15.0, "{dry}");
        damp
    });
    assert!(shares[0] < 39.1 && 39.1 < shares[2], "{shares:?}");
    assert!((shares[1] - 39.1).abs() < 15.0, "{shares:?}");
}
