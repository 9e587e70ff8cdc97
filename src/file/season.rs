//! Months as people write them: `"October to April"`, `"all year"`.

/// English names of the months, January first; three letters are enough.
const MONTHS: &str =
    "january february march april may june july august september october november december";
/// Letters that tell the months apart.
const SHORTEST: usize = 3;

/// Month (0 to 11) of a name, or of its first three letters or more.
pub fn month(name: &str) -> Option<usize> {
    let lower = name.trim().trim_end_matches('.').to_lowercase();
    if lower.len() < SHORTEST {
        return None;
    }
    (MONTHS.split(' ')).position(|month| month.starts_with(&lower))
}

/// First and last month of `"October to April"`, `"May"`, `"all year"`; the last may lie before the first.
pub fn range(text: &str) -> Option<(usize, usize)> {
    let plain = text.trim().to_lowercase();
    if matches!(
        plain.as_str(),
        "all year" | "all year round" | "year round" | "year-round" | "always"
    ) {
        return Some((0, 11));
    }
    let joined = [" to ", " through ", " until ", "-", "\u{2013}"];
    match joined.iter().find_map(|word| plain.split_once(word)) {
        Some((from, to)) => Some((month(from)?, month(to)?)),
        None => month(&plain).map(|only| (only, only)),
    }
}

/// Which months a text names: a range, single months, several of them joined by commas or `and`, or `never`.
pub fn months(text: &str) -> Option<[bool; 12]> {
    let mut marked = [false; 12];
    if text.trim().eq_ignore_ascii_case("never") {
        return Some(marked);
    }
    let lower = text.to_lowercase().replace(" and ", ",");
    for part in lower.split(',') {
        let (from, to) = range(part)?;
        // Over the year's end where the last lies before the first.
        let count = (to + 12 - from) % 12 + 1;
        (from..from + count).for_each(|month| marked[month % 12] = true);
    }
    Some(marked)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_winter_runs_over_the_years_end() {
        assert_eq!(range("October to April"), Some((9, 3)));
        for written in [
            "Oct-Apr",
            "October through April",
            "Oct \u{2013} Apr",
            "October - April",
        ] {
            assert_eq!(range(written), Some((9, 3)), "{written}");
        }
        let winter = months("Nov to Feb").unwrap();
        assert_eq!(winter.iter().filter(|on| **on).count(), 4);
        assert!(winter[0] && winter[11] && !winter[5]);
        let several = months("March, May and October to December").unwrap();
        assert_eq!(several.iter().filter(|on| **on).count(), 5);
        assert_eq!(months("never"), Some([false; 12]));
        assert_eq!(months("ma"), None);
        assert_eq!(months("Smarch"), None);
    }
}
