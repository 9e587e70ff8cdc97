//! A sowing followed month by month.

use bedyear::crops::{EventKind, Way};
use bedyear::output::{build, csv_out, json, terminal};
use bedyear::study::{self, ExplainQuestion, StudyError, explain};
use chrono::NaiveDate;

fn question(crop: &str, month: u32, day: u32) -> ExplainQuestion {
    ExplainQuestion {
        crop: crop.to_owned(),
        sow: NaiveDate::from_ymd_opt(2027, month, day),
        bed: None,
        way: None,
    }
}

#[test]
fn sums_add_up_and_name_every_event() {
    let job = super::job(2);
    let climate = super::simulated(&job);
    let study = explain(&job, &climate, &question("spinach", 9, 1)).unwrap();
    let months = &study.usual.months;
    let picked: f64 = months.iter().map(|month| month.kg_m2).sum();
    assert!((picked - study.usual.growth.kg_m2()).abs() < 1e-9);
    let ready = study.usual.growth.ready_day.unwrap();
    let event = |kind| study.usual.growth.events.iter().find(|e| e.kind == kind);
    assert_eq!(event(EventKind::Ready).unwrap().day, ready);
    let view = build::explain(&job, &study);
    assert_eq!(view.bed_climate, "row cover");
    assert_eq!(view.events.first().unwrap().event.to_string(), "sown");
    let text = terminal::explain(&view, &terminal::Look::default());
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    assert!(text.contains("ready to pick"), "{text}");
    assert!(text.contains("Want of carbon dioxide"), "{text}");
    assert!(
        json::to_string(&view)
            .unwrap()
            .contains("\"leaf_area_m2_m2\"")
    );
    let table = csv_out::to_string(&view.months).unwrap();
    assert_eq!(table.lines().count(), months.len() + 1);
}

#[test]
fn a_loss_has_its_cause() {
    // Common practice, no source: basil does not live through a winter that is held at 2 °C.
    let job = super::job(1);
    let climate = super::simulated(&job);
    let study = explain(&job, &climate, &question("basil", 10, 15)).unwrap();
    let view = build::explain(&job, &study);
    let lost = view
        .events
        .iter()
        .find(|event| event.event.to_string() == "lost");
    assert!(lost.is_some_and(|lost| !lost.cause.is_empty()), "{view:?}");
}

#[test]
fn unknown_names_are_wrong_input() {
    let job = super::job(1);
    let climate = super::simulated(&job);
    let unknown = explain(&job, &climate, &question("spinch", 9, 1)).unwrap_err();
    assert!(unknown.is_input());
    assert!(unknown.to_string().contains("did you mean `spinach`"));
    let bed = ExplainQuestion {
        bed: Some("nowhere".to_owned()),
        ..question("spinach", 9, 1)
    };
    let refused = explain(&job, &climate, &bed).unwrap_err();
    assert!(matches!(refused, StudyError::Unknown { what: "bed", .. }));
    let way = ExplainQuestion {
        way: Some(Way::Tray),
        ..question("carrot", 5, 1)
    };
    let refused = explain(&job, &climate, &way).unwrap_err();
    assert!(matches!(refused, StudyError::NotThatWay { .. }));
}

#[test]
fn a_plain_name_means_all_its_kinds() {
    let job = super::job(0);
    let named = |name: &str| study::crops_named(&job.table, &[name.to_owned()]);
    let tomatoes = [
        "tomato_cherry",
        "tomato_determinate",
        "tomato_indeterminate",
    ];
    for name in ["tomato", "Tomatoes"] {
        assert_eq!(named(name).unwrap(), tomatoes, "{name}");
    }
    assert_eq!(named("peppers").unwrap(), ["pepper_sweet"]);
    assert_eq!(named("kale").unwrap(), ["kale"]);
    assert!(named("banana").is_err());
    let climate = super::simulated(&job);
    let several = explain(&job, &climate, &question("tomato", 3, 1)).unwrap_err();
    for kind in tomatoes {
        assert!(several.to_string().contains(kind), "{several}");
    }
    assert!(several.is_input());
    let one = explain(&job, &climate, &question("pepper", 3, 1)).unwrap();
    assert_eq!(one.crop, "pepper_sweet");
}

/// Leaves outdoors give off water and do not scald in a dry summer: a tomato lives from the last to the first frost, some
/// four months at Helena (common practice, no source).
#[test]
fn outdoors_it_is_frost_that_ends_a_tomato() {
    let job = super::job(8);
    let climate = super::simulated(&job);
    let season = study::season(&job, climate.tried(), &study::weather_years(&job), None).unwrap();
    let tomato = season
        .months_in
        .iter()
        .find(|found| found.crop == "tomato_cherry");
    let outdoors = tomato.and_then(|found| found.outdoors.as_ref()).unwrap();
    let stretch = outdoors.middle.unwrap();
    assert!(outdoors.stays.p50 > 3.0, "{outdoors:?}");
    // It begins in May or June and ends in September or October.
    assert!((120..181).contains(&stretch.from_day), "{stretch:?}");
    assert!(
        (243..304).contains(&(stretch.from_day + stretch.days)),
        "{stretch:?}"
    );
}

/// Common practice, no source: what crops do in a house is what they do in its beds. A cover that is described and lies on no bed
/// keeps no crop in; laid on the beds, it does.
#[test]
fn a_cover_that_lies_on_no_bed_keeps_nothing_in() {
    let months = |more: &str, bed: &str| {
        let house = "[site]\nplace = \"Helena\"\n[year]\nweather_years = 2\n[building]\nshape = \"hoop\"\nlength = \"10 m\"\nwidth = \"5 m\"\nglazing = \"film\"\n";
        let text = format!("{house}{more}[[bed]]\nname = \"bed\"\narea = \"20 m2\"\n{bed}");
        let project = bedyear::file::parse("cover.toml", &text).unwrap();
        let job = study::Job::new(project, &study::SideFiles::default()).unwrap();
        let (_, _, season) = study::climate_and_season(&job, None).unwrap();
        season.months_in
    };
    let none = months("", "");
    assert_eq!(none, months("[[cover]]\nbelow = \"9 C\"\n", ""));
    assert_ne!(none, months("", "cover = \"row cover\"\n"));
}

/// Yields are what the plan counts: less what is lost beside the weather on average.
#[test]
fn yields_are_less_what_is_lost_beside_the_weather() {
    let mut job = super::job(2);
    let climate = super::simulated(&job);
    let sowing = question("spinach", 9, 1);
    let found = explain(&job, &climate, &sowing).unwrap();
    // Of a stand from seed 10 % are lost, of the crop 10 %, in the kitchen 5 %, of plantings 3 % (the defaults of `[losses]`).
    let left = 0.9 * 0.9 * 0.95 * 0.97;
    assert!((found.left - left).abs() < 1e-12, "{}", found.left);
    job.project.losses = Default::default();
    let bare = explain(&job, &climate, &sowing).unwrap();
    assert_eq!(bare.left, 1.0);
    let yields = |study: &study::ExplainStudy| {
        let year = study.usual.growth.kg_m2();
        let months: f64 = study.usual.months.iter().map(|month| month.kg_m2).sum();
        [year, months, study.moved[0].kg_m2, study.kg_m2.unwrap().p50]
    };
    for (found, bare) in yields(&found).into_iter().zip(yields(&bare)) {
        assert!(
            bare > 0.0 && (found - bare * left).abs() < 1e-9,
            "{found} {bare}"
        );
    }
    let text = terminal::explain(&build::explain(&job, &found), &terminal::Look::default());
    assert!(text.contains("25 % is taken off"), "{text}");
}
