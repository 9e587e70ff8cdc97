//! Foods as the household buys them, and the groups within which they stand in for each other.

use super::ValueError;
use crate::suggest;
use serde::Deserialize;
use std::sync::LazyLock;

/// A food of the built-in table (`data/foods.csv`).
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Food {
    /// Id, such as `lettuce`.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Group within which foods stand in for each other, id.
    pub group: String,
    /// Other names under which it is found, crop ids among them.
    #[serde(deserialize_with = "names")]
    pub aliases: Vec<String>,
    /// Share of the bought weight that is eaten after peel and trimmings, 0 to 1.
    pub edible_share: f64,
    /// Largest share of its group's appetite that this food alone may take, 0 to 1 (assumption: how much of one
    /// kind people eat in a week when it is at hand).
    pub group_share_max: f64,
}

/// A group of foods that stand in for each other (`data/groups.csv`).
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Group {
    /// Id, such as `salad_greens`.
    pub id: String,
    /// Name for people.
    pub name: String,
}

fn names<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Vec<String>, D::Error> {
    let text = String::deserialize(from)?;
    Ok(text
        .split(';')
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect())
}

/// Rows of a built-in table. A row that does not fit its type is left out; a debug build stops there.
pub(super) fn rows<T: serde::de::DeserializeOwned>(table: &str) -> Vec<T> {
    let read = csv::Reader::from_reader(table.as_bytes()).into_deserialize();
    let rows: Vec<T> = read.filter_map(Result::ok).collect();
    debug_assert_eq!(rows.len() + 1, table.lines().count(), "{table}");
    rows
}

static FOODS: LazyLock<Vec<Food>> = LazyLock::new(|| rows(include_str!("data/foods.csv")));
static GROUPS: LazyLock<Vec<Group>> = LazyLock::new(|| rows(include_str!("data/groups.csv")));

/// All foods on file, in the order of the table.
pub fn foods() -> &'static [Food] {
    &FOODS
}

/// All groups on file, in the order of the table.
pub fn groups() -> &'static [Group] {
    &GROUPS
}

/// Small letters, and `_` for blanks and hyphens, as ids are written.
fn normal(name: &str) -> String {
    name.trim().to_lowercase().replace([' ', '-'], "_")
}

/// Food of an id, an alias, a crop id or a name; letter case, blanks and hyphens do not matter.
pub fn find(name: &str) -> Option<&'static Food> {
    static NAMES: LazyLock<Vec<String>> =
        LazyLock::new(|| foods().iter().map(|food| normal(&food.name)).collect());
    let name = normal(name);
    let is = |(food, named): &(&Food, &String)| {
        food.id == name || food.aliases.contains(&name) || **named == name
    };
    let mut all = foods().iter().zip(NAMES.iter());
    all.find(is).map(|(food, _)| food)
}

/// Group of an id or a name.
pub fn find_group(name: &str) -> Option<&'static Group> {
    let name = normal(name);
    groups()
        .iter()
        .find(|group| group.id == name || normal(&group.name) == name)
}

/// Food of a name, or an error that suggests the nearest name on file.
pub fn require(name: &str) -> Result<&'static Food, ValueError> {
    find(name).ok_or_else(|| match find_group(name) {
        Some(group) => ValueError::GroupForFood {
            group: group.id.clone(),
            foods: foods()
                .iter()
                .filter(|food| food.group == group.id)
                .map(|food| food.id.as_str())
                .collect::<Vec<_>>()
                .join(", "),
        },
        None => ValueError::UnknownFood {
            food: name.to_owned(),
            near: suggest::nearest(&normal(name), foods().iter().map(|food| food.id.as_str()))
                .map(str::to_owned),
        },
    })
}

/// Nearest name of a food or group, where one is near enough to be meant.
pub(super) fn nearest(name: &str) -> Option<String> {
    let name = normal(name);
    let known = foods()
        .iter()
        .map(|food| food.id.as_str())
        .chain(groups().iter().map(|group| group.id.as_str()));
    suggest::nearest(&name, known).map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_group_exists() {
        for food in foods() {
            assert!(find_group(&food.group).is_some(), "{}", food.id);
            assert!((0.0..=1.0).contains(&food.edible_share), "{}", food.id);
            assert!((0.0..=1.0).contains(&food.group_share_max), "{}", food.id);
        }
    }

    #[test]
    fn a_name_belongs_to_one_food() {
        let mut names: Vec<&String> = foods()
            .iter()
            .flat_map(|f| std::iter::once(&f.id).chain(&f.aliases))
            .collect();
        let all = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), all);
    }

    #[test]
    fn a_mistyped_food_gets_a_suggestion() {
        let error = require("tomatoe").unwrap_err().to_string();
        assert_eq!(
            error,
            "`tomatoe` is not a food or group on file; did you mean `tomato`?"
        );
    }
}
