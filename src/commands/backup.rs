//! `sulcus backup FILE`: a proven copy of all visits, while listening goes on; an earlier one grows by what is new.

use std::path::PathBuf;

use crate::commands::{Outcome, doors};
use crate::config::Config;
use crate::record::Journal;
use crate::record::journal::{self, Copied, Growth};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// File to make; or an earlier backup of this journal, to which only what is new is added
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let (copied, journal) = match journal::backup(&config.data, &options.file) {
        Ok(copied) => copied,
        Err(why) => {
            // What the journal lost may be just what the earlier backup still has.
            if let Ok(journal) = Journal::open_reader(&config.data) {
                doors::tell(config, &journal);
            }
            return Err(why.into());
        }
    };
    // A rotation must not throw the older, whole copy away for one that lacks an end: so this ends with 1.
    doors::tell(config, &journal);
    let file = options.file.display();
    match &copied {
        Copied::Whole(report) => println!(
            "{file} holds {} visits with {} entries, each checked; sulcus restore brings them back",
            report.visits.len(),
            report
                .visits
                .iter()
                .map(|visit| visit.entry_count)
                .sum::<u64>()
        ),
        Copied::Grown(growth) => println!("{file} {}", grown(growth)),
    }
    let report = copied.report();
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

fn grown(growth: &Growth) -> String {
    let forgotten = match growth.forgotten_visits {
        0 => String::new(),
        count => format!(", {count} forgotten visits were taken out"),
    };
    format!(
        "grew by {} entries in {} new and {} earlier visits{forgotten}; it holds {} visits with {} entries, {} of the \
         visits read again and checked; sulcus restore brings them back",
        growth.new_entries,
        growth.new_visits,
        growth.grown_visits,
        growth.visit_count,
        growth.entry_count,
        growth.report.visits.len(),
    )
}
