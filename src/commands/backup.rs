//! `sulcus backup FILE`: a proven copy of all visits, while listening goes on.

use std::path::PathBuf;

use crate::commands::Outcome;
use crate::config::Config;
use crate::record::journal;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// File to make; it must not exist
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let report = journal::backup(&config.data, &options.file)?;
    println!(
        "{} holds {} visits with {} entries, each checked; sulcus restore brings them back",
        options.file.display(),
        report.visits.len(),
        report
            .visits
            .iter()
            .map(|visit| visit.entry_count)
            .sum::<u64>()
    );
    Ok(Outcome::Done)
}
