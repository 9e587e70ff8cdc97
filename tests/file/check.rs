//! What `check` understood, against sums by hand.

use super::examples::example;
use bedyear::file::{self, check};

const BOX: &str = r#"
[site]
name = "sea level"
latitude = 50
longitude = 0
elevation = 0
[site.months]
max = [5,5,8,12,16,19,22,22,18,13,8,5]
min = [0,0,2,4,8,11,13,13,10,7,3,1]
sun = [1,1,1,1,1,1,1,1,1,1,1,1]
[air]
volume = "50 m3"
infiltration = "1 /h"
[floor]
area = "20 m2"
[[surface]]
name = "window"
kind = "glazed"
area = "10 m2"
facing = "S"
transmittance = 0.8
u = "3 W/m2K"
[[surface]]
name = "wall"
kind = "opaque"
area = "40 m2"
r = "RSI 1.83"
[[surface]]
name = "party wall"
kind = "opaque"
area = "15 m2"
u = 2
behind = "nothing"
[[bed]]
area = "8 m2"
"#;

#[test]
fn areas_and_losses_are_those_of_a_sum_by_hand() {
    let project = file::parse("box.toml", BOX).unwrap_or_else(|error| panic!("{error}"));
    let facts = check::facts(&project);
    let near = |what: &str, by_hand: f64, off: f64| {
        let is = |fact: &&check::Fact| fact.what.to_string().starts_with(what);
        let found = facts.iter().find(is).and_then(|fact| fact.amount).unwrap();
        assert!((found - by_hand).abs() < off, "{what}: {found}");
    };
    near("glazing", 10.0, 1e-9);
    near("walls and solid roof", 55.0, 1e-9);
    // window 10 x 3; wall 40 / (1.83 + 0.13 + 0.04) = 20; the party wall loses nothing
    near("loss of all faces", 50.0, 1e-9);
    // 50 m3/h of air of 1.225 kg/m3 and 1005 J/kgK
    near("loss with that air", 50.0 / 3600.0 * 1.225 * 1005.0, 1e-9);
    near("light aperture", 0.4, 1e-3);
    near("air change", 1.0, 1e-12);
    let beds = facts.iter().find(|fact| fact.what.to_string() == "beds");
    let beds = beds.unwrap().unit.to_string();
    assert!(beds.ends_with("40 % of the floor"), "{beds}");
}

fn topics(project: &file::Project) -> Vec<&'static str> {
    check::cautions(project)
        .iter()
        .map(|caution| caution.topic)
        .collect()
}

#[test]
fn cautions_come_where_they_matter_and_only_there() {
    let helena = topics(&example("examples", "helena"));
    for topic in [
        "electricity and water",
        "snow and wind",
        "digging",
        "digging deep",
        "air through soil",
        "food safety",
    ] {
        assert!(helena.contains(&topic), "{topic} is missing in {helena:?}");
    }
    assert!(!helena.contains(&"combustion") && !helena.contains(&"standing water"));
    assert!(topics(&example("examples", "heated-hoop")).contains(&"combustion"));
    assert!(!topics(&example("examples", "hoop")).contains(&"electricity and water"));
    assert!(topics(&example("examples", "surfaces")).contains(&"standing water"));
    for caution in check::cautions(&example("examples", "heated-hoop")) {
        assert!(!caution.decides.is_empty());
    }
}

#[test]
fn unusual_values_are_warned_of_and_usual_ones_are_not() {
    assert_eq!(check::warnings(&example("examples", "helena")), []);
    let odd = BOX
        .replace("RSI 1.83", "RSI 28")
        .replace("\"1 /h\"", "\"9 /h\"")
        .replace("8 m2", "19 m2");
    let project = file::parse("odd.toml", &odd).unwrap();
    let warnings: Vec<String> = check::unusual(&project)
        .iter()
        .map(ToString::to_string)
        .collect();
    let warnings = warnings.join("\n");
    for words in [
        "more than walls have",
        "air changes 9.00 times",
        "95 % of the floor",
    ] {
        assert!(warnings.contains(words), "{words} is missing in {warnings}");
    }
}

/// A heater that holds more than the temperature below which covers are laid leaves them folded up.
#[test]
fn covers_that_a_heater_keeps_from_being_laid_are_warned_of() {
    let text = include_str!("../../examples/helena.toml");
    let with = |set_point: &str, below: &str| {
        let text = text.replace("set_point = \"36 F\"", &format!("set_point = {set_point}"));
        let text = text.replace("below = \"41 F\"", &format!("below = \"{below}\""));
        let project = file::parse("covers.toml", &text).unwrap();
        let warnings = check::unusual(&project);
        let said = warnings.iter().map(ToString::to_string);
        said.filter(|said| said.contains("row cover"))
            .collect::<Vec<String>>()
    };
    assert_eq!(with("\"36 F\"", "41 F"), Vec::<String>::new());
    assert_eq!(with("\"50 F\"", "53 F"), Vec::<String>::new());
    let [all_year] = &with("\"50 F\"", "41 F")[..] else {
        panic!("one cover, one warning");
    };
    for words in ["falls below 5.0 °C", "set to 10.0 °C or more all year"] {
        assert!(all_year.contains(words), "{words} is missing in {all_year}");
    }
    // Warm in two months alone, for seedlings.
    let months = "[2, 2, 9, 9, 2, 2, 2, 2, 2, 2, 2, 2]";
    let [spring] = &with(months, "41 F")[..] else {
        panic!("one cover, one warning");
    };
    assert!(
        spring.contains("set to 9.0 °C or more in Mar, Apr:"),
        "{spring}"
    );
}

#[test]
fn a_southern_weather_file_turns_an_assumed_front() {
    let text = super::thin::THIN.replace("place = \"Helena\"", "weather = \"south.epw\"");
    let mut project = file::parse("south.toml", &text).unwrap();
    let before = project.house.surfaces[0].azimuth_deg;
    project.turn_to_equator(-33.4);
    assert!((project.house.surfaces[0].azimuth_deg - (before + 180.0) % 360.0).abs() < 1e-9);
    assert!(project.built.shape.unwrap().facing_deg.abs() < 1e-9);
    let mut said = file::parse(
        "said.toml",
        &text.replace("beds = 6", "beds = 6\nfacing = \"S\""),
    )
    .unwrap();
    said.turn_to_equator(-33.4);
    assert!((said.built.shape.unwrap().facing_deg - 180.0).abs() < 1e-9);
}

#[test]
fn a_bare_number_among_feet_is_doubted_once_and_by_name() {
    let mixed = super::thin::THIN.replace("width = \"16 ft\"", "width = 16");
    assert_ne!(mixed, super::thin::THIN);
    let project = file::parse("mixed.toml", &mixed).unwrap();
    let [doubt] = project.doubts.as_slice() else {
        panic!("{:?}", project.doubts)
    };
    let is_width = |line: &str| line.trim_start().starts_with("width");
    assert_eq!(doubt.line, mixed.lines().position(is_width).unwrap() + 1);
    for words in ["`building.width`", "read as 16 m", "\"16 ft\"", "\"16 m\""] {
        let text = &doubt.text;
        assert!(text.contains(words), "{words} is missing in {text}");
    }
    let said = check::warnings(&project);
    let told = |text: &bedyear::phrase::Phrase| text.to_string().contains("read as 16 m");
    assert!(said.iter().any(told));
    // All in one system: nothing to doubt.
    let metric = mixed.replace("30 ft", "9 m");
    assert_eq!(file::parse("metric.toml", &metric).unwrap().doubts, []);
    for name in ["helena", "hoop", "heated-hoop", "surfaces"] {
        assert_eq!(example("examples", name).doubts, [], "{name}");
    }
}
