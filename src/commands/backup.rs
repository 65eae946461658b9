//! `sulcus backup FILE`: a proven copy of all visits, while listening goes on.

use std::path::PathBuf;

use crate::commands::{Outcome, doors};
use crate::config::Config;
use crate::record::journal;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// File to make; it must not exist
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let (report, journal) = journal::backup(&config.data, &options.file)?;
    // A rotation must not throw the older, whole copy away for one that lacks an end: so this ends with 1.
    doors::tell(config, &journal);
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
    for visit in &report.visits {
        for loss in &visit.losses {
            println!("LOST earlier: {}", loss.sentence(visit.visit));
        }
    }
    for lost in &report.lost_visits {
        println!("LOST earlier: {lost}");
    }
    let mut outcome = Outcome::Done;
    for problem in &report.problems {
        println!("problem in {problem}");
        outcome = Outcome::Problem;
    }
    Ok(outcome)
}
