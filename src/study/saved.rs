//! The project file behind a changed building, so that what was shown can be run again.

use super::{Job, StudyError};
use crate::file::{self, Edit};
use crate::house::House;

/// The text of the job's project file, `text` as it was read, changed so that it describes `house`.
///
/// Weather years and seed are those of the job. The text is read again and must give the very same building.
///
/// # Errors
/// [`StudyError::Edit`] or [`StudyError::NotTheSame`] for a building that the file's keys cannot describe by changing this file.
pub fn variant_text(job: &Job, text: &str, house: &House) -> Result<String, StudyError> {
    let mut edit = Edit::new(text)?;
    edit.change_house(&job.project, house)?;
    let planning = &job.project.planning;
    edit.whole("year", "weather_years", planning.weather_years as i64)?;
    let seed = i64::try_from(planning.seed).map_err(|_| StudyError::NotTheSame)?;
    edit.whole("year", "seed", seed)?;
    let text = edit.text();
    let mut read = file::parse("changed project", &text)?;
    read.turn_to_equator(job.site.place.latitude_deg);
    if read.house == *house {
        Ok(text)
    } else {
        Err(StudyError::NotTheSame)
    }
}
