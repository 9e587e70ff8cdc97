//! The program: everything it does is in the library.

#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    bedyear::cli::main()
}
