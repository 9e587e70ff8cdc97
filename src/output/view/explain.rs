//! One sowing, month by month.

use chrono::{Datelike, NaiveDate};

use super::{Note, Spread};
use crate::calendar::{DAYS_IN_MONTH, MONTH_START_DAY, date_of_day};
use crate::crops::{EventKind, Loss, MonthSums, Warning};
use crate::output::row::{row, view};
use crate::output::text::{fixed, short_date};
use crate::phrase::{Phrase, amount, bare, phrase};
use crate::study::{ExplainStudy, Job};
use crate::words::Word;

/// First day of a month, counted from January of a year.
fn first_day(year: i32, month: usize) -> NaiveDate {
    let months = DAYS_IN_MONTH.len();
    date_of_day(
        year + (month / months) as i32,
        MONTH_START_DAY[month % months],
    )
}

row! {
    /// One month of a planting, in the year followed; sums run over the days on which it grows.
    pub struct ExplainMonth of (year: i32, sums: &MonthSums) {
        /// First day of the month.
        month: NaiveDate, "" => first_day(year, sums.month);
        /// Days of the planting in this month.
        days: u32, "d", "Days" => sums.days as u32;
        /// Mean air temperature.
        air_c: f64, "°C", "Air" => sums.air_c;
        /// Mean temperature of the root zone, 0.1 m deep.
        root_zone_c: f64, "°C", "Root" => sums.root_zone_c;
        /// Mean day length.
        day_length_h: f64, "h", "Day" => sums.day_length_h;
        /// Mean daily photosynthetic light.
        light_mol_m2_day: f64, "mol/m2/day", "Light" => sums.light_mol_m2_day;
        /// What leaves gain in this air's carbon dioxide against outdoor air.
        carbon_share: f64, "share", "CO2" => sums.carbon_share;
        /// Progress to emergence made in this month; 1 is up.
        emergence: f64, "share", "Up" => sums.emergence;
        /// Warmth that ages the crop.
        warmth_k_d: f64, "K d", "Warmth" => sums.warmth_k_d;
        /// What a stand that covers the ground gains on a mean day against a day at best temperature in full light, 0 to 1.
        pace: f64, "share", "Growth" => sums.pace;
        /// Share of the light that leaves catch at the month's end, 0 to 1.
        ground_cover: f64, "share" => sums.ground_cover;
        /// Leaf area at the month's end, m2 per m2 of bed.
        leaf_area_m2_m2: f64, "m2/m2", "Leaf area" => sums.leaf_m2_m2;
        /// Living dry mass at the month's end.
        dry_g_m2: f64, "g/m2", "Dry" => sums.dry_g_m2;
        /// Coldest hour of the leaves.
        leaf_min_c: f64, "°C", "Coldest" => sums.leaf_min_c;
        /// Smallest distance of the three coldest hours from the cold that kills half of the leaf.
        cold_margin_k: f64, "K", "To spare" => sums.cold_margin_k;
        /// Mean degree of hardening, 0 to 1.
        hardening: f64, "share", "Harden" => sums.hardening;
        /// Chilling of a crop of warm origin.
        chill_kh: f64, "K h", "Chill" => sums.chill_kh;
        /// Mean share of flowers that set fruit, 0 to 1.
        set: f64, "share", "Set" => sums.set;
        /// Picked.
        picked_kg_m2: f64, "kg/m2", "Picked" => sums.kg_m2;
    }
}

row! {
    /// Something that happens to a planting.
    pub struct ExplainEvent {
        /// Day.
        date: NaiveDate, "";
        /// What happens.
        event: Phrase, "";
        /// Why, with what was met and needed; empty where the event says it all.
        cause: Phrase, "";
    }
}

view! {
    /// One sowing followed through a year.
    pub struct ExplainView of explain(job: &Job, study: &ExplainStudy) {
        let year = study.sow.year();
        let usual = &study.usual;
        let loss = usual.growth.loss.as_ref();
        /// Where the building stands.
        place: String => job.site.place.name.clone();
        /// Identifier of the crop.
        crop: String => study.crop.clone();
        /// Name of the crop for people.
        name: String => job.table.name_of(&study.crop);
        /// Bed.
        bed: String => study.bed.clone();
        /// Climate of the bed: `bare` or `row cover`.
        bed_climate: String => study.climate.clone();
        /// `direct` or `tray`.
        way: String => study.sowing.way.word().to_owned();
        /// Day of sowing.
        sow: NaiveDate => study.sow;
        /// Growth class.
        class: String => usual.build.class.word().to_owned();
        /// Growth of young leaf area at best temperature, 1/day.
        leaf_rate_per_day: f64 => usual.build.leaf_rate_per_day;
        /// Where that comes from.
        leaf_rate_from: String => usual.build.rate_from.word().to_owned();
        /// Fresh mass of a first picking, kg/m2.
        ready_kg_m2: f64 => usual.ready_kg_m2;
        /// Share of what the weather leaves that is left on average of what is lost beside it, as the plan counts; all that is picked here
        /// is less that.
        left_share: f64 => study.left;
        /// Picked in the year followed, kg/m2.
        picked_kg_m2: f64 => usual.growth.kg_m2();
        /// The year followed, by name.
        followed: String => study.followed.clone();
        /// Share of the weather years in which it comes through.
        survival: f64 => study.survival;
        /// What most often cut it short; empty where nothing did.
        commonest_cause: String => study.commonest.map_or_else(String::new, |(cause, _)| cause.to_string());
        /// Weather years in which that did.
        commonest_cause_years: u32 => study.commonest.map_or(0, |(_, years)| years as u32);
        /// Weather years tried.
        weather_years: u32 => study.weather_years as u32;
        /// Weather years in which something is picked.
        bearing_years: u32 => study.bearing_years as u32;
        /// Picked over the weather years, kg/m2.
        picked_kg_m2_weather_years: Option<Spread> => study.kg_m2;
        /// Months from sowing to clearing.
        months: Vec<ExplainMonth> => usual.months.iter().map(|sums| ExplainMonth::of(year, sums)).collect();
        /// What happens when, in order.
        events: Vec<ExplainEvent> => events(study, loss);
        /// The events without the cuts that follow the first, for people.
        #[serde(skip)]
        turning_points: Vec<ExplainEvent> => dated(study, loss)
            .filter(|(kind, _)| *kind != EventKind::CutAgain)
            .map(|(_, event)| event)
            .collect();
        /// Days of picking, for people.
        #[serde(skip)]
        pickings: Vec<NaiveDate> => usual
            .growth
            .harvests
            .iter()
            .map(|harvest| date_of_day(year, harvest.day))
            .collect();
        /// What to watch.
        notes: Vec<Note> => usual
            .warnings
            .iter()
            .map(|found| note(year, found))
            .chain(moves(study))
            .chain(other_kinds(study))
            .collect();
    }
}

/// What two kelvins or a week either way would do, in a sentence.
fn moves(study: &ExplainStudy) -> Option<Note> {
    let year = study.sow.year();
    let mut text = Phrase::default();
    for one in &study.moved {
        let lead = if text.is_empty() { "if it were " } else { "; " };
        let change = match one.later_days {
            0 if one.warmer_k > 0.0 => phrase![lead, amount(one.warmer_k, "K", 0), " warmer, "],
            0 => phrase![lead, amount(-one.warmer_k, "K", 0), " colder, "],
            days if days < 0 => phrase![format!("{lead}sown {} days earlier, ", -days)],
            days => phrase![format!("{lead}sown {days} days later, ")],
        };
        let found = match one.ready_day {
            Some(day) => phrase![
                format!("ready {} and ", short_date(date_of_day(year, day))),
                amount(one.kg_m2, "kg/m2", 2)
            ],
            None => "never ready".into(),
        };
        text = text.then(change).then(found);
    }
    (!text.is_empty()).then(|| Note::plain(text))
}

fn other_kinds(study: &ExplainStudy) -> Option<Note> {
    (!study.other_kinds.is_empty()).then(|| {
        let kinds = study.other_kinds.join(", ");
        Note::plain(format!(
            "other kinds of it, by the names that --explain takes: {kinds}"
        ))
    })
}

/// What happens to the planting, each with its kind.
fn dated<'s>(
    study: &'s ExplainStudy,
    loss: Option<&'s Loss>,
) -> impl Iterator<Item = (EventKind, ExplainEvent)> + 's {
    let year = study.sow.year();
    let growth = &study.usual.growth;
    growth.events.iter().map(move |event| {
        let cause = match (event.kind, loss) {
            (EventKind::Lost, Some(loss)) => loss_words(loss),
            (EventKind::Emerged, _) if growth.stand_share < 1.0 => format!(
                "{} % of the seed: the root zone is too hot or too cold for the rest",
                fixed(growth.stand_share * 100.0, 0)
            )
            .into(),
            _ => Phrase::default(),
        };
        let shown = ExplainEvent {
            date: date_of_day(year, event.day),
            event: event.kind.word().into(),
            cause,
        };
        (event.kind, shown)
    })
}

/// The dated events with every picking among them, in order.
fn events(study: &ExplainStudy, loss: Option<&Loss>) -> Vec<ExplainEvent> {
    let year = study.sow.year();
    let harvests = &study.usual.growth.harvests;
    let picked = harvests.iter().map(|harvest| ExplainEvent {
        date: date_of_day(year, harvest.day),
        event: phrase!["picked ", amount(harvest.kg_m2, "kg/m2", 2)],
        cause: Phrase::default(),
    });
    let dated = dated(study, loss).map(|(_, event)| event);
    let mut all: Vec<ExplainEvent> = dated.chain(picked).collect();
    all.sort_by_key(|event| event.date);
    all
}

fn loss_words(loss: &Loss) -> Phrase {
    phrase![
        format!("{}: ", loss.cause),
        amount(loss.found, loss.unit, 1),
        ", where the limit is ",
        bare(loss.needed, loss.unit, 1)
    ]
}

fn note(year: i32, found: &Warning) -> Note {
    let date = |day: usize| short_date(date_of_day(year, day));
    let words = found.kind.word();
    let text = if found.days == 1 {
        format!("{words} ({})", date(found.from_day))
    } else {
        format!(
            "{words} ({} days between {} and {})",
            found.days,
            date(found.from_day),
            date(found.to_day)
        )
    };
    Note::warning(text)
}
