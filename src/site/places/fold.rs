//! Names as they are compared: small letters without marks, words run together.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Words that are also written short.
const SHORT: [(&str, &str); 3] = [("saint", "st"), ("fort", "ft"), ("mount", "mt")];

/// A name as it is compared: no marks on letters, no case, no blanks, hyphens or points; `saint`, `fort` and `mount` short.
pub fn folded(name: &str) -> String {
    let mut all = String::with_capacity(name.len());
    let mut word = String::new();
    let mut finish = |word: &mut String| {
        let short = SHORT.iter().find(|(long, _)| *long == word.as_str());
        all.push_str(short.map_or(word.as_str(), |(_, short)| short));
        word.clear();
    };
    let mut letter = |c: char, word: &mut String| match c {
        '\'' | '’' | 'ʼ' | '‘' | '`' => {}
        _ if c.is_alphanumeric() => match whole(c) {
            Some(plain) => word.push_str(plain),
            None => word.extend(c.to_lowercase()),
        },
        _ => finish(word),
    };
    if name.is_ascii() {
        name.chars().for_each(|c| letter(c, &mut word));
    } else {
        let plain = name.nfd().filter(|c| !is_combining_mark(*c));
        plain.for_each(|c| letter(c, &mut word));
    }
    finish(&mut word);
    all
}

/// Letters that no decomposition takes apart, as people write them without.
fn whole(c: char) -> Option<&'static str> {
    Some(match c {
        'ø' | 'Ø' => "o",
        'ł' | 'Ł' => "l",
        'đ' | 'Đ' | 'ð' | 'Ð' => "d",
        'ß' => "ss",
        'æ' | 'Æ' => "ae",
        'œ' | 'Œ' => "oe",
        'þ' | 'Þ' => "th",
        'ı' => "i",
        'ħ' | 'Ħ' => "h",
        'ə' | 'Ə' => "a",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::folded;

    #[test]
    fn marks_case_and_points_do_not_count() {
        assert_eq!(folded("Tromsø"), "tromso");
        assert_eq!(folded("St. John's"), folded("Saint Johns"));
        assert_eq!(folded("Kraków"), "krakow");
        assert_eq!(folded("İstanbul"), "istanbul");
        assert_eq!(folded("Fort-McMurray"), "ftmcmurray");
    }
}
