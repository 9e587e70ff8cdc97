//! Every figure that two verbs or formats share is one figure.

use serde_json::Value;

use super::common::{SMALL, arg, csv_rows, folder_with, json_of, output_of};

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("{key} in {of}"))
}

fn near(a: f64, b: f64, what: &str) {
    assert!((a - b).abs() <= 1e-6 * (1.0 + a.abs()), "{what}: {a} {b}");
}

/// As near as sums of amounts rounded to the cent, month by month.
fn near_cents(a: f64, b: f64, what: &str) {
    assert!((a - b).abs() <= 0.13, "{what}: {a} {b}");
}

#[test]
fn verbs_and_formats_say_the_same() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let path = arg(&path);
    let saved = folder.path().join("plan.toml");
    let plan = json_of(&["plan", path, "--format", "json", "--save", arg(&saved)]);
    let value = json_of(&["value", path, "--format", "json"]);
    let year = &value["year"];
    let months = plan["months"].as_array().unwrap();
    let money_months = value["months"].as_array().unwrap();
    assert!(number(&plan["replaced"], "p50") > 0.0 && number(&plan["beyond"], "p50") > 0.0);
    for of in ["p10", "p50", "p90"] {
        near(
            number(&plan["replaced"], of),
            number(year, &format!("value_range_{of}")),
            "replaced in the year, plan and value",
        );
        for (planned, counted) in months.iter().zip(money_months) {
            for (own, other) in [("replaced", "value_range"), ("harvest", "grown_range")] {
                near(
                    number(planned, &format!("{own}_{of}")),
                    number(counted, &format!("{other}_{of}")),
                    own,
                );
            }
        }
    }
    let eaten: f64 = plan["weeks"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|week| week["by_food"].as_array().unwrap())
        .filter(|food| !food["food"].as_str().unwrap().contains(": "))
        .map(|food| number(food, "food_kg"))
        .sum();
    // The weeks leave out foods below a side dish.
    let counted = number(year, "eaten_kg") + number(year, "beyond_kg");
    assert!(
        eaten <= counted + 1e-4 && eaten > 0.95 * counted,
        "{eaten} {counted}"
    );

    // The same plan read again, and its machine lists.
    let again = json_of(&["plan", path, "--format", "json", "--plan", arg(&saved)]);
    near(
        number(&plan["replayed_value"], "p50"),
        number(&again["replayed_value"], "p50"),
        "saved and read again",
    );
    near(
        number(&plan, "replayed_value_p50"),
        number(&plan["replayed_value"], "p50"),
        "median",
    );
    let rows = csv_rows(&output_of(&["plan", path, "--format", "csv"]));
    let plantings = plan["plantings"].as_array().unwrap();
    assert_eq!(rows.len(), plantings.len());
    for (row, planting) in rows.iter().zip(plantings) {
        for (column, key) in [
            ("survival_share", "survival"),
            ("in_all_share", "in_all"),
            ("harvest_kg", "harvest_kg"),
        ] {
            let cell = row.get(column).or_else(|| row.get(key)).unwrap();
            near(cell.parse().unwrap(), number(planting, key), key);
        }
    }
    // What is likely lost is what does not come through.
    for row in csv_rows(&output_of(&[
        "plan", path, "--format", "csv", "--list", "risks",
    ])) {
        let lost = row.get("lost_share").or_else(|| row.get("lost")).unwrap();
        let lost: f64 = lost.parse().unwrap();
        let same = plantings.iter().filter(|planting| {
            planting["sow"] == row["sow"].as_str()
                && planting["crop_name"] == row["crop_name"].as_str()
        });
        assert!(
            same.clone()
                .any(|planting| (1.0 - number(planting, "in_all") - lost).abs() < 1e-6),
            "{row:?}"
        );
    }

    // A review on the last day of the year has the plan's money of all its months.
    let journal = folder.path().join("beds.journal.csv");
    std::fs::write(
        &journal,
        "date,event,bed,crop,amount,unit,note\n2027-01-01,note,,,,,nothing yet\n",
    )
    .unwrap();
    let review = json_of(&[
        "review",
        path,
        "--plan",
        arg(&saved),
        "--journal",
        arg(&journal),
        "--at",
        "2027-12-31",
        "--format",
        "json",
    ]);
    for (reviewed, counted) in review["money"].as_array().unwrap().iter().zip(money_months) {
        near_cents(
            number(reviewed, "planned"),
            number(counted, "value"),
            "review",
        );
    }

    // The page and the table show the year as the machines have it.
    let page = folder.path().join("page.html");
    output_of(&[
        "report",
        path,
        "--plan",
        arg(&saved),
        "--output",
        arg(&page),
    ]);
    let page = std::fs::read_to_string(&page).unwrap();
    let share = format!("{:.0} %", 100.0 * number(&value, "share_of_produce"));
    assert!(page.contains(&share), "{share}");
    let table = output_of(&["value", path]);
    assert!(table.contains(&share), "{share} in {table}");
    let replaced = format!("{:.2}", number(&plan["replaced"], "p50"));
    assert!(
        output_of(&["plan", path]).contains(&format!("Replaces {replaced}")),
        "{replaced}"
    );
    near_cents(
        number(&plan["replaced"], "p50") - number(&plan["replayed_value"], "p50"),
        value["costs"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|cost| ["seed", "tray mix"].contains(&cost["item"].as_str().unwrap()))
            .map(|cost| number(cost, "cost"))
            .sum(),
        "seed and trays",
    );
}
