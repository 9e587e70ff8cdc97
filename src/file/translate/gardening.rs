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
        table.problem_at("fixed", &sowing.text, wrong, Some(right));
    }
}

fn each<T>(table: &Section<'_, '_>, key: &str, read: impl Fn(&str) -> Option<T>) -> Vec<T> {
    let texts = table.texts(key);
    texts.iter().filter_map(|text| read(text)).collect()
}

/// The first of the days for the beds.
fn day(table: &Section<'_, '_>) -> Option<Weekday> {
    let days = each(table, "days", |text| match text.trim().parse::<Weekday>() {
        Ok(day) => Some(day),
        Err(_) => {
            let wrong = format!("\"{text}\" is no day of the week");
            let right = "days are written like \"Saturday\"".to_owned();
            table.problem_at("days", text, wrong, Some(right));
            None
        }
    });
    days.first().copied()
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
        table.problem_at("away", text, wrong, Some(right.to_owned()));
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
    let parsed = parts(text);
    let Some((crop, share, bed, sow, tray)) = parsed else {
        let wrong = format!("the sowing \"{text}\" cannot be read");
        let right = "it reads like \"tomato in north 1 on 2027-03-20\": a crop, a bed (or \"half of\" one), a day";
        table.problem_at("fixed", text, wrong, Some(right.to_owned()));
        return None;
    };
    Some(FixedSowing {
        text: text.to_owned(),
        crop: crop_id(table, "fixed", crop)?,
        bed: bed.to_owned(),
        share,
        sow,
        tray,
    })
}

fn parts(text: &str) -> Option<(&str, f64, &str, NaiveDate, bool)> {
    let text = text.trim();
    let (text, tray) = match text.strip_suffix(" in trays") {
        Some(rest) => (rest, true),
        None => (text, false),
    };
    let (rest, day) = text.rsplit_once(" on ")?;
    let (crop, bed) = rest.split_once(" in ")?;
    let (share, bed) = match (
        bed.strip_prefix("half of "),
        bed.strip_prefix("a quarter of "),
    ) {
        (Some(bed), _) => (0.5, bed),
        (None, Some(bed)) => (0.25, bed),
        (None, None) => (1.0, bed),
    };
    Some((
        crop.trim(),
        share,
        bed.trim(),
        day.trim().parse().ok()?,
        tray,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sowings_already_decided_are_read() {
        let day = NaiveDate::from_ymd_opt(2027, 3, 20);
        let whole = parts("tomato in north 1 on 2027-03-20").unwrap();
        assert_eq!((whole.0, whole.1, whole.2), ("tomato", 1.0, "north 1"));
        assert_eq!((Some(whole.3), whole.4), (day, false));
        let half = parts("pak choi in half of the long bed on 2027-03-20 in trays").unwrap();
        assert_eq!((half.0, half.1, half.2), ("pak choi", 0.5, "the long bed"));
        assert!(half.4);
        for broken in ["tomato", "tomato in north", "tomato in north on May"] {
            assert!(parts(broken).is_none(), "{broken}");
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
