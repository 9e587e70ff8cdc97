//! No text makes the reader panic, whatever stands in it.

use super::examples::files;
use bedyear::file::{self, check};
use proptest::prelude::*;

/// Reads, and does with the result what the program would.
fn use_it(text: &str) {
    match file::parse("any.toml", text) {
        Ok(project) => {
            let amounts = check::facts(&project).into_iter();
            let mut amounts = amounts.filter_map(|fact| fact.amount);
            assert!(amounts.all(|amount| amount.is_finite()), "{text}");
            assert!(project.house.air.volume_m3 > 0.0, "{text}");
            let _ = (check::warnings(&project), check::cautions(&project));
        }
        Err(error) => {
            assert!(!error.problems.is_empty());
            assert!(!error.to_string().is_empty() && !error.render(false).is_empty());
        }
    }
}

fn example_texts() -> Vec<String> {
    ["examples", "tests/file/keys"]
        .into_iter()
        .flat_map(files)
        .map(|(_, text)| text)
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
        use_it(&text);
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        if let Err(error) = file::text_of("any.toml", &bytes).and_then(|text| file::parse("any.toml", text)) {
            prop_assert!(!error.render(false).is_empty());
        }
    }

    #[test]
    fn a_mutated_example_is_read_or_refused(
        which in 0usize..100,
        at in 0.0f64..1.0,
        length in 0usize..12,
        put in "[-a-z0-9 .\"'=\\[\\]{},#\u{e9}\n]{0,6}",
    ) {
        let texts = example_texts();
        let text = &texts[which % texts.len()];
        let mut start = (at * text.len() as f64) as usize;
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        let mut end = (start + length).min(text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        use_it(&format!("{}{put}{}", &text[..start], &text[end..]));
    }

    #[test]
    fn any_value_at_any_key_is_read_or_refused(
        which in 0usize..1000,
        value in prop_oneof![
            Just("nan".to_owned()), Just("-inf".to_owned()), Just("1e308".to_owned()), Just("0".to_owned()),
            Just("-1".to_owned()), Just("\"\"".to_owned()), Just("[]".to_owned()), Just("{}".to_owned()),
            Just("true".to_owned()), Just("[[]]".to_owned()), Just("2027-02-30".to_owned()),
            Just("9223372036854775807".to_owned()), "\"\\PC{0,20}\"",
        ],
    ) {
        let texts = example_texts();
        let text = &texts[which % texts.len()];
        let keys: Vec<usize> = text.match_indices(" = ").map(|(at, _)| at).collect();
        let at = keys[which % keys.len()];
        let line_end = text[at..].find('\n').map_or(text.len(), |end| at + end);
        use_it(&format!("{} = {value}{}", &text[..at], &text[line_end..]));
    }
}
