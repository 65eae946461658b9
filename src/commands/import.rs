//! `sulcus import`: takes in visits that `sulcus export` wrote, with their whole history.

use std::path::PathBuf;

use anyhow::Context;

use crate::commands::Outcome;
use crate::config::Config;
use crate::export::json;
use crate::record::Journal;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Files in the json form
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    // All are read before the first is taken in: a bad file in the list changes nothing.
    let mut visits = Vec::new();
    for file in &options.files {
        let text = std::fs::read_to_string(file)
            .with_context(|| format!("cannot read {}", file.display()))?;
        let imported =
            json::read(&text).with_context(|| format!("{} is not taken in", file.display()))?;
        visits.push((file, imported));
    }
    let mut journal = Journal::open(&config.data)?;
    for (file, imported) in visits {
        let entries = journal
            .import(imported.visit, &imported.rows)
            .with_context(|| format!("{} is not taken in", file.display()))?;
        println!(
            "taken in: visit {}, {} entries",
            imported.visit,
            entries.len()
        );
    }
    Ok(Outcome::Done)
}
