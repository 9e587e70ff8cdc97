//! Every key and value of the file against the key table: unknown keys, wrong kinds, units, ranges.

use super::keys::{self, Key, Kind};
use super::read::{self, Context};
use crate::document::{Entry, Node, PROBLEMS_MAX, Problem, Value};
use crate::suggest;

/// The problems that can be told from single keys and values, about the first [`PROBLEMS_MAX`].
pub fn problems(root: &Node, context: &Context<'_>) -> Vec<Problem> {
    let mut found = Vec::new();
    table(root, "", "", context, &mut found);
    found
}

fn table(node: &Node, path: &str, shown: &str, context: &Context<'_>, found: &mut Vec<Problem>) {
    for entry in node.entries() {
        if found.len() >= PROBLEMS_MAX {
            return;
        }
        let entry_shown = join(shown, &entry.key);
        let plain_path = join(path, &entry.key);
        let list_path = format!("{plain_path}[]");
        match keys::find(&plain_path)
            .or_else(|| keys::find(&list_path).filter(|key| key.path == list_path))
        {
            Some(key) => known(key, &entry_shown, &entry.node, context, found),
            None => found.push(unknown(entry, path, context)),
        }
    }
}

fn known(key: &Key, shown: &str, node: &Node, context: &Context<'_>, found: &mut Vec<Problem>) {
    // A single table where a list of them belongs ([bed] for [[bed]]) is a common slip with its own answer.
    if key.kind == Kind::Tables && matches!(node.value, Value::Table(_)) {
        let name = shown.rsplit('.').next().unwrap_or(shown);
        let wrong = format!("`{shown}` is one table, but a list of tables belongs there");
        let right = format!("write [[{shown}]] with two brackets, once for each {name}");
        found.push(Problem::at(context.text, node.span.clone(), wrong, right));
        return;
    }
    if let Err(problems) = read::read(key, shown, node, context) {
        found.extend(problems);
        return;
    }
    match key.kind {
        Kind::Table | Kind::Place => table(node, key.path, shown, context, found),
        Kind::Tables => {
            for (at, item) in node.items().iter().enumerate() {
                if found.len() >= PROBLEMS_MAX {
                    return;
                }
                let item_shown = format!("{shown}[{}]", at + 1);
                match item.value {
                    Value::Table(_) => table(item, key.path, &item_shown, context, found),
                    _ => {
                        let kind = item.value.kind_name();
                        let wrong = format!("`{item_shown}` is {kind}, but a table belongs there");
                        found.push(Problem::at(context.text, item.span.clone(), wrong, None));
                    }
                }
            }
        }
        _ => {}
    }
}

fn unknown(entry: &Entry, path: &str, context: &Context<'_>) -> Problem {
    let place = match path {
        "" => "at the top of the file".to_owned(),
        path => format!("in `{path}`"),
    };
    let wrong = format!("there is no key `{}` {place}", entry.key);
    let near = suggest::nearest(&entry.key, keys::names_in(path));
    let right = match (near, elsewhere(&entry.key)) {
        (Some(near), _) => format!("did you mean `{near}`?"),
        (None, Some(other)) => format!("`{}` belongs in `{other}`", entry.key),
        (None, None) => {
            let known: Vec<_> = keys::names_in(path).collect();
            format!("keys {place}: {}", known.join(", "))
        }
    };
    Problem::at(context.text, entry.key_span.clone(), wrong, right)
}

/// The table in which a key of exactly that name exists, where there is only one such.
fn elsewhere(name: &str) -> Option<&'static str> {
    let mut tables = keys::all().filter_map(|key| {
        let (table, last) = key.path.rsplit_once('.')?;
        (last == name).then_some(table)
    });
    let only = tables.next()?;
    tables.next().is_none().then_some(only)
}

/// A path and a further name.
pub fn join(path: &str, name: &str) -> String {
    match path {
        "" => name.to_owned(),
        path => format!("{path}.{name}"),
    }
}
