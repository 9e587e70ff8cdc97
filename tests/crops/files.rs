//! Crop files: the built-in ones complete, broken ones refused with line and column.

use crate::made::table;
use bedyear::crops::Table;
use bedyear::file::FileError;
use bedyear::words::Word;

#[test]
fn forty_kinds_and_their_varieties_with_a_source_for_every_figure() {
    let table = table();
    assert!(table.iter().filter(|crop| crop.like.is_none()).count() >= 40);
    assert!(table.iter().filter(|crop| crop.like.is_some()).count() >= 5);
    for crop in table.iter() {
        assert!(
            crop.figures.len() >= 22,
            "{}: {} figures",
            crop.id,
            crop.figures.len()
        );
        for row in &crop.figures {
            assert!(
                row.source.len() >= 10,
                "{}: {} from `{}`",
                crop.id,
                row.key,
                row.source
            );
        }
        assert!(
            crop.yields.season_max_kg_m2 <= 12.0,
            "{}: more than a family house bears",
            crop.id
        );
    }
}

#[test]
fn no_two_crops_share_a_code_and_a_variety_without_one_gets_a_free_one() {
    let codes = |table: &Table| -> Vec<(String, String)> {
        let pair = |crop: &bedyear::crops::Crop| (crop.id.clone(), crop.code.clone());
        table.iter().map(pair).collect()
    };
    let before = codes(table());
    let named = "like = \"spinach\"\nname = \"Giant\"\n";
    let with = table()
        .clone()
        .with_overrides([("giant.toml", named)])
        .unwrap();
    let after = codes(&with);
    assert!(before.iter().all(|pair| after.contains(pair)), "codes stay");
    let distinct: std::collections::BTreeSet<_> = after.iter().map(|(_, code)| code).collect();
    assert_eq!(distinct.len(), after.len());
    assert_eq!(with.get("giant").unwrap().code, "Gi");
    let same = refused("giant.toml", &format!("{named}code = \"Sp\"\n"));
    assert!(same.to_string().contains("would share"), "{same}");
    let odd = refused("giant.toml", &format!("{named}code = \"spi\"\n"));
    assert!(odd.to_string().contains("such as `Sp`"), "{odd}");
}

fn refused(file: &str, text: &str) -> FileError {
    match table().clone().with_overrides([(file, text)]) {
        Ok(_) => panic!("{file} was taken:\n{text}"),
        Err(error) => error,
    }
}

/// A change of one figure of spinach.
fn spinach(section: &str, line: &str) -> String {
    format!("like = \"spinach\"\n\n[{section}]\n{line}\n\n[sources]\nown = \"own trial, 2025\"\n")
}

#[test]
fn wrong_figures_are_refused_with_line_and_column() {
    let cases: &[(&str, &str, (usize, usize), &str)] = &[
        (
            "temperature",
            "base_c = { value = 18, from = \"own\" }",
            (4, 10),
            "`temperature.base_c` is 18 °C, not below `temperature.best_c`, which begins at 15.6 °C",
        ),
        (
            "yield",
            "one_cut_kg_m2 = { low = -1, high = 2, from = \"own\" }",
            (4, 25),
            "`yield.one_cut_kg_m2` is -1 kg/m2, outside 0 to 100 kg/m2",
        ),
        (
            "cold",
            "kill_c = { value = -12 }",
            (4, 10),
            "`cold.kill_c` has no source: it is written `{ value = ..., from = \"...\" }`",
        ),
        (
            "cold",
            "kill_c = { value = -12, from = \"ovn\" }",
            (4, 10),
            "`cold.kill_c`: source `ovn` is not listed in `[sources]`; did you mean `own`?",
        ),
        (
            "cold",
            "kil_c = { value = -12, from = \"own\" }",
            (4, 1),
            "unknown key `kil_c`; did you mean `kill_c`?",
        ),
        (
            "light",
            "target_mol_m2_day = { value = \"much\", from = \"own\" }",
            (4, 31),
            "`light.target_mol_m2_day` takes a number",
        ),
        (
            "temperature",
            "best_c = { low = 20, high = 15, from = \"own\" }",
            (4, 10),
            "`temperature.best_c` goes from 20 down to 15",
        ),
        (
            "temperature",
            "ceiling_c = { value = 22, from = \"own\" }",
            (4, 13),
            "`temperature.ceiling_c` is 22 °C, not above `temperature.upper_c` at 23.8 °C",
        ),
        (
            "cold",
            "kill_unhardened_c = { value = -20, from = \"own\" }",
            (4, 21),
            "`cold.kill_unhardened_c` is -20 °C, colder than `cold.kill_c` at -14 °C",
        ),
        (
            "emergence",
            "curve = { at_c = [5, 10], days = [20], none_below_c = 0, none_above_c = 30, from = \"own\" }",
            (4, 9),
            "`emergence.curve` needs one of `days` for each temperature, temperatures rising",
        ),
        (
            "spacing",
            "in_row_cm = 20",
            (4, 13),
            "`spacing.in_row_cm` is written `{ value = ..., from = \"...\" }`",
        ),
        (
            "water",
            "kc_mid = { value = inf, from = \"own\" }",
            (4, 20),
            "`water.kc_mid` is inf, outside 0.1 to 1.5",
        ),
    ];
    for (section, line, place, message) in cases {
        let error = refused("crops/mine.toml", &spinach(section, line));
        let problem = &error.problems[0];
        assert_eq!((problem.line, problem.column), *place, "{line}: {error}");
        assert_eq!(problem.wrong, *message);
        assert_eq!(
            error.to_string(),
            format!("crops/mine.toml:{}:{}: {message}", place.0, place.1)
        );
    }
}

#[test]
fn wrong_files_are_refused() {
    for (text, message) in [
        ("", "`mine` lacks `habit`"),
        (
            "like = \"spinich\"",
            "there is no crop `spinich`; did you mean `spinach`?",
        ),
        ("like = \"mine\"", "`like` runs in a circle: mine -> mine"),
        ("name = ", "not valid TOML: string values must be quoted"),
        (
            "like = \"spinach\"\nhabit = \"cuts\"",
            "`habit` is `cuts`, not one of `single`, `cut`, `fruit`; did you mean `cut`?",
        ),
        (
            "like = \"spinach\"\nways = \"direct\"",
            "`ways` is a list of words in brackets",
        ),
        (
            "like = \"spinach\"\nnitrate = \"yes\"",
            "`nitrate` is `true` or `false`",
        ),
        ("like = \"spinach\"\nsaesons = 1", "unknown key `saesons`"),
        ("cold = 3", "`cold` is a section: write `[cold]`"),
    ] {
        let error = refused("mine.toml", text);
        assert!(
            error.problems[0].wrong.starts_with(message),
            "{text}: {error}"
        );
    }
}

#[test]
fn a_persons_own_figures_go_before_the_built_in_ones() {
    let text = "like = \"spinach\"\n\n[cold]\nkill_c = { value = -10, from = \"own\" }\n\n[sources]\nown = \"own trial, 2025\"\n";
    let table = table()
        .clone()
        .with_overrides([("crops/spinach.toml", text)])
        .unwrap();
    assert_eq!(table.get("spinach").unwrap().cold.kill_c, -10.0);
    // Its varieties follow, and keep what is theirs.
    let slow = table.get("spinach_slow").unwrap();
    assert_eq!(slow.cold.kill_c, -10.0);
    assert_eq!(slow.bolting.unwrap().days, 60.0);
    let row = table
        .get("spinach")
        .unwrap()
        .figures
        .iter()
        .find(|row| row.key == "cold.kill_c")
        .unwrap();
    assert_eq!(row.source, "own trial, 2025");
    assert_eq!(table.nearest("spinch"), Some("spinach"));
}

/// A file written for the growth of before: its class by likeness, its old keys read and checked but not used, one warning.
#[test]
fn files_of_the_old_kind_load_with_one_warning() {
    let old = "like = \"spinach\"\nname = \"Own spinach\"\n\n[time]\nregrowth_days = { value = 20, from = \"own\" }\n\n[light]\n\
               compensation_mol_m2_day = { value = 1, from = \"own\" }\n\n[sources]\nown = \"own garden, 2025\"\n";
    let with = table()
        .clone()
        .with_overrides([("own_spinach.toml", old)])
        .unwrap();
    let doubts = with.doubts();
    assert_eq!(doubts.len(), 1, "{doubts:?}");
    assert!(
        doubts[0].contains("own_spinach.toml") && doubts[0].contains("time.regrowth_days"),
        "{doubts:?}"
    );
    assert!(table().doubts().is_empty(), "{:?}", table().doubts());
    let wrong = old.replace("value = 20", "value = 2000");
    assert!(
        table()
            .clone()
            .with_overrides([("own_spinach.toml", wrong.as_str())])
            .is_err()
    );
    // Nothing but what the format of before asked for.
    let mut whole = include_str!("../../crops/radish.toml").replace("class = \"root\"\n", "");
    let from = whole.find("[growth]").unwrap();
    let to = whole[from..].find("[emergence]").unwrap() + from;
    whole.replace_range(from..to, "");
    let whole = whole.replace("code = \"Ra\"\n", "");
    let radish = table()
        .clone()
        .with_overrides([("radish_own.toml", whole.as_str())])
        .unwrap();
    let own = radish.get("radish_own").unwrap();
    assert_eq!(own.growth.class.word(), "root");
    assert_eq!(radish.doubts().len(), 1);
}
