//! The draft's text made ready for the stages.

use std::sync::Arc;

use super::disk::Disk;
use crate::file;
use crate::study::{Job, SideFiles};

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
/// Every problem of the text, one a line, or what is wrong with a file that it names.
pub fn ready(text: &str, disk: &dyn Disk) -> Result<Ready, Unfit> {
    let project = file::parse(&disk.name(), text).map_err(Unfit::of_file)?;
    let side = disk.side_files(&project).map_err(Unfit::plain)?;
    let job = Job::new(project, &side).map_err(|error| Unfit::plain(error.to_string()))?;
    Ok(Ready {
        job: Arc::new(job),
        side: Arc::new(side),
    })
}

/// Why a text cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfit {
    /// What is wrong, and what would be right, one problem each.
    pub problems: Vec<String>,
}

impl Unfit {
    /// One sentence.
    pub fn plain(what: impl Into<String>) -> Self {
        Self {
            problems: vec![what.into()],
        }
    }

    fn of_file(error: file::FileError) -> Self {
        let problems = error.problems.iter();
        let words = problems.map(|problem| match &problem.right {
            Some(right) => format!("{}; {right}", problem.wrong),
            None => problem.wrong.clone(),
        });
        Self {
            problems: words.collect(),
        }
    }
}
