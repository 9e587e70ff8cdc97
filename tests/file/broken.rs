//! Broken files: each is refused with line, column, what is wrong and what would be right.

use bedyear::file::{self, FileError};

/// A sound file that the cases break.
const SOUND: &str = r#"[site]
place = "Helena"

[building]
shape = "gable"
length = "30 ft"
width = "16 ft"
glazing = "double-film"

[[bed]]
name = "a"
area = "6 m2"

[household]
want = "1 kg lettuce a week from May to June"
"#;

fn error_of(text: &str) -> FileError {
    file::parse("broken.toml", text).expect_err(text)
}

/// The sound file with one text put in place of another.
fn with(from: &str, to: &str) -> FileError {
    assert!(SOUND.contains(from), "{from}");
    error_of(&SOUND.replacen(from, to, 1))
}

/// One problem at a place, with words of what is wrong and what is right.
fn check(error: &FileError, line: usize, column: usize, wrong: &str, right: &str) {
    let problem = &error.problems[0];
    assert_eq!((problem.line, problem.column), (line, column), "{error}");
    assert!(problem.wrong.contains(wrong), "{error}");
    assert!(
        problem.right.as_deref().unwrap_or_default().contains(right),
        "{error}"
    );
    assert!(
        error.render(false).contains(&problem.wrong),
        "{}",
        error.render(false)
    );
}

#[test]
fn the_sound_file_is_sound() {
    file::parse("sound.toml", SOUND).unwrap_or_else(|error| panic!("{error}"));
}

#[test]
fn mistyped_keys_are_named_with_a_suggestion() {
    check(
        &with("length =", "lenght ="),
        6,
        1,
        "there is no key `lenght` in `building`",
        "did you mean `length`?",
    );
    check(
        &with("[building]", "[bilding]"),
        4,
        2,
        "there is no key `bilding` at the top",
        "did you mean `building`?",
    );
    check(
        &with("[household]", "[household]\nplace = \"x\""),
        15,
        1,
        "no key `place` in `household`",
        "`place` belongs in `site`",
    );
    check(
        &with("area = \"6 m2\"", "area = \"6 m2\"\nxyzzy = 1"),
        13,
        1,
        "there is no key `xyzzy`",
        "keys in `bed[]`",
    );
}

#[test]
fn missing_keys_are_named() {
    check(
        &with("width = \"16 ft\"\n", ""),
        4,
        1,
        "the key `building.width` is missing",
        "a length",
    );
    check(
        &with("glazing = \"double-film\"\n", ""),
        4,
        1,
        "the key `building.glazing` is missing",
        "film",
    );
    check(
        &with("place = \"Helena\"", ""),
        1,
        1,
        "the key `site.place` is missing",
        "name of a town",
    );
    check(
        &with("area = \"6 m2\"", ""),
        10,
        1,
        "the key `bed[1].area` is missing",
        "an area",
    );
    check(
        &error_of("name = \"nothing\"\n"),
        1,
        1,
        "the key `building` is missing",
        "building by its shape",
    );
}

#[test]
fn values_out_of_range_are_named() {
    check(
        &with("\"6 m2\"", "-6"),
        12,
        8,
        "`bed[1].area` is negative: -6 m2",
        "growing area",
    );
    check(
        &with("\"30 ft\"", "\"3000 ft\""),
        6,
        10,
        "`building.length` is 914.4 m, outside 0.3 to 500 m",
        "length along the ridge",
    );
    check(&with("\"30 ft\"", "nan"), 6, 10, "no finite number", "");
    check(
        &with("\"30 ft\"", "[1]"),
        6,
        10,
        "`building.length` is a list, but a length belongs there",
        "units that fit",
    );
    check(
        &with("\"gable\"", "\"gable\"\nbeds = 99999999999999999999"),
        6,
        8,
        "`building.beds` is a number",
        "",
    );
}

#[test]
fn units_that_do_not_fit_are_named() {
    check(
        &with("\"30 ft\"", "\"30 ft2\""),
        6,
        10,
        "`building.length`: `ft2` is a unit of area, not of length",
        "ft, in",
    );
    check(&with("\"6 m2\"", "\"6\""), 12, 8, "has no unit", "6 m2");
    check(
        &with("\"16 ft\"", "\"16 fot\""),
        7,
        9,
        "`fot` is no unit",
        "did you mean `foot`?",
    );
}

#[test]
fn unknown_names_come_with_a_suggestion() {
    check(
        &with("\"Helena\"", "\"Helenna\""),
        2,
        9,
        "no place \"Helenna\" is known",
        "did you mean \"helena\"",
    );
    check(
        &with("\"double-film\"", "\"double-flim\""),
        8,
        11,
        "`building.glazing` cannot be \"double-flim\"",
        "did you mean \"double-film\"?",
    );
    check(
        &with("\"gable\"", "\"gabel\""),
        5,
        9,
        "`building.shape` cannot be \"gabel\"",
        "did you mean \"gable\"?",
    );
    check(
        &with("1 kg lettuce", "1 kg letuce"),
        15,
        14,
        "no crop or food is called \"letuce\"",
        "did you mean \"lettuce\"?",
    );
    check(
        &with(
            "want = \"1 kg lettuce a week from May to June\"",
            "refuses = [\"spinahc\"]",
        ),
        15,
        12,
        "\"spinahc\"",
        "did you mean \"spinach\"?",
    );
}

#[test]
fn what_stands_in_a_bed_is_a_crop() {
    let stands = |crop: &str| {
        SOUND.replace(
            "[household]",
            &format!("stands = \"{crop}\"\nsown = 2027-01-05\n[household]"),
        )
    };
    let project = file::parse("stands.toml", &stands("lettuce_winter")).unwrap();
    assert_eq!(project.beds[0].standing[0].crop, "lettuce_winter");
    check(
        &error_of(&stands("salad greens")),
        14,
        10,
        "no crop is called \"salad greens\"",
        "",
    );
    check(
        &error_of(&stands("spinnach")),
        14,
        10,
        "no crop is called \"spinnach\"",
        "did you mean \"spinach\"?",
    );
}

#[test]
fn wishes_that_cannot_be_read_say_how_to_write_them() {
    check(
        &with("1 kg lettuce a week from May to June", "much lettuce"),
        15,
        8,
        "does not begin with an amount",
        "a target reads like",
    );
    check(
        &with("a week from May", "a week from Mai"),
        15,
        8,
        "names no months",
        "a target reads like",
    );
}

#[test]
fn months_must_be_twelve() {
    let own = "latitude = 46\nlongitude = -112\n[site.months]\nmax = [1, 2, 3]\nmin = [0,0,0,0,0,0,0,0,0,0,0,0]\nsun = [1,1,1,1,1,1,1,1,1,1,1,1]";
    check(
        &with("place = \"Helena\"", own),
        5,
        7,
        "`site.months.max` has 3 values",
        "12 values (temperature), January first",
    );
    let none = own.replace("max = [1, 2, 3]\n", "");
    check(
        &with("place = \"Helena\"", &none),
        4,
        1,
        "the key `site.months.max` is missing",
        "12 values",
    );
    let about = own.replace("[1, 2, 3]", "[1,1,1,1,1,1,-9,1,1,1,1,1]");
    check(
        &with("place = \"Helena\"", &about),
        5,
        7,
        "maximum of Jul (-9 C) is below its minimum",
        "changed about",
    );
}

#[test]
fn files_that_are_no_files_of_ours() {
    check(&error_of(""), 1, 1, "the file is empty", "bedyear new");
    check(
        &error_of("\u{feff} \r\n"),
        1,
        1,
        "the file is empty",
        "bedyear new",
    );
    check(&error_of("[site\nplace = 1"), 1, 6, "not valid TOML", "");
    check(
        &error_of("a = 1\na = 2"),
        2,
        1,
        "not valid TOML: duplicate key",
        "",
    );
    let error = file::text_of("latin1.toml", b"[site]\nname = \"M\xfcnchen\"")
        .and_then(|text| file::parse("latin1.toml", text))
        .expect_err("Latin-1");
    check(&error, 2, 10, "not UTF-8", "save the file as UTF-8");
}

#[test]
fn contradictions_are_named() {
    check(
        &with("shape = \"gable\"", "shape = \"gable\"\nbeds = 3"),
        6,
        8,
        "both say what beds there are",
        "keep one",
    );
    check(
        &with("area = \"6 m2\"", "area = \"600 m2\""),
        10,
        1,
        "more than the floor's 44.6 m2",
        "fewer or smaller",
    );
    check(
        &with("area = \"6 m2\"", "area = \"6 m2\"\nlength = \"1 m\""),
        12,
        8,
        "both an area and a length",
        "keep the area",
    );
    check(
        &with("shape = \"gable\"", "shape = \"gable\"\nheight = \"1 m\""),
        6,
        10,
        "is below `building.low_wall`",
        "highest point",
    );
    check(
        &with("[[bed]]", "[bed]"),
        10,
        1,
        "one table, but a list of tables",
        "write [[bed]]",
    );
    check(
        &with(
            "place = \"Helena\"",
            "weather = \"a.epw\"\n[site.months]\nmax = [1,1,1,1,1,1,1,1,1,1,1,1]",
        ),
        3,
        1,
        "both",
        "keep one",
    );
}

#[test]
fn independent_problems_come_together() {
    let text = SOUND
        .replace("length =", "lenght =")
        .replace("\"6 m2\"", "-6")
        .replace("\"double-film\"", "\"double-flim\"");
    let error = error_of(&text);
    let lines: Vec<usize> = error.problems.iter().map(|problem| problem.line).collect();
    assert_eq!(lines, [6, 8, 12]);
    assert_eq!(error.to_string().lines().count(), 3);
}

#[test]
fn windows_line_ends_and_byte_order_marks_are_fine() {
    let windows = format!("\u{feff}{}", SOUND.replace('\n', "\r\n"));
    assert_eq!(
        file::parse("w.toml", &windows),
        file::parse("w.toml", SOUND)
    );
    let broken = windows.replace("lettuce", "letuce");
    check(&error_of(&broken), 15, 14, "letuce", "lettuce");
    let first_line = "\u{feff}nmae = \"x\"\r\n";
    check(
        &error_of(first_line),
        1,
        1,
        "no key `nmae`",
        "did you mean `name`?",
    );
}

#[test]
fn escape_codes_in_names_never_reach_the_terminal() {
    let error = with("\"Helena\"", "\"\\u001b[31mHelena\\u0007\"");
    let shown = error.to_string() + &error.render(false);
    assert!(
        !shown.contains('\u{1b}') && !shown.contains('\u{7}'),
        "{shown:?}"
    );
    let named = SOUND.replace("name = \"a\"", "name = \"a\\u001b[2J\"");
    let project = file::parse("named.toml", &named).unwrap();
    assert!(!project.beds[0].name.contains('\u{1b}'));
    let raw = error_of("name = \"\u{1b}[31m\"");
    assert!(!raw.render(false).contains('\u{1b}'));
    let file_name = file::parse("\u{1b}]0;x\u{7}.toml", "").expect_err("empty");
    assert!(!file_name.to_string().contains('\u{1b}'));
}

#[test]
fn the_picture_points_at_the_place() {
    let error = with("length =", "lenght =");
    let expected = [
        "error: there is no key `lenght` in `building`",
        " --> broken.toml:6:1",
        "  |",
        "6 | lenght = \"30 ft\"",
        "  | ^^^^^^",
        "  |",
        "  = help: did you mean `length`?",
    ];
    assert_eq!(error.render(false), expected.join("\n"));
    assert!(error.render(true).contains('\u{1b}'));
}

#[test]
fn a_long_line_is_cut_around_the_word_that_is_wrong() {
    let wishes = [
        "1 kg salad greens a week from October to April",
        "0.5 kg cooking greens a week from November to March",
        "300 g radishes a week from March to May",
        "1 kg tomattos a week from July to September",
        "0.5 kg carrots a week",
    ];
    let wish = "\"1 kg lettuce a week from May to June\"";
    let shown = with(wish, &format!("{wishes:?}")).render(false);
    for line in shown.lines() {
        assert!(line.chars().count() <= 84, "{line}");
    }
    let lines: Vec<&str> = shown.lines().collect();
    let carets = lines.iter().position(|line| line.contains('^')).unwrap();
    let at = lines[carets].find('^').unwrap();
    assert!(lines[carets - 1][at..].starts_with("tomattos"), "{shown}");
    assert_eq!(lines[carets].matches('^').count(), "tomattos".len());
}

/// What stands in the sections of a bed, written for the year after, is together no more than the bed: 60 ft2 are 5.5742 m2, and
/// three parts of 1.86 m2 were too many.
#[test]
fn the_parts_of_a_bed_that_are_written_fit_into_it() {
    for (area_m2, parts) in [(5.5742, 3), (0.7, 7), (13.0, 6)] {
        let mut text = format!(
            "[site]\nplace = \"helena\"\n[year]\nplan = 2027\nfrom = 2027-03-01\n[building]\nshape = \"hoop\"\nlength = \"9 m\"\n\
             width = \"6 m\"\nglazing = \"film\"\n[[bed]]\nname = \"one\"\narea = {area_m2:?}\n"
        );
        for section in 1..=parts {
            let standing = bedyear::file::Standing {
                crop: "kale".to_owned(),
                since: chrono::NaiveDate::from_ymd_opt(2026, 9, 1).unwrap(),
                set_out: None,
                sown: None,
                share: 1.0 / f64::from(parts),
                sections: vec![section as usize],
                clear: None,
            };
            text.push_str("[[standing]]\n");
            for (key, value) in standing.keys("one", area_m2) {
                match (key, value.as_str()) {
                    (_, "") => {}
                    ("sections", numbers) => text.push_str(&format!("sections = {numbers}\n")),
                    (_, words) => text.push_str(&format!("{key} = \"{words}\"\n")),
                }
            }
        }
        let project = bedyear::file::parse("next.toml", &text)
            .unwrap_or_else(|error| panic!("{}", error.render(false)));
        assert_eq!(project.beds[0].standing.len(), parts as usize);
    }
}
