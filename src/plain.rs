//! Text from outside made harmless: nothing in it moves a cursor, rings a bell or turns the direction of writing; and
//! numbers as text.

use unicode_properties::{GeneralCategory, UnicodeGeneralCategory};

/// The mark that some programs put at the start of a text; it says nothing and fills no column.
pub const BYTE_ORDER_MARK: char = '\u{feff}';

/// Text without the mark at its start.
pub fn without_mark(text: &str) -> &str {
    text.trim_start_matches(BYTE_ORDER_MARK)
}

/// True for characters that act instead of showing: the general categories Cc (escape, bell, line ends, and the C1 set
/// that some terminals obey), Cf (marks that change direction, have no width or are tags), Zl and Zp of the Unicode
/// character database.
///
/// The joiners that some scripts and emoji need (U+200C, U+200D) show something and stay.
pub fn is_control_or_bidi(c: char) -> bool {
    use GeneralCategory::{Control, Format, LineSeparator, ParagraphSeparator};
    let acts = matches!(
        c.general_category(),
        Control | Format | LineSeparator | ParagraphSeparator
    );
    acts && !matches!(c, '\u{200c}' | '\u{200d}')
}

/// Text with a blank for each character that [`is_control_or_bidi`], line ends too: for names.
pub fn blanked(text: &str) -> String {
    text.chars()
        .map(|c| if is_control_or_bidi(c) { ' ' } else { c })
        .collect()
}

/// Text with the code of each character that [`is_control_or_bidi`] in its place; line ends stay: for messages, where people need
/// to see what stood in their file.
pub fn escaped(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        if is_control_or_bidi(c) && c != '\n' {
            shown.extend(c.escape_unicode());
        } else {
            shown.push(c);
        }
    }
    shown
}

/// Longest text that is taken for a name, characters (own choice): comparing two texts costs the product of their
/// lengths.
pub const NAME_MAX: usize = 100;

/// Likeness of two names, 0 to 1 (Jaro-Winkler); a text too long for a name is like none.
pub fn likeness(a: &str, b: &str) -> f64 {
    if is_name(a) && is_name(b) {
        strsim::jaro_winkler(a, b)
    } else {
        0.0
    }
}

/// Is a text short enough for a name?
pub fn is_name(text: &str) -> bool {
    text.chars().nth(NAME_MAX).is_none()
}

/// The beginning of a text, with `...` where it goes on.
pub fn beginning(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((at, _)) => format!("{}...", &text[..at]),
        None => text.to_owned(),
    }
}

/// A number with a fixed count of decimals; never `-0.0`, and a dash where it is not a number.
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "-".to_string();
    }
    let text = format!("{value:.decimals$}");
    let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if is_zero {
        text.trim_start_matches('-').to_string()
    } else {
        text
    }
}

/// A number as machines are given it: seven significant digits, which is more than any figure here knows, and no
/// negative nought.
pub fn known(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { 0.0 } else { value };
    }
    format!("{value:.6e}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_are_cut_and_like_nothing() {
        assert_eq!(likeness("lenght", "lenght"), 1.0);
        let long = "é".repeat(NAME_MAX + 1);
        assert_eq!(likeness(&long, &long), 0.0);
        assert_eq!(beginning(&long, 2), "éé...");
        assert_eq!(beginning("éé", 2), "éé");
    }

    #[test]
    fn zero_has_no_sign() {
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert_eq!(fixed(-0.06, 1), "-0.1");
        assert_eq!(fixed(f64::NAN, 1), "-");
    }

    #[test]
    fn machines_are_given_what_is_known() {
        assert_eq!(known(34.0 / 3.0), 11.33333);
        assert_eq!(known(1.0 - 0.9), 0.1);
        assert_eq!(known(-123_456_789.0), -123_456_800.0);
        assert!(known(-0.0).is_sign_positive());
        assert!(known(f64::NAN).is_nan());
    }

    #[test]
    fn names_cannot_steer_the_terminal() {
        assert_eq!(
            blanked("a\u{1b}[31mb\r\nc\u{9b}2J\u{202e}d"),
            "a [31mb  c 2J d"
        );
        assert_eq!(blanked("Ærø brønnkarse 菜"), "Ærø brønnkarse 菜");
        for mark in [
            '\u{61c}',
            '\u{ad}',
            '\u{2062}',
            '\u{e0041}',
            '\u{2029}',
            BYTE_ORDER_MARK,
        ] {
            assert_eq!(
                blanked(&format!("a{mark}b")),
                "a b",
                "U+{:04X}",
                u32::from(mark)
            );
        }
        // A joiner inside an emoji shows something.
        assert_eq!(blanked("👩\u{200d}🌾"), "👩\u{200d}🌾");
    }

    #[test]
    fn messages_show_the_codes_and_keep_their_lines() {
        assert_eq!(escaped("a\u{1b}]0;x\u{7}\nb"), "a\\u{1b}]0;x\\u{7}\nb");
    }
}
