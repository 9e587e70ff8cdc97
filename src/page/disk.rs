//! What the page may read and write: a project file, and what lies beside it.

use chrono::NaiveDate;

use crate::file::Project;
use crate::study::SideFiles;

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
/// Every error is a sentence for the person.
pub trait Disk: Send + Sync {
    /// The project file's name as shown.
    fn name(&self) -> String;

    /// Text of the project file; none where there is no such file yet.
    ///
    /// # Errors
    /// A file that cannot be read.
    fn project(&self) -> Result<Option<String>, String>;

    /// Writes the project file whole or not at all.
    ///
    /// # Errors
    /// Why it was not written.
    fn write_project(&self, text: &str) -> Result<(), String>;

    /// Texts of the files that a project names.
    ///
    /// # Errors
    /// A file that cannot be used.
    fn side_files(&self, project: &Project) -> Result<SideFiles, String>;

    /// Text of a file beside the project file; none where there is none.
    ///
    /// # Errors
    /// A file that cannot be read.
    fn beside(&self, which: Beside) -> Result<Option<String>, String>;

    /// Writes such a file whole or not at all; no text takes the file away.
    ///
    /// # Errors
    /// Why it was not written.
    fn write_beside(&self, which: Beside, text: Option<&str>) -> Result<(), String>;

    /// Text of the journal; empty where there is none yet.
    ///
    /// # Errors
    /// A file that cannot be read.
    fn journal(&self) -> Result<String, String>;

    /// Adds to the journal's end what `decide` makes of its text.
    ///
    /// # Errors
    /// Why nothing was added.
    fn add_to_journal(
        &self,
        decide: &mut dyn FnMut(&str) -> Result<Vec<u8>, String>,
    ) -> Result<(), String>;

    /// Today, by this machine's clock.
    fn today(&self) -> NaiveDate;
}
