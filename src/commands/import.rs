//! `sulcus import`: takes in visits that `sulcus export` wrote, with their whole history.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use anyhow::Context;

use crate::commands::{Outcome, doors};
use crate::config::Config;
use crate::export::json::{self, Imported};
use crate::record::journal::Seal;

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
        let text = read(file).with_context(|| format!("{} is not taken in", file.display()))?;
        let imported =
            json::read(&text).with_context(|| format!("{} is not taken in", file.display()))?;
        visits.push((file, imported));
    }
    let mut journal = doors::writer(config)?;
    for (file, imported) in visits {
        let entries = journal
            .import(imported.visit, &imported.rows, &seals(&imported))
            .with_context(|| format!("{} is not taken in", file.display()))?;
        println!(
            "taken in: visit {}, {} entries",
            imported.visit,
            entries.len()
        );
    }
    doors::check_after(config, &journal);
    Ok(Outcome::Done)
}

/// The record of the longest visit is some two megabytes; what is larger is no record of ours, and is not read.
const BYTES_MAX: u64 = 16 << 20;

fn read(file: &Path) -> anyhow::Result<String> {
    let mut bytes = Vec::new();
    let opened = File::open(file).context("it cannot be read")?;
    // Not by the length that the file tells: a pipe has none.
    opened
        .take(BYTES_MAX + 1)
        .read_to_end(&mut bytes)
        .context("it cannot be read")?;
    if bytes.len() as u64 > BYTES_MAX {
        anyhow::bail!(
            "it is larger than {} MB, and no record of one visit is; give the files that sulcus export wrote, one a visit",
            BYTES_MAX >> 20
        );
    }
    String::from_utf8(bytes).map_err(|why| {
        anyhow::anyhow!(
            "it is no text in UTF-8 (byte {}); give a file that sulcus export wrote",
            why.utf8_error().valid_up_to() + 1
        )
    })
}

fn seals(imported: &Imported) -> Vec<Seal> {
    let visit = imported.visit;
    let signatures = imported.signatures.iter();
    signatures
        .map(|signature| Seal::exported(visit, signature))
        .collect()
}
