//! `sulcus simulate` (hidden): tries the journal on a failing simulated disk, or writes invented examinations
//! into the data folder for others to end, starve and compare.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::commands::Outcome;
use crate::config::Config;
use crate::sim::{self, Kind, trial, writer};

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
    let sums = try_seeds(options.seeds, options.lying_disk);
    let mut out = io::stdout().lock();
    let mut is_good = true;
    for (kind, sum) in &sums {
        writeln!(
            out,
            "{}: {} trials, {} faults, {} saved, {} lost, {} told as not saved",
            kind.title(),
            sum.trials,
            sum.faults,
            sum.saved,
            sum.lost,
            sum.refused
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

/// All trials of one kind together.
#[derive(Debug, Default)]
struct Sum {
    trials: u64,
    faults: u64,
    saved: u64,
    lost: u64,
    refused: u64,
    failures: Vec<(u64, String)>,
}

fn try_seeds((from, to): (u64, u64), lies: bool) -> BTreeMap<Kind, Sum> {
    let next = AtomicU64::new(from);
    let sums: Mutex<BTreeMap<Kind, Sum>> = Mutex::default();
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed >= to {
                        break;
                    }
                    let outcome: sim::Outcome = trial::run(seed, lies);
                    let mut sums = sums
                        .lock()
                        .unwrap_or_else(std::sync::PoisonError::into_inner);
                    let sum = sums.entry(outcome.kind).or_default();
                    sum.trials += 1;
                    sum.faults += outcome.fault_count;
                    sum.saved += outcome.saved_count;
                    sum.lost += outcome.lost_count;
                    sum.refused += outcome.refused_count;
                    sum.failures
                        .extend(outcome.failure.map(|failure| (seed, failure)));
                }
            });
        }
    });
    sums.into_inner()
        .unwrap_or_else(std::sync::PoisonError::into_inner)
}
