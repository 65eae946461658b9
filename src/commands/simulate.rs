//! `sulcus simulate` (hidden): tries the journal on a failing simulated disk, or writes invented examinations
//! into the data folder for others to end, starve and compare.

use std::io::{self, Write};

use crate::commands::Outcome;
use crate::config::Config;
use crate::sim::{sums, trial, writer, years};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Seeds to try, as FROM..TO
    #[arg(long, value_name = "FROM..TO", value_parser = range, default_value = "0..300")]
    seeds: (u64, u64),

    /// Let syncs do nothing: the trials must find it
    #[arg(long)]
    lying_disk: bool,

    /// Write invented examinations into the data folder instead, and tell each saved entry
    #[arg(long, requires = "seed")]
    writer: bool,

    /// Write so many whole visits into the data folder instead, ten a day, for measures of size
    #[arg(
        long,
        requires = "seed",
        conflicts_with = "writer",
        value_name = "NUMBER"
    )]
    visits: Option<u64>,

    /// Seed of the examinations that are written
    #[arg(long)]
    seed: Option<u64>,

    /// Appends until the writer stops
    #[arg(long, default_value_t = u64::MAX)]
    appends: u64,

    /// After a failed append open the journal afresh and say it again
    #[arg(long)]
    go_on: bool,

    /// Tell memory and open files every so many appends
    #[arg(long, default_value_t = 0)]
    figures_every: u64,
}

fn range(text: &str) -> Result<(u64, u64), String> {
    let read = || {
        let (from, to) = text.split_once("..")?;
        Some((from.parse().ok()?, to.parse().ok()?))
    };
    read().ok_or_else(|| format!("{text} is no range such as 0..300"))
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    if let Some(count) = options.visits {
        let seed = options.seed.unwrap_or(0);
        years::write(&config.data, seed, count, &mut io::stdout().lock())?;
        return Ok(Outcome::Done);
    }
    if options.writer {
        let plan = writer::Plan {
            seed: options.seed.unwrap_or(0),
            append_count: options.appends,
            goes_on: options.go_on,
            figures_every: options.figures_every,
        };
        let is_done = writer::write(&config.data, plan, &mut io::stdout().lock())?;
        return Ok(if is_done {
            Outcome::Done
        } else {
            Outcome::Problem
        });
    }
    let sums = sums::run(options.seeds.0..options.seeds.1, |seed| {
        trial::run(seed, options.lying_disk)
    });
    let mut out = io::stdout().lock();
    let mut is_good = true;
    for (kind, sum) in &sums {
        writeln!(
            out,
            "{}: {} trials, {} faults, {} entries saved, {} lost, {} appends told as not saved",
            kind.title(),
            sum.trial_count,
            sum.fault_count,
            sum.saved_count,
            sum.lost_count,
            sum.refused_count
        )?;
        is_good &= sum.failures.is_empty();
        for (seed, failure) in &sum.failures {
            writeln!(out, "seed {seed}: {failure}")?;
        }
    }
    Ok(if is_good {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}
