//! Reads the arguments, calls one command, shows the error, sets the exit code.

#![cfg_attr(not(test), deny(clippy::unwrap_used))]

use clap::Parser;
use std::process::ExitCode;
use sulcus::commands::Outcome;
use sulcus::terminal;

fn main() -> ExitCode {
    let arguments = sulcus::cli::Arguments::parse();
    let outcome = sulcus::commands::run(arguments).unwrap_or_else(|error| {
        terminal::tell(format_args!("sulcus: {error:#}"));
        Outcome::of(&error)
    });
    match terminal::finish() {
        Ok(()) => outcome.into(),
        Err(why) => {
            terminal::tell(format_args!(
                "sulcus: not all of the output could be written: {why}; what the command did is done, print it again to another place"
            ));
            Outcome::Problem.into()
        }
    }
}
