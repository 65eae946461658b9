//! Reads the arguments, calls one command, shows the error, sets the exit code.

#![cfg_attr(not(test), deny(clippy::unwrap_used))]

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = sulcus::cli::Arguments::parse();
    match sulcus::commands::run(arguments) {
        Ok(outcome) => outcome.into(),
        Err(error) => {
            eprintln!("sulcus: {error:#}");
            sulcus::commands::Outcome::Problem.into()
        }
    }
}
