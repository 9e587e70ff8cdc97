//! What would be right where people write as they speak: dates of another order, words and quantities without quotation
//! marks, curly quotation marks.

use super::error::floor_char;

/// What is wrong with the line at a place of the text and how it should be written, where the slip is a common one.
pub(super) fn right(text: &str, at: usize) -> Option<(&'static str, String)> {
    let at = floor_char(text, at);
    let start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let line = text[start..].lines().next().unwrap_or_default();
    if line.contains(['\u{201c}', '\u{201d}', '\u{2018}', '\u{2019}']) {
        let plain = line.replace(['\u{201c}', '\u{201d}', '\u{2018}', '\u{2019}'], "\"");
        let wrong = "curly quotation marks are not read";
        return Some((wrong, format!("write {}", plain.trim())));
    }
    let (key, value) = line.split_once('=')?;
    let (key, value) = (key.trim(), value.split('#').next()?.trim());
    if let Some(day) = day(value) {
        let wrong = "a date is written year-month-day";
        return Some((wrong, format!("write {key} = {day}")));
    }
    let bare = !value.is_empty() && !value.contains(['"', '\'', '[', '{']);
    bare.then(|| {
        let wrong = "words and amounts with a unit stand in quotation marks";
        (wrong, format!("write {key} = \"{value}\""))
    })
}

/// `10/15/2026` as `2026-10-15`; month first, unless that cannot be.
pub fn day(written: &str) -> Option<String> {
    let parts = written.trim().split(['/', '.']);
    let parts: Option<Vec<u32>> = parts.map(|part| part.parse().ok()).collect();
    const YEARS: std::ops::RangeInclusive<u32> = 1000..=9999;
    const MONTHS: u32 = 12;
    let (year, month, day) = match parts?[..] {
        [year, month, day] if YEARS.contains(&year) => (year, month, day),
        [day, month, year] if YEARS.contains(&year) && day > MONTHS => (year, month, day),
        [month, day, year] if YEARS.contains(&year) => (year, month, day),
        _ => return None,
    };
    chrono::NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)
        .map(|day| day.to_string())
}

#[cfg(test)]
mod tests {
    use super::{day, right};

    #[test]
    fn slips_are_answered_with_what_to_write() {
        let cases = [
            ("finished = 10/15/2026", Some("write finished = 2026-10-15")),
            ("finished = 15.10.2026", Some("write finished = 2026-10-15")),
            ("facing = S # south", Some("write facing = \"S\"")),
            ("length = 30 ft", Some("write length = \"30 ft\"")),
            (
                "place = \u{201c}Helena\u{201d}",
                Some("write place = \"Helena\""),
            ),
            ("want = [\"a\"", None),
        ];
        for (line, expected) in cases {
            let found = right(line, 0).map(|(_, right)| right);
            assert_eq!(found.as_deref(), expected, "{line}");
        }
        assert_eq!(day("13/40/2026"), None);
    }
}
