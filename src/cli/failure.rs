//! How a run ends when it cannot go on: one clear message and an exit code.

use std::fmt::Display;
use std::process::ExitCode;

use crate::plain::escaped;

/// Why a run ended.
#[derive(Debug)]
pub enum Failure {
    /// Wrong usage, or a file that cannot be used: exit code 2.
    Input(String),
    /// The work itself failed: exit code 1.
    Work(String),
    /// Whoever read the output has gone (`| head`): nothing to say, exit code 0.
    ReaderGone,
}

impl Failure {
    /// A file or argument that cannot be used.
    pub fn input(message: impl Display) -> Self {
        Failure::Input(escaped(&message.to_string()))
    }

    pub fn work(message: impl Display) -> Self {
        Failure::Work(escaped(&message.to_string()))
    }

    /// The same with a hint after the message, where the input is at fault.
    pub fn with_hint(self, hint: &str) -> Self {
        match self {
            Failure::Input(message) => Failure::Input(format!("{message}; {hint}")),
            other => other,
        }
    }

    /// Prints the message and gives the exit code.
    pub fn report(self) -> ExitCode {
        match self {
            Failure::Input(message) => {
                say(&message);
                ExitCode::from(2)
            }
            Failure::Work(message) => {
                say(&message);
                ExitCode::from(1)
            }
            Failure::ReaderGone => ExitCode::SUCCESS,
        }
    }
}

/// Says something on standard error.
pub fn say(message: &str) {
    use std::io::Write;
    // A closed stderr leaves nobody to tell.
    let _ = writeln!(std::io::stderr(), "{}", message.trim_end());
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        match error.kind() {
            std::io::ErrorKind::BrokenPipe => Failure::ReaderGone,
            _ => Failure::work(format!("error: cannot write the output: {error}")),
        }
    }
}
