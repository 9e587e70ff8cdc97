//! Changes that keep to the grammar of a file: a key's value is put in place of another's, a row is doubled, a cell left
//! out; what comes out is nearly always a file of its kind, and wrong somewhere.

use bedyear::file::{self, KeyRow};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// How a kind of file is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grammar {
    /// Tables of keys; the project file's own, whose schema gives further keys with their ranges.
    Project,
    /// Tables of keys of another file.
    Keys,
    /// Rows of cells.
    Rows,
    /// Lines of name and value (RFC 5545).
    Properties,
}

/// Values that stand at the edge of what readers know.
const VALUES: [&str; 44] = [
    "0",
    "-0.0",
    "-1",
    "1",
    "2",
    "7",
    "12",
    "24",
    "366",
    "1e-9",
    "0.5",
    "1.0",
    "1.5",
    "99",
    "1e6",
    "1e308",
    "-1e308",
    "nan",
    "inf",
    "9007199254740993",
    "true",
    "false",
    "\"\"",
    "\" \"",
    "\"0\"",
    "\"-3 m\"",
    "\"6 ft\"",
    "\"6 kg\"",
    "\"57 C\"",
    "\"-60 F\"",
    "\"50 %\"",
    "\"all year\"",
    "\"never\"",
    "\"November to March\"",
    "\"spinach\"",
    "\"salad greens\"",
    "\"no such thing\"",
    "\"XAU\"",
    "\"\u{202e}x\"",
    "2027-02-28",
    "1969-12-31",
    "2100-12-31",
    "[]",
    "[1, 2, 3]",
];

/// Cells of rows, and values of properties.
const CELLS: [&str; 26] = [
    "",
    " ",
    "0",
    "-1",
    "1e309",
    "nan",
    "0,5",
    "1.234.567,8",
    "2027-02-30",
    "2027-13-01",
    "31.12.2027",
    "24:00",
    "99.9",
    "999",
    "9999",
    "kg",
    "lb",
    "north",
    "spinach",
    "salad greens",
    "\"",
    "\"a\"\"b\"",
    "=1+1",
    "\u{fe0f}",
    "20270399",
    "VALUE=DATE:",
];

/// One text made from another by up to five changes; the same number gives the same text.
pub fn mutant(text: &str, grammar: Grammar, number: u64) -> String {
    let mut rng = ChaCha8Rng::seed_from_u64(number);
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..rng.random_range(1..=5) {
        if lines.is_empty() {
            break;
        }
        let at = rng.random_range(0..lines.len());
        match rng.random_range(0..10) {
            0 => drop(lines.remove(at)),
            1 => lines.insert(at, lines[at].clone()),
            2 => {
                let other = rng.random_range(0..lines.len());
                lines.swap(at, other);
            }
            3 => double_block(&mut lines, at),
            4 if rng.random_range(0..4) == 0 => lines.truncate(at + 1),
            5 => letter(&mut lines[at], &mut rng),
            _ => match grammar {
                Grammar::Project if rng.random() => key_of_schema(&mut lines, &mut rng),
                Grammar::Project | Grammar::Keys => value(&mut lines, at, &mut rng),
                Grammar::Rows => cell(&mut lines[at], &mut rng),
                Grammar::Properties => property(&mut lines[at], &mut rng),
            },
        }
    }
    let mut made = lines.join(if grammar == Grammar::Properties {
        "\r\n"
    } else {
        "\n"
    });
    made.push('\n');
    made
}

fn one_of<'a>(all: &[&'a str], rng: &mut ChaCha8Rng) -> &'a str {
    all[rng.random_range(0..all.len())]
}

/// The lines from a table's or component's beginning to the next stand twice.
fn double_block(lines: &mut Vec<String>, at: usize) {
    let begins = |line: &String| line.starts_with('[') || line.starts_with("BEGIN:");
    let Some(first) = (0..=at).rev().find(|at| begins(&lines[*at])) else {
        return;
    };
    let after = (first + 1..lines.len()).find(|at| begins(&lines[*at]));
    let block: Vec<String> = lines[first..after.unwrap_or(lines.len())].to_vec();
    lines.splice(first..first, block);
}

/// One letter is another.
fn letter(line: &mut String, rng: &mut ChaCha8Rng) {
    let letters: Vec<char> = line.chars().collect();
    if letters.is_empty() {
        return;
    }
    let at = rng.random_range(0..letters.len());
    let put = *"0-.\"[]=,;:#ae\u{e9}\u{ad}\t"
        .chars()
        .collect::<Vec<_>>()
        .get(rng.random_range(0..15))
        .unwrap_or(&'x');
    *line = letters
        .iter()
        .enumerate()
        .map(|(i, c)| if i == at { put } else { *c })
        .collect();
}

/// The value of a line's key is another, or its number a multiple.
fn value(lines: &mut [String], at: usize, rng: &mut ChaCha8Rng) {
    let keyed: Vec<usize> = (0..lines.len())
        .filter(|at| lines[*at].contains('='))
        .collect();
    let Some(at) = keyed.get(at % keyed.len().max(1)) else {
        return;
    };
    let Some((key, old)) = lines[*at].split_once('=') else {
        return;
    };
    let digits = old.find(|c: char| c.is_ascii_digit());
    let made = match digits {
        Some(from) if rng.random_range(0..3) > 0 => {
            let rest = &old[from..];
            let end = rest
                .find(|c: char| !c.is_ascii_digit() && c != '.')
                .unwrap_or(rest.len());
            let number: f64 = rest[..end].parse().unwrap_or(1.0);
            let times = [0.0, 0.1, 0.5, 0.9, 1.1, 2.0, 10.0, -1.0][rng.random_range(0..8)];
            format!("{}{}{}", &old[..from], number * times, &rest[end..])
        }
        _ => format!(" {}", one_of(&VALUES, rng)),
    };
    lines[*at] = format!("{key}={made}");
}

/// A key of the schema with a value of its range, from the ends of it or just beyond.
fn key_of_schema(lines: &mut Vec<String>, rng: &mut ChaCha8Rng) {
    let keys = file::schema();
    let row = &keys[rng.random_range(0..keys.len())];
    let (table, name) = row.path.rsplit_once('.').unwrap_or(("", &row.path));
    if name.ends_with("[]") || name == "*" || row.takes.ends_with("table") {
        return;
    }
    let head = match table.strip_suffix("[]") {
        _ if table.is_empty() => String::new(),
        Some(list) => format!("[[{list}]]"),
        None => format!("[{table}]"),
    };
    let line = format!("{name} = {}", schema_value(row, rng));
    let starts = lines.iter().position(|line| line.trim() == head);
    let Some(start) = starts.or(head.is_empty().then_some(0)) else {
        lines.extend([head, line]);
        return;
    };
    let first = if head.is_empty() { 0 } else { start + 1 };
    let end = (first..lines.len())
        .find(|at| lines[*at].starts_with('['))
        .unwrap_or(lines.len());
    let is_same = |line: &String| line.split('=').next().is_some_and(|key| key.trim() == name);
    match (first..end).find(|at| is_same(&lines[*at])) {
        Some(at) => lines[at] = line,
        None => lines.insert(first, line),
    }
}

fn schema_value(row: &KeyRow, rng: &mut ChaCha8Rng) -> String {
    if let Some(words) = row.takes.strip_prefix("one of ") {
        let words: Vec<&str> = words.split(", ").collect();
        return format!("\"{}\"", one_of(&words, rng));
    }
    let range = row
        .range
        .split_once(" to ")
        .and_then(|(low, high)| Some((low.parse::<f64>().ok()?, high.parse::<f64>().ok()?)));
    let Some((low, high)) = range else {
        return match row.takes.as_str() {
            "true or false" => rng.random::<bool>().to_string(),
            _ => one_of(&VALUES, rng).to_owned(),
        };
    };
    let one = |rng: &mut ChaCha8Rng| {
        let share: f64 = rng.random();
        let number = match rng.random_range(0..10) {
            0 => low,
            1 => high,
            2 => low - 0.001 * (high - low),
            3 => high * 1.001 + 0.001,
            4..=6 => low + share * share * share * share * (high - low),
            _ => low + 1e-4 * share * (high - low),
        };
        if row.takes.starts_with("a whole number") {
            number.round()
        } else {
            number
        }
    };
    if row.takes.contains("12 values") || row.takes.contains("12 by month") && rng.random() {
        let all: Vec<String> = (0..12).map(|_| one(rng).to_string()).collect();
        return format!("[{}]", all.join(", "));
    }
    one(rng).to_string()
}

/// A cell is another, one more, or one less.
fn cell(line: &mut String, rng: &mut ChaCha8Rng) {
    let separator = if line.contains(';') { ";" } else { "," };
    let mut cells: Vec<&str> = line.split(separator).collect();
    let at = rng.random_range(0..cells.len());
    match rng.random_range(0..6) {
        0 => drop(cells.remove(at)),
        1 => cells.insert(at, cells[at]),
        _ => cells[at] = one_of(&CELLS, rng),
    }
    *line = cells.join(separator);
}

/// A property's value is another, or the line goes on in the next.
fn property(line: &mut String, rng: &mut ChaCha8Rng) {
    if rng.random_range(0..4) == 0 {
        let half = (0..=line.len() / 2)
            .rev()
            .find(|at| line.is_char_boundary(*at))
            .unwrap_or(0);
        line.insert_str(half, "\r\n ");
        return;
    }
    if let Some((name, _)) = line.split_once(':') {
        *line = format!("{name}:{}", one_of(&CELLS, rng));
    }
}
