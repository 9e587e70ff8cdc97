//! Crops against months.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Note, Spread};
use crate::calendar::date_of_day;
use crate::crops::{Cause, Loss, MonthState};
use crate::output::row::{row, view};
use crate::output::text::{fixed, short_date};
use crate::phrase::{Phrase, amount, phrase};
use crate::study::{CropLatest, CropMonthsIn, Job, RoofHeat, SeasonStudy, Turns};
use crate::words::Word;

pub use crate::crops::State as SeasonState;

view! {
    /// One crop in one month.
    pub struct SeasonMonth of month_view(year: i32, month: &MonthState, turned: Option<Phrase>) {
        let refusal = month.refusal.as_ref();
        /// What can be done; the one that says most.
        state: SeasonState => month.state;
        /// A sowing in this month comes to harvest; may hold besides picking.
        sow: bool => month.sow;
        /// What holds it back, such as `too cold at night`; empty if nothing does.
        cause: Option<Phrase> => refusal.map(|refusal| cause(year, refusal));
        /// How far the limiting figure is from its limit; negative where the limit is broken.
        margin: Option<f64> => refusal.map(|refusal| -refusal.margin);
        /// Unit of the margin: `K`, `mol/m2/day`, `h` or `d`.
        margin_unit: Option<String> => refusal.map(|refusal| margin_unit(refusal.unit).to_owned());
        /// What would turn a no, each measure alone and simulated; none where nothing was tried, empty where none of those does.
        remedy: Option<Phrase> => turned.filter(|_| month.state == SeasonState::No);
    }
}

/// Something of a warm crop under four roofs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Roofs<T> {
    /// In the building as it is.
    pub as_is: T,
    /// In the building held at `heated_to_c`.
    pub heated: T,
    /// In a plain single-film tunnel of the same floor.
    pub tunnel: T,
    /// Outdoors.
    pub outdoors: T,
}

/// How many months a warm crop can stay in.
pub type MonthsIn = Roofs<Option<Spread>>;

/// When a warm crop can stay in: from its median first day to its median last one.
pub type StayDates = Roofs<Option<DateRange>>;

/// A time with its first and last day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct DateRange {
    /// First day.
    pub from: NaiveDate,
    /// Last day; a whole year ends on the day before its first.
    pub to: NaiveDate,
}

/// One crop through the year.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(not(feature = "inner"), non_exhaustive)]
pub struct SeasonCrop {
    /// Identifier of the crop, as in the crop files.
    pub crop: String,
    /// Name for people.
    pub name: String,
    /// Foods that it stands in for, such as `salad greens`.
    pub group: String,
    /// January to December.
    pub months: [SeasonMonth; 12],
    /// Months in, each at p10, p50 and p90 over the weather years.
    pub months_in: MonthsIn,
    /// From when to when: the medians of the first and of the last day.
    pub stay: StayDates,
}

view! {
    /// Crops against months.
    pub struct SeasonView of season(job: &Job, study: &SeasonStudy) {
        let held = study.heats.iter().find(|heat| heat.roof == "heated");
        /// Where the building stands.
        place: String => job.site.place.name.clone();
        /// Crops in the order they are shown.
        crops: Vec<SeasonCrop> => crops(job, study);
        /// Temperature held behind `months_in.heated`, °C; empty where it was not run.
        heated_to_c: Option<f64> => Some(study.heated_to_c);
        /// Heat that this heater gives in a year, kWh; empty where it was not run.
        heated_kwh_year: Option<f64> => held.map(|heat| heat.heat_kwh);
        /// Was that heat asked for?
        heat_asked: bool => study.heat_asked;
        /// Weather years behind the building as it is.
        years: usize => study.years.0;
        /// Weather years behind the other roofs: where fewer, some of these, from the coldest to the mildest.
        other_roofs_years: usize => study.years.1;
        /// What heating takes under each roof.
        heats: Vec<RoofHeatRow> => study.heats.iter().map(RoofHeatRow::of).collect();
        /// Currency of its cost.
        currency: String => job.project.shopping.currency.code().to_owned();
        /// Latest safe sowings of the winter crops.
        latest: Vec<LatestRow> => study.latest.iter().map(|found| LatestRow::of(job, found)).collect();
        /// What else to know.
        notes: Vec<Note> => held
            .map(held_note)
            .into_iter()
            .chain(followed_note(study))
            .chain(study.turns.as_ref().map(tried_note))
            .collect();
    }
}

row! {
    /// What heating takes under one roof.
    pub struct RoofHeatRow of (heat: &RoofHeat) {
        /// `as it is`, `heated`, `plain tunnel` or `outdoors`.
        roof: String, "" => heat.roof.to_owned();
        /// Largest output in any hour of the weather years: what the heater has to give.
        peak_w: f64, "W", "Peak" => heat.peak_w;
        /// Heat a year, mean of the weather years.
        heat_kwh: f64, "kWh", "Heat" => heat.heat_kwh;
        /// Hours a year in which the heater cannot hold its set point, mean of the weather years.
        cannot_hold_h: f64, "h", "Not held" => heat.cannot_hold_h;
        /// What is burnt.
        fuel: String, "" => heat.fuel.name().to_owned();
        /// How much of it a year.
        fuel_amount: f64, "see fuel_unit", "Amount" => heat.fuel_amount.0;
        /// Unit in which it is sold.
        fuel_unit: String, "", "Unit" => heat.fuel_amount.1.to_owned();
        /// What that costs a year; empty where no price is known.
        cost: Option<f64>, "currency" => heat.cost;
    }
}

/// A day of the planning year, counted from its first.
fn day(job: &Job, day: f64) -> NaiveDate {
    date_of_day(job.project.planning.year, 0) + chrono::TimeDelta::days(day.round() as i64)
}

row! {
    /// The latest sowing with which a winter crop stands big enough through the dark weeks.
    pub struct LatestRow of (job: &Job, found: &CropLatest) {
        /// Identifier of the crop.
        crop: String, "" => found.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => job.table.name_of(&found.crop);
        /// Beds that it holds for: `bare`, the name of their cover, or `all`.
        beds: String, "" => found.beds.clone();
        /// `direct` or `tray`.
        way: String, "" => found.way.word().to_owned();
        /// Early enough in nine weather years of ten.
        safe_in_9_of_10: NaiveDate, "", "9 years of 10" => day(job, found.latest.day.p10);
        /// Early enough in half of the weather years.
        safe_in_5_of_10: NaiveDate, "", "5 of 10" => day(job, found.latest.day.p50);
        /// Early enough in one weather year of ten.
        safe_in_1_of_10: NaiveDate, "", "1 of 10" => day(job, found.latest.day.p90);
        /// Fresh mass that then stands when the dark weeks begin.
        standing_kg_m2: Spread, "kg/m2", "In the bed" => found.latest.standing_kg_m2;
        /// Share of the weather years in which a sowing of the day safe in nine of ten comes through by the weather, 0 to 1.
        survival: f64, "share", "By weather" => found.survival;
        /// The same with what is lost beside the weather.
        in_all: f64, "share", "In all" => found.in_all;
    }
}

row! {
    /// One crop in one month, flat.
    pub struct SeasonRow of (crop: &SeasonCrop, number: u32, month: &SeasonMonth) {
        /// Identifier of the crop.
        crop: String, "" => crop.crop.clone();
        /// Month, 1 to 12.
        month: u32, "" => number;
        /// `pick`, `sow`, `stand`, `grow` or `no`: the one that says most.
        state: String, "" => month.state.word().to_owned();
        /// A sowing in this month comes to harvest.
        sow: bool, "" => month.sow;
        /// What holds it back.
        cause: Option<Phrase>, "" => month.cause.clone();
        /// Distance of the limiting figure from its limit; negative where the limit is broken.
        margin: Option<f64>, "see margin_unit" => month.margin;
        /// Unit of the margin.
        margin_unit: Option<String>, "" => month.margin_unit.clone();
        /// What would turn a no.
        remedy: Option<Phrase>, "" => month.remedy.clone();
    }
}

row! {
    /// How many months a crop can stay in, flat.
    pub struct MonthsInRow of (crop: &SeasonCrop) {
        /// Identifier of the crop.
        crop: String, "" => crop.crop.clone();
        /// Name of the crop for people.
        crop_name: String, "", "Crop" => crop.name.clone();
        /// In the building as it is.
        as_is_months: Option<Spread>, "months", "This house" => crop.months_in.as_is;
        /// First day of that time in the middle year.
        as_is_from: Option<NaiveDate>, "" => crop.stay.as_is.map(|stay| stay.from);
        /// Last day of it.
        as_is_to: Option<NaiveDate>, "" => crop.stay.as_is.map(|stay| stay.to);
        /// In the building held at `heated_to_c`.
        heated_months: Option<Spread>, "months" => crop.months_in.heated;
        /// First day of that time in the middle year.
        heated_from: Option<NaiveDate>, "" => crop.stay.heated.map(|stay| stay.from);
        /// Last day of it.
        heated_to: Option<NaiveDate>, "" => crop.stay.heated.map(|stay| stay.to);
        /// In a plain single-film tunnel of the same floor.
        tunnel_months: Option<Spread>, "months", "Plain tunnel" => crop.months_in.tunnel;
        /// First day of that time in the middle year.
        tunnel_from: Option<NaiveDate>, "" => crop.stay.tunnel.map(|stay| stay.from);
        /// Last day of it.
        tunnel_to: Option<NaiveDate>, "" => crop.stay.tunnel.map(|stay| stay.to);
        /// Outdoors.
        outdoors_months: Option<Spread>, "months" => crop.months_in.outdoors;
        /// First day of that time in the middle year.
        outdoors_from: Option<NaiveDate>, "" => crop.stay.outdoors.map(|stay| stay.from);
        /// Last day of it.
        outdoors_to: Option<NaiveDate>, "" => crop.stay.outdoors.map(|stay| stay.to);
    }
}

impl SeasonView {
    /// Every crop in every month, flat.
    pub fn rows(&self) -> Vec<SeasonRow> {
        let crops = self.crops.iter();
        let months = crops.flat_map(|crop| {
            (1..)
                .zip(&crop.months)
                .map(move |(at, month)| SeasonRow::of(crop, at, month))
        });
        months.collect()
    }

    /// Months in for every crop that has them, flat.
    pub fn months_in_rows(&self) -> Vec<MonthsInRow> {
        self.warm_crops().map(MonthsInRow::of).collect()
    }

    /// The crops of which months in were asked for.
    pub fn warm_crops(&self) -> impl Iterator<Item = &SeasonCrop> {
        let crops = self.crops.iter();
        crops.filter(|crop| crop.months_in.is_some())
    }
}

impl MonthsIn {
    /// True where at least one of the four was computed.
    pub fn is_some(&self) -> bool {
        [self.as_is, self.heated, self.tunnel, self.outdoors]
            .iter()
            .any(Option::is_some)
    }
}

fn crops(job: &Job, study: &SeasonStudy) -> Vec<SeasonCrop> {
    let year = job.project.planning.year;
    study
        .season
        .crops
        .iter()
        .filter_map(|months| {
            let crop = job.table.get(&months.crop)?;
            let state = |month: usize| {
                let turned = study
                    .turns
                    .as_ref()
                    .map(|turns| turned(turns, &crop.id, month));
                months
                    .months
                    .get(month)
                    .map(|state| month_view(year, state, turned))
            };
            let months: Vec<SeasonMonth> = (0..12).map(state).collect::<Option<_>>()?;
            let warm = study.months_in.iter().find(|found| found.crop == crop.id);
            Some(SeasonCrop {
                crop: crop.id.clone(),
                name: crop.name.clone(),
                group: crop.group.clone(),
                months: months.try_into().ok()?,
                months_in: warm.map_or_else(MonthsIn::default, |found| {
                    roofs(found, |months| Some(months.stays))
                }),
                stay: warm.map_or_else(StayDates::default, |found| stay_dates(year, found)),
            })
        })
        .collect()
}

/// What a figure of each roof makes.
fn roofs<T>(
    found: &CropMonthsIn,
    of: impl Fn(&crate::crops::MonthsIn) -> Option<T>,
) -> Roofs<Option<T>> {
    let one = |months: &Option<crate::crops::MonthsIn>| months.as_ref().and_then(&of);
    Roofs {
        as_is: one(&found.as_is),
        heated: one(&found.heated),
        tunnel: one(&found.tunnel),
        outdoors: one(&found.outdoors),
    }
}

fn stay_dates(year: i32, found: &CropMonthsIn) -> StayDates {
    roofs(found, |months| {
        let stretch = months.middle?;
        let day = |day: usize| crate::calendar::date_of_day(year, day);
        Some(DateRange {
            from: day(stretch.from_day),
            to: day(stretch.from_day + stretch.days - 1),
        })
    })
}

fn tried_note(turns: &Turns) -> Note {
    Note::plain(phrase![
        "tried on every no, each alone and simulated on up to ten weather years: ",
        Phrase::joined(&turns.tried, ", "),
        "; where nothing stands, none of them turns it"
    ])
}

fn held_note(heat: &RoofHeat) -> Note {
    let kw = heat.peak_w / crate::house::W_PER_KW;
    Note::plain(format!(
        "the heater of the heated building is as large as holding that takes in the coldest hour simulated: {} kW",
        fixed(kw, 1)
    ))
}

/// In how many of the weather years crops are followed, where not in all.
fn followed_note(study: &SeasonStudy) -> Option<Note> {
    let (some, all) = (study.years.0, study.simulated_years);
    let words = format!("crops are followed in the first {some} of the {all} weather years");
    (some < all).then(|| Note::plain(words))
}

/// The measures that turn a no, in words; empty where none of those tried does.
fn turned(turns: &Turns, crop: &str, month: usize) -> Phrase {
    let found = turns
        .turned
        .iter()
        .find(|one| one.crop == crop && one.month == month);
    found.map_or_else(Phrase::default, |one| Phrase::joined(&one.measures, " or "))
}

/// What holds a month back, as an amount beyond the limit.
fn cause(year: i32, refusal: &Loss) -> Phrase {
    let (cause, margin, unit) = (refusal.cause, refusal.margin, refusal.unit);
    let (found, needed) = (refusal.found, refusal.needed);
    if cause == Cause::NotAtHand {
        let words = if found < needed {
            "before its planting season begins"
        } else {
            "after its planting season ends"
        };
        return phrase![
            format!("{cause}: "),
            amount(margin, unit, 0),
            format!(" {words}")
        ];
    }
    if cause == Cause::Bolts && unit == "h" {
        return phrase![
            format!("{cause}: it meets days of "),
            amount(found, unit, 1),
            " before it is ready and bears ",
            amount(needed, unit, 1)
        ];
    }
    let end = match (found < needed, cause) {
        (true, Cause::TooCold | Cause::TooDark) => " of good growth",
        (true, _) => " it needs",
        (false, _) => " it bears",
    };
    // A sowing in trays meets the bed weeks later.
    let day = match cause {
        Cause::RootZoneCold | Cause::RootZoneHot => {
            format!(
                " in the bed on {}",
                short_date(date_of_day(year, refusal.day))
            )
        }
        _ => String::new(),
    };
    let words = match (found < needed, unit) {
        (true, "°C") => " below the ",
        (true, _) => " short of the ",
        (false, _) => " above the ",
    };
    phrase![
        format!("{cause}: "),
        amount(margin, margin_unit(unit), 1),
        words,
        amount(needed, unit, 1),
        end,
        day
    ]
}

/// Unit of a distance between two figures of a unit.
fn margin_unit(unit: &'static str) -> &'static str {
    if unit == "°C" { "K" } else { unit }
}
