//! Opens a project with all the files it names.

use std::path::{Path, PathBuf};

use crate::crops::Table;
use crate::file::{self, Project, SiteChoice};
use crate::study::{Job, SideFiles, StudyError};

use super::common::{Asked, Source};
use super::failure::{Failure, say};
use super::load::{folder_of, printable, read_folder, read_text, read_weather};
use super::print::{self, Screen};

/// Word that stands for the built-in example in place of a file name.
pub const EXAMPLE_WORD: &str = "example";
/// Name of the built-in example in messages.
const EXAMPLE_NAME: &str = "the built-in example";
/// Its text.
pub const EXAMPLE: &str = include_str!("../../examples/helena.toml");

/// A project file as text, with the name it goes by and the folder that its paths start from.
pub struct ProjectText {
    /// Name in messages.
    pub name: String,
    pub text: String,
    /// Folder of the file.
    pub folder: PathBuf,
}

/// Reads a project file, or gives the built-in example for the word `example` where no such file exists.
pub fn read(path: &Path) -> Result<ProjectText, Failure> {
    if path.as_os_str() == EXAMPLE_WORD && !path.exists() {
        return Ok(ProjectText {
            name: EXAMPLE_NAME.to_owned(),
            text: EXAMPLE.to_owned(),
            folder: PathBuf::new(),
        });
    }
    Ok(ProjectText {
        name: printable(path),
        text: read_text(path)?,
        folder: folder_of(path),
    })
}

/// Parses a project and applies what the command line sets over it.
///
/// # Errors
/// [`Failure::Input`] with the picture of every problem in the file.
pub fn parse(source: &Source, text: &ProjectText, color: bool) -> Result<Project, Failure> {
    let mut project =
        file::parse(&text.name, &text.text).map_err(|error| Failure::Input(error.render(color)))?;
    if let Some(count) = source.weather_years {
        project.planning.weather_years = usize::from(count);
    }
    if let Some(seed) = source.seed {
        project.planning.seed = seed;
    }
    Ok(project)
}

/// Opens the project that a verb is asked of; the result is shown in its units where none are asked for.
pub fn asked(asked: &Asked, names: &'static str) -> Result<(Job, Screen), Failure> {
    print::known(&asked.more, names)?;
    let job = open(&asked.source, asked.show.color_stderr())?;
    let screen = Screen {
        show: asked.show.as_in(&job.project),
        more: asked.more.clone(),
        names,
    };
    Ok((job, screen))
}

/// Opens a project with all the files it names; what is doubtful in it is said on standard error.
pub fn open(source: &Source, color: bool) -> Result<Job, Failure> {
    let text = read(&source.file)?;
    let project = parse(source, &text, color)?;
    for doubt in &project.doubts {
        say(&format!(
            "warning: {}:{}: {}",
            text.name, doubt.line, doubt.text
        ));
    }
    let side = side_files(source.weather.as_deref(), &project, &text.folder)?;
    let near = project.planning.near.clone();
    let mut job = Job::new(project, &side)?;
    if let Some(near) = near {
        let hint = named_by(&job.project, "year.near");
        let former = super::whole::plan_file(&text.folder.join(near));
        job.former = Some(former.map_err(|failure| failure.with_hint(&hint))?);
    }
    warn_of_old(&job.table);
    Ok(job)
}

/// The crop table with the project's own crops.
pub fn crops(project: &Project, folder: &Path) -> Result<Table, Failure> {
    crop_table(&own_files(&project.folders.crops, folder)?)
}

/// The crops of the shelf with files of one's own over them.
pub fn crop_table(own: &[(String, String)]) -> Result<Table, Failure> {
    let own = own.iter();
    let own = own.map(|(file, text)| (file.as_str(), text.as_str()));
    let table = Table::builtin()
        .and_then(|table| table.with_overrides(own))
        .map_err(|error| Failure::input(format!("error: {error}")))?;
    warn_of_old(&table);
    Ok(table)
}

/// Says which of the person's own files are of an earlier kind.
fn warn_of_old(table: &Table) {
    for doubt in table.doubts() {
        say(&format!("warning: {doubt}"));
    }
}

/// Files of a folder of the person's own, as pairs of name and text.
fn own_files(named: &Option<String>, folder: &Path) -> Result<Vec<(String, String)>, Failure> {
    match named {
        Some(name) => read_folder(&folder.join(name), "toml"),
        None => Ok(Vec::new()),
    }
}

impl From<StudyError> for Failure {
    /// How a study that cannot be made ends the run: what the files say wrongly is wrong input, the rest failed work.
    fn from(error: StudyError) -> Self {
        let message = format!("error: {error}");
        match error.is_input() {
            true => Failure::input(message),
            false => Failure::work(message),
        }
    }
}

/// Texts of the files that a project names; `weather` goes before the weather file that it names.
pub fn side_files(
    weather: Option<&Path>,
    project: &Project,
    folder: &Path,
) -> Result<SideFiles, Failure> {
    let named_by = |key| named_by(project, key);
    let own = |named, key| {
        own_files(named, folder).map_err(|failure: Failure| failure.with_hint(&named_by(key)))
    };
    let weather = match (weather, &project.site) {
        (Some(path), _) => Some((path.to_owned(), "--weather names it".to_owned())),
        (None, SiteChoice::WeatherFile(path)) => {
            Some((folder.join(path), named_by("site.weather")))
        }
        _ => None,
    };
    let weather = weather.map(|(path, hint)| named_text(&path, read_weather(&path), &hint));
    let receipts = project.household.receipts.as_ref().map(|named| {
        let path = folder.join(named);
        named_text(&path, read_text(&path), &named_by("money.receipts"))
    });
    Ok(SideFiles {
        weather: weather.transpose()?,
        crops: own(&project.folders.crops, "folders.crops")?,
        climates: own(&project.folders.climates, "folders.climates")?,
        receipts: receipts.transpose()?,
    })
}

/// Which key names a file, and where it stands.
fn named_by(project: &Project, key: &str) -> String {
    format!("`{key}` names it ({})", project.written.place_of(key))
}

/// A file's name in messages and its text; who names it is said where it cannot be read.
fn named_text(
    path: &Path,
    text: Result<String, Failure>,
    hint: &str,
) -> Result<(String, String), Failure> {
    let text = text.map_err(|failure| failure.with_hint(hint))?;
    Ok((printable(path), text))
}
