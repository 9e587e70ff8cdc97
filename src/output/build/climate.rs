//! The year inside, from the house stage to the view.

use crate::calendar::DAYS_PER_YEAR;
use crate::house::{HeatFlows, HouseYear};
use crate::output::view::{
    ClimateDay, ClimateHour, ClimateMonth, ClimateView, ColdHourRow, FirstMonth, HeatFlow,
    HeaterView, Note, RoomMonth, RoomView, YearKind,
};
use crate::profile::{BARE, MonthRow, daily_sums, month_rows, month_spread};
use crate::study::{ClimateStudy, ColdHour, ColdPlace, HeaterStudy, Job, YearInside};

/// The year inside, settled or first, with the spread over the weather years where they ran.
///
/// The months are medians of the weather years where they ran; what is drawn is a real one of them.
pub fn climate(
    job: &Job,
    study: &ClimateStudy,
    kind: YearKind,
    heater: Option<&HeaterStudy>,
) -> ClimateView {
    let (shown, rows) = match kind {
        YearKind::Settled => (&study.run.settled, &study.settled.months),
        YearKind::First => (&study.run.first, &study.first.months),
    };
    let spreads = match kind {
        YearKind::Settled => month_spread(study.years.iter().map(|year| &year.months[..])),
        YearKind::First => Vec::new(),
    };
    let outside = outside_rows(job, study);
    let median = |of: &dyn Fn(&YearInside) -> f64| match kind {
        YearKind::Settled => study.median_of_tried(of),
        YearKind::First => of(&study.first),
    };
    ClimateView {
        place: job.site.place.name.clone(),
        year_kind: kind,
        months: std::array::from_fn(|month| {
            let (spread, outside) = (spreads.get(month), outside.get(month));
            ClimateMonth::of(
                &rows[month],
                spread,
                outside,
                job.project.house.store.is_some(),
            )
        }),
        balance_residual: shown.balance_residual,
        weather_years: study.years.len() as u32,
        year_shown: study.year_name(),
        hard_year_shown: study.hard_year_name(),
        coldest_air_c: median(&YearInside::coldest_air_c),
        coldest_root_zone_c: median(&|year| year.coldest_root_zone_c(0)),
        heater_kwh_year: median(&|year| year.year.heater_kwh),
        fan_kwh_year: median(&|year| year.fans_kwh),
        heater_kwh_mean_year: study.mean_heater_kwh(),
        fan_kwh_mean_year: study.mean_fan_kwh(),
        band_c: job.project.sunlit_band_c.into(),
        heater: heater.map(|heater| heater_view(job, heater)),
        cold_hours: cold_hours(job, study.cold_hours(&job.site)),
        first_against_settled: first_against_settled(study),
        heat_flows: heat_flows(&shown.months),
        room: room(job, shown),
        days: days(job, shown, study.hard_year().map(|(_, year)| year)),
        notes: job
            .site
            .notes
            .iter()
            .map(|text| Note::plain(text.clone()))
            .collect(),
    }
}

/// Every hour of a year, for machines.
pub fn hours(job: &Job, study: &ClimateStudy, kind: YearKind) -> Vec<ClimateHour> {
    let year = match kind {
        YearKind::Settled => &study.run.settled,
        YearKind::First => &study.run.first,
    };
    (0..year.air_c.len())
        .map(|hour| ClimateHour::of(job, study, year, hour))
        .collect()
}

fn rows_of(job: &Job, year: &HouseYear) -> Vec<MonthRow> {
    let band_c = Some(job.project.sunlit_band_c);
    month_rows(year, band_c, &job.sun.day_length_h)
}

/// The same months outside: only the air is looked at.
fn outside_rows(job: &Job, study: &ClimateStudy) -> Vec<MonthRow> {
    let outside = HouseYear {
        air_c: study.outside_c.clone(),
        ..HouseYear::default()
    };
    month_rows(&outside, None, &job.sun.day_length_h)
}

/// Coldest hours once in 2, 5 and 10 years.
fn cold_hours(job: &Job, found: Vec<ColdHour>) -> Vec<ColdHourRow> {
    let parts = &job.project.house.parts;
    let of = |climate: usize| match climate.checked_sub(1) {
        None => BARE,
        Some(part) => parts.get(part).map_or("", |part| part.name.as_str()),
    };
    found
        .into_iter()
        .map(|cold| ColdHourRow {
            place: match cold.place {
                ColdPlace::Air => "air",
                ColdPlace::Leaf(_) => "leaf",
                ColdPlace::RootZone(_) => "root zone",
            }
            .to_owned(),
            cover: match cold.place {
                ColdPlace::Air => "",
                ColdPlace::Leaf(climate) | ColdPlace::RootZone(climate) => of(climate),
            }
            .to_owned(),
            once_in_years: cold.years,
            coldest_c: cold.coldest_c,
            low_c: cold.range_c.0,
            high_c: cold.range_c.1,
        })
        .collect()
}

fn heater_view(job: &Job, heater: &HeaterStudy) -> HeaterView {
    HeaterView {
        set_point_c: heater.set_point_c.into(),
        capacity_w: Some(heater.capacity_w).filter(|watts| watts.is_finite()),
        cannot_hold_h: heater.cannot_hold_h,
        cold_hours_without: cold_hours(job, heater.without.clone()),
    }
}

fn first_against_settled(study: &ClimateStudy) -> Vec<FirstMonth> {
    let first = study.first.months.iter();
    first
        .zip(&study.settled.months)
        .map(|(first, settled)| FirstMonth::of(first, settled))
        .collect()
}

/// The room that is simulated with the house, by month of the year shown.
fn room(job: &Job, shown: &HouseYear) -> Option<RoomView> {
    let beside = job.project.house.beside.as_ref()?;
    let year = shown.beside.as_deref()?;
    let rows = rows_of(job, year);
    let months = rows.iter().zip(&year.months).zip(&shown.months);
    Some(RoomView {
        name: beside.name.clone(),
        months: months
            .map(|((row, own), house)| RoomMonth::of(row, own, house))
            .collect(),
    })
}

/// The paths of heat in the order they are shown; paths that carry nothing all year are left out.
pub(super) fn heat_flows(months: &[HeatFlows]) -> Vec<HeatFlow> {
    type Path = (&'static str, fn(&HeatFlows) -> f64);
    const PATHS: [Path; 15] = [
        ("sun", |flows| flows.sun_kwh),
        ("heater", |flows| flows.heater_kwh),
        ("scheduled gains", |flows| flows.gains_kwh),
        ("lamps", |flows| flows.lamp_kwh),
        ("fans", |flows| flows.fan_kwh),
        ("cooler", |flows| flows.cooler_kwh),
        ("glazing", |flows| flows.glazing_kwh),
        ("sky through glazing", |flows| flows.sky_through_glazing_kwh),
        ("walls and roof", |flows| flows.walls_kwh),
        ("room beside", |flows| flows.beside_kwh),
        ("air change", |flows| flows.air_change_kwh),
        ("vents", |flows| flows.vents_kwh),
        ("ground", |flows| flows.ground_kwh),
        ("vapour", |flows| flows.latent_kwh),
        // What walls, soil and air take up leaves the room: with it a month comes to nothing.
        ("stored", |flows| -flows.stored_kwh),
    ];
    PATHS
        .iter()
        .map(|(path, of)| HeatFlow {
            path: (*path).to_owned(),
            kwh: std::array::from_fn(|month| months.get(month).map_or(0.0, of)),
        })
        .filter(|flow| flow.kwh.iter().any(|kwh| *kwh != 0.0))
        .collect()
}

fn days(job: &Job, shown: &HouseYear, hard: Option<&YearInside>) -> Vec<ClimateDay> {
    let light = daily_sums(&shown.light_mol_m2_h);
    (0..DAYS_PER_YEAR)
        .map(|day| ClimateDay::of(job, shown, hard, &light, day))
        .collect()
}
