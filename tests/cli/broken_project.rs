//! Project files that cannot be used: exit code 2, nothing on standard output, file, line, column, what would be right.

use predicates::prelude::*;

use super::common::{SMALL, arg, bedyear, folder_with};

/// A file is refused with all these words; `place` is `line:column` in it.
fn refused(bytes: impl AsRef<[u8]>, place: &str, words: &[&str]) {
    let (_folder, path) = folder_with("beds.toml", bytes);
    let assert = bedyear()
        .args(["check", arg(&path)])
        .assert()
        .code(2)
        .stdout("")
        .stderr(predicate::str::contains(format!("beds.toml:{place}")));
    for word in words {
        let said = String::from_utf8_lossy(&assert.get_output().stderr).into_owned();
        assert!(said.contains(word), "`{word}` is not in:\n{said}");
    }
}

/// The small project with one text put in place of another is refused.
fn refused_with(from: &str, to: &str, place: &str, words: &[&str]) {
    assert!(SMALL.contains(from), "{from}");
    refused(SMALL.replacen(from, to, 1), place, words);
}

#[test]
fn a_mistyped_key_is_named_with_a_suggestion() {
    refused_with(
        "length = \"6 m\"",
        "lenght = \"6 m\"",
        "12:1",
        &["there is no key `lenght`", "did you mean `length`?"],
    );
}

#[test]
fn a_missing_key_is_named() {
    refused_with(
        "width = \"4 m\"\n",
        "",
        "10:1",
        &["the key `building.width` is missing", "a length"],
    );
}

#[test]
fn a_negative_area_is_refused() {
    refused_with("area = \"4 m2\"", "area = \"-4 m2\"", "18:8", &["-4"]);
}

#[test]
fn more_patches_than_can_be_planned_are_refused() {
    let large = SMALL.replacen("length = \"6 m\"", "length = \"100 m\"", 1);
    let beds = "area = \"300 m2\"\npatch = \"0.1 m2\"";
    let large = large.replacen("area = \"4 m2\"", beds, 1);
    refused(large, "16:1", &["3000 sections", "no more than 1000"]);
}

#[test]
fn a_unit_that_does_not_fit_is_refused() {
    refused_with(
        "length = \"6 m\"",
        "length = \"6 kg\"",
        "12:10",
        &["kg", "length"],
    );
}

#[test]
fn an_unknown_crop_is_named_with_a_suggestion() {
    refused_with(
        "eats = [\"spinach\", \"lettuce\"]",
        "eats = [\"spinnach\"]",
        "25:",
        &["spinnach", "did you mean \"spinach\"?"],
    );
}

#[test]
fn an_unknown_place_is_named_with_the_shelf() {
    refused_with(
        "place = \"helena\"",
        "place = \"helna\"",
        "4:",
        &["helna", "did you mean \"helena\""],
    );
}

#[test]
fn months_missing_are_counted() {
    refused_with(
        "place = \"helena\"",
        "latitude = 46.6\nlongitude = -112\n[site.months]\nmax = [0, 3, 8, 13, 18]\nmin = [-9, -8, -4, 0, 4, 8, 11, 10, 6, 1, -4, -9]\nsun_hours = [4, 5, 7, 8, 9, 10, 11, 10, 8, 6, 4, 3]",
        "7:",
        &["5", "12"],
    );
}

#[test]
fn text_that_is_no_toml_is_refused() {
    refused_with("[building]", "[building", "10:", &["error"]);
}

#[test]
fn an_empty_file_leads_to_the_starter() {
    let (_folder, path) = folder_with("beds.toml", "\n \n");
    bedyear()
        .args(["check", arg(&path)])
        .assert()
        .code(2)
        .stdout("")
        .stderr(predicate::str::contains("the file is empty"))
        .stderr(predicate::str::contains("beds.toml"))
        .stderr(predicate::str::contains("bedyear new"));
}

#[test]
fn text_in_another_encoding_is_refused_where_it_begins() {
    let mut bytes = b"name = \"M".to_vec();
    bytes.push(0xfc);
    bytes.extend_from_slice(b"nchen\"\n");
    refused(bytes, "1:10", &["not UTF-8", "save the file as UTF-8"]);
}

#[test]
fn several_problems_are_told_at_once() {
    let broken = SMALL.replacen("length =", "lenght =", 1).replacen(
        "area = \"4 m2\"",
        "area = \"-4 m2\"",
        1,
    );
    refused(broken, "12:1", &["did you mean `length`?", "-4"]);
}

#[test]
fn a_missing_file_and_a_folder_are_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    bedyear()
        .args(["climate", arg(&folder.path().join("none.toml"))])
        .assert()
        .code(2)
        .stdout("")
        .stderr(predicate::str::contains("none.toml: there is no such file"));
    bedyear()
        .args(["climate", arg(folder.path())])
        .assert()
        .code(2)
        .stdout("")
        .stderr(predicate::str::contains("is a folder, not a file"));
}

#[test]
fn a_missing_weather_file_is_named_with_the_key_that_names_it() {
    let text = SMALL.replacen("place = \"helena\"", "weather = \"none.epw\"", 1);
    let (_folder, path) = folder_with("beds.toml", text);
    bedyear()
        .args(["climate", arg(&path)])
        .assert()
        .code(2)
        .stdout("")
        .stderr(predicate::str::contains("none.epw: there is no such file"))
        .stderr(predicate::str::contains("`site.weather`"));
}

#[test]
fn a_broken_crop_file_of_ones_own_is_named() {
    let text = format!("{SMALL}\n[folders]\ncrops = \"own\"\n");
    let (folder, path) = folder_with("beds.toml", text);
    std::fs::create_dir(folder.path().join("own")).unwrap();
    std::fs::write(folder.path().join("own/oca.toml"), "name = 3\n").unwrap();
    bedyear()
        .args(["check", arg(&path)])
        .assert()
        .code(2)
        .stdout("")
        .stderr(predicate::str::contains("oca.toml:1:"));
    std::fs::remove_dir_all(folder.path().join("own")).unwrap();
    bedyear()
        .args(["check", arg(&path)])
        .assert()
        .code(2)
        .stderr(predicate::str::contains("own: there is no such folder"));
}

#[test]
fn what_a_later_stage_would_refuse_is_refused_where_it_stands() {
    refused_with(
        "plan = 2027",
        "plan = 1950",
        "7:8",
        &["`year.plan` is 1950, outside 1990 to 2100"],
    );
    let months = "latitude = 46.6\nlongitude = -112\nmonths.max = [57, 1, 8, 13, 18, 22, 27, 26, 20, 12, 3, 0]\n\
                  months.min = [-9, -8, -4, 0, 4, 8, 11, 10, 6, 1, -4, -9]\n\
                  months.sun_hours = [4, 5, 7, 8, 9, 10, 11, 10, 8, 6, 4, 3]";
    refused_with("place = \"helena\"", months, "6:", &["57", "-89.2 to 56.7"]);
    let barrels = "[[heavy]]\narea = \"2 m2\"\nwater = \"1 m3\"\nsun_share = 0.7\n";
    refused(
        format!("{SMALL}{barrels}{barrels}"),
        "36:1",
        &["share of heavy and light things together", "1.4"],
    );
    let gold = SMALL.replace("USD", "XAU");
    refused(
        gold,
        "30:1",
        &["no exchange rate from USD to XAU is on file"],
    );
    refused_with(
        "currency = \"USD\"",
        "region = \"Atlantis\"",
        "30:1",
        &["no energy price is on file for `Atlantis`"],
    );
    refused_with(
        "plan = 2027",
        "from = 2027-03-01\nfinished = 2027-06-01",
        "7:1",
        &["before the building is finished on 2027-06-01"],
    );
}

#[test]
fn what_stands_too_deep_is_refused_where_it_stands() {
    let (lists, names) = ("[".repeat(300), ".a".repeat(300));
    refused(
        format!("{SMALL}x = {lists}\n"),
        "33:",
        &["more than 80 deep"],
    );
    refused(
        format!("{SMALL}[a{names}]\nb = 1\n"),
        "33:1",
        &["more than 80 deep"],
    );
}

#[test]
fn places_of_ones_own_are_refused_with_file_and_line() {
    let text = format!("{SMALL}\n[folders]\nclimates = \"own\"\n");
    let (folder, path) = folder_with("beds.toml", text.replace("\"helena\"", "\"yard\""));
    let own = folder.path().join("own");
    std::fs::create_dir(&own).unwrap();
    let told = |words: &[&str]| {
        let assert = bedyear()
            .args(["check", arg(&path)])
            .assert()
            .code(2)
            .stdout("");
        let said = String::from_utf8_lossy(&assert.get_output().stderr).into_owned();
        for word in words {
            assert!(said.contains(word), "`{word}` is not in:\n{said}");
        }
    };
    let helena = include_str!("../../climates/helena.toml");
    let line = helena
        .lines()
        .position(|line| line.starts_with("temp_max_c"))
        .unwrap();
    let row = helena.lines().nth(line).unwrap();
    std::fs::write(
        own.join("yard.toml"),
        helena.replace(row, &format!("temp_max_c = [77{}", ", 20".repeat(11) + "]")),
    )
    .unwrap();
    told(&[&format!("yard.toml:{}: temp_max_c of Jan is 77", line + 1)]);
    std::fs::rename(own.join("yard.toml"), own.join("yards.toml")).unwrap();
    told(&["beds.toml:4:1: there is no place on the shelf `yard`; did you mean `yards`?"]);
    std::fs::remove_dir_all(&own).unwrap();
    told(&[
        "own: there is no such folder",
        "`folders.climates` names it (",
        "beds.toml:35:1)",
    ]);
}
