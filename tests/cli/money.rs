//! Money from the command line: receipts, prices, what it would take, with and without the building's cost.

use predicates::prelude::*;

use super::common::{
    SMALL, arg, bedyear, csv_rows, fits_80_columns, folder_with, json_of, output_of,
};

/// The small project with receipts of its own, in a folder with them.
fn with_receipts(receipts: &str) -> (tempfile::TempDir, std::path::PathBuf) {
    let (folder, path) = folder_with("beds.toml", format!("{SMALL}receipts = \"paid.csv\"\n"));
    std::fs::write(folder.path().join("paid.csv"), receipts).unwrap();
    (folder, path)
}

#[test]
fn own_receipts_stand_in_the_price_table() {
    let text = "date,food,kg,paid\n2027-01-05,spinach,0.5,6.00\n2027-02-02,Spinach,1,11.00\n";
    let (_folder, path) = with_receipts(text);
    let rows = csv_rows(&output_of(&["prices", arg(&path), "--format", "csv"]));
    let spinach = |month: &str| {
        rows.iter()
            .find(|row| row["food"] == "spinach" && row["month"] == month)
            .unwrap()
    };
    assert_eq!(spinach("1")["price_per_kg"], "12");
    assert_eq!(spinach("2")["price_per_kg"], "11");
    assert!((spinach("7")["price_per_kg"].parse::<f64>().unwrap() - 17.0 / 1.5).abs() < 1e-5);
    assert_eq!(spinach("1")["source"], "own receipts, 2 purchases");
    assert_eq!(spinach("1")["source_year"], "2027");
    let table = output_of(&["prices", arg(&path), "--all"]);
    assert!(table.contains("own receipts"), "{table}");
    fits_80_columns(&table);
}

#[test]
fn every_bad_row_of_the_receipts_is_named_by_line_and_column() {
    let text = "date,food,kg,paid\n2027-01-05,spinach,0.5,6.00\n5.1.27,spinach,1,2\n2027-01-06,spinnach,1,2\n2027-01-07,spinach,a lot,2\n";
    let (_folder, path) = with_receipts(text);
    for verb in ["check", "prices", "value"] {
        bedyear()
            .args([verb, arg(&path)])
            .assert()
            .code(2)
            .stdout("")
            .stderr(predicate::str::contains("paid.csv: line 3, column `date`"))
            .stderr(predicate::str::contains("line 4, column `food`: `spinnach` is not a food or group on file; did you mean `spinach`?"))
            .stderr(predicate::str::contains("line 5, column `kg`: `a lot` is not a number; write it such as 1.25"));
    }
    std::fs::remove_file(path.parent().unwrap().join("paid.csv")).unwrap();
    bedyear()
        .args(["check", arg(&path)])
        .assert()
        .code(2)
        .stderr(predicate::str::contains("`money.receipts` names it"));
}

#[test]
fn a_group_in_the_receipts_is_told_by_its_foods() {
    let (_folder, path) = with_receipts("date,food,kg,paid\n2027-01-05,salad greens,0.5,6.00\n");
    bedyear()
        .args(["check", arg(&path)])
        .assert()
        .code(2)
        .stderr(predicate::str::contains(
            "`salad_greens` is a group of foods; one of them belongs here: ",
        ));
}

#[test]
fn a_food_without_a_price_is_asked_for() {
    let file = SMALL.replace(
        "eats = [\"spinach\", \"lettuce\"]",
        "eats = [\"spinach\", \"parsley\", \"dill\"]",
    );
    let (_folder, path) = folder_with("beds.toml", file);
    let table = output_of(&["prices", arg(&path), "--all"]);
    assert!(table.contains("no price is published for"), "{table}");
    let read = json_of(&["prices", arg(&path), "--format", "json"]);
    let foods = read["foods"].as_array().unwrap();
    let parsley = foods.iter().find(|food| food["food"] == "parsley").unwrap();
    assert!(parsley["price_per_kg"].is_null());
    assert_eq!(parsley["price_mark"], "to ask");
    let spinach = foods.iter().find(|food| food["food"] == "spinach").unwrap();
    assert_eq!(spinach["price_per_kg"].as_array().unwrap().len(), 12);
}

/// Counted work that gives a plan of two beds quickly.
const QUICK: [&str; 4] = ["--gap", "20", "--work", "5"];

#[test]
fn what_it_would_take_is_answered_in_figures_and_words() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let ask = |share: &str, more: &[&str]| {
        output_of(&[&["value", arg(&path), "--share", share], &QUICK[..], more].concat())
    };
    let table = ask("30%", &[]);
    fits_80_columns(&table);
    assert!(table.contains("What would it take?"), "{table}");
    assert!(table.contains("No bed area does it"), "{table}");
    let read: serde_json::Value =
        serde_json::from_str(&ask("50% of produce", &["--format", "json"])).unwrap();
    let cover = &read["cover"];
    assert_eq!(cover["of"], "produce");
    assert_eq!(cover["target"].as_f64().unwrap(), 600.0);
    assert!(cover["price_factor"].is_null());
    assert!(!cover["answer"].as_array().unwrap().is_empty());
    let rows = csv_rows(&ask("1%", &["--format", "csv", "--list", "cover"]));
    assert_eq!(rows.len(), 1);
    assert_eq!(rows[0]["of"], "groceries");
    for wrong in ["30", "0.3", "130%", "30% of fuel"] {
        bedyear()
            .args(["value", arg(&path), "--share", wrong])
            .assert()
            .code(2)
            .stdout("");
    }
    bedyear()
        .args(["value", arg(&path), "--list", "cover"])
        .assert()
        .code(2)
        .stderr(predicate::str::contains("--share"));
}

#[test]
fn costs_add_up_to_the_cent_and_the_building_is_counted_apart() {
    let file = format!(
        "{SMALL}building = \"2000 USD\"\nlife = \"20 years\"\ndiscount = \"3 %\"\nupkeep = \"31 USD/year\"\n"
    );
    let (_folder, path) = folder_with("beds.toml", file);
    let run = |more: &[&str]| output_of(&[&["value", arg(&path)], &QUICK[..], more].concat());
    let read: serde_json::Value = serde_json::from_str(&run(&["--format", "json"])).unwrap();
    let cents = |value: &serde_json::Value| (value.as_f64().unwrap() * 100.0).round() as i64;
    let costs = read["costs_by_month"].as_array().unwrap();
    for month in read["months"].as_array().unwrap() {
        let of_month = costs.iter().filter(|row| row["month"] == month["month"]);
        assert_eq!(
            of_month.map(|row| cents(&row["cost"])).sum::<i64>(),
            cents(&month["cost"])
        );
        assert_eq!(
            cents(&month["value"]) - cents(&month["cost"]),
            cents(&month["net"])
        );
    }
    for (part, whole) in [("value", "value"), ("cost", "cost"), ("net", "net")] {
        let months = read["months"].as_array().unwrap().iter();
        assert_eq!(
            months.map(|month| cents(&month[part])).sum::<i64>(),
            cents(&read["year"][whole])
        );
    }
    let (without, with) = (&read["without_building"], &read["with_building"]);
    assert!(without["simple_years"].is_null());
    let npv = |life: &serde_json::Value| life["net_present_value"].as_f64().unwrap();
    assert!((npv(without) - npv(with) - 2000.0).abs() < 0.01);
    assert!(with["cost_per_kg"].as_f64().unwrap() > without["cost_per_kg"].as_f64().unwrap());
    assert_eq!(
        csv_rows(&run(&["--format", "csv", "--list", "lives"])).len(),
        2
    );
    let by_item = csv_rows(&run(&["--format", "csv", "--list", "costs-by-month"]));
    assert_eq!(by_item.len(), costs.len());
    assert!(
        by_item
            .iter()
            .any(|row| row["item"] == "upkeep" && row["cost"] == "2.58")
    );
    assert_eq!(csv_rows(&run(&["--format", "csv"])).len(), 12);
    fits_80_columns(&run(&["--all"]));
}

/// What has no price is in no net, said where the net stands.
#[test]
fn a_net_that_leaves_a_cost_out_says_so() {
    let heated = SMALL.replace(
        "[[bed]]\nname = \"north\"",
        "[heater]\nset_point = \"4 C\"\nenergy = \"wood\"\n\n[[bed]]\nname = \"north\"",
    );
    let (_folder, path) = folder_with("beds.toml", heated);
    let view = json_of(&["value", arg(&path), "--format", "json"]);
    let left_out = view["year"]["left_out"].as_str().unwrap();
    for what in ["firewood", "m3 compost", "upkeep"] {
        assert!(left_out.contains(what), "{left_out}");
    }
    let text = output_of(&["value", arg(&path)]).replace('\n', " ");
    assert!(
        !text.contains("at most") && !text.contains("at least"),
        "{text}"
    );
    let behind = text.split("in eight years of ten) with ").nth(1).unwrap();
    let (named, _) = behind.split_once(" not counted.").unwrap();
    assert!(named.contains("m3 compost, upkeep and"), "{named}");
    let rows = csv_rows(&output_of(&["value", arg(&path), "--format", "csv"]));
    assert!(
        rows.iter().all(|row| row["left_out"] == left_out),
        "{rows:?}"
    );
}

#[test]
fn check_says_who_eats_what_is_spent_and_asked_for() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let text = output_of(&["check", arg(&path)]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "groceries 800 USD a month, 9600 a year",
        "asked for 1.00 kg spinach a week from Oct to Apr",
        "eats only spinach and lettuce",
    ] {
        assert!(text.contains(words), "{words} in {text}");
    }
}

/// Who begins with empty beds has nothing of what the settled year sowed the autumn before; the rest of the year is the same.
#[test]
fn the_first_year_from_empty_beds_is_told_beside_the_settled_one() {
    let (_folder, path) = folder_with("beds.toml", SMALL);
    let path = arg(&path);
    let view = json_of(&["value", path, "--format", "json"]);
    let number = |of: &serde_json::Value, key: &str| of[key].as_f64().unwrap();
    let (year, first) = (&view["year"], &view["first_year"]);
    let plan = json_of(&["plan", path, "--format", "json"]);
    let plantings = plan["plantings"].as_array().unwrap();
    let picked = plantings
        .iter()
        .filter_map(|one| one["first_harvest"].as_str());
    let picked_from = picked.min().unwrap();
    assert_eq!(view["first_year_picked_from"], picked_from);
    // Spinach is sown in autumn for winter and spring, so less is picked, eaten and saved, and no more water given.
    for key in ["grown_kg", "eaten_kg", "value_range_p50"] {
        let (whole, less) = (number(year, key), number(first, key));
        assert!(0.0 < less && less < whole, "{key}: {less} of {whole}");
    }
    assert!(number(first, "cost") <= number(year, "cost"));
    // Pickings of plantings that do not pass the turn of the year are all there, and no others.
    let of_year = |pick: &serde_json::Value| pick["start"].as_str().unwrap() < "2028";
    let picks = plantings
        .iter()
        .flat_map(|one| one["picks"].as_array().unwrap());
    let expected: f64 = picks
        .filter(|pick| of_year(pick))
        .map(|pick| number(pick, "kg"))
        .sum();
    let grown = number(first, "grown_kg");
    assert!((grown / expected - 1.0).abs() < 0.1, "{grown} {expected}");
    let words = |verb: &str| {
        let text = output_of(&[verb, path]);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for verb in ["value", "overview"] {
        let text = words(verb);
        assert!(
            text.contains("The first year, from empty beds, picks nothing before "),
            "{text}"
        );
    }
    // From a day on the plan is that year's own.
    let from = json_of(&[
        "value",
        path,
        "--from",
        "2027-03-01",
        "--months",
        "12",
        "--format",
        "json",
    ]);
    assert!(from["first_year"].is_null());
}
