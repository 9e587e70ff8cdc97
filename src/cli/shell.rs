//! `completions` and `manual`: made from the command line's own definition.

use clap::CommandFactory;
use clap_complete::Shell;

use super::failure::Failure;
use super::{Cli, print};

/// Completions for a shell, to be put where the shell looks for them
///
/// Example: bedyear completions bash > bedyear.bash
#[derive(clap::Args)]
pub struct CompletionsArgs {
    /// Which shell
    shell: Shell,
}

pub fn completions(args: &CompletionsArgs) -> Result<(), Failure> {
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "bedyear", &mut text);
    print::text(text)
}

/// Runs `manual`: the manual page (roff), with a section for each verb.
pub fn manual() -> Result<(), Failure> {
    let mut command = Cli::command();
    command.build();
    let mut text = Vec::new();
    clap_mangen::Man::new(command.clone()).render(&mut text)?;
    for verb in command.get_subcommands() {
        let man = clap_mangen::Man::new(verb.clone());
        man.render_name_section(&mut text)?;
        man.render_synopsis_section(&mut text)?;
        man.render_options_section(&mut text)?;
    }
    print::text(text)
}
