//! `sulcus salvage OUT`: takes what can be proven out of a damaged journal into a fresh data folder.

use std::path::PathBuf;

use crate::commands::Outcome;
use crate::config::Config;
use crate::record::journal::{self, SalvagedVisit};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Fresh data folder to write to; the damaged one is only read
    #[arg(value_name = "OUT")]
    out: PathBuf,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let salvage = journal::salvage(&config.data, &options.out)?;
    for visit in &salvage.visits {
        println!("{}", line(visit));
    }
    for loss in &salvage.losses {
        println!("LOST: {loss}");
    }
    println!(
        "the damaged folder {} was not changed; go on with --data {}",
        config.data.display(),
        options.out.display()
    );
    Ok(if salvage.is_whole() {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}

fn line(visit: &SalvagedVisit) -> String {
    let mut line = format!(
        "{}  {} entries proven and kept",
        visit.visit, visit.proven_count
    );
    if !visit.unproven.is_empty() {
        line += &format!(
            ", {} readable but not proven (in unproven.jsonl, to be looked through by hand)",
            visit.unproven.len()
        );
    }
    for range in &visit.lost {
        line += &format!(", {} to {} lost", range.start(), range.end());
    }
    line
}
