//! README and program in step: every console block of the README is run, and what it shows must come out.

use assert_cmd::Command;

/// Console blocks of the README: the command, and the lines shown below it.
fn blocks(readme: &str) -> Vec<(Vec<String>, Vec<String>)> {
    readme
        .split("```console\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .filter_map(|block| {
            let mut lines = block.lines();
            let command = lines.next()?.strip_prefix("$ bedyear ")?;
            Some((
                command.split_whitespace().map(str::to_owned).collect(),
                lines.map(str::to_owned).collect(),
            ))
        })
        .collect()
}

/// Every shown line, in its order; lines between them may be left out.
#[test]
fn the_readme_shows_what_the_program_prints() {
    let readme = include_str!("../README.md");
    let blocks = blocks(readme);
    assert!(
        blocks.len() >= 4,
        "the README shows {} outputs",
        blocks.len()
    );
    let mut printed: Vec<(Vec<String>, String)> = Vec::new();
    for (command, shown) in &blocks {
        let known = printed.iter().find(|(run, _)| run == command);
        let text = match known {
            Some((_, text)) => text.clone(),
            None => {
                let out = Command::cargo_bin("bedyear")
                    .expect("the binary is built")
                    .args(command)
                    .output()
                    .expect("it runs");
                assert!(out.status.success(), "{command:?}");
                let text = String::from_utf8(out.stdout).expect("text");
                printed.push((command.clone(), text.clone()));
                text
            }
        };
        let mut lines = text.lines();
        for line in shown {
            assert!(
                lines.any(|found| found.trim_end() == line.trim_end()),
                "{command:?} no longer prints this line after those before it: {line}"
            );
        }
    }
}

/// Exactly two commands to copy: one runs the main job, one the tests.
#[test]
fn the_readme_has_two_commands() {
    let readme = include_str!("../README.md");
    let commands: Vec<&str> = readme
        .split("```sh\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .map(str::trim)
        .collect();
    assert_eq!(commands, ["cargo run --release -- overview", "cargo test"]);
}
