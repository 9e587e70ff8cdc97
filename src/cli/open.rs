//! `open`: the page in the browser.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use crate::file::{self, Project};
use crate::output::units::Units;
use crate::output::write;
use crate::page::{Beside, Desk, Disk, Door, serve};
use crate::study::SideFiles;

use super::failure::{Failure, say};
use super::load::{WRITTEN_MAX, folder_of, printable};
use super::plan::PLAN_ENDING;
use super::project::{EXAMPLE, EXAMPLE_WORD};
use super::{journal, print, project};

/// Name of a new project's file.
const NEW: &str = "greenhouse.toml";
/// Ending of changes that are not saved, in place of the project file's own.
const UNSAVED: &str = "unsaved.toml";

/// A page in the browser for the whole job: mouse, keyboard or finger, no terminal; it stays on this machine
///
/// The page is served to this machine alone and asks nothing of the network. The project file stays the truth: what is
/// changed on the page is saved into it, comments and order kept. Ends with Ctrl-C, with the button at the foot of the
/// page, or after an hour without a request.
/// Example: bedyear open greenhouse.toml
#[derive(clap::Args)]
pub struct Args {
    /// Project file (TOML); a new one is begun where there is none, `example` is the built-in one
    #[arg(default_value = NEW)]
    file: PathBuf,
    /// Units to show
    #[arg(long, value_enum, default_value_t = Units::Si)]
    units: Units,
    /// Port to listen on, in place of any that is free
    #[arg(long, value_name = "PORT", default_value_t = 0)]
    port: u16,
    /// Print the address and open no browser
    #[arg(long)]
    no_browser: bool,
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let example = args.file.as_os_str() == EXAMPLE_WORD && !args.file.exists();
    let disk = Files {
        path: match example {
            true => PathBuf::from("example.toml"),
            false => args.file.clone(),
        },
        example,
    };
    let name = printable(&disk.path);
    let desk = Desk::open(Box::new(disk), args.units).map_err(|problems| {
        let lines = problems.iter().map(|one| format!("error: {name}: {one}"));
        Failure::input(lines.collect::<Vec<_>>().join("\n"))
    })?;
    let door = Door {
        port: args.port,
        ..Door::default()
    };
    let stopper = door.stopper.clone();
    // A second handler cannot be set; there is none before this one.
    let _ = ctrlc::set_handler(move || stopper.stop());
    let ready = |address: &str| {
        say(&format!("{name} is open at {address}"));
        say("The address is good for one visit. Ctrl-C ends the page.");
        if !args.no_browser && open::that_detached(address).is_err() {
            say("no browser could be opened; open the address yourself");
        }
    };
    serve(desk, &door, ready)
        .map_err(|error| Failure::work(format!("error: the page cannot be served: {error}")))?;
    say("the page is closed");
    Ok(())
}

/// The project file and what lies beside it.
struct Files {
    path: PathBuf,
    /// The built-in example, until it is saved under a name of its own.
    example: bool,
}

impl Files {
    fn beside_path(&self, which: Beside) -> PathBuf {
        self.path.with_extension(match which {
            Beside::Plan => PLAN_ENDING,
            Beside::Unsaved => UNSAVED,
        })
    }

    fn journal_path(&self) -> PathBuf {
        self.path.with_extension(journal::ENDING)
    }
}

/// A failure as a sentence for the page.
fn sentence(failure: Failure) -> String {
    match failure {
        Failure::Input(text) | Failure::Work(text) => text.trim_start_matches("error: ").to_owned(),
        Failure::ReaderGone => "nobody reads".to_owned(),
    }
}

/// Text of a file; none where there is no such file.
fn text_of(path: &Path) -> Result<Option<String>, String> {
    if !path.exists() {
        return Ok(None);
    }
    super::load::read_text(path).map(Some).map_err(sentence)
}

fn write(path: &Path, text: &str) -> Result<(), String> {
    print::file_unsaid(path, text.as_bytes()).map_err(sentence)
}

impl Disk for Files {
    fn name(&self) -> String {
        printable(&self.path)
    }

    fn project(&self) -> Result<Option<String>, String> {
        match text_of(&self.path)? {
            None if self.example => Ok(Some(EXAMPLE.to_owned())),
            found => Ok(found),
        }
    }

    fn write_project(&self, text: &str) -> Result<(), String> {
        write(&self.path, text)
    }

    fn side_files(&self, project: &Project) -> Result<SideFiles, String> {
        project::side_files(None, project, &folder_of(&self.path)).map_err(sentence)
    }

    fn beside(&self, which: Beside) -> Result<Option<String>, String> {
        text_of(&self.beside_path(which))
    }

    fn write_beside(&self, which: Beside, text: Option<&str>) -> Result<(), String> {
        let path = self.beside_path(which);
        match text {
            Some(text) => write(&path, text),
            None => match std::fs::remove_file(&path) {
                Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                    Err(format!("{}: {}", printable(&path), print::reason(&error)))
                }
                _ => Ok(()),
            },
        }
    }

    fn journal(&self) -> Result<String, String> {
        Ok(text_of(&self.journal_path())?.unwrap_or_default())
    }

    fn add_to_journal(
        &self,
        decide: &mut dyn FnMut(&str) -> Result<Vec<u8>, String>,
    ) -> Result<(), String> {
        let path = self.journal_path();
        let shown = printable(&path);
        let decide = |held: &[u8]| {
            let text = file::text_of(&shown, held).map_err(|error| error.to_string())?;
            decide(text)
        };
        write::append(&path, WRITTEN_MAX, decide)
            .map_err(|error| format!("{shown} was not written: {}", print::reason(&error)))?
    }

    fn today(&self) -> NaiveDate {
        chrono::Local::now().date_naive()
    }
}
