//! CSV as spreadsheets write it: any separator, decimal commas, dates of several countries, cells with line ends.
//!
//! A journal kept by hand goes through many programs. What can be told for certain is read; what can mean two things
//! (the 9th of October or the 10th of September) is refused with what to write instead.

mod date;
mod lines;
mod number;

pub use date::{DateError, DateOrder, date, order};
pub use lines::{Cell, Line, lines, separator};
pub use number::{NumberError, comma_decimal, number};

/// Text that no spreadsheet takes for a formula: such a text gets a leading apostrophe, which spreadsheets hide.
pub fn safe(text: &str) -> String {
    if looks_like_formula(text) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// The text behind [`safe`].
pub fn plain(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if looks_like_formula(rest) => rest,
        _ => text,
    }
}

/// Wide letters and leading blanks are no hindrance to a spreadsheet; behind apostrophes of its own a text needs one more to come back.
fn looks_like_formula(text: &str) -> bool {
    let text = text.trim_start_matches('\'');
    text.starts_with(['\t', '\r'])
        || text
            .trim_start()
            .starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_hidden_and_come_back() {
        for text in [
            "=1+1",
            "-5",
            "@x",
            "+3",
            " =1",
            "＝1",
            "slugs",
            "'s morgens",
            "'=1",
            "' =",
            "",
        ] {
            assert_eq!(plain(&safe(text)), text);
        }
        assert_eq!(safe("=1+1"), "'=1+1");
        assert_eq!(safe("＝1"), "'＝1");
    }
}
