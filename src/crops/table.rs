//! All crops, in order of their id.

use super::Crop;
use super::assemble::assemble;
use super::file::{CropFile, Said, take_over};
use crate::document::FileError;
use crate::suggest::{meant, nearest};
use include_dir::{Dir, include_dir};
use std::collections::BTreeMap;
use std::sync::Arc;

static FILES: Dir = include_dir!("$CARGO_MANIFEST_DIR/crops");

/// Names and texts of the crop files that come with the program.
fn builtin_files() -> impl Iterator<Item = (&'static str, &'static str)> {
    let files = FILES.files();
    let files = files.filter_map(|file| Some((file.path().to_str()?, file.contents_utf8()?)));
    files.filter(|(name, _)| name.ends_with(".toml"))
}

/// Ids of the crops that come with the program, in order: the names of their files.
pub fn builtin_ids() -> Vec<&'static str> {
    let ids = builtin_files().filter_map(|(name, _)| name.strip_suffix(".toml"));
    let mut ids: Vec<&str> = ids.collect();
    ids.sort_unstable();
    ids
}

/// Crops by id; the person's own files add to or replace the built-in ones.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Files as read.
    files: BTreeMap<String, Arc<CropFile>>,
    /// Each file with all that it takes over; shared, so that a table with one crop more costs one crop.
    crops: BTreeMap<String, Arc<Crop>>,
}

impl Table {
    /// The crops that come with the program.
    ///
    /// # Errors
    /// Only if a built-in file is broken, which a test rules out.
    pub fn builtin() -> Result<Self, FileError> {
        let mut table = Self::default();
        for (name, text) in builtin_files() {
            let crop = CropFile::parse(&format!("crops/{name}"), text)?;
            table.files.insert(crop.id.clone(), Arc::new(crop));
        }
        table.resolve(|_| true)
    }

    /// Likewise for many files, pairs of name and text, which may be like one another in any order.
    pub fn with_overrides<'f>(
        mut self,
        files: impl IntoIterator<Item = (&'f str, &'f str)>,
    ) -> Result<Self, FileError> {
        let mut ids = Vec::new();
        for (file, text) in files {
            ids.push(self.put(CropFile::parse(file, text)?));
        }
        self.resolve(|line| line.iter().any(|id| ids.contains(id)))
    }

    /// The crops named alone.
    pub fn only(mut self, ids: &std::collections::BTreeSet<String>) -> Self {
        self.crops.retain(|id, _| ids.contains(id));
        self
    }

    /// The same crops in a house whose flowers have a pollinator; see [`Crop::with_pollinator`].
    pub fn with_pollinator(mut self, pollinator: super::Pollinator, vents_c: Option<f64>) -> Self {
        for crop in self.crops.values_mut() {
            *crop = Arc::new(Crop::clone(crop).with_pollinator(pollinator, vents_c));
        }
        self
    }

    /// What is dated in the person's own files, a sentence a file; none where all say what growth asks for.
    pub fn doubts(&self) -> Vec<String> {
        let dated = |file: &&Arc<CropFile>| {
            let whole = self.whole(file, &mut Vec::new());
            !file.old.is_empty() || whole.is_ok_and(|whole| !whole.entries.contains_key("class"))
        };
        let say = |file: &Arc<CropFile>| {
            let unused = if file.old.is_empty() {
                String::new()
            } else {
                format!("; no longer used: {}", file.old.join(", "))
            };
            format!(
                "{}: written for an earlier version; growth by leaves and light asks for `class`, `growth.seed_mg` and \
                 `growth.dry_share`, else it takes the class by likeness{unused}",
                file.origin.file
            )
        };
        self.files.values().filter(dated).map(say).collect()
    }

    /// Puts a file in its place, over the one it stands for; gives its id.
    fn put(&mut self, mut crop: CropFile) -> String {
        let own_name = crop.like.as_ref().is_some_and(|like| like.value == crop.id);
        if own_name && let Some(earlier) = self.files.get(&crop.id) {
            take_over(&mut crop.sources, &earlier.sources);
            crop.like = earlier.like.clone();
            crop = crop.over(earlier);
        }
        let id = crop.id.clone();
        self.files.insert(id.clone(), Arc::new(crop));
        id
    }

    /// Lets the files whose line of ids, own first, is `told` take over their parents' figures, and checks the whole.
    fn resolve(mut self, told: impl Fn(&[String]) -> bool) -> Result<Self, FileError> {
        for (id, file) in &self.files {
            if told(&self.line(file)) {
                let whole = self.whole(file, &mut Vec::new())?;
                self.crops.insert(id.clone(), Arc::new(assemble(&whole)?));
            }
        }
        self.give_codes()?;
        Ok(self)
    }

    /// Sees that no two crops share a code, and gives a free one to each that has none.
    fn give_codes(&mut self) -> Result<(), FileError> {
        let mut taken: BTreeMap<String, String> = BTreeMap::new();
        for (id, crop) in self.crops.iter().filter(|(_, crop)| !crop.code.is_empty()) {
            let Some(other) = taken.insert(crop.code.clone(), id.clone()) else {
                continue;
            };
            let own = [id, &other].into_iter().rev().find_map(|id| {
                match self.files.get(id)?.entries.get("code") {
                    Some(Said::Word(word)) if word.value == crop.code => Some(word),
                    _ => None,
                }
            });
            if let Some(word) = own {
                return Err(word.error(format!(
                    "`code` is `{}`, which `{other}` and `{id}` would share",
                    word.value
                )));
            }
        }
        for crop in self.crops.values_mut().filter(|crop| crop.code.is_empty()) {
            let code = free_code(&crop.name, &taken);
            taken.insert(code.clone(), crop.id.clone());
            Arc::make_mut(crop).code = code;
        }
        Ok(())
    }

    /// The ids of a file, its parent, the parent's parent; in a circle each once.
    fn line(&self, file: &CropFile) -> Vec<String> {
        let mut line = vec![file.id.clone()];
        let mut next = file.like.as_ref();
        while let Some(like) = next.filter(|like| !line.contains(&like.value)) {
            line.push(like.value.clone());
            next = self
                .files
                .get(&like.value)
                .and_then(|parent| parent.like.as_ref());
        }
        line
    }

    /// A file with all that it takes over; `line` holds the ids on the way, to find circles.
    fn whole(&self, file: &CropFile, line: &mut Vec<String>) -> Result<CropFile, FileError> {
        let mut file = file.clone();
        line.push(file.id.clone());
        let Some(like) = file.like.clone() else {
            file.name_sources(None)?;
            return Ok(file);
        };
        if line.contains(&like.value) {
            return Err(like.error(format!(
                "`like` runs in a circle: {} -> {}",
                line.join(" -> "),
                like.value
            )));
        }
        let Some(parent) = self.files.get(&like.value) else {
            let hint = meant(self.nearest(&like.value));
            return Err(like.error(format!("there is no crop `{}`{hint}", like.value)));
        };
        let parent = self.whole(parent, line)?;
        file.name_sources(Some(&parent))?;
        let code = file.entries.get("code").cloned();
        let mut whole = file.over(&parent);
        // A variety is on the same charts as its kind.
        whole.entries.remove("code");
        whole.entries.extend(code.map(|code| ("code", code)));
        Ok(whole)
    }

    /// A crop by its id.
    pub fn get(&self, id: &str) -> Option<&Crop> {
        self.crops.get(id).map(Arc::as_ref)
    }

    /// The crop of that id or name, the words in whatever order they are said: `lettuce_winter`, `winter lettuce`.
    pub fn called(&self, words: &str) -> Option<&Crop> {
        let said = |text: &str| {
            let text = text.split(" (").next().unwrap_or(text).to_lowercase();
            let mut words: Vec<String> = text
                .split(|letter: char| !letter.is_alphanumeric())
                .filter(|word| !word.is_empty())
                .map(str::to_owned)
                .collect();
            words.sort_unstable();
            words
        };
        let wanted = said(words);
        self.iter()
            .find(|crop| said(&crop.id) == wanted || said(&crop.name) == wanted)
    }

    /// What a grower's word means: the crop of that id with its varieties, or all crops of that name or food.
    pub fn kinds_of(&self, name: &str) -> Vec<&Crop> {
        let plain = |name: &str| {
            let name = name.trim().to_lowercase().replace([' ', '-'], "_");
            name.replace([',', '(', ')'], "")
        };
        let of = |wanted: &str| -> Vec<&Crop> {
            let is = |word: &str| {
                let rest = word.strip_prefix(wanted);
                rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('_'))
            };
            let meant = |crop: &&Crop| is(&crop.id) || is(&crop.food) || is(&plain(&crop.name));
            self.iter().filter(meant).collect()
        };
        let wanted = plain(name);
        // English plurals: peppers, tomatoes.
        let singular = ["es", "s"]
            .iter()
            .filter_map(|ending| wanted.strip_suffix(ending));
        let singular = singular.filter(|name| !name.is_empty() && !name.ends_with('s'));
        let mut tried = std::iter::once(wanted.as_str()).chain(singular).map(of);
        let found = tried.find(|kinds| !kinds.is_empty());
        found.unwrap_or_else(|| self.called(name).into_iter().collect())
    }

    /// The name of a crop for people; the id itself where the table has none of it.
    pub fn name_of(&self, id: &str) -> String {
        self.get(id)
            .map_or_else(|| id.to_owned(), |crop| crop.name.clone())
    }

    /// All crops in order of id.
    pub fn iter(&self) -> impl Iterator<Item = &Crop> {
        self.crops.values().map(Arc::as_ref)
    }

    /// The id most like `id`, for messages.
    pub fn nearest(&self, id: &str) -> Option<&str> {
        nearest(id, self.files.keys().map(String::as_str))
    }
}

/// A code that is not taken: the first letter of the name with one of its others, else any.
fn free_code(name: &str, taken: &BTreeMap<String, String>) -> String {
    let mut letters = name.chars().filter(char::is_ascii_alphabetic);
    let first = letters.next().unwrap_or('X').to_ascii_uppercase();
    let second = letters.map(|letter| letter.to_ascii_lowercase());
    let own = second.chain('a'..='z').map(|second| (first, second));
    let any = ('A'..='Z').flat_map(|first| ('a'..='z').map(move |second| (first, second)));
    own.chain(any)
        .map(|(first, second)| format!("{first}{second}"))
        .find(|code| !taken.contains_key(code))
        // More crops than pairs of letters: the rest are told apart by name alone.
        .unwrap_or_else(|| "--".to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Files of one's own may be like one another, whatever their names; a circle is told as one.
    #[test]
    fn own_files_come_in_any_order() {
        let like = |other: &str| format!("like = \"{other}\"\nname = \"Mine\"\n");
        let (first, second) = (like("b"), like("spinach"));
        let table = Table::builtin()
            .unwrap()
            .with_overrides([("a.toml", first.as_str()), ("b.toml", second.as_str())])
            .unwrap();
        assert_eq!(table.get("a").unwrap().food, "spinach");
        let back = like("a");
        let circle = Table::builtin()
            .unwrap()
            .with_overrides([("a.toml", first.as_str()), ("b.toml", back.as_str())]);
        assert!(circle.unwrap_err().to_string().contains("circle"));
    }
}
