//! A sowing followed month by month.

use bedyear::crops::{EventKind, Way};
use bedyear::output::{csv_out, fill, json, terminal};
use bedyear::study::{ExplainQuestion, StudyError, explain};
use chrono::NaiveDate;

fn question(crop: &str, month: u32, day: u32) -> ExplainQuestion {
    ExplainQuestion {
        crop: crop.to_owned(),
        sow: NaiveDate::from_ymd_opt(2027, month, day).unwrap(),
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
    let total: f64 = months.iter().map(|month| month.sum_k_d).sum();
    assert!((months.last().unwrap().total_k_d - total).abs() < 1e-9);
    let picked: f64 = months.iter().map(|month| month.kg_m2).sum();
    assert!((picked - study.usual.growth.kg_m2()).abs() < 1e-9);
    let ready = study.usual.growth.ready_day.unwrap();
    let event = |kind| study.usual.growth.events.iter().find(|e| e.kind == kind);
    assert_eq!(event(EventKind::Ready).unwrap().day, ready);
    let view = fill::explain(&job, &study);
    assert_eq!(view.bed_climate, "row cover");
    assert_eq!(view.events.first().unwrap().event, "sown");
    let text = terminal::explain(&view, &terminal::Look::default());
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    assert!(text.contains("ready to pick"), "{text}");
    assert!(json::to_string(&view).unwrap().contains("\"total_k_d\""));
    let table = csv_out::to_string(&view.months).unwrap();
    assert_eq!(table.lines().count(), months.len() + 1);
}

#[test]
fn a_loss_has_its_cause() {
    // Common practice, no source: basil does not live through a winter that is held at 2 °C.
    let job = super::job(1);
    let climate = super::simulated(&job);
    let study = explain(&job, &climate, &question("basil", 10, 15)).unwrap();
    let view = fill::explain(&job, &study);
    let lost = view.events.iter().find(|event| event.event == "lost");
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
