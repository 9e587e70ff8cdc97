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

    // A review on the last day of the year has the plan's money of all its months, where the journal began before all that it eats was
    // sown: what stood in the beds before a journal is not counted.
    let journal = folder.path().join("beds.journal.csv");
    std::fs::write(
        &journal,
        "date,event,bed,crop,amount,unit,note\n2025-06-01,note,,,,,nothing yet\n",
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
    // The year that is told is the middle one everywhere, and what is left is what is shown of it less what is shown as spent.
    let overview = output_of(&["overview", path, "--plan", arg(&saved)]);
    for text in [&table, &overview, &page] {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let (head, tail) = text
            .split_once(" USD of food not bought in the middle year")
            .unwrap();
        let amount = |before: &str| -> f64 {
            let word = before.rsplit([' ', '>']).next().unwrap();
            word.parse().unwrap_or_else(|_| panic!("{word}"))
        };
        let (spent, rest) = tail.split_once(" spent, ").unwrap();
        let (left, words) = rest.split_once(" (").unwrap().0.split_once(' ').unwrap();
        let sign = match words {
            "left" => 1.0,
            words => f64::from(-i8::from(words == "more than is saved")),
        };
        assert_eq!(format!("{:.2}", amount(head)), replaced);
        near(amount(head) - amount(spent), sign * amount(left), words);
    }
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

/// What is kept in a plan's file, what a check holds against it, the row of the frontier, and the calendar are the plan's.
#[test]
fn a_kept_plan_its_check_its_row_and_its_calendar_say_the_same() {
    let (folder, path) = folder_with("beds.toml", SMALL);
    let path = arg(&path);
    let saved = folder.path().join("plan.toml");
    let plan = json_of(&["plan", path, "--format", "json", "--save", arg(&saved)]);
    let text = std::fs::read_to_string(&saved).unwrap();
    let file: toml::Table = text.parse().unwrap();
    let kept = |key: &str| file["saved"][key].as_float().unwrap();
    let (replaced, costs) = (kept("replaced"), kept("costs"));
    near(replaced, number(&plan["replaced"], "p50"), "replaced, kept");
    near(
        kept("beyond"),
        number(&plan["beyond"], "p50"),
        "beyond, kept",
    );
    let median = number(&plan["replayed_value"], "p50");
    near(replaced - costs, median, "less seed, kept");
    let search = |key: &str| file["saved"]["search"][key].as_float().unwrap();
    near(
        search("value"),
        number(&plan, "value"),
        "the search's value, kept",
    );
    near(
        search("bound"),
        number(&plan, "bound"),
        "the search's bound, kept",
    );

    let rows = plan["frontier"].as_array().unwrap();
    let chosen = rows.iter().find(|row| row["chosen"] == true).unwrap();
    near(
        number(chosen, "replayed_value_p50"),
        median,
        "row of the frontier",
    );

    let check = ["plan", path, "--check", arg(&saved), "--format"];
    let check = |format: &str| output_of(&[&check[..], &[format]].concat());
    let checked: Value = serde_json::from_str(&check("json")).unwrap();
    let in_csv = csv_rows(&check("csv"));
    let changes = checked["changes"].as_array().unwrap();
    assert_eq!(changes.len(), in_csv.len());
    for (row, cells) in changes.iter().zip(&in_csv) {
        let what = row["what"].as_str().unwrap();
        near(number(row, "change"), 0.0, what);
        near(number(row, "after"), cells["after"].parse().unwrap(), what);
    }
    let now = |what: &str| {
        let row = changes.iter().find(|row| row["what"] == what);
        number(
            row.unwrap_or_else(|| panic!("{what} in {checked}")),
            "after",
        )
    };
    near(now("replaced less seed and trays"), median, "check");
    near(now("replaced"), number(&plan["replaced"], "p50"), "check");
    near(
        now("eaten beyond that"),
        number(&plan["beyond"], "p50"),
        "check",
    );
    assert_eq!(checked["replayed_value"], plan["replayed_value"]);

    // The calendar's pickings are the plan's harvest, its comings-through those of the plan.
    let tasks = csv_rows(&output_of(&[
        "calendar",
        path,
        "--plan",
        arg(&saved),
        "--list",
        "tasks",
        "--format",
        "csv",
    ]));
    let plantings = plan["plantings"].as_array().unwrap();
    let planned_kg: f64 = plantings.iter().map(|one| number(one, "harvest_kg")).sum();
    let picked = tasks.iter().filter(|row| row["task"].contains("harvest"));
    let picked: Vec<f64> = picked
        .filter(|row| row["unit"] == "kg")
        .map(|row| row["amount"].parse().unwrap())
        .collect();
    // Each is told to the gram.
    let told_kg: f64 = picked.iter().sum();
    assert!(
        (told_kg - planned_kg).abs() <= 0.0005 * picked.len() as f64 + 1e-9,
        "{told_kg} {planned_kg}"
    );
    for row in tasks.iter().filter(|row| !row["in_all"].is_empty()) {
        let in_all: f64 = row["in_all"].parse().unwrap();
        assert!(
            plantings
                .iter()
                .any(|one| one["crop"] == row["crop"].as_str()
                    && (number(one, "in_all") - in_all).abs() < 1e-6),
            "{row:?}"
        );
    }
}
