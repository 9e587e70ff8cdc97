//! Writes the project files behind the measures of `climate --why`.

use std::path::Path;

use crate::file::{Edit, EditError};
use crate::house::House;
use crate::study::measures::without_heater;
use crate::study::{self, Job, WhyStudy};

use super::common::Source;
use super::failure::{Failure, say};
use super::{print, project};

/// Keys that name a file or folder relative to the project file's folder.
const PATHS: [(&str, &str); 4] = [
    ("site", "weather"),
    ("folders", "crops"),
    ("folders", "climates"),
    ("money", "receipts"),
];

/// Writes `as-is.toml` and one file for each measure into a folder, each once more without heater where there is one.
///
/// # Errors
/// [`Failure`] where a file cannot be written. A measure that the file's keys cannot say is named and left out.
pub fn save(source: &Source, job: &Job, found: &WhyStudy, folder: &Path) -> Result<(), Failure> {
    print::folder(folder)?;
    let read = project::read(&source.file)?;
    let text = rooted(source, &read)
        .map_err(|error| Failure::work(format!("error: {}: {error}", read.name)))?;
    let own = &job.project.house;
    let mut houses: Vec<(&str, &House)> = vec![("as is", own)];
    houses.extend(
        found
            .measures
            .iter()
            .map(|tried| (tried.name.as_str(), &tried.house)),
    );
    for (name, house) in houses {
        let unheated = without_heater(house);
        let files = [("", Some(house)), (" unheated", unheated.as_ref())];
        for (ending, house) in files {
            let Some(house) = house else { continue };
            let file = format!("{name}{ending}.toml").replace(' ', "-");
            match study::variant_text(job, &text, house) {
                Ok(text) => print::file(&folder.join(file), text.as_bytes())?,
                Err(error) => say(&format!("not written: {file}: {error}")),
            }
        }
    }
    Ok(())
}

/// The project's text with the paths in it made absolute, and with the weather file of the command line.
fn rooted(source: &Source, read: &project::ProjectText) -> Result<String, EditError> {
    let absolute = |path: &Path| {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        path.to_string_lossy().into_owned()
    };
    let mut edit = Edit::new(&read.text)?;
    for (table, key) in PATHS {
        let named = edit
            .text_at(table, key)
            .map(|named| read.folder.join(named));
        if let Some(path) = named {
            edit.word(table, key, &absolute(&path))?;
        }
    }
    if let Some(path) = &source.weather {
        edit.remove("site", "months");
        edit.word("site", "weather", &absolute(path))?;
    }
    Ok(edit.text())
}
