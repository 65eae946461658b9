//! `sulcus verify`: is every visit in the journal exactly as it was written?

use std::path::PathBuf;

use crate::commands::Outcome;
use crate::config::Config;
use crate::record::journal::{self, Report};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Check this backup instead of the data folder
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let report = match &options.file {
        Some(file) => journal::verify_file(file)?,
        None => journal::verify(&config.data)?,
    };
    print(&report);
    if report.problems.is_empty() {
        println!(
            "whole: every entry of every visit in {} is as it was written",
            report.file.display()
        );
        return Ok(Outcome::Done);
    }
    println!(
        "damaged: nothing was changed; sulcus salvage OUT writes what can be proven to a fresh folder"
    );
    Ok(Outcome::Problem)
}

/// The visits, then what is wrong.
pub(super) fn print(report: &Report) {
    for visit in &report.visits {
        println!(
            "{}  {:<16} {:>5} entries  {:>4} values, {:>4} confirmed  {}",
            visit.visit,
            visit.patient,
            visit.entry_count,
            visit.value_count,
            visit.confirmed_count,
            if visit.is_finished {
                "finished"
            } else {
                "not finished"
            }
        );
    }
    for problem in &report.problems {
        println!("problem in {problem}");
    }
}
