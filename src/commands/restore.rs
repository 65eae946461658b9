//! `sulcus restore FILE`: lays a backup into a data folder that holds no visits.

use std::path::PathBuf;

use crate::commands::{Outcome, verify};
use crate::config::Config;
use crate::record::journal;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// A file that `sulcus backup` made
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let report = journal::restore(&options.file, &config.data)?;
    verify::print(&report);
    for key in &report.keys.named_by_file {
        println!(
            "its visits are signed with the key {key}, which is trusted here from now on: compare it with the clinic's key as it was printed"
        );
    }
    println!("restored to {}", config.data.display());
    Ok(if report.problems.is_empty() {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}
