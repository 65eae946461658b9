//! `sulcus completions`: what a shell needs to complete this program's commands and options.

use clap::CommandFactory;
use clap_complete::Shell;

use crate::cli::Arguments;
use crate::commands::Outcome;
use crate::terminal;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The shell that will read it
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

pub fn run(options: &Options) -> anyhow::Result<Outcome> {
    let mut text = Vec::new();
    clap_complete::generate(
        options.shell,
        &mut Arguments::command(),
        "sulcus",
        &mut text,
    );
    terminal::put(&text);
    Ok(Outcome::Done)
}
