//! A project text with some keys set to other values.

use toml::{Table, Value};

/// Sets a key of a project's table, making the tables on the way.
///
/// # Errors
/// In words, if the path runs through something that is no table or list, or past the end of a list.
pub fn set(project: &mut Table, path: &str, value: &str) -> Result<(), String> {
    let steps = steps(path)?;
    let (last, way) = steps.split_last().ok_or("the key is empty")?;
    let mut place = Place::Table(project);
    for step in way {
        place = place.enter(step, path)?;
    }
    place.put(last, typed(value), path)
}

/// One step of a path: a key, or a place in a list.
#[derive(Clone, Debug, PartialEq)]
enum Step {
    Key(String),
    Index(usize),
}

/// `bed[0].area` as its steps.
fn steps(path: &str) -> Result<Vec<Step>, String> {
    let mut steps = Vec::new();
    for part in path.split('.') {
        let (key, indices) = part
            .split_once('[')
            .map_or((part, None), |(key, rest)| (key, Some(rest)));
        if key.trim().is_empty() {
            return Err(format!("`{path}` has an empty part"));
        }
        steps.push(Step::Key(key.trim().to_owned()));
        if let Some(indices) = indices {
            let number = indices
                .strip_suffix(']')
                .and_then(|number| number.parse().ok());
            steps.push(Step::Index(number.ok_or_else(|| {
                format!("`{path}` counts a list in another way than bed[0]")
            })?));
        }
    }
    Ok(steps)
}

/// Where a path has led so far.
enum Place<'t> {
    Table(&'t mut Table),
    List(&'t mut Vec<Value>),
}

impl<'t> Place<'t> {
    fn enter(self, step: &Step, path: &str) -> Result<Place<'t>, String> {
        let value = match (self, step) {
            (Place::Table(table), Step::Key(key)) => table
                .entry(key.clone())
                .or_insert_with(|| Value::Table(Table::new())),
            (Place::List(list), Step::Index(index)) => {
                let length = list.len();
                list.get_mut(*index).ok_or_else(|| {
                    format!("`{path}`: the list has {length} entries, counted from 0")
                })?
            }
            _ => return Err(mismatch(path)),
        };
        match value {
            Value::Table(table) => Ok(Place::Table(table)),
            Value::Array(list) => Ok(Place::List(list)),
            _ => Err(format!("`{path}`: a value stands where the path runs on")),
        }
    }

    fn put(self, step: &Step, value: Value, path: &str) -> Result<(), String> {
        match (self, step) {
            (Place::Table(table), Step::Key(key)) => {
                table.insert(key.clone(), value);
                Ok(())
            }
            (Place::List(list), Step::Index(index)) => {
                let length = list.len();
                let old = list.get_mut(*index).ok_or_else(|| {
                    format!("`{path}`: the list has {length} entries, counted from 0")
                })?;
                *old = value;
                Ok(())
            }
            _ => Err(mismatch(path)),
        }
    }
}

fn mismatch(path: &str) -> String {
    format!("`{path}`: a list is counted, as bed[0], and a table is named")
}

/// A value as TOML reads it; what TOML does not know, such as `6 m`, is a text.
fn typed(value: &str) -> Value {
    format!("value = {value}")
        .parse::<Table>()
        .ok()
        .and_then(|mut table| table.remove("value"))
        .unwrap_or_else(|| Value::String(value.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn after(path: &str, value: &str) -> Result<Table, String> {
        let mut table: Table = "[building]\nlength = \"8 m\"\n[[bed]]\narea = 4\n"
            .parse()
            .unwrap();
        set(&mut table, path, value).map(|()| table)
    }

    #[test]
    fn keys_lists_and_new_tables_are_set() {
        assert_eq!(
            after("building.length", "6 m").unwrap()["building"]["length"],
            Value::from("6 m")
        );
        assert_eq!(
            after("building.length", "6.5").unwrap()["building"]["length"],
            Value::from(6.5)
        );
        assert_eq!(
            after("bed[0].area", "5").unwrap()["bed"][0]["area"],
            Value::from(5)
        );
        assert_eq!(
            after("heater.kind", "\"wood\"").unwrap()["heater"]["kind"],
            Value::from("wood")
        );
    }

    #[test]
    fn paths_that_lead_nowhere_are_refused() {
        for path in [
            "",
            "bed[1].area",
            "bed.area",
            "building.length.more",
            "bed[x].area",
            "a..b",
        ] {
            assert!(after(path, "1").is_err(), "{path}");
        }
    }
}
