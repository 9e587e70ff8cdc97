//! What the page may read and write: a project file, and what lies beside it; and the file's text made ready for the stages.

use std::sync::Arc;

use chrono::NaiveDate;

use crate::file::{self, Project};
use crate::study::{Job, SideFiles};

/// Files beside the project file that the page keeps itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// The agreed plan.
    Plan,
    /// Changes that were not saved.
    Unsaved,
}

/// The files of one project; no name or path in it comes from the browser.
///
/// Every error is a sentence for the person: why a file cannot be read, used or written.
pub trait Disk: Send + Sync {
    /// The project file's name as shown.
    fn name(&self) -> String;

    /// Text of the project file; none where there is no such file yet.
    fn project(&self) -> Result<Option<String>, String>;

    /// Writes the project file whole or not at all.
    fn write_project(&self, text: &str) -> Result<(), String>;

    /// Texts of the files that a project names.
    fn side_files(&self, project: &Project) -> Result<SideFiles, String>;

    /// Text of a file beside the project file; none where there is none.
    fn beside(&self, which: Beside) -> Result<Option<String>, String>;

    /// Writes such a file whole or not at all; no text takes the file away.
    fn write_beside(&self, which: Beside, text: Option<&str>) -> Result<(), String>;

    /// Text of the journal; empty where there is none yet.
    fn journal(&self) -> Result<String, String>;

    /// Adds to the journal's end what `decide` makes of its text.
    fn add_to_journal(
        &self,
        decide: &mut dyn FnMut(&str) -> Result<Vec<u8>, String>,
    ) -> Result<(), String>;

    /// Today, by this machine's clock.
    fn today(&self) -> NaiveDate;
}

/// A project made ready, with the texts behind it.
#[derive(Clone)]
pub struct Ready {
    /// The project as the stages take it.
    pub job: Arc<Job>,
    /// Files that it names.
    pub side: Arc<SideFiles>,
}

/// Reads a project's text and what it names.
///
/// # Errors
/// Every problem of the text with what would be right, a sentence each, or what is wrong with a file that it names.
pub fn ready(text: &str, disk: &dyn Disk) -> Result<Ready, Vec<String>> {
    let words = |problem: &file::Problem| match &problem.right {
        Some(right) => format!("{}; {right}", problem.wrong),
        None => problem.wrong.clone(),
    };
    let project = file::parse(&disk.name(), text)
        .map_err(|error| error.problems.iter().map(words).collect::<Vec<_>>())?;
    let side = disk.side_files(&project).map_err(|why| vec![why])?;
    let job = Job::new(project, &side).map_err(|error| vec![error.to_string()])?;
    Ok(Ready {
        job: Arc::new(job),
        side: Arc::new(side),
    })
}
