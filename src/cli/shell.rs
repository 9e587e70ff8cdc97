//! `completions` and `manual`: made from the command line's own definition.

use std::io::Write;

use clap::CommandFactory;
use clap_complete::Shell;

use super::Cli;
use super::failure::Failure;

/// Completions for a shell, to be put where the shell looks for them
///
/// Example: bedyear completions bash > bedyear.bash
#[derive(clap::Args)]
pub struct CompletionsArgs {
    /// Which shell
    shell: Shell,
}

/// Runs `completions`.
pub fn completions(args: &CompletionsArgs, out: &mut impl Write) -> Result<(), Failure> {
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "bedyear", &mut text);
    Ok(out.write_all(&text)?)
}

/// Runs `manual`: the manual page (roff), with a section for each verb.
pub fn manual(out: &mut impl Write) -> Result<(), Failure> {
    let mut command = Cli::command();
    command.build();
    clap_mangen::Man::new(command.clone()).render(out)?;
    for verb in command.get_subcommands() {
        let man = clap_mangen::Man::new(verb.clone());
        man.render_name_section(out)?;
        man.render_synopsis_section(out)?;
        man.render_options_section(out)?;
    }
    Ok(())
}
