//! How the household wants to garden.

use super::household::{crop_id, foods};
use crate::calendar::{DAYS_PER_YEAR, day_of_date, month_of_day};
use crate::file::gardening::{Away, FixedSowing, Gardening};
use crate::file::project::{Bed, Household};
use crate::file::season;
use crate::file::section::Section;
use crate::suggest;
use chrono::{NaiveDate, Weekday};

/// How the household wants to garden.
pub fn gardening(root: &Section<'_, '_>, table: &Section<'_, '_>) -> Option<Gardening> {
    let effort = root.table("effort");
    table.filled(Gardening {
        must: foods(table, "must"),
        fixed: each(table, "fixed", |text| fixed(table, text)),
        away: each(table, "away", |text| away(table, text)),
        day: day(table),
        effort: ["planting", "kind", "sowing_day"].map(|key| effort.number(key)),
        ..Gardening::default()
    })
}

/// Fixed sowings stand in beds that there are.
pub fn check_beds(root: &Section<'_, '_>, household: &Household, beds: &[Bed]) {
    let table = root.table("household");
    for sowing in &household.gardening.fixed {
        if beds.iter().any(|bed| bed.name == sowing.bed) {
            continue;
        }
        let names = beds.iter().map(|bed| bed.name.as_str());
        let right = suggest::nearest(&sowing.bed, names.clone())
            .map(|near| format!("did you mean \"{near}\"?"))
            .unwrap_or_else(|| format!("the beds are {}", names.collect::<Vec<_>>().join(", ")));
        let wrong = format!("no bed is called \"{}\"", sowing.bed);
        table.problem_at("fixed", &sowing.text, wrong, right);
    }
}

fn each<T>(table: &Section<'_, '_>, key: &str, read: impl Fn(&str) -> Option<T>) -> Vec<T> {
    let texts = table.texts(key);
    texts.iter().filter_map(|text| read(text)).collect()
}

/// The first of the days for the beds.
fn day(table: &Section<'_, '_>) -> Option<Weekday> {
    let wrong = |text: &str| {
        let wrong = format!("\"{text}\" is no day of the week");
        table.problem_at("days", text, wrong, "days are written like \"Saturday\"");
    };
    let day = |text: &str| text.trim().parse().map_err(|_| wrong(text)).ok();
    each(table, "days", day).first().copied()
}

/// `July`, `December to January`, `2027-07-05 to 2027-07-25`.
fn away(table: &Section<'_, '_>, text: &str) -> Option<Away> {
    let date = |text: &str| text.trim().parse::<NaiveDate>().ok();
    let parts: Vec<&str> = text.split(" to ").collect();
    let days = match parts.as_slice() {
        [one] => date(one).map(|day| (day, day)),
        [from, to] => date(from).zip(date(to)),
        _ => None,
    };
    if let Some((from, to)) = days {
        return Some(Away {
            from_day: day_of_date(from),
            to_day: day_of_date(to),
        });
    }
    let Some((from, to)) = season::range(text) else {
        let wrong = format!("\"{text}\" is neither months nor days");
        let right = "such as \"July\", \"December to January\" or \"2027-07-05 to 2027-07-25\"";
        table.problem_at("away", text, wrong, right);
        return None;
    };
    let in_month = |month: usize| (0..DAYS_PER_YEAR).filter(move |day| month_of_day(*day) == month);
    Some(Away {
        from_day: in_month(from).next()?,
        to_day: in_month(to).next_back()?,
    })
}

/// `tomato in north 1 on 2027-03-20`, `kale in half of north 1 on 2027-08-01 in trays`.
fn fixed(table: &Section<'_, '_>, text: &str) -> Option<FixedSowing> {
    let Some(sowing) = parsed(text) else {
        let wrong = format!("the sowing \"{text}\" cannot be read");
        let right = "it reads like \"tomato in north 1 on 2027-03-20\": a crop, a bed (or \"half of\" one), a day";
        table.problem_at("fixed", text, wrong, right);
        return None;
    };
    Some(FixedSowing {
        crop: crop_id(table, "fixed", &sowing.crop)?,
        ..sowing
    })
}

/// A sowing with the crop as it is called in the text.
fn parsed(text: &str) -> Option<FixedSowing> {
    let (rest, tray) = match text.trim().strip_suffix(" in trays") {
        Some(rest) => (rest, true),
        None => (text.trim(), false),
    };
    let (rest, day) = rest.rsplit_once(" on ")?;
    let (crop, bed) = rest.split_once(" in ")?;
    let parts = [("half of ", 0.5), ("a quarter of ", 0.25), ("", 1.0)];
    let part = |(words, share): (&str, f64)| Some((bed.strip_prefix(words)?, share));
    let (bed, share) = parts.into_iter().find_map(part)?;
    Some(FixedSowing {
        text: text.to_owned(),
        crop: crop.trim().to_owned(),
        bed: bed.trim().to_owned(),
        share,
        sow: day.trim().parse().ok()?,
        tray,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sowings_already_decided_are_read() {
        let day = NaiveDate::from_ymd_opt(2027, 3, 20);
        let whole = parsed("tomato in north 1 on 2027-03-20").unwrap();
        assert_eq!((whole.crop.as_str(), whole.share), ("tomato", 1.0));
        assert_eq!((whole.bed.as_str(), Some(whole.sow)), ("north 1", day));
        assert!(!whole.tray);
        let half = parsed("pak choi in half of the long bed on 2027-03-20 in trays").unwrap();
        assert_eq!((half.crop.as_str(), half.share), ("pak choi", 0.5));
        assert_eq!((half.bed.as_str(), half.tray), ("the long bed", true));
        for broken in ["tomato", "tomato in north", "tomato in north on May"] {
            assert!(parsed(broken).is_none(), "{broken}");
        }
    }

    #[test]
    fn times_away_run_over_the_turn_of_the_year() {
        let winter = Away {
            from_day: 350,
            to_day: 5,
        };
        assert!(winter.touches(348, 7) && winter.touches(0, 1) && !winter.touches(100, 7));
    }
}
